#pragma once

#include <optional>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::procedure {

/// What is checked over a marker: how far before the threshold it stands and how high the glide path passes over it.
///   Model     the glide path of its localizer (procedure/vertical.hpp) at its distance from the landing threshold.
///   Domain    any marker; of a localizer or threshold that is not recorded nothing is known, of one without a glideslope no altitude.
///   Accuracy  that of the glide path.
///   Cost      look-ups by name and a geodesic.
///   Fails     never.
///   Source    FAA-H-8083-15B chapter 9 (the glide slope is checked at the outer marker), from memory.
struct MarkerCheck {
    std::optional<base::Length> before_threshold;
    std::optional<base::Altitude> on_glide_path;
};
MarkerCheck marker_check(const navdata::Snapshot& world, const navdata::Marker& marker);

}  // namespace omniway::procedure
