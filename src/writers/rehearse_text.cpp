#include "writers/rehearse_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "writers/card_text.hpp"
#include "writers/detail/findings_text.hpp"

namespace omniway::writers {

using rehearsal::Chance;
using rehearsal::Outcome;
using rehearsal::Rehearsal;
using rehearsal::Spread;

namespace {

constexpr std::size_t columns = 96;
constexpr std::size_t most_weak_points = 12;
constexpr double metres_in_a_nautical_mile = 1852.0;
constexpr double metres_in_a_foot = 0.3048;

// To a tenth, near either end to a hundredth, so that nearly all is never printed as all, nor hardly any as none.
std::string percent(double share) {
    constexpr double rounding = 1e-9;
    if (share >= 1.0 - rounding || share <= rounding) {
        return share > 0.5 ? "100.0" : "0.0";
    }
    if (share > 0.999 || share < 0.001) {
        return fmt::format("{:.2f}", std::clamp(share * 100.0, 0.01, 99.99));
    }
    return fmt::format("{:.1f}", share * 100.0);
}

std::string head_text(const navdata::Snapshot& world, const RehearsalPage& page) {
    const navdata::Airport& from = world[page.request.from];
    const navdata::Airport& to = world[page.request.to];
    std::string text =
        fmt::format("{} {} to {} {}\n{}, wind {}\nreception: {}\n", from.ident, from.name, to.ident, to.name,
                    page.request.aircraft.name, weather::to_text(page.request.winds), page.reception);
    if (page.option) {
        const flight::Flight& flight = page.option->flight;
        text += detail::wrapped("  " + plan::route_text(world, flight), columns, "    ") + "\n" +
                fmt::format("  {}\n", flight.approach.empty() ? std::string("no approach") : flight.approach);
    }
    if (!page.file.empty()) {
        text += fmt::format("flown as the card {} has it\n", page.file);
    }
    return text + "\n";
}

std::string at(const Spread& spread, double share) {
    const auto value = spread.at(share);
    return value ? fmt::format("{:.1f}", *value) : std::string("-");
}

// "CHANCE TO ARRIVE 99.9 (99.8 to 99.95) %"
std::string headline_text(const Rehearsal& found, const rehearsal::RehearsalQuestion& question) {
    if (question.no_runway) {
        const Chance flown{found.flights, found.outcomes[static_cast<std::size_t>(Outcome::missed_flown)]};
        return fmt::format("RUNWAY NEVER IN SIGHT\nCHANCE TO FLY THE MISSED APPROACH TO ITS END {} %\n",
                           chance_text(flown));
    }
    return fmt::format("CHANCE TO ARRIVE {} %\n", chance_text(found.arrived)) +
           (found.in_sight.of == 0
                ? std::string()
                : fmt::format("  runway in sight at the end of the card: {} % of the flights that reach it\n",
                              chance_text(found.in_sight))) +
           (found.missed_flown.of == 0
                ? std::string()
                : fmt::format("  missed approach flown to its end: {} % of those that begin it\n",
                              chance_text(found.missed_flown)));
}

// How those that did not end as asked ended.
std::string others_text(const Rehearsal& found, Outcome asked) {
    std::string text;
    for (std::size_t i = 1; i < found.outcomes.size(); ++i) {
        if (found.outcomes[i] > 0 && static_cast<Outcome>(i) != asked) {
            const Chance chance{found.flights, found.outcomes[i]};
            text += fmt::format("  {:<24} {:>8}   {} %\n", to_text(static_cast<Outcome>(i)),
                                found.outcomes[i], chance_text(chance));
        }
    }
    return text.empty() ? text : "The others\n" + text;
}

std::string time_and_fuel_text(const Rehearsal& found) {
    const auto whole = [](const std::optional<double>& value) {
        return value ? fmt::format("{:.0f}", *value) : std::string("-");
    };
    const auto on_card =
        found.time_on_card ? std::optional(base::in_minutes(*found.time_on_card)) : std::nullopt;
    return fmt::format(
        "             half within   95 % within   the card\n"
        "  time, min  {:>11}   {:>11}   {:>8}\n"
        "  fuel, lb   {:>11}   {:>11}   {:>8}\n",
        whole(found.time_min.at(0.5)), whole(found.time_min.at(0.95)), whole(on_card),
        whole(found.fuel_lb.at(0.5)), whole(found.fuel_lb.at(0.95)), whole(found.fuel_on_card.pounds()));
}

std::string step_lines(std::span<const rehearsal::StepRehearsed> steps, std::span<const flight::Step> on_card,
                       std::span<const rehearsal::StepOnStage> meant) {
    std::string text;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const rehearsal::StepRehearsed& step = steps[i];
        if (step.as_meant.of == 0) {
            text += fmt::format("  {:>4} {:<7} never begun\n", step.number, on_card[i].to.substr(0, 7));
            continue;
        }
        const bool lined = step.aside_nm.count() > 0;
        const bool at_fix = meant[i].ends_at_fix;
        const std::string interval =
            fmt::format("({} to {})", percent(step.as_meant.low()), percent(step.as_meant.high()));
        text += fmt::format(
            "  {:>4} {:<7} {:>5}  {:<16} {:>4}  {:>4}  {:>4}   {:>5}  {:>5}    {:>4}  {:>4}\n", step.number,
            on_card[i].to.substr(0, 7), percent(step.as_meant.share()), interval, at(step.aside_nm, 0.5),
            at(step.aside_nm, 0.95), at(step.aside_nm, 0.99), lined ? percent(step.inside_primary) : "-",
            lined ? percent(step.inside_total) : "-", at_fix ? at(step.missed_by_nm, 0.5) : "-",
            at_fix ? at(step.missed_by_nm, 0.95) : "-");
    }
    return text;
}

std::string steps_text(const Rehearsal& found, const flight::Card& card, const rehearsal::Stage& stage) {
    std::string text =
        "                 ends as meant            aside, NM          protected, %   missed by, NM\n"
        "  step to        %      (interval)      50 %  95 %  99 %   inner  whole    50 %  95 %\n" +
        step_lines(found.steps, card.steps, stage.steps());
    if (found.missed_flown.of > 0) {
        text += "  missed approach\n" + step_lines(found.missed, card.missed, stage.missed());
    }
    return text;
}

std::string slip_lines(std::span<const rehearsal::StepRehearsed> steps,
                       std::span<const flight::Step> on_card) {
    std::string text;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const rehearsal::StepRehearsed& step = steps[i];
        if (step.below_minimum.did + step.above_maximum.did + step.unidentified.did + step.dead_needle.did >
            0) {
            text += fmt::format("  {:>4} {:<7} {:>13} {:>13} {:>19} {:>13}\n", step.number,
                                on_card[i].to.substr(0, 7), percent(step.below_minimum.share()),
                                percent(step.above_maximum.share()), percent(step.unidentified.share()),
                                percent(step.dead_needle.share()));
        }
    }
    return text;
}

