#include "flight/intercept.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "aircraft/performance.hpp"
#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "fixing/telling.hpp"
#include "flight/en_route.hpp"
#include "flight/off_airway_minimum.hpp"
#include "flight/radial_fix.hpp"
#include "procedure/reversal_rules.hpp"
#include "radio/along_path.hpp"

namespace omniway::flight {

using base::Angle;
using base::Finding;
using base::Grade;
using base::Length;
using navdata::StationId;
using procedure::PlacedFix;

namespace {

constexpr Length established = Length::nautical_miles(2.0);  // on the line before its end
constexpr Length on_it = Length::nautical_miles(0.3);
constexpr Length at_the_aid = Length::nautical_miles(0.05);

struct Angles {
    Angle least;
    Angle most;
};
constexpr Angles onto_radial{Angle::degrees(30.0), Angle::degrees(45.0)};
constexpr Angles onto_localizer{Angle::degrees(20.0), Angle::degrees(30.0)};

class Intercept {
public:
    Intercept(const Circumstances& day, const InterceptQuestion& question)
        : day_(day),
          world_(day.world),
          question_(question),
          angles_(std::holds_alternative<procedure::OnLocalizer>(question.onto) ? onto_localizer
                                                                                : onto_radial) {}

    LegsOrReason result() {
        const auto aid = procedure::station_of(question_.onto);
        if (!aid || std::holds_alternative<procedure::OnArc>(question_.onto)) {
            return refused("no_heading", "no radial, bearing or localizer is to be met");
        }
        aid_ = *aid;
        if (!procedure::can_follow(world_, day_.aircraft.equipment, question_.onto)) {
            return refused("lacks_receiver", procedure::lack_text(world_, question_.onto));
        }
        lay_line();
        const earth::AlongAcross from =
            earth::along_across(question_.to.position, earth::destination(question_.to.position, back_, far),
                                question_.from.position);
        const Length aside = abs(from.across);
        if (aside < on_it) {
            return refused("no_heading", fmt::format("{} stands on the line", question_.from.ident));
        }
        // Under the steepest angle the heading is shortest; no wind gives it more than the settings' distance.
        const Length least = aside * (1.0 / base::sin(angles_.most));
        const Length allowed = day_.settings.dead_reckoning_distance - question_.reckoned;
        if (least > allowed) {
            return too_long(least, allowed);
        }
        const Length farthest = from.along - aside * (1.0 / base::tan(angles_.most));
        const Length nearest = from.along - aside * (1.0 / base::tan(angles_.least));
        return first_that_serves(std::max(nearest, established), farthest);
    }

private:
    static constexpr Length far = Length::nautical_miles(60.0);

    LegsOrReason refused(const char* code, std::string text, std::string remedy = {}) const {
        return {{},
                Finding{Grade::blocks, std::string("intercept.") + code,
                        fmt::format("heading from {} to {} {}", question_.from.ident,
                                    aid_ ? navdata::kind_text(world_[*aid_]) : std::string("nothing"),
                                    aid_ ? world_[*aid_].ident : std::string()),
                        std::move(text), std::move(remedy)}};
    }
    LegsOrReason too_long(Length flown, Length allowed) const {
        return refused("too_long",
                       fmt::format("{:.1f} NM on heading alone, {:.1f} NM allowed", flown.nautical_miles(),
                                   std::max(allowed, Length()).nautical_miles()),
                       "a longer dead-reckoning allowance");
    }

    // Back along the line from its end, and where the aid stands on it: ahead of the end, at it, or behind it.
    void lay_line() {
        const earth::Position end = question_.to.position;
        const earth::Geodesic from_aid = earth::geodesic(navdata::site(world_[*aid_]), end);
        toward_ = leads_in();
        if (from_aid.distance > at_the_aid) {
            const base::TrueBearing to_aid = from_aid.arrival.reciprocal();
            back_ = toward_ ? to_aid.reciprocal() : to_aid;
            end_from_aid_ = from_aid.distance;
        } else {
            back_ = outward();
        }
    }

    bool leads_in() const {
        const auto* radial = std::get_if<procedure::OnRadial>(&question_.onto);
        const auto* beacon = std::get_if<procedure::OnBeacon>(&question_.onto);
        const auto* localizer = std::get_if<procedure::OnLocalizer>(&question_.onto);
        return (radial != nullptr && radial->toward) || (beacon != nullptr && beacon->toward) ||
               (localizer != nullptr && localizer->toward);
    }

    // Out from the aid along the line by which it is flown to.
    base::TrueBearing outward() const {
        if (const auto* radial = std::get_if<procedure::OnRadial>(&question_.onto)) {
            const base::TrueBearing set =
                base::to_true(radial->course, navdata::vor(world_[*aid_])->declination);
            return radial->toward ? set.reciprocal() : set;
        }
        if (const auto* beacon = std::get_if<procedure::OnBeacon>(&question_.onto)) {
            return beacon->toward ? beacon->track.reciprocal() : beacon->track;
        }
        const auto& on = std::get<procedure::OnLocalizer>(question_.onto);
        const auto* azimuth = navdata::localizer(world_[*aid_]);
        const base::TrueBearing front = base::to_true(azimuth->course, azimuth->declination).reciprocal();
        return on.back_course ? front.reciprocal() : front;
    }

