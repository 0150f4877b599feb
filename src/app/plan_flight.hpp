#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/files_given.hpp"
#include "app/world.hpp"
#include "plan/plan.hpp"

namespace omniway::app {

/// What a person types to have a flight planned.
struct PlanQuestion {
    std::string from;
    std::string to;
    std::string aircraft = "single";  // a file, or the name of one that is shipped
    std::optional<std::string>
        wind;  // at the surface; where no level is given everywhere. None: 000/00, or the lowest level
    std::vector<std::string> winds;            // "3000 270/20, 9000 290/35": ascending
    std::optional<std::string> winds_file;     // a bulletin of winds aloft (readers/winds_aloft.hpp)
    std::optional<std::string> winds_station;  // whose row of it
    std::optional<double> altitude_ft;
    std::optional<double> minimum_ft;
    std::optional<std::string> minima;  // a CSV file (docs/minima-file.md)
    std::optional<double> obstacle_allowance_ft;
    std::string criteria = "terps";
    std::optional<double> dead_reckoning_nm;
    std::optional<double> dead_reckoning_min;
    std::optional<std::string> reception;  // volume, horizon or terrain
    std::vector<std::string> without;
    std::optional<std::string> departure;         // a SID's ident, or "own"
    std::optional<std::string> arrival;           // a STAR's ident, or "none"
    std::optional<std::string> alternate;         // an airport: the fuel to it is needed on board too
    std::optional<std::string> departure_runway;  // "RW25", "25"
    std::optional<std::string> landing_runway;
    std::optional<std::string> approach;     // "I27", "I27/XOBAN", "ILS RW27 via XOBAN"
    std::vector<std::string> via;            // points, in the order flown
    std::vector<std::string> avoid;          // fixes and stations
    std::vector<std::string> avoid_airways;  // designators
    std::vector<std::string> avoid_areas;    // "XKE/15", "4030N16815W/20"
    std::optional<double> highest_ft;
    bool no_ndb = false;
    bool no_dead_reckoning = false;
    bool what_mattered = false;  // whether refusals are lifted to see what they cost
    bool of_a_place = false;     // its airports are only near a place in the air: nothing is asked of them
    std::vector<std::string> nearby;  // other airports whose procedures are wanted
    double choices = 1;               // how many flights may be offered
    double choose = 1;                // which of them is answered
    earth::DecimalYear today;
    std::string from_where = "FROM";  // where its airports were typed
    std::string to_where = "TO";
    std::string without_where = "--without";
    FilesGiven files;  // where those lie that it names
};

/// The way on from the destination, planned as a flight of its own.
struct AlternatePlanned {
    navdata::AirportId airport;
    plan::Answer answer;
};

/// What was typed, read and checked: the world it is asked of, and what is asked.
struct Asked {
    World world;
    plan::Request request;
    std::optional<AlternatePlanned> alternate;
    std::vector<base::Finding>
        said;  // how what was typed was understood, where it could be understood otherwise
};

/// Reads and checks what was typed, and opens the atlas, for every command that asks for a flight.
tl::expected<Asked, std::vector<base::Error>> read_question(const std::string& atlas, const Shipped& shipped,
                                                            const PlanQuestion& question);

/// Tiles are proved as they are read, and those that were damaged counted as ground that is not known: to be told after an answer.
std::vector<base::Finding> damaged_terrain(const World& world);

struct Planned {
    World world;
    plan::Request request;
    plan::Answer answer;
    std::optional<AlternatePlanned> alternate;
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

/// The bare names of the shipped aircraft, in order.
std::vector<std::string> shipped_aircraft(const Shipped& shipped);

/// The aircraft of a file, or a shipped one by its bare name.
tl::expected<aircraft::Aircraft, std::vector<base::Error>> find_aircraft(const Shipped& shipped,
                                                                         const std::string& name,
                                                                         const FilesGiven& files = {});

}  // namespace omniway::app
