#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/clock.hpp"
#include "base/finding.hpp"
#include "earth/magnetic_model.hpp"
#include "flight/compile.hpp"
#include "flight/costs.hpp"
#include "flight/flight.hpp"
#include "flight/runway_choice.hpp"
#include "navdata/snapshot.hpp"
#include "plan/approach_choice.hpp"
#include "plan/in_flight.hpp"
#include "procedure/approach.hpp"
#include "procedure/minima.hpp"
#include "radio/ground.hpp"
#include "routing/constraints.hpp"
#include "routing/roads.hpp"
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
    routing::Constraints constraints;
    std::optional<navdata::RunwayId> departure_runway;  // none: by the wind
    std::optional<navdata::RunwayId> landing_runway;    // none: by the wind
    std::optional<std::string> approach;  // a procedure's ident, or the name of one way of flying it
    std::optional<std::string> approach_transition;  // of it; none: any
    std::size_t most_choices = 1;                    // how many flights may be offered
    std::size_t choice = 1;                          // which of them is answered
    unsigned threads = 0;  // on how many they are compiled; 0: as many as there are processors
    bool ask_what_would_do =
        true;  // whether changes are looked for where nothing is flyable (plan/what_would_do.hpp)
    bool compare_approaches =
        true;  // whether a way is looked for to those not taken, to tell what they would cost
    std::size_t most_lifts =
        0;  // how many refusals may be lifted to see whether they mattered (plan/what_mattered.hpp)
    std::optional<InFlight> in_flight;  // where it is taken up in the air; none: from `from`
    bool own_legs = true;               // whether ways of own legs are looked for where no other is admitted
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

/// One of the flights offered: what it costs, and in a plain sentence how it differs from the first.
struct Choice {
    Option option;
    flight::Costs costs;
    std::string difference;  // empty of the first
};

/// A SID or STAR that was looked at.
struct ProcedureConsidered {
    std::string name;
    bool flyable = false;
    std::string why_not;
};

/// Refusals that stood in the way of another flight: with them lifted it would be the answer.
struct Mattered {
    std::string lifted;  // "V45 both ways", "an ADF"
    std::vector<base::Finding> refused;
    std::string with_it;  // in a sentence: "XDOV DCT XDV V45 XBN XBRE: 12.0 min sooner, 3 points less work"
    bool flyable_before = true;  // without it there is a flight too
    base::Duration sooner{0.0};  // negative: later
    double less_work = 0.0;
    double more_margin = 0.0;
};

/// The answer: a flight, or the conditions that block and what would unblock them.
///   Model     approaches the equipment can fly at the runways the wind and length allow (plan/approach_choice.hpp); from each entry the cheapest way back
///             to the departure (routing/search.hpp) at each cruising altitude; the cheapest by time that the judge admits.
///             A runway or approach that is asked for is the only one looked at: it outranks the wind, and what speaks against it is found
///             all the same. Where there is none, the same question is asked again with something changed: what unblocks is named
///             (plan/what_would_do.hpp).
///   Domain    two different airports of the snapshot.
///   Accuracy  as routing/search.hpp and flight/flight.hpp.
///   Cost      tens of milliseconds for 200 NM; a few times that where nothing is flyable.
///   Fails     never: no answer is an answer.
///   Source    design sections 2 and 3.
struct Answer {
    std::optional<Option> option;
    std::optional<flight::Costs> costs;  // of the option, where others were asked for
    std::vector<Choice>
        others;  // that nothing offered is better than in time, work and margin; quickest first
    base::Verdict verdict = base::Verdict::not_flyable;
    std::vector<base::Finding> findings;     // of the option, or what blocks
    std::vector<std::string> would_unblock;  // the smallest change first
    std::size_t changes_tried = 0;           // to find these
    std::size_t changes_not_tried = 0;       // beyond the bound
    std::vector<base::Finding> refused;      // ways not taken, with why; those that mattered first
    std::vector<Mattered> mattered;          // of these, what the answer would be without them
    std::size_t lifts_tried = 0;
    std::size_t lifts_not_tried = 0;
    std::vector<ApproachConsidered>
        approaches;  // the one taken first, then by rank, then those that cannot be flown
    std::vector<ProcedureConsidered> departures;  // from each runway that fits
    std::vector<ProcedureConsidered> arrivals;
    std::vector<flight::RunwayFit> departure_runways;
    std::vector<flight::RunwayFit> arrival_runways;
    std::size_t routes_considered = 0;
    std::size_t routes_judged = 0;   // whole flights compiled and judged
    bool choices_cut_short = false;  // the search for them came to its bound: some may be missing
    std::size_t searched_again = 0;  // without the pair of legs that the judge refused
    radio::ReceptionMode reception = radio::ReceptionMode::horizon;  // by which everything was judged
    bool terrain_known = false;                                      // the atlas holds terrain
};

/// `roads`, of this world and ground, spares a question what an earlier one found out.
Answer plan(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
            const Request& request, routing::Roads& roads);
Answer plan(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
            const Request& request);

/// "X DCT Y V12 Z", "X SID1 Y V12 Z STAR1": the way as item 15 of a flight plan would name it (trade-facts 12).
std::string route_text(const navdata::Snapshot& world, const flight::Flight& flight);

}  // namespace omniway::plan
