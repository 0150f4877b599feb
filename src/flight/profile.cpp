#include <algorithm>

#include "flight/climb_overhead.hpp"
#include "flight/detail/level_line.hpp"
#include "flight/flight.hpp"
#include "procedure/vertical.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;

namespace {

// An altitude at which the descent looks at its speeds anew.
constexpr Length step = Length::feet(250.0);
// A piece cut short is as steep as its whole within what the airspeed changes in it, 0.4 percent in 250 ft: so much is not too steep.
constexpr double piece_share = 0.01;

class Profiler {
public:
    Profiler(const Flight& flight, const aircraft::Aircraft& aircraft, Altitude departure_elevation,
             Altitude arrival_elevation, const weather::WindsAloft& winds)
        : flight_(flight),
          performance_(aircraft.performance),
          from_(departure_elevation),
          to_(arrival_elevation),
          slopes_(aircraft.performance, winds) {
        Length along;
        for (const Leg& leg : flight.legs) {
            ends_.push_back(along += leg.length);
        }
        first_ = static_cast<std::size_t>(
            std::find_if(flight.legs.begin(), flight.legs.end(),
                         [](const Leg& leg) { return leg.phase == Phase::approach; }) -
            flight.legs.begin());
        entry_ = first_ == 0 ? Length() : ends_[first_ - 1];
    }

    std::vector<ProfilePoint> result() {
        const std::vector<ProfilePoint> approach = approach_bounds();
        const Altitude at_entry = altitude_at_entry(approach);
        const std::vector<ProfilePoint> up = levels(at_entry);
        std::vector<ProfilePoint> profile = lower_of(up, no_steeper(latest_descent(at_entry)));
        Altitude last = profile.back().altitude;
        for (const ProfilePoint& bound : approach) {
            last = std::min(last, std::max(bound.altitude, to_));
            if (bound.along > profile.back().along) {
                profile.push_back({bound.along, last});
            }
        }
        const Length total = ends_.empty() ? Length() : ends_.back();
        if (total > profile.back().along) {
            profile.push_back({total, last});
        }
        return profile;
    }

private:
    // The coded altitudes at the ends of the legs of the approach. One is not climbed in before its end: at each point what any
    // later one still asks.
    std::vector<ProfilePoint> approach_bounds() const {
        std::vector<ProfilePoint> bounds;
        for (std::size_t i = first_; i < flight_.legs.size(); ++i) {
            const Leg& leg = flight_.legs[i];
            if (const auto altitude = coded_altitude(leg.coded)) {
                bounds.push_back({ends_[i], *altitude});
            } else if (!leg.published && leg.minimum.altitude) {
                bounds.push_back({ends_[i], *leg.minimum.altitude});  // own navigation in place of vectors
            }
        }
        // What the chart gives as its minimum is as low as one goes, wherever the threshold crossing height is coded.
        if (flight_.minimum && first_ < flight_.legs.size()) {
            if (!bounds.empty() && bounds.back().along == ends_.back()) {
                bounds.pop_back();
            }
            bounds.push_back({ends_.back(), flight_.minimum->altitude});
        }
        for (std::size_t i = bounds.size(); i-- > 1;) {
            bounds[i - 1].altitude = std::max(bounds[i - 1].altitude, bounds[i].altitude);
        }
        return bounds;
    }

    // Procedures are flown at the lowest altitude coded; where only a highest is, at that.
    static std::optional<Altitude> coded_altitude(const navdata::Leg* coded) {
        if (coded == nullptr) {
            return std::nullopt;
        }
        const procedure::AltitudeWindow window = procedure::window_of(*coded);
        return window.at_or_above ? window.at_or_above : window.at_or_below;
    }

    // What the approach asks at its entry, but never below the minimum of the leg that leads there.
    Altitude altitude_at_entry(const std::vector<ProfilePoint>& approach) const {
        Altitude coded = approach.empty() ? to_ + Length::feet(1500.0) : approach.front().altitude;
        if (const auto opening = coded_altitude(flight_.approach_entry)) {
            coded = std::max(coded, *opening);
        }
        for (std::size_t i = first_; i-- > 0;) {
            if (const auto floor = floor_of(flight_.legs[i])) {
                return std::max(coded, *floor);
            }
        }
        return coded;
    }

