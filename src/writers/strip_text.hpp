#pragma once

#include <string>

#include "flight/strip.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::writers {

/// Who can be heard along a way, as text for a terminal or a printer: a row for each station with a bar from alive to dead,
/// over the profile of the ground and the heights flown, and below the bars what ends them.
///   Model     at most 100 columns; a character of a bar stands for length / 70. '=' is heard, '-' heard with less than 500 ft
///             or 2.5 NM to spare, '?' heard as far as known, over ground that is not; '*' is the height flown, '#' the
///             ground, '?' ground not known, '_' the minimum altitude.
///   Domain    strips of the same snapshot; `title` says of what.
///   Accuracy  a character; the figures below to 0.1 NM.
///   Cost      some strings.
///   Fails     never.
///   Source    design section 6.
std::string strip_text(const navdata::Snapshot& world, const flight::Strip& strip, const std::string& title);

}  // namespace omniway::writers
