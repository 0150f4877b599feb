#include "plan/detail/named_route.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"
#include "earth/geodesic.hpp"
#include "earth/same_place.hpp"
#include "flight/radial_fix.hpp"

namespace omniway::plan::detail {

using base::Altitude;
using base::Error;
using base::Finding;
using base::Grade;
using base::Length;
using flight::RouteElement;
using navdata::Airway;
using navdata::Point;
using navdata::StationId;
using procedure::PlacedFix;

namespace {

// Nobody files a leg longer than this: the name was meant for another point.
constexpr Length farthest_leg = Length::nautical_miles(1000.0);

std::string miles_text(Length length) {
    return fmt::format("{:.0f} NM", length.nautical_miles());
}

// The points of an airway part in order.
std::vector<Point> points_of(const Airway& airway) {
    std::vector<Point> points;
    for (const navdata::AirwaySegment& segment : airway.segments) {
        if (points.empty()) {
            points.push_back(segment.from);
        }
        points.push_back(segment.to);
    }
    return points;
}

std::optional<std::size_t> place_on(const std::vector<Point>& points, const std::optional<Point>& point) {
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (point && points[i] == *point) {
            return i;
        }
    }
    return std::nullopt;
}

bool is_point(const RouteElement& element) {
    return std::holds_alternative<flight::RoutePoint>(element.word) ||
           std::holds_alternative<flight::RouteBearingDistance>(element.word) ||
           std::holds_alternative<flight::RouteCoordinates>(element.word);
}

// Gives every word its meaning in the snapshot, or says which have none.
class Namer {
public:
    Namer(const navdata::Snapshot& world, const earth::MagneticModel& model, const HandMadeRequest& request)
        : world_(world), model_(model), request_(request), here_(world[request.flight.from].position) {}

    tl::expected<NamedRoute, std::vector<Error>> result() {
        take_elements();
        for (at_ = 0; at_ < elements_.size(); ++at_) {
            read(*elements_[at_]);
        }
        finish();
        if (!faults_.empty()) {
            return tl::unexpected(std::move(faults_));
        }
        return std::move(made_);
    }

private:
    void fault(std::string code, const RouteElement& element, std::string message) {
        faults_.push_back({std::move(code), std::move(message),
                           fmt::format("{}:{}:{}", request_.name, element.token.line, element.token.column)});
    }
    void say(Grade grade, std::string code, std::string about, std::string text, std::string remedy = {}) {
        made_.said.push_back({grade, std::move(code), std::move(about), std::move(text), std::move(remedy)});
    }

    // Without the airports, which stand first and last or not at all.
    void take_elements() {
        for (const RouteElement& element : request_.route.elements) {
            elements_.push_back(&element);
        }
        const auto names = [](const RouteElement& element, const std::string& airport) {
            return element.token.text == airport;
        };
        if (!elements_.empty() && names(*elements_.front(), world_[request_.flight.from].ident)) {
            elements_.erase(elements_.begin());
        }
        if (!elements_.empty() && names(*elements_.back(), world_[request_.flight.to].ident)) {
            elements_.pop_back();
        }
        // "XKE DCT" before the airport: direct to the airport is the approach's business.
        if (!elements_.empty() && std::holds_alternative<flight::RouteDirect>(elements_.back()->word)) {
            elements_.pop_back();
        }
    }

    void read(const RouteElement& element) {
        if (const auto* speed_level = std::get_if<flight::RouteSpeedLevel>(&element.word)) {
            take_speed_level(element, *speed_level);
        } else if (const auto* rules = std::get_if<flight::RouteRules>(&element.word)) {
            say(Grade::notes, "way.rules", element.token.text,
                rules->visual
                    ? "what is flown by visual rules from there on is judged as flown by instruments"
                    : "the whole flight is judged as flown by instruments");
        } else if (std::holds_alternative<flight::RouteDirect>(element.word)) {
            way_ = nullptr;
        } else if (const auto* airway = std::get_if<flight::RouteAirway>(&element.word)) {
            take_airway(element, airway->designator);
        } else {
            take_point(element);
        }
    }

    void take_speed_level(const RouteElement& element, const flight::RouteSpeedLevel& said) {
        std::optional<Altitude> altitude = said.altitude;
        if (said.level) {
            altitude = Altitude::above_datum(said.level->above_datum());  // on a standard day
        }
        if (said.changes) {
            made_.last_level = altitude ? altitude : made_.last_level;
        } else {
            made_.cruise = altitude;
        }
        const base::Speed cruising =
            aircraft::true_airspeed_cruise(request_.flight.aircraft.performance,
                                           altitude.value_or(request_.flight.cruise.value_or(Altitude())));
        // Item 15: a change of 5 % is one to be told (trade-facts 12).
        if (said.true_airspeed && std::abs(*said.true_airspeed / cruising - 1.0) > 0.05) {
            say(Grade::notes, "way.speed", element.token.text,
                fmt::format("{} cruises at {:.0f} kt there, by its file, and is judged so",
                            request_.flight.aircraft.name, cruising.knots()));
        }
    }

