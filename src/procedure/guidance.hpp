#pragma once

#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "cockpit/equipment.hpp"
#include "earth/position.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::procedure {

/// What keeps the aircraft on its line.
struct OnRadial {  // course is what is set on the receiver: the radial outbound, its reciprocal inbound
    navdata::StationId station;
    bool toward = false;
    base::Radial course;
};
struct OnBeacon {
    navdata::StationId station;
    bool toward = false;
    base::TrueBearing track;
};
struct OnLocalizer {
    navdata::StationId station;
    bool toward = true;        // flown toward the antenna
    bool back_course = false;  // on the side away from the front course

    /// Whether the needle of a plain indicator points away from the course line: inbound on the back course and outbound on
    /// the front course. Source: AIM 1-1-9 b 3 (trade-facts 4).
    bool needle_reversed() const { return toward == back_course; }
};
struct OnArc {
    navdata::StationId station;
    base::Length radius;
    bool clockwise = false;
};
struct OnHeading {  // dead reckoning along a track
    base::TrueBearing track;
};
using Guidance = std::variant<OnRadial, OnBeacon, OnLocalizer, OnArc, OnHeading>;

std::optional<navdata::StationId> station_of(const Guidance& guidance);

/// Whether the straight line from one place to another lies on one radial, bearing or localizer course of a station, and
/// then how it is flown on it.
///   Model     the nearer end may stand off the line from the station through the farther end by 0.1 NM or 0.6 degrees, the
///             larger: what rounding of published fixes and half a dot of a VOR needle amount to.
///   Domain    lines up to 250 NM; a line that passes over a VOR or NDB lies on no single radial. One that passes over the antenna
///             of a localizer lies on its one course line, and is front or back course by where the most of it lies; LDA and
///             SDF have no back course.
///   Accuracy  across-track distances within a metre.
///   Cost      three geodesics.
///   Fails     "no" is an empty answer.
///   Source    trade-facts 11.1 (a TF along a radial or localizer needs no area navigation); the 0.6 degrees: common practice, no source.
std::optional<Guidance> guidance_along(const navdata::Snapshot& world, navdata::StationId station,
                                       earth::Position from, earth::Position to);

/// Whether the receivers aboard can follow it.
bool can_follow(const navdata::Snapshot& world, const cockpit::Equipment& aboard, const Guidance& guidance);

/// "needs an ADF", for a guidance that can_follow refuses.
std::string lack_text(const navdata::Snapshot& world, const Guidance& guidance);

/// The first of the candidates whose line it is and which the equipment can follow; when none can be followed, the first whose
/// line it is stands in `unfollowed`, so that the reason can be named.
struct GuidanceSearch {
    std::optional<Guidance> guidance;
    std::optional<Guidance> unfollowed;
};
GuidanceSearch find_guidance(const navdata::Snapshot& world, const cockpit::Equipment& aboard,
                             std::span<const navdata::StationId> candidates, earth::Position from,
                             earth::Position to);

}  // namespace omniway::procedure
