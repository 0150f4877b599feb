#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace omniway::demo_region {

/// The terrain as its file has it, read back for the tests by a reader of their own.
///   Model     baseline TIFF as little as GeoTIFF needs it: little-endian, strips, deflate with horizontal differencing, 16 bits;
///             a sample stands for its point. Nothing of the generator is used.
///   Domain    one band, north up, EPSG:4326.
///   Accuracy  exact.
///   Cost      a quarter of a second for the whole country.
///   Fails     throws std::runtime_error with what is not as expected.
///   Source    TIFF 6.0; OGC 19-008r4.
class WrittenTerrain {
public:
    explicit WrittenTerrain(const std::string& bytes);
    static WrittenTerrain from_file(const std::string& path);

    int rows() const { return rows_; }
    int columns() const { return columns_; }
    double north_deg() const { return north_deg_; }
    double west_deg() const { return west_deg_; }
    double step_deg() const { return step_deg_; }
    std::int16_t no_data() const { return no_data_; }
    std::int16_t at(int row, int column) const;
    const std::vector<std::int16_t>& metres() const { return metres_; }

    /// Between the nodes; not a number beside the grid or beside a void.
    double height_m(double latitude_deg, double longitude_deg) const;
    /// The highest node within a distance, by a flat map about the place; voids and what is beside the grid count as sea.
    double highest_m(double latitude_deg, double longitude_deg, double within_nm) const;

private:
    int rows_ = 0;
    int columns_ = 0;
    double north_deg_ = 0.0;
    double west_deg_ = 0.0;
    double step_deg_ = 0.0;
    std::int16_t no_data_ = 0;
    std::vector<std::int16_t> metres_;
};

}  // namespace omniway::demo_region