    bool names_procedure(navdata::AirportId airport, navdata::ProcedureKind kind,
                         const std::string& ident) const {
        const auto all = world_.procedures_of(world_[airport].ident, kind);
        return std::any_of(all.begin(), all.end(),
                           [&](const navdata::Procedure* each) { return each->ident == ident; });
    }

    std::vector<const Airway*> parts_of(const std::string& designator) const {
        std::vector<const Airway*> parts;
        for (const Airway& airway : world_.airways()) {
            if (airway.designator == designator) {
                parts.push_back(&airway);
            }
        }
        return parts;
    }

    const RouteElement* next_point() const {
        for (std::size_t i = at_ + 1; i < elements_.size(); ++i) {
            if (is_point(*elements_[i])) {
                return elements_[i];
            }
            if (!std::holds_alternative<flight::RouteRules>(elements_[i]->word)) {
                return nullptr;
            }
        }
        return nullptr;
    }

    void take_airway(const RouteElement& element, const std::string& designator) {
        way_ = nullptr;
        const bool is_sid =
            names_procedure(request_.flight.from, navdata::ProcedureKind::departure, designator);
        const bool is_star = names_procedure(request_.flight.to, navdata::ProcedureKind::arrival, designator);
        const bool airway_is_known = !parts_of(designator).empty();
        if (!seen_point_ && is_sid) {
            made_.sid = designator;
            if (next_point() == nullptr) {
                fault("route.procedure_without_point", element,
                      fmt::format("{} is followed by no point: name the one at which it ends",
                                  base::in_quotes(designator)));
            }
        } else if (seen_point_ && is_star && !airway_is_known && !made_.star) {
            made_.star = designator;
            made_.star_before = made_.sections.size();
        } else if (!airway_is_known) {
            unknown_airway(element, designator, is_sid, is_star);
        } else if (!seen_point_) {
            fault("route.airway_without_point", element,
                  fmt::format("{} is joined at no point: name the one before it, as in \"DCT {} {}\"",
                              base::in_quotes(designator),
                              world_.ident(points_of(*parts_of(designator).front()).front()), designator));
        } else if (next_point() == nullptr) {
            fault("route.airway_without_point", element,
                  fmt::format("{} is left at no point: name the one behind it", base::in_quotes(designator)));
        } else {
            way_ = &element;
        }
    }

    void unknown_airway(const RouteElement& element, const std::string& designator, bool is_sid,
                        bool is_star) {
        if (is_sid || is_star) {
            fault("route.procedure_without_point", element,
                  fmt::format("{} is {}", base::in_quotes(designator),
                              is_sid ? "a departure: it stands before every point"
                                     : "an arrival: it stands once, behind the point at which it begins"));
            return;
        }
        std::set<std::string> known;
        for (const Airway& airway : world_.airways()) {
            known.insert(airway.designator);
        }
        for (const auto kind : {navdata::ProcedureKind::departure, navdata::ProcedureKind::arrival}) {
            const bool leaving = kind == navdata::ProcedureKind::departure;
            const auto airport = leaving ? request_.flight.from : request_.flight.to;
            for (const navdata::Procedure* each : world_.procedures_of(world_[airport].ident, kind)) {
                known.insert(each->ident);
            }
        }
        const std::vector<std::string> all(known.begin(), known.end());
        const std::string near = base::did_you_mean(base::near_matches(designator, all));
        fault("route.unknown_airway", element,
              fmt::format("no airway, and no departure of {} or arrival of {}, is named {}{}",
                          world_[request_.flight.from].ident, world_[request_.flight.to].ident,
                          base::in_quotes(designator),
                          near.empty() ? ": DCT leads off the airways" : "; " + near));
        broken_ = true;
    }

    void take_point(const RouteElement& element) {
        const auto placed = place(element);
        seen_point_ = true;
        if (!placed) {
            broken_ = true;
            way_ = nullptr;
            return;
        }
        here_ = placed->position;
        if (broken_ || !before_) {
            if (!before_ && !broken_ && made_.sections.empty()) {
                made_.first = *placed;
            }
        } else if (earth::distance(before_->position, placed->position) > earth::same_place) {
            add_section(element, *placed);
        }
        before_ = *placed;
        broken_ = false;
        way_ = nullptr;
    }