    // Where the line is met so far before its end: of a VOR or a beacon the nearest place that item 15 can name.
    std::optional<PlacedFix> meeting(Length before) const {
        const earth::Position place = earth::destination(question_.to.position, back_, before);
        if (navdata::localizer(world_[*aid_]) != nullptr) {
            return PlacedFix{"", place, std::nullopt, true};
        }
        return nearest_radial_fix(world_, day_.model, day_.today, *aid_, place);
    }

    // From the farthest on: there the heading is steepest, and the shortest.
    LegsOrReason first_that_serves(Length nearest, Length farthest) {
        constexpr Length mile = Length::nautical_miles(1.0);
        std::optional<LegsOrReason> why;
        // A whole mile from the aid lies at this remainder before the end.
        const double offset_nm = std::fmod(end_from_aid_.nautical_miles(), 1.0);
        const double phase_nm = toward_ ? 1.0 - offset_nm : offset_nm;
        const double first_nm = std::floor(farthest.nautical_miles() + 0.5 - phase_nm) + phase_nm;
        for (Length before = Length::nautical_miles(first_nm); before > nearest - mile * 0.5;
             before = before - mile) {
            const bool outside =
                !toward_ && before > end_from_aid_ - mile * 0.5 && end_from_aid_ > at_the_aid;
            const auto place = outside || before < established ? std::nullopt : meeting(before);
            if (!place) {
                continue;
            }
            LegsOrReason made = met_at(*place);
            if (!made.legs.empty()) {
                return made;
            }
            if (!why || why->refused->code == "intercept.no_heading") {
                why = std::move(made);
            }
        }
        return why ? *why
                   : refused("no_heading",
                             fmt::format("no heading meets the line under {:.0f} to {:.0f} degrees at least "
                                         "{:.0f} NM before {}",
                                         angles_.least.degrees(), angles_.most.degrees(),
                                         established.nautical_miles(), question_.to.ident));
    }

    LegsOrReason met_at(const PlacedFix& place) const {
        Leg on_line = straight_leg(place, question_.to);
        Leg by_heading = straight_leg(question_.from, place);
        const Angle angle = abs(on_line.track - by_heading.arrival);
        if (angle < angles_.least || angle > angles_.most) {
            return refused("no_heading",
                           fmt::format("meets the line at {:.0f} degrees: {:.0f} to {:.0f} allowed",
                                       angle.degrees(), angles_.least.degrees(), angles_.most.degrees()));
        }
        if (on_line.length < established) {
            return refused("no_heading", fmt::format("meets the line {:.1f} NM before {}, {:.0f} at least",
                                                     on_line.length.nautical_miles(), question_.to.ident,
                                                     established.nautical_miles()));
        }
        if (question_.arriving &&
            abs(by_heading.track - *question_.arriving) > procedure::largest_turn_at_fix) {
            return refused("no_heading",
                           fmt::format("{:.0f} degrees are turned onto the heading, {:.0f} at most",
                                       abs(by_heading.track - *question_.arriving).degrees(),
                                       procedure::largest_turn_at_fix.degrees()));
        }
        const auto line = procedure::guidance_along(world_, *aid_, place.position, question_.to.position);
        if (!line || line->index() != question_.onto.index()) {
            return refused("no_heading", fmt::format("{} does not lie on the line that leads to {}",
                                                     place.ident, question_.to.ident));
        }
        if (auto why = cannot_reckon(by_heading)) {
            return *why;
        }
        if (!place.ident.empty() && !question_.climb &&
            !is_flown_by_heading(day_, question_.from, place, question_.altitude)) {
            return refused("no_heading", fmt::format("an aid's own line leads to {}", place.ident));
        }
        on_line.stretches = stretches_on(place, *line, on_line.length);
        if (auto why = not_heard(on_line, by_heading.length)) {
            return *why;
        }
        by_heading.stretches = {{Length(), by_heading.length, procedure::OnHeading{by_heading.track}}};
        by_heading.ending = procedure::AtIntercept{};
        if (place.ident.empty()) {
            by_heading.to.reset();
            on_line.from.reset();
        }
        return with_minimums(std::move(by_heading), std::move(on_line));
    }

    // As whoever reads the place by its name is guided from it on (guided_leg), so that both fly one leg: an aid at the end of the line
    // takes over midway. The line is met by its own aid's needle, and no part of it is flown by heading.
    std::vector<Stretch> stretches_on(const PlacedFix& place, const procedure::Guidance& line,
                                      Length length) const {
        Settings heard_throughout = day_.settings;
        heard_throughout.dead_reckoning_distance = Length();
        LegOrReason made = guided_leg(world_, day_.ground, day_.aircraft.equipment, heard_throughout, place,
                                      question_.to, question_.altitude, base::Speed::knots(1.0));
        if (made.leg && procedure::station_of(made.leg->stretches.front().guidance) == aid_) {
            return std::move(made.leg->stretches);
        }
        return {{Length(), length, line}};
    }

