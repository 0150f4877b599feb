#pragma once

#include <string>

#include "flight/strip.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::writers {

/// Who can be heard along a way, as a picture: distance along the way to the right; a lane for each station with a bar for
/// each part from alive to dead, the reason in words at each end; the heights flown over the ground and the minimums below.
///   Model     black and greys with line patterns, readable printed. Azimuth bars are tall, distance bars low, glideslope bars
///             dashed; a bar is the darker the more is left of it (flight::strength()); dotted where the ground on the way is not
///             known. Every bar carries its figures as attributes data-ident, data-part, data-from-nm and data-to-nm,
///             and as a title.
///   Domain    strips of the same snapshot; `title` says of what.
///   Accuracy  0.01 of a unit; one unit is a 96th of an inch.
///   Cost      some strings.
///   Fails     never.
///   Source    design section 6; SVG 1.1.
std::string strip_svg(const navdata::Snapshot& world, const flight::Strip& strip, const std::string& title);

}  // namespace omniway::writers