    void add_section(const RouteElement& element, const PlacedFix& to) {
        NamedSection section;
        section.from = *before_;
        section.to = to;
        section.level = made_.last_level;
        section.along_direct = {to};
        if (way_ != nullptr && !along_airway(element, section)) {
            return;
        }
        if (way_ == nullptr && earth::distance(before_->position, to.position) > farthest_leg) {
            fault("route.out_of_reach", element,
                  fmt::format("{} stands {} from {}: at most {} are flown to a point; give points between",
                              base::in_quotes(element.token.text),
                              miles_text(earth::distance(before_->position, to.position)), before_->ident,
                              miles_text(farthest_leg)));
            return;
        }
        made_.sections.push_back(std::move(section));
    }

    // The segments of the airway from the point before to this one.
    bool along_airway(const RouteElement& element, NamedSection& section) {
        const std::string& designator = way_->token.text;
        bool from_is_on_it = false;
        bool to_is_on_it = false;
        for (const Airway* part : parts_of(designator)) {
            const std::vector<Point> points = points_of(*part);
            const auto from = place_on(points, section.from.point);
            const auto to = place_on(points, section.to.point);
            from_is_on_it = from_is_on_it || from;
            to_is_on_it = to_is_on_it || to;
            if (!from || !to) {
                continue;
            }
            part->area_navigation ? take_area_points(section, *part, points, *from, *to)
                                  : take_hops(section, *part, *from, *to);
            return true;
        }
        if (from_is_on_it && to_is_on_it) {
            fault("route.airway_not_whole", *way_,
                  fmt::format("{} is not whole between {} and {} in the data: part of it is missing, or was "
                              "denied by its own distances; fly DCT over what is missing",
                              base::in_quotes(designator), section.from.ident, section.to.ident));
            return false;
        }
        if (!from_is_on_it) {
            not_on_airway(*way_, designator, section.from);
        }
        if (!to_is_on_it) {
            not_on_airway(element, designator, section.to);
        }
        return false;
    }

    static void take_hops(NamedSection& section, const Airway& part, std::size_t from, std::size_t to) {
        for (std::size_t i = from; i < to; ++i) {
            section.hops.push_back({&part, i, true});
        }
        for (std::size_t i = from; i > to; --i) {
            section.hops.push_back({&part, i - 1, false});
        }
    }

    // Its waypoints matter where the track bends, and where an aid stands.
    void take_area_points(NamedSection& section, const Airway& part, const std::vector<Point>& points,
                          std::size_t from, std::size_t to) {
        constexpr base::Angle bend = base::Angle::degrees(2.0);
        std::vector<Point> all(points.begin() + static_cast<std::ptrdiff_t>(std::min(from, to)),
                               points.begin() + static_cast<std::ptrdiff_t>(std::max(from, to)) + 1);
        if (from > to) {
            std::reverse(all.begin(), all.end());
        }
        section.area_airway = part.designator;
        section.along_direct.clear();
        earth::Position last = world_.position(all.front());
        for (std::size_t i = 1; i < all.size(); ++i) {
            const earth::Position place = world_.position(all[i]);
            const bool ends = i + 1 == all.size();
            const bool bends = !ends && abs(earth::bearing(place, world_.position(all[i + 1])) -
                                            earth::geodesic(last, place).arrival) > bend;
            if (ends || bends || std::holds_alternative<StationId>(all[i])) {
                section.along_direct.push_back({world_.ident(all[i]), place, all[i], false});
                last = place;
            }
        }
        say(Grade::warns, "airway.area_navigation",
            fmt::format("{} {} to {}", part.designator, section.from.ident, section.to.ident),
            "is an RNAV route and refused as such: the same track is judged off the airways, with its own "
            "minimum");
    }

    void not_on_airway(const RouteElement& element, const std::string& designator, const PlacedFix& point) {
        std::string runs;
        std::vector<Point> all;
        for (const Airway* part : parts_of(designator)) {
            const std::vector<Point> points = points_of(*part);
            runs += runs.empty() ? "" : ", and ";
            for (std::size_t i = 0; i < points.size(); ++i) {
                const bool shown = points.size() <= 14 || i < 6 || i + 6 >= points.size();
                runs += !shown ? (i == 6 ? " ..." : "") : (i == 0 ? "" : " ") + world_.ident(points[i]);
            }
            all.insert(all.end(), points.begin(), points.end());
        }
        std::sort(all.begin(), all.end(), [&](const Point& a, const Point& b) {
            return earth::distance(point.position, world_.position(a)) <
                   earth::distance(point.position, world_.position(b));
        });
        all.erase(std::unique(all.begin(), all.end()), all.end());
        std::string nearest;
        for (std::size_t i = 0; i < std::min<std::size_t>(all.size(), 2); ++i) {
            nearest += (i == 0 ? "" : " and ") +
                       fmt::format("{} ({})", world_.ident(all[i]),
                                   miles_text(earth::distance(point.position, world_.position(all[i]))));
        }
        fault("route.not_on_airway", element,
              fmt::format("{} does not pass {}; it runs {}; nearest to {} on it {} {}", designator,
                          point.ident, runs, point.ident, all.size() == 1 ? "is" : "are", nearest));
    }