// Altitude busts, missed idents and dead needles, of the steps that had one.
std::string slips_text(const Rehearsal& found, const flight::Card& card) {
    const std::string lines = slip_lines(found.steps, card.steps) + slip_lines(found.missed, card.missed);
    return lines.empty() ? std::string("No altitude bust, no ident missed, no dead needle.\n")
                         : "Of the flights that began the step, in percent\n"
                           "  step to      300 ft below  300 ft above   without its ident   dead needle\n" +
                               lines;
}

std::string weak_points_text(const Rehearsal& found) {
    if (found.weak_points.empty()) {
        return "Weak points: none was seen.\n";
    }
    std::string text = "Weak points, in percent of all flights\n";
    const std::size_t shown = std::min(found.weak_points.size(), most_weak_points);
    for (std::size_t i = 0; i < shown; ++i) {
        const rehearsal::WeakPoint& weak = found.weak_points[i];
        text += detail::wrapped(fmt::format("  {:>5}  {}", percent(weak.share), weak.says), columns,
                                "         ") +
                "\n";
    }
    if (shown < found.weak_points.size()) {
        text += fmt::format("         and {} rarer\n", found.weak_points.size() - shown);
    }
    return text;
}

std::string examples_text(const Rehearsal& found, const std::string& again) {
    if (found.examples.empty()) {
        return "";
    }
    std::string text = "Flights to look at again\n";
    for (const rehearsal::Example& example : found.examples) {
        text += fmt::format("  {}\n    {} --example {}\n", example.why, again, example.flight + 1);
    }
    return text;
}

// "failed: XRG from step 6, DME from 30 min"
std::string failures_text(const rehearsal::Failures& failures) {
    std::string text;
    for (const rehearsal::Failure& failure : failures) {
        text += (text.empty() ? "FAILED: " : ", ") + to_text(failure);
    }
    return text.empty() ? text : detail::wrapped(text, columns, "  ") + "\n";
}

// "how many, by what"
std::string question_text(const Rehearsal& found, const RehearsalPage& page) {
    std::string text = fmt::format("{} flight{} by needle alone, errors: {}, seed {}", found.flights,
                                   found.flights == 1 ? "" : "s", page.errors, page.question.seed.value);
    if (found.cut_short) {
        text += fmt::format("\nCUT SHORT: cancelled, {} were asked for", page.question.flights);
    } else if (found.narrow_enough) {
        text += fmt::format("; {} were asked for, and the interval was narrow enough", page.question.flights);
    }
    return text + "\n" + failures_text(page.question.failures);
}

std::string no_flight_text(const RehearsalPage& page) {
    return "NOT FLYABLE: there is no flight to rehearse\n" + detail::findings_text(page.findings, true) +
           "\n" + not_for_navigation + "\n";
}

