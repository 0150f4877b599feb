#pragma once

#include <string>

namespace omniway::procedure {

/// How a hold is entered (procedure/holding.hpp tells which). Source: AIM 5-3-8 (trade-facts 8.1).
enum class HoldEntry { direct, parallel, offset };  // offset: the teardrop
std::string to_text(HoldEntry entry);               // "direct", "parallel", "teardrop"

}  // namespace omniway::procedure
