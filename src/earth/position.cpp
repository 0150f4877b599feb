#include "earth/position.hpp"

#include <cmath>
#include <numbers>
#include <utility>

#include <fmt/format.h>

#include "base/contract.hpp"

namespace omniway::earth {

namespace {

double longitude_in_range(double longitude) {
    const double rest = std::fmod(longitude + 180.0, 360.0);
    const double brought = (rest < 0.0 ? rest + 360.0 : rest) - 180.0;
    return brought >= 180.0 ? -180.0 : brought;  // the least below -180 rounds up to 180
}

}  // namespace

Position Position::degrees(double latitude, double longitude) {
    OMNIWAY_EXPECTS(latitude >= -90.0 && latitude <= 90.0);
    OMNIWAY_EXPECTS(std::isfinite(longitude));
    const bool in_range = longitude >= -180.0 && longitude < 180.0;
    return Position(latitude, in_range ? longitude : longitude_in_range(longitude));
}

base::Result<Position> Position::make(double latitude_deg, double longitude_deg, std::string where) {
    if (!(latitude_deg >= -90.0 && latitude_deg <= 90.0)) {
        return base::failure("earth.latitude_out_of_range",
                             fmt::format("latitude {} degrees is outside -90 to 90", latitude_deg),
                             std::move(where));
    }
    if (!(longitude_deg >= -180.0 && longitude_deg <= 180.0)) {
        return base::failure("earth.longitude_out_of_range",
                             fmt::format("longitude {} degrees is outside -180 to 180", longitude_deg),
                             std::move(where));
    }
    return degrees(latitude_deg, longitude_deg);
}

std::array<double, 3> unit_vector(Position position) {
    constexpr double radian = std::numbers::pi / 180.0;
    const double latitude = position.latitude_deg() * radian;
    const double longitude = position.longitude_deg() * radian;
    return {std::cos(latitude) * std::cos(longitude), std::cos(latitude) * std::sin(longitude),
            std::sin(latitude)};
}

std::string to_text(Position position) {
    const auto part = [](double value, int width, char positive, char negative) {
        const long hundredths = std::lround(std::abs(value) * 6000.0);
        return fmt::format("{:0{}}\u00b0{:02}.{:02}'{}", hundredths / 6000, width, hundredths / 100 % 60,
                           hundredths % 100, value < 0.0 && hundredths > 0 ? negative : positive);
    };
    return part(position.latitude_deg(), 2, 'N', 'S') + " " + part(position.longitude_deg(), 3, 'E', 'W');
}

}  // namespace omniway::earth
