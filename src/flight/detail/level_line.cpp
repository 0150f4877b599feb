#include "flight/detail/level_line.hpp"

#include <algorithm>
#include <utility>

#include "aircraft/wind_triangle.hpp"
#include "base/contract.hpp"
#include "procedure/vertical.hpp"

namespace omniway::flight::detail {

using base::Altitude;
using base::Length;

namespace {

// Altitudes at which a climb and a descent look at their speeds anew.
constexpr Length climb_step = Length::feet(500.0);
constexpr Length descent_step = Length::feet(250.0);
constexpr Length same_altitude = Length::feet(1e-6);

bool is_same(Altitude a, Altitude b) {
    return abs(a - b) < same_altitude;
}

// Past a step of the line, where altitude_along() is before it.
Altitude altitude_past(const std::vector<ProfilePoint>& line, Length along) {
    std::size_t i = line.size();
    while (i-- > 0) {
        if (line[i].along <= along) {
            break;
        }
    }
    return i < line.size() && line[i].along == along ? line[i].altitude : altitude_along(line, along);
}

// Without what lies on a level between two points of the same altitude.
std::vector<ProfilePoint> simplified(const std::vector<ProfilePoint>& line) {
    std::vector<ProfilePoint> bends;
    for (const ProfilePoint& point : line) {
        const std::size_t n = bends.size();
        if (n >= 2 && bends[n - 2].altitude == bends[n - 1].altitude &&
            bends[n - 1].altitude == point.altitude) {
            bends.back() = point;
        } else if (n == 0 || bends.back().along != point.along || bends.back().altitude != point.altitude) {
            bends.push_back(point);
        }
    }
    return bends;
}

// Where a piece that begins below a line (or above it) first comes to its other side: its end where it does not.
class Meeting {
public:
    Meeting(const std::vector<ProfilePoint>& line, ProfilePoint from, ProfilePoint to, bool from_below)
        : line_(line), piece_{from, to}, from_below_(from_below) {}

    ProfilePoint point() const {
        Length before = piece_.front().along;
        for (const ProfilePoint& bend : line_) {
            if (bend.along <= before || bend.along >= piece_.back().along) {
                continue;
            }
            const Altitude here = altitude_along(piece_, bend.along);
            if (is_beyond(here, altitude_along(line_, bend.along))) {
                return between(before, bend.along);
            }
            if (is_beyond(here, altitude_past(line_, bend.along))) {
                return {bend.along, here};
            }
            before = bend.along;
        }
        const ProfilePoint& end = piece_.back();
        return is_beyond(end.altitude, altitude_along(line_, end.along)) ? between(before, end.along) : end;
    }

private:
    bool is_beyond(Altitude here, Altitude line) const {
        return from_below_ ? here > line + same_altitude : here < line - same_altitude;
    }
    ProfilePoint between(Length near, Length far) const {
        for (int i = 0; i < 50; ++i) {
            const Length middle = (near + far) * 0.5;
            const bool beyond = is_beyond(altitude_along(piece_, middle), altitude_along(line_, middle));
            (beyond ? far : near) = middle;
        }
        return {far, altitude_along(line_, far)};
    }

