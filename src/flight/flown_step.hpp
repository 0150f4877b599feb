#pragma once

#include <optional>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "flight/circumstances.hpp"
#include "flight/flight_track.hpp"
#include "radio/along_path.hpp"

namespace omniway::flight {

/// A step of the flight track as it comes in time: from when to when, how high, and how its end is reached.
///   Model     the missed approach follows on the approach. A step that no heading holds takes the time of its true airspeed, a hold that
///             is left only when one decides one circuit. On an arc the end is reached along the arc, after a hold or a reversal inbound.
///   Domain    the track must outlive it.
///   Accuracy  as the track.
///   Cost      a geodesic and the magnetic model a step.
///   Fails     never.
///   Source    design section 2.
struct FlownStep {
    const TrackStep* track = nullptr;
    const Leg* leg = nullptr;  // the last that belongs to it
    bool missed = false;
    base::Duration begin{0.0};  // from lining up
    base::Duration end{0.0};
    base::Length begins_along;  // from take-off; the missed approach counts on
    base::Altitude at_start;
    base::Altitude at_end;
    base::TrueBearing arrival;  // over the ground at its end
    base::Variation variation_at_end;
    std::optional<base::TrueBearing> heading_at_end;
    base::MagneticBearing compass_at_end() const {
        return base::to_magnetic(heading_at_end.value_or(arrival), variation_at_end);
    }
    base::Duration takes() const { return end - begin; }
};
std::vector<FlownStep> flown_steps(const Circumstances& circumstances, const Flight& flight,
                                   const FlightTrack& track);

/// Where it is flown, with every bend of the profile; an arc follows its station.
std::vector<radio::PathPoint> path_of(const navdata::Snapshot& world, const Flight& flight,
                                      const FlownStep& step);

/// What the DME shows of a station at a place: the slant range less the bias of the station. Source: trade-facts 5.
base::Length dme_reading(const navdata::Station& station, const radio::Ground& ground, earth::Position place,
                         base::Altitude altitude);

}  // namespace omniway::flight
