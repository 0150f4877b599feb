#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/world.hpp"
#include "plan/plan.hpp"

namespace omniway::app {

/// What a person types to have a flight planned.
struct PlanQuestion {
    std::string from;
    std::string to;
    std::string aircraft = "single";  // a file, or the name of one that is shipped
    std::string wind = "000/00";
    std::optional<double> altitude_ft;
    std::optional<double> minimum_ft;
    std::optional<std::string> minima;  // a CSV file (docs/minima-file.md)
    std::optional<double> obstacle_allowance_ft;
    std::string criteria = "terps";
    std::optional<double> dead_reckoning_nm;
    std::optional<double> dead_reckoning_min;
    std::optional<std::string> reception;  // volume, horizon or terrain
    std::vector<std::string> without;
    std::optional<std::string> departure;  // a SID's ident, or "own"
    std::optional<std::string> arrival;    // a STAR's ident, or "none"
    earth::DecimalYear today;
};

struct Planned {
    World world;
    plan::Request request;
    plan::Answer answer;
};

/// Reads and checks what was typed, opens the atlas, plans.
///   Model     the checks are the door: everything after them is plan::plan, a pure function.
///   Domain    altitudes 500 to 60,000 ft and not above the aircraft's ceiling; dead reckoning 0 to 100 NM, 0 to 60 min.
///   Accuracy  as plan/plan.hpp.
///   Cost      opening the atlas and one plan.
///   Fails     with every fault found: app.*, aircraft.*, weather.*, atlas.*, and read.* for the file of minima as a whole.
///   Source    design section 2, idea 5.
tl::expected<Planned, std::vector<base::Error>> plan_flight(const std::string& atlas, const Shipped& shipped,
                                                            const PlanQuestion& question);

/// The aircraft of a file, or a shipped one by its bare name.
tl::expected<aircraft::Aircraft, std::vector<base::Error>> find_aircraft(const Shipped& shipped,
                                                                         const std::string& name);

}  // namespace omniway::app
