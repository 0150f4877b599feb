#include "cli/detail/hear_command.hpp"

#include <fmt/format.h>

#include "app/answer_json.hpp"
#include "base/progress.hpp"
#include "plan/strip_wording.hpp"
#include "wire/hear_json.hpp"
#include "writers/strip_svg.hpp"
#include "writers/strip_text.hpp"

namespace omniway::cli::detail {

namespace {

constexpr int no_way = 1;
constexpr int cancelled = 3;

std::string margins_text(const radio::Reception& reception) {
    std::string text;
    if (const auto above = reception.above_sight()) {
        text += fmt::format("{:+.0f} ft to the line of sight", above->feet());
    }
    if (const auto inside = reception.within_limit()) {
        text += fmt::format("{}{:+.1f} NM to the edge", text.empty() ? "" : ", ", inside->nautical_miles());
    }
    if (!reception.site_known) {
        text += std::string(text.empty() ? "" : ", ") + "its site's height not known: sea level taken";
    }
    if (!reception.ground_known) {
        text += std::string(text.empty() ? "" : ", ") + "ground not known on the way";
    }
    return text;
}

std::string points_text(const app::HeardPoints& heard) {
    const navdata::Snapshot& world = *heard.world.snapshot;
    std::string text = plan::mode_text(heard.mode) + "\n";
    for (const app::HeardAt& point : heard.points) {
        text +=
            fmt::format("\n{}, {:.0f} ft\n", earth::to_text(point.point.place), point.point.altitude.feet());
        for (const app::PartHeard& part : point.parts) {
            const navdata::Station& station = world[part.station];
            text += fmt::format("  {:<5}{:<12}{:<8}{}", station.ident, navdata::kind_text(station),
                                plan::part_text(station, part.part), radio::to_text(part.reception));
            const std::string margins = margins_text(part.reception);
            text += margins.empty() ? "\n" : fmt::format("; {}\n", margins);
        }
        if (point.parts.empty()) {
            text += "  nothing is heard\n";
        }
    }
    return text;
}

wire::MapAccount account_of(const app::HeardMap& map) {
    wire::MapAccount account{map.out,     map.grid, map.mode, map.altitude,
                             map.station, map.kind, {},       map.cells_over_unknown_ground};
    for (const app::MapBand& band : map.bands) {
        account.bands.push_back({band.name, band.cells, band.least, band.most});
    }
    return account;
}

std::string map_text(const app::HeardMap& map) {
    std::string text =
        fmt::format("{}: {} by {} cells of {:g} arc-seconds; {}\n", map.out, map.grid.columns, map.grid.rows,
                    map.grid.cell.degrees() * 3600.0, plan::mode_text(map.mode));
    for (const app::MapBand& band : map.bands) {
        text += fmt::format("  {:<36}", band.name);
        text += band.cells == 0
                    ? std::string("nowhere\n")
                    : fmt::format("{0:.{2}f} to {1:.{2}f} in {3} of {4} cells\n", *band.least, *band.most,
                                  band.name.ends_with("_nm") ? 2 : 0, band.cells, map.grid.cells());
    }
    if (map.cells_over_unknown_ground > 0) {
        text += fmt::format("{} cells rest on ground that is not known\n", map.cells_over_unknown_ground);
    }
    return text;
}

}  // namespace

CLI::App* HearCommand::declare(CLI::App& app, std::optional<std::string>& date) {
    CLI::App* command =
        app.add_subcommand("hear", "Tell which stations are heard along a way, at places, or as a map");
    command->footer(
        "Examples: omniway hear XDOV XMRA --svg strip.svg; omniway hear XMR XRG --altitude 5000\n"
        "          omniway hear --at 40.3,-171,5000 --all; omniway hear --points places.csv --json\n"
        "          omniway hear --map --area 39,-173,43,-168 --altitude 6000 --out heard.tif\n"
        "          omniway hear XMR --map --area 39,-173,43,-168 --out lowest.png");
    app::PlanQuestion& flight = along_.flight;
    command->add_option("FROM", flight.from, "Airport, fix, station or LAT,LON; with --map: the one station");
    command->add_option("TO", flight.to,
                        "The same; two airports are planned, others joined by a straight line");
    command->add_flag("--direct", along_.direct, "A straight line between two airports too");
    command->add_option("--altitude", flight.altitude_ft, "Altitude in feet (of a plan: else chosen)");
    command->add_option("--aircraft", flight.aircraft, "Aircraft file, or trainer, single, twin, jet");
    command->add_option("--wind", flight.wind, "Wind from true north, DDD/FF in knots, e.g. 270/15");
    command->add_option("--minimum", flight.minimum_ft, "Minimum altitude off the airways, in feet");
    command->add_option("--dead-reckoning-nm", flight.dead_reckoning_nm,
                        "Longest stretch by heading alone, NM");
    command->add_option("--dead-reckoning-min", flight.dead_reckoning_min,
                        "Longest stretch by heading alone, minutes");
    command->add_option("--without", flight.without, "Station out of service, by ident (may be repeated)");
    command->add_option("--date", date, "Date of the flight, YYYY-MM-DD (else today)");
    command->add_option("--reception", flight.reception,
                        "volume, horizon or terrain (else terrain where the atlas has it)");
    command->add_option("--svg", svg_, "Draw the strip to this file");
    command->add_option("--at", points_.at, "What is heard at LAT,LON,FT");
    command->add_option("--points", points_.file,
                        "What is heard at each place of a CSV file: lat_deg,lon_deg,altitude_ft");
    command->add_flag("--all", points_.silent_too, "At places: also what is not heard, and why");
    command->add_flag("--map", with_map_, "Map what is heard");
    command->add_option("--area", map_.area, "Area of the map: S,W,N,E in degrees");
    command->add_option("--cell", map_.cell_arc_seconds, "Side of a cell in arc-seconds (else 60)");
    command->add_option("--out", map_.out, "File of the map: .tif with every band, or .png");
    command->add_option("--kind", map_.kind, "What a PNG shows: stations, lowest-one, lowest-two, accuracy");
    command->add_option("--criteria", map_.criteria, "Tolerances for the accuracy: terps or pans-ops");
    command->callback([this] { hear(); });
    return command;
}

bool HearCommand::is_understood() {
    const app::PlanQuestion& flight = along_.flight;
    const auto refuse = [this](const std::string& words) {
        host_.refuse({{"cli.arguments", words + ": omniway hear --help says what is understood", ""}});
        return false;
    };
    const int modes = static_cast<int>(with_map_) + static_cast<int>(!points_.at.empty()) +
                      static_cast<int>(!points_.file.empty()) +
                      static_cast<int>(!with_map_ && !flight.from.empty());
    if (modes != 1) {
        return refuse(modes == 0 ? "name two places, or give --at, --points or --map"
                                 : "a way, --at, --points and --map are asked for one at a time");
    }
    if (with_map_ && (map_.area.empty() || map_.out.empty())) {
        return refuse("a map needs --area S,W,N,E and --out FILE");
    }
    if (with_map_ && !flight.to.empty()) {
        return refuse("a map is of one station or of all together, not of two");
    }
    if (!with_map_ && (!map_.area.empty() || !map_.out.empty() || !map_.kind.empty())) {
        return refuse("--area, --out and --kind belong to --map");
    }
    if (!with_map_ && !flight.from.empty() && flight.to.empty()) {
        return refuse("a way has two ends: name TO as well");
    }
    if (svg_ && (with_map_ || flight.from.empty())) {
        return refuse("--svg draws the strip of a way");
    }
    if (points_.silent_too && points_.at.empty() && points_.file.empty()) {
        return refuse("--all belongs to --at and --points");
    }
    return true;
}

void HearCommand::hear() {
    if (!is_understood()) {
        return;
    }
    const auto atlas = host_.atlas_path();
    if (!atlas) {
        return;
    }
    if (with_map_) {
        map(*atlas);
    } else if (along_.flight.from.empty()) {
        points(*atlas);
    } else {
        along(*atlas);
    }
}

void HearCommand::along(const std::string& atlas) {
    const auto today = host_.today();
    if (!today) {
        return;
    }
    along_.flight.today = *today;
    const auto heard = app::hear_along(atlas, host_.shipped, along_);
    if (!heard) {
        host_.refuse(heard.error());
        return;
    }
    const navdata::Snapshot& world = *heard->world.snapshot;
    if (!heard->no_way.empty()) {
        host_.around.out << (host_.json ? app::answer_json(*heard) + "\n" : heard->no_way + "\n");
        host_.status = no_way;
        return;
    }
    if (svg_ && !host_.write(*svg_, writers::strip_svg(world, heard->strip, heard->title))) {
        return;
    }
    host_.around.out << (host_.json ? app::answer_json(*heard) + "\n"
                                    : writers::strip_text(world, heard->strip, heard->title));
    host_.tell_troubles(heard->world);
}

void HearCommand::points(const std::string& atlas) {
    points_.reception = along_.flight.reception;
    points_.without = along_.flight.without;
    const auto heard = app::hear_at(atlas, host_.shipped, points_);
    if (!heard) {
        host_.refuse(heard.error());
        return;
    }
    host_.around.out << (host_.json ? app::answer_json(*heard) + "\n" : points_text(*heard));
    host_.tell_troubles(heard->world);
}

void HearCommand::map(const std::string& atlas) {
    map_.station = along_.flight.from;
    map_.altitude_ft = along_.flight.altitude_ft;
    map_.reception = along_.flight.reception;
    map_.without = along_.flight.without;
    base::Progress progress;
    progress.stop = host_.around.stop;
    if (host_.around.err_is_terminal) {
        progress.report = [this](std::string_view stage, double share) {
            host_.around.err << fmt::format("\r{:<40} {:3.0f} %", stage, share * 100.0) << std::flush;
        };
    }
    const auto mapped = app::hear_map(atlas, host_.shipped, map_, progress);
    if (host_.around.err_is_terminal) {
        host_.around.err << "\r" << std::string(48, ' ') << "\r";
    }
    if (!mapped) {
        host_.refuse(mapped.error());
        if (mapped.error().front().code == "app.cancelled") {
            host_.status = cancelled;
        }
        return;
    }
    host_.around.out << (host_.json ? wire::hear_map_json(*mapped->world.snapshot, account_of(*mapped)) + "\n"
                                    : map_text(*mapped));
    host_.tell_troubles(mapped->world);
}

}  // namespace omniway::cli::detail
