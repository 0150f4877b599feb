#include "writers/detail/card_blocks.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "plan/step_wording.hpp"
#include "plan/wording.hpp"
#include "writers/detail/findings_text.hpp"

namespace omniway::writers::detail {

namespace {

constexpr std::size_t width = 98;
const std::string indent(13, ' ');

// "     until   reaching 3,000 ft", broken under the text.
std::string labelled(std::string_view label, const std::string& text) {
    return wrapped(fmt::format("     {:<7} {}", label, text), width, indent) + "\n";
}

std::string radios_text(const flight::StepRadios& radios) {
    std::string text;
    std::string line;
    for (const std::string& set : plan::radios_in_short(radios)) {
        if (!line.empty() && indent.size() + line.size() + 3 + set.size() > width) {
            text += labelled(text.empty() ? "radios" : "", line);
            line.clear();
        }
        line += (line.empty() ? "" : " | ") + set;
    }
    return line.empty() ? text : text + labelled(text.empty() ? "radios" : "", line);
}

// The fix stands before what tells it, where that does not name it.
std::string end_text(const flight::Step& step) {
    const std::string end = plan::end_text(step.end);
    const bool named = step.to.empty() || std::holds_alternative<flight::ChangeOver>(step.end) ||
                       end.find(step.to) != std::string::npos;
    return named ? end : step.to + ": " + end;
}

std::string step_text(const flight::Step& step) {
    std::string text =
        wrapped(fmt::format("{:>3}  {}", step.number, plan::guidance_text(step.guidance)), width, indent) +
        "\n";
    text += labelled("until", end_text(step));
    text += labelled("height", plan::heights_text(step.heights));
    if (step.expected.distance > base::Length()) {
        text += labelled("expect", plan::expected_text(step.expected));
    }
    text += radios_text(step.radios);
    for (const flight::StepWork& work : step.work) {
        text += labelled("do", plan::work_text(work));
    }
    if (step.check) {
        text += labelled("check", plan::check_text(*step.check));
    }
    for (const flight::Notice& notice : step.expected.notices) {
        text += labelled("note", plan::notice_text(notice));
    }
    return text;
}

bool leaves_an_altitude(const flight::Card& card) {
    return std::any_of(card.steps.begin(), card.steps.end(), [](const flight::Step& step) {
        return std::any_of(step.work.begin(), step.work.end(), [](const flight::StepWork& work) {
            return std::holds_alternative<flight::LeaveAltitude>(work);
        });
    });
}

// What only the flight track knows: the top of descent where the card does not say it, and at its end the lines of the final.
std::string events_text(const navdata::Snapshot& world, const flight::Compiled& compiled, int step) {
    const flight::FlightTrack& track = compiled.track;
    std::string text;
    if (track.descent && track.descent->step == step && !leaves_an_altitude(compiled.card)) {
        text += labelled("do", plan::descent_text(world, track.descent->top));
    }
    if (track.final_approach && track.final_approach->last_step == step) {
        for (const std::string& line : plan::final_lines(world, *track.final_approach)) {
            text += labelled("final", line);
        }
    }
    return text;
}

const flight::Step* step_of(const flight::Card& card, int number) {
    for (const std::vector<flight::Step>* steps : {&card.steps, &card.missed}) {
        for (const flight::Step& step : *steps) {
            if (step.number == number) {
                return &step;
            }
        }
    }
    return nullptr;
}

std::string no_schedule_text(const flight::Compiled& compiled, const flight::NoSchedule& none) {
    std::string text = "the radios aboard have no schedule for this flight";
    if (none.need < compiled.radios.needs.size()) {
        const int number = compiled.radios.needs[none.need].step;
        const flight::Step* step = step_of(compiled.card, number);
        text += fmt::format(": step {}{}", number,
                            step == nullptr || step->to.empty() ? std::string() : " to " + step->to);
    }
    return labelled("radios", text + ": " + none.why);
}

}  // namespace

std::string asked_text(const navdata::Snapshot& world, const plan::Request& request) {
    const std::string asked = plan::asked_text(world, request);
    return asked.empty() ? asked : wrapped("asked: " + asked, width, "  ") + "\n";
}

std::string lined_up_text(const flight::Compiled& compiled) {
    const flight::Card& card = compiled.card;
    std::string text = "lined up\n";
    if (const auto* none = std::get_if<flight::NoSchedule>(&compiled.schedule)) {
        text += no_schedule_text(compiled, *none);
    }
    for (const std::string& line : plan::radios_lines(card.lined_up)) {
        // Morse is never broken: what is too long goes on before the standby window.
        const std::size_t standby = line.find(", standby");
        const bool too_long = standby != std::string::npos && line.size() + 5 > width + 2;
        text += "     " + line.substr(0, too_long ? standby + 1 : line.size()) + "\n";
        text += too_long ? indent + line.substr(standby + 2) + "\n" : "";
    }
    for (const flight::StepWork& work : card.before_take_off) {
        text += labelled("do", plan::work_text(work));
    }
    if (card.immediate_return) {
        text += labelled("back", plan::return_text(*card.immediate_return));
    }
    return text + "\n";
}

std::string steps_text(const navdata::Snapshot& world, const flight::Compiled& compiled) {
    std::string text;
    flight::Phase phase = flight::Phase::departure;
    std::string via;
    for (const flight::Step& step : compiled.card.steps) {
        if (step.number == 1 || step.phase != phase) {
            phase = step.phase;
            text += fmt::format("{}\n", plan::to_text(phase));
        }
        const bool named = phase == flight::Phase::en_route || phase == flight::Phase::arrival;
        if (step.number > 1 && step.via != via && step.via != "direct" && named) {
            text += fmt::format("     {}\n", step.via);
        }
        via = step.via;
        text += step_text(step) + events_text(world, compiled, step.number) + "\n";
    }
    if (!compiled.card.missed.empty()) {
        text += "if missed\n";
        for (const flight::Step& step : compiled.card.missed) {
            text += step_text(step) + "\n";
        }
    }
    return text;
}

}  // namespace omniway::writers::detail
