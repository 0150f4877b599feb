#pragma once

#include <optional>

#include "base/quantity.hpp"
#include "navdata/station.hpp"

namespace omniway::radio {

/// The radius within which a class of station promises a usable signal at a height above its transmitter.
///   Model     the standard service volumes; overlapping bands give the larger radius. Below 1,000 ft the published lower
///             edge is a curve that is not tabulated: the smooth-earth horizon of that height stands for it, never more
///             than the radius at 1,000 ft. DL and DH up to 12,900 ft are line of sight. Unknown classes are the smallest
///             of their kind, which the caller says.
///   Domain    heights above the transmitter; NDB radii hold at every height.
///   Accuracy  as published; DL/DH above 12,900 ft are from memory (trade-facts 1.1).
///   Cost      O(1).
///   Fails     "no" is an empty answer: outside every band of the class.
///   Source    AIM 1-1-8 tables 1-1-1 and 1-1-2, AIM 1-1-9 (trade-facts 1).
std::optional<base::Length> service_radius(navdata::ServiceClass service, base::Length above_transmitter);

/// The class that stands in for an unknown one: the smallest of its kind.
enum class AidKind { vor, distance, ndb };
navdata::ServiceClass smallest_of(AidKind kind);

}  // namespace omniway::radio