    const std::vector<ProfilePoint>& line_;
    std::vector<ProfilePoint> piece_;
    bool from_below_;
};

}  // namespace

Length Slopes::climb(const Leg& leg, Altitude low, Altitude high) const {
    const aircraft::Passage up = aircraft::climb_between(performance_, low, high);
    if (up.time.count() <= 0.0) {
        return up.distance;
    }
    const auto held =
        aircraft::hold_course(leg.track, up.distance / up.time, winds_.at(low + (high - low) * 0.5));
    return held ? held->groundspeed * up.time : up.distance;
}

Length Slopes::descent(const Leg& leg, Altitude high, Altitude low) const {
    const aircraft::Passage down = aircraft::descent_between(performance_, high, low);
    if (down.time.count() <= 0.0) {
        return Length();
    }
    const auto held =
        aircraft::hold_course(leg.track, down.distance / down.time, winds_.at(low + (high - low) * 0.5));
    return held ? held->groundspeed * down.time : down.distance;
}

LevelLine::LevelLine(Slopes slopes, std::span<const Leg> legs, std::vector<Cruised> cruised)
    : slopes_(slopes), legs_(legs), cruised_(std::move(cruised)) {
    OMNIWAY_EXPECTS(cruised_.size() <= legs_.size() && !legs_.empty());
    Length along;
    for (const Leg& leg : legs_) {
        ends_.push_back(along += leg.length);
    }
}

// At the end of a leg, by what the one after it begins with.
Altitude LevelLine::at_end(std::size_t leg, Altitude after) const {
    const Cruised& here = cruised_[leg];
    Altitude end = here.level;
    if (after > end) {
        end = std::max(end, here.maximum ? std::min(after, *here.maximum) : after);
    }
    if (leg + 1 < cruised_.size()) {
        const Cruised& next = cruised_[leg + 1];
        std::optional<Altitude> most = next.maximum;
        if (after < next.level) {  // it begins in the descent to a maximum beyond it
            most = most ? std::min(*most, after) : after;
        }
        if (most && *most < end) {
            end = std::min(end, std::max(*most, here.floor.value_or(*most)));
        }
    }
    return end;
}

std::vector<ProfilePoint> LevelLine::wanted(std::optional<Altitude> next) const {
    OMNIWAY_EXPECTS(!cruised_.empty());
    std::vector<ProfilePoint> back;
    std::optional<Altitude> after = next;
    for (std::size_t i = cruised_.size(); i-- > 0;) {
        back.push_back({ends_[i], after ? at_end(i, *after) : cruised_[i].level});
        run_back(i, back);
        after = back.back().altitude;
    }
    std::reverse(back.begin(), back.end());
    return simplified(back);
}

// From the altitude at the end of a leg back to its level, or to its beginning.
void LevelLine::run_back(std::size_t i, std::vector<ProfilePoint>& back) const {
    const Leg& leg = legs_[i];
    const Altitude level = cruised_[i].level;
    const Length start = ends_[i] - leg.length;
    while (back.back().along > start && back.back().altitude != level) {
        const ProfilePoint here = back.back();
        const bool in_climb = here.altitude > level;
        const Altitude before = in_climb ? std::max(here.altitude - climb_step, level)
                                         : std::min(here.altitude + descent_step, level);
        const Length needed = in_climb ? slopes_.climb(leg, before, here.altitude)
                                       : slopes_.descent(leg, before, here.altitude);
        const Length room = here.along - start;
        if (needed >= room) {
            back.push_back({start, here.altitude + (before - here.altitude) * (room / needed)});
            return;
        }
        back.push_back({here.along - needed, before});
    }
    if (back.back().along > start) {
        back.push_back({start, back.back().altitude});
    }
}

const Leg& LevelLine::leg_at(Length along) const {
    std::size_t i = 0;
    while (i + 1 < legs_.size() && ends_[i] <= along) {
        ++i;
    }
    return legs_[i];
}

// What a departure crosses at or below: the next such place ahead, and the lowest altitude asked at it or beyond.
std::optional<ProfilePoint> LevelLine::cap_ahead_of(Length along) const {
    std::optional<ProfilePoint> cap;
    for (std::size_t i = 0; i < cruised_.size(); ++i) {
        const Leg& leg = legs_[i];
        const auto here = leg.phase == Phase::departure && leg.coded != nullptr
                              ? procedure::window_of(*leg.coded).at_or_below
                              : std::nullopt;
        if (here && ends_[i] > along && (!cap || *here < cap->altitude)) {
            cap = ProfilePoint{ends_[i], *here};
        }
    }
    return cap;
}

ProfilePoint LevelLine::climbed(const ProfilePoint& here, Altitude goal) const {
    const auto cap = cap_ahead_of(here.along);
    if (cap && here.altitude >= cap->altitude) {
        return {cap->along, here.altitude};
    }
    const Altitude step = std::min(here.altitude + climb_step, goal);
    const Altitude high = cap ? std::min(step, cap->altitude) : step;
    return {here.along + slopes_.climb(leg_at(here.along), here.altitude, high), high};
}

ProfilePoint LevelLine::descended(const ProfilePoint& here, Altitude goal) const {
    const Altitude low = std::max(here.altitude - descent_step, goal);
    return {here.along + slopes_.descent(leg_at(here.along), here.altitude, low), low};
}

std::vector<ProfilePoint> LevelLine::flown(const std::vector<ProfilePoint>& wanted, Altitude from) const {
    const Length end = wanted.back().along;
    std::vector<ProfilePoint> line{{wanted.front().along, from}};
    while (line.back().along <= end) {
        const ProfilePoint here = line.back();
        const auto next = std::find_if(wanted.begin(), wanted.end(),
                                       [&](const ProfilePoint& bend) { return bend.along > here.along; });
        const Altitude now = altitude_past(wanted, here.along);
        if (is_same(here.altitude, now)) {
            if (next == wanted.end()) {
                break;
            }
            line.push_back(*next);
            continue;
        }
        const Altitude then = next == wanted.end() ? now : next->altitude;
        const bool below = here.altitude < now;
        const ProfilePoint reached =
            below ? climbed(here, std::max(now, then)) : descended(here, std::min(now, then));
        line.push_back(Meeting(wanted, here, reached, below).point());
    }
    return line;
}

}  // namespace omniway::flight::detail
