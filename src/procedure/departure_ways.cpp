#include "procedure/departure_ways.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "earth/intersection.hpp"
#include "procedure/airport_variation.hpp"
#include "procedure/detail/terminal_route.hpp"
#include "procedure/vertical.hpp"

namespace omniway::procedure {

using base::Altitude;
using base::Angle;
using base::Finding;
using base::Grade;
using base::Length;
using base::TrueBearing;
using detail::LegList;
using navdata::AltitudeRule;
using navdata::Leg;
using navdata::PathTerminator;

namespace {

constexpr Angle straight_departure = Angle::degrees(15.0);
constexpr std::array<double, 3> join_angles_deg = {45.0, 60.0, 90.0};
// A course joined less than this before its fix has no time to come to the centre.
constexpr Length shortest_on_course = Length::nautical_miles(0.3);
constexpr Length on_the_line = Length::nautical_miles(0.05);

std::optional<Altitude> lower_bound(const Leg& leg) {
    switch (leg.altitude_rule) {
        case AltitudeRule::at:
        case AltitudeRule::at_or_above:
        case AltitudeRule::step_down:
            return leg.altitude_1;
        case AltitudeRule::between:
        case AltitudeRule::at_or_above_second:
            return leg.altitude_2;
        default:
            return std::nullopt;
    }
}

std::optional<Altitude> upper_bound(const Leg& leg) {
    switch (leg.altitude_rule) {
        case AltitudeRule::at:
        case AltitudeRule::at_or_below:
        case AltitudeRule::between:
            return leg.altitude_1;
        default:
            return std::nullopt;
    }
}

bool is_to_an_altitude(PathTerminator t) {
    return t == PathTerminator::CA || t == PathTerminator::VA || t == PathTerminator::FA;
}

// Lays placed legs out one behind the other in the climb, and says where that cannot be.
class ClimbOut {
public:
    ClimbOut(const navdata::Snapshot& world, const TakeOff& take_off, const std::string& name)
        : world_(world),
          take_off_(take_off),
          name_(name),
          place_(take_off.place),
          track_(take_off.track),
          altitude_(take_off.elevation) {}

    void lay(const std::vector<PlacedLeg>& placed) {
        if (!placed.empty()) {
            begin(placed.front());
        }
        for (std::size_t i = 0; i < placed.size(); ++i) {
            lay_one(placed[i], i + 1 < placed.size() ? &placed[i + 1] : nullptr);
        }
        check_first_climb();
    }

    std::vector<PlacedLeg> legs;
    std::vector<Finding> findings;
    Length flown;
    Altitude altitude() const { return altitude_; }

private:
    void refuse(const PlacedLeg& leg, std::string code, std::string why, std::string remedy = {}) {
        findings.push_back({Grade::blocks, std::move(code),
                            leg.coded != nullptr
                                ? fmt::format("{}, leg {:03} {}", name_, leg.coded->sequence,
                                              navdata::to_text(leg.coded->terminator) +
                                                  (leg.coded->fix ? " " + leg.coded->fix->ident : ""))
                                : name_,
                            std::move(why), std::move(remedy)});
    }

    // Where no row leads along the runway, and before any turn: straight ahead to 400 ft above the field.
    void begin(const PlacedLeg& first) {
        const bool leads_out = !first.to;
        if (leads_out && abs(first.track - take_off_.track) <= straight_departure) {
            return;
        }
        PlacedLeg ahead;
        ahead.track = take_off_.track;
        ahead.guidance = OnHeading{take_off_.track};
        ahead.ending = AtAltitude{take_off_.elevation + lowest_turn};
        to_altitude(ahead, take_off_.elevation + lowest_turn);
        add(std::move(ahead));
    }

    // A course to a fix that begins wherever the leg before was left.
    static bool joins_a_course(const PlacedLeg& leg) {
        return !leg.from && leg.coded != nullptr &&
               (leg.coded->terminator == PathTerminator::CF || leg.coded->terminator == PathTerminator::TF);
    }

