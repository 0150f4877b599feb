#include "flight/off_airway_minimum.hpp"

#include <algorithm>
#include <cmath>

#include "earth/geodesic.hpp"
#include "earth/surveyed_corridors.hpp"
#include "flight/en_route.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Angle;
using base::Length;
using earth::HalfWidth;

namespace {

constexpr Length course_width = Length::nautical_miles(4.0);
constexpr Angle accuracy_line = Angle::degrees(4.5);
constexpr Angle unguided_splay = Angle::degrees(15.0);
constexpr Length mountain_change = Length::feet(3000.0);
constexpr std::size_t mountain_slices = 10;  // of one nautical mile

Length guided_width(Length from_aid) {
    return std::max(course_width, from_aid * base::tan(accuracy_line));
}

void add_guided(std::vector<HalfWidth>& widths, const Stretch& stretch, Length aid_at, Length aside) {
    // The accuracy line leaves 4 NM at 51 NM from the aid, which may lie in the middle of the stretch.
    const Length reach = course_width * (1.0 / base::tan(accuracy_line));
    const double along_m =
        std::sqrt(std::max(0.0, reach.metres() * reach.metres() - aside.metres() * aside.metres()));
    const auto add = [&](Length at) {
        const Length away = Length::metres(std::hypot((at - aid_at).metres(), aside.metres()));
        widths.push_back({at, guided_width(away)});
    };
    add(stretch.from);
    for (const Length at : {aid_at - Length::metres(along_m), aid_at + Length::metres(along_m)}) {
        if (at > stretch.from && at < stretch.to) {
            add(at);
        }
    }
    add(stretch.to);
}

}  // namespace

std::vector<HalfWidth> corridor_of(const navdata::Snapshot& world, earth::Position start,
                                   earth::Position finish, const std::vector<Stretch>& stretches) {
    std::vector<HalfWidth> widths;
    for (const Stretch& stretch : stretches) {
        if (const auto station = procedure::station_of(stretch.guidance)) {
            const auto aid = earth::along_across(start, finish, navdata::site(world[*station]));
            add_guided(widths, stretch, aid.along, aid.across);
        } else {
            const Length lost = widths.empty() ? course_width : widths.back().half_width;
            widths.push_back({stretch.from, lost});
            widths.push_back({stretch.to, lost + (stretch.to - stretch.from) * base::tan(unguided_splay)});
        }
    }
    if (widths.empty()) {
        widths.push_back({Length(), course_width});
    }
    return widths;
}

namespace {

// A hair below a whole hundred is that hundred, rounded.
Altitude whole_hundreds(Altitude altitude) {
    return Altitude::feet(std::ceil(altitude.feet() / 100.0 - 1e-6) * 100.0);
}

constexpr Length clearance_over(bool mountains) {
    return Length::feet(mountains ? 2000.0 : 1000.0);
}

}  // namespace

bool is_mountainous(Altitude highest, Altitude lowest) {
    return highest - lowest > mountain_change;
}

GroundAsks asks_over(Altitude ground, earth::Position where, Length allowance, bool mountains) {
    const Length clearance = clearance_over(mountains);
    return {whole_hundreds(ground + allowance + clearance), ground, where, allowance, clearance};
}

std::optional<GroundAsks> ground_asks(const std::vector<earth::GroundSlice>& slices, Length allowance) {
    std::vector<bool> mountains(slices.size(), false);
    for (std::size_t first = 0; first < slices.size(); ++first) {
        const std::size_t last = std::min(slices.size(), first + mountain_slices);
        const auto window = earth::highest_of(std::span(slices).subspan(first, last - first));
        if (window.highest && is_mountainous(*window.highest, *window.lowest)) {
            std::fill(mountains.begin() + static_cast<std::ptrdiff_t>(first),
                      mountains.begin() + static_cast<std::ptrdiff_t>(last), true);
        }
    }
    std::optional<GroundAsks> most;
    for (std::size_t i = 0; i < slices.size(); ++i) {
        if (!slices[i].known || !slices[i].highest) {
            return std::nullopt;
        }
        const GroundAsks asks = asks_over(*slices[i].highest, slices[i].highest_at, allowance, mountains[i]);
        if (!most || asks.altitude > most->altitude) {
            most = asks;
        }
    }
    return most;
}

LegMinimum off_airway_minimum(const navdata::Snapshot& world, const radio::Ground& ground,
                              const Settings& settings, earth::Position start, earth::Position finish,
                              const std::vector<Stretch>& stretches) {
    if (settings.off_airway_minimum) {
        return {MinimumFrom::given_by_user, settings.off_airway_minimum};
    }
    bool ground_unknown = false;
    if (ground.terrain != nullptr && !ground.terrain->empty()) {
        const auto widths = corridor_of(world, start, finish, stretches);
        earth::SurveyedCorridors once;
        const auto slices = (ground.corridors != nullptr ? *ground.corridors : once)
                                .of(*ground.terrain, start, finish, widths);
        const auto asks = ground_asks(*slices, settings.obstacle_allowance);
        if (asks) {
            return {MinimumFrom::ground, asks->altitude, asks};
        }
        ground_unknown = true;
    }
    if (const auto grid = grid_minimum_along(world, start, finish)) {
        return {MinimumFrom::published_grid, grid, std::nullopt, ground_unknown};
    }
    return {MinimumFrom::not_known, std::nullopt, std::nullopt, ground_unknown};
}

LegMinimum minimum_for(Altitude altitude, const navdata::Snapshot& world, const radio::Ground& ground,
                       const Settings& settings, earth::Position start, earth::Position finish,
                       const std::vector<Stretch>& stretches) {
    if (!settings.off_airway_minimum && ground.terrain != nullptr && !ground.terrain->empty()) {
        Length widest;
        for (const HalfWidth& width : corridor_of(world, start, finish, stretches)) {
            widest = std::max(widest, width.half_width);
        }
        for (const auto roughness : {earth::Roughness::blocks, earth::Roughness::patches}) {
            const auto rough = earth::ground_about(*ground.terrain, start, finish, widest, roughness);
            if (!rough) {
                continue;  // of the patches all may be known
            }
            const Altitude highest = Altitude::metres(rough->highest_m);
            const bool mountains = is_mountainous(highest, Altitude::metres(rough->lowest_m));
            const Altitude asks = asks_over(highest, start, settings.obstacle_allowance, mountains).altitude;
            if (asks <= altitude) {
                return {MinimumFrom::ground, asks};
            }
        }
    }
    return off_airway_minimum(world, ground, settings, start, finish, stretches);
}

bool is_rough(const LegMinimum& minimum) {
    return minimum.from == MinimumFrom::ground && !minimum.ground;
}

}  // namespace omniway::flight