    // The lowest altitude at the end of a leg before the approach; where the minimum is not known one stays up.
    std::optional<Altitude> floor_of(const Leg& leg) const {
        std::optional<Altitude> floor;
        if ((leg.phase != Phase::departure && !is_climb_in_hold(leg)) || leg.minimum.altitude) {
            const Altitude level = level_of(flight_, leg);
            floor = std::min(leg.minimum.altitude.value_or(level), level);
        }
        if (leg.coded != nullptr) {
            const auto coded = procedure::window_of(*leg.coded).at_or_above;
            floor = coded && floor ? std::max(*coded, *floor) : coded ? coded : floor;
        }
        return floor;
    }

    // The highest altitude at the end of a leg: what is crossed at or below there or, since nothing climbs again, before it.
    std::optional<Altitude> cap_at_end_of(std::size_t leg) const {
        std::optional<Altitude> cap;
        for (std::size_t i = 0; i <= leg; ++i) {
            const navdata::Leg* coded = flight_.legs[i].coded;
            const auto here = coded != nullptr && flight_.legs[i].phase != Phase::departure
                                  ? procedure::window_of(*coded).at_or_below
                                  : std::nullopt;
            cap = here && cap ? std::min(*here, *cap) : here ? here : cap;
        }
        return cap;
    }

    // The level of a leg, as far as the aircraft climbs.
    Altitude level_at(const Leg& leg) const {
        return std::max(from_, std::min(level_of(flight_, leg), performance_.service_ceiling));
    }

    // Along the levels, the last of them no lower than the approach is begun.
    std::vector<ProfilePoint> levels(Altitude at_entry) {
        std::vector<detail::Cruised> cruised;
        for (std::size_t i = 0; i < first_; ++i) {
            const Leg& leg = flight_.legs[i];
            const Altitude level = level_at(leg);
            const bool kept = leg.maximum && *leg.maximum >= level;
            cruised.push_back({level, floor_of(leg), kept ? leg.maximum : std::nullopt});
        }
        if (cruised.empty()) {
            top_ =
                std::max(at_entry, std::max(from_, std::min(flight_.cruise, performance_.service_ceiling)));
            return {{Length(), from_}, {entry_, top_}};
        }
        const Altitude last = cruised.back().level;
        for (std::size_t i = cruised.size(); i-- > 0 && cruised[i].level == last;) {
            cruised[i].level = std::max(last, at_entry);
        }
        top_ = std::max_element(cruised.begin(), cruised.end(), [](const auto& a, const auto& b) {
                   return a.level < b.level;
               })->level;
        const detail::LevelLine line(slopes_, flight_.legs, std::move(cruised));
        return line.flown(line.wanted(), from_);
    }

    // From the entry back: as late as the aircraft's descent allows, never above what is crossed at or below, never below a
    // minimum. A minimum that it cannot come down from in time stands as a step, which no_steeper() wears down.
    std::vector<ProfilePoint> latest_descent(Altitude at_entry) const {
        std::vector<ProfilePoint> back{{entry_, at_entry}};
        for (std::size_t i = first_; i-- > 0;) {
            const Length start = ends_[i] - flight_.legs[i].length;
            climb_back(flight_.legs[i], start, back);
            if (i == 0) {
                break;
            }
            if (const auto cap = cap_at_end_of(i - 1); cap && back.back().altitude > *cap) {
                hold_down(back, start, ends_[i], *cap);
            }
            if (const auto floor = floor_of(flight_.legs[i - 1]); floor && back.back().altitude < *floor) {
                back.push_back({start, *floor});
            }
        }
        std::reverse(back.begin(), back.end());
        return back;
    }

    void climb_back(const Leg& leg, Length start, std::vector<ProfilePoint>& back) const {
        while (back.back().along > start) {
            const ProfilePoint here = back.back();
            const Altitude next = std::min(here.altitude + step, top_);
            if (next <= here.altitude) {
                back.push_back({start, here.altitude});
                return;
            }
            const Length needed = slopes_.descent(leg, next, here.altitude);
            const Length room = here.along - start;
            if (needed >= room) {
                back.push_back({start, here.altitude + (next - here.altitude) * (room / needed)});
                return;
            }
            back.push_back({here.along - needed, next});
        }
    }

    // Takes what of the last leg stands above a cap down to it.
    static void hold_down(std::vector<ProfilePoint>& back, Length start, Length end, Altitude cap) {
        ProfilePoint above = back.back();
        while (back.size() > 1 && back.back().altitude > cap && back.back().along < end) {
            above = back.back();
            back.pop_back();
        }
        const ProfilePoint below = back.back();
        if (below.altitude >= cap) {
            back.push_back({start, below.altitude});  // what follows is higher: the cap cannot be held
            return;
        }
        const double share = (cap - below.altitude) / (above.altitude - below.altitude);
        back.push_back({below.along + (above.along - below.along) * share, cap});
        back.push_back({start, cap});
    }

