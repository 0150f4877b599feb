#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/progress.hpp"
#include "flight/named_aid.hpp"
#include "plan/plan_in_flight.hpp"

namespace omniway::plan {

/// The first thing to do on the radios: what to set on which set, and the heading to fly while it is tuned and identified.
struct FirstOnTheRadios {
    flight::RadioSet set;
    flight::NamedAid aid;
    std::optional<base::Radial> course;            // to be set; none of a beacon
    bool toward = true;                            // to the aid; false: away from it
    bool hold = false;                             // over it, right turns, the course inbound
    std::optional<base::MagneticBearing> heading;  // none where no heading holds the track in this wind
    base::MagneticBearing track;
    base::Length by_heading;  // until that aid guides; zero: it guides already
    std::optional<base::Duration> heading_time;
};

/// An airport that can be flown to from there, by an approach that the judge admits.
struct Diversion {
    navdata::AirportId airport;
    base::Length direct;  // the straight line
    Option option;
    std::optional<FirstOnTheRadios> first;
    std::optional<base::Duration> time;
    base::Mass fuel_left;  // at the missed approach point
    base::Mass reserve;    // that is wanted of it
    bool minima_known = false;
};

struct DiversionRefused {
    navdata::AirportId airport;
    base::Length direct;
    std::string why;
};

struct Diversions {
    InFlight from;
    std::vector<Diversion> ranked;  // those with an approach first, quickest first
    std::vector<DiversionRefused>
        refused;  // nearest first: nearer than the farthest that is ranked, or all where none is
    std::size_t not_looked_at = 0;  // airports farther away
    bool cancelled = false;
};

struct DiversionQuestion {
    std::vector<navdata::AirportId> airports;  // whose procedures the snapshot holds
    std::size_t most = 5;                      // ranked
    std::size_t most_looked_at = 24;
};

/// Where one can land from a place in the air.
///   Model     airports by distance: one without a runway that fits aircraft and wind, or without an approach, is refused; to each of the
///             others a flight is planned from there (plan/plan_in_flight.hpp), until so many with an approach are admitted; those that have none in the data come behind. By the time in the wind. The
///             weather there is not known to this program; minima are where the user gave them.
///   Domain    airports of the snapshot within what the fuel reaches.
///   Accuracy  as plan/plan.hpp.
///   Cost      some tens of milliseconds an airport, four times that where none is found.
///   Fails     never: no airport is an empty list with what was refused; cancelled it says so.
///   Source    design section 3; docs/diversion.md.
Diversions diversions(const navdata::Snapshot& world, const radio::Ground& ground,
                      const earth::MagneticModel& model, const Request& request, const InFlight& now,
                      const DiversionQuestion& question, const base::Progress& progress = {});

/// What is to be done first of a flight taken up in the air; none where nothing guides it or no schedule of the radios exists.
std::optional<FirstOnTheRadios> first_on_the_radios(const navdata::Snapshot& world, const Option& option);

}  // namespace omniway::plan
