#pragma once

#include <stdexcept>
#include <string>

namespace omniway::base {

/// A broken precondition: a bug of ours, never the fault of outside data.
///   Model     thrown by OMNIWAY_EXPECTS in every build; caught only in main and in a request handler.
///   Domain    any.
///   Accuracy  exact.
///   Cost      one branch where the check stands.
///   Fails     it is the failure.
///   Source    docs/architecture.md, "Three kinds of failure".
class ContractViolation : public std::logic_error {
public:
    using std::logic_error::logic_error;
};

[[noreturn]] void contract_violated(const char* condition, const char* file, int line);

}  // namespace omniway::base

#define OMNIWAY_EXPECTS(condition) \
    ((condition) ? static_cast<void>(0) : ::omniway::base::contract_violated(#condition, __FILE__, __LINE__))