    const Leg& leg_at(Length along) const {
        std::size_t i = 0;
        while (i + 1 < flight_.legs.size() && ends_[i] <= along) {
            ++i;
        }
        return flight_.legs[i];
    }

    // No part of it steeper than the aircraft descends: what lies too low is reached later.
    std::vector<ProfilePoint> no_steeper(const std::vector<ProfilePoint>& wanted) const {
        std::vector<ProfilePoint> flown{wanted.front()};
        for (std::size_t i = 1; i < wanted.size(); ++i) {
            const ProfilePoint next = wanted[i];
            if (next.altitude >= flown.back().altitude) {
                flown.push_back(next);
                continue;
            }
            const ProfilePoint here = flown.back();
            const Leg& leg = leg_at((here.along + next.along) * 0.5);
            Length along = here.along;
            Altitude altitude = here.altitude;
            while (altitude > next.altitude && along < next.along) {
                const Altitude lower = std::max(altitude - step, next.altitude);
                const Length needed = slopes_.descent(leg, altitude, lower);
                if (along + needed > next.along + needed * piece_share) {
                    altitude = altitude - (altitude - lower) * ((next.along - along) / needed);
                    break;
                }
                along += needed;
                altitude = lower;
            }
            if (altitude > next.altitude) {
                flown.push_back({next.along, altitude});
                continue;
            }
            along = std::min(along, next.along);
            // In time: along the wanted line where that is possible, else down first and level after.
            if (wanted[i - 1].altitude < here.altitude && along < next.along) {
                flown.push_back({along, next.altitude});
            }
            flown.push_back(next);
        }
        return flown;
    }

    // At each place the lower of the two, bending where they meet.
    std::vector<ProfilePoint> lower_of(const std::vector<ProfilePoint>& up,
                                       const std::vector<ProfilePoint>& down) const {
        std::vector<ProfilePoint> profile{up.front()};
        std::size_t next_up = 0;
        std::size_t next_down = 0;
        for (Length along; along < entry_;) {
            while (next_up < up.size() && up[next_up].along <= along) {
                ++next_up;
            }
            while (next_down < down.size() && down[next_down].along <= along) {
                ++next_down;
            }
            Length next = entry_;
            next = next_up < up.size() ? std::min(next, up[next_up].along) : next;
            next = next_down < down.size() ? std::min(next, down[next_down].along) : next;
            const bool by_descent_before = is_below(down, up, along);
            const bool by_descent = is_below(down, up, next);
            if (by_descent != by_descent_before) {
                add(profile, meeting(along, next, up, down));
            }
            const std::vector<ProfilePoint>& lower = by_descent ? down : up;
            const std::size_t at = by_descent ? next_down : next_up;
            if (at < lower.size() && lower[at].along == next) {
                add(profile, lower[at]);
            }
            along = next;
        }
        if (profile.back().along < entry_) {
            profile.push_back({entry_, down.back().altitude});
        }
        return profile;
    }

    static void add(std::vector<ProfilePoint>& profile, ProfilePoint point) {
        if (point.along > profile.back().along) {
            profile.push_back(point);
        }
    }

    static bool is_below(const std::vector<ProfilePoint>& a, const std::vector<ProfilePoint>& b, Length at) {
        return altitude_along(a, at) < altitude_along(b, at);
    }

    // Where of two lines that are straight between two places the one passes below the other.
    static ProfilePoint meeting(Length near, Length far, const std::vector<ProfilePoint>& up,
                                const std::vector<ProfilePoint>& down) {
        const bool before = is_below(down, up, near);
        for (int i = 0; i < 50; ++i) {
            const Length middle = (near + far) * 0.5;
            (is_below(down, up, middle) == before ? near : far) = middle;
        }
        return {near, altitude_along(before ? down : up, near)};
    }

    const Flight& flight_;
    const aircraft::Performance& performance_;
    Altitude from_;
    Altitude to_;
    detail::Slopes slopes_;
    std::vector<Length> ends_;  // of each leg
    std::size_t first_ = 0;     // leg of the approach
    Length entry_;
    Altitude top_;
};

}  // namespace

std::vector<ProfilePoint> profile_of(const Flight& flight, const aircraft::Aircraft& aircraft,
                                     Altitude departure_elevation, Altitude arrival_elevation,
                                     const weather::WindsAloft& winds) {
    return Profiler(flight, aircraft, departure_elevation, arrival_elevation, winds).result();
}

}  // namespace omniway::flight
