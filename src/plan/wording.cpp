#include "plan/wording.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "cockpit/morse.hpp"

namespace omniway::plan {

using navdata::Snapshot;

std::string three_figures(double degrees) {
    const long whole = std::lround(degrees) % 360;
    return fmt::format("{:03}", whole == 0 ? 360 : whole);
}

std::string asked_text(const navdata::Snapshot& world, const Request& request) {
    const routing::Constraints& asked = request.constraints;
    std::string text;
    const auto say = [&](const std::string& what) { text += (text.empty() ? "" : ", ") + what; };
    if (request.departure_runway) {
        say("take-off on " + world[*request.departure_runway].ident);
    }
    if (request.departure) {
        say(*request.departure == own_departure ? std::string("own departure") : "SID " + *request.departure);
    }
    for (const navdata::Point& point : asked.via) {
        say("via " + world.ident(point));
    }
    std::vector<std::string> avoided;
    for (const navdata::Point& point : asked.avoid) {
        avoided.push_back(world.ident(point));
    }
    avoided.erase(std::unique(avoided.begin(), avoided.end()), avoided.end());
    avoided.insert(avoided.end(), asked.avoid_airways.begin(), asked.avoid_airways.end());
    for (const std::string& name : avoided) {
        say("avoiding " + name);
    }
    for (std::size_t i = 0; i < asked.avoid_areas.size(); ++i) {
        // One that is typed may stand for several places of its name.
        if (i == 0 || asked.avoid_areas[i].name != asked.avoid_areas[i - 1].name) {
            say("clear of " + asked.avoid_areas[i].name);
        }
    }
    if (asked.highest) {
        say(fmt::format("at most {:.0f} ft", asked.highest->feet()));
    }
    if (asked.no_beacon) {
        say("no NDB");
    }
    if (asked.no_dead_reckoning) {
        say("no dead reckoning");
    }
    if (request.arrival) {
        say(*request.arrival == no_arrival ? std::string("no STAR") : "STAR " + *request.arrival);
    }
    if (request.approach) {
        say("approach " + *request.approach +
            (request.approach_transition ? "/" + *request.approach_transition : std::string()));
    }
    if (request.landing_runway) {
        say("landing on " + world[*request.landing_runway].ident);
    }
    std::set<std::string> silent;
    for (const navdata::Station& station : world.out_of_service()) {
        if (silent.insert(station.ident).second) {
            say(station.ident + " out of service");
        }
    }
    return text;
}

std::string approach_text(const Option& option) {
    if (option.flight.approach.empty()) {
        return "no approach";
    }
    return option.flight.approach + (option.own_entry ? " entered by own navigation" : "");
}

std::string tuning_text(const navdata::Station& station) {
    return fmt::format("{} {} {} {}", navdata::kind_text(station), station.ident,
                       navdata::frequency_text(station), cockpit::morse(station.ident));
}

std::string guidance_text(const Snapshot& world, const flight::TrackStep& step) {
    struct Say {
        const Snapshot& world;
        const flight::TrackStep& step;
        std::string operator()(const procedure::OnRadial& g) const {
            const std::string& ident = world[g.station].ident;
            return g.toward ? fmt::format("to {}, course {}", ident, three_figures(g.course.degrees()))
                            : fmt::format("from {}, radial {}", ident, three_figures(g.course.degrees()));
        }
        std::string operator()(const procedure::OnBeacon& g) const {
            return fmt::format("{} NDB {}, track {} magnetic", g.toward ? "to" : "from",
                               world[g.station].ident, three_figures(step.course.degrees()));
        }
        std::string operator()(const procedure::OnLocalizer& g) const {
            const auto* azimuth = navdata::localizer(world[g.station]);
            const base::Radial front = azimuth->course;
            const base::Radial flown = g.toward == g.back_course ? front.reciprocal() : front;
            return fmt::format("{} of {}{}, course {}{}", g.back_course ? "back course" : beam(*azimuth),
                               world[g.station].ident, g.toward ? "" : " outbound",
                               three_figures(flown.degrees()), sense(front));
        }
        static std::string beam(const navdata::LocalizerAzimuth& azimuth) {
            switch (navdata::kind_of(azimuth)) {
                case navdata::LocalizerKind::directional_aid:
                    return "LDA";
                case navdata::LocalizerKind::simplified:
                    return "SDF";
                case navdata::LocalizerKind::aligned:
                    break;
            }
            return "localizer";
        }
        std::string sense(base::Radial front) const {
            switch (step.needle) {
                case flight::NeedleSense::away_from_the_line:
                    return ", needle reversed: steer away from it";
                case flight::NeedleSense::righted_by_the_front_course:
                    return fmt::format(", front course {} set on the HSI", three_figures(front.degrees()));
                case flight::NeedleSense::toward_the_line:
                    break;
            }
            return "";
        }
        std::string operator()(const procedure::OnArc& g) const {
            return fmt::format("arc {:.1f} DME of {}, {}", g.radius.nautical_miles(), world[g.station].ident,
                               g.clockwise ? "clockwise" : "anticlockwise");
        }
        std::string operator()(const procedure::OnHeading&) const {
            return fmt::format("{}by heading, track {} magnetic", step.along_runway ? "straight ahead, " : "",
                               three_figures(step.course.degrees()));
        }
    };
    return std::visit(Say{world, step}, step.guidance);
}

namespace {

struct SayWay {
    const Snapshot& world;
    std::string operator()(const fixing::Overhead& way) const {
        const navdata::Station& station = world[way.station];
        return navdata::ndb(station) != nullptr
                   ? fmt::format("the pointer passes abeam over {}", station.ident)
                   : fmt::format("TO turns to FROM over {}", station.ident);
    }
    std::string operator()(const fixing::DmeReading& way) const {
        return fmt::format("DME of {} reads {:.1f}", world[way.station].ident,
                           way.slant_range.nautical_miles());
    }
    std::string operator()(const fixing::CrossingRadial& way) const {
        return fmt::format("radial {} of {} centres", three_figures(way.radial.degrees()),
                           world[way.station].ident);
    }
    std::string operator()(const fixing::CrossingBearing& way) const {
        return fmt::format("NDB {} bears {} true", world[way.station].ident,
                           three_figures(way.to_station.degrees()));
    }
    std::string operator()(const fixing::CrossingLocalizer& way) const {
        return fmt::format("localizer {} centres", world[way.station].ident);
    }
};

}  // namespace

std::string way_text(const Snapshot& world, const fixing::Way& way) {
    return std::visit(SayWay{world}, way);
}

namespace {

// The barb gives the side; kind and place of the turn are the pilot's within the distance (AIM 5-4-9).
std::string reversal_text(const procedure::AtCourseReversed& end) {
    std::string text = fmt::format("established inbound after a procedure turn within {:.1f} NM of {}",
                                   end.within.nautical_miles(), end.fix);
    if (end.barb) {
        text += ": out on " + three_figures(end.barb->degrees);
        if (end.back == navdata::Turn::left || end.back == navdata::Turn::right) {
            text += end.back == navdata::Turn::left ? ", back by the left" : ", back by the right";
        }
    }
    return text;
}

std::string hold_text(const procedure::AtHold& end, bool climbs_overhead) {
    const std::string side = end.side == navdata::Turn::right  ? ", right turns"
                             : end.side == navdata::Turn::left ? ", left turns"
                                                               : "";
    if (end.one_circuit) {
        return fmt::format("inbound over {} after one circuit of the hold{}", end.fix.ident, side);
    }
    if (end.altitude) {
        // A climb overhead is flown in whole circuits; a coded hold to an altitude is left where that is reached.
        return climbs_overhead ? fmt::format("over {} in the hold at {:.0f} ft or above{}", end.fix.ident,
                                             end.altitude->feet(), side)
                               : fmt::format("reaching {:.0f} ft in the hold at {}{}", end.altitude->feet(),
                                             end.fix.ident, side);
    }
    return fmt::format("hold at {}{}", end.fix.ident, side);
}

}  // namespace

std::string ending_text(const Snapshot& world, const flight::TrackStep& step) {
    if (!step.ending) {
        return std::holds_alternative<procedure::OnHeading>(step.guidance) ? "the next needle comes alive"
                                                                           : "changeover";
    }
    struct Say {
        const Snapshot& world;
        const flight::TrackStep& step;
        std::string operator()(const procedure::AtFix& e) const {
            return fmt::format("{}: {}", e.fix.ident, std::visit(SayWay{world}, e.telling.way));
        }
        std::string operator()(const procedure::AtAltitude& e) const {
            return fmt::format("reaching {:.0f} ft", e.altitude.feet());
        }
        std::string operator()(const procedure::AtDistance& e) const {
            return fmt::format("DME of {} reads {:.1f}", world[e.station].ident, e.shown.nautical_miles());
        }
        std::string operator()(const procedure::AtRadial& e) const {
            return fmt::format("radial {} of {} centres", three_figures(e.radial.degrees()),
                               world[e.station].ident);
        }
        std::string operator()(const procedure::AtIntercept&) const { return "the next course centres"; }
        std::string operator()(const procedure::AtCourseReversed& e) const { return reversal_text(e); }
        std::string operator()(const procedure::AtGlideslopeIntercept& e) const {
            return e.altitude
                       ? fmt::format("{}: glideslope centres at {:.0f} ft", e.fix.ident, e.altitude->feet())
                       : fmt::format("{}: glideslope centres", e.fix.ident);
        }
        std::string operator()(const procedure::AtDecisionAltitude& e) const {
            return e.altitude
                       ? fmt::format("decision altitude {:.0f} ft on the glideslope", e.altitude->feet())
                       : std::string("decision altitude on the glideslope (from the chart)");
        }
        std::string operator()(const procedure::AtMissedApproachPoint& e) const {
            return e.telling
                       ? fmt::format("missed approach point: {}", std::visit(SayWay{world}, e.telling->way))
                       : "missed approach point by time from the final fix" +
                             (step.timed_from_final_fix
                                  ? ": " + base::elapsed_text(*step.timed_from_final_fix)
                                  : std::string());
        }
        std::string operator()(const procedure::AtHold& e) const {
            return hold_text(e, step.length > base::Length());
        }
    };
    return std::visit(Say{world, step}, *step.ending);
}

std::string descent_text(const Snapshot& world, const flight::TopOfDescent& top) {
    struct Say {
        const Snapshot& world;
        std::string operator()(const flight::TimeFromFix& mark) const {
            return mark.time.count() < 1.0 ? "over " + mark.fix
                                           : fmt::format("{} {} {}", base::elapsed_text(mark.time),
                                                         mark.after ? "after" : "before", mark.fix);
        }
        std::string operator()(const fixing::Way& way) const {
            if (const auto* reading = std::get_if<fixing::DmeReading>(&way)) {
                return fmt::format("at {:.1f} DME {}", reading->slant_range.nautical_miles(),
                                   world[reading->station].ident);
            }
            return "when " + way_text(world, way);
        }
    };
    return fmt::format("leave {:.0f} ft {}", top.altitude.feet(), std::visit(Say{world}, top.mark));
}

std::string levels_text(const flight::Flight& flight) {
    std::string text = fmt::format("{:.0f} ft", flight.cruise.feet());
    for (const flight::LevelChange& change : flight.level_changes) {
        text += fmt::format(", {:.0f} ft from {}", change.to.feet(), change.at);
    }
    return text;
}

namespace {

std::string glideslope_line(const procedure::FinalSegment& segment) {
    std::string text =
        fmt::format("glideslope {:.2f} degrees", segment.angle ? segment.angle->degrees() : 0.0);
    if (!segment.glideslope_at_fix) {
        return text + fmt::format(": its height over {} is not known", segment.final_fix.ident);
    }
    text += fmt::format(": {} at {:.0f} ft", segment.final_fix.ident, segment.glideslope_at_fix->feet());
    if (const auto off = segment.glideslope_difference()) {
        text +=
            fmt::format(", published {:.0f} ft ({:+.0f} ft)", segment.published_at_fix->feet(), off->feet());
    }
    return text;
}

std::string step_down_line(const Snapshot& world, const procedure::StepDown& step) {
    std::string text =
        step.window.at_or_above
            ? fmt::format("not below {:.0f} ft until {}", step.window.at_or_above->feet(), step.fix.ident)
            : fmt::format("not above {:.0f} ft from {}", step.window.at_or_below->feet(), step.fix.ident);
    if (step.telling) {
        text += ": " + way_text(world, step.telling->way);
    }
    return text;
}

std::string advisory_line(const Snapshot& world, const procedure::AdvisoryTable& advisory) {
    std::string text = "by DME " + world[advisory.station].ident + ":";
    for (const procedure::AdvisoryAltitude& row : advisory.rows) {
        text += fmt::format("{} {:.1f} {:.0f} ft", &row == &advisory.rows.front() ? "" : ",",
                            row.shown.nautical_miles(), row.altitude.feet());
    }
    return text;
}

std::string times_line(const flight::FinalApproach& final_approach) {
    const procedure::FinalSegment& segment = final_approach.segment;
    std::string text = fmt::format("{} to {} {:.1f} NM", segment.final_fix.ident, segment.end.ident,
                                   segment.length.nautical_miles());
    if (final_approach.time) {
        text += fmt::format(", {} at {:.0f} kt in this wind", base::elapsed_text(*final_approach.time),
                            final_approach.groundspeed->knots());
    }
    text += ";";
    for (const procedure::TimeAtSpeed& row : final_approach.times) {
        text += fmt::format(" {:.0f} kt {}", row.groundspeed.knots(), base::elapsed_text(row.time));
    }
    return text;
}

}  // namespace

std::vector<std::string> final_lines(const Snapshot& world, const flight::FinalApproach& final_approach) {
    const procedure::FinalSegment& segment = final_approach.segment;
    std::vector<std::string> lines;
    if (segment.on_glideslope) {
        lines.push_back(glideslope_line(segment));
    }
    if (segment.gradient && *segment.gradient > procedure::Gradient()) {
        lines.push_back(
            fmt::format("down {:.0f} ft/NM", segment.gradient->feet_per_nautical_mile()) +
            (final_approach.descent_rate
                 ? fmt::format(", {:.0f} ft/min at {:.0f} kt", final_approach.descent_rate->feet_per_minute(),
                               final_approach.groundspeed->knots())
                 : std::string()));
    }
    if (segment.advisory && segment.advisory->rows.size() > 1) {
        lines.push_back(advisory_line(world, *segment.advisory));
    }
    for (const procedure::StepDown& step : segment.step_downs) {
        lines.push_back(step_down_line(world, step));
    }
    lines.push_back(times_line(final_approach));
    if (final_approach.decision) {
        const flight::DecisionPoint& point = *final_approach.decision;
        lines.push_back(fmt::format("decision at {:.0f} ft: {:.1f} NM before the threshold",
                                    point.altitude.feet(), point.before_threshold.nautical_miles()) +
                        (point.from_final_fix
                             ? fmt::format(", {} after {}", base::elapsed_text(*point.from_final_fix),
                                           segment.final_fix.ident)
                             : std::string()));
    }
    return lines;
}

std::string minimum_text(const flight::LegMinimum& minimum) {
    using flight::MinimumFrom;
    const std::string feet =
        minimum.altitude ? fmt::format("{:.0f} ft", minimum.altitude->feet()) : std::string("unknown");
    switch (minimum.from) {
        case MinimumFrom::published_airway:
            return feet + " (MEA)";
        case MinimumFrom::published_unknown:
            return "not published";
        case MinimumFrom::published_grid:
            return feet + " (grid MORA)";
        case MinimumFrom::ground:
            return fmt::format("{} (ground {:.0f} ft + {:.0f} + {:.0f})", feet, minimum.ground->ground.feet(),
                               minimum.ground->allowance.feet(), minimum.ground->clearance.feet());
        case MinimumFrom::given_by_user:
            return feet + " (yours)";
        case MinimumFrom::coded_procedure:
            return minimum.altitude ? feet + " (procedure)" : "as coded";
        case MinimumFrom::not_known:
            return "asked";
    }
    return feet;
}

std::string_view to_text(flight::Phase phase) {
    switch (phase) {
        case flight::Phase::departure:
            return "departure";
        case flight::Phase::en_route:
            return "en route";
        case flight::Phase::arrival:
            return "arrival";
        case flight::Phase::approach:
            return "approach";
        case flight::Phase::missed:
            return "missed approach";
    }
    return "";
}

std::string reception_text(radio::ReceptionMode mode, bool terrain_known) {
    switch (mode) {
        case radio::ReceptionMode::volume:
            return "service volume alone, no horizon and no terrain";
        case radio::ReceptionMode::horizon:
            return std::string("service volume and smooth earth; ") +
                   (terrain_known ? "the terrain in the atlas is left aside" : "no terrain in the atlas");
        case radio::ReceptionMode::terrain:
            return "service volume and line of sight over the terrain in the atlas";
    }
    return {};
}

}  // namespace omniway::plan