    std::optional<PlacedFix> place(const RouteElement& element) {
        if (const auto* said = std::get_if<flight::RouteCoordinates>(&element.word)) {
            return PlacedFix{element.token.text, said->position, std::nullopt, true};
        }
        if (const auto* said = std::get_if<flight::RouteBearingDistance>(&element.word)) {
            const auto point = named(element, said->ident, false);
            return point ? std::optional(flight::radial_fix(world_, model_, request_.flight.today, *point,
                                                            said->bearing, said->distance))
                         : std::nullopt;
        }
        const std::string& ident = std::get<flight::RoutePoint>(element.word).ident;
        if (points_named(ident).empty()) {
            if (const auto coded = of_a_procedure(ident)) {
                return coded;
            }
        }
        const auto point = named(element, ident, true);
        return point ? std::optional(placed(*point)) : std::nullopt;
    }

    // A fix that has no record, and stands in the legs of a procedure of either airport by bearing and distance of an aid.
    std::optional<PlacedFix> of_a_procedure(const std::string& ident) const {
        using navdata::ProcedureKind;
        const auto coded_by = [&](navdata::AirportId airport,
                                  ProcedureKind kind) -> std::optional<PlacedFix> {
            for (const navdata::Procedure* procedure : world_.procedures_of(world_[airport].ident, kind)) {
                for (const navdata::Branch& branch : procedure->branches) {
                    for (const navdata::Leg& leg : branch.legs) {
                        if (leg.fix && leg.fix->ident == ident) {
                            if (const auto place = procedure::place_fix(world_, leg, procedure)) {
                                return place;
                            }
                        }
                    }
                }
            }
            return std::nullopt;
        };
        const auto leaving = coded_by(request_.flight.from, ProcedureKind::departure);
        const auto arriving = leaving ? leaving : coded_by(request_.flight.to, ProcedureKind::arrival);
        return arriving ? arriving : coded_by(request_.flight.to, ProcedureKind::approach);
    }

    PlacedFix placed(const Point& point) const {
        return {world_.ident(point), world_.position(point), point, false};
    }

    std::vector<Point> points_named(const std::string& ident) const {
        std::vector<Point> points;
        const std::string& from = world_[request_.flight.from].ident;
        const std::string& to = world_[request_.flight.to].ident;
        for (const Point& point : world_.named(ident)) {
            if (const auto* fix = std::get_if<navdata::FixId>(&point)) {
                const std::string& airport = world_[*fix].airport;
                if (!airport.empty() && airport != from && airport != to) {
                    continue;
                }
            } else if (const auto* station = std::get_if<StationId>(&point)) {
                if (navdata::localizer(world_[*station]) != nullptr) {
                    continue;
                }
            } else {
                continue;  // airports and runways stand first and last
            }
            points.push_back(point);
        }
        return points;
    }

    // The one on the airway that leads there or goes on from there, else the nearest to the point before.
    std::optional<Point> named(const RouteElement& element, const std::string& ident, bool may_be_on_airway) {
        std::vector<Point> points = points_named(ident);
        if (points.empty()) {
            unknown_point(element, ident);
            return std::nullopt;
        }
        const auto distance = [&](const Point& point) {
            return earth::distance(here_, world_.position(point));
        };
        std::stable_sort(points.begin(), points.end(),
                         [&](const Point& a, const Point& b) { return distance(a) < distance(b); });
        if (may_be_on_airway) {
            const RouteElement* next = at_ + 1 < elements_.size() ? elements_[at_ + 1] : nullptr;
            const bool leads_on = next != nullptr && std::holds_alternative<flight::RouteAirway>(next->word);
            for (const RouteElement* way : {way_, leads_on ? next : nullptr}) {
                const auto on_it = std::find_if(points.begin(), points.end(), [&](const Point& point) {
                    return way != nullptr && is_on(way->token.text, point);
                });
                if (on_it != points.end()) {
                    return *on_it;
                }
            }
        }
        if (points.size() > 1) {
            if (const auto meant = the_one_meant(points, ident)) {
                return meant;
            }
            say(Grade::notes, "way.name_twice", ident,
                fmt::format(
                    "names {} points: the {} taken is the nearest, {} from the point before; the next, a "
                    "{}, is {} from it",
                    points.size(), kind_text(world_, points[0]), miles_text(distance(points[0])),
                    kind_text(world_, points[1]), miles_text(distance(points[1]))));
        }
        return points.front();
    }

