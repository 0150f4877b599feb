#include "base/contract.hpp"

namespace omniway::base {

void contract_violated(const char* condition, const char* file, int line) {
    throw ContractViolation(std::string("broken precondition: ") + condition + " at " + file + ":" +
                            std::to_string(line));
}

}  // namespace omniway::base
