#include "writers/map_picture.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string_view>

#include <fmt/format.h>

#include "base/contract.hpp"
#include "plan/chart_raster.hpp"

namespace omniway::writers {

namespace {

// Columns of each letter from ' ' to 'Z', the lowest bit at the top.
constexpr std::array<std::array<std::uint8_t, 5>, 59> letters{{
    {0x00, 0x00, 0x00, 0x00, 0x00}, {0x00, 0x00, 0x5F, 0x00, 0x00}, {0x00, 0x07, 0x00, 0x07, 0x00},
    {0x14, 0x7F, 0x14, 0x7F, 0x14}, {0x24, 0x2A, 0x7F, 0x2A, 0x12}, {0x23, 0x13, 0x08, 0x64, 0x62},
    {0x36, 0x49, 0x56, 0x20, 0x50}, {0x00, 0x05, 0x03, 0x00, 0x00}, {0x00, 0x1C, 0x22, 0x41, 0x00},
    {0x00, 0x41, 0x22, 0x1C, 0x00}, {0x2A, 0x1C, 0x7F, 0x1C, 0x2A}, {0x08, 0x08, 0x3E, 0x08, 0x08},
    {0x00, 0x50, 0x30, 0x00, 0x00}, {0x08, 0x08, 0x08, 0x08, 0x08}, {0x00, 0x60, 0x60, 0x00, 0x00},
    {0x20, 0x10, 0x08, 0x04, 0x02}, {0x3E, 0x51, 0x49, 0x45, 0x3E}, {0x00, 0x42, 0x7F, 0x40, 0x00},
    {0x42, 0x61, 0x51, 0x49, 0x46}, {0x21, 0x41, 0x45, 0x4B, 0x31}, {0x18, 0x14, 0x12, 0x7F, 0x10},
    {0x27, 0x45, 0x45, 0x45, 0x39}, {0x3C, 0x4A, 0x49, 0x49, 0x30}, {0x01, 0x71, 0x09, 0x05, 0x03},
    {0x36, 0x49, 0x49, 0x49, 0x36}, {0x06, 0x49, 0x49, 0x29, 0x1E}, {0x00, 0x36, 0x36, 0x00, 0x00},
    {0x00, 0x56, 0x36, 0x00, 0x00}, {0x08, 0x14, 0x22, 0x41, 0x00}, {0x14, 0x14, 0x14, 0x14, 0x14},
    {0x00, 0x41, 0x22, 0x14, 0x08}, {0x02, 0x01, 0x51, 0x09, 0x06}, {0x32, 0x49, 0x79, 0x41, 0x3E},
    {0x7E, 0x11, 0x11, 0x11, 0x7E}, {0x7F, 0x49, 0x49, 0x49, 0x36}, {0x3E, 0x41, 0x41, 0x41, 0x22},
    {0x7F, 0x41, 0x41, 0x22, 0x1C}, {0x7F, 0x49, 0x49, 0x49, 0x41}, {0x7F, 0x09, 0x09, 0x09, 0x01},
    {0x3E, 0x41, 0x49, 0x49, 0x7A}, {0x7F, 0x08, 0x08, 0x08, 0x7F}, {0x00, 0x41, 0x7F, 0x41, 0x00},
    {0x20, 0x40, 0x41, 0x3F, 0x01}, {0x7F, 0x08, 0x14, 0x22, 0x41}, {0x7F, 0x40, 0x40, 0x40, 0x40},
    {0x7F, 0x02, 0x0C, 0x02, 0x7F}, {0x7F, 0x04, 0x08, 0x10, 0x7F}, {0x3E, 0x41, 0x41, 0x41, 0x3E},
    {0x7F, 0x09, 0x09, 0x09, 0x06}, {0x3E, 0x41, 0x51, 0x21, 0x5E}, {0x7F, 0x09, 0x19, 0x29, 0x46},
    {0x46, 0x49, 0x49, 0x49, 0x31}, {0x01, 0x01, 0x7F, 0x01, 0x01}, {0x3F, 0x40, 0x40, 0x40, 0x3F},
    {0x1F, 0x20, 0x40, 0x20, 0x1F}, {0x3F, 0x40, 0x38, 0x40, 0x3F}, {0x63, 0x14, 0x08, 0x14, 0x63},
    {0x07, 0x08, 0x70, 0x08, 0x07}, {0x61, 0x51, 0x49, 0x45, 0x43},
}};
constexpr std::size_t letter_step = 6;
constexpr std::size_t line_step = 12;

struct Tone {
    float red;
    float green;
    float blue;
};
constexpr Tone white{255, 255, 255};
constexpr Tone black{0, 0, 0};
constexpr Tone hatch{150, 150, 150};

// From good to bad, by even steps of lightness; a touch of warmth at the pale end and of cold at the dark one.
constexpr std::array<Tone, 8> tones{{{247, 244, 234},
                                     {222, 218, 206},
                                     {196, 193, 184},
                                     {168, 168, 164},
                                     {139, 142, 144},
                                     {109, 115, 122},
                                     {78, 86, 98},
                                     {46, 54, 70}}};

// A class holds what is above the limit before it, up to its own; the last holds the rest.
struct Classes {
    std::array<float, 7> limits;
    std::array<std::string_view, 8> words;
    std::string_view none;
    bool more_is_better = false;
};

const Classes& classes_of(MapKind kind) {
    static constexpr Classes stations{
        {1, 2, 3, 4, 6, 9, 14}, {"1", "2", "3", "4", "5-6", "7-9", "10-14", "15+"}, "NONE", true};
    static constexpr Classes lowest{{1000, 2000, 3000, 5000, 8000, 12000, 18000},
                                    {"1000", "2000", "3000", "5000", "8000", "12000", "18000", "MORE"},
                                    "NOWHERE",
                                    false};
    static constexpr Classes accuracy{
        plan::accuracy_limits_nm, {"0.5", "1", "1.5", "2", "3", "4", "6", "MORE"}, "NO FIX", false};
    switch (kind) {
        case MapKind::stations:
            return stations;
        case MapKind::lowest_one:
        case MapKind::lowest_two:
        case MapKind::lowest_usable:
            return lowest;
        case MapKind::accuracy:
            break;
    }
    return accuracy;
}

std::string_view legend_title(MapKind kind) {
    switch (kind) {
        case MapKind::stations:
            return "STATIONS HEARD";
        case MapKind::lowest_one:
            return "LOWEST ALTITUDE WITH ONE STATION, UP TO FT";
        case MapKind::lowest_two:
            return "LOWEST ALTITUDE WITH TWO LINES CROSSING WELL, UP TO FT";
        case MapKind::lowest_usable:
            return "LOWEST USABLE ALTITUDE, UP TO FT";
        case MapKind::accuracy:
            break;
    }
    return "POSITION BY THE BEST TWO LINES WITHIN NM, 95 PERCENT";
}

std::size_t class_of(const Classes& classes, float value) {
    std::size_t at = 0;
    while (at < classes.limits.size() && value > classes.limits[at]) {
        ++at;
    }
    return at;
}

class Canvas {
public:
    Canvas(std::size_t width, std::size_t height) {
        picture_.width = width;
        picture_.height = height;
        const std::size_t points = width * height;
        picture_.red.assign(points, 255);
        picture_.green.assign(points, 255);
        picture_.blue.assign(points, 255);
        picture_.opacity.assign(points, 255);
    }

