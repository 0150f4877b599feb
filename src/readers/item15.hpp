#pragma once

#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

#include "base/result.hpp"
#include "flight/route.hpp"

namespace omniway::readers {

/// A route as item 15 of an ICAO flight plan writes it: "XDOV N0110A080 DCT XDV V14 XKE XMRA".
///   Model     words between blanks or lines, each a point, an airway (or SID or STAR), DCT, a speed and level, VFR or IFR; small letters
///             are taken as capitals. A point follows another only by an airway or DCT; the first entry may lack it, and one in
///             coordinates. Beyond the item itself the first and the last word may be an airport: four letters, or a local ident that holds a
///             digit. Which names exist is not asked here (plan/hand_made.hpp).
///   Domain    at most 4,096 characters and 200 words. A cruise climb (C/...) is refused by name: levels are flown.
///   Accuracy  as written.
///   Cost      one pass.
///   Fails     with every fault, each at its word: route.empty, route.too_long, route.character, route.word, route.speed_level,
///             route.coordinates, route.bearing_distance, route.cruise_climb, route.order. `where` is name:line:column.
///   Source    ICAO Doc 4444 appendix 2, item 15 (trade-facts 12).
tl::expected<flight::Route, std::vector<base::Error>> read_item15(std::string_view text,
                                                                  const std::string& name);

}  // namespace omniway::readers
