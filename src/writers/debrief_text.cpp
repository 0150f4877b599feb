#include "writers/debrief_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "writers/card_text.hpp"
#include "writers/detail/findings_text.hpp"

namespace omniway::writers {

using base::Duration;
using base::Length;
using debrief::StepDebriefed;

namespace {

constexpr std::size_t columns = 104;

std::string paragraph(const std::string& text, const std::string& indent) {
    return detail::wrapped(text, columns, indent) + "\n";
}

std::string side_of(double value) {
    return value < 0.0 ? "left" : "right";
}

// "0.4 L": distances to the side are short, so that a line holds them all.
std::string aside(Length value) {
    const double nm = std::abs(value.nautical_miles());
    return nm < 0.05 ? "0.0  " : fmt::format("{:.1f} {}", nm, value < Length() ? "L" : "R");
}

std::string moment(Duration time) {
    // To the second: what the recorder has beyond is no use to a pilot.
    return earth::moment_text(std::nullopt, Duration(std::round(time.count()))).substr(0, 8);
}

std::string head_text(const navdata::Snapshot& world, const DebriefPage& page) {
    const debrief::Debrief& found = page.debrief;
    const navdata::Airport& from = world[page.request.from];
    const navdata::Airport& to = world[page.request.to];
    std::string text =
        fmt::format("{} {} to {} {}\n{}, wind {}\nreception: {}\n", from.ident, from.name, to.ident, to.name,
                    page.request.aircraft.name, weather::to_text(page.request.winds), page.reception);
    text += paragraph("  " + plan::route_text(world, page.option.flight), "    ");
    text += fmt::format("  {}\n\n",
                        page.option.flight.approach.empty() ? "no approach" : page.option.flight.approach);
    text += paragraph(fmt::format("card {}, track {}", page.file, page.track), "  ");
    text += fmt::format("flown {} to {} UTC, {}{}\n",
                        earth::moment_text(page.flown.day, Duration(std::round(found.began.count()))),
                        moment(found.ended), base::elapsed_text(found.ended - found.began),
                        found.altitude_recorded ? "" : "; no altitude was recorded");
    if (found.altitude_recorded) {
        text += "altitudes are the recorder's; an altimeter's may be some hundred feet off them\n";
    }
    for (const earth::TrackGap& gap : found.gaps) {
        text += fmt::format("nothing was recorded from {} to {}: no figure has it\n", moment(gap.from),
                            moment(gap.to));
    }
    constexpr double worth_saying = 0.05;
    if (found.off_the_flight_share > worth_saying) {
        text += fmt::format("{:.0f} % of the time was flown more than 8 NM from every step of the card\n",
                            found.off_the_flight_share * 100.0);
    }
    return text + "\n";
}

std::string practise_text(const debrief::Debrief& found) {
    if (found.practise.empty()) {
        return "To practise: nothing was beyond what a test of skill allows.\n";
    }
    std::string text = "To practise\n";
    int number = 0;
    for (const debrief::Practice& practice : found.practise) {
        std::string steps;
        for (const int step : practice.steps) {
            steps += (steps.empty() ? "" : ", ") + std::to_string(step);
        }
        text += paragraph(fmt::format("  {}  {} (step{} {}; {:.1f} times what is allowed). {}.", ++number,
                                      to_text(practice.exercise), practice.steps.size() == 1 ? "" : "s",
                                      steps, practice.times_allowed, practice.says),
                          "     ");
    }
    return text;
}

template <class Value, class Write>
std::string or_dash(const std::optional<Value>& value, Write write) {
    return value ? std::string(write(*value)) : std::string("-");
}

std::string steps_text(const debrief::Debrief& found) {
    std::string text =
        "                    time, min    aside, NM                 degrees  needle, %    protected  "
        "altitude, ft\n"
        "  step to         flown  card    mean    95 %  worst       worst    95 %  worst     inner   end off "
        " worst\n";
    for (const StepDebriefed& step : found.steps) {
        if (!step.flown) {
            text += step.missed ? std::string()
                                : fmt::format("  {:>4} {:<7}   not on the track\n", step.number,
                                              step.to.substr(0, 7));
            continue;
        }
        const auto& side = step.side;
        const auto minutes = [](Duration time) { return fmt::format("{:.1f}", base::in_minutes(time)); };
        const auto percent = [](double share) { return fmt::format("{:.0f}", share * 100.0); };
        const auto feet = [](Length length) {
            return fmt::format("{:+.0f}", std::round(length.feet() / 10.0) * 10.0);
        };
        text += fmt::format(
            "  {:>4} {:<7}   {:>6}{:>6}   {:>6}{:>7}{:>8}  {:>9}  {:>6}{:>7}   {:>6}    {:>6} {:>6}\n",
            step.number, step.to.substr(0, 7), minutes(step.ended - step.began),
            or_dash(step.time_on_card, minutes),
            or_dash(side, [](const auto& s) { return aside(s.aside.mean); }),
            or_dash(side,
                    [](const auto& s) { return fmt::format("{:.1f}", s.aside.within_95.nautical_miles()); }),
            or_dash(side, [](const auto& s) { return aside(s.aside.worst); }),
            side ? or_dash(side->degrees,
                           [](const auto& d) {
                               return fmt::format("{:.1f} {}", std::abs(d.worst.degrees()),
                                                  d.worst < base::Angle() ? "L" : "R");
                           })
                 : "-",
            side ? or_dash(side->of_full_scale, [&](const auto& n) { return percent(n.within_95); }) : "-",
            side ? or_dash(side->of_full_scale, [&](const auto& n) { return percent(std::abs(n.worst)); })
                 : "-",
            or_dash(side, [&](const auto& s) { return percent(s.inside_primary); }),
            or_dash(step.heights, [&](const auto& h) { return feet(h.at_end_off); }),
            step.heights ? or_dash(step.heights->off_level, [&](const auto& o) { return feet(o.worst); })
                         : "-");
    }
    return text;
}

struct EndText {
    std::string operator()(const debrief::ReadingEnd& end) const {
        return fmt::format("DME {} showed {:.1f} for {:.1f}", end.aid.ident, end.shown.nautical_miles(),
                           end.meant.nautical_miles());
    }
    std::string operator()(const debrief::LineEnd& end) const {
        return fmt::format("{} stood {:.1f} degrees off", end.aid.ident, std::abs(end.off.degrees()));
    }
    std::string operator()(const debrief::TimeEnd& end) const {
        return fmt::format("{} by the clock for {}", base::elapsed_text(end.taken),
                           base::elapsed_text(end.meant));
    }
    std::string operator()(const debrief::AltitudeEnd& end) const {
        return fmt::format("{:.0f} ft for {:.0f}", end.shown.feet(), end.meant.feet());
    }
};

std::string ends_text(const DebriefPage& page) {
    std::string text;
    for (const StepDebriefed& step : page.debrief.steps) {
        std::vector<std::string> parts;
        if (step.fix) {
            parts.push_back(fmt::format("passed at {}, {:.1f} NM away", moment(step.fix->at),
                                        step.fix->missed_by.nautical_miles()));
            if (abs(step.fix->aside) >= Length::nautical_miles(0.05)) {
                parts.back() +=
                    fmt::format(" ({:.1f} {} of the line)", std::abs(step.fix->aside.nautical_miles()),
                                side_of(step.fix->aside.metres()));
            }
            if (step.fix->turned_after) {
                const double after_s = step.fix->turned_after->count();
                parts.push_back(fmt::format("turn begun {:.0f} s {}", std::abs(after_s),
                                            after_s < 0.0 ? "before" : "after"));
            }
        }
        if (step.end) {
            parts.push_back(std::visit(EndText{}, *step.end));
        }
        if (step.side && step.side->was_established && step.side->established.count() > 30.0) {
            parts.push_back(fmt::format(
                "established after {}{}", base::elapsed_text(step.side->established),
                step.side->overshot >= Length::nautical_miles(0.05)
                    ? fmt::format(", {:.1f} NM beyond the line first", step.side->overshot.nautical_miles())
                    : std::string()));
        }
        if (step.guide && step.guide->heard_share < 0.995) {
            parts.push_back(fmt::format("{} heard for {:.0f} % of it ({})", step.guide->aid.ident,
                                        step.guide->heard_share * 100.0,
                                        radio::to_text(step.guide->silence)));
        }
        if (step.guide && step.guide->arrows_share < 0.9) {
            parts.push_back(
                fmt::format("TO/FROM as on the card for {:.0f} %", step.guide->arrows_share * 100.0));
        }
        if (step.heights && step.heights->below_minimum_for.count() > 10.0) {
            parts.push_back(fmt::format("{:.0f} ft below its minimum, {}", step.heights->below_minimum.feet(),
                                        base::elapsed_text(step.heights->below_minimum_for)));
        }
        if (step.side && step.side->glideslope_of_full_scale) {
            const auto& slope = *step.side->glideslope_of_full_scale;
            parts.push_back(fmt::format("glideslope within {:.0f} % of full scale, at worst {:.0f} % {}",
                                        slope.within_95 * 100.0, std::abs(slope.worst) * 100.0,
                                        slope.worst < 0.0 ? "down" : "up"));
        }
        if (step.hold) {
            std::string inbound;
            for (const Duration time : step.hold->inbound) {
                inbound += (inbound.empty() ? "" : ", ") + base::elapsed_text(time);
            }
            parts.push_back(fmt::format(
                "{} circuit{}{}{}, {:.1f} NM from the fix at most, {}", step.hold->circuits,
                step.hold->circuits == 1 ? "" : "s", inbound.empty() ? "" : ", inbound " + inbound,
                step.hold->inbound_meant && !inbound.empty()
                    ? " for " + base::elapsed_text(*step.hold->inbound_meant)
                    : "",
                step.hold->farthest.nautical_miles(),
                step.hold->outside > Length()
                    ? fmt::format("{:.1f} NM outside its protected area", step.hold->outside.nautical_miles())
                    : "inside its protected area"));
        }
        if (step.reversal) {
            parts.push_back(
                fmt::format("{:.1f} NM from the fix at most, {:.1f} allowed; {:.1f} NM to the side of the "
                            "turn, {:.1f} to the "
                            "other",
                            step.reversal->farthest.nautical_miles(), step.reversal->within.nautical_miles(),
                            step.reversal->to_the_turning_side.nautical_miles(),
                            step.reversal->to_the_other_side.nautical_miles()));
        }
        if (!parts.empty()) {
            std::string line = fmt::format("  {:>4} {:<7} ", step.number, step.to.substr(0, 7));
            for (std::size_t i = 0; i < parts.size(); ++i) {
                line += (i == 0 ? "" : "; ") + parts[i];
            }
            text += paragraph(line, "               ");
        }
    }
    return text.empty() ? text : "How each was flown\n" + text;
}

std::string shown_text(const debrief::ShownAt& shown) {
    std::string text = fmt::format("{} {}", shown.set, shown.aid.ident);
    if (shown.course) {
        text += fmt::format("/{:03.0f}", shown.course->degrees());
    }
    const auto needle = [](const cockpit::Needle& stands) {
        const double share = stands.of_full_scale();
        return std::abs(share) < 0.01 ? std::string(" centred")
                                      : fmt::format(" {:.0f} % {}", std::abs(share) * 100.0, side_of(share));
    };
    if (const auto* vor = std::get_if<cockpit::VorShown>(&shown.shows)) {
        return text + needle(vor->needle) +
               (vor->to_from == cockpit::ToFrom::to     ? " TO"
                : vor->to_from == cockpit::ToFrom::from ? " FROM"
                                                        : "");
    }
    if (const auto* localizer = std::get_if<cockpit::LocalizerShown>(&shown.shows)) {
        return text + needle(localizer->needle);
    }
    if (const auto* distance = std::get_if<cockpit::DistanceShown>(&shown.shows)) {
        return text + fmt::format(" {:.1f}", distance->reading.nautical_miles());
    }
    if (const auto* pointer = std::get_if<cockpit::PointerShown>(&shown.shows)) {
        const double off = std::remainder(pointer->relative.degrees(), 360.0);
        return text + fmt::format(" {:.0f} {} of the nose", std::abs(off), side_of(off));
    }
    return text + " flag";
}

std::string needles_text(const debrief::Debrief& found) {
    std::string text;
    for (const StepDebriefed& step : found.steps) {
        if (!step.flown || step.shown.empty()) {
            continue;
        }
        std::string line = fmt::format("  {:>4} {:<7} ", step.number, step.to.substr(0, 7));
        for (std::size_t i = 0; i < step.shown.size(); ++i) {
            line += (i == 0 ? "" : "; ") + shown_text(step.shown[i]);
        }
        text += paragraph(line, "               ");
    }
    return text.empty()
               ? text
               : "What the needles showed as each began, the sets as the card has them, without error\n" +
                     text;
}

}  // namespace

std::string debrief_text(const navdata::Snapshot& world, const DebriefPage& page) {
    return head_text(world, page) + practise_text(page.debrief) + "\n" + steps_text(page.debrief) + "\n" +
           ends_text(page) + "\n" + needles_text(page.debrief) + "\n" + not_for_navigation + "\n";
}

}  // namespace omniway::writers
