#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/world.hpp"
#include "plan/procedure_report.hpp"

namespace omniway::app {

/// What a person types to see a procedure, or all of an airport, as an aircraft flies it.
struct ProcedureQuestion {
    std::string airport;
    std::optional<std::string> procedure;  // none: all of the airport
    std::string aircraft = "single";       // a file, or the name of one that is shipped
    std::string wind = "000/00";
    std::optional<std::string> via;  // one transition
    std::string reversal = "45/180";
    std::string criteria = "terps";
    std::optional<std::string> reception;  // volume, horizon or terrain; else what the atlas allows
    earth::DecimalYear today;
};

/// The reports, and the world they are of.
struct ShownProcedures {
    World world;
    navdata::AirportId airport;
    plan::ProcedureRequest request;  // of the last
    std::vector<plan::ProcedureReport> reports;
};

/// Reads and checks what was typed, opens the atlas, reports.
///   Model     the checks are the door: everything after them is plan::procedure_report, a pure function.
///   Domain    airports of the atlas and their departures, arrivals and approaches.
///   Accuracy  as plan/procedure_report.hpp.
///   Cost      one opening of the atlas and some milliseconds a procedure.
///   Fails     app.unknown_ident with near matches for airport, procedure and transition; app.unknown_word, app.unknown_reception,
///             app.no_terrain, app.unknown_aircraft, aircraft.*, weather.*, atlas.*.
///   Source    design section 3.
tl::expected<ShownProcedures, std::vector<base::Error>> show_procedures(const std::string& atlas,
                                                                        const Shipped& shipped,
                                                                        const ProcedureQuestion& question);

}  // namespace omniway::app
