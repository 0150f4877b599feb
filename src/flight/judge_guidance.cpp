#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include <fmt/format.h>

#include "aircraft/turn.hpp"
#include "earth/geodesic.hpp"
#include "earth/same_place.hpp"
#include "flight/climb_overhead.hpp"
#include "flight/detail/judge_rules.hpp"
#include "flight/en_route.hpp"
#include "procedure/hold_limits.hpp"
#include "radio/along_path.hpp"

namespace omniway::flight::detail {

using base::Altitude;
using base::Angle;
using base::Finding;
using base::Grade;
using base::Length;
using navdata::StationId;

namespace {

// Common practice, no source (trade-facts 21).
constexpr Angle steepest_intercept = Angle::degrees(45.0);
constexpr Angle steepest_onto_localizer = Angle::degrees(30.0);
// A heading of a procedure is flown by dead reckoning no farther. TERPS, from memory (trade-facts 21).
constexpr Length longest_procedure_heading = Length::nautical_miles(10.0);
// Ends of what is heard are known to 0.1 NM (radio/along_path.hpp); a changeover is placed by a published tenth.
constexpr Length changeover_tolerance = Length::nautical_miles(0.3);
constexpr Length join_tolerance = Length::metres(1.0);

class Guidance {
public:
    explicit Guidance(const JudgedFlight& judged)
        : judged_(judged), world_(judged.day.world), ground_(judged.day.ground) {}

    Findings result() {
        for (const auto* legs : {&judged_.legs, &judged_.missed}) {
            reckoned_ = Length();
            reckoned_time_ = base::Duration(0.0);
            for (const JudgedLeg& each : *legs) {
                of_leg(each);
            }
        }
        changeovers();
        return std::move(findings_);
    }

private:
    void find(Grade grade, std::string code, const JudgedLeg& each, std::optional<int> step, std::string text,
              std::string remedy = {}) {
        findings_.push_back({grade, std::move(code), each.name(), std::move(text), std::move(remedy), step});
    }

    void of_leg(const JudgedLeg& each) {
        const Leg& leg = *each.leg;
        area_navigation(each);
        Length covered;
        for (std::size_t i = 0; i < leg.stretches.size(); ++i) {
            const Stretch& stretch = leg.stretches[i];
            if (abs(stretch.from - covered) > join_tolerance) {
                gap(each, covered, stretch.from, each.steps[i]);
            }
            covered = stretch.to;
            if (!procedure::can_follow(world_, judged_.day.aircraft.equipment, stretch.guidance)) {
                find(Grade::blocks, "guidance.lacks_receiver", each, each.steps[i],
                     procedure::lack_text(world_, stretch.guidance));
            } else if (std::holds_alternative<procedure::OnHeading>(stretch.guidance)) {
                dead_reckoning(each, i);
                continue;
            } else {
                reception(each, stretch, each.steps[i]);
                station_notes(stretch, each.steps[i]);
            }
            reckoned_ = Length();
            reckoned_time_ = base::Duration(0.0);
        }
        if (leg.length - covered > join_tolerance) {
            gap(each, covered, leg.length, each.last_step());
        }
        const bool own = !leg.published && (leg.phase == Phase::en_route || leg.phase == Phase::arrival);
        if (own && !is_climb_in_hold(leg) &&
            lies_in_cones(world_, ground_, leg, straight(each, Length(), leg.length))) {
            find(Grade::blocks, "guidance.in_cones", each, each.first_step(),
                 fmt::format(
                     "{:.1f} NM from over one aid to over the other, and less than {:.0f} NM between their "
                     "cones of silence",
                     leg.length.nautical_miles(), shortest_guided.nautical_miles()),
                 "cross one of the two alone");
        }
        intercept(each);
    }

    void gap(const JudgedLeg& each, Length from, Length to, std::optional<int> step) {
        find(Grade::blocks, "guidance.gap", each, step,
             fmt::format("nothing guides from {:.1f} to {:.1f} NM", from.nautical_miles(),
                         to.nautical_miles()));
    }