    void to_altitude(PlacedLeg& leg, Altitude to) const {
        leg.start = place_;
        leg.length = distance_to_climb(take_off_.climb, leg.track, altitude_, to);
        leg.finish = earth::destination(place_, leg.track, leg.length);
    }

    void lay_one(PlacedLeg leg, const PlacedLeg* next) {
        const PathTerminator terminator = leg.coded->terminator;
        if (terminator == PathTerminator::IF) {
            return;
        }
        if (is_to_an_altitude(terminator) && leg.coded->altitude_1) {
            to_altitude(leg, *leg.coded->altitude_1);
        } else if (joins_a_course(leg)) {
            join(leg);
        } else if (terminator == PathTerminator::DF) {
            direct(leg);
        } else if (std::holds_alternative<OnHeading>(leg.guidance) && !leg.to) {
            heading(leg, next);
        }
        add(std::move(leg));
    }

    void direct(PlacedLeg& leg) const {
        const earth::Geodesic line = earth::geodesic(place_, leg.finish);
        leg.start = place_;
        leg.track = line.initial;
        leg.length = line.distance;
        if (auto* radial = std::get_if<OnRadial>(&leg.guidance)) {
            if (const auto here = navdata::radial_of(world_[radial->station], place_)) {
                radial->course = here->reciprocal();
            }
        } else if (auto* beacon = std::get_if<OnBeacon>(&leg.guidance)) {
            beacon->track = line.initial;
        }
    }

    // A heading until something shows: the course of the next leg, a radial, a distance.
    void heading(PlacedLeg& leg, const PlacedLeg* next) {
        std::optional<earth::Position> meets;
        if (const auto* radial = std::get_if<AtRadial>(&leg.ending)) {
            const auto* azimuth = navdata::vor(world_[radial->station]);
            meets = earth::intersect(place_, leg.track, navdata::site(world_[radial->station]),
                                     base::to_true(radial->radial, azimuth->declination));
        } else if (const auto* distance = std::get_if<AtDistance>(&leg.ending)) {
            const auto places =
                earth::intersect(place_, leg.track, world_[distance->station].dme->position, distance->shown);
            meets = places.empty() ? std::nullopt : std::optional(places.front());
        } else if (next != nullptr && next->coded->terminator == PathTerminator::AF) {
            const auto& arc = std::get<OnArc>(next->guidance);
            const auto places =
                earth::intersect(place_, leg.track, world_[arc.station].dme->position, arc.radius);
            meets = places.empty() ? std::nullopt : std::optional(places.front());
        } else if (next != nullptr && next->to) {
            // On the line that it is joined on, which a coded tenth of a degree misses by some metres.
            meets = earth::intersect(place_, leg.track, next->finish, back_along(*next));
        }
        leg.start = place_;
        if (!meets) {
            refuse(leg, "departure.never_met",
                   fmt::format("its heading of {:03.0f} true from the runway never comes to what ends it",
                               leg.track.degrees()),
                   "check the data");
            return;
        }
        leg.finish = *meets;
        leg.length = earth::distance(place_, *meets);
    }

    // From the end of a leg back along its course: on the line of the aid that guides, where one does.
    TrueBearing back_along(const PlacedLeg& leg) const {
        const auto* radial = std::get_if<OnRadial>(&leg.guidance);
        const auto* beacon = std::get_if<OnBeacon>(&leg.guidance);
        if (radial == nullptr && beacon == nullptr) {
            return earth::bearing(leg.finish, leg.start);
        }
        const bool toward = radial != nullptr ? radial->toward : beacon->toward;
        const earth::Position aid = navdata::site(world_[*station_of(leg.guidance)]);
        if (earth::distance(aid, leg.finish) < Length::nautical_miles(0.5)) {
            return earth::bearing(leg.finish, leg.start);
        }
        return toward ? earth::geodesic(aid, leg.finish).arrival : earth::bearing(leg.finish, aid);
    }