    std::optional<LegsOrReason> not_heard(const Leg& on_line, Length begins) const {
        constexpr Length touching = Length::metres(1.0);
        const auto path = path_along(on_line, begins);
        for (const Stretch& stretch : on_line.stretches) {
            const StationId guiding = *procedure::station_of(stretch.guidance);
            for (const auto& lost :
                 radio::lost_along(world_[guiding], radio::Part::azimuth, path, day_.ground)) {
                if (std::min(lost.to, stretch.to) - std::max(lost.from, stretch.from) > touching) {
                    return refused("no_signal",
                                   fmt::format("no signal from {:.1f} to {:.1f} NM along the line at {:.0f} "
                                               "ft: {}",
                                               lost.from.nautical_miles(), lost.to.nautical_miles(),
                                               question_.altitude.feet(), radio::to_text(lost.why)),
                                   "a higher cruising altitude");
                }
            }
        }
        return std::nullopt;
    }

    base::Altitude altitude_at(Length from_start) const {
        return question_.climb ? question_.climb(from_start) : question_.altitude;
    }

    // In the climb by half miles.
    std::vector<radio::PathPoint> path_along(const Leg& line, Length begins) const {
        const int parts =
            question_.climb ? static_cast<int>(std::ceil(line.length.nautical_miles() * 2.0)) : 1;
        std::vector<radio::PathPoint> path;
        for (int i = 0; i <= parts; ++i) {
            const Length at = line.length * (static_cast<double>(i) / parts);
            path.push_back({earth::destination(line.start, line.track, at), at, altitude_at(begins + at)});
        }
        return path;
    }

    std::optional<LegsOrReason> cannot_reckon(const Leg& by_heading) const {
        const base::Speed airspeed =
            aircraft::true_airspeed_cruise(day_.aircraft.performance, altitude_at(Length()));
        const auto held =
            aircraft::hold_course(by_heading.track, airspeed, day_.winds.at(altitude_at(Length())));
        if (!held) {
            return refused("wind_too_strong", "no heading holds that track in this wind");
        }
        const Length allowed = dead_reckoning_limit(day_.settings, held->groundspeed) - question_.reckoned;
        return by_heading.length > allowed ? std::optional(too_long(by_heading.length, allowed))
                                           : std::nullopt;
    }

    LegsOrReason with_minimums(Leg by_heading, Leg on_line) const {
        for (Leg* leg : {&by_heading, &on_line}) {
            leg->minimum = off_airway_minimum(world_, day_.ground, day_.settings, leg->start, leg->finish,
                                              leg->stretches);
            if (!question_.climb && leg->minimum.altitude && question_.altitude < *leg->minimum.altitude) {
                return refused("below_minimum",
                               fmt::format("has its minimum at {:.0f} ft, {:.0f} ft is asked",
                                           leg->minimum.altitude->feet(), question_.altitude.feet()),
                               fmt::format("cruise at {:.0f} ft or higher", leg->minimum.altitude->feet()));
            }
        }
        return {{std::move(by_heading), std::move(on_line)}, std::nullopt};
    }

    const Circumstances& day_;
    const navdata::Snapshot& world_;
    const InterceptQuestion& question_;
    Angles angles_;
    std::optional<StationId> aid_;
    Length end_from_aid_;
    base::TrueBearing back_;
    bool toward_ = false;
};

}  // namespace

LegsOrReason intercept_legs(const Circumstances& circumstances, const InterceptQuestion& question) {
    return Intercept(circumstances, question).result();
}

bool is_flown_by_heading(const Circumstances& day, const PlacedFix& from, const PlacedFix& place,
                         base::Altitude altitude) {
    const std::vector<StationId> named = named_from(day.world, place);
    const earth::Geodesic line = earth::geodesic(from.position, place.position);
    const base::Speed airspeed = aircraft::true_airspeed_cruise(day.aircraft.performance, altitude);
    const auto held = aircraft::hold_course(line.initial, airspeed, day.winds.at(altitude));
    if (named.empty() || !held || line.distance > dead_reckoning_limit(day.settings, held->groundspeed)) {
        return false;
    }
    const LegOrReason guided = guided_leg(day.world, day.ground, day.aircraft.equipment, day.settings, from,
                                          place, altitude, held->groundspeed);
    if (!guided.leg) {
        return true;
    }
    const auto aid = procedure::station_of(guided.leg->stretches.back().guidance);
    if (std::find(named.begin(), named.end(), aid) != named.end()) {
        return false;  // along its own line
    }
    fixing::FixQuestion asked;
    asked.fix = guided.leg->finish;
    asked.altitude = altitude;
    asked.track = guided.leg->arrival;
    asked.guided_by = aid;
    asked.criteria = day.settings.criteria;
    return fixing::tellings(day.world, day.ground, day.aircraft.equipment, asked).ways.empty();
}

}  // namespace omniway::flight
