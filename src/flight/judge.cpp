#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "fixing/telling.hpp"
#include "flight/altitude_checks.hpp"
#include "flight/climb_overhead.hpp"
#include "flight/en_route.hpp"
#include "flight/flight.hpp"
#include "flight/missed_approach.hpp"
#include "flight/runway_choice.hpp"
#include "procedure/climb.hpp"
#include "procedure/vertical.hpp"
#include "radio/along_path.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;

namespace {

std::string leg_name(const Leg& leg) {
    if (leg.from && leg.to && leg.from->ident == leg.to->ident) {
        return fmt::format("{} at {}", leg.via, leg.to->ident);
    }
    return leg.via + (leg.from ? " from " + leg.from->ident : std::string()) +
           (leg.to ? " to " + leg.to->ident : std::string());
}

class Judge {
public:
    Judge(const navdata::Snapshot& world, const radio::Ground& ground, const aircraft::Aircraft& aircraft,
          const Settings& settings, const weather::Wind& wind, const Flight& flight)
        : world_(world),
          ground_(ground),
          aircraft_(aircraft),
          settings_(settings),
          wind_(wind),
          flight_(flight) {}

    std::vector<Finding> result() {
        findings_ = flight_.from_procedure;
        Length along;
        for (const Leg& leg : flight_.legs) {
            guidance(leg, along);
            ending(leg, along);
            altitude(leg, along);
            along += leg.length;
        }
        for (Finding& finding : altitude_checks(world_, aircraft_, wind_, flight_)) {
            findings_.push_back(std::move(finding));
        }
        own_missed();
        own_departure();
        cruise();
        runways();
        if (flight_.approach.empty()) {
            find(Grade::asks, "arrival.no_procedure", arrival(),
                 "arrives without a procedure: a minimum for the descent is needed");
        } else {
            minima();
        }
        base::rank(findings_);
        return std::move(findings_);
    }

private:
    void find(Grade grade, std::string code, std::string about, std::string text, std::string remedy = {}) {
        findings_.push_back({grade, std::move(code), std::move(about), std::move(text), std::move(remedy)});
    }
    const std::string& arrival() const { return world_[flight_.arrival].ident; }
    Altitude altitude_at(Length along) const { return altitude_along(*profile_, along); }

    base::Speed groundspeed(const Leg& leg, Altitude altitude) const {
        const base::Speed airspeed = aircraft::true_airspeed_cruise(aircraft_.performance, altitude);
        const auto held = aircraft::hold_course(leg.track, airspeed, wind_);
        return held ? held->groundspeed : base::Speed::knots(1.0);
    }

    void guidance(const Leg& leg, Length along) {
        Length covered;
        for (const Stretch& stretch : leg.stretches) {
            if (abs(stretch.from - covered) > Length::metres(1.0)) {
                find(Grade::blocks, "guidance.gap", leg_name(leg),
                     fmt::format("nothing guides from {:.1f} to {:.1f} NM", covered.nautical_miles(),
                                 stretch.from.nautical_miles()));
            }
            covered = stretch.to;
            if (!procedure::can_follow(world_, aircraft_.equipment, stretch.guidance)) {
                find(Grade::blocks, "guidance.lacks_receiver", leg_name(leg),
                     procedure::lack_text(world_, stretch.guidance));
                continue;
            }
            if (std::holds_alternative<procedure::OnHeading>(stretch.guidance)) {
                dead_reckoning(leg, stretch, along);
            } else {
                reception(leg, stretch, along);
                station_notes(stretch);
            }
        }
        if (leg.length - covered > Length::metres(1.0)) {
            find(Grade::blocks, "guidance.gap", leg_name(leg),
                 fmt::format("nothing guides from {:.1f} to {:.1f} NM", covered.nautical_miles(),
                             leg.length.nautical_miles()));
        }
    }

