#include "raster/source.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <limits>
#include <optional>
#include <string_view>
#include <system_error>
#include <utility>

#include <cpl_conv.h>
#include <cpl_error.h>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <ogr_spatialref.h>

namespace omniway::raster {

namespace {

namespace fs = std::filesystem;

constexpr double lowest_m =
    -500.0;  // the shore of the Dead Sea lies at -430 m, the highest summit at 8,849 m
constexpr double highest_m = 9000.0;
constexpr float unknown = std::numeric_limits<float>::quiet_NaN();
constexpr std::string_view what_is_read =
    "give elevations as GeoTIFF, SRTM .hgt, DTED, ESRI grid or Erdas Imagine";

// Elevations come in few formats. Others are not opened at all: some of them fetch files from elsewhere.
constexpr std::array<const char*, 7> formats = {"GTiff", "SRTMHGT", "DTED", "AAIGrid",
                                                "EHdr",  "HFA",     nullptr};

// Places are transformed exactly at every 15th node, which lie on the edges of blocks too, and linearly between: the sagitta of
// a 15-node chord is below 0.4 % of a node's spacing everywhere but at the poles.
constexpr int nodes_between_knots = 15;

// A node this near to the centre of a pixel is on it: geotransforms are written with few digits.
constexpr double on_a_pixel = 1e-3;

struct Place {
    double x = 0.0;
    double y = 0.0;
};

struct CloseDataset {
    void operator()(GDALDataset* dataset) const { GDALClose(dataset); }
};
struct DestroyTransformation {
    void operator()(OGRCoordinateTransformation* each) const { OGRCoordinateTransformation::DestroyCT(each); }
};

std::string words_of_library() {
    std::string words = CPLGetLastErrorMsg();
    std::replace_if(
        words.begin(), words.end(), [](char c) { return static_cast<unsigned char>(c) < 32; }, ' ');
    return words.empty() ? std::string("no reason is given") : words;
}

base::Result<void> check_file(const std::string& path) {
    std::error_code problem;
    const auto status = fs::status(path, problem);
    if (status.type() == fs::file_type::not_found) {
        return base::failure("read.file_missing", "there is no such file; check its name and folder", path);
    }
    if (!fs::is_regular_file(status)) {
        return base::failure("read.not_a_file",
                             fs::is_directory(status)
                                 ? std::string("this is a folder; name the files in it")
                                 : fmt::format("this is no plain file that can be read; {}", what_is_read),
                             path);
    }
    const std::uintmax_t size = fs::file_size(path, problem);
    std::FILE* file = problem ? nullptr : std::fopen(path.c_str(), "rb");
    if (file == nullptr) {
        return base::failure(
            "read.file_unreadable",
            fmt::format("the file cannot be read: {}",
                        problem ? problem.message() : std::generic_category().message(errno)),
            path);
    }
    std::fclose(file);
    if (size == 0) {
        return base::failure("read.file_empty", fmt::format("the file is empty; {}", what_is_read), path);
    }
    const std::string ending = fs::path(path).extension().string();
    constexpr std::uintmax_t three_seconds = 2U * 1201U * 1201U;
    constexpr std::uintmax_t one_second = 2U * 3601U * 3601U;
    if ((ending == ".hgt" || ending == ".HGT") && size != three_seconds && size != one_second) {
        return base::failure("raster.damaged",
                             fmt::format("the file has {} bytes; an .hgt has {} (3 arc-seconds) or {} (1 "
                                         "arc-second): it ends early or is no .hgt; fetch it again",
                                         size, three_seconds, one_second),
                             path);
    }
    return {};
}

bool begins_as_tiff(const std::string& path) {
    std::array<char, 4> first{};
    if (std::FILE* file = std::fopen(path.c_str(), "rb")) {
        const bool whole = std::fread(first.data(), 1, first.size(), file) == first.size();
        std::fclose(file);
        const std::string_view mark(first.data(), first.size());
        using namespace std::string_view_literals;
        return whole && (mark == "II*\0"sv || mark == "MM\0*"sv || mark == "II+\0"sv || mark == "MM\0+"sv);
    }
    return false;
}

std::string format_of(GDALDataset& dataset) {
    const std::string_view driver = dataset.GetDriver()->GetDescription();
    return driver == "GTiff"     ? "GeoTIFF"
           : driver == "SRTMHGT" ? "SRTM HGT"
           : driver == "AAIGrid" ? "ESRI ASCII grid"
           : driver == "EHdr"    ? "ESRI grid"
           : driver == "HFA"     ? "Erdas Imagine"
                                 : std::string(driver);
}

double metres_in_unit(std::string_view unit) {
    if (unit == "ft" || unit == "foot" || unit == "feet" || unit == "International Foot") {
        return 0.3048;
    }
    if (unit == "US survey foot" || unit == "us-ft" || unit == "ftUS" || unit == "us_survey_feet") {
        return 1200.0 / 3937.0;
    }
    return 1.0;
}

}  // namespace

struct Source::Opened {
    std::unique_ptr<GDALDataset, CloseDataset> dataset;
    GDALRasterBand* band = nullptr;
    int width = 0;
    int height = 0;
    std::array<double, 6> pixel_of_place{};  // the inverse geotransform
    bool geographic = false;
    std::unique_ptr<OGRCoordinateTransformation, DestroyTransformation> from_earth;  // null: already the same
    std::optional<double> no_data;
    int reduced = 1;  // how many pixels to a side are averaged, where they are much finer than nodes
    bool masked = false;
    double metres_per_unit = 1.0;
    double offset_m = 0.0;