// What the cockpit shows, in a line.
std::string panel_text(const cockpit::Panel& panel) {
    std::string text = fmt::format("HDG {:03.0f} ALT {:.0f}", panel.heading.degrees(), panel.altitude.feet());
    for (std::size_t i = 0; i < panel.receiver_count; ++i) {
        const cockpit::ReceiverOnPanel& receiver = panel.receivers[i];
        text += fmt::format(", NAV{} {:.2f}/{:03.0f}", i + 1, receiver.active.megahertz(),
                            receiver.course.degrees());
        if (receiver.shown.flag) {
            text += " flag";
            continue;
        }
        const double needle = receiver.shown.needle.of_full_scale();
        text += fmt::format(" {:.0f} %{}{}{}", std::abs(needle) * 100.0,
                            std::abs(needle) < 0.005 ? ""
                            : needle > 0.0           ? " right"
                                                     : " left",
                            receiver.shown.to_from == cockpit::ToFrom::to     ? " TO"
                            : receiver.shown.to_from == cockpit::ToFrom::from ? " FROM"
                                                                              : "",
                            receiver.ident.empty() ? "" : " " + std::string(receiver.ident.letters()));
    }
    text += panel.distance.flag ? "" : fmt::format(", DME {:.1f}", panel.distance.reading.nautical_miles());
    if (!panel.pointer.ident.empty()) {
        text +=
            fmt::format(", ADF {} {:+.0f}", panel.pointer.ident.letters(), panel.pointer.relative.degrees());
    }
    return text;
}

}  // namespace

std::string chance_text(const Chance& chance) {
    return fmt::format("{} ({} to {})", percent(chance.share()), percent(chance.low()),
                       percent(chance.high()));
}

std::string rehearse_text(const navdata::Snapshot& world, const RehearsalPage& page,
                          const std::optional<Rehearsal>& found) {
    std::string text = head_text(world, page);
    if (!found) {
        return text + no_flight_text(page);
    }
    text += question_text(*found, page);
    if (found->flights > 0) {
        text += "\n" + headline_text(*found, page.question) + others_text(*found, as_asked(page.question)) +
                "\n" + time_and_fuel_text(*found) + "\n" + steps_text(*found, page.card, *page.stage) + "\n" +
                slips_text(*found, page.card) + "\n" + weak_points_text(*found) +
                examples_text(*found, page.again);
    }
    return text + "\nIntervals hold 95 in 100 times.\n" + not_for_navigation + "\n";
}

std::string rehearsed_flight_text(const navdata::Snapshot& world, const RehearsalPage& page,
                                  std::size_t flight, const rehearsal::Trial& trial,
                                  std::span<const rehearsal::Moment> moments) {
    const rehearsal::Stage& stage = *page.stage;
    const auto number_of = [&](std::size_t step) { return stage.step(step).number; };
    std::string text = head_text(world, page) + failures_text(page.question.failures);
    text += fmt::format("Flight {}, errors: {}, seed {}: {}{}, {}, {:.0f} lb of fuel, {:.1f} NM\n\n", flight,
                        page.errors, page.question.seed.value, to_text(trial.outcome),
                        trial.outcome == as_asked(page.question)
                            ? std::string()
                            : fmt::format(" in step {}", number_of(trial.failed_step)),
                        base::elapsed_text(base::Duration(trial.time_s)), trial.fuel_lb,
                        trial.flown_m / metres_in_a_nautical_mile);
    std::optional<std::size_t> step;
    double next_s = 0.0;
    for (const rehearsal::Moment& moment : moments) {
        const bool begins = step != moment.step;
        if (begins) {
            step = moment.step;
            const std::string& to = rehearsal::step_at(page.card, moment.step).to;
            const rehearsal::StepFlown& flown = trial.steps[moment.step];
            text += fmt::format("step {}{}: ", number_of(moment.step), to.empty() ? "" : " to " + to);
            text += !flown.ended ? "does not end" : flown.as_meant ? "ends as meant" : "ends elsewhere";
            if (flown.ended && stage.step(moment.step).ends_at_fix) {
                text +=
                    fmt::format(", {:.1f} NM from its fix", flown.missed_by_m / metres_in_a_nautical_mile);
            }
            text +=
                fmt::format("; at worst {:.1f} NM aside\n", flown.worst_aside_m / metres_in_a_nautical_mile);
        }
        if (begins || moment.time_s >= next_s) {
            next_s = moment.time_s + 60.0;
            const earth::Position place = stage.frame().to_position(moment.place);
            text += detail::wrapped(
                        fmt::format("  {:>7}  {:.3f} {:.3f}, {:.0f} ft, {:.1f} NM {}: {}",
                                    base::elapsed_text(base::Duration(moment.time_s)), place.latitude_deg(),
                                    place.longitude_deg(), moment.altitude_m / metres_in_a_foot,
                                    std::abs(moment.aside_m) / metres_in_a_nautical_mile,
                                    moment.aside_m < 0.0 ? "left" : "right", panel_text(*moment.panel)),
                        columns, "           ") +
                    "\n";
        }
    }
    return text + "\n" + not_for_navigation + "\n";
}

}  // namespace omniway::writers
