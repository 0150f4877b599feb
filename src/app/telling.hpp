#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/world.hpp"
#include "plan/fix_report.hpp"

namespace omniway::app {

/// What a person types to learn how a fix can be told.
struct TellingQuestion {
    std::string ident;
    std::optional<double> altitude_ft;
    std::optional<std::string> aircraft;  // a file, or the name of one that is shipped
    std::optional<double> track_deg;      // magnetic
    std::string criteria = "terps";
    std::string use = "en-route";
    std::optional<std::string> reception;  // volume, horizon or terrain; else what the atlas allows
    earth::DecimalYear today;
};

/// The reports on every fix and station of that ident, and the world they are of.
struct Told {
    World world;
    std::vector<plan::FixReport> reports;
};

/// Reads and checks what was typed, opens the atlas, reports.
///   Model     the checks are the door: everything after them is plan::fix_report, a pure function.
///   Domain    altitudes 500 to 60,000 ft; tracks 0 to 360 degrees magnetic.
///   Accuracy  as plan/fix_report.hpp.
///   Cost      one opening of the atlas and one report for each point of that ident.
///   Fails     app.unknown_ident with near matches, app.unknown_reception, app.no_terrain, app.not_a_fix, app.out_of_range, app.unknown_word, app.unknown_aircraft,
///             aircraft.*, atlas.*.
///   Source    design section 2, idea 5.
tl::expected<Told, std::vector<base::Error>> tell_fix(const std::string& atlas, const Shipped& shipped,
                                                      const TellingQuestion& question);

}  // namespace omniway::app
