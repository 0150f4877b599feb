#include "flight/tops.hpp"

#include <algorithm>

namespace omniway::flight {

using base::Length;

namespace {

constexpr Length same_altitude = Length::feet(1.0);

}  // namespace

Tops tops_of(const std::vector<ProfilePoint>& profile) {
    Tops tops;
    if (profile.empty()) {
        return tops;
    }
    const base::Altitude highest =
        std::max_element(profile.begin(), profile.end(), [](const auto& a, const auto& b) {
            return a.altitude < b.altitude;
        })->altitude;
    const auto at_the_top = [&](const ProfilePoint& point) {
        return highest - point.altitude < same_altitude;
    };
    const auto first = std::find_if(profile.begin(), profile.end(), at_the_top);
    const auto last = std::find_if(profile.rbegin(), profile.rend(), at_the_top);
    if (first != profile.begin()) {
        tops.of_climb = first->along;
    }
    if (last != profile.rbegin() && last->along > first->along + shortest_part) {
        tops.of_descent = last->along;
    }
    return tops;
}

std::vector<Length> tops_within(const Tops& tops, Length begin, Length length) {
    std::vector<Length> within;
    Length from;
    for (const std::optional<Length>& top : {tops.of_climb, tops.of_descent}) {
        const Length into = top.value_or(begin) - begin;
        if (into > from + shortest_part && into < length - shortest_part) {
            within.push_back(into);
            from = into;
        }
    }
    return within;
}

}  // namespace omniway::flight
