#include "base/result.hpp"

namespace omniway::base {

std::string to_text(const Error& error) {
    const std::string place = error.where.empty() ? std::string() : error.where + ": ";
    return place + error.message + " [" + error.code + "]";
}

}  // namespace omniway::base
