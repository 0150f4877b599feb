#pragma once

#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

#include "base/altitude.hpp"
#include "base/result.hpp"
#include "earth/position.hpp"

namespace omniway::readers {

/// A place in the air that something is asked of.
struct AskedPoint {
    earth::Position place;
    base::Altitude altitude;
};

/// Places in the air from a CSV file with the columns lat_deg, lon_deg and altitude_ft, in any order and no others.
///   Model     RFC 4180 (readers/csv.hpp) with a header row; altitudes above mean sea level. All or nothing: the answers
///             must stand in the order of the rows, so no row may be passed over.
///   Domain    latitude -90 to 90, longitude -180 to 180, altitude -1,500 to 60,000 ft; at most 100,000 points and 16 MB.
///   Accuracy  as written.
///   Cost      one pass.
///   Fails     with every fault found, at file:line:column, the first 20: read.column_missing, read.column_unknown,
///             read.wrong_field_count, read.value_missing, read.not_a_number, read.out_of_range, read.quote_not_closed,
///             read.text_after_quote, read.no_records; of the file as a whole read.file_missing, read.not_a_file,
///             read.file_too_large, read.file_unreadable, read.file_empty, read.too_many_points.
///   Source    RFC 4180.
tl::expected<std::vector<AskedPoint>, std::vector<base::Error>> read_points(std::string_view bytes,
                                                                            const std::string& name);
tl::expected<std::vector<AskedPoint>, std::vector<base::Error>> read_points_file(const std::string& path);

}  // namespace omniway::readers