    // Pixels of a part of the raster as metres, averaged over squares of `reduced` by `reduced`.
    struct Window {
        int first_column = 0;  // in reduced pixels
        int first_row = 0;
        int columns = 0;
        int rows = 0;
        std::vector<float> metres;

        float at(int row, int column) const {
            return metres[static_cast<std::size_t>(row - first_row) * static_cast<std::size_t>(columns) +
                          static_cast<std::size_t>(column - first_column)];
        }
    };

    // Where places in degrees lie, counted in pixels from the centre of the first; NaN where the projection does not reach.
    std::vector<Place> pixels_of(const std::vector<Place>& degrees) const;
    base::Result<void> read(const std::string& path, Window& window) const;
    float bilinear(const Window& window, Place pixel) const;
};

std::vector<Place> Source::Opened::pixels_of(const std::vector<Place>& degrees) const {
    std::vector<double> x;
    std::vector<double> y;
    for (const Place& each : degrees) {
        x.push_back(each.x);
        y.push_back(each.y);
    }
    std::vector<int> reached(degrees.size(), 1);
    if (from_earth) {
        from_earth->Transform(static_cast<int>(x.size()), x.data(), y.data(), nullptr, reached.data());
    }
    std::vector<Place> pixels;
    for (std::size_t i = 0; i < degrees.size(); ++i) {
        const auto& inverse = pixel_of_place;
        const Place pixel{inverse[0] + x[i] * inverse[1] + y[i] * inverse[2] - 0.5,
                          inverse[3] + x[i] * inverse[4] + y[i] * inverse[5] - 0.5};
        const bool there = reached[i] != 0 && std::isfinite(pixel.x) && std::isfinite(pixel.y);
        pixels.push_back(there ? pixel : Place{unknown, unknown});
    }
    return pixels;
}

base::Result<void> Source::Opened::read(const std::string& path, Window& window) const {
    window.metres.resize(static_cast<std::size_t>(window.columns) * static_cast<std::size_t>(window.rows));
    GDALRasterIOExtraArg extra;
    INIT_RASTERIO_EXTRA_ARG(extra);
    extra.eResampleAlg = reduced > 1 ? GRIORA_Average : GRIORA_NearestNeighbour;
    const auto take = [&](GDALRasterBand& from, GDALDataType type, void* into) {
        return from.RasterIO(GF_Read, window.first_column * reduced, window.first_row * reduced,
                             window.columns * reduced, window.rows * reduced, into, window.columns,
                             window.rows, type, 0, 0, &extra) == CE_None;
    };
    CPLErrorReset();
    std::vector<unsigned char> mask(masked ? window.metres.size() : 0);
    if (!take(*band, GDT_Float32, window.metres.data()) ||
        (masked && !take(*band->GetMaskBand(), GDT_Byte, mask.data()))) {
        return base::failure(
            "raster.damaged",
            fmt::format("rows {} to {} of {} cannot be read ({}): the file may end early; fetch it again",
                        window.first_row * reduced + 1, (window.first_row + window.rows) * reduced, height,
                        words_of_library()),
            path);
    }
    // A mark beyond what fits a float (-1.8e308) arrives as the nearest there is.
    constexpr double beyond_all = 1e30;
    const bool beyond = no_data && std::abs(*no_data) > beyond_all;
    const float void_mark = no_data && !beyond ? static_cast<float>(*no_data) : unknown;
    for (std::size_t i = 0; i < window.metres.size(); ++i) {
        float& value = window.metres[i];
        if (value == void_mark || std::isnan(value) || (masked && mask[i] == 0) ||
            (beyond && std::abs(static_cast<double>(value)) > beyond_all)) {
            value = unknown;
            continue;
        }
        const double metres = static_cast<double>(value) * metres_per_unit + offset_m;
        if (!(metres >= lowest_m && metres <= highest_m)) {
            const std::size_t columns = static_cast<std::size_t>(window.columns);
            return base::failure(
                "raster.absurd_value",
                fmt::format(
                    "the height at row {}, column {} is {:.7g} m; allowed -500 to 9000: name its mark of a "
                    "void (gdal_edit.py -a_nodata), set sea to 0, or correct the file",
                    (window.first_row + static_cast<int>(i / columns)) * reduced + 1,
                    (window.first_column + static_cast<int>(i % columns)) * reduced + 1, metres),
                path);
        }
        value = static_cast<float>(metres);
    }
    return {};
}

float Source::Opened::bilinear(const Window& window, Place pixel) const {
    // The raster covers half a pixel beyond the centres of its outermost ones, where their values hold.
    constexpr double half = 0.5 + on_a_pixel;
    if (!(pixel.x >= -half && pixel.x <= width - 1 + half && pixel.y >= -half &&
          pixel.y <= height - 1 + half)) {
        return unknown;
    }
    const auto between = [this](double along, int first, int number, double tolerance) {
        double place = (along + 0.5) / reduced - 0.5;
        if (std::abs(place - std::round(place)) < tolerance) {
            place = std::round(place);
        }
        place = std::clamp(place, static_cast<double>(first), static_cast<double>(first + number - 1));
        const int below = static_cast<int>(std::floor(place));
        return std::pair<int, double>(below, place - below);
    };
    const auto [row, up] = between(pixel.y, window.first_row, window.rows, on_a_pixel);
    const auto [column, right] = between(pixel.x, window.first_column, window.columns, on_a_pixel);
    double sum = 0.0;
    for (const int next_row : {0, 1}) {
        for (const int next_column : {0, 1}) {
            const double weight = (next_row == 1 ? up : 1.0 - up) * (next_column == 1 ? right : 1.0 - right);
            if (weight > 0.0) {
                sum += weight * static_cast<double>(window.at(row + next_row, column + next_column));
            }
        }
    }
    return static_cast<float>(sum);
}

Source::Source() = default;
Source::Source(Source&&) noexcept = default;
Source& Source::operator=(Source&&) noexcept = default;
Source::~Source() = default;

void Source::put_away() {
    opened_.reset();
}

namespace {

base::Error no_projection(const std::string& path, const std::string& what) {
    // A file that was cut within its own description has lost this too.
    const std::string said = CPLGetLastErrorMsg();
    return {"raster.no_projection",
            what + (said.empty() ? "" : " (it may end early: " + words_of_library() + ")") +
                "; give it one (gdal_edit.py -a_srs, -a_ullr), or the file that has it",
            path};
}

// The coordinate system without its vertical part, with longitude or easting first.
std::optional<OGRSpatialReference> plain_system(GDALDataset& dataset) {
    const OGRSpatialReference* said = dataset.GetSpatialRef();
    if (said == nullptr) {
        return std::nullopt;
    }
    OGRSpatialReference system(*said);
    system.StripVertical();
    system.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    if (!system.IsGeographic() && !system.IsProjected()) {
        return std::nullopt;
    }
    return system;
}

OGRSpatialReference earth_system() {
    OGRSpatialReference system;
    system.importFromEPSG(4326);
    system.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return system;
}

struct Grid {
    std::array<double, 6> place_of_pixel{};
    int width = 0;
    int height = 0;

