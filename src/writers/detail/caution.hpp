#pragma once

namespace omniway::writers::detail {

/// What stands under every picture and page that could be flown from.
inline constexpr const char* caution =
    "For training and flight at home, not for real-world navigation; defer to current official charts.";

}  // namespace omniway::writers::detail