    // Whoever made the flight: its airways are looked up again, by designator, route type and geometry, and its rows by their code.
    void area_navigation(const JudgedLeg& each) {
        const Leg& leg = *each.leg;
        if (leg.coded != nullptr && leg.coded->terminator == navdata::PathTerminator::RF) {
            find(Grade::blocks, "guidance.area_navigation", each, each.first_step(),
                 "a constant-radius turn about a point needs area navigation");
        }
        if (leg.coded != nullptr && leg.published &&
            (leg.coded->terminator == navdata::PathTerminator::FM ||
             leg.coded->terminator == navdata::PathTerminator::VM)) {
            find(Grade::blocks, "guidance.ends_in_vectors", each, each.last_step(),
                 "ends in radar vectors: nothing in the cockpit ends it", "own navigation in their place");
        }
        if (leg.phase != Phase::en_route || !leg.published || !leg.from || !leg.to || !leg.from->point ||
            !leg.to->point) {
            return;
        }
        const Altitude highest = std::max(each.altitude_at(Length()), each.altitude_at_end());
        const auto again = airway_again(leg, highest);
        if (!again || again->leg) {
            return;
        }
        const Finding& why = *again->refused;
        // Receivers and altitudes have rules of their own.
        if (why.code != "airway.lacks_receiver" && why.code != "airway.below_minimum" &&
            why.code != "airway.above_maximum") {
            find(Grade::blocks, why.code, each, each.first_step(), why.text, why.remedy);
        }
    }

    std::optional<LegOrReason> airway_again(const Leg& leg, Altitude altitude) const {
        for (const navdata::Airway& airway : world_.airways()) {
            if (airway.designator != leg.via) {
                continue;
            }
            for (std::size_t i = 0; i < airway.segments.size(); ++i) {
                const navdata::AirwaySegment& segment = airway.segments[i];
                const bool forward = segment.from == *leg.from->point && segment.to == *leg.to->point;
                const bool backward = segment.to == *leg.from->point && segment.from == *leg.to->point;
                if (forward || backward) {
                    return airway_leg(world_, judged_.day.aircraft.equipment, airway, i, forward, altitude);
                }
            }
        }
        return std::nullopt;
    }

    // By heading and time alone, one stretch and the next together.
    void dead_reckoning(const JudgedLeg& each, std::size_t index) {
        const Stretch& stretch = each.leg->stretches[index];
        const std::optional<int> step = each.steps[index];
        const Length flown = stretch.to - stretch.from;
        if (each.leg->published) {
            if (flown > longest_procedure_heading) {
                find(Grade::notes, "guidance.procedure_heading", each, step,
                     fmt::format("{:.1f} NM on heading alone, as coded", flown.nautical_miles()));
            }
            return;
        }
        if (flown <= join_tolerance) {
            return;
        }
        reckoned_ += flown;
        reckoned_time_ += flown / judged_.groundspeed_by_heading(each, index);
        const Settings& settings = judged_.day.settings;
        const Length limit = dead_reckoning_limit(settings, reckoned_ / reckoned_time_);
        if (reckoned_ > limit + join_tolerance) {
            find(Grade::blocks, "guidance.dead_reckoning_too_long", each, step,
                 fmt::format("{:.1f} NM on heading alone, {:.1f} NM allowed", reckoned_.nautical_miles(),
                             limit.nautical_miles()),
                 "a longer dead-reckoning allowance");
        } else if (each.leg->phase != Phase::departure && each.leg->phase != Phase::missed) {
            find(Grade::warns, "guidance.dead_reckoning", each, step,
                 fmt::format("{:.1f} NM on heading alone", flown.nautical_miles()));
        }
    }