    // From the aid that a leg is flown away from to the leg's end; without bound where it is not.
    Length distance_from_aid(const PlacedLeg& leg) const {
        const auto* radial = std::get_if<OnRadial>(&leg.guidance);
        const auto* beacon = std::get_if<OnBeacon>(&leg.guidance);
        if ((radial != nullptr && !radial->toward) || (beacon != nullptr && !beacon->toward)) {
            return earth::distance(navdata::site(world_[*station_of(leg.guidance)]), leg.finish);
        }
        return Length::metres(std::numeric_limits<double>::infinity());
    }

    // Onto a course from beside it, on a heading that no row says.
    void join(PlacedLeg& leg) {
        const earth::Position fix = leg.finish;
        const TrueBearing back = back_along(leg);
        const earth::Geodesic direct = earth::geodesic(fix, place_);
        const double off_rad = (direct.initial - back).radians();
        const Length before_fix = direct.distance * std::cos(off_rad);
        const Length aside = abs(direct.distance * std::sin(off_rad));
        Length joined_at = before_fix;
        if (aside > on_the_line) {
            const auto angle = std::find_if(join_angles_deg.begin(), join_angles_deg.end(), [&](double deg) {
                const double tangent = deg < 90.0 ? std::tan(Angle::degrees(deg).radians()) : 1e9;
                return before_fix - aside / tangent > shortest_on_course;
            });
            if (angle == join_angles_deg.end()) {
                refuse(leg, "departure.course_not_joined",
                       fmt::format("{:.1f} NM aside of its course {:.1f} NM before {}: it is not joined "
                                   "before the fix",
                                   aside.nautical_miles(), before_fix.nautical_miles(), leg.to->ident),
                       "check the data");
                return;
            }
            const double tangent = *angle < 90.0 ? std::tan(Angle::degrees(*angle).radians()) : 1e9;
            joined_at = before_fix - aside / tangent;
        }
        // A course from an aid begins at the aid: what lies before it is flown to the aid.
        const Length from_aid = distance_from_aid(leg);
        if (aside > on_the_line || joined_at > from_aid) {
            joined_at = std::min(joined_at, from_aid);
            PlacedLeg onto;
            onto.start = place_;
            onto.finish = earth::destination(fix, back, joined_at);
            const earth::Geodesic line = earth::geodesic(onto.start, onto.finish);
            onto.track = line.initial;
            onto.length = line.distance;
            onto.guidance = OnHeading{line.initial};
            onto.ending = AtIntercept{};
            add(std::move(onto));
        }
        leg.start = place_ = earth::destination(fix, back, joined_at);
        const earth::Geodesic line = earth::geodesic(leg.start, fix);
        leg.track = line.initial;
        leg.length = line.distance;
    }

    void add(PlacedLeg leg) {
        flown += leg.length;
        climb(leg);
        place_ = leg.finish;
        track_ = leg.track;
        legs.push_back(std::move(leg));
    }

    // Each coded altitude in time, as the aircraft climbs in this wind.
    void climb(const PlacedLeg& leg) {
        const Altitude before = altitude_;
        if (leg.length > Length()) {
            altitude_ = altitude_after(take_off_.climb, leg.track, altitude_, leg.length);
        }
        if (const auto* at = std::get_if<AtHold>(&leg.ending); at != nullptr && at->altitude) {
            altitude_ = std::max(altitude_, *at->altitude);
        }
        if (leg.coded == nullptr) {
            return;
        }
        const auto low = lower_bound(*leg.coded);
        if (low && altitude_ + Length::feet(1.0) < *low && !is_to_an_altitude(leg.coded->terminator)) {
            refuse(
                leg, "departure.climb_too_steep",
                fmt::format("{:.0f} ft after {:.1f} NM asks {:.0f} ft/NM; this aircraft in this wind is at "
                            "{:.0f} ft there, {:.0f} ft/NM",
                            low->feet(), flown.nautical_miles(),
                            feet_per_nautical_mile(*low - take_off_.elevation, flown), altitude_.feet(),
                            feet_per_nautical_mile(altitude_ - take_off_.elevation, flown)),
                "a departure that asks less, or less wind from behind");
        }
        if (const auto high = upper_bound(*leg.coded)) {
            altitude_ = std::max(before, std::min(altitude_, *high));
        }
    }

