#include "app/detail/constraints_asked.hpp"

#include <algorithm>
#include <charconv>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"
#include "earth/geodesic.hpp"
#include "readers/item15.hpp"

namespace omniway::app::detail {

using base::Altitude;
using base::Error;
using base::Finding;
using base::Grade;
using base::Length;
using navdata::Point;
using navdata::StationId;

namespace {

constexpr double smallest_area_nm = 0.1;
constexpr double largest_area_nm = 200.0;
// The parts of an aid that stand some way apart are one place to a person who names it.
constexpr Length one_place = Length::nautical_miles(0.1);

class Reader {
public:
    Reader(std::vector<Error>& faults, const navdata::Snapshot& world, navdata::AirportId from,
           navdata::AirportId to, const PlanQuestion& question)
        : faults_(faults), world_(world), from_(world[from]), to_(world[to]), question_(question) {}

    ConstraintsAsked read() {
        for (const std::string& name : question_.via) {
            read_via(name);
        }
        for (const std::string& name : question_.avoid) {
            read_avoid(name);
        }
        for (const std::string& designator : question_.avoid_airways) {
            read_airway(designator);
        }
        for (const std::string& area : question_.avoid_areas) {
            read_area(area);
        }
        asked_.constraints.no_beacon = question_.no_ndb;
        asked_.constraints.no_dead_reckoning = question_.no_dead_reckoning;
        read_highest();
        find_contradictions();
        return std::move(asked_);
    }

private:
    routing::Constraints& constraints() { return asked_.constraints; }

    void fault(std::string code, std::string message, std::string where) {
        faults_.push_back({std::move(code), std::move(message), std::move(where)});
    }

    void contradiction(std::string message, std::string where) {
        fault("app.contradiction", std::move(message), std::move(where));
    }

    std::vector<Point> points_named(const std::string& name, bool airports_too) const {
        std::vector<Point> found;
        for (const Point& point : world_.named(name)) {
            const bool is_place = std::holds_alternative<navdata::FixId>(point) ||
                                  std::holds_alternative<StationId>(point) ||
                                  (airports_too && std::holds_alternative<navdata::AirportId>(point));
            if (is_place) {
                found.push_back(point);
            }
        }
        return found;
    }

    void unknown(const std::string& name, const std::string& where) {
        if (coordinates(name)) {
            fault(
                "app.unknown_ident",
                fmt::format("{} are coordinates, and {} takes a fix or a station by its ident: omniway judge "
                            "takes a route over a place without a name",
                            base::in_quotes(name), where),
                where);
            return;
        }
        if (world_.airport(name)) {
            fault(
                "app.unknown_ident",
                fmt::format("{} is an airport, and {} takes a fix or a station: --avoid-area {}/5 keeps 5 NM "
                            "clear of it",
                            base::in_quotes(name), where, name),
                where);
            return;
        }
        const std::string near = base::did_you_mean(base::near_matches(name, world_.idents()));
        fault("app.unknown_ident",
              fmt::format("no fix or station {} in the atlas{}", base::in_quotes(name),
                          near.empty() ? std::string(": import the data that holds it") : ": " + near),
              where);
    }

    void read_via(const std::string& name) {
        if (world_.is_out_of_service(name)) {
            contradiction(
                fmt::format("{} is to be flown over by --via and out of service by --without: leave out one "
                            "of the two",
                            name),
                "--via");
            return;
        }
        std::vector<Point> found = points_named(name, false);
        if (found.empty()) {
            unknown(name, "--via");
            return;
        }
        std::stable_sort(found.begin(), found.end(), [this](const Point& a, const Point& b) {
            return way_over(world_.position(a)) < way_over(world_.position(b));
        });
        const earth::Position place = world_.position(found.front());
        const Length direct = earth::distance(from_.position, to_.position);
        const Length longest = routing::longest_way(direct);
        if (way_over(place) > longest) {
            fault(
                "app.via_too_far",
                fmt::format(
                    "over {} the way from {} to {} is at least {:.0f} NM, and ways of up to {:.0f} NM "
                    "are looked at: name a point nearer, or plan the flight in two",
                    name, from_.ident, to_.ident, way_over(place).nautical_miles(), longest.nautical_miles()),
                "--via");
            return;
        }
        if (apart(found)) {
            asked_.said.push_back(
                {Grade::notes, "constraint.name_twice", name,
                 fmt::format("{} places have this name: flown over is the one at {}, with the "
                             "least detour",
                             found.size(), earth::to_text(place)),
                 ""});
        }
        // Flown over once it is flown over, however often it is named in a row.
        if (constraints().via.empty() || constraints().via.back() != found.front()) {
            constraints().via.push_back(found.front());
        }
    }

