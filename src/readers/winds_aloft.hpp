#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

#include "base/altitude.hpp"
#include "base/result.hpp"
#include "base/temperature.hpp"
#include "weather/wind.hpp"

namespace omniway::readers {

/// One group of a bulletin: "2435+07", "750456", "9900".
struct LevelWind {
    base::Altitude altitude;
    weather::Wind wind;  // light and variable, below 5 kt: as no wind
    bool light_and_variable = false;
    bool or_stronger = false;  // coded 199 kt, which stands for that and more
    std::optional<base::Temperature> temperature;
    friend bool operator==(const LevelWind&, const LevelWind&) = default;
};

/// A row: the winds over one station, and what of its groups could not be read.
struct StationWinds {
    std::string station;
    std::vector<LevelWind> levels;  // ascending
    std::vector<base::Error> faults;
};

/// A forecast of winds and temperatures aloft.
struct WindsBulletin {
    std::string based_on;  // "080000Z": day, hour and minute, UTC
    std::string valid;     // "080600Z"
    std::string for_use;   // "0200-0900Z"
    std::vector<StationWinds> stations;
};

/// A forecast of winds and temperatures aloft in its code form (FB, formerly FD), from its file.
///   Model     the line that begins with FT names the levels in feet above sea level; a group belongs to the level under whose
///             name it ends or whose column it begins in. ddff, ddff+TT or ddffTT: tens of degrees from true north, knots,
///             degrees Celsius; a direction of 51 to 86 stands for one less 50 with 100 kt more; above the altitude of TEMPS NEG ABV
///             (24,000 ft where the line is missing) the minus sign is left out. Levels above 18,000 ft are pressure levels and are taken as feet.
///   Domain    up to 1 MB and 5,000 rows.
///   Accuracy  as coded: 10 degrees, 1 kt, 1 degree.
///   Cost      one pass.
///   Fails     of the file read.winds_no_levels, read.no_records, read.too_many_rows, read.file_empty and those of file_bytes.hpp; of a group,
///             kept with its row, read.wind_group and read.winds_column, at file:line:column.
///   Source    trade-facts 14.2.
tl::expected<WindsBulletin, std::vector<base::Error>> read_winds_aloft(std::string_view bytes,
                                                                       const std::string& name);
tl::expected<WindsBulletin, std::vector<base::Error>> read_winds_aloft_file(const std::string& path);

/// The row of a station, by its ident in capitals or not; null where there is none.
const StationWinds* winds_at(const WindsBulletin& bulletin, std::string_view station);

/// One group as it stands for a level; empty where it is none.
std::optional<LevelWind> wind_group(std::string_view text, base::Altitude level,
                                    base::Altitude negative_above);

}  // namespace omniway::readers
