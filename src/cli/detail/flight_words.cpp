#include "cli/detail/flight_words.hpp"

namespace omniway::cli::detail {

void add_flight_words(CLI::App& command, app::PlanQuestion& question) {
    command.add_option("--aircraft", question.aircraft, "Aircraft file, or trainer, single, twin, jet");
    command.add_option(
        "--wind", question.wind,
        "Surface wind from true north, DDD/FF in knots, e.g. 270/15; alone, at every altitude");
    command
        .add_option("--winds", question.winds,
                    "Winds by level, feet above sea level: \"3000 270/20, 9000 290/35\" (may be repeated)")
        ->allow_extra_args(false);
    command.add_option("--winds-file", question.winds_file,
                       "Bulletin of winds aloft to take the levels from");
    command.add_option("--winds-station", question.winds_station, "Station of that bulletin");
    command.add_option("--minimum", question.minimum_ft, "Minimum altitude off the airways, in feet");
    command.add_option("--minima", question.minima,
                       "CSV file of approach minima from the charts (docs/minima-file.md)");
    command.add_option("--obstacle-allowance", question.obstacle_allowance_ft,
                       "Added to the ground off the airways for what stands on it, in feet (else 200)");
    command.add_option("--criteria", question.criteria,
                       "Whose tolerances tell a fix: terps (the default) or pans-ops");
    command.add_option("--dead-reckoning-nm", question.dead_reckoning_nm,
                       "Longest stretch by heading alone, NM");
    command.add_option("--dead-reckoning-min", question.dead_reckoning_min,
                       "Longest stretch by heading alone, minutes");
    command.add_option("--reception", question.reception,
                       "Who is heard by: volume, horizon or terrain (else terrain where the atlas has it)");
    command.add_option("--without", question.without, "Station out of service, by ident (may be repeated)")
        ->allow_extra_args(false);
}

void add_way_words(CLI::App& command, app::PlanQuestion& question) {
    command.add_option("--runway", question.departure_runway,
                       "Take-off runway, by ident (else the best that fits)");
    command.add_option("--landing-runway", question.landing_runway,
                       "Landing runway, by ident (else as the wind and the approach lead)");
    command.add_option("--approach", question.approach,
                       "Approach to fly, by ident, perhaps with its transition: I27 or I27/XOBAN (else the "
                       "best that the judge admits)");
    const auto add_list = [&](const char* name, std::vector<std::string>& list, const char* says) {
        command.add_option(name, list, says)->delimiter(',')->allow_extra_args(false);
    };
    add_list("--via", question.via, "Points to fly over, in this order: XKE,XHU (may be repeated)");
    add_list("--avoid", question.avoid,
             "Fix or station not to fly over, nor to use: XRG,XULVE (may be repeated)");
    add_list("--avoid-airway", question.avoid_airways,
             "Airway not to fly along, by designator: V12 (may be repeated)");
    add_list("--avoid-area", question.avoid_areas,
             "Area to keep out of, a place and NM about it: XKE/15, 4030N16815W/20 (may be repeated)");
    command.add_option("--highest", question.highest_ft, "Highest cruising altitude, in feet");
    command.add_flag("--no-ndb", question.no_ndb, "Use no NDB, neither to follow nor to tell a fix");
    command.add_flag("--no-dead-reckoning", question.no_dead_reckoning,
                     "Fly nothing by heading alone, but what a procedure or the turn after take-off asks");
}

}  // namespace omniway::cli::detail