    // A heading that ends where the needle of what follows comes to the centre.
    void intercept(const JudgedLeg& each) {
        const Leg& leg = *each.leg;
        const bool by_heading = !leg.stretches.empty() &&
                                std::holds_alternative<procedure::OnHeading>(leg.stretches.back().guidance);
        if (!leg.ending || !std::holds_alternative<procedure::AtIntercept>(*leg.ending) || !by_heading ||
            leg.length <= join_tolerance || each.after == nullptr || each.after->stretches.empty()) {
            return;
        }
        const procedure::Guidance& onto = each.after->stretches.front().guidance;
        if (std::holds_alternative<procedure::OnArc>(onto) ||
            std::holds_alternative<procedure::OnHeading>(onto)) {
            return;
        }
        const Angle angle = abs(each.after->track - judged_.arrival_track(leg));
        const bool localizer = std::holds_alternative<procedure::OnLocalizer>(onto);
        const Angle limit = localizer ? steepest_onto_localizer : steepest_intercept;
        // Headings are read to a degree.
        if (angle > limit + Angle::degrees(0.5)) {
            find(leg.published ? Grade::notes : Grade::blocks, "guidance.intercept_too_steep", each,
                 each.last_step(),
                 fmt::format("meets {} at {:.0f} degrees, {:.0f} at most",
                             localizer ? "the localizer" : "the course", angle.degrees(), limit.degrees()),
                 leg.published ? "" : "a heading that meets it under a smaller angle");
        }
    }

    std::vector<radio::PathPoint> straight(const JudgedLeg& each, Length from, Length to) const {
        std::vector<Length> cuts = {from, to};
        for (const ProfilePoint& point : *each.profile) {
            if (point.along - each.begin > from && point.along - each.begin < to) {
                cuts.push_back(point.along - each.begin);
            }
        }
        std::sort(cuts.begin(), cuts.end());
        std::vector<radio::PathPoint> path;
        for (const Length at : cuts) {
            path.push_back(
                {earth::destination(each.leg->start, each.leg->track, at), at, each.altitude_at(at)});
        }
        return path;
    }

    // Round its station from where it begins, by chords of at most 5 degrees: 0.01 NM inside an arc of 10 NM.
    std::vector<radio::PathPoint> arc(const JudgedLeg& each, const procedure::OnArc& on,
                                      const Stretch& stretch) const {
        const earth::Position centre =
            world_[on.station].dme ? world_[on.station].dme->position : navdata::site(world_[on.station]);
        const base::TrueBearing first = earth::bearing(centre, each.leg->start);
        const double sense = on.clockwise ? 1.0 : -1.0;
        const double swept_rad = (stretch.to - stretch.from) / on.radius;
        const int chords = std::max(1, static_cast<int>(std::ceil(swept_rad / 0.0873)));
        std::vector<radio::PathPoint> path;
        for (int i = 0; i <= chords; ++i) {
            const double share = static_cast<double>(i) / chords;
            const Length at = stretch.from + (stretch.to - stretch.from) * share;
            path.push_back(
                {earth::destination(centre, first + Angle::radians(sense * (at / on.radius)), on.radius), at,
                 each.altitude_at(at)});
        }
        return path;
    }

    // Once about a hold at the height held: two straights, joined across its width.
    std::vector<radio::PathPoint> hold(const JudgedLeg& each, const procedure::AtHold& at_hold) const {
        const Leg& leg = *each.leg;
        const Altitude held = std::max(each.altitude_at_end(), at_hold.altitude.value_or(Altitude()));
        const base::Speed airspeed =
            std::min(aircraft::true_airspeed_cruise(judged_.day.aircraft.performance, held),
                     base::Speed::knots(230.0));
        const bool coded = leg.coded != nullptr && leg.coded->distance && *leg.coded->distance > Length();
        const Length straight =
            coded ? *leg.coded->distance
                  : airspeed * procedure::hold_time(held, judged_.day.settings.criteria).time;
        const Length across = aircraft::planned_turn(airspeed).radius * 2.0;
        const base::TrueBearing inbound = leg.track;
        const base::TrueBearing side =
            inbound + Angle::degrees(at_hold.side == navdata::Turn::left ? -90.0 : 90.0);
        const earth::Position fix = leg.finish;
        const earth::Position outer = earth::destination(fix, inbound.reciprocal(), straight);
        std::vector<radio::PathPoint> path = {{fix, Length(), held}};
        path.push_back({earth::destination(fix, side, across), across, held});
        path.push_back({earth::destination(outer, side, across), across + straight, held});
        path.push_back({outer, across * 2.0 + straight, held});
        path.push_back({fix, across * 2.0 + straight * 2.0, held});
        return path;
    }

