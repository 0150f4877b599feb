#include "app/hear.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "app/detail/name_refused.hpp"
#include "app/detail/reception_asked.hpp"
#include "base/in_quotes.hpp"
#include "earth/geodesic.hpp"
#include "plan/wording.hpp"

namespace omniway::app {

using base::Altitude;
using base::Error;
using base::Length;
using Faults = std::vector<Error>;

namespace {

constexpr double lowest_altitude_ft = -1500.0;
constexpr double highest_altitude_ft = 60000.0;
constexpr Length shortest_way = Length::nautical_miles(0.1);
constexpr Length longest_way = Length::nautical_miles(2000.0);
constexpr Length within = Length::nautical_miles(250.0);
// Two records of one ident so near each other are one place to whoever asks.
constexpr Length one_place = Length::nautical_miles(2.0);

Error out_of_range(const std::string& what, double value, double low, double high, const std::string& unit,
                   const std::string& where) {
    return {"app.out_of_range",
            fmt::format("{} {:g} {} is outside {:g} to {:g} {}", what, value, unit, low, high, unit), where};
}

base::Result<earth::Position> place_of(double latitude, double longitude, const std::string& where) {
    if (std::abs(latitude) > 90.0) {
        return tl::unexpected(out_of_range("latitude", latitude, -90.0, 90.0, "degrees", where));
    }
    if (std::abs(longitude) > 180.0) {
        return tl::unexpected(out_of_range("longitude", longitude, -180.0, 180.0, "degrees", where));
    }
    return earth::Position::degrees(latitude, longitude);
}

// An end of a straight way: a point of the atlas, or LAT,LON.
struct End {
    std::string name;
    earth::Position place;
};

base::Result<End> end_of(const navdata::Snapshot& world, const std::string& ident, const std::string& where) {
    if (ident.find(',') != std::string::npos) {
        const auto numbers = numbers_of(ident, 2, "LAT,LON in degrees", where);
        if (!numbers) {
            return tl::unexpected(numbers.error());
        }
        return place_of((*numbers)[0], (*numbers)[1], where).transform([&](earth::Position place) {
            return End{earth::to_text(place), place};
        });
    }
    std::vector<earth::Position> places;
    for (const navdata::Point& point : world.named(ident)) {
        if (std::holds_alternative<navdata::RunwayId>(point)) {
            continue;  // every other airport has one of that name
        }
        const earth::Position place = world.position(point);
        const bool known = std::any_of(places.begin(), places.end(), [&](earth::Position other) {
            return earth::distance(place, other) < one_place;
        });
        if (!known) {
            places.push_back(place);
        }
    }
    if (places.size() != 1) {
        return tl::unexpected(detail::name_refused(world, ident, places, where));
    }
    return End{ident, places.front()};
}

bool is_airport(const navdata::Snapshot& world, const std::string& ident) {
    return world.airport(ident).has_value();
}

tl::expected<HeardAlong, Faults> along_plan(const std::string& atlas, const Shipped& shipped,
                                            const HearAlongQuestion& question) {
    auto planned = plan_flight(atlas, shipped, question.flight);
    if (!planned) {
        return tl::unexpected(planned.error());
    }
    const navdata::Snapshot& world = *planned->world.snapshot;
    if (!planned->answer.option) {
        std::string why;
        for (const base::Finding& finding : planned->answer.findings) {
            if (finding.grade == base::Grade::blocks && why.empty()) {
                why = fmt::format(": {}: {}", finding.about, finding.text);
            }
        }
        HeardAlong none;
        none.no_way =
            fmt::format("no flight from {} to {} can be planned{} (--direct hears along the straight line)",
                        question.flight.from, question.flight.to, why);
        none.planned = true;
        none.strip.mode = ground_of(planned->world, planned->request.settings.reception).mode;
        none.world = std::move(planned->world);
        return none;
    }
    const flight::Flight& flight = planned->answer.option->flight;
    HeardAlong heard;
    heard.strip =
        flight::strip_of(world, flight, ground_of(planned->world, planned->request.settings.reception));
    heard.title =
        fmt::format("Who can be heard: {}, {}", plan::route_text(world, flight), plan::levels_text(flight));
    heard.planned = true;
    heard.world = std::move(planned->world);
    return heard;
}

tl::expected<HeardAlong, Faults> along_line(World world, const HearAlongQuestion& question,
                                            const radio::Ground& ground) {
    Faults faults;
    const PlanQuestion& asked = question.flight;
    const auto from = end_of(*world.snapshot, asked.from, "FROM");
    const auto to = end_of(*world.snapshot, asked.to, "TO");
    for (const auto* end : {&from, &to}) {
        if (!*end) {
            faults.push_back(end->error());
        }
    }
    if (!asked.altitude_ft) {
        faults.push_back({"app.altitude_missing",
                          fmt::format("a straight line from {} to {} is heard along at an altitude: give "
                                      "--altitude FT (two airports without --direct are planned)",
                                      asked.from, asked.to),
                          "--altitude"});
    } else if (!(*asked.altitude_ft >= 100.0 && *asked.altitude_ft <= highest_altitude_ft)) {
        faults.push_back(
            out_of_range("altitude", *asked.altitude_ft, 100.0, highest_altitude_ft, "ft", "--altitude"));
    }
    if (from && to) {
        const Length length = earth::distance(from->place, to->place);
        if (length < shortest_way || length > longest_way) {
            faults.push_back(out_of_range(fmt::format("the way from {} to {}", asked.from, asked.to),
                                          std::round(length.nautical_miles() * 10.0) / 10.0,
                                          shortest_way.nautical_miles(), longest_way.nautical_miles(), "NM",
                                          "TO"));
        }
    }
    if (!faults.empty()) {
        return tl::unexpected(faults);
    }
    const Altitude altitude = Altitude::feet(*asked.altitude_ft);
    HeardAlong heard;
    heard.strip =
        flight::strip_of(*world.snapshot, {from->name, from->place, to->name, to->place, altitude}, ground);
    heard.title =
        fmt::format("Who can be heard: {} straight to {}, {:.0f} ft", from->name, to->name, altitude.feet());
    heard.world = std::move(world);
    return heard;
}

HeardAt heard_at(const navdata::Snapshot& world, const readers::AskedPoint& point, bool silent_too,
                 const radio::Ground& ground) {
    HeardAt heard{point, {}};
    std::vector<PartHeard> silent;
    for (const navdata::StationId id : world.stations_within(point.place, within)) {
        for (const radio::Part part :
             {radio::Part::azimuth, radio::Part::distance, radio::Part::glideslope}) {
            const PartHeard here{id, part, radio::hear(world[id], part, point.place, point.altitude, ground)};
            if (here.reception.heard()) {
                heard.parts.push_back(here);
            } else if (silent_too && here.reception.silence != radio::Silence::no_such_part) {
                silent.push_back(here);
            }
        }
    }
    heard.parts.insert(heard.parts.end(), silent.begin(), silent.end());
    return heard;
}

tl::expected<std::vector<readers::AskedPoint>, Faults> points_of(const HearPointsQuestion& question) {
    if (question.at.empty()) {
        return read_given(
            question.files, question.file,
            [&](const std::string& text) { return readers::read_points(text, question.file); },
            readers::read_points_file,
            [](Error error) -> decltype(readers::read_points_file("")) {
                return tl::unexpected(Faults{std::move(error)});
            });
    }
    const auto numbers = numbers_of(question.at, 3, "LAT,LON,FT, degrees and feet above sea level", "--at");
    if (!numbers) {
        return tl::unexpected(Faults{numbers.error()});
    }
    const auto place = place_of((*numbers)[0], (*numbers)[1], "--at");
    if (!place) {
        return tl::unexpected(Faults{place.error()});
    }
    const double feet = (*numbers)[2];
    if (!(feet >= lowest_altitude_ft && feet <= highest_altitude_ft)) {
        return tl::unexpected(
            Faults{out_of_range("altitude", feet, lowest_altitude_ft, highest_altitude_ft, "ft", "--at")});
    }
    return std::vector<readers::AskedPoint>{{*place, Altitude::feet(feet)}};
}

}  // namespace

base::Result<std::vector<double>> numbers_of(const std::string& text, std::size_t how_many,
                                             const std::string& form, const std::string& where) {
    std::vector<double> numbers;
    const char* at = text.data();
    const char* const end = at + text.size();
    while (at != end && numbers.size() <= how_many) {
        double number = 0.0;
        const auto [stop, fault] = std::from_chars(at, end, number);
        if (fault != std::errc() || !std::isfinite(number) || (stop != end && *stop != ',') ||
            (stop != end && stop + 1 == end)) {
            numbers.clear();
            break;
        }
        numbers.push_back(number);
        at = stop == end ? end : stop + 1;
    }
    if (numbers.size() != how_many) {
        return base::failure("app.bad_place", fmt::format("{} is not {}", base::in_quotes(text), form),
                             where);
    }
    return numbers;
}

tl::expected<HeardAlong, Faults> hear_along(const std::string& atlas, const Shipped& shipped,
                                            const HearAlongQuestion& question) {
    const PlanQuestion& asked = question.flight;
    auto world = open_world(atlas, shipped, {{}, false, asked.without});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    if (!question.direct && is_airport(*world->snapshot, asked.from) &&
        is_airport(*world->snapshot, asked.to)) {
        return along_plan(atlas, shipped, question);
    }
    const auto ground = ground_by_word(*world, asked.reception);
    if (!ground) {
        return tl::unexpected(Faults{ground.error()});
    }
    return along_line(std::move(*world), question, *ground);
}

tl::expected<HeardPoints, Faults> hear_at(const std::string& atlas, const Shipped& shipped,
                                          const HearPointsQuestion& question) {
    const auto points = points_of(question);
    if (!points) {
        return tl::unexpected(points.error());
    }
    auto world = open_world(atlas, shipped, {{}, false, question.without});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    const auto ground = ground_by_word(*world, question.reception);
    if (!ground) {
        return tl::unexpected(Faults{ground.error()});
    }
    HeardPoints heard;
    heard.mode = ground->mode;
    for (const readers::AskedPoint& point : *points) {
        heard.points.push_back(heard_at(*world->snapshot, point, question.silent_too, *ground));
    }
    heard.world = std::move(*world);
    return heard;
}

base::Result<radio::Ground> ground_by_word(const World& world, const std::optional<std::string>& reception) {
    if (!reception) {
        return ground_of(world, std::nullopt);
    }
    const auto mode = parse_reception(*reception, "--reception");
    if (!mode) {
        return tl::unexpected(mode.error());
    }
    if (const auto fault = detail::no_terrain(world, *mode)) {
        return tl::unexpected(*fault);
    }
    return ground_of(world, *mode);
}

}  // namespace omniway::app
