#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/altitude.hpp"
#include "base/result.hpp"
#include "weather/wind.hpp"

namespace omniway::weather {

/// The wind at one altitude.
struct WindAt {
    base::Altitude altitude;
    Wind wind;
    friend bool operator==(const WindAt&, const WindAt&) = default;
};

/// The wind by level over the whole way.
///   Model     as vectors straight from one level to the next, constant below the lowest and above the highest; the surface wind
///             (runways, with its gust) is the lowest level.
///   Domain    at least one level; altitudes ascending.
///   Accuracy  as forecast.
///   Cost      O(levels).
///   Fails     breaks the contract outside the domain.
///   Source    trade-facts 14.2 (interpolation from memory).
class WindsAloft {
public:
    /// The same wind at every altitude; none given: still air.
    WindsAloft(const Wind& everywhere = {});  // NOLINT(google-explicit-constructor): one wind is winds aloft
    explicit WindsAloft(std::vector<WindAt> levels);

    Wind at(base::Altitude altitude) const;
    const Wind& surface() const { return levels_.front().wind; }
    const std::vector<WindAt>& levels() const { return levels_; }
    bool same_everywhere() const { return levels_.size() == 1; }
    friend bool operator==(const WindsAloft&, const WindsAloft&) = default;

private:
    std::vector<WindAt> levels_;
};

/// "3000 270/20, 9000 290/35": levels in feet above sea level, each with its wind (weather/wind.hpp), with commas between,
/// ascending. Fails with weather.winds_form, weather.level_out_of_range, weather.levels_not_ascending and the codes of
/// parse_wind; `where` is the argument or field the text came from.
base::Result<std::vector<WindAt>> parse_winds_aloft(std::string_view text, const std::string& where);

/// The same with the surface wind below, at the altitude of the ground: levels at or below it are left out. Without one the lowest
/// level blows down to the ground.
WindsAloft above_the_surface(const std::optional<Wind>& surface, base::Altitude ground,
                             std::vector<WindAt> levels);

/// "270/20" where it is the same everywhere, else "270/20, 3,000 ft 270/25, 9,000 ft 290/35".
std::string to_text(const WindsAloft& winds);

}  // namespace omniway::weather
