#include "writers/card_text.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "plan/wording.hpp"

namespace omniway::writers {

const char* const not_for_navigation =
    "For simulation and training. Not for real-world navigation: current official charts, local rules and\n"
    "licensed practice come first.";

namespace {

using base::Finding;
using base::Grade;
using plan::three_figures;

std::string clock_text(base::Duration time) {
    const long seconds = std::lround(time.count());
    return seconds >= 3600 ? fmt::format("{}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60)
                           : fmt::format("{}:{:02}", seconds / 60, seconds % 60);
}

std::string runway_text(const navdata::Snapshot& world, const flight::RunwayFit& fit) {
    const long along = std::lround(fit.headwind.knots());
    const long across = std::lround(std::abs(fit.crosswind.knots()));
    return fmt::format("{} ({} {} kt, across {} kt)", world[fit.runway].ident,
                       along < 0 ? "tailwind" : "headwind", std::abs(along), across);
}

std::string step_text(const navdata::Snapshot& world, const flight::Step& step) {
    std::string text = fmt::format("{:>3}  {}", step.number, plan::guidance_text(world, step));
    if (const auto station = procedure::station_of(step.guidance)) {
        text += fmt::format("   [{}]", plan::tuning_text(world[*station]));
    }
    text += "\n     ";
    if (step.length > base::Length()) {
        text += fmt::format("{:.1f} NM", step.length.nautical_miles());
        if (step.heading && step.groundspeed && step.time) {
            text +=
                fmt::format("  heading {}  {:.0f} kt  {}  {:.0f} lb", three_figures(step.heading->degrees()),
                            step.groundspeed->knots(), clock_text(*step.time), step.fuel.pounds());
        } else {
            text += "  no heading holds this course in this wind";
        }
        text += "  ";
    }
    text += fmt::format("{:.0f} ft", step.altitude.feet());
    if (step.phase == flight::Phase::en_route || step.minimum.altitude) {
        text += fmt::format("  minimum {}", plan::minimum_text(step.minimum));
        if (step.minimum_at_end) {
            text +=
                fmt::format(", {:.0f} ft after {}", step.minimum_at_end->feet(), step.minimum_at_end_from);
        }
    }
    text += fmt::format("\n     until {}\n", plan::ending_text(world, step));
    return text;
}

// Breaks text at spaces so that no line passes `width` columns; lines after the first are indented.
std::string wrapped(const std::string& text, std::size_t width, const std::string& indent) {
    std::string out;
    std::size_t column = 0;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        const std::size_t length = end - at;
        if (column > 0 && column + 1 + length > width) {
            out += "\n" + indent;
            column = indent.size();
        } else if (at > 0) {
            out += ' ';
            ++column;
        }
        out.append(text, at, length);
        column += length;
        at = end + 1;
    }
    return out;
}

std::string findings_text(const std::vector<Finding>& findings, bool everything) {
    std::string text;
    std::map<Grade, std::size_t> said;
    std::map<Grade, std::size_t> kept;
    for (const Finding& finding : findings) {
        if (!everything && said[finding.grade] >= 3) {
            ++kept[finding.grade];
            continue;
        }
        ++said[finding.grade];
        text += fmt::format(
            "  {:<7} {}\n", base::to_text(finding.grade),
            wrapped(fmt::format("{}: {}{}", finding.about, finding.text,
                                finding.remedy.empty() ? std::string() : " (" + finding.remedy + ")"),
                    90, "          "));
    }
    for (const auto& [grade, number] : kept) {
        text += fmt::format("  and {} more that {} (--why shows all)\n", number,
                            number == 1 ? base::to_text(grade)
                                        : base::to_text(grade).substr(0, base::to_text(grade).size() - 1));
    }
    return text;
}

}  // namespace

std::string card_text(const navdata::Snapshot& world, const plan::Request& request,
                      const plan::Answer& answer, bool everything) {
    const navdata::Airport& from = world[request.from];
    const navdata::Airport& to = world[request.to];
    std::string text = fmt::format("{} {} to {} {}\n{}, wind {}\nreception: {}\n\n", from.ident, from.name,
                                   to.ident, to.name, request.aircraft.name, weather::to_text(request.wind),
                                   plan::reception_text(answer.reception, answer.terrain_known));
    std::string verdict(base::to_text(answer.verdict));
    for (char& c : verdict) {
        c = static_cast<char>(c >= 'a' && c <= 'z' ? c - 'a' + 'A' : c);
    }
    text += verdict + "\n";
    if (answer.option) {
        const plan::Option& option = *answer.option;
        text += fmt::format("  {}\n", plan::route_text(world, option.flight));
        text += fmt::format("  take-off {}", runway_text(world, option.departure_runway));
        if (option.arrival_runway) {
            text += fmt::format(", landing {}", runway_text(world, *option.arrival_runway));
        }
        text += fmt::format("\n  {}\n", option.flight.approach.empty()
                                            ? std::string("arrival without a procedure")
                                            : option.flight.approach);
        text += fmt::format("  {:.0f} ft, {:.0f} NM", option.flight.cruise.feet(),
                            option.card.length.nautical_miles());
        if (option.card.time) {
            text += fmt::format(", {}", clock_text(*option.card.time));
        }
        text += fmt::format(", fuel {:.0f} lb, with taxi and reserve {:.0f} of {:.0f} lb\n\n",
                            option.card.fuel.pounds(), option.card.fuel_needed.pounds(),
                            request.aircraft.fuel.usable.pounds());
        flight::Phase phase = flight::Phase::departure;
        for (const flight::Step& step : option.card.steps) {
            if (step.number == 1 || step.phase != phase) {
                phase = step.phase;
                text += fmt::format("{}\n", plan::to_text(phase));
            }
            if (step.number > 1 && step.via != "direct" && phase == flight::Phase::en_route) {
                text += fmt::format("     {}\n", step.via);
            }
            text += step_text(world, step);
        }
        if (!option.card.missed.empty()) {
            text += "if missed\n";
            for (const flight::Step& step : option.card.missed) {
                text += step_text(world, step);
            }
        }
        text += "\n";
    }
    text += findings_text(answer.findings, everything);
    if (!answer.would_unblock.empty()) {
        text += "Would make it flyable:\n";
        for (const std::string& change : answer.would_unblock) {
            text += fmt::format("  {}\n", change);
        }
    } else if (answer.verdict == base::Verdict::not_flyable) {
        text +=
            "No change of equipment, altitude or dead-reckoning allowance that was tried makes it flyable.\n";
    }
    return text + "\n" + not_for_navigation + "\n";
}

std::string refused_text(const plan::Answer& answer) {
    std::string text = "Approaches\n";
    for (const plan::ApproachConsidered& approach : answer.approaches) {
        text += approach.flyable ? fmt::format("  {}: can be flown\n", approach.name)
                                 : fmt::format("  {}: {}\n", approach.name, approach.why_not);
    }
    text += "Ways\n";
    for (const Finding& finding : answer.refused) {
        if (!finding.code.starts_with("approach.") && !finding.code.starts_with("procedure.")) {
            text += fmt::format("  {}: {}\n", finding.about, finding.text);
        }
    }
    return text;
}

}  // namespace omniway::writers
