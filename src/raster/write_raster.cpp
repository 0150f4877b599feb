#include "raster/write_raster.hpp"

#include <unistd.h>

#include <array>
#include <bit>
#include <cerrno>
#include <cmath>
#include <csignal>
#include <cstdint>
#include <cstring>
#include <filesystem>
#include <limits>
#include <memory>
#include <optional>
#include <system_error>
#include <vector>

#include <cpl_error.h>
#include <cpl_json.h>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <ogr_spatialref.h>

namespace omniway::raster {

namespace {

static_assert(std::endian::native == std::endian::little, "numbers of the stream are little-endian");

namespace fs = std::filesystem;

constexpr double most_values = 1e9;
constexpr double most_pixels_of_a_picture = 1e8;
constexpr std::size_t longest_line = 65536;

struct CloseDataset {
    void operator()(GDALDataset* dataset) const { GDALClose(dataset); }
};
using Dataset = std::unique_ptr<GDALDataset, CloseDataset>;

struct Request {
    int width = 0;
    int height = 0;
    double west_deg = 0.0;
    double north_deg = 0.0;
    double cell_deg = 0.0;
    std::vector<std::string> bands;
};

base::Result<Request> refused(const std::string& what) {
    return base::failure("raster.write_request", what, "standard input");
}

base::Result<Request> read_request(std::FILE* in) {
    std::string line;
    for (int letter = std::fgetc(in); letter != '\n'; letter = std::fgetc(in)) {
        if (letter == EOF || line.size() == longest_line) {
            return refused("the first line must be one JSON object of at most 65536 characters");
        }
        line += static_cast<char>(letter);
    }
    CPLJSONDocument document;
    if (!document.LoadMemory(line)) {
        return refused("the first line is no JSON");
    }
    const CPLJSONObject root = document.GetRoot();
    Request request;
    request.width = root.GetInteger("width", 0);
    request.height = root.GetInteger("height", 0);
    const double nothing = std::numeric_limits<double>::quiet_NaN();
    request.west_deg = root.GetDouble("west_deg", nothing);
    request.north_deg = root.GetDouble("north_deg", nothing);
    request.cell_deg = root.GetDouble("cell_deg", nothing);
    if (root.GetString("no_data", "nan") != "nan") {
        return refused("no_data is known as \"nan\" alone");
    }
    const CPLJSONArray bands = root.GetArray("bands");
    for (int i = 0; bands.IsValid() && i < bands.Size(); ++i) {
        request.bands.push_back(bands[i].ToString());
    }
    if (request.bands.empty() || request.bands.size() > 16) {
        return refused(fmt::format("there are {} bands; allowed 1 to 16", request.bands.size()));
    }
    if (request.width < 1 || request.height < 1 ||
        static_cast<double>(request.width) * request.height * static_cast<double>(request.bands.size()) >
            most_values) {
        return refused(fmt::format("width {} and height {} of {} bands; allowed from 1 by 1 to {:.0f} values",
                                   request.width, request.height, request.bands.size(), most_values));
    }
    // Written so that NaN is refused too.
    const bool on_earth = request.cell_deg > 0.0 && request.west_deg >= -360.0 && request.west_deg <= 360.0 &&
                          request.north_deg <= 90.5 &&
                          request.north_deg - request.height * request.cell_deg >= -90.5 &&
                          request.width * request.cell_deg <= 361.0;
    if (!on_earth) {
        return refused(fmt::format("west_deg {}, north_deg {}, cell_deg {}: the raster must lie on the earth",
                                   request.west_deg, request.north_deg, request.cell_deg));
    }
    return request;
}

// What a signal removes on the way out; both calls of the handler may be made in one.
std::array<char, 4096> unfinished{};

extern "C" void remove_unfinished(int signal) {
    unlink(unfinished.data());
    _exit(128 + signal);
}

// A file under a temporary name beside the one it is to become; removed unless kept.
class Unfinished {
public:
    explicit Unfinished(const std::string& path) : path_(path) {
        const fs::path target(path);
        temporary_ = (target.parent_path() /
                      fmt::format(".{}.{}{}", target.stem().string(), getpid(), target.extension().string()))
                         .string();
        if (temporary_.size() + 1 < unfinished.size()) {
            std::memcpy(unfinished.data(), temporary_.c_str(), temporary_.size() + 1);
            std::signal(SIGTERM, remove_unfinished);
            std::signal(SIGINT, remove_unfinished);
        }
    }
    Unfinished(const Unfinished&) = delete;
    Unfinished& operator=(const Unfinished&) = delete;
    ~Unfinished() {
        std::signal(SIGTERM, SIG_DFL);
        std::signal(SIGINT, SIG_DFL);
        std::error_code none;
        fs::remove(temporary_, none);
        fs::remove(temporary_ + ".aux.xml", none);
    }
    const std::string& name() const { return temporary_; }
    bool keep() const { return std::rename(temporary_.c_str(), path_.c_str()) == 0; }

private:
    std::string path_;
    std::string temporary_;
};

void place(GDALDataset& dataset, const Request& request) {
    std::array<double, 6> grid = {request.west_deg, request.cell_deg, 0.0, request.north_deg, 0.0,
                                  -request.cell_deg};
    OGRSpatialReference system;
    system.importFromEPSG(4326);
    dataset.SetGeoTransform(grid.data());
    dataset.SetSpatialRef(&system);
}

Dataset new_geotiff(const std::string& path, const Request& request) {
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
    std::array<const char*, 5> options = {"COMPRESS=DEFLATE", "PREDICTOR=3", "INTERLEAVE=BAND",
                                          "BIGTIFF=IF_SAFER", nullptr};
    Dataset dataset(driver->Create(path.c_str(), request.width, request.height,
                                   static_cast<int>(request.bands.size()), GDT_Float32, options.data()));
    if (dataset) {
        place(*dataset, request);
        for (int band = 1; band <= dataset->GetRasterCount(); ++band) {
            dataset->GetRasterBand(band)->SetDescription(
                request.bands[static_cast<std::size_t>(band - 1)].c_str());
            dataset->GetRasterBand(band)->SetNoDataValue(std::numeric_limits<double>::quiet_NaN());
        }
    }
    return dataset;
}

Dataset new_picture(const Request& request) {
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("MEM");
    return Dataset(driver->Create("", request.width, request.height, 4, GDT_Byte, nullptr));
}

// Rows of the stream into the raster. True for all, false where a value cannot be stored, none where the stream ends early.
std::optional<bool> fill(GDALDataset& dataset, const Request& request, std::FILE* in, bool picture) {
    const auto width = static_cast<std::size_t>(request.width);
    std::vector<float> row(width);
    for (int band = 1; band <= static_cast<int>(request.bands.size()); ++band) {
        for (int y = 0; y < request.height; ++y) {
            if (std::fread(row.data(), sizeof(float), width, in) != width) {
                return std::nullopt;
            }
            if (picture) {
                for (float& value : row) {
                    value = std::isnan(value) ? 0.0F : value;
                }
            }
            if (dataset.GetRasterBand(band)->RasterIO(GF_Write, 0, y, request.width, 1, row.data(),
                                                      request.width, 1, GDT_Float32, 0, 0,
                                                      nullptr) != CE_None) {
                return false;
            }
        }
    }
    return true;
}

}  // namespace

base::Result<void> write_raster(const std::string& path, std::FILE* in) {
    const std::string ending = fs::path(path).extension().string();
    const bool picture = ending == ".png";
    if (!picture && ending != ".tif" && ending != ".tiff") {
        return base::failure(
            "raster.write_form",
            fmt::format("a raster is written as .tif or .png, not as \"{}\": name such a file", ending),
            path);
    }
    const auto request = read_request(in);
    if (!request) {
        return tl::unexpected(request.error());
    }
    if (picture && (request->bands.size() != 4 ||
                    static_cast<double>(request->width) * request->height > most_pixels_of_a_picture)) {
        return tl::unexpected(
            refused(
                fmt::format(
                    "a picture has 4 bands (red, green, blue, opacity) and at most {:.0f} pixels; given are "
                    "{} bands of {} by {}",
                    most_pixels_of_a_picture, request->bands.size(), request->width, request->height))
                .error());
    }
    const auto not_written = [&] {
        const std::string words = CPLGetLastErrorMsg();
        return base::failure("raster.not_written",
                             fmt::format("the raster cannot be written ({}): check the folder and its room",
                                         words.empty() ? std::generic_category().message(errno) : words),
                             path);
    };
    CPLErrorReset();
    const Unfinished file(path);
    Dataset dataset = picture ? new_picture(*request) : new_geotiff(file.name(), *request);
    if (!dataset) {
        return not_written();
    }
    const auto filled = fill(*dataset, *request, in, picture);
    if (!filled) {
        return base::failure(
            "raster.write_request",
            fmt::format("the stream ends before its {} values",
                        static_cast<std::uint64_t>(request->width) *
                            static_cast<std::uint64_t>(request->height) * request->bands.size()),
            "standard input");
    }
    bool written = *filled;
    if (written && picture) {
        GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("PNG");
        std::array<const char*, 1> no_options = {nullptr};
        const Dataset copy(driver->CreateCopy(file.name().c_str(), dataset.get(), FALSE, no_options.data(),
                                              nullptr, nullptr));
        written = copy != nullptr;
    }
    if (written) {
        dataset->FlushCache();
    }
    dataset.reset();
    written = written && CPLGetLastErrorType() != CE_Failure && CPLGetLastErrorType() != CE_Fatal;
    if (!written || !file.keep()) {
        return not_written();
    }
    return {};
}

}  // namespace omniway::raster
