#include "procedure/vertical.hpp"

#include <cmath>
#include <numbers>

#include "navdata/airport.hpp"

namespace omniway::procedure {

using base::Altitude;
using base::Angle;
using base::Length;
using navdata::AltitudeRule;

namespace {

constexpr double earth_radius_m = 6371008.8;  // mean radius, IUGG

bool names_a_glideslope(AltitudeRule rule) {
    return rule == AltitudeRule::glideslope_at || rule == AltitudeRule::glideslope_at_or_above;
}

}  // namespace

base::VerticalSpeed vertical_speed(Gradient gradient, base::Speed groundspeed) {
    return base::VerticalSpeed::metres_per_second(gradient.percent() / 100.0 *
                                                  groundspeed.metres_per_second());
}

Gradient gradient_of(base::VerticalSpeed rate, base::Speed groundspeed) {
    return Gradient::of(Length::metres(rate.metres_per_second()),
                        Length::metres(groundspeed.metres_per_second()));
}

bool AltitudeWindow::holds(Altitude altitude, Length margin) const {
    return (!at_or_above || altitude >= *at_or_above - margin) &&
           (!at_or_below || altitude <= *at_or_below + margin);
}

AltitudeWindow window_of(const navdata::Leg& leg) {
    switch (leg.altitude_rule) {
        case AltitudeRule::none:
            return {};
        case AltitudeRule::at:
        case AltitudeRule::glideslope_at:
            return {leg.altitude_1, leg.altitude_1};
        case AltitudeRule::at_or_above:
        case AltitudeRule::glideslope_at_or_above:
        case AltitudeRule::step_down:
            return {leg.altitude_1, std::nullopt};
        case AltitudeRule::at_or_below:
            return {std::nullopt, leg.altitude_1};
        case AltitudeRule::between:
            return {leg.altitude_2, leg.altitude_1};
        case AltitudeRule::at_or_above_second:
            return {leg.altitude_2, std::nullopt};
    }
    return {};
}

std::optional<Altitude> coded_glideslope_altitude(const navdata::Leg& leg) {
    return names_a_glideslope(leg.altitude_rule) ? leg.altitude_2 : std::nullopt;
}

std::optional<GlidePath> glide_path(const navdata::Glideslope& glideslope, const navdata::Runway* runway) {
    if (runway != nullptr && runway->threshold && runway->elevation && glideslope.threshold_crossing_height) {
        return GlidePath{*runway->threshold, *runway->elevation + *glideslope.threshold_crossing_height,
                         glideslope.angle, GlidePathFoot::threshold};
    }
    if (glideslope.elevation) {
        return GlidePath{glideslope.position, *glideslope.elevation, glideslope.angle,
                         GlidePathFoot::antenna};
    }
    return std::nullopt;
}

// Law of sines in the triangle of the earth's centre, the foot and the place on the line: its angles are d/R at the centre, 90
// degrees and the glideslope's at the foot, and what is left.
Altitude altitude_on(const GlidePath& path, Length from_foot) {
    const double foot_m = earth_radius_m + path.at_foot.metres();
    const double centre_rad = from_foot.metres() / earth_radius_m;
    const double rise = std::cos(path.angle.radians()) / std::cos(path.angle.radians() + centre_rad);
    return path.at_foot + Length::metres(foot_m * (rise - 1.0));
}

std::optional<Length> distance_at(const GlidePath& path, Altitude altitude) {
    if (altitude < path.at_foot) {
        return std::nullopt;
    }
    const double foot_m = earth_radius_m + path.at_foot.metres();
    const double place_m = earth_radius_m + altitude.metres();
    const double angle_rad = path.angle.radians();
    return Length::metres(earth_radius_m * (std::acos(std::cos(angle_rad) * foot_m / place_m) - angle_rad));
}

Altitude altitude_on(Altitude at_end, Angle angle, Length before_end) {
    return at_end + Gradient::of(angle).over(before_end);
}

std::vector<TimeAtSpeed> time_table(Length distance) {
    std::vector<TimeAtSpeed> table;
    for (int knots = 60; knots <= 180; knots += 30) {
        const auto groundspeed = base::Speed::knots(knots);
        table.push_back({groundspeed, distance / groundspeed});
    }
    return table;
}

}  // namespace omniway::procedure
