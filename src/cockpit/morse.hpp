#pragma once

#include <string>
#include <string_view>

namespace omniway::cockpit {

/// What is heard when a station identifies itself: its ident in international Morse.
///   Model     dots and dashes, one space between letters: "ABQ" is ".- -... --.-".
///   Domain    letters and digits; other characters are left out.
///   Accuracy  exact.
///   Cost      linear.
///   Fails     never.
///   Source    ITU-R M.1677-1 (trade-facts 10.6).
std::string morse(std::string_view ident);

}  // namespace omniway::cockpit