    void check_first_climb() {
        const double gradient =
            first_gradient_ft_per_nm(take_off_.climb, take_off_.track, take_off_.elevation);
        if (gradient < least_climb.feet_per_nautical_mile()) {
            findings.push_back(
                {Grade::blocks, "departure.climb_too_shallow", name_,
                 fmt::format("{:.0f} ft/NM in this wind; a departure asks {:.0f} where nothing "
                             "steeper is published",
                             gradient, least_climb.feet_per_nautical_mile()),
                 ""});
        }
    }

    const navdata::Snapshot& world_;
    const TakeOff& take_off_;
    const std::string& name_;
    earth::Position place_;
    TrueBearing track_;
    Altitude altitude_;
};

class Surveyor {
public:
    Surveyor(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
             navdata::AirportId airport, const TakeOff& take_off, radio::Criteria criteria)
        : world_(world),
          ground_(ground),
          aboard_(aboard),
          airport_(world[airport]),
          take_off_(take_off),
          criteria_(criteria) {}

    void consider(const navdata::Procedure& procedure, std::vector<DepartureWay>& ways) const {
        DepartureWay way;
        way.procedure = &procedure;
        way.runway = take_off_.runway;
        const auto refused = [&](const std::string& code, const std::string& why, const std::string& remedy) {
            way.findings.push_back({Grade::blocks, "departure." + code, about(way), why, remedy});
            ways.push_back(way);
        };
        const std::string why = detail::not_conventional(procedure);
        if (!why.empty()) {
            const bool vectors = why.find("vectors") != std::string::npos;
            refused(vectors ? "vectors_only" : "area_navigation", why, vectors ? "own departure" : "");
            return;
        }
        const std::string& runway = world_[take_off_.runway].ident;
        const navdata::Branch* from_runway = nullptr;
        const navdata::Branch* common = nullptr;
        bool other_runways = false;
        for (const navdata::Branch& branch : procedure.branches) {
            const bool serves = detail::serves_runway(branch.transition, runway);
            if (branch.route_type == '1') {
                other_runways = true;
                from_runway = serves ? &branch : from_runway;
            } else if (branch.route_type == '2' && serves) {
                common = &branch;
            }
        }
        if (from_runway == nullptr && other_runways) {
            refused("not_for_runway", "has no transition from " + runway, "another runway");
            return;
        }
        LegList legs = from_runway != nullptr ? detail::legs_of(*from_runway) : LegList{};
        for (const navdata::Branch* branch : {from_runway, common}) {
            const auto missing = branch != nullptr ? detail::missing_sequence(*branch) : std::nullopt;
            if (missing) {
                refused("not_whole", fmt::format("leg {:03} of it is not in the data", *missing),
                        "import the whole procedure");
                return;
            }
        }
        if (common != nullptr) {
            legs = detail::joined(std::move(legs), detail::legs_of(*common));
        }
        if (legs.empty()) {
            refused("not_whole", "only transitions of it are in the data", "import the whole procedure");
            return;
        }
        ways.push_back(laid(way, legs));
        for (const navdata::Branch& branch : procedure.branches) {
            if (branch.route_type == '3' && !branch.legs.empty()) {
                way.transition = branch.transition;
                const auto missing = detail::missing_sequence(branch);
                if (missing) {
                    way.findings.push_back({Grade::blocks, "departure.not_whole", about(way),
                                            fmt::format("leg {:03} of it is not in the data", *missing),
                                            "import the whole procedure"});
                    ways.push_back(way);
                    way.findings.clear();
                } else {
                    ways.push_back(laid(way, detail::joined(legs, detail::legs_of(branch))));
                }
            }
        }
    }

private:
    std::string about(const DepartureWay& way) const {
        return fmt::format("{} {} {}", airport_.ident, world_[take_off_.runway].ident, way.name());
    }

