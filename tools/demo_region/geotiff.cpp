#include "geotiff.hpp"

#include <algorithm>
#include <bit>
#include <initializer_list>
#include <stdexcept>
#include <vector>

#include <zlib.h>

namespace omniway::demo_region {

namespace {

constexpr int rows_per_strip = 64;

enum Kind : std::uint16_t { ascii = 2, sixteen_bits = 3, thirty_two_bits = 4, sixty_four_bit_float = 12 };

class Tiff {
public:
    explicit Tiff(std::uint16_t number_of_tags)
        : next_tag_(8 + 2), next_data_(8 + 2 + 12U * number_of_tags + 4) {
        bytes_ = "II";
        put(42, 2);
        put(8, 4);
        put(number_of_tags, 2);
        bytes_.resize(next_data_, '\0');
    }

    /// Where the next values or strips will stand.
    std::uint32_t end() const { return static_cast<std::uint32_t>(bytes_.size()); }
    void append(const std::string& data) { bytes_ += data; }

    void tag(std::uint16_t number, Kind kind, std::uint32_t count, const std::string& values) {
        std::string row;
        little_endian(row, number, 2);
        little_endian(row, kind, 2);
        little_endian(row, count, 4);
        if (values.size() <= 4) {
            row += values;
            row.resize(12, '\0');
        } else {
            bytes_.resize((bytes_.size() + 7) / 8 * 8, '\0');
            little_endian(row, end(), 4);
            bytes_ += values;
        }
        bytes_.replace(next_tag_, row.size(), row);
        next_tag_ += row.size();
    }
    void number(std::uint16_t number, std::uint32_t value, Kind kind = sixteen_bits) {
        std::string text;
        little_endian(text, value, kind == sixteen_bits ? 2 : 4);
        tag(number, kind, 1, text);
    }

    static void little_endian(std::string& to, std::uint64_t value, int bytes) {
        for (int i = 0; i < bytes; ++i) {
            to += static_cast<char>(static_cast<unsigned char>(value >> (8 * i) & 0xFFU));
        }
    }

    std::string take() { return std::move(bytes_); }

private:
    void put(std::uint64_t value, int bytes) { little_endian(bytes_, value, bytes); }

    std::string bytes_;
    std::size_t next_tag_;
    std::size_t next_data_;
};

std::string doubles(std::initializer_list<double> values) {
    std::string text;
    for (const double value : values) {
        Tiff::little_endian(text, std::bit_cast<std::uint64_t>(value), 8);
    }
    return text;
}

std::string packed_strip(const Grid& grid, int first_row) {
    const int last_row = std::min(first_row + rows_per_strip, grid.rows);
    std::string plain;
    plain.reserve(static_cast<std::size_t>(last_row - first_row) * static_cast<std::size_t>(grid.columns) *
                  2);
    for (int row = first_row; row < last_row; ++row) {
        std::uint16_t before = 0;
        for (int column = 0; column < grid.columns; ++column) {
            const auto value = static_cast<std::uint16_t>(grid.at(row, column));
            const auto step = static_cast<std::uint16_t>(value - before);
            plain += static_cast<char>(static_cast<unsigned char>(step & 0xFFU));
            plain += static_cast<char>(static_cast<unsigned char>(step >> 8U));
            before = value;
        }
    }
    uLongf size = compressBound(plain.size());
    std::string packed(size, '\0');
    const int fault = compress2(reinterpret_cast<Bytef*>(packed.data()), &size,
                                reinterpret_cast<const Bytef*>(plain.data()), plain.size(), 6);
    if (fault != Z_OK) {
        throw std::runtime_error("zlib cannot pack a strip of heights");
    }
    packed.resize(size);
    return packed;
}

std::string geographic_keys() {
    // Version 1.1.0; model geographic, a sample is a point, EPSG:4326, degrees.
    constexpr std::uint16_t keys[] = {1, 1, 0,    4, 1024, 0,    1,    2, 1025, 0,
                                      1, 2, 2048, 0, 1,    4326, 2054, 0, 1,    9102};
    std::string text;
    for (const std::uint16_t key : keys) {
        Tiff::little_endian(text, key, 2);
    }
    return text;
}

}  // namespace

std::string geotiff(const Grid& grid) {
    constexpr std::uint16_t number_of_tags = 16;
    Tiff tiff(number_of_tags);
    std::string offsets;
    std::string counts;
    std::uint32_t strips = 0;
    for (int row = 0; row < grid.rows; row += rows_per_strip, ++strips) {
        const std::string packed = packed_strip(grid, row);
        Tiff::little_endian(offsets, tiff.end(), 4);
        Tiff::little_endian(counts, packed.size(), 4);
        tiff.append(packed);
    }
    constexpr double step_deg = 1.0 / nodes_per_degree;
    // Tags stand in ascending order.
    tiff.number(256, static_cast<std::uint32_t>(grid.columns), thirty_two_bits);
    tiff.number(257, static_cast<std::uint32_t>(grid.rows), thirty_two_bits);
    tiff.number(258, 16);  // bits per sample
    tiff.number(259, 8);   // deflate
    tiff.number(262, 1);   // zero is black
    tiff.tag(273, thirty_two_bits, strips, offsets);
    tiff.number(277, 1);  // samples per pixel
    tiff.number(278, rows_per_strip);
    tiff.tag(279, thirty_two_bits, strips, counts);
    tiff.number(284, 1);  // one plane
    tiff.number(317, 2);  // horizontal differencing
    tiff.number(339, 2);  // signed
    tiff.tag(33550, sixty_four_bit_float, 3, doubles({step_deg, step_deg, 0.0}));
    tiff.tag(33922, sixty_four_bit_float, 6,
             doubles({0.0, 0.0, 0.0, static_cast<double>(grid.west) / nodes_per_degree,
                      static_cast<double>(grid.north) / nodes_per_degree, 0.0}));
    tiff.tag(34735, sixteen_bits, 20, geographic_keys());
    tiff.tag(42113, ascii, 7, std::string("-32768\0", 7));
    return tiff.take();
}

}  // namespace omniway::demo_region
