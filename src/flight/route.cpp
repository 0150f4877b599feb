#include "flight/route.hpp"

#include <cmath>

#include <fmt/format.h>

namespace omniway::flight {

namespace {

bool is_whole(double value) {
    return std::abs(value - std::round(value)) < 1e-6;
}

std::string speed_text(const RouteSpeedLevel& word) {
    if (word.mach) {
        return fmt::format("M{:03.0f}", *word.mach * 100.0);
    }
    if (!word.true_airspeed) {
        return {};
    }
    const double kilometres_an_hour = word.true_airspeed->metres_per_second() * 3.6;
    return is_whole(kilometres_an_hour) && !is_whole(word.true_airspeed->knots())
               ? fmt::format("K{:04.0f}", kilometres_an_hour)
               : fmt::format("N{:04.0f}", word.true_airspeed->knots());
}

template <class Above>
std::string above_text(Above above, char hundreds_of_feet, char tens_of_metres) {
    return is_whole(above.metres() / 10.0) && !is_whole(above.feet() / 100.0)
               ? fmt::format("{}{:04.0f}", tens_of_metres, above.metres() / 10.0)
               : fmt::format("{}{:03.0f}", hundreds_of_feet, above.feet() / 100.0);
}

std::string level_text(const RouteSpeedLevel& word) {
    return word.altitude ? above_text(*word.altitude, 'A', 'M')
           : word.level  ? above_text(*word.level, 'F', 'S')
                         : std::string("VFR");
}

// In whole minutes; in whole degrees where there are no minutes.
std::string coordinates_text(earth::Position position) {
    const long latitude_min = std::lround(std::abs(position.latitude_deg()) * 60.0);
    const long longitude_min = std::lround(std::abs(position.longitude_deg()) * 60.0);
    const char north = position.latitude_deg() < 0.0 ? 'S' : 'N';
    const char east = position.longitude_deg() < 0.0 ? 'W' : 'E';
    if (latitude_min % 60 == 0 && longitude_min % 60 == 0) {
        return fmt::format("{:02}{}{:03}{}", latitude_min / 60, north, longitude_min / 60, east);
    }
    return fmt::format("{:02}{:02}{}{:03}{:02}{}", latitude_min / 60, latitude_min % 60, north,
                       longitude_min / 60, longitude_min % 60, east);
}

struct Write {
    std::string operator()(const RoutePoint& w) const { return w.ident; }
    std::string operator()(const RouteBearingDistance& w) const {
        const long bearing = std::lround(w.bearing.degrees());
        return fmt::format("{}{:03}{:03.0f}", w.ident, bearing == 0 ? 360 : bearing,
                           w.distance.nautical_miles());
    }
    std::string operator()(const RouteCoordinates& w) const { return coordinates_text(w.position); }
    std::string operator()(const RouteAirway& w) const { return w.designator; }
    std::string operator()(const RouteDirect&) const { return "DCT"; }
    std::string operator()(const RouteSpeedLevel& w) const {
        return (w.changes ? "/" : "") + speed_text(w) + level_text(w);
    }
    std::string operator()(const RouteRules& w) const { return w.visual ? "VFR" : "IFR"; }
};

}  // namespace

std::string to_text(const RouteElement& element) {
    return std::visit(Write{}, element.word);
}

std::string to_text(const Route& route) {
    std::string text;
    for (const RouteElement& element : route.elements) {
        const auto* speed_level = std::get_if<RouteSpeedLevel>(&element.word);
        const bool changes = speed_level != nullptr && speed_level->changes;
        text += (text.empty() || changes ? "" : " ") + to_text(element);
    }
    return text;
}

}  // namespace omniway::flight