    std::vector<radio::PathPoint> path_of(const JudgedLeg& each, const Stretch& stretch) const {
        const Leg& leg = *each.leg;
        if (const auto* on = std::get_if<procedure::OnArc>(&stretch.guidance)) {
            return arc(each, *on, stretch);
        }
        if (const auto* at_hold = leg.ending ? std::get_if<procedure::AtHold>(&*leg.ending) : nullptr;
            at_hold != nullptr && earth::distance(leg.start, leg.finish) < earth::same_place) {
            return hold(each, *at_hold);
        }
        // A procedure turn is flown out and back: the far end is half its length away.
        const bool out_and_back =
            leg.ending && std::holds_alternative<procedure::AtCourseReversed>(*leg.ending);
        return straight(each, stretch.from,
                        std::max(out_and_back ? stretch.to * 0.5 : stretch.to, stretch.from));
    }

    void reception(const JudgedLeg& each, const Stretch& stretch, std::optional<int> step) {
        const StationId id = *procedure::station_of(stretch.guidance);
        const navdata::Station& station = world_[id];
        const bool by_distance = std::holds_alternative<procedure::OnArc>(stretch.guidance);
        const auto part = by_distance ? radio::Part::distance : radio::Part::azimuth;
        const auto path = path_of(each, stretch);
        const auto& all = lost_[&stretch] = radio::lost_along(station, part, path, ground_);
        for (const radio::SilentInterval& lost : all) {
            const std::string text =
                fmt::format("no signal of {} from {:.1f} to {:.1f} NM at {}: {}", station.ident,
                            lost.from.nautical_miles(), lost.to.nautical_miles(),
                            altitudes_text(path, lost.from, lost.to), radio::to_text(lost.why));
            if (each.leg->published) {
                find(Grade::notes, "guidance.published_beyond_model", each, step,
                     text + "; the publication is flight-checked and stands");
            } else {
                find(Grade::blocks, "guidance.not_received", each, step, text, "a higher cruising altitude");
            }
        }
        unknown_ground(each, id, part, path, step);
    }

    static Altitude altitude_on(const std::vector<radio::PathPoint>& path, Length along) {
        for (std::size_t i = 1; i < path.size(); ++i) {
            if (along <= path[i].along) {
                const Length span = path[i].along - path[i - 1].along;
                const double share = span > Length() ? (along - path[i - 1].along) / span : 1.0;
                return path[i - 1].altitude + (path[i].altitude - path[i - 1].altitude) * share;
            }
        }
        return path.back().altitude;
    }

    // "5,000 ft", or "3,000 to 5,000 ft" in climb or descent.
    static std::string altitudes_text(const std::vector<radio::PathPoint>& path, Length from, Length to) {
        const double first_ft = std::round(altitude_on(path, from).feet());
        const double last_ft = std::round(altitude_on(path, to).feet());
        return first_ft == last_ft ? fmt::format("{:.0f} ft", first_ft)
                                   : fmt::format("{:.0f} to {:.0f} ft", first_ft, last_ft);
    }

    // Where the line of sight runs over ground that is not in the atlas, smooth earth stood in for it: said once for a station.
    void unknown_ground(const JudgedLeg& each, StationId id, radio::Part part,
                        const std::vector<radio::PathPoint>& path, std::optional<int> step) {
        if (ground_.mode != radio::ReceptionMode::terrain || ground_asked_.count(id) > 0) {
            return;
        }
        const auto heard = radio::heard_along(world_[id], part, path, ground_);
        if (std::all_of(heard.begin(), heard.end(),
                        [](const auto& each_part) { return each_part.ground_known; })) {
            return;
        }
        ground_asked_.insert(id);
        find(each.leg->published ? Grade::notes : Grade::asks, "guidance.ground_unknown", each, step,
             fmt::format("part of the ground between {} and the aircraft is not in the atlas: a smooth earth "
                         "is taken there",
                         world_[id].ident),
             "import the terrain there");
    }

