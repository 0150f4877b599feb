#include "written_terrain.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstddef>
#include <fstream>
#include <iterator>
#include <limits>
#include <map>
#include <stdexcept>
#include <utility>

#include <zlib.h>

namespace omniway::demo_region {

namespace {

std::uint64_t number_at(const std::string& bytes, std::size_t at, std::size_t size) {
    if (at + size > bytes.size()) {
        throw std::runtime_error("the TIFF ends early");
    }
    std::uint64_t value = 0;
    for (std::size_t i = 0; i < size; ++i) {
        value |= std::uint64_t{static_cast<unsigned char>(bytes[at + i])} << (8 * i);
    }
    return value;
}

/// The values of a tag, whatever their size; doubles as their bits.
using Tags = std::map<int, std::vector<std::uint64_t>>;
Tags tags_of(const std::string& bytes) {
    if (bytes.substr(0, 4) != std::string("II*\0", 4)) {
        throw std::runtime_error("no little-endian TIFF");
    }
    Tags tags;
    const std::size_t directory = number_at(bytes, 4, 4);
    int before = 0;
    for (std::size_t i = 0; i < number_at(bytes, directory, 2); ++i) {
        const std::size_t at = directory + 2 + 12 * i;
        const int tag = static_cast<int>(number_at(bytes, at, 2));
        const std::map<std::uint64_t, std::size_t> sizes = {{2, 1}, {3, 2}, {4, 4}, {12, 8}};
        const std::size_t size = sizes.at(number_at(bytes, at + 2, 2));
        const std::size_t count = number_at(bytes, at + 4, 4);
        const std::size_t values = size * count <= 4 ? at + 8 : number_at(bytes, at + 8, 4);
        if (tag <= before) {
            throw std::runtime_error("tags do not ascend");
        }
        before = tag;
        for (std::size_t k = 0; k < count; ++k) {
            tags[tag].push_back(number_at(bytes, values + k * size, size));
        }
    }
    if (number_at(bytes, directory + 2 + 12 * number_at(bytes, directory, 2), 4) != 0) {
        throw std::runtime_error("a second image");
    }
    return tags;
}

void expect(const Tags& tags, int tag, std::uint64_t value) {
    if (tags.at(tag) != std::vector<std::uint64_t>{value}) {
        throw std::runtime_error("tag " + std::to_string(tag) + " is not " + std::to_string(value));
    }
}

}  // namespace

WrittenTerrain WrittenTerrain::from_file(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return WrittenTerrain(std::string(std::istreambuf_iterator<char>(file), {}));
}

WrittenTerrain::WrittenTerrain(const std::string& bytes) {
    const Tags tags = tags_of(bytes);
    expect(tags, 258, 16);
    expect(tags, 259, 8);  // deflate
    expect(tags, 277, 1);
    expect(tags, 317, 2);  // horizontal differencing
    expect(tags, 339, 2);  // signed
    const std::vector<std::uint64_t> keys = {1, 1, 0,    4, 1024, 0,    1,    2, 1025, 0,
                                             1, 2, 2048, 0, 1,    4326, 2054, 0, 1,    9102};
    if (tags.at(34735) != keys) {
        throw std::runtime_error("not EPSG:4326 with samples that stand for points");
    }
    columns_ = static_cast<int>(tags.at(256).at(0));
    rows_ = static_cast<int>(tags.at(257).at(0));
    step_deg_ = std::bit_cast<double>(tags.at(33550).at(0));
    if (tags.at(33550).at(1) != tags.at(33550).at(0)) {
        throw std::runtime_error("steps differ in latitude and longitude");
    }
    west_deg_ = std::bit_cast<double>(tags.at(33922).at(3));
    north_deg_ = std::bit_cast<double>(tags.at(33922).at(4));
    std::string text;
    for (const std::uint64_t letter : tags.at(42113)) {
        text += static_cast<char>(letter);
    }
    no_data_ = static_cast<std::int16_t>(std::stoi(text));

    const std::size_t width = static_cast<std::size_t>(columns_);
    const std::size_t rows_per_strip = tags.at(278).at(0);
    for (std::size_t strip = 0; strip < tags.at(273).size(); ++strip) {
        const std::size_t here =
            std::min(rows_per_strip, static_cast<std::size_t>(rows_) - strip * rows_per_strip);
        std::string plain(here * width * 2, '\0');
        uLongf size = plain.size();
        const std::string packed = bytes.substr(tags.at(273)[strip], tags.at(279).at(strip));
        if (uncompress(reinterpret_cast<Bytef*>(plain.data()), &size,
                       reinterpret_cast<const Bytef*>(packed.data()), packed.size()) != Z_OK ||
            size != plain.size()) {
            throw std::runtime_error("a strip cannot be unpacked");
        }
        for (std::size_t row = 0; row < here; ++row) {
            std::uint16_t value = 0;
            for (std::size_t column = 0; column < width; ++column) {
                value = static_cast<std::uint16_t>(value + number_at(plain, (row * width + column) * 2, 2));
                metres_.push_back(static_cast<std::int16_t>(value));
            }
        }
    }
    if (metres_.size() != width * static_cast<std::size_t>(rows_)) {
        throw std::runtime_error("samples are missing");
    }
}

std::int16_t WrittenTerrain::at(int row, int column) const {
    return metres_.at(static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
                      static_cast<std::size_t>(column));
}

double WrittenTerrain::height_m(double latitude_deg, double longitude_deg) const {
    const double down = (north_deg_ - latitude_deg) / step_deg_;
    const double across = (longitude_deg - west_deg_) / step_deg_;
    if (down < 0.0 || across < 0.0 || down > rows_ - 1.0 || across > columns_ - 1.0) {
        return std::numeric_limits<double>::quiet_NaN();
    }
    const int row = std::min(static_cast<int>(down), rows_ - 2);
    const int column = std::min(static_cast<int>(across), columns_ - 2);
    double sum = 0.0;
    for (const int i : {0, 1}) {
        for (const int j : {0, 1}) {
            const std::int16_t corner = at(row + i, column + j);
            if (corner == no_data_) {
                return std::numeric_limits<double>::quiet_NaN();
            }
            const double v = i == 0 ? row + 1 - down : down - row;
            const double u = j == 0 ? column + 1 - across : across - column;
            sum += u * v * corner;
        }
    }
    return sum;
}

double WrittenTerrain::highest_m(double latitude_deg, double longitude_deg, double within_nm) const {
    constexpr double degrees_per_radian = 57.29577951308232;
    const double east_nm = 60.1 * std::cos(latitude_deg / degrees_per_radian);  // to a degree
    constexpr double north_nm = 60.0;
    const auto row_of = [&](double latitude) {
        return static_cast<int>((north_deg_ - latitude) / step_deg_);
    };
    const auto column_of = [&](double longitude) {
        return static_cast<int>((longitude - west_deg_) / step_deg_);
    };
    double highest = 0.0;
    for (int row = std::max(row_of(latitude_deg + within_nm / north_nm), 0);
         row <= std::min(row_of(latitude_deg - within_nm / north_nm) + 1, rows_ - 1); ++row) {
        for (int column = std::max(column_of(longitude_deg - within_nm / east_nm), 0);
             column <= std::min(column_of(longitude_deg + within_nm / east_nm) + 1, columns_ - 1); ++column) {
            const double north = (north_deg_ - row * step_deg_ - latitude_deg) * north_nm;
            const double east = (west_deg_ + column * step_deg_ - longitude_deg) * east_nm;
            if (north * north + east * east <= within_nm * within_nm) {
                highest = std::max(highest, static_cast<double>(at(row, column)));
            }
        }
    }
    return highest;
}

}  // namespace omniway::demo_region
