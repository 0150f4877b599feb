#include "writers/judge_text.hpp"

#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "flight/route.hpp"
#include "plan/plan.hpp"
#include "plan/wording.hpp"
#include "writers/card_text.hpp"
#include "writers/detail/card_blocks.hpp"
#include "writers/detail/findings_text.hpp"

namespace omniway::writers {

namespace {

std::string steps_text(const navdata::Snapshot& world, const std::vector<flight::TrackStep>& steps,
                       const std::vector<base::Finding>& findings) {
    std::string text;
    std::string via;
    for (const flight::TrackStep& step : steps) {
        if (step.via != via) {
            via = step.via;
            text += via + "\n";
        }
        std::string line = fmt::format("{:>3}  {}", step.number, plan::guidance_text(world, step));
        if (step.length > base::Length()) {
            line += fmt::format(", {:.1f} NM", step.length.nautical_miles());
        }
        line += fmt::format(", {:.0f} ft", step.altitude.feet());
        if (step.minimum.altitude) {
            line += ", minimum " + plan::minimum_text(step.minimum);
        }
        line += ", until " + plan::ending_text(world, step);
        std::string found;
        for (const base::Finding& finding : findings) {
            if (finding.step == step.number) {
                found += "   " + detail::finding_text(finding, false);
            }
        }
        text += detail::wrapped(line + (found.empty() ? ": ok" : ":"), 96, "     ") + "\n" + found;
    }
    return text;
}

std::string in_capitals(std::string_view words) {
    std::string text(words);
    for (char& c : text) {
        c = static_cast<char>(c >= 'a' && c <= 'z' ? c - 'a' + 'A' : c);
    }
    return text;
}

}  // namespace

std::string judge_text(const navdata::Snapshot& world, const plan::HandMadeRequest& request,
                       const plan::Option& option, const std::string& reception, bool everything) {
    const flight::Flight& flight = option.flight;
    const flight::FlightTrack& track = option.compiled.track;
    std::string text = fmt::format(
        "{}\n{}, wind {}\nreception: {}\n{}\n{}\n", detail::wrapped(flight::to_text(request.route), 96, "  "),
        request.flight.aircraft.name, weather::to_text(request.flight.winds), reception,
        detail::asked_text(world, request.flight), in_capitals(base::to_text(option.verdict)));
    text += fmt::format(
        "  {}\n  take-off {}{}{}\n", plan::route_text(world, flight), world[flight.departure_runway].ident,
        flight.arrival_runway ? ", landing " + world[*flight.arrival_runway].ident : std::string(),
        flight.approach.empty() ? std::string(", no approach") : ", " + flight.approach);
    text += fmt::format("  {}, {:.0f} NM", plan::levels_text(flight), track.length.nautical_miles());
    if (track.time) {
        text += ", " + base::elapsed_text(*track.time);
    }
    text +=
        fmt::format(", fuel {:.0f} lb, with taxi and reserve {:.0f} of {:.0f} lb\n\n", track.fuel.pounds(),
                    track.fuel_needed.pounds(), request.flight.aircraft.fuel.usable.pounds());
    text += steps_text(world, track.steps, option.findings);
    if (!track.missed.empty()) {
        text += "if missed: " + steps_text(world, track.missed, option.findings);
    }
    text += "\nfindings\n" + detail::findings_text(option.findings, everything);
    return text + "\n" + not_for_navigation + "\n";
}

}  // namespace omniway::writers