    // A station may stand elsewhere since, or be of another kind: of its kind the nearest to where it was.
    std::optional<Point> the_one_meant(const std::vector<Point>& points, const std::string& ident) const {
        const auto meant = std::find_if(request_.meant.begin(), request_.meant.end(),
                                        [&](const PointMeant& each) { return each.ident == ident; });
        if (meant == request_.meant.end()) {
            return std::nullopt;
        }
        const auto unlike = [&](const Point& point) {
            return std::pair(kind_text(world_, point) != meant->kind,
                             earth::distance(meant->place, world_.position(point)));
        };
        return *std::min_element(points.begin(), points.end(),
                                 [&](const Point& a, const Point& b) { return unlike(a) < unlike(b); });
    }

    bool is_on(const std::string& designator, const Point& point) const {
        const auto parts = parts_of(designator);
        return std::any_of(parts.begin(), parts.end(),
                           [&](const Airway* part) { return place_on(points_of(*part), point).has_value(); });
    }

    void unknown_point(const RouteElement& element, const std::string& ident) {
        std::vector<std::string> known;
        if (way_ != nullptr) {
            for (const Airway* part : parts_of(way_->token.text)) {
                for (const Point& point : points_of(*part)) {
                    known.push_back(world_.ident(point));
                }
            }
        }
        std::vector<std::string> near = base::near_matches(ident, known);
        if (near.empty()) {
            known.clear();
            for (const std::string& each : world_.idents()) {
                if (!points_named(each).empty()) {
                    known.push_back(each);
                }
            }
            near = base::near_matches(ident, known);
        }
        const bool is_airport = world_.airport(ident).has_value();
        fault("route.unknown_point", element,
              is_airport
                  ? fmt::format("{} is an airport: one stands first and last in a route; name an aid or a "
                                "fix",
                                base::in_quotes(ident))
              : world_.is_out_of_service(ident)
                  ? fmt::format("{} is out of service: leave --without away, or name another point",
                                base::in_quotes(ident))
                  : fmt::format("no aid or fix is named {}{}", base::in_quotes(ident),
                                near.empty() ? ", nor anything like it; 46N078W and XKE180040 name places "
                                               "without a name"
                                             : ": " + base::did_you_mean(near)));
    }

    void finish() {
        // What is asked for by option outranks what the route names.
        if (request_.flight.departure) {
            made_.sid =
                *request_.flight.departure == own_departure ? std::nullopt : request_.flight.departure;
        }
        if (request_.flight.arrival && *request_.flight.arrival == no_arrival) {
            made_.star.reset();
        } else if (request_.flight.arrival && !made_.star) {
            made_.star_before = made_.sections.size();
        }
        if (request_.flight.arrival && *request_.flight.arrival != no_arrival) {
            made_.star = request_.flight.arrival;
        }
        if (!made_.first && faults_.empty()) {
            faults_.push_back(
                {"route.procedure_without_point",
                 "the route names no aid or fix between its airports: name the first one, as in "
                 "\"XDOV DCT XDV ...\"",
                 request_.name + ":1:1"});
        }
    }

    const navdata::Snapshot& world_;
    const earth::MagneticModel& model_;
    const HandMadeRequest& request_;
    earth::Position here_;  // the point before
    std::vector<const RouteElement*> elements_;
    std::size_t at_ = 0;
    const RouteElement* way_ = nullptr;  // the airway named since the point before
    std::optional<PlacedFix> before_;
    bool seen_point_ = false;
    bool broken_ = false;  // what stands before could not be understood: no section leads from it
    NamedRoute made_;
    std::vector<Error> faults_;
};

}  // namespace

std::string kind_text(const navdata::Snapshot& world, const Point& point) {
    const auto* station = std::get_if<StationId>(&point);
    return station != nullptr ? navdata::kind_text(world[*station]) : std::string("fix");
}

tl::expected<NamedRoute, std::vector<Error>> name_route(const navdata::Snapshot& world,
                                                        const earth::MagneticModel& model,
                                                        const HandMadeRequest& request) {
    return Namer(world, model, request).result();
}

}  // namespace omniway::plan::detail