    void dead_reckoning(const Leg& leg, const Stretch& stretch, Length along) {
        if (leg.published) {
            return;  // coded headings of a procedure end in what the procedure says
        }
        const Altitude level = altitude_at(along + stretch.from);
        const Length limit = dead_reckoning_limit(settings_, groundspeed(leg, level));
        const Length flown = stretch.to - stretch.from;
        if (flown > limit + Length::metres(1.0)) {
            find(Grade::blocks, "guidance.dead_reckoning_too_long", leg_name(leg),
                 fmt::format("{:.1f} NM on heading alone, {:.1f} NM allowed", flown.nautical_miles(),
                             limit.nautical_miles()),
                 "a longer dead-reckoning allowance");
        } else if (leg.phase != Phase::departure) {
            find(Grade::warns, "guidance.dead_reckoning", leg_name(leg),
                 fmt::format("{:.1f} NM on heading alone", flown.nautical_miles()));
        }
    }

    // The stretch as it is flown, with every bend of the profile; an arc is followed round its station.
    std::vector<radio::PathPoint> path_of(const Leg& leg, const Stretch& stretch, Length end,
                                          Length along) const {
        std::vector<Length> cuts = {stretch.from, end};
        for (const ProfilePoint& point : *profile_) {
            if (point.along - along > stretch.from && point.along - along < end) {
                cuts.push_back(point.along - along);
            }
        }
        std::sort(cuts.begin(), cuts.end());
        std::vector<radio::PathPoint> path;
        for (const Length at : cuts) {
            path.push_back({earth::destination(leg.start, leg.track, at), at, altitude_at(along + at)});
        }
        return path;
    }

    void reception(const Leg& leg, const Stretch& stretch, Length along) {
        if (std::holds_alternative<procedure::OnArc>(stretch.guidance)) {
            return;  // published with its station's distance; its curve is not laid out here
        }
        const auto station = procedure::station_of(stretch.guidance);
        if (is_climb_in_hold(leg)) {
            return;  // within five miles of the aid that led to it
        }
        // A procedure turn is flown out and back: the far end is half its length away.
        const bool out_and_back =
            leg.ending && std::holds_alternative<procedure::AtCourseReversed>(*leg.ending);
        const Length end = std::max(out_and_back ? stretch.to * 0.5 : stretch.to, stretch.from);
        const auto path = path_of(leg, stretch, end, along);
        for (const radio::SilentInterval& lost :
             radio::lost_along(world_[*station], radio::Part::azimuth, path, ground_)) {
            const std::string text =
                fmt::format("no signal of {} from {:.1f} to {:.1f} NM at {}: {}", world_[*station].ident,
                            lost.from.nautical_miles(), lost.to.nautical_miles(),
                            altitudes_text(along + lost.from, along + lost.to), radio::to_text(lost.why));
            if (leg.published) {
                find(Grade::notes, "guidance.published_beyond_model", leg_name(leg),
                     text + "; the publication is flight-checked and stands");
            } else {
                find(Grade::blocks, "guidance.not_received", leg_name(leg), text,
                     "a higher cruising altitude");
            }
        }
        unknown_ground(leg, *station, path);
    }

    // "5,000 ft", or "3,000 to 5,000 ft" in climb or descent.
    std::string altitudes_text(Length from, Length to) const {
        const double first_ft = std::round(altitude_at(from).feet());
        const double last_ft = std::round(altitude_at(to).feet());
        return first_ft == last_ft ? fmt::format("{:.0f} ft", first_ft)
                                   : fmt::format("{:.0f} to {:.0f} ft", first_ft, last_ft);
    }

    // Where the line of sight runs over ground that is not in the atlas, smooth earth stood in for it: said once for a station.
    void unknown_ground(const Leg& leg, navdata::StationId station,
                        const std::vector<radio::PathPoint>& path) {
        if (ground_.mode != radio::ReceptionMode::terrain || ground_asked_.count(station) > 0) {
            return;
        }
        const auto heard = radio::heard_along(world_[station], radio::Part::azimuth, path, ground_);
        if (std::all_of(heard.begin(), heard.end(), [](const auto& part) { return part.ground_known; })) {
            return;
        }
        ground_asked_.insert(station);
        find(leg.published ? Grade::notes : Grade::asks, "guidance.ground_unknown", leg_name(leg),
             fmt::format("part of the ground between {} and the aircraft is not in the atlas: a smooth earth "
                         "is taken there",
                         world_[station].ident),
             "import the terrain there");
    }

