#include "writers/raster_head.hpp"

#include <fmt/format.h>

namespace omniway::writers {

namespace {

std::string quoted(const std::string& text) {
    std::string quoted = "\"";
    for (const char letter : text) {
        if (letter == '"' || letter == '\\') {
            quoted += '\\';
        }
        if (static_cast<unsigned char>(letter) < 32) {
            quoted += fmt::format("\\u{:04x}", static_cast<unsigned>(letter));
        } else {
            quoted += letter;
        }
    }
    return quoted + '"';
}

}  // namespace

std::string raster_head_line(const RasterHead& head) {
    std::string bands;
    for (const std::string& band : head.bands) {
        bands += (bands.empty() ? "" : ", ") + quoted(band);
    }
    return fmt::format(
        R"({{"width": {}, "height": {}, "west_deg": {}, "north_deg": {}, "cell_deg": {}, "bands": [{}], "no_data": "nan"}})"
        "\n",
        head.width, head.height, head.north_west.longitude_deg(), head.north_west.latitude_deg(),
        head.cell_deg, bands);
}

}  // namespace omniway::writers
