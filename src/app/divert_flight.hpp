#pragma once

#include <optional>
#include <string>

#include "app/plan_flight.hpp"
#include "base/progress.hpp"
#include "plan/diversion.hpp"

namespace omniway::app {

/// What a person types to find where else to land.
struct DivertQuestion {
    PlanQuestion flight;                  // its airports empty where a position is given
    std::optional<std::string> at;        // "5": as that step begins; "45NM": so far from the take-off
    std::optional<std::string> position;  // "XKE", "XKE090015", "N44W072", "44.5,-72.25"
    std::optional<double>
        fuel_lb;                 // on board there; none: what is left of the flight, else all that is usable
    std::optional<double> most;  // airports wanted
};

/// Where one can land from there.
struct Diverted {
    World world;
    plan::Request request;
    std::optional<plan::Option> planned;   // the flight that is left
    std::vector<base::Finding> no_flight;  // why there is none to be left
    std::optional<plan::Diversions> found;
    radio::ReceptionMode reception = radio::ReceptionMode::horizon;
    bool terrain_known = false;
};

/// Ranks airports to land at from a point of a planned flight, or from a position at an altitude.
///   Model     plan/diversion.hpp, of the 60 airports that are nearest within 150 NM.
///   Domain    a position at 500 to 60,000 ft, not above the ceiling.
///   Accuracy  as plan/diversion.hpp.
///   Cost      opening the atlas twice, and some tens of milliseconds an airport.
///   Fails     as read_question(); app.divert_from, app.at_form, app.position_form, app.unknown_ident, app.ambiguous_ident,
///             app.cancelled.
///   Source    the issue of the router, section 2.
tl::expected<Diverted, std::vector<base::Error>> divert_flight(const std::string& atlas,
                                                               const Shipped& shipped,
                                                               const DivertQuestion& question,
                                                               const base::Progress& progress);

}  // namespace omniway::app