    Length way_over(earth::Position place) const {
        return earth::distance(from_.position, place) + earth::distance(place, to_.position);
    }

    bool apart(const std::vector<Point>& points) const {
        return std::any_of(points.begin(), points.end(), [&](const Point& point) {
            return earth::distance(world_.position(point), world_.position(points.front())) > one_place;
        });
    }

    void read_avoid(const std::string& name) {
        const std::vector<Point> found = points_named(name, false);
        if (found.empty() && !world_.is_out_of_service(name)) {
            unknown(name, "--avoid");
            return;
        }
        if (apart(found)) {
            say_all(name, found.size());
        }
        constraints().avoid.insert(constraints().avoid.end(), found.begin(), found.end());
    }

    void say_all(const std::string& name, std::size_t number) {
        asked_.said.push_back({Grade::notes, "constraint.name_twice", name,
                               fmt::format("{} places have this name: all of them are avoided", number), ""});
    }

    void read_airway(const std::string& designator) {
        std::vector<std::string> known;
        for (const navdata::Airway& airway : world_.airways()) {
            known.push_back(airway.designator);
        }
        if (std::find(known.begin(), known.end(), designator) == known.end()) {
            const std::string near = base::did_you_mean(base::near_matches(designator, known));
            fault("app.unknown_airway",
                  fmt::format("no airway {} in the atlas{}", base::in_quotes(designator),
                              near.empty() ? std::string(": import the data that holds it") : ": " + near),
                  "--avoid-airway");
            return;
        }
        constraints().avoid_airways.push_back(designator);
    }

    // "4030N16815W", as item 15 of a flight plan writes a place without a name.
    static std::optional<earth::Position> coordinates(const std::string& text) {
        const auto route = readers::read_item15(text, "place");
        const auto* at = route && route->elements.size() == 1
                             ? std::get_if<flight::RouteCoordinates>(&route->elements.front().word)
                             : nullptr;
        return at != nullptr ? std::optional(at->position) : std::nullopt;
    }

    static std::optional<double> number(const std::string& text) {
        double value = 0.0;
        const char* end = text.data() + text.size();
        const auto [at, error] = std::from_chars(text.data(), end, value);
        return error == std::errc() && at == end ? std::optional(value) : std::nullopt;
    }

    void read_area(const std::string& area) {
        const std::size_t stroke = area.rfind('/');
        const auto radius_nm = stroke == std::string::npos ? std::nullopt : number(area.substr(stroke + 1));
        if (stroke == 0 || !radius_nm) {
            fault("app.area_form",
                  fmt::format("{} is no area: a place and NM about it are expected, as XKE/15 or "
                              "4030N16815W/20",
                              base::in_quotes(area)),
                  "--avoid-area");
            return;
        }
        if (!(*radius_nm >= smallest_area_nm && *radius_nm <= largest_area_nm)) {
            fault("app.out_of_range",
                  fmt::format("the area {} reaches {} NM, which is outside {} to {:.0f} NM",
                              base::in_quotes(area), *radius_nm, smallest_area_nm, largest_area_nm),
                  "--avoid-area");
            return;
        }
        const auto centres = centres_of(area.substr(0, stroke));
        if (centres.size() > 1) {
            say_all(area.substr(0, stroke), centres.size());
        }
        for (const earth::Position centre : centres) {
            constraints().avoid_areas.push_back({area, centre, Length::nautical_miles(*radius_nm)});
        }
    }