    void station_notes(const Stretch& stretch) {
        const auto id = *procedure::station_of(stretch.guidance);
        if (!noted_.insert(id).second) {
            return;
        }
        const navdata::Station& station = world_[id];
        if (radio::class_is_assumed(station)) {
            find(Grade::notes, "station.class_unknown", station.ident,
                 "its service class is not in the data: the smallest of its kind is taken");
        }
        if (ground_.mode != radio::ReceptionMode::volume && navdata::ndb(station) == nullptr &&
            radio::antenna_site(station, radio::Part::azimuth, ground_.terrain).ground_from ==
                radio::SiteGround::not_known) {
            find(Grade::notes, "station.site_height_unknown", station.ident,
                 "how high it stands is neither in its record nor known from terrain: sea level is taken",
                 "import the terrain there");
        }
        const auto* azimuth = navdata::vor(station);
        if (azimuth != nullptr &&
            azimuth->declination_from == navdata::DeclinationFrom::model_at_source_date) {
            find(Grade::warns, "station.declination_unknown", station.ident,
                 "its declination is not in the data: the variation at the date of the source is taken, and "
                 "its radials may be "
                 "off by some degrees",
                 "take its radials from the chart");
        }
    }

    void ending(const Leg& leg, Length along) {
        const auto* at_fix = leg.ending ? std::get_if<procedure::AtFix>(&*leg.ending) : nullptr;
        const bool judged_before = leg.phase == Phase::approach && leg.published;
        if (at_fix == nullptr || judged_before || leg.stretches.empty()) {
            return;  // fixes of a published procedure were judged with their legs
        }
        fixing::FixQuestion question;
        question.fix = leg.finish;
        question.altitude = altitude_at(along + leg.length);
        question.track = leg.arrival;
        question.guided_by = procedure::station_of(leg.stretches.back().guidance);
        question.criteria = settings_.criteria;
        if (const auto station = way_station(at_fix->telling.way)) {
            question.published_aids.push_back(*station);
        }
        const auto found = fixing::tellings(world_, ground_, aircraft_.equipment, question);
        if (found.ways.empty()) {
            find(Grade::blocks, "fix.not_told", at_fix->fix.ident,
                 found.refused.empty() ? "no aid gives a second line there"
                                       : fixing::to_text(world_, found.refused.front()));
        }
    }

    static std::optional<navdata::StationId> way_station(const fixing::Way& way) {
        return std::visit([](const auto& w) { return w.station; }, way);
    }

