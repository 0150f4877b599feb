#include "app/detail/airports_near.hpp"

#include <algorithm>
#include <cmath>

#include "earth/geodesic.hpp"

namespace omniway::app::detail {

using base::Length;

namespace {

constexpr Length apart = Length::nautical_miles(20.0);
constexpr std::size_t most = 60;

}  // namespace

std::vector<std::string> airports_near(const navdata::Snapshot& world, earth::Position from,
                                       earth::Position to, Length reach) {
    const earth::Geodesic line = earth::geodesic(from, to);
    const int pieces = std::max(1, static_cast<int>(std::ceil(line.distance / apart)));
    std::vector<earth::Position> places;
    for (int i = 0; i <= pieces; ++i) {
        places.push_back(
            earth::destination(from, line.initial, line.distance * (static_cast<double>(i) / pieces)));
    }
    std::vector<std::pair<Length, std::string>> near;
    for (const navdata::Airport& airport : world.airports()) {
        Length least = earth::distance(places.front(), airport.position);
        for (const earth::Position place : places) {
            least = std::min(least, earth::distance(place, airport.position));
        }
        if (least <= reach && !world.runways_of(airport.ident).empty()) {
            near.emplace_back(least, airport.ident);
        }
    }
    std::sort(near.begin(), near.end());
    near.resize(std::min(near.size(), most));
    std::vector<std::string> idents;
    for (auto& [away, ident] : near) {
        idents.push_back(std::move(ident));
    }
    return idents;
}

std::vector<navdata::AirportId> airports_of(const navdata::Snapshot& world,
                                            const std::vector<std::string>& idents) {
    std::vector<navdata::AirportId> ids;
    for (const std::string& ident : idents) {
        if (const auto id = world.airport(ident)) {
            ids.push_back(*id);
        }
    }
    return ids;
}

}  // namespace omniway::app::detail