    void station_notes(const Stretch& stretch, std::optional<int> step) {
        const StationId id = *procedure::station_of(stretch.guidance);
        if (!noted_.insert(id).second) {
            return;
        }
        const navdata::Station& station = world_[id];
        const auto say = [&](Grade grade, std::string code, std::string text, std::string remedy) {
            findings_.push_back(
                {grade, std::move(code), station.ident, std::move(text), std::move(remedy), step});
        };
        if (radio::class_is_assumed(station)) {
            say(Grade::notes, "station.class_unknown",
                "its service class is not in the data: the smallest of its kind is taken", "");
        }
        if (ground_.mode != radio::ReceptionMode::volume && navdata::ndb(station) == nullptr &&
            radio::antenna_site(station, radio::Part::azimuth, ground_.terrain).ground_from ==
                radio::SiteGround::not_known) {
            say(Grade::notes, "station.site_height_unknown",
                "how high it stands is neither in its record nor known from terrain: sea level is taken",
                "import the terrain there");
        }
        const auto* azimuth = navdata::vor(station);
        if (azimuth != nullptr &&
            azimuth->declination_from == navdata::DeclinationFrom::model_at_source_date) {
            say(Grade::warns, "station.declination_unknown",
                "its declination is not in the data: the variation at the date of the source is taken, and "
                "its radials may be "
                "off by some degrees",
                "take its radials from the chart");
        }
    }

    // A stretch of an airway between two aids, with the leg it lies on.
    struct Half {
        const JudgedLeg* each;
        const Stretch* stretch;
        std::optional<int> step;
        StationId station;
    };

    // On an airway the rule places the changeover (14 CFR 95.8001); where the model would have it elsewhere, that is said. Off the
    // airways reception has decided it already.
    void changeovers() {
        std::optional<Half> before;
        for (const JudgedLeg& each : judged_.legs) {
            for (std::size_t i = 0; i < each.leg->stretches.size(); ++i) {
                const Stretch& stretch = each.leg->stretches[i];
                const auto station = procedure::station_of(stretch.guidance);
                if (each.leg->phase != Phase::en_route || !each.leg->published || !station) {
                    before.reset();
                    continue;
                }
                const Half now{&each, &stretch, each.steps[i], *station};
                if (before && before->station != now.station && before->each->leg->via == each.leg->via) {
                    forced(*before, now, *before, now.station, true);
                    forced(*before, now, now, before->station, false);
                }
                before = now;
            }
        }
    }

    // Whether the one aid is lost up to the changeover (or from it on) while the other would be heard there.
    void forced(const Half& before, const Half& after, const Half& lost_on, StationId other, bool earlier) {
        for (const radio::SilentInterval& lost : lost_[lost_on.stretch]) {
            const bool at_change = earlier ? lost.to + changeover_tolerance > lost_on.stretch->to
                                           : lost.from < lost_on.stretch->from + changeover_tolerance;
            if (!at_change || lost.to - lost.from < changeover_tolerance ||
                !radio::lost_along(world_[other], radio::Part::azimuth,
                                   straight(*lost_on.each, lost.from, lost.to), ground_)
                     .empty()) {
                continue;
            }
            find(Grade::warns, "guidance.changeover_forced", *lost_on.each, lost_on.step,
                 fmt::format("changes over from {} to {} by the rule, where {} is not heard for {:.1f} NM {} "
                             "it, and {} is: {}",
                             world_[before.station].ident, world_[after.station].ident,
                             world_[lost_on.station].ident, (lost.to - lost.from).nautical_miles(),
                             earlier ? "before" : "after", world_[other].ident, radio::to_text(lost.why)),
                 "a published changeover point, or a higher altitude");
        }
    }

    const JudgedFlight& judged_;
    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    Length reckoned_;
    base::Duration reckoned_time_{0.0};
    Findings findings_;
    std::map<const Stretch*, std::vector<radio::SilentInterval>> lost_;  // by reception()
    std::set<StationId> noted_;
    std::set<StationId> ground_asked_;
};

}  // namespace

Findings guidance_findings(const JudgedFlight& judged) {
    return Guidance(judged).result();
}

}  // namespace omniway::flight::detail
