#pragma once

#include <optional>
#include <string>
#include <vector>

#include "flight/circumstances.hpp"
#include "flight/flown_step.hpp"
#include "flight/step.hpp"

namespace omniway::flight {

/// A set that must show an aid for an end to be seen.
struct EndNeed {
    SetKind kind = SetKind::receiver;
    navdata::StationId station;
    std::optional<base::Radial> course;
};

/// What ends a step as the cockpit sees it, and what of the radios beside the guidance that takes.
struct ObservedEnd {
    StepEnd end;
    std::optional<EndNeed> need;
    bool starts_clock = false;  // a later end counts its time from here
};
struct ObservedEnds {
    std::vector<ObservedEnd> of;       // each step
    bool clock_when_lined_up = false;  // a first one counts from take-off
};

/// By what a changeover, which is no fix, is told: a DME reading where there is one, or the clock alone.
enum class Changeovers { by_reading, by_time };

/// How the end of each step is observed with what is aboard.
///   Model     a fix by its telling, every DME reading as slant range at the altitude there less the bias of its station; where the next
///             needle comes alive by that needle, a beacon by its bearing, an arc by its own distance; a changeover by the DME of the aid
///             that guides, else of the next, where one is heard there, else by time since the last end that was told; a missed
///             approach point without a telling by time from the final fix.
///   Domain    steps in order with the missed approach after the approach.
///   Accuracy  as paper: 0.1 NM, whole degrees and seconds.
///   Cost      some geodesics a step.
///   Fails     never: whether an end can be seen at all is the judge's.
///   Source    design sections 2 and 3; trade-facts 4, 5, 21.
ObservedEnds observed_ends(const Circumstances& circumstances, const FlightTrack& track,
                           const std::vector<FlownStep>& steps, Changeovers changeovers);

/// "over XDV", "22.8 DME XHU", "radial 087 XMR": an end as work names it.
std::string event_name(const StepEnd& end);

}  // namespace omniway::flight
