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

/// Air distance of a climb or descent: the level part of the true airspeed summed over time by Simpson's
/// rule. Over time and not over height, where the sum would be of one over the rate, which runs away near the
/// ceiling.
base::Length level_distance(base::Duration time, base::Length height,
                            const std::function<base::Altitude(base::Duration)>& altitude_at,
                            const std::function<base::Speed(base::Altitude)>& true_airspeed,
                            const std::function<base::VerticalSpeed(base::Altitude)>& rate) {
    constexpr base::Length step = base::Length::feet(250.0);
    const int steps = 2 * std::max(1, static_cast<int>(std::ceil(height / (2.0 * step))));
    const auto level_speed_m_per_s = [&](int i) {
        const base::Altitude altitude = altitude_at(time * (static_cast<double>(i) / steps));
        const double v = true_airspeed(altitude).metres_per_second();
        const double w = rate(altitude).metres_per_second();
        return std::sqrt(std::max(0.0, v * v - w * w));
    };
    double sum = level_speed_m_per_s(0) + level_speed_m_per_s(steps);
    for (int i = 1; i < steps; ++i) {
        sum += (i % 2 == 1 ? 4.0 : 2.0) * level_speed_m_per_s(i);
    }
    return base::Length::metres(sum * time.count() / (3.0 * steps));
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
    const base::Length height = high - low;
    const base::VerticalSpeed first = climb_rate(performance, low);
    const base::VerticalSpeed last = climb_rate(performance, high);
    // The rate is linear in height, so with x its relative change time is height over first rate times ln(1 +
    // x) / x, ...
    const double change = last / first - 1.0;
    const bool steady = std::abs(change) < 1e-9;
    Passage passage;
    passage.time = height / first * (steady ? 1.0 : std::log1p(change) / change);
    // ... and the height gained after a share f of that time is ((1 + x)^f - 1) / x of the whole.
    const auto altitude_at = [&](base::Duration elapsed) {
        const double share = passage.time.count() > 0.0 ? elapsed / passage.time : 0.0;
        return low + height * (steady ? share : std::expm1(share * std::log1p(change)) / change);
    };
    passage.distance = level_distance(
        passage.time, height, altitude_at,
        [&](base::Altitude altitude) { return true_airspeed_climb(performance, altitude); },
        [&](base::Altitude altitude) { return climb_rate(performance, altitude); });
    passage.fuel = performance.climb.fuel_flow * passage.time;
    return passage;
}

Passage descent_between(const Performance& performance, base::Altitude high, base::Altitude low) {
    OMNIWAY_EXPECTS(low <= high && high <= performance.service_ceiling);
    const base::Length height = high - low;
    Passage passage;
    passage.time = height / performance.descent.rate;
    const auto altitude_at = [&](base::Duration elapsed) {
        return high - height * (passage.time.count() > 0.0 ? elapsed / passage.time : 0.0);
    };
    passage.distance = level_distance(
        passage.time, height, altitude_at,
        [&](base::Altitude altitude) { return true_airspeed_descent(performance, altitude); },
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
