#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/progress.hpp"
#include "flight/named_aid.hpp"
#include "plan/plan_in_flight.hpp"

namespace omniway::plan {

/// What a station is to a step of the card.
struct UseOfStation {
    flight::RadioUse use = flight::RadioUse::guides;
    int step = 0;
    bool missed = false;  // of the missed approach
    friend bool operator==(const UseOfStation&, const UseOfStation&) = default;
};

/// What is left to be done once a station has failed.
enum class Fallback {
    as_planned,        // the same way and approach: what the station guided or told is by others
    another_way,       // to the same approach
    another_approach,  // at the destination
    turn_back,         // to the departure
    divert,            // to the nearest airport with an approach that can be flown
    none               // stranded
};

/// A moment at which a station fails, and what is left then.
struct Failure {
    std::string when;  // "just before step 4", "half way along step 4"
    int step = 0;
    InFlight at;                      // the place from which the way on is judged
    bool by_missed_approach = false;  // flown first, to its hold
    Fallback fallback = Fallback::none;
    navdata::AirportId to;             // where the fallback leads; of none the destination
    std::optional<Option> option;      // in the world without the station
    base::Length by_heading;           // of the fallback
    bool into_reserve = false;         // it burns of the reserve
    std::vector<std::string> why_not;  // what was tried before: "XMRA: no signal ..."
};

/// One station of a flight, and what its failure means.
struct StationLoss {
    navdata::StationId station;  // in the world of the flight
    flight::NamedAid aid;
    std::vector<UseOfStation> uses;
    std::shared_ptr<const navdata::Snapshot> without;  // the world in which it is out of service
    bool flyable_from_the_ground = false;  // failed before the take-off: another flight is planned
    std::string route_from_the_ground;
    std::vector<Failure> failures;  // none: it only checks, and the flight goes on

    bool only_checks() const;
    bool strands() const;
};

struct LossReport {
    std::vector<StationLoss> stations;  // in the order in which the card comes to need them
    bool cancelled = false;             // not all were looked at
    std::vector<const StationLoss*> stranding() const;
};

/// What it means for a flight that a station it uses fails: for each, what is lost and what is left.
///   Model     a station fails whole, with all its parts, and for good. It fails just before the first step that it guides or ends (of each
///             run of such steps), 90 seconds before that step begins, and half way along the longest step of the run that it guides; of a
///             missed approach, where the first step that needs it begins. What is left is what the planner finds from there in the world
///             without the station and the judge admits (plan/plan_in_flight.hpp): to the destination; else back to the departure; else to
///             the nearest of `nearby`. In an approach from which none is found, the missed approach is flown to its hold, where the
///             station has no part in it and the way to the missed approach point by heading is within dead reckoning, and the way on is
///             sought from there. A flight that is admitted with something asked for is left; none admitted: stranded.
///   Domain    an option of `world` that is not refused; `nearby`: airports whose procedures the snapshot holds.
///   Accuracy  as plan/plan.hpp. What it calls stranded has no flight of the planner's within its statement.
///   Cost      a plan of some tens of milliseconds a failure; four times that where the level must be changed, and as much an airport
///             where none is left.
///   Fails     never; cancelled it says so, with what was done until then.
///   Source    the issue of the router, section 2; docs/station-loss.md.
LossReport station_losses(const navdata::Snapshot& world, const radio::Ground& ground,
                          const earth::MagneticModel& model, const Request& request, const Option& option,
                          const std::vector<navdata::AirportId>& nearby, const base::Progress& progress = {});

}  // namespace omniway::plan
