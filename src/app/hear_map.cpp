#include "app/hear_map.hpp"

#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cmath>
#include <cstddef>
#include <cstring>
#include <filesystem>

#include <fmt/format.h>

#include "app/hear.hpp"
#include "app/raster_program.hpp"
#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"
#include "writers/map_picture.hpp"

namespace omniway::app {

using base::Altitude;
using base::Error;
using Faults = std::vector<Error>;

namespace {

constexpr double most_cells = 4e6;

struct Kind {
    std::string_view word;
    writers::MapKind kind;
};
constexpr std::array<Kind, 4> kinds{{{"stations", writers::MapKind::stations},
                                     {"lowest-one", writers::MapKind::lowest_one},
                                     {"lowest-two", writers::MapKind::lowest_two},
                                     {"accuracy", writers::MapKind::accuracy}}};

Error out_of_range(const std::string& what, double value, const std::string& range,
                   const std::string& where) {
    return {"app.out_of_range", fmt::format("{} {:g} is outside {}", what, value, range), where};
}

std::optional<radio::CellGrid> grid_of(const HearMapQuestion& question, Faults& faults) {
    const auto numbers = numbers_of(question.area, 4, "S,W,N,E in degrees", "--area");
    if (!numbers) {
        faults.push_back(numbers.error());
        return std::nullopt;
    }
    const double south = (*numbers)[0];
    const double west = (*numbers)[1];
    const double north = (*numbers)[2];
    const double east = (*numbers)[3];
    const std::size_t before = faults.size();
    for (const double latitude : {south, north}) {
        if (std::abs(latitude) > 90.0) {
            faults.push_back(out_of_range("latitude", latitude, "-90 to 90 degrees", "--area"));
        }
    }
    for (const double longitude : {west, east}) {
        if (std::abs(longitude) > 180.0) {
            faults.push_back(out_of_range("longitude", longitude, "-180 to 180 degrees", "--area"));
        }
    }
    if (faults.size() == before && south >= north) {
        faults.push_back(
            {"app.bad_place",
             fmt::format("south {:g} is not south of north {:g}: the area is S,W,N,E", south, north),
             "--area"});
    }
    const double cell = question.cell_arc_seconds / 3600.0;
    if (!(question.cell_arc_seconds >= 1.0 && question.cell_arc_seconds <= 3600.0)) {
        faults.push_back(out_of_range("cell", question.cell_arc_seconds, "1 to 3600 arc-seconds", "--cell"));
    }
    if (faults.size() != before) {
        return std::nullopt;
    }
    // West of what lies east of it only across the antimeridian.
    const double across = east > west ? east - west : east - west + 360.0;
    const auto cells = [cell](double degrees) { return std::max(std::ceil(degrees / cell - 1e-9), 1.0); };
    const double columns = cells(across);
    const double rows = cells(north - south);
    if (columns * rows > most_cells) {
        const double least = std::ceil(std::sqrt(across * (north - south) / most_cells) * 3600.0 * 1.001);
        faults.push_back({"app.map_too_large",
                          fmt::format("{:.0f} by {:.0f} cells of {:g} arc-seconds are more than {:.0f}; "
                                      "--cell {:.0f} or a smaller area will do",
                                      columns, rows, question.cell_arc_seconds, most_cells, least),
                          "--area"});
        return std::nullopt;
    }
    return radio::CellGrid{earth::Position::degrees(north, west), base::Angle::degrees(cell),
                           static_cast<std::size_t>(columns), static_cast<std::size_t>(rows)};
}

// Told before the work rather than after it.
void check_out(const std::string& out, Faults& faults) {
    const std::filesystem::path path(out);
    const auto ending = path.extension();
    if (ending != ".tif" && ending != ".png") {
        faults.push_back({"app.map_form",
                          fmt::format("a map is written as .tif or .png, not as {}: name such a file",
                                      base::in_quotes(path.filename().string())),
                          "--out"});
        return;
    }
    const auto folder = path.has_parent_path() ? path.parent_path() : std::filesystem::path(".");
    std::error_code none;
    if (std::filesystem::is_directory(path, none)) {
        faults.push_back({"app.not_writable", "there is a folder of that name: name a file", out});
    } else if (::access(folder.c_str(), W_OK | X_OK) != 0) {
        faults.push_back(
            {"app.not_writable",
             fmt::format("the folder cannot be written to ({}): name another", std::strerror(errno)), out});
    }
}

std::optional<writers::MapKind> kind_of(const HearMapQuestion& question, Faults& faults) {
    const std::string word = question.kind.empty() ? "stations" : question.kind;
    for (const Kind& kind : kinds) {
        if (kind.word == word) {
            return kind.kind;
        }
    }
    faults.push_back(
        {"app.unknown_word",
         fmt::format("{} is none of stations, lowest-one, lowest-two, accuracy", base::in_quotes(word)),
         "--kind"});
    return std::nullopt;
}

base::Result<navdata::StationId> station_of(const navdata::Snapshot& world, const std::string& ident) {
    std::vector<navdata::StationId> found;
    for (const navdata::Point& point : world.named(ident)) {
        if (const auto* station = std::get_if<navdata::StationId>(&point)) {
            found.push_back(*station);
        }
    }
    if (found.size() == 1) {
        return found.front();
    }
    if (found.size() > 1) {
        std::string each;
        for (const navdata::StationId id : found) {
            each += fmt::format("{}{} {} at {}", each.empty() ? "" : "; ", navdata::kind_text(world[id]),
                                ident, earth::to_text(navdata::site(world[id])));
        }
        return base::failure("app.ambiguous_ident",
                             fmt::format("{} stations are named {} ({}): map the area without naming one",
                                         found.size(), ident, each),
                             "STATION");
    }
    std::vector<std::string> known;
    for (const navdata::Station& station : world.stations()) {
        known.push_back(station.ident);
    }
    const std::string near = base::did_you_mean(base::near_matches(ident, known));
    return base::failure("app.unknown_ident",
                         fmt::format("no station {} in the atlas: {}", base::in_quotes(ident),
                                     near.empty() ? "import the data that holds it" : near),
                         "STATION");
}

struct NamedBand {
    std::string name;
    std::vector<float> values;
};

MapBand summary_of(const NamedBand& band) {
    MapBand summary{band.name, 0, std::nullopt, std::nullopt};
    for (const float value : band.values) {
        if (!std::isnan(value)) {
            ++summary.cells;
            summary.least = std::min(summary.least.value_or(value), value);
            summary.most = std::max(summary.most.value_or(value), value);
        }
    }
    return summary;
}

std::vector<writers::MapMark> marks_of(const navdata::Snapshot& world, const std::string& station) {
    std::vector<writers::MapMark> marks;
    for (const navdata::Station& each : world.stations()) {
        if ((station.empty() || each.ident == station) &&
            (navdata::localizer(each) == nullptr || !station.empty())) {
            marks.push_back({each.ident, navdata::site(each)});
        }
    }
    return marks;
}

base::Result<void> write(const HeardMap& map, const std::string& program, const std::vector<NamedBand>& bands,
                         const base::Progress& progress, writers::MapKind kind, const std::string& title) {
    writers::RasterHead head;
    std::vector<const std::vector<float>*> values;
    writers::Picture picture;
    if (map.kind.empty()) {
        head.width = static_cast<int>(map.grid.columns);
        head.height = static_cast<int>(map.grid.rows);
        head.north_west = map.grid.north_west;
        head.cell_deg = map.grid.cell.degrees();
        for (const NamedBand& band : bands) {
            head.bands.push_back(band.name);
            values.push_back(&band.values);
        }
    } else {
        const std::size_t which = map.station.empty() ? static_cast<std::size_t>(kind) : 0;
        picture = writers::map_picture(map.grid, bands[which].values, kind, title,
                                       marks_of(*map.world.snapshot, map.station));
        head.width = static_cast<int>(picture.width);
        head.height = static_cast<int>(picture.height);
        // A picture has its degrees at its edges and no place of its own; the stream wants one all the same.
        head.cell_deg = 1e-6;
        head.bands = {"red", "green", "blue", "opacity"};
        values = {&picture.red, &picture.green, &picture.blue, &picture.opacity};
    }
    const auto row_of = [&](int band, int row) {
        const auto from =
            values[static_cast<std::size_t>(band)]->begin() + static_cast<std::ptrdiff_t>(row) * head.width;
        return std::vector<float>(from, from + head.width);
    };
    const auto written = write_raster(program, map.out, head, row_of, progress);
    if (!written && progress.cancelled()) {
        return base::failure("app.cancelled", "cancelled; nothing is written", map.out);
    }
    return written;
}

std::string title_of(const HeardMap& map) {
    std::string title = map.station.empty()
                            ? fmt::format("What can be heard at {:.0f} ft", map.altitude->feet())
                            : fmt::format("Lowest usable altitude of {}", map.station);
    switch (map.mode) {
        case radio::ReceptionMode::volume:
            return title + ", service volume alone";
        case radio::ReceptionMode::horizon:
            return title + ", smooth earth";
        case radio::ReceptionMode::terrain:
            break;
    }
    return title + ", with terrain";
}

}  // namespace

tl::expected<HeardMap, Faults> hear_map(const std::string& atlas, const Shipped& shipped,
                                        const HearMapQuestion& question, const base::Progress& progress) {
    Faults faults;
    const auto grid = grid_of(question, faults);
    const auto criteria = parse_criteria(question.criteria, "--criteria");
    if (!criteria) {
        faults.push_back(criteria.error());
    }
    auto kind = kind_of(question, faults);
    check_out(question.out, faults);
    if (::access(shipped.raster_program.c_str(), X_OK) != 0) {
        faults.push_back({"raster.program_missing",
                          fmt::format("the program that writes rasters cannot be started ({}): it belongs "
                                      "beside omniway",
                                      std::strerror(errno)),
                          shipped.raster_program});
    }
    const bool one = !question.station.empty();
    if (one && !question.kind.empty()) {
        faults.push_back(
            {"app.unknown_word",
             "of one station the lowest usable altitude is the only kind of map: leave --kind out",
             "--kind"});
    }
    if (!one && !question.altitude_ft) {
        faults.push_back(
            {"app.altitude_missing", "a map is of one altitude: give --altitude FT", "--altitude"});
    }
    if (question.altitude_ft && !(*question.altitude_ft >= -1500.0 && *question.altitude_ft <= 60000.0)) {
        faults.push_back(out_of_range("altitude", *question.altitude_ft, "-1500 to 60000 ft", "--altitude"));
    }
    if (!faults.empty()) {
        return tl::unexpected(faults);
    }
    auto world = open_world(atlas, shipped, {{}, false, question.without});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    const auto ground = ground_by_word(*world, question.reception);
    if (!ground) {
        return tl::unexpected(Faults{ground.error()});
    }
    HeardMap map;
    map.out = question.out;
    map.grid = *grid;
    map.mode = ground->mode;
    map.station = question.station;
    std::vector<NamedBand> bands;
    if (one) {
        const auto station = station_of(*world->snapshot, question.station);
        if (!station) {
            return tl::unexpected(Faults{station.error()});
        }
        auto usable = radio::lowest_usable((*world->snapshot)[*station], *grid, *ground, progress);
        if (usable) {
            bands.push_back({"lowest_usable_altitude_msl_ft", std::move(usable->lowest_ft)});
            bands.push_back({"ground_known", std::move(usable->ground_known)});
        }
        kind = writers::MapKind::lowest_usable;
    } else {
        map.altitude = Altitude::feet(*question.altitude_ft);
        auto coverage = radio::coverage_of(world->snapshot->stations(),
                                           {*grid, *map.altitude, *criteria, *ground}, progress);
        if (coverage) {
            bands.push_back({"stations_heard", std::move(coverage->stations)});
            bands.push_back({"lowest_altitude_one_station_msl_ft", std::move(coverage->lowest_one_ft)});
            bands.push_back({"lowest_altitude_two_lines_msl_ft", std::move(coverage->lowest_two_ft)});
            bands.push_back({"best_accuracy_95_nm", std::move(coverage->accuracy_nm)});
            bands.push_back({"ground_known", std::move(coverage->ground_known)});
        }
    }
    if (bands.empty()) {
        return tl::unexpected(Faults{{"app.cancelled", "cancelled; nothing is written", question.out}});
    }
    if (std::filesystem::path(question.out).extension() == ".png") {
        map.kind = one ? "lowest-usable" : question.kind.empty() ? "stations" : question.kind;
    }
    for (const NamedBand& band : bands) {
        map.bands.push_back(summary_of(band));
    }
    map.cells_over_unknown_ground =
        static_cast<std::size_t>(std::count(bands.back().values.begin(), bands.back().values.end(), 0.0F));
    map.world = std::move(*world);
    const auto written = write(map, shipped.raster_program, bands, progress, *kind, title_of(map));
    if (!written) {
        return tl::unexpected(Faults{written.error()});
    }
    return map;
}

}  // namespace omniway::app
