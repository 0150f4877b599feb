#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/finding.hpp"
#include "earth/magnetic_model.hpp"
#include "flight/card.hpp"
#include "flight/flight.hpp"
#include "flight/runway_choice.hpp"
#include "navdata/snapshot.hpp"
#include "plan/approach_choice.hpp"
#include "procedure/approach.hpp"
#include "procedure/minima.hpp"
#include "radio/ground.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::plan {

/// What Request::departure and Request::arrival say besides the ident of a SID or STAR.
inline constexpr std::string_view own_departure = "own";
inline constexpr std::string_view no_arrival = "none";

/// What is asked: from where to where, with what, in what wind.
struct Request {
    navdata::AirportId from;
    navdata::AirportId to;
    aircraft::Aircraft aircraft;
    weather::WindsAloft winds;             // the lowest level is the surface wind
    std::optional<base::Altitude> cruise;  // none: chosen
    procedure::Minima minima;              // of approaches, as the user has them from the charts
    std::optional<std::string> departure;  // a SID's ident, or own_departure; none: chosen
    std::optional<std::string> arrival;    // a STAR's ident, or no_arrival; none: chosen
    flight::Settings settings;
    std::optional<base::Mass> alternate_fuel;  // from there to the alternate, needed on board too
    earth::DecimalYear today;
};

/// A flight that answers the request, what it is compiled to and what the judge says of it.
struct Option {
    flight::Flight flight;
    flight::Compiled compiled;
    std::vector<base::Finding> findings;  // worst first
    base::Verdict verdict = base::Verdict::not_flyable;
    flight::RunwayFit departure_runway;
    std::optional<flight::RunwayFit> arrival_runway;
    bool own_entry = false;
    double cost_min = 0.0;
};

/// A SID or STAR that was looked at.
struct ProcedureConsidered {
    std::string name;
    bool flyable = false;
    std::string why_not;
};

/// The answer: a flight, or the conditions that block and what would unblock them.
///   Model     approaches the equipment can fly at the runways the wind and length allow (plan/approach_choice.hpp); from each entry the cheapest way back
///             to the departure (routing/search.hpp) at each cruising altitude; the cheapest by time that the judge admits.
///             Where there is none, the same question is asked again with one thing changed at a time, where no one does with two,
///             then with three of the equipment: what unblocks is named.
///   Domain    two different airports of the snapshot.
///   Accuracy  as routing/search.hpp and flight/flight.hpp.
///   Cost      tens of milliseconds for 200 NM; a few times that where nothing is flyable.
///   Fails     never: no answer is an answer.
///   Source    design sections 2 and 3.
struct Answer {
    std::optional<Option> option;
    base::Verdict verdict = base::Verdict::not_flyable;
    std::vector<base::Finding> findings;  // of the option, or what blocks
    std::vector<std::string> would_unblock;
    std::vector<base::Finding> refused;  // ways not taken, with why
    std::vector<ApproachConsidered>
        approaches;  // the one taken first, then by rank, then those that cannot be flown
    std::vector<ProcedureConsidered> departures;  // from each runway that fits
    std::vector<ProcedureConsidered> arrivals;
    std::vector<flight::RunwayFit> departure_runways;
    std::vector<flight::RunwayFit> arrival_runways;
    std::size_t routes_considered = 0;
    radio::ReceptionMode reception = radio::ReceptionMode::horizon;  // by which everything was judged
    bool terrain_known = false;                                      // the atlas holds terrain
};

Answer plan(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
            const Request& request);

/// "X DCT Y V12 Z", "X SID1 Y V12 Z STAR1": the way as item 15 of a flight plan would name it (trade-facts 12).
std::string route_text(const navdata::Snapshot& world, const flight::Flight& flight);

}  // namespace omniway::plan
