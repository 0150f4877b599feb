#include "plan/step_wording.hpp"

#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "cockpit/morse.hpp"
#include "plan/wording.hpp"

namespace omniway::plan {

using flight::NamedAid;

namespace {

bool is_beacon(const NamedAid& aid) {
    return aid.kind.starts_with("NDB");
}

template <class North>
std::string figures(base::Bearing<North> bearing) {
    return three_figures(bearing.degrees());
}

// A pointer's place on its card: 0 to 359 however the angle was counted.
std::string figures(base::Angle angle) {
    return figures(base::MagneticBearing::degrees(angle.degrees()));
}

std::string miles(base::Length length) {
    return fmt::format("{:.1f}", length.nautical_miles());
}

// "8,000 ft".
std::string feet(base::Altitude altitude) {
    const long whole = std::lround(altitude.feet());
    return std::abs(whole) < 1000 ? fmt::format("{} ft", whole)
                                  : fmt::format("{},{:03} ft", whole / 1000, std::abs(whole % 1000));
}

// "4", "4.3".
std::string degrees(base::Angle angle) {
    const double tenths = std::round(angle.degrees() * 10.0) / 10.0;
    return tenths == std::round(tenths) ? fmt::format("{:.0f}", tenths) : fmt::format("{:.1f}", tenths);
}

// Two decimals, three where a voice channel has them.
std::string megahertz(base::Frequency frequency) {
    const long khz = std::lround(frequency.kilohertz());
    return khz % 10 == 0 ? fmt::format("{:.2f}", frequency.megahertz())
                         : fmt::format("{:.3f}", frequency.megahertz());
}

std::string frequency_text(const NamedAid& aid) {
    if (!is_beacon(aid)) {
        return megahertz(aid.frequency);
    }
    const double khz = aid.frequency.kilohertz();
    return khz == std::round(khz) ? fmt::format("{:.0f}", khz) : fmt::format("{:.1f}", khz);
}

// "NDB XAB", "localizer" is said by who asks; others by their ident.
std::string name_of(const NamedAid& aid) {
    return is_beacon(aid) ? "NDB " + aid.ident : aid.ident;
}

std::string pointer_text(cockpit::AdfIndicator indicator, base::Angle pointer) {
    switch (indicator) {
        case cockpit::AdfIndicator::fixed_card:
            break;
        case cockpit::AdfIndicator::movable_card:
            return "pointer " + figures(pointer) + " on the card turned to the heading";
        case cockpit::AdfIndicator::rmi:
            return "RMI pointer " + figures(pointer);
    }
    return "pointer " + figures(pointer) + " from the nose";
}

std::string event_text(const flight::CardEvent& event) {
    return event.end_of_step == 0 ? event.name : fmt::format("{} ({})", event.name, event.end_of_step);
}

// "41 s", "4:10".
std::string slack_text(base::Duration slack) {
    return std::abs(slack.count()) < 60.0 ? fmt::format("{:.0f} s", slack.count())
           : slack.count() < 0.0          ? "-" + base::elapsed_text(-slack)
                                          : base::elapsed_text(slack);
}

std::string side_text(navdata::Turn side, const char* left, const char* right, const char* either,
                      const char* unspecified) {
    switch (side) {
        case navdata::Turn::left:
            return left;
        case navdata::Turn::right:
            return right;
        case navdata::Turn::either:
            return either;
        case navdata::Turn::unspecified:
            break;
    }
    return unspecified;
}

struct SayGuidance {
    std::string operator()(const flight::FollowRadial& g) const {
        return g.toward ? fmt::format("to {}, course {}", name_of(g.aid), figures(g.course))
                        : fmt::format("from {}, radial {}", name_of(g.aid), figures(g.course));
    }
    std::string operator()(const flight::FollowBearing& g) const {
        return fmt::format("{} {}, track {}, {}", g.toward ? "to" : "from", name_of(g.aid), figures(g.track),
                           pointer_text(g.indicator, g.pointer));
    }
    std::string operator()(const flight::FollowLocalizer& g) const {
        const bool away = g.outbound != g.back_course;
        std::string text = fmt::format("{} {}{}, course {}", g.back_course ? "back course of" : beam(g.aid),
                                       g.aid.ident, g.outbound ? " outbound" : "",
                                       figures(away ? g.front_course.reciprocal() : g.front_course));
        if (g.glideslope) {
            text += ", with its glideslope";
        }
        switch (g.needle) {
            case flight::NeedleSense::toward_the_line:
                break;
            case flight::NeedleSense::away_from_the_line:
                return text + ", needle reversed: steer away from it";
            case flight::NeedleSense::righted_by_the_front_course:
                return text + fmt::format(", front course {} set on the HSI", figures(g.front_course));
        }
        return text;
    }
    static std::string_view beam(const NamedAid& aid) {
        return aid.kind.starts_with("LDA") ? "LDA" : aid.kind.starts_with("SDF") ? "SDF" : "localizer";
    }
    std::string operator()(const flight::FollowArc& g) const {
        std::string text = fmt::format("arc {} DME {}, {}", miles(g.reading), g.aid.ident,
                                       g.clockwise ? "clockwise" : "anticlockwise");
        if (g.from_radial) {
            text += ", from radial " + figures(*g.from_radial);
        }
        if (g.to_radial) {
            text += ", to radial " + figures(*g.to_radial);
        }
        return text;
    }
    std::string operator()(const flight::FlyHeading& g) const {
        return fmt::format("{}{}, track {}", g.along_runway ? "straight ahead, " : "",
                           g.heading ? "heading " + figures(*g.heading)
                                     : std::string("no heading holds the track in this wind"),
                           figures(g.track));
    }
    std::string operator()(const flight::FlyHold& g) const {
        std::string text = fmt::format(
            "hold at {}, inbound {}{}, {}, {} entry, outbound heading {}", g.fix, figures(g.inbound),
            g.aid ? " on " + name_of(*g.aid) : std::string(),
            side_text(g.side, "left turns", "right turns", "turns either way", "right turns (none coded)"),
            procedure::to_text(g.entry), figures(g.outbound_heading));
        if (g.outbound_time) {
            text += " for " + base::elapsed_text(*g.outbound_time);
        }
        if (g.outbound_reading) {
            text += " to " + miles(*g.outbound_reading) + " DME";
        }
        return text;
    }
    std::string operator()(const flight::ReverseCourse& g) const {
        return fmt::format(
            "procedure turn within {} NM of {}{}: out on {}, away on {}, back on {} {}", miles(g.within),
            g.fix, g.aid ? " on " + name_of(*g.aid) : std::string(), figures(g.outbound), figures(g.away),
            figures(g.return_heading),
            side_text(g.back, "by the left", "by the right", "by either side", "by the side of choice"));
    }
};

std::string since_text(base::Duration time, const std::string& since) {
    return since.empty() ? base::elapsed_text(time) : base::elapsed_text(time) + " after " + since;
}

struct SayEnd {
    std::string operator()(const flight::StationPassage& e) const {
        return e.pointer ? fmt::format("over {}: the pointer passes abeam", e.aid.ident)
                         : fmt::format("over {}: TO turns to FROM", e.aid.ident);
    }
    std::string operator()(const flight::ReadingReached& e) const {
        return fmt::format("DME {} {} to {}", e.aid.ident, e.increasing ? "up" : "down", miles(e.reading));
    }
    std::string operator()(const flight::RadialCentres& e) const {
        return fmt::format("{} centres on course {}", e.aid.ident, figures(e.course));
    }
    std::string operator()(const flight::BearingReached& e) const {
        return fmt::format("{} bears {}, {}", name_of(e.aid), figures(e.to_station),
                           pointer_text(e.indicator, e.pointer));
    }
    std::string operator()(const flight::LocalizerCentres& e) const {
        return fmt::format("localizer {} centres", e.aid.ident);
    }
    std::string operator()(const flight::NeedleAlive& e) const {
        return fmt::format("the needle of {} comes alive", e.aid.ident);
    }
    std::string operator()(const flight::AltitudeReached& e) const { return "reaching " + feet(e.altitude); }
    std::string operator()(const flight::TimeOut& e) const { return since_text(e.time, e.since); }
    std::string operator()(const flight::ChangeOver& e) const {
        std::string text = "changeover to " + name_of(e.to);
        if (e.reading) {
            text += " at " + miles(*e.reading) + " DME";
        }
        if (e.reading_of) {
            text += (e.reading ? " " : ", DME of ") + e.reading_of->ident;
        }
        if (e.time) {
            return text + (e.reading ? " or " : " ") + since_text(*e.time, e.since);
        }
        return e.since.empty() ? text : text + ", counted from " + e.since;
    }
    std::string operator()(const flight::GlideslopeCentres& e) const {
        return e.altitude ? "the glideslope centres at " + feet(*e.altitude) : "the glideslope centres";
    }
    std::string operator()(const flight::Minimums& e) const {
        return e.altitude ? "decision altitude " + feet(*e.altitude) : "decision altitude (from the chart)";
    }
    std::string operator()(const flight::EstablishedInbound&) const { return "established inbound"; }
    std::string operator()(const flight::HeldUntil& e) const {
        return e.altitude ? feet(*e.altitude) + " in the hold" : "told or decided to leave the hold";
    }
};

struct SayWork {
    std::string operator()(const flight::Tune& w) const {
        return fmt::format("tune {} to {}, after {}, before {}, {} to spare", set_text(w.set),
                           tuning_text(w.aid), event_text(w.after), event_text(w.before),
                           slack_text(w.slack));
    }
    std::string operator()(const flight::Preselect& w) const {
        return fmt::format("preselect {} on {} standby", tuning_text(w.aid), set_text(w.set));
    }
    std::string operator()(const flight::SetCourse& w) const {
        return fmt::format("set course {} on NAV{}, after {}", figures(w.course), w.receiver,
                           event_text(w.after));
    }
    std::string operator()(const flight::SelectDistance& w) const {
        return fmt::format("DME switch to {}: shows {}, after {}", place(w), w.of.ident, event_text(w.after));
    }
    static std::string place(const flight::SelectDistance& w) {
        switch (w.from) {
            case flight::DistanceFrom::own_channel:
                return "its own channel";
            case flight::DistanceFrom::receiver:
                return fmt::format("NAV{}", w.receiver);
            case flight::DistanceFrom::held:
                break;
        }
        return w.receiver == 0 ? "HOLD" : fmt::format("HOLD from NAV{}", w.receiver);
    }
    std::string operator()(const flight::GuideBy& w) const {
        return fmt::format("NAV{} guides from here, on {}", w.receiver, name_of(w.aid));
    }
    std::string operator()(const flight::HoldHeadingWhileTuning& w) const {
        return fmt::format("hold the heading for at most {} until {} is identified",
                           base::elapsed_text(w.time), name_of(w.aid));
    }
    std::string operator()(const flight::StartClock&) const { return "start the clock"; }
    std::string operator()(const flight::LeaveAltitude& w) const { return w.says; }
    std::string operator()(const flight::Call& w) const {
        return fmt::format("call {} {} {}", w.service, w.name, megahertz(w.frequency));
    }
};

struct SayCheck {
    std::string operator()(const flight::ReadingCheck& c) const {
        return fmt::format("DME {} reads {}, within {} NM", c.aid.ident, miles(c.reading),
                           miles(c.tolerance));
    }
    std::string operator()(const flight::RadialCheck& c) const {
        return fmt::format("radial {} of {}, within {} degrees", figures(c.radial), c.aid.ident,
                           degrees(c.tolerance));
    }
    std::string operator()(const flight::BearingCheck& c) const {
        return fmt::format("{} bears {}, {}, within {} degrees", name_of(c.aid), figures(c.to_station),
                           pointer_text(c.indicator, c.pointer), degrees(c.tolerance));
    }
    std::string operator()(const flight::GlideslopeCheck& c) const {
        return fmt::format("{} on the glideslope over the final fix, within {:.0f} ft", feet(c.altitude),
                           c.tolerance.feet());
    }
};

struct SayNotice {
    std::string operator()(const flight::ZoneOverhead& n) const {
        std::string text =
            fmt::format("over {} {} of no use for about {}", n.aid.ident,
                        is_beacon(n.aid) ? "the pointer is" : "needle and TO/FROM are", slack_text(n.about));
        if (n.least_reading) {
            text += fmt::format("; its DME reads {} at least", miles(*n.least_reading));
        }
        return text;
    }
    std::string operator()(const flight::NeedleDeceives& n) const {
        switch (n.needle) {
            case flight::NeedleSense::toward_the_line:
                break;
            case flight::NeedleSense::away_from_the_line:
                return fmt::format("the needle of {} is reversed: steer away from it", n.aid.ident);
            case flight::NeedleSense::righted_by_the_front_course:
                return fmt::format("with the front course of {} set, steer toward the needle", n.aid.ident);
        }
        return fmt::format("the needle of {} is not reversed: steer toward it", n.aid.ident);
    }
    std::string operator()(const flight::BiasedReading& n) const {
        return fmt::format("DME {} is set off by {} NM: it does not read zero at its own aerial", n.aid.ident,
                           miles(n.bias));
    }
    std::string operator()(const flight::SlantRange& n) const {
        return fmt::format("DME {} reads {} NM more than there is over the ground", n.aid.ident,
                           miles(n.over_ground));
    }
    std::string operator()(const flight::NoFlag& n) const {
        return fmt::format("the ADF has no flag: listen to the ident of {} all along", name_of(n.aid));
    }
    std::string operator()(const flight::LocalizerWithoutToFrom& n) const {
        return fmt::format("localizer {} shows no TO and FROM", n.aid.ident);
    }
};

std::string receiver_text(const flight::ReceiverStands& receiver, bool whole) {
    const auto aid = [&](const NamedAid& a) {
        return whole ? tuning_text(a) : a.ident + " " + frequency_text(a);
    };
    std::string text = whole ? fmt::format("NAV{}  {:<6}", receiver.number, to_text(receiver.role))
                             : fmt::format("NAV{} {}", receiver.number, to_text(receiver.role));
    text += receiver.active ? " " + aid(*receiver.active) : std::string(" -");
    if (receiver.course) {
        text += " course " + figures(*receiver.course);
    }
    if (receiver.standby) {
        text += (whole ? ", standby " : ", next ") + aid(*receiver.standby);
    }
    return text;
}

std::string distance_text(const flight::DistanceStands& distance, bool whole) {
    const std::string of = !distance.of ? std::string("-")
                           : whole      ? tuning_text(*distance.of)
                                        : distance.of->ident;
    const std::string receiver =
        distance.receiver == 0 ? std::string() : fmt::format(" NAV{}", distance.receiver);
    std::string from;
    switch (distance.from) {
        case flight::DistanceFrom::own_channel:
            from = "own channel";
            break;
        case flight::DistanceFrom::receiver:
            from = "by" + receiver;
            break;
        case flight::DistanceFrom::held:
            from = receiver.empty() ? std::string("held") : "held from" + receiver;
            break;
    }
    return fmt::format("{}{} {}", whole ? "DME   " : "DME ", of, from);
}

std::string adf_text(const flight::AdfStands& adf, bool whole) {
    std::string text = whole ? "ADF   " : "ADF ";
    text += !adf.aid ? std::string("-")
            : whole  ? tuning_text(*adf.aid)
                     : adf.aid->ident + " " + frequency_text(*adf.aid);
    return adf.card ? text + " card " + figures(*adf.card) : text;
}

std::vector<std::string> sets_text(const flight::StepRadios& radios, bool whole) {
    std::vector<std::string> lines;
    for (const flight::ReceiverStands& receiver : radios.receivers) {
        lines.push_back(receiver_text(receiver, whole));
    }
    if (radios.distance) {
        lines.push_back(distance_text(*radios.distance, whole));
    }
    if (radios.adf) {
        lines.push_back(adf_text(*radios.adf, whole));
    }
    return lines;
}

}  // namespace

std::string guidance_text(const flight::StepGuidance& guidance) {
    return std::visit(SayGuidance{}, guidance);
}

std::string end_text(const flight::StepEnd& end) {
    return std::visit(SayEnd{}, end);
}

std::string work_text(const flight::StepWork& work) {
    return std::visit(SayWork{}, work);
}

std::string check_text(const flight::StepCheck& check) {
    return std::visit(SayCheck{}, check);
}

std::string notice_text(const flight::Notice& notice) {
    return std::visit(SayNotice{}, notice);
}

std::string heights_text(const flight::StepHeights& heights) {
    std::string text = heights.between ? "descend to " + feet(*heights.between) + ", then " : std::string();
    switch (heights.vertical) {
        case flight::Vertical::climb:
            text += "climb to ";
            break;
        case flight::Vertical::level:
            text += heights.between ? "climb to " : "";
            break;
        case flight::Vertical::descend:
            text += heights.between ? "climb to " : "descend to ";
            break;
        case flight::Vertical::on_glideslope:
            text += "on the glideslope to ";
            break;
    }
    text += feet(heights.at_end);
    if (!heights.level_at.empty()) {
        text += " to be level at " + heights.level_at;
    }
    if (heights.rate) {
        text += fmt::format(", {:+.0f} ft/min", heights.rate->feet_per_minute());
    }
    if (heights.at_or_above) {
        text += ", cross at or above " + feet(*heights.at_or_above);
    }
    if (heights.at_or_below) {
        text += ", cross at or below " + feet(*heights.at_or_below);
    }
    if (heights.minimum) {
        text += ", minimum " + feet(*heights.minimum);
    } else if (!heights.minimum_from.empty()) {
        text += ", no minimum";
    }
    return heights.minimum_from.empty() ? text : text + " (" + heights.minimum_from + ")";
}

std::string expected_text(const flight::StepExpected& expected) {
    std::string text = fmt::format("{} NM  course {}", miles(expected.distance), figures(expected.course));
    text += expected.heading ? "  heading " + figures(*expected.heading)
                             : std::string("  no heading holds it in this wind");
    text += fmt::format("  TAS {:.0f} kt", expected.true_airspeed.knots());
    if (expected.groundspeed) {
        text += fmt::format("  GS {:.0f} kt", expected.groundspeed->knots());
    }
    if (expected.time) {
        text += "  " + base::elapsed_text(*expected.time);
    }
    return text + fmt::format("  {:.0f} lb", expected.fuel.pounds());
}

std::string return_text(const flight::ImmediateReturn& back) {
    return fmt::format("{}: {} on {}{}, course {}", back.approach, tuning_text(back.aid), set_text(back.set),
                       back.in_standby ? " standby" : "", figures(back.course));
}

std::vector<std::string> radios_lines(const flight::StepRadios& radios) {
    return sets_text(radios, true);
}

std::vector<std::string> radios_in_short(const flight::StepRadios& radios) {
    return sets_text(radios, false);
}

std::string tuning_text(const NamedAid& aid) {
    return fmt::format("{} {} {} {}", aid.kind, aid.ident, frequency_text(aid), cockpit::morse(aid.ident));
}

std::string set_text(const flight::RadioSet& set) {
    switch (set.kind) {
        case flight::SetKind::receiver:
            return fmt::format("NAV{}", set.number);
        case flight::SetKind::dme:
            return "DME";
        case flight::SetKind::adf:
            break;
    }
    return "ADF";
}

std::string_view to_text(flight::ReceiverRole role) {
    switch (role) {
        case flight::ReceiverRole::guides:
            return "guides";
        case flight::ReceiverRole::tells:
            return "tells";
        case flight::ReceiverRole::checks:
            return "checks";
        case flight::ReceiverRole::waits:
            break;
    }
    return "waits";
}

}  // namespace omniway::plan
