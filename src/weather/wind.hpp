#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "base/result.hpp"

namespace omniway::weather {

/// Where the wind blows from and how fast.
///   Model     one horizontal vector, true direction; a gust is the peak speed of a surface wind, same
///             direction.
///   Domain    speed not negative; a gust not below it.
///   Accuracy  as reported: 10 degrees and 1 kt in METARs and forecasts.
///   Cost      three numbers.
///   Fails     never.
///   Source    trade-facts 14: winds are reported from true north in METAR, TAF and winds aloft.
struct Wind {
    base::TrueBearing from;
    base::Speed speed;
    std::optional<base::Speed> gust = std::nullopt;

    friend bool operator==(const Wind&, const Wind&) = default;
};

/// The same wind at its peak: what a crosswind or tailwind limit is held against. Without a gust, the wind
/// itself.
Wind at_the_gust(const Wind& wind);

/// "270/15" or "270/15G25": a direction of three figures from true north, 000 to 360, a stroke, 0 to 250 kt,
/// perhaps a gust of 0 to 250 kt not below the speed. Fails with weather.wind_form,
/// weather.wind_direction_out_of_range, weather.wind_speed_out_of_range, weather.gust_below_wind; `where` is
/// the argument or field the text came from.
base::Result<Wind> parse_wind(std::string_view text, std::string where);

/// "270/15G25", to whole degrees and knots; a wind from north is 360, no wind is "000/00".
std::string to_text(const Wind& wind);

}  // namespace omniway::weather