    void point(std::size_t x, std::size_t y, Tone tone) {
        if (x < picture_.width && y < picture_.height) {
            const std::size_t at = y * picture_.width + x;
            picture_.red[at] = tone.red;
            picture_.green[at] = tone.green;
            picture_.blue[at] = tone.blue;
        }
    }

    void box(std::size_t x, std::size_t y, std::size_t width, std::size_t height, Tone tone) {
        for (std::size_t row = y; row < y + height; ++row) {
            for (std::size_t column = x; column < x + width; ++column) {
                point(column, row, tone);
            }
        }
    }

    void hatched(std::size_t x, std::size_t y, std::size_t width, std::size_t height) {
        for (std::size_t row = y; row < y + height; ++row) {
            for (std::size_t column = x; column < x + width; ++column) {
                point(column, row, (row + column) % 6 == 0 ? hatch : white);
            }
        }
    }

    void frame(std::size_t x, std::size_t y, std::size_t width, std::size_t height) {
        box(x, y, width, 1, black);
        box(x, y + height - 1, width, 1, black);
        box(x, y, 1, height, black);
        box(x + width - 1, y, 1, height, black);
    }

    /// Black letters; on a map with a white rim, so that they are read on dark ground.
    void text(std::size_t x, std::size_t y, std::string_view words, bool rim = false) {
        if (rim) {
            for (const std::size_t down : {0U, 1U, 2U}) {
                for (const std::size_t along : {0U, 1U, 2U}) {
                    letters_at(x + along - 1, y + down - 1, words, white);
                }
            }
        }
        letters_at(x, y, words, black);
    }

    static std::size_t width_of(std::string_view words) { return words.size() * letter_step; }

    Picture take() { return std::move(picture_); }

private:
    void letters_at(std::size_t x, std::size_t y, std::string_view words, Tone tone) {
        for (char letter : words) {
            if (letter >= 'a' && letter <= 'z') {
                letter = static_cast<char>(letter - 'a' + 'A');
            }
            const std::size_t glyph = letter >= ' ' && letter <= 'Z' ? static_cast<std::size_t>(letter - ' ')
                                                                     : static_cast<std::size_t>('?' - ' ');
            for (std::size_t column = 0; column < 5; ++column) {
                for (std::size_t row = 0; row < 7; ++row) {
                    if ((letters[glyph][column] >> row & 1U) != 0) {
                        point(x + column, y + row, tone);
                    }
                }
            }
            x += letter_step;
        }
    }

