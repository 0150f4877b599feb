#include "procedure/detail/pace.hpp"

#include <algorithm>

#include "procedure/hold_limits.hpp"
#include "procedure/reversal_rules.hpp"

namespace omniway::procedure::detail {

using base::Altitude;
using base::Speed;
using navdata::AltitudeRule;
using navdata::Leg;
using navdata::PathTerminator;
using weather::CalibratedAirspeed;

namespace {

constexpr double initial_over_approach_speed = 1.3;
constexpr CalibratedAirspeed below_ten_thousand = CalibratedAirspeed::knots(250.0);
constexpr CalibratedAirspeed no_limit = CalibratedAirspeed::knots(600.0);
// Where nothing ahead codes an altitude the climb is taken to go on for so much: common practice, no source.
constexpr base::Length climb_where_none_is_coded = base::Length::feet(5000.0);

bool holds_altitude_down(AltitudeRule rule) {
    return rule == AltitudeRule::at || rule == AltitudeRule::at_or_below || rule == AltitudeRule::between;
}

Speed at_indicated(CalibratedAirspeed airspeed, Altitude altitude) {
    const base::PressureAltitude level = weather::on_a_standard_day(altitude);
    return weather::true_airspeed(airspeed, level, weather::standard_temperature(level));
}

}  // namespace

Pace::Pace(std::span<const PlacedLeg> legs, const FlownBy& by, FlownPhase phase)
    : legs_(legs), by_(by), phase_(phase), final_from_(legs.size()) {
    for (std::size_t i = 0; i < legs.size(); ++i) {
        if (legs[i].coded->is_final_approach_fix()) {
            final_from_ = i + 1;
        }
    }
}

bool Pace::climbs(std::size_t leg) const {
    return phase_ == FlownPhase::departure || legs_[leg].missed;
}

Altitude Pace::within_ceiling(Altitude altitude) const {
    return std::clamp(altitude, Altitude::feet(-1000.0), by_.aircraft->performance.service_ceiling);
}

aircraft::ApproachCategory Pace::category() const {
    return aircraft::approach_category(by_.aircraft->performance.approach_speed);
}

base::VerticalSpeed Pace::climb_rate(Altitude altitude) const {
    return aircraft::climb_rate(by_.aircraft->performance, within_ceiling(altitude));
}

CalibratedAirspeed Pace::indicated_limit(std::size_t leg, Altitude altitude) const {
    CalibratedAirspeed limit = altitude < Altitude::feet(10000.0) ? below_ten_thousand : no_limit;
    const Leg& coded = *legs_[leg].coded;
    if (coded.speed_limit) {
        limit = std::min(limit, CalibratedAirspeed::knots(coded.speed_limit->knots()));
    }
    if (coded.terminator == PathTerminator::PI) {
        limit = std::min(limit, reversal_speed_limit);
    }
    if (coded.terminator == PathTerminator::HA || coded.terminator == PathTerminator::HF ||
        coded.terminator == PathTerminator::HM) {
        limit = std::min(limit, hold_speed(altitude, by_.criteria, category()).indicated.value_or(limit));
    }
    return limit;
}

Speed Pace::true_airspeed(std::size_t leg, Altitude altitude) const {
    const aircraft::Performance& performance = by_.aircraft->performance;
    const Altitude level = within_ceiling(altitude);
    const Speed limit = at_indicated(indicated_limit(leg, level), level);
    if (climbs(leg)) {
        return std::min(limit, aircraft::true_airspeed_climb(performance, level));
    }
    if (phase_ == FlownPhase::arrival) {
        return std::min(limit, aircraft::true_airspeed_descent(performance, level));
    }
    const double factor = leg >= final_from_ ? 1.0 : initial_over_approach_speed;
    const Speed slowed = at_indicated(performance.approach_speed * factor, level);
    return std::min({limit, slowed, aircraft::true_airspeed_cruise(performance, level)});
}

Altitude Pace::climbs_to(std::size_t leg, Altitude start) const {
    std::optional<Altitude> highest;
    for (std::size_t i = leg; i < legs_.size(); ++i) {
        const Leg& coded = *legs_[i].coded;
        if (coded.altitude_1) {
            highest = std::max(highest.value_or(*coded.altitude_1), *coded.altitude_1);
        }
    }
    Altitude target = std::max(start, highest.value_or(start + climb_where_none_is_coded));
    const Leg& coded = *legs_[leg].coded;
    if (coded.altitude_1 && holds_altitude_down(coded.altitude_rule)) {
        target = std::max(start, std::min(target, *coded.altitude_1));
    }
    return within_ceiling(target);
}

Altitude Pace::descends_to(std::size_t leg, Altitude start) const {
    const Leg& coded = *legs_[leg].coded;
    if (!coded.altitude_1) {
        return start;
    }
    switch (coded.altitude_rule) {
        case AltitudeRule::at_or_below:
            return std::min(start, *coded.altitude_1);
        case AltitudeRule::between:
            return std::clamp(start,
                              std::min(*coded.altitude_1, coded.altitude_2.value_or(*coded.altitude_1)),
                              *coded.altitude_1);
        case AltitudeRule::at_or_above_second:
            return coded.altitude_2.value_or(*coded.altitude_1);
        default:
            return *coded.altitude_1;
    }
}

Altitude Pace::after(std::size_t leg, Altitude start, base::Duration time) const {
    if (!climbs(leg)) {
        return descends_to(leg, start);
    }
    // The rate falls evenly with altitude: half steps of a minute at the rate in their middle.
    const Altitude target = climbs_to(leg, start);
    const int steps = std::max(1, static_cast<int>(time.count() / 30.0));
    Altitude now = start;
    for (int i = 0; i < steps && now < target; ++i) {
        const base::Duration step = time / static_cast<double>(steps);
        const base::Length half =
            base::Length::metres(climb_rate(now).metres_per_second() * step.count() / 2);
        now = now + base::Length::metres(climb_rate(now + half).metres_per_second() * step.count());
    }
    return std::min(now, target);
}

std::optional<base::Duration> Pace::until(Altitude start, Altitude reached) const {
    const aircraft::Performance& performance = by_.aircraft->performance;
    if (reached > performance.service_ceiling || start > performance.service_ceiling) {
        return std::nullopt;
    }
    if (reached <= start) {
        return base::Duration(0.0);
    }
    // The rate is linear in altitude, so time is the logarithm of what it falls by; evened out by thirds (Simpson) it is within
    // a second of it up to half the ceiling.
    const auto slowness = [&](double share) {
        return 1.0 / climb_rate(start + (reached - start) * share).metres_per_second();
    };
    const double mean =
        (slowness(0.0) + 4.0 * slowness(0.25) + 2.0 * slowness(0.5) + 4.0 * slowness(0.75) + slowness(1.0)) /
        12.0;
    return base::Duration((reached - start).metres() * mean);
}

}  // namespace omniway::procedure::detail