    // Where the middle of an area is; where it is nowhere the fault is told.
    std::vector<earth::Position> centres_of(const std::string& place) {
        std::vector<earth::Position> centres;
        for (const Point& point : points_named(place, true)) {
            const earth::Position at = world_.position(point);
            const bool is_new = std::none_of(centres.begin(), centres.end(), [&](earth::Position other) {
                return earth::distance(at, other) <= one_place;
            });
            if (is_new) {
                centres.push_back(at);
            }
        }
        if (!centres.empty()) {
            return centres;
        }
        if (const auto at = coordinates(place)) {
            return {*at};
        }
        const std::string near = base::did_you_mean(base::near_matches(place, world_.idents()));
        fault("app.unknown_ident",
              fmt::format("{} is neither a place of the atlas nor coordinates as 40N168W or 4030N16815W{}",
                          base::in_quotes(place), near.empty() ? near : ": " + near),
              "--avoid-area");
        return {};
    }

    void read_highest() {
        if (!question_.highest_ft) {
            return;
        }
        constraints().highest = Altitude::feet(*question_.highest_ft);
        if (question_.altitude_ft && *question_.altitude_ft > *question_.highest_ft) {
            contradiction(
                fmt::format("--altitude {:.0f} ft is above --highest {:.0f} ft: leave one of them out",
                            *question_.altitude_ft, *question_.highest_ft),
                "--highest");
        }
        for (const navdata::Airport* airport : airports()) {
            if (airport->elevation && *airport->elevation >= *constraints().highest) {
                contradiction(
                    fmt::format("--highest {:.0f} ft is not above {}, which lies at {:.0f} ft: give a "
                                "higher one",
                                *question_.highest_ft, airport->ident, airport->elevation->feet()),
                    "--highest");
            }
        }
    }

    std::vector<const navdata::Airport*> airports() const {
        return question_.of_a_place ? std::vector<const navdata::Airport*>()
                                    : std::vector<const navdata::Airport*>{&from_, &to_};
    }

    static bool is_middle(Length away) { return away < Length::nautical_miles(smallest_area_nm); }
    static std::string lies(Length away) {
        return is_middle(away) ? std::string("is the middle of")
                               : fmt::format("lies {:.1f} NM from the middle of", away.nautical_miles());
    }
    static std::string or_smaller(Length away) {
        return is_middle(away) ? ""
                               : fmt::format(", or make it smaller than {:.1f} NM", away.nautical_miles());
    }

    void find_contradictions() {
        for (const Point& point : constraints().via) {
            const std::string& name = world_.ident(point);
            const auto& avoid = constraints().avoid;
            if (std::find(avoid.begin(), avoid.end(), point) != avoid.end()) {
                contradiction(
                    fmt::format("{} is to be flown over by --via and kept clear of by --avoid: leave "
                                "out one of the two",
                                name),
                    "--via");
            }
            for (const routing::Circle& circle : constraints().avoid_areas) {
                const Length away = earth::distance(circle.centre, world_.position(point));
                if (away < circle.radius) {
                    contradiction(
                        fmt::format("{} is to be flown over by --via and {} the area {}: leave out one of "
                                    "the two{}",
                                    name, lies(away), circle.name, or_smaller(away)),
                        "--avoid-area");
                }
            }
            const auto* station = std::get_if<StationId>(&point);
            if (station != nullptr && constraints().no_beacon && navdata::ndb(world_[*station]) != nullptr) {
                contradiction(
                    fmt::format("{} is an NDB that --via asks to be flown over, and --no-ndb leaves "
                                "NDBs unused: leave out one of the two",
                                name),
                    "--no-ndb");
            }
        }
        for (const routing::Circle& circle : constraints().avoid_areas) {
            for (const navdata::Airport* airport : airports()) {
                const Length away = earth::distance(circle.centre, airport->position);
                if (away < circle.radius) {
                    contradiction(fmt::format("{} itself {} the area {}: leave the area out{}",
                                              airport->ident, lies(away), circle.name, or_smaller(away)),
                                  "--avoid-area");
                }
            }
        }
    }

    std::vector<Error>& faults_;
    const navdata::Snapshot& world_;
    const navdata::Airport& from_;
    const navdata::Airport& to_;
    const PlanQuestion& question_;
    ConstraintsAsked asked_;
};

}  // namespace

ConstraintsAsked constraints_asked(std::vector<Error>& faults, const navdata::Snapshot& world,
                                   navdata::AirportId from, navdata::AirportId to,
                                   const PlanQuestion& question) {
    return Reader(faults, world, from, to, question).read();
}

}  // namespace omniway::app::detail