    Place at(double column, double row) const {
        return {place_of_pixel[0] + column * place_of_pixel[1] + row * place_of_pixel[2],
                place_of_pixel[3] + column * place_of_pixel[4] + row * place_of_pixel[5]};
    }
};

std::optional<Extent> extent_of(const Grid& grid, OGRCoordinateTransformation* to_earth) {
    std::array<Place, 4> corners = {grid.at(0, 0), grid.at(grid.width, 0), grid.at(0, grid.height),
                                    grid.at(grid.width, grid.height)};
    const auto [x_low, x_high] = std::minmax({corners[0].x, corners[1].x, corners[2].x, corners[3].x});
    const auto [y_low, y_high] = std::minmax({corners[0].y, corners[1].y, corners[2].y, corners[3].y});
    Extent extent{.south_deg = y_low, .north_deg = y_high, .west_deg = x_low, .east_deg = x_high};
    if (to_earth != nullptr) {
        constexpr int points_an_edge = 21;
        if (to_earth->TransformBounds(x_low, y_low, x_high, y_high, &extent.west_deg, &extent.south_deg,
                                      &extent.east_deg, &extent.north_deg, points_an_edge) == 0) {
            return std::nullopt;
        }
        if (extent.west_deg > extent.east_deg) {  // across the antimeridian
            extent.east_deg += 360.0;
        }
    }
    const bool finite = std::isfinite(extent.south_deg) && std::isfinite(extent.north_deg) &&
                        std::isfinite(extent.west_deg) && std::isfinite(extent.east_deg);
    return finite ? std::optional(extent) : std::nullopt;
}

// The widest of the node spacings that loses nothing of pixels this far apart (5 % are let pass: 90 m are 3 arc-seconds).
int spacing_for(double pixel_arc_seconds) {
    int spacing = 1;
    for (const int each : {2, 3, 6, 15, 30}) {
        if (each <= pixel_arc_seconds * 1.05) {
            spacing = each;
        }
    }
    return spacing;
}

}  // namespace

base::Result<Source> Source::open(const std::string& path) {
    if (auto checked = check_file(path); !checked) {
        return tl::unexpected(checked.error());
    }
    Source source;
    source.opened_ = std::make_unique<Opened>();
    Opened& opened = *source.opened_;
    CPLErrorReset();
    opened.dataset.reset(GDALDataset::Open(path.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY, formats.data()));
    if (!opened.dataset) {
        if (begins_as_tiff(path)) {
            return base::failure(
                "raster.damaged",
                fmt::format("the file begins as a TIFF and cannot be opened ({}): it may end "
                            "early; fetch it again",
                            words_of_library()),
                path);
        }
        return base::failure(
            "raster.not_a_raster",
            fmt::format("the file is no raster that is known here; {} (an .hgt by the name of its "
                        "corner, N44W072.hgt)",
                        what_is_read),
            path);
    }
    GDALDataset& dataset = *opened.dataset;
    if (dataset.GetRasterCount() != 1) {
        return base::failure("raster.band_count",
                             fmt::format("the raster has {} bands; elevations are 1: take that band alone "
                                         "(gdal_translate -b)",
                                         dataset.GetRasterCount()),
                             path);
    }
    opened.band = dataset.GetRasterBand(1);
    opened.width = dataset.GetRasterXSize();
    opened.height = dataset.GetRasterYSize();
    const GDALDataType type = opened.band->GetRasterDataType();
    if (type == GDT_Byte || GDALDataTypeIsComplex(type) != 0) {
        return base::failure(
            "raster.not_elevations",
            fmt::format("its values are of type {}: a picture or a measurement, no elevations; give "
                        "16-bit or wider numbers in metres",
                        GDALGetDataTypeName(type)),
            path);
    }
    Grid grid{.place_of_pixel = {}, .width = opened.width, .height = opened.height};
    if (dataset.GetGeoTransform(grid.place_of_pixel.data()) != CE_None) {
        return tl::unexpected(no_projection(path, "the raster does not say where on the earth it lies"));
    }
    const auto system = plain_system(dataset);
    if (!system) {
        return tl::unexpected(no_projection(path, "the raster does not say its coordinate system"));
    }
    if (GDALInvGeoTransform(grid.place_of_pixel.data(), opened.pixel_of_place.data()) == 0) {
        return tl::unexpected(no_projection(path, "the raster has pixels without area"));
    }
    opened.geographic = system->IsGeographic() != 0;
    const OGRSpatialReference earth = earth_system();
    const bool same = opened.geographic && system->IsSameGeogCS(&earth) != 0 &&
                      std::abs(system->GetAngularUnits() - earth.GetAngularUnits()) < 1e-12;
    std::unique_ptr<OGRCoordinateTransformation, DestroyTransformation> to_earth;
    if (!same) {
        to_earth.reset(OGRCreateCoordinateTransformation(&*system, &earth));
        opened.from_earth.reset(OGRCreateCoordinateTransformation(&earth, &*system));
        if (!to_earth || !opened.from_earth) {
            return tl::unexpected(no_projection(
                path,
                fmt::format("its coordinate system cannot be brought to WGS 84 ({})", words_of_library())));
        }
    }
    const auto extent = extent_of(grid, to_earth.get());
    // An .hgt or a global grid reaches half a pixel beyond the pole.
    constexpr double beyond_deg = 0.5;
    if (!extent || extent->south_deg < -90.0 - beyond_deg || extent->north_deg > 90.0 + beyond_deg ||
        extent->west_deg < -540.0 || extent->east_deg > 540.0 ||
        extent->east_deg - extent->west_deg > 361.0) {
        return base::failure(
            "raster.outside_earth",
            extent
                ? fmt::format("the raster reaches from {:.4g} to {:.4g} degrees north and {:.4g} to {:.4g} "
                              "east; allowed "
                              "-90 to 90 and 360 degrees round: its coordinate system or its place is wrong",
                              extent->south_deg, extent->north_deg, extent->west_deg, extent->east_deg)
                : std::string(
                      "the raster lies where its projection has no place on the earth: its coordinate "
                      "system or its place is wrong"),
            path);
    }
    int has_no_data = 0;
    const double no_data = opened.band->GetNoDataValue(&has_no_data);
    // SRTM's own mark stands for a void in 16-bit rasters that do not say theirs.
    if (has_no_data != 0) {
        opened.no_data = no_data;
    } else if (type == GDT_Int16) {
        opened.no_data = -32768.0;
    }
    opened.masked = (opened.band->GetMaskFlags() & GMF_PER_DATASET) != 0;
    const double unit_m = metres_in_unit(opened.band->GetUnitType());
    opened.metres_per_unit = opened.band->GetScale() * unit_m;
    opened.offset_m = opened.band->GetOffset() * unit_m;

    // How far apart pixels are, in the middle of the raster, by whichever side of a pixel is shorter in degrees of arc.
    const Place middle = grid.at(opened.width / 2.0, opened.height / 2.0);
    std::array<double, 3> x = {middle.x, middle.x + grid.place_of_pixel[1],
                               middle.x + grid.place_of_pixel[2]};
    std::array<double, 3> y = {middle.y, middle.y + grid.place_of_pixel[4],
                               middle.y + grid.place_of_pixel[5]};
    if (to_earth && to_earth->Transform(3, x.data(), y.data()) == 0) {
        return tl::unexpected(no_projection(path, "the middle of the raster has no place on the earth"));
    }
    const double shrink = to_earth && !opened.geographic ? std::cos(y[0] * std::acos(-1.0) / 180.0) : 1.0;
    const double across = std::hypot((x[1] - x[0]) * shrink, y[1] - y[0]);
    const double along = std::hypot((x[2] - x[0]) * shrink, y[2] - y[0]);
    const double pixel_arc_seconds = std::min(across, along) * 3600.0;
    opened.reduced = std::max(1, static_cast<int>(std::lround(1.0 / std::max(pixel_arc_seconds, 1e-6))));
    source.facts_ = {.path = path,
                     .format = format_of(dataset),
                     .projection = system->GetName() == nullptr ? "" : system->GetName(),
                     .spacing_arc_seconds = spacing_for(pixel_arc_seconds),
                     .extent = *extent};
    return source;
}

base::Result<std::vector<float>> Source::heights(earth::TerrainBlock block, int nodes_per_side) {
    if (!opened_) {
        auto again = open(facts_.path);
        if (!again) {
            return tl::unexpected(again.error());
        }
        *this = std::move(*again);
    }
    const Opened& opened = *opened_;
    const int cells = nodes_per_side - 1;
    const int knots = cells / nodes_between_knots + 1;
    std::vector<float> heights(
        static_cast<std::size_t>(nodes_per_side) * static_cast<std::size_t>(nodes_per_side), unknown);
    // A geographic raster may count its longitudes from any meridian.
    for (const double turn_deg : {0.0, 360.0, -360.0}) {
        const bool meets = block.west_quarters * 0.25 + turn_deg <= facts_.extent.east_deg &&
                           block.west_quarters * 0.25 + 0.25 + turn_deg >= facts_.extent.west_deg;
        if (opened.geographic ? !meets : turn_deg != 0.0) {
            continue;
        }
        std::vector<Place> degrees;
        for (int row = 0; row < knots; ++row) {
            for (int column = 0; column < knots; ++column) {
                // From one whole number for each parallel and meridian, so that blocks agree on their common edge to the last bit.
                degrees.push_back(
                    {static_cast<double>(block.west_quarters * cells + column * nodes_between_knots) /
                             (4 * cells) +
                         turn_deg,
                     static_cast<double>(block.south_quarters * cells + row * nodes_between_knots) /
                         (4 * cells)});
            }
        }
        const std::vector<Place> pixels = opened.pixels_of(degrees);
        const auto knot = [&](int row, int column) {
            return pixels[static_cast<std::size_t>(row) * static_cast<std::size_t>(knots) +
                          static_cast<std::size_t>(column)];
        };
        double left = 1e18;
        double right = -1e18;
        double top = 1e18;
        double bottom = -1e18;
        for (const Place& pixel : pixels) {
            if (std::isfinite(pixel.x)) {
                left = std::min(left, pixel.x);
                right = std::max(right, pixel.x);
                top = std::min(top, pixel.y);
                bottom = std::max(bottom, pixel.y);
            }
        }
        const auto clipped = [](double value, int size) {
            return static_cast<int>(std::clamp(value, 0.0, static_cast<double>(size)));
        };
        Opened::Window window;
        const int reduced = opened.reduced;
        window.first_column = clipped(std::floor(left) - 1, opened.width) / reduced;
        window.first_row = clipped(std::floor(top) - 1, opened.height) / reduced;
        window.columns =
            (clipped(std::ceil(right) + 2 + 2 * reduced, opened.width) / reduced) - window.first_column;
        window.rows =
            (clipped(std::ceil(bottom) + 2 + 2 * reduced, opened.height) / reduced) - window.first_row;
        // A block that a projection tears apart (at its own antimeridian) would need the whole raster: unknown there.
        const double side = nodes_per_side + 16.0;
        if (window.columns <= 0 || window.rows <= 0 ||
            static_cast<double>(window.columns) * window.rows > 4.0 * side * side) {
            continue;
        }
        if (auto read = opened.read(facts_.path, window); !read) {
            return tl::unexpected(read.error());
        }
        for (int row = 0; row < nodes_per_side; ++row) {
            const int knot_row = std::min(row / nodes_between_knots, knots - 2);
            const double up = static_cast<double>(row - knot_row * nodes_between_knots) / nodes_between_knots;
            for (int column = 0; column < nodes_per_side; ++column) {
                const int knot_column = std::min(column / nodes_between_knots, knots - 2);
                const double along =
                    static_cast<double>(column - knot_column * nodes_between_knots) / nodes_between_knots;
                const Place a = knot(knot_row, knot_column);
                const Place b = knot(knot_row, knot_column + 1);
                const Place c = knot(knot_row + 1, knot_column);
                const Place d = knot(knot_row + 1, knot_column + 1);
                const auto mix = [up, along](double p, double q, double r, double s) {
                    const double low = along == 0.0 ? p : along == 1.0 ? q : p + (q - p) * along;
                    const double high = along == 0.0 ? r : along == 1.0 ? s : r + (s - r) * along;
                    return up == 0.0 ? low : up == 1.0 ? high : low + (high - low) * up;
                };
                const Place pixel{mix(a.x, b.x, c.x, d.x), mix(a.y, b.y, c.y, d.y)};
                float& height =
                    heights[static_cast<std::size_t>(row) * static_cast<std::size_t>(nodes_per_side) +
                            static_cast<std::size_t>(column)];
                if (std::isnan(height) && std::isfinite(pixel.x) && std::isfinite(pixel.y)) {
                    height = opened.bilinear(window, pixel);
                }
            }
        }
    }
    return heights;
}

}  // namespace omniway::raster
