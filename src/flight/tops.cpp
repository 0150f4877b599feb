#include "flight/tops.hpp"

#include <algorithm>

namespace omniway::flight {

using base::Altitude;
using base::Length;

namespace {

constexpr Length same_altitude = Length::feet(1.0);

bool at_one_level(const Flight& flight) {
    return std::all_of(flight.legs.begin(), flight.legs.end(), [&](const Leg& leg) {
        return leg.phase == Phase::approach || level_of(flight, leg) == flight.cruise;
    });
}

std::vector<Top> tops_of_one_level(const std::vector<ProfilePoint>& profile) {
    const Altitude highest =
        std::max_element(profile.begin(), profile.end(), [](const auto& a, const auto& b) {
            return a.altitude < b.altitude;
        })->altitude;
    const auto at_the_top = [&](const ProfilePoint& point) {
        return highest - point.altitude < same_altitude;
    };
    const auto first = std::find_if(profile.begin(), profile.end(), at_the_top);
    const auto last = std::find_if(profile.rbegin(), profile.rend(), at_the_top);
    std::vector<Top> tops;
    if (first != profile.begin()) {
        tops.push_back({first->along, TopKind::of_climb});
    }
    if (last != profile.rbegin() && last->along > first->along + shortest_part) {
        tops.push_back({last->along, TopKind::of_descent});
    }
    return tops;
}

// The level of what is cruised along at a place; none in the approach.
std::optional<Altitude> level_at(const Flight& flight, Length place) {
    Length along;
    for (const Leg& leg : flight.legs) {
        along += leg.length;
        if (place <= along) {
            return leg.phase == Phase::approach ? std::nullopt : std::optional(level_of(flight, leg));
        }
    }
    return std::nullopt;
}

std::vector<Top> tops_of_levels(const Flight& flight) {
    const std::vector<ProfilePoint>& profile = flight.profile;
    const auto level_from = [&](std::size_t i) {
        if (i + 1 >= profile.size() || abs(profile[i + 1].altitude - profile[i].altitude) >= same_altitude) {
            return false;
        }
        const auto level =
            level_at(flight, profile[i].along + (profile[i + 1].along - profile[i].along) * 0.5);
        return level && profile[i].altitude + same_altitude > *level;
    };
    std::vector<Top> tops;
    for (std::size_t i = 0; i < profile.size(); ++i) {
        if (!level_from(i)) {
            continue;
        }
        std::size_t end = i + 1;
        while (level_from(end)) {
            ++end;
        }
        if (i > 0) {
            tops.push_back({profile[i].along, profile[i - 1].altitude < profile[i].altitude
                                                  ? TopKind::of_climb
                                                  : TopKind::bottom_of_descent});
        }
        if (end + 1 < profile.size()) {
            tops.push_back({profile[end].along, profile[end + 1].altitude > profile[end].altitude
                                                    ? TopKind::bottom_of_climb
                                                    : TopKind::of_descent});
        }
        i = end - 1;
    }
    return tops;
}

}  // namespace

std::vector<Top> tops_of(const Flight& flight) {
    if (flight.profile.empty()) {
        return {};
    }
    return at_one_level(flight) ? tops_of_one_level(flight.profile) : tops_of_levels(flight);
}

std::vector<Top> tops_within(const std::vector<Top>& tops, Length begin, Length length) {
    std::vector<Top> within;
    Length from;
    for (const Top& top : tops) {
        const Length into = top.along - begin;
        if (into > from + shortest_part && into < length - shortest_part) {
            within.push_back({into, top.kind});
            from = into;
        }
    }
    return within;
}

}  // namespace omniway::flight