    Picture picture_;
};

// Pixels a cell: so many that the map is about 900 across or 700 high, in the proportion of degrees at its middle.
struct Magnified {
    std::size_t across = 1;
    std::size_t down = 1;
};

Magnified magnified(const radio::CellGrid& grid) {
    const double middle =
        grid.north_west.latitude_deg() - static_cast<double>(grid.rows) * grid.cell.degrees() / 2.0;
    const double proportion = std::cos(middle * std::numbers::pi / 180.0);
    const double room = std::min(900.0 / (static_cast<double>(grid.columns) * proportion),
                                 700.0 / static_cast<double>(grid.rows));
    const double down = std::max(std::floor(room), 1.0);
    return {static_cast<std::size_t>(std::max(std::round(down * proportion), 1.0)),
            static_cast<std::size_t>(down)};
}

std::string degrees_text(double degrees, char positive, char negative) {
    const double size = std::abs(degrees);
    return fmt::format("{}{:g}", degrees < 0.0 ? negative : positive, std::round(size * 100.0) / 100.0);
}

}  // namespace

Picture map_picture(const radio::CellGrid& grid, std::span<const float> values, MapKind kind,
                    const std::string& title, std::span<const MapMark> marks) {
    OMNIWAY_EXPECTS(values.size() == grid.cells() && grid.cells() > 0);
    constexpr std::size_t side = 64;
    constexpr std::size_t over = 40;
    constexpr std::string_view caution_1 = "FOR TRAINING AND FLIGHT AT HOME, NOT FOR REAL-WORLD NAVIGATION;";
    constexpr std::string_view caution_2 = "DEFER TO CURRENT OFFICIAL CHARTS.";
    const Classes& classes = classes_of(kind);
    const Magnified cell = magnified(grid);
    const std::size_t map_width = grid.columns * cell.across;
    const std::size_t map_height = grid.rows * cell.down;
    const std::size_t legend_top = over + map_height + 28;
    const std::size_t width =
        std::max({map_width + 2 * side, Canvas::width_of(title) + 2 * side, std::size_t{640}});
    Canvas canvas(width, legend_top + 5 * line_step + 30);
    canvas.text(side, 14, title);

    const auto tone_of = [&](std::size_t at) {
        return tones[classes.more_is_better ? tones.size() - 1 - at : at];
    };
    for (std::size_t row = 0; row < grid.rows; ++row) {
        for (std::size_t column = 0; column < grid.columns; ++column) {
            const float value = values[row * grid.columns + column];
            const std::size_t x = side + column * cell.across;
            const std::size_t y = over + row * cell.down;
            if (std::isnan(value) || (kind == MapKind::stations && value < 1.0F)) {
                canvas.hatched(x, y, cell.across, cell.down);
            } else {
                canvas.box(x, y, cell.across, cell.down, tone_of(class_of(classes, value)));
            }
        }
    }
    canvas.frame(side - 1, over - 1, map_width + 2, map_height + 2);

    const double side_deg = grid.cell.degrees();
    const double south = grid.north_west.latitude_deg() - static_cast<double>(grid.rows) * side_deg;
    const double east = grid.north_west.longitude_deg() + static_cast<double>(grid.columns) * side_deg;
    canvas.text(4, over, degrees_text(grid.north_west.latitude_deg(), 'N', 'S'));
    canvas.text(4, over + map_height - 7, degrees_text(south, 'N', 'S'));
    canvas.text(side, over + map_height + 8, degrees_text(grid.north_west.longitude_deg(), 'E', 'W'));
    const std::string east_text = degrees_text(east >= 180.0 ? east - 360.0 : east, 'E', 'W');
    canvas.text(side + map_width - std::min(Canvas::width_of(east_text), map_width), over + map_height + 8,
                east_text);

    for (const MapMark& mark : marks) {
        double right = mark.place.longitude_deg() - grid.north_west.longitude_deg();
        right = right < 0.0 ? right + 360.0 : right;
        const double down = grid.north_west.latitude_deg() - mark.place.latitude_deg();
        const auto x = static_cast<std::size_t>(right / side_deg * static_cast<double>(cell.across));
        if (down < 0.0 || x >= map_width) {
            continue;
        }
        const auto y = static_cast<std::size_t>(down / side_deg * static_cast<double>(cell.down));
        if (y >= map_height) {
            continue;
        }
        canvas.box(side + x - 3, over + y - 3, 7, 7, white);
        canvas.frame(side + x - 3, over + y - 3, 7, 7);
        canvas.box(side + x, over + y, 1, 1, black);
        canvas.text(side + x + 7, over + y - 3, mark.name, true);
    }

    canvas.text(side, legend_top, legend_title(kind));
    std::size_t x = side;
    const std::size_t y = legend_top + line_step + 2;
    for (std::size_t at = 0; at < classes.words.size(); ++at) {
        canvas.box(x, y, 40, 14, tone_of(at));
        canvas.frame(x, y, 40, 14);
        canvas.text(x + 2, y + 18, classes.words[at]);
        x += 48;
    }
    canvas.hatched(x, y, 40, 14);
    canvas.frame(x, y, 40, 14);
    canvas.text(x + 2, y + 18, classes.none);
    canvas.text(side, y + 36, caution_1);
    canvas.text(side, y + 36 + line_step, caution_2);
    return canvas.take();
}

}  // namespace omniway::writers
