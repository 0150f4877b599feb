#include "flight/level_change.hpp"

#include <algorithm>

#include "flight/climb_overhead.hpp"
#include "flight/detail/level_line.hpp"
#include "flight/flight.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;

namespace {

constexpr Length same_altitude = Length::feet(1.0);
// A climb that begins this near a fix begins at it.
constexpr Length at_the_fix = Length::nautical_miles(0.1);

bool is_cruised(const Leg& leg) {
    return leg.phase != Phase::approach && leg.phase != Phase::missed;
}

// How far the profile goes on one way from a place: while it climbs, or while it descends.
Length run_from(const std::vector<ProfilePoint>& profile, Length place, bool forward, bool rising) {
    const auto on = [&](const ProfilePoint& low, const ProfilePoint& high) {
        return rising ? high.altitude > low.altitude + same_altitude
                      : high.altitude < low.altitude - same_altitude;
    };
    Length end = place;
    if (forward) {
        for (std::size_t i = 1; i < profile.size() && (profile[i].along <= place || end >= place); ++i) {
            if (profile[i].along <= place) {
                continue;
            }
            if (!on(profile[i - 1], profile[i])) {
                break;
            }
            end = profile[i].along;
        }
        return end;
    }
    for (std::size_t i = profile.size(); i-- > 1;) {
        if (profile[i - 1].along >= place) {
            continue;
        }
        if (!on(profile[i - 1], profile[i])) {
            break;
        }
        end = profile[i - 1].along;
    }
    return end;
}

}  // namespace

Altitude level_of(const Flight& flight, const Leg& leg) {
    return leg.level.value_or(flight.cruise);
}

Altitude last_level(const Flight& flight) {
    Altitude level = flight.cruise;
    for (const Leg& leg : flight.legs) {
        level = is_cruised(leg) ? level_of(flight, leg) : level;
    }
    return level;
}

Altitude highest_level(const Flight& flight) {
    Altitude highest = flight.cruise;
    for (const Leg& leg : flight.legs) {
        highest = is_cruised(leg) ? std::max(highest, level_of(flight, leg)) : highest;
    }
    return highest;
}

std::vector<LevelChange> level_changes(const navdata::Snapshot& world, const radio::Ground& ground,
                                       const aircraft::Aircraft& aircraft, const Settings& settings,
                                       const weather::WindsAloft& winds, const Flight& flight) {
    std::vector<LevelChange> changes;
    Length along;
    Altitude level = flight.cruise;
    for (std::size_t i = 0; i < flight.legs.size(); ++i) {
        const Leg& leg = flight.legs[i];
        if (is_cruised(leg) && level_of(flight, leg) != level) {
            LevelChange change;
            change.leg = i;
            change.at = leg.from ? leg.from->ident : std::string();
            change.from = level;
            change.to = level = level_of(flight, leg);
            change.fix_along = along;
            change.begins = change.is_climb() ? run_from(flight.profile, along, false, true) : along;
            change.ends = run_from(flight.profile, along, true, change.is_climb());
            change.true_airspeed = aircraft::true_airspeed_cruise(aircraft.performance, change.to);
            if (along - change.begins > at_the_fix) {
                change.mark = mark_at(world, ground, aircraft, settings, winds, flight, change.begins);
            }
            changes.push_back(change);
        }
        along += leg.length;
    }
    return changes;
}

ClimbBefore climb_before(const aircraft::Aircraft& aircraft, const weather::WindsAloft& winds,
                         const ClimbQuestion& question) {
    std::vector<detail::Cruised> cruised;
    Length along;
    for (const Leg& leg : question.legs) {
        along += leg.length;
        const Altitude level =
            std::min(leg.level.value_or(question.cruise), aircraft.performance.service_ceiling);
        const bool kept = leg.maximum && *leg.maximum >= level;
        cruised.push_back({level, std::min(leg.minimum.altitude.value_or(level), level),
                           kept ? leg.maximum : std::nullopt});
    }
    const Altitude next = std::min(question.next, aircraft.performance.service_ceiling);
    const detail::LevelLine line({aircraft.performance, winds}, question.legs, std::move(cruised));
    const auto flown = line.flown(line.wanted(next), question.at_start);
    return {along - run_from(flown, along, false, true), altitude_along(flown, along)};
}

}  // namespace omniway::flight