    void altitude(const Leg& leg, Length along) {
        const bool own_in_procedure = leg.phase == Phase::approach && !leg.published;
        const bool has_minimum =
            leg.phase == Phase::en_route || leg.phase == Phase::arrival || own_in_procedure;
        if (!has_minimum || is_climb_in_hold(leg)) {
            return;
        }
        if (!leg.minimum.altitude) {
            if (leg.minimum.from == MinimumFrom::published_unknown || leg.published) {
                find(Grade::asks, "altitude.minimum_unknown", leg_name(leg),
                     "its minimum altitude is not published", "take it from the chart");
            } else {
                std::string text = "no minimum is published off the airways here";
                if (leg.minimum.ground_unknown) {
                    text += ", and the ground is not known under all of it";
                }
                const bool first = !asked_off_airway_;
                asked_off_airway_ = true;
                find(Grade::asks, "altitude.off_airway_minimum", leg_name(leg), std::move(text),
                     first ? "--minimum FT gives one" : "");
            }
            return;
        }
        const Length margin = Length::feet(1.0);
        const Altitude at_start = altitude_at(along);
        const Altitude at_end = altitude_at(along + leg.length);
        if (at_end + margin < *leg.minimum.altitude) {
            find(Grade::blocks, "altitude.below_minimum", leg_name(leg),
                 fmt::format("{:.0f} ft is flown, its minimum is {:.0f} ft", at_end.feet(),
                             leg.minimum.altitude->feet()));
        } else if (at_start + margin < *leg.minimum.altitude) {
            // Where an aid stands at its beginning or before it, a climb overhead was put in (flight/climb_overhead.hpp).
            find(Grade::blocks, "altitude.climb_overhead", leg_name(leg),
                 fmt::format("begins at {:.0f} ft in the climb, its minimum is {:.0f} ft, and over no aid "
                             "before it is the rest climbed",
                             at_start.feet(), leg.minimum.altitude->feet()));
        }
        if (leg.maximum && std::max(at_start, at_end) > *leg.maximum) {
            find(Grade::blocks, "altitude.above_maximum", leg_name(leg),
                 fmt::format("{:.0f} ft is flown, its maximum is {:.0f} ft",
                             std::max(at_start, at_end).feet(), leg.maximum->feet()));
        }
    }

    // A missed approach of one's own is judged as any other way off the airways; a published one was with its procedure.
    void own_missed() {
        if (flight_.missed_profile.empty()) {
            return;
        }
        profile_ = &flight_.missed_profile;
        std::vector<Leg> own;
        Length along;
        for (const Leg& leg : flight_.missed) {
            if (!leg.published) {
                guidance(leg, along);
                ending(leg, along);
                along += leg.length;
                own.push_back(leg);
            }
        }
        if (!own.empty()) {
            missed_hold(own.back(), altitude_at(along));
            missed_climb(own);
        }
        profile_ = &flight_.profile;
    }

    void missed_hold(const Leg& hold, Altitude arriving) {
        const auto* at_hold = hold.ending ? std::get_if<procedure::AtHold>(&*hold.ending) : nullptr;
        const Altitude held =
            at_hold != nullptr && at_hold->altitude ? std::max(arriving, *at_hold->altitude) : arriving;
        if (!hold.minimum.altitude) {
            find(Grade::asks, "missed.minimum_unknown", leg_name(hold),
                 fmt::format("holds at {:.0f} ft, and neither the ground nor a publication gives a minimum "
                             "there",
                             held.feet()),
                 "--minimum FT gives one");
        } else if (held + Length::feet(1.0) < *hold.minimum.altitude) {
            find(Grade::blocks, "altitude.below_minimum", leg_name(hold),
                 fmt::format("{:.0f} ft is held, its minimum is {:.0f} ft", held.feet(),
                             hold.minimum.altitude->feet()));
        }
    }

    void missed_climb(const std::vector<Leg>& own) {
        const ClimbOverGround climb = climb_over_ground(ground_.terrain, own, flight_.missed_profile);
        if (climb.below) {
            find(Grade::blocks, "missed.too_low", flight_.approach,
                 fmt::format("the climb of the own missed approach is at {:.0f} ft {:.1f} NM on, over ground "
                             "of {:.0f} ft",
                             climb.below->flown.feet(), climb.below->along.nautical_miles(),
                             climb.below->ground.feet()));
        }
        find(Grade::asks, "missed.obstacles", flight_.approach,
             climb.ground_known
                 ? "the climb of the own missed approach clears the ground; what stands on it nobody has "
                   "surveyed for this plan"
                 : "nobody has surveyed ground and obstacles under the climb of the own missed approach for "
                   "this plan",
             "an obstacle survey, or equipment for the published missed approach");
    }

