#include "app/detail/position_asked.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <regex>
#include <vector>

#include <fmt/format.h>

#include "app/detail/name_refused.hpp"
#include "base/in_quotes.hpp"
#include "earth/geodesic.hpp"

namespace omniway::app::detail {

using base::Error;
using base::Length;

namespace {

// Two records of one ident so near each other are one place to whoever asks.
constexpr Length one_place = Length::nautical_miles(2.0);

Error position_form(const std::string& text, const std::string& where) {
    return {
        "app.position_form",
        fmt::format("{} is no position: a point of the atlas (XKE), a point with three figures of magnetic "
                    "bearing and three of NM (XKE090015), degrees (N44W072, N4430W07215) or LAT,LON is "
                    "expected",
                    base::in_quotes(text)),
        where};
}

base::Result<earth::Position> place_of(double latitude, double longitude, const std::string& text,
                                       const std::string& where) {
    if (!(std::abs(latitude) <= 90.0) || !(std::abs(longitude) <= 180.0)) {
        return tl::unexpected(position_form(text, where));
    }
    return earth::Position::degrees(latitude, longitude);
}

// "N44W072", "N4430W07215", "44.5,-72.25".
std::optional<base::Result<earth::Position>> coordinates(const std::string& text, const std::string& where) {
    const std::regex degrees(R"(([NS])(\d\d)(\d\d)?([EW])(\d\d\d)(\d\d)?)");
    const std::regex decimal(R"(([-+]?\d+(?:\.\d+)?),([-+]?\d+(?:\.\d+)?))");
    std::smatch parts;
    if (std::regex_match(text, parts, degrees)) {
        const auto number = [&](std::size_t i) { return parts[i].matched ? std::stod(parts[i].str()) : 0.0; };
        if (number(3) >= 60.0 || number(6) >= 60.0) {
            return base::Result<earth::Position>(tl::unexpected(position_form(text, where)));
        }
        const double latitude = number(2) + number(3) / 60.0;
        const double longitude = number(5) + number(6) / 60.0;
        return place_of(parts[1] == "N" ? latitude : -latitude, parts[4] == "E" ? longitude : -longitude,
                        text, where);
    }
    if (std::regex_match(text, parts, decimal)) {
        return place_of(std::stod(parts[1].str()), std::stod(parts[2].str()), text, where);
    }
    return std::nullopt;
}

struct Point {
    earth::Position place;
    std::optional<navdata::StationId> vor;
};

base::Result<Point> named_point(const navdata::Snapshot& world, const std::string& ident,
                                const std::string& where) {
    std::vector<Point> places;
    for (const navdata::Point& point : world.named(ident)) {
        const auto* id = std::get_if<navdata::StationId>(&point);
        if (std::holds_alternative<navdata::RunwayId>(point) ||
            (id != nullptr && navdata::localizer(world[*id]) != nullptr)) {
            continue;
        }
        const earth::Position place = world.position(point);
        const bool vor = id != nullptr && navdata::vor(world[*id]) != nullptr;
        const auto known = std::find_if(places.begin(), places.end(), [&](const Point& other) {
            return earth::distance(place, other.place) < one_place;
        });
        if (known == places.end()) {
            places.push_back({place, vor ? std::optional(*id) : std::nullopt});
        } else if (vor && !known->vor) {
            *known = {place, *id};
        }
    }
    if (places.empty() && world.is_out_of_service(ident)) {
        return base::failure(
            "app.unknown_ident",
            fmt::format("{} is out of service, and no place to be told by: give the position by "
                        "another point, or as LAT,LON",
                        ident),
            where);
    }
    if (places.size() != 1) {
        std::vector<earth::Position> each;
        for (const Point& point : places) {
            each.push_back(point.place);
        }
        return tl::unexpected(name_refused(world, ident, each, where));
    }
    return places.front();
}

}  // namespace

base::Result<earth::Position> position_asked(const World& world, const std::string& text,
                                             earth::DecimalYear today, const std::string& where) {
    if (const auto given = coordinates(text, where)) {
        return *given;
    }
    const std::regex from_a_point(R"(([A-Z0-9]{1,5}?)(\d{3})(\d{3}))");
    const std::regex ident(R"([A-Z0-9]{1,5})");
    std::smatch parts;
    if (std::regex_match(text, parts, from_a_point)) {
        const double bearing = std::stod(parts[2].str());
        if (bearing > 360.0) {
            return tl::unexpected(position_form(text, where));
        }
        const auto point = named_point(*world.snapshot, parts[1].str(), where);
        if (!point) {
            return tl::unexpected(point.error());
        }
        // Of a VOR the radial by its own zero; of anything else the magnetic bearing of the day.
        const base::TrueBearing true_bearing =
            point->vor ? base::to_true(base::Radial::degrees(bearing),
                                       navdata::vor((*world.snapshot)[*point->vor])->declination)
                       : base::to_true(base::MagneticBearing::degrees(bearing),
                                       world.model->variation(point->place, today));
        return earth::destination(point->place, true_bearing,
                                  Length::nautical_miles(std::stod(parts[3].str())));
    }
    if (!std::regex_match(text, ident)) {
        return tl::unexpected(position_form(text, where));
    }
    const auto point = named_point(*world.snapshot, text, where);
    if (!point) {
        return tl::unexpected(point.error());
    }
    return point->place;
}

}  // namespace omniway::app::detail