    DepartureWay laid(DepartureWay way, LegList legs) const {
        const std::string name = about(way);
        const auto block = [&](const std::string& code, const std::string& why) {
            way.findings.push_back({Grade::blocks, "departure." + code, name, why, "own departure"});
        };
        const auto is_vectors = [](const Leg* leg) { return detail::ends_in_vectors(leg->terminator); };
        const auto vectors = std::find_if(legs.begin(), legs.end(), is_vectors);
        if (legs.front()->terminator == PathTerminator::IF) {
            block("vectors_only",
                  fmt::format("no leg of it leads from the runway to {}, where it begins: that is flown on "
                              "radar vectors",
                              legs.front()->fix ? legs.front()->fix->ident : "its first fix"));
            return way;
        }
        if (vectors != legs.end()) {
            const bool goes_on =
                std::any_of(vectors + 1, legs.end(), [](const Leg* leg) { return leg->fix.has_value(); });
            const auto last = std::find_if(std::make_reverse_iterator(vectors), legs.rend(),
                                           [](const Leg* leg) { return leg->fix.has_value(); });
            if (goes_on) {
                block("vectors_between",
                      fmt::format("leg {:03} {} leads to the next fix on radar vectors", (*vectors)->sequence,
                                  navdata::to_text((*vectors)->terminator)));
                return way;
            }
            const bool fix_left = (*vectors)->terminator == PathTerminator::FM && (*vectors)->fix.has_value();
            if (last == legs.rend() && !fix_left) {
                block("vectors_only", "its legs end in radar vectors and reach no fix");
                return way;
            }
            if (last == legs.rend()) {
                block("vectors_only", "it begins with radar vectors");
                return way;
            }
            way.findings.push_back(
                {Grade::warns, "departure.vectors_left_out", name,
                 fmt::format("radar vectors follow {} in the publication: own navigation from there",
                             (*last)->fix->ident),
                 ""});
            legs.erase(last.base(), legs.end());
        }
        while (!legs.empty() && !legs.back()->fix) {
            legs.pop_back();
        }
        if (legs.empty()) {
            block("no_fix", "its legs reach no fix to go on from");
            return way;
        }
        return place(std::move(way), legs, name);
    }

    DepartureWay place(DepartureWay way, const LegList& legs, const std::string& name) const {
        PathContext context;
        context.name = name;
        context.variation = variation_of(world_, airport_).value_or(base::Variation());
        context.airport_elevation = take_off_.elevation;
        context.start = take_off_.place;
        context.procedure = way.procedure;
        context.criteria = criteria_;
        PlacedPath path = place_legs(world_, ground_, aboard_, legs, context);
        way.findings.insert(way.findings.end(), path.findings.begin(), path.findings.end());
        if (!path.flyable() || path.legs.empty() || !path.legs.back().to) {
            if (path.flyable()) {
                way.findings.push_back({Grade::blocks, "departure.no_fix", name,
                                        "its last leg ends at no fix", "own departure"});
            }
            return way;
        }
        ClimbOut out(world_, take_off_, name);
        out.lay(path.legs);
        way.findings.insert(way.findings.end(), out.findings.begin(), out.findings.end());
        way.legs = std::move(out.legs);
        way.end = *way.legs.back().to;
        way.end_track = earth::geodesic(way.legs.back().start, way.legs.back().finish).arrival;
        way.length = out.flown;
        way.end_altitude = out.altitude();
        return way;
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const cockpit::Equipment& aboard_;
    const navdata::Airport& airport_;
    const TakeOff& take_off_;
    radio::Criteria criteria_;
};

}  // namespace

bool DepartureWay::flyable() const {
    return base::verdict_of(findings) != base::Verdict::not_flyable;
}

std::string DepartureWay::name() const {
    return procedure->ident + (transition.empty() ? "" : " via " + transition);
}

std::vector<DepartureWay> departure_ways(const navdata::Snapshot& world, const radio::Ground& ground,
                                         const cockpit::Equipment& aboard, navdata::AirportId airport,
                                         const TakeOff& take_off, radio::Criteria criteria) {
    std::vector<DepartureWay> ways;
    const Surveyor surveyor(world, ground, aboard, airport, take_off, criteria);
    for (const navdata::Procedure* procedure :
         world.procedures_of(world[airport].ident, navdata::ProcedureKind::departure)) {
        surveyor.consider(*procedure, ways);
    }
    return ways;
}

}  // namespace omniway::procedure