    void minima() {
        if (!flight_.minimum) {
            find(Grade::asks, "approach.minima_unknown", flight_.approach,
                 flight_.landing == procedure::Landing::circling ? "its circling minima are not in the data"
                                                                 : "its minima are not in the data",
                 "read them from the chart; --minima FILE takes them");
        }
        if (flight_.landing == procedure::Landing::circling && flight_.arrival_runway) {
            const auto category = aircraft::approach_category(aircraft_.performance.approach_speed);
            find(Grade::notes, "approach.circling", flight_.approach,
                 fmt::format("circle to {} within {:.1f} NM of the runways (category {}), not below the "
                             "circling minimum until lined up",
                             world_[*flight_.arrival_runway].ident,
                             procedure::circling_radius(category).nautical_miles(),
                             aircraft::letter(category)));
        }
    }

    // A published departure has been surveyed; an own one has not.
    void own_departure() {
        if (!flight_.sid.empty()) {
            return;
        }
        const navdata::Runway& runway = world_[flight_.departure_runway];
        turn_height(runway);
        climb_gradient(runway);
        find(Grade::asks, "departure.obstacles", runway.airport + " " + runway.ident,
             "own departure: straight ahead to 400 ft, then 200 ft/NM at least over a 40:1 surface that "
             "nobody has surveyed for "
             "this plan",
             "an obstacle survey, or the published departure of the airport");
    }

    void climb_gradient(const navdata::Runway& runway) {
        if (flight_.legs.empty()) {
            return;
        }
        const double gradient =
            procedure::first_gradient_ft_per_nm({&aircraft_.performance, wind_}, flight_.legs.front().track,
                                                world_[flight_.departure].elevation.value_or(Altitude()));
        if (gradient < procedure::least_climb.feet_per_nautical_mile()) {
            find(Grade::blocks, "departure.climb_too_shallow", runway.airport + " " + runway.ident,
                 fmt::format("climbs {:.0f} ft/NM in this wind, {:.0f} is the least of any departure",
                             gradient, procedure::least_climb.feet_per_nautical_mile()));
        }
    }

    void turn_height(const navdata::Runway& runway) {
        const Altitude field = world_[flight_.departure].elevation.value_or(Altitude());
        const auto* first = flight_.legs.empty() || !flight_.legs.front().ending
                                ? nullptr
                                : std::get_if<procedure::AtAltitude>(&*flight_.legs.front().ending);
        if (first != nullptr && first->altitude + Length::feet(1.0) < field + procedure::lowest_turn) {
            find(Grade::blocks, "departure.turn_too_low", runway.airport + " " + runway.ident,
                 fmt::format("turns at {:.0f} ft, {:.0f} ft above the field: no turn below 400 ft above it",
                             first->altitude.feet(), (first->altitude - field).feet()));
        }
    }

    void cruise() {
        if (flight_.cruise > aircraft_.performance.service_ceiling) {
            find(Grade::blocks, "altitude.above_ceiling", aircraft_.name,
                 fmt::format("{:.0f} ft is above its ceiling of {:.0f} ft", flight_.cruise.feet(),
                             aircraft_.performance.service_ceiling.feet()));
        }
    }

    void runways() {
        for (const bool departing : {true, false}) {
            const auto id = departing ? std::optional(flight_.departure_runway) : flight_.arrival_runway;
            if (!id) {
                continue;
            }
            const RunwayFit fit = runway_fit(world_, aircraft_, wind_, *id, departing);
            findings_.insert(findings_.end(), fit.findings.begin(), fit.findings.end());
        }
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const aircraft::Aircraft& aircraft_;
    const Settings& settings_;
    const weather::Wind& wind_;
    const Flight& flight_;
    const std::vector<ProfilePoint>* profile_ = &flight_.profile;
    std::vector<Finding> findings_;
    std::set<navdata::StationId> noted_;
    std::set<navdata::StationId> ground_asked_;
    bool asked_off_airway_ = false;
};

}  // namespace

std::vector<Finding> judge(const navdata::Snapshot& world, const radio::Ground& ground,
                           const aircraft::Aircraft& aircraft, const Settings& settings,
                           const weather::Wind& wind, const Flight& flight) {
    return Judge(world, ground, aircraft, settings, wind, flight).result();
}

}  // namespace omniway::flight
