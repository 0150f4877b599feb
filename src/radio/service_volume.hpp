#pragma once

#include <optional>
#include <span>
#include <string>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "navdata/station.hpp"
#include "radio/aid_kind.hpp"

namespace omniway::radio {

/// One row of a class's standard service volume; where several hold, the greatest radius counts.
struct VolumeBand {
    base::Length from;               // above the transmitter
    std::optional<base::Length> to;  // none: at every height
    bool to_included = true;
    std::optional<base::Length> radius;  // none: line of sight
};

/// The published rows of a class, in the order of the publication; none for an unknown class.
///   Model     AIM tables 1-1-1 and 1-1-2, and the localizer's inner sector; docs/service-classes.md copies them.
///   Domain    every class.
///   Accuracy  as published; DL/DH above 12,900 ft from memory.
///   Cost      O(1).
///   Fails     never.
///   Source    trade-facts 1.
std::span<const VolumeBand> service_bands(navdata::ServiceClass service);

/// The radius within which a class of station promises a usable signal at a height above its transmitter.
///   Model     the greatest radius of the rows that hold the height. Below 1,000 ft the published lower edge is a curve that is not
///             tabulated: the smooth-earth horizon of that height stands for it, never more than the radius at 1,000 ft. Unknown
///             classes are the smallest of their kind, which the caller says.
///   Domain    heights above the transmitter; NDB radii hold at every height.
///   Accuracy  as published.
///   Cost      O(1).
///   Fails     "no" is an empty answer: outside every row of the class.
///   Source    AIM 1-1-8 tables 1-1-1 and 1-1-2, AIM 1-1-9 (trade-facts 1).
std::optional<base::Length> service_radius(navdata::ServiceClass service, base::Length above_transmitter);

/// The class that stands in for an unknown one: the smallest of its kind.
navdata::ServiceClass smallest_of(AidKind kind);
navdata::ServiceClass known_or_smallest(navdata::ServiceClass service, AidKind kind);

/// "40 NM from 1,000 to 18,000 ft above it"; empty for an unknown class.
std::string volume_text(navdata::ServiceClass service);

/// How far a localizer promises a signal so far off its course line (front or back, 0 to 90 degrees): 18 NM within 10 degrees,
/// 10 NM within 35, none beyond. Annex 10 asks 25 and 17 NM of a localizer, or these where terrain or use allow.
/// Source: AIM 1-1-9 (trade-facts 1.3, [seen]).
std::optional<base::Length> localizer_radius(base::Angle off_course);

/// The altitudes between which it promises it: from 1,000 ft above the highest terrain on the course line to 4,500 ft above its
/// antenna. Lowest is none where that terrain is not known. Source: AIM 1-1-9 (trade-facts 1.3, [seen]).
struct LocalizerAltitudes {
    std::optional<base::Altitude> lowest;
    base::Altitude highest;
};
LocalizerAltitudes localizer_altitudes(base::Altitude antenna,
                                       std::optional<base::Altitude> highest_terrain_on_course);

/// Where an aircraft stands against a glideslope: how far from its antenna over the ground, how far off the localizer's course at
/// the antenna (0 to 180 degrees), how high above the horizontal there.
struct GlideslopePlace {
    base::Length distance;
    base::Angle off_course;
    base::Angle elevation;
};

/// Whether a glideslope of a published angle promises a signal there, and if not, past which of its sides.
///   Model     to 10 NM, within 8 degrees of the course, from 0.45 to 1.75 of its angle above the horizontal; the sides are inside.
///   Domain    any place; angles of 2 to 6 degrees are built.
///   Accuracy  as published; the vertical bounds from memory.
///   Cost      O(1).
///   Fails     never.
///   Source    ICAO Annex 10 Vol I 3.1.5.3 (vertical from memory), AIM 1-1-9 (trade-facts 1.3).
enum class GlideslopeVolume { inside, beyond, beside, below, above };
GlideslopeVolume glideslope_volume(const GlideslopePlace& place, base::Angle glideslope);

}  // namespace omniway::radio
