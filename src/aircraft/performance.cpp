#include "aircraft/performance.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include "base/contract.hpp"

namespace omniway::aircraft {

namespace {

base::Speed true_airspeed_at(weather::CalibratedAirspeed airspeed, std::optional<weather::Mach> mach_limit,
                             base::Altitude altitude) {
    const base::PressureAltitude level = weather::on_a_standard_day(altitude);
    const base::Temperature temperature = weather::standard_temperature(level);
    const base::Speed by_airspeed = weather::true_airspeed(airspeed, level, temperature);
    return mach_limit ? std::min(by_airspeed, weather::true_airspeed(*mach_limit, temperature)) : by_airspeed;
}

/// Air distance of a climb or descent: the true airspeed's level part over the rate, summed over height by
/// Simpson's rule.
base::Length level_distance(base::Altitude low, base::Altitude high,
                            const std::function<base::Speed(base::Altitude)>& true_airspeed,
                            const std::function<base::VerticalSpeed(base::Altitude)>& rate) {
    constexpr double step_ft = 250.0;
    const double height_m = (high - low).metres();
    const int steps = 2 * std::max(1, static_cast<int>(std::ceil((high - low).feet() / (2.0 * step_ft))));
    const auto level_metres_per_metre = [&](int i) {
        const base::Altitude altitude = low + (high - low) * (static_cast<double>(i) / steps);
        const double v = true_airspeed(altitude).metres_per_second();
        const double w = rate(altitude).metres_per_second();
        return std::sqrt(std::max(0.0, v * v - w * w)) / w;
    };
    double sum = level_metres_per_metre(0) + level_metres_per_metre(steps);
    for (int i = 1; i < steps; ++i) {
        sum += (i % 2 == 1 ? 4.0 : 2.0) * level_metres_per_metre(i);
    }
    return base::Length::metres(sum * height_m / (3.0 * steps));
}

/// The value at an altitude between the cruise points, straight between two, the same beyond the ends.
template <class Value>
Value between_points(const std::vector<CruisePoint>& points, base::Altitude altitude,
                     Value CruisePoint::*value) {
    OMNIWAY_EXPECTS(!points.empty());
    const auto above = std::upper_bound(
        points.begin(), points.end(), altitude,
        [](base::Altitude sought, const CruisePoint& point) { return sought < point.altitude; });
    if (above == points.begin()) {
        return points.front().*value;
    }
    if (above == points.end()) {
        return points.back().*value;
    }
    const CruisePoint& below = *(above - 1);
    const double share = (altitude - below.altitude) / (above->altitude - below.altitude);
    return below.*value + share * ((*above).*value - below.*value);
}

}  // namespace

base::VerticalSpeed climb_rate(const Performance& performance, base::Altitude altitude) {
    const double share = altitude.above_datum() / performance.service_ceiling.above_datum();
    return performance.climb.rate_at_sea_level +
           share * (performance.climb.rate_at_ceiling - performance.climb.rate_at_sea_level);
}

Passage climb_between(const Performance& performance, base::Altitude low, base::Altitude high) {
    OMNIWAY_EXPECTS(low <= high && high <= performance.service_ceiling);
    const base::VerticalSpeed first = climb_rate(performance, low);
    const base::VerticalSpeed last = climb_rate(performance, high);
    // The rate is linear in height, so time is height over rate times ln(1 + x) / x with x its relative
    // change.
    const double change = last / first - 1.0;
    const double stretched = std::abs(change) < 1e-9 ? 1.0 : std::log1p(change) / change;
    Passage passage;
    passage.time = (high - low) / first * stretched;
    passage.distance = level_distance(
        low, high, [&](base::Altitude altitude) { return true_airspeed_climb(performance, altitude); },
        [&](base::Altitude altitude) { return climb_rate(performance, altitude); });
    passage.fuel = performance.climb.fuel_flow * passage.time;
    return passage;
}

Passage descent_between(const Performance& performance, base::Altitude high, base::Altitude low) {
    OMNIWAY_EXPECTS(low <= high && high <= performance.service_ceiling);
    Passage passage;
    passage.time = (high - low) / performance.descent.rate;
    passage.distance = level_distance(
        low, high, [&](base::Altitude altitude) { return true_airspeed_descent(performance, altitude); },
        [&](base::Altitude) { return performance.descent.rate; });
    passage.fuel = performance.descent.fuel_flow * passage.time;
    return passage;
}

base::Speed true_airspeed_climb(const Performance& performance, base::Altitude altitude) {
    return true_airspeed_at(performance.climb.airspeed, performance.climb.mach_limit, altitude);
}

base::Speed true_airspeed_cruise(const Performance& performance, base::Altitude altitude) {
    return between_points(performance.cruise, altitude, &CruisePoint::true_airspeed);
}

base::Speed true_airspeed_descent(const Performance& performance, base::Altitude altitude) {
    return true_airspeed_at(performance.descent.airspeed, performance.descent.mach_limit, altitude);
}

base::Speed true_airspeed_approach(const Performance& performance, base::Altitude altitude) {
    return true_airspeed_at(performance.approach_speed, std::nullopt, altitude);
}

base::MassFlow fuel_flow_cruise(const Performance& performance, base::Altitude altitude) {
    return between_points(performance.cruise, altitude, &CruisePoint::fuel_flow);
}

ApproachCategory approach_category(weather::CalibratedAirspeed approach_speed) {
    // Compared as speeds, not as knots read back: 141 kt read back is a hair less.
    const auto below = [&](double kt) { return approach_speed < weather::CalibratedAirspeed::knots(kt); };
    if (below(91.0)) {
        return ApproachCategory::a;
    }
    if (below(121.0)) {
        return ApproachCategory::b;
    }
    if (below(141.0)) {
        return ApproachCategory::c;
    }
    return below(166.0) ? ApproachCategory::d : ApproachCategory::e;
}

char letter(ApproachCategory category) {
    switch (category) {
        case ApproachCategory::a:
            return 'A';
        case ApproachCategory::b:
            return 'B';
        case ApproachCategory::c:
            return 'C';
        case ApproachCategory::d:
            return 'D';
        case ApproachCategory::e:
            return 'E';
    }
    base::contract_violated("a category from a to e", __FILE__, __LINE__);
}

}  // namespace omniway::aircraft
