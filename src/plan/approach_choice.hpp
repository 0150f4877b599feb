#pragma once

#include <optional>
#include <string>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/finding.hpp"
#include "flight/flight.hpp"
#include "flight/runway_choice.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/approach.hpp"
#include "procedure/minima.hpp"
#include "radio/ground.hpp"
#include "routing/search.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::plan {

/// What is asked: how an airport can be approached, by what, in what wind, down to what.
struct ApproachQuestion {
    navdata::AirportId airport;
    const aircraft::Aircraft* aircraft = nullptr;
    weather::WindsAloft winds;
    const flight::Settings* settings = nullptr;
    const procedure::Minima* minima = nullptr;
    std::vector<flight::RunwayFit> runways;  // ranked for landing (flight/runway_choice.hpp)
    routing::Constraints constraints = {};   // to which its legs keep too, else it is refused (constraint.*)
};

/// Whether a way of flying an approach is one of those asked for: by the procedure's ident or its own name ("ILS RW27 via XOBAN"), and by
/// its transition; none: any is.
bool is_asked_for(const procedure::ApproachWay& way, const std::optional<std::string>& approach,
                  const std::optional<std::string>& transition);

/// One thing that makes an approach more work, in NM of detour that an instructor would accept to be spared it.
struct WorkItem {
    std::string what;  // "a procedure turn"
    base::Length worth;
};

/// Where one way of flying an approach lands, and how.
struct LandingOption {
    flight::RunwayFit runway;
    procedure::Landing landing = procedure::Landing::straight_in;
    std::optional<procedure::ApproachMinimum> minimum;  // the chart's, as the user gives it
    base::Altitude ranked_by;                           // that, else a typical one
    std::vector<WorkItem> work;                         // circling, wind, height of the minimum
    base::Length weight() const;
};

/// A way of flying an approach with all that is needed to fly it, its missed approach included.
struct FlyableApproach {
    const procedure::ApproachWay* way = nullptr;
    std::vector<flight::Leg> legs;
    std::vector<flight::Leg> missed;
    std::vector<flight::ProfilePoint> missed_profile;
    std::vector<base::Finding> findings;
    base::Length length;
    std::vector<WorkItem> work;
    routing::Entry entry;
    std::vector<LandingOption> landings;  // none empty
};

/// One that cannot be flown, with the leg and the reason.
struct RefusedApproach {
    const procedure::ApproachWay* way = nullptr;
    base::Finding reason;
};

/// Everything that the equipment can fly at an airport, by each transition, arc, feeder and hold, onto each runway that fits.
///   Model     a way is flyable where nothing blocks but its missed approach and own navigation replaces that
///             (flight/missed_approach.hpp), or radar vectors and own navigation replaces those (flight/own_join.hpp), or a step-down fix
///             that cannot be told and the chart gives a minimum without it. It lands straight in where the runway fits; a way that
///             leads to no runway circles to each that fits; one whose runway does not fit, or has less headwind than another that
///             fits, circles to the best of those as well. Ranked by track miles, and by work and minima counted in miles:
///               final on a glideslope 0, VOR 1, localizer 2, back course 6, NDB 8
///               each 100 ft of the minimum above 200 ft over the field 2 (of a typical minimum where none is given)
///               circling 15, a procedure turn 2, a hold in lieu 2, an arc 2, a step-down 1, a retune 1, a fix by a second receiver 2
///               entered by own navigation 40, own navigation for vectors 8, an own missed approach 8
///               a knot of tailwind 1.5, a knot less headwind than the best 0.3.
///   Domain    procedures of the snapshot; `ways` must outlive the answer.
///   Accuracy  as procedure/approach.hpp.
///   Cost      20 ways under 20 ms (bench/, "approach_choice").
///   Fails     "no" is a refusal with the leg and the reason.
///   Source    the scale is common practice, no source (docs/methods/choosing-an-approach.md); typical minima trade-facts 11.2.
struct ApproachChoice {
    std::vector<FlyableApproach> flyable;
    std::vector<RefusedApproach> refused;
};
ApproachChoice approach_choice(const navdata::Snapshot& world, const radio::Ground& ground,
                               const ApproachQuestion& question,
                               const std::vector<procedure::ApproachWay>& ways);

/// An approach that was looked at, with its figures and, where it was not taken, why not.
struct ApproachConsidered {
    std::string name;
    bool flyable = false;
    std::string why_not;  // empty: taken
    std::string procedure;
    std::string transition;
    std::string entry;
    std::optional<std::size_t> rank;  // 1: taken; none where it cannot be flown or nothing leads to it
    std::string runway;               // "RW27"; empty where none
    procedure::Landing landing = procedure::Landing::straight_in;
    std::optional<base::Length> track_miles;  // from the departure to the missed approach point
    base::Length approach_miles;              // of these along the procedure
    std::vector<WorkItem> work;
    std::optional<procedure::ApproachMinimum> minimum;
    std::optional<base::Altitude> typical_minimum;  // ranks where none is given; it satisfies nothing
    std::optional<base::Speed> headwind;            // negative is a tailwind
};

ApproachConsidered considered(const navdata::Snapshot& world, const FlyableApproach& approach,
                              const LandingOption& landing);
ApproachConsidered considered(const RefusedApproach& refused);

/// What speaks against one beside the one taken, in a plain sentence: "14 NM longer, 300 ft higher minimum (typical), a procedure turn".
std::string difference(const ApproachConsidered& taken, const ApproachConsidered& other);

/// Where the wind favours another runway than the one landed on, or the landing circles: which, by how much, and what was chosen
/// instead.
std::optional<base::Finding> wind_favours_other(const navdata::Snapshot& world,
                                                const ApproachQuestion& question,
                                                const ApproachChoice& choice, const FlyableApproach& taken,
                                                const LandingOption& landing);

/// A placed leg as a flight has it.
flight::Leg leg_of(const procedure::PlacedLeg& placed, const std::string& via, flight::Phase phase);

}  // namespace omniway::plan
