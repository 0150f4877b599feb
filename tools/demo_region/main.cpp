// omniway-demo-region: writes the invented country of Xaravel as ARINC 424-18 text, its terrain as GeoTIFF and its coastline as
// GeoJSON. See docs/demo-region.md.

#include <charconv>
#include <cstddef>
#include <exception>
#include <filesystem>
#include <fstream>
#include <map>
#include <stdexcept>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>

#include <fmt/format.h>

#include "coastline.hpp"
#include "geotiff.hpp"
#include "ground.hpp"
#include "records.hpp"

namespace {

constexpr std::string_view usage =
    "usage: omniway-demo-region [--out FILE] [--terrain FILE.tif] [--coastline FILE.geojson] "
    "[--shift-longitude DEGREES]\n"
    "  --out FILE                 where to write the rows of navigation data, ARINC 424-18\n"
    "  --terrain FILE.tif         where to write the ground, GeoTIFF of six seconds of arc; where the region "
    "lies on both\n"
    "                             sides of the antimeridian, what is east of it goes to FILE-east.tif\n"
    "  --coastline FILE.geojson   where to write the coast, GeoJSON\n"
    "  --shift-longitude DEGREES  moves the whole region east by whole degrees, -359 to 359; courses, "
    "declinations and\n"
    "                             variations stay as they are\n"
    "At least one file must be asked for.\n";

int refuse(std::string_view sentence) {
    fmt::print(stderr, "omniway-demo-region: {}\n{}", sentence, usage);
    return 2;
}

void write(const std::filesystem::path& file, const std::string& bytes) {
    std::ofstream stream(file, std::ios::binary | std::ios::trunc);
    stream << bytes;
    stream.close();
    if (!stream) {
        throw std::runtime_error(fmt::format("{} cannot be written", file.string()));
    }
}

std::filesystem::path eastern(std::filesystem::path file) {
    const std::string end = file.extension().string();
    return file.replace_filename(file.stem().string() + "-east" + end);
}

void write_all(const std::map<std::string, std::string, std::less<>>& files, int moved_east_deg) {
    using namespace omniway::demo_region;
    const Records records = country_records();
    if (const auto out = files.find("--out"); out != files.end()) {
        write(out->second, region_text(records, moved_east_deg));
    }
    const auto terrain = files.find("--terrain");
    const auto coast = files.find("--coastline");
    if (terrain == files.end() && coast == files.end()) {
        return;
    }
    const std::vector<Grid> grids = moved(country_ground(records), moved_east_deg);
    if (terrain != files.end()) {
        write(terrain->second, geotiff(grids.front()));
        if (grids.size() > 1) {
            write(eastern(terrain->second), geotiff(grids.back()));
        }
    }
    if (coast != files.end()) {
        write(coast->second, coastline_geojson(grids));
    }
}

}  // namespace

int main(int count, char** words) {
    std::map<std::string, std::string, std::less<>> files;
    int moved_east_deg = 0;
    for (int i = 1; i < count; ++i) {
        const std::string_view word = words[i];
        if (word == "--help") {
            fmt::print("{}", usage);
            return 0;
        }
        const bool names_a_file = word == "--out" || word == "--terrain" || word == "--coastline";
        if (!names_a_file && word != "--shift-longitude") {
            return refuse(fmt::format("'{}' is no option", word));
        }
        if (i + 1 == count) {
            return refuse(fmt::format("{} needs a value", word));
        }
        const std::string_view value = words[++i];
        if (names_a_file) {
            files[std::string(word)] = value;
            continue;
        }
        const auto [end, fault] = std::from_chars(value.data(), value.data() + value.size(), moved_east_deg);
        if (fault != std::errc() || end != value.data() + value.size() || moved_east_deg < -359 ||
            moved_east_deg > 359) {
            return refuse(fmt::format(
                "--shift-longitude '{}' is not a whole number of degrees from -359 to 359", value));
        }
    }
    if (files.empty()) {
        return refuse("--out, --terrain or --coastline is missing");
    }
    try {
        write_all(files, moved_east_deg);
    } catch (const std::runtime_error& fault) {
        fmt::print(stderr, "omniway-demo-region: {}\n", fault.what());
        return 2;
    } catch (const std::exception& fault) {
        fmt::print(stderr, "omniway-demo-region: {}\n", fault.what());
        return 1;
    }
    return 0;
}
