#include "writers/card_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "plan/comparison.hpp"
#include "plan/wording.hpp"
#include "writers/detail/card_blocks.hpp"
#include "writers/detail/findings_text.hpp"
#include "writers/rehearse_text.hpp"

namespace omniway::writers {

const char* const not_for_navigation =
    "For simulation and training. Not for real-world navigation: current official charts, local rules and\n"
    "licensed practice come first.";

namespace {

using base::elapsed_text;
using base::Finding;
using detail::findings_text;
using detail::wrapped;

std::string runway_text(const navdata::Snapshot& world, const flight::RunwayFit& fit) {
    const long along = std::lround(fit.headwind.knots());
    const long across = std::lround(std::abs(fit.crosswind.knots()));
    std::string text = fmt::format("{} ({} {} kt, across {} kt", world[fit.runway].ident,
                                   along < 0 ? "tailwind" : "headwind", std::abs(along), across);
    if (fit.headwind_in_gusts && fit.crosswind_in_gusts) {
        text += fmt::format("; in gusts {:.0f} and {:.0f}", std::abs(fit.headwind_in_gusts->knots()),
                            std::abs(fit.crosswind_in_gusts->knots()));
    }
    return text + ")";
}

// "straight-in, DA 292 ft, 1/2 SM (minima.csv:2)"; a minimum that is not given is said to be the chart's.
std::string landing_text(const flight::Flight& flight) {
    const bool circling = flight.landing == procedure::Landing::circling;
    if (!flight.minimum) {
        return circling ? ", circling, minimum from the chart" : ", minimum from the chart";
    }
    return ", " + procedure::to_text(*flight.minimum);
}

std::string considered_text(const plan::ApproachConsidered& approach) {
    std::string text = approach.name;
    if (!approach.flyable) {
        return text + ": " + approach.why_not;
    }
    if (approach.landing == procedure::Landing::circling) {
        text += ", circling to " + approach.runway;
    }
    text += ":";
    if (approach.track_miles) {
        text += fmt::format(" {:.0f} NM,", approach.track_miles->nautical_miles());
    }
    if (approach.minimum) {
        text += fmt::format(" {} {:.0f} ft,", procedure::to_text(approach.minimum->kind),
                            approach.minimum->altitude.feet());
    } else if (approach.typical_minimum) {
        text += fmt::format(" about {:.0f} ft (typical),", approach.typical_minimum->feet());
    }
    base::Length work;
    for (const plan::WorkItem& item : approach.work) {
        work += item.worth;
    }
    text += fmt::format(" work and minimum {:.0f}", work.nautical_miles());
    return text + (approach.why_not.empty() ? ": taken" : ": " + approach.why_not);
}

std::string runways_text(const navdata::Snapshot& world, const std::vector<flight::RunwayFit>& fits) {
    std::string text;
    for (const flight::RunwayFit& fit : fits) {
        text += fmt::format("  {}, {:.0f} ft of {:.0f} needed: {}\n", runway_text(world, fit),
                            fit.usable.feet(), fit.needed.feet(),
                            &fit == &fits.front() && fit.fits() ? std::string("most headwind")
                                                                : flight::why_behind(fits.front(), fit));
    }
    return text;
}

// "time 58 min, work 31 points, 42 % left where it is tightest"
std::string costs_text(const flight::Costs& costs) {
    return fmt::format("{}, work {:.0f} points, {:.0f} % left where it is tightest", elapsed_text(costs.time),
                       costs.work, costs.margin.least() * 100.0);
}

// "of 200 rehearsals 100.0 % (98.1 to 100.0) arrive"; empty where none were asked for.
std::string proved_text(std::span<const rehearsal::Chance> proved, std::size_t flight) {
    return flight < proved.size()
               ? fmt::format("of {} rehearsals {} % arrive", proved[flight].of, chance_text(proved[flight]))
               : std::string();
}

std::string others_text(const navdata::Snapshot& world, const plan::Answer& answer,
                        std::span<const rehearsal::Chance> proved) {
    if (!answer.costs) {
        return proved.empty() ? "" : fmt::format("\nProved: {}\n", proved_text(proved, 0));
    }
    std::string text = fmt::format("\nThis one: {}\n", costs_text(*answer.costs));
    text += proved.empty() ? "" : fmt::format("  {}\n", proved_text(proved, 0));
    text += answer.others.empty() ? "No other flight is better in time, work or margin and another way.\n"
                                  : "Others (--choose N):\n";
    const plan::Outline first = answer.option ? plan::outline_of(world, *answer.option) : plan::Outline();
    for (std::size_t i = 0; i < answer.others.size(); ++i) {
        const plan::Choice& other = answer.others[i];
        const flight::Flight& flight = other.option.flight;
        const auto line = [](const std::string& words) {
            return detail::wrapped("     " + words, 100, "       ") + "\n";
        };
        text +=
            detail::wrapped(fmt::format("  {}  {}", i + 2, plan::route_text(world, flight)), 100, "       ") +
            "\n" + line(plan::levels_text(flight) + ", " + plan::approach_text(other.option)) +
            line(costs_text(other.costs)) + (i + 1 < proved.size() ? line(proved_text(proved, i + 1)) : "") +
            line(other.difference);
        for (const std::string& sentence : plan::differences(first, plan::outline_of(world, other.option))) {
            text += line(sentence);
        }
    }
    return text + (answer.choices_cut_short
                       ? "The search for others came to its bound: some may be missing.\n"
                       : "");
}

}  // namespace

std::string card_text(const navdata::Snapshot& world, const plan::Request& request,
                      const plan::Answer& answer, bool everything,
                      std::span<const rehearsal::Chance> proved) {
    const navdata::Airport& from = world[request.from];
    const navdata::Airport& to = world[request.to];
    std::string text = fmt::format("{} {} to {} {}\n{}, wind {}\nreception: {}\n", from.ident, from.name,
                                   to.ident, to.name, request.aircraft.name, weather::to_text(request.winds),
                                   plan::reception_text(answer.reception, answer.terrain_known));
    text += detail::asked_text(world, request) + "\n";
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
                                            : option.flight.approach + landing_text(option.flight));
        text += fmt::format("  {}, {:.0f} NM", plan::levels_text(option.flight),
                            option.compiled.track.length.nautical_miles());
        if (option.compiled.track.time) {
            text += fmt::format(", {}", elapsed_text(*option.compiled.track.time));
        }
        text += fmt::format(", fuel {:.0f} lb, with taxi and reserve {:.0f} of {:.0f} lb\n\n",
                            option.compiled.track.fuel.pounds(), option.compiled.track.fuel_needed.pounds(),
                            request.aircraft.fuel.usable.pounds());
        text += detail::lined_up_text(option.compiled) + detail::steps_text(world, option.compiled);
    }
    text += findings_text(answer.findings, everything);
    text += others_text(world, answer, proved);
    if (!answer.would_unblock.empty()) {
        text += "Would make it flyable:\n";
        for (const std::string& change : answer.would_unblock) {
            text += fmt::format("  {}\n", change);
        }
    } else if (answer.verdict == base::Verdict::not_flyable) {
        text += answer.changes_tried == 0
                    ? std::string("Nothing is there to be changed that might make it flyable.\n")
                : answer.changes_tried == 1
                    ? std::string("The one change that was tried does not make it flyable.\n")
                    : fmt::format("None of the {} changes that were tried makes it flyable.\n",
                                  answer.changes_tried);
    }
    if (answer.changes_not_tried > 0) {
        text += fmt::format("{} more changes, of two or three things together, were not tried.\n",
                            answer.changes_not_tried);
    }
    return text + "\n" + not_for_navigation + "\n";
}

namespace {

std::string considered_text(const char* heading, const std::vector<plan::ProcedureConsidered>& considered) {
    std::string text;
    for (const plan::ProcedureConsidered& each : considered) {
        text += fmt::format("  {}: {}\n", each.name, each.flyable ? "can be flown" : each.why_not);
    }
    return text.empty() ? text : heading + text;
}

std::string mattered_text(const plan::Answer& answer) {
    const std::string untried = answer.lifts_not_tried > 0
                                    ? fmt::format("; {} more were not tried", answer.lifts_not_tried)
                                    : std::string();
    if (answer.mattered.empty()) {
        return fmt::format(
            "Nothing that was refused mattered: {} lifted one by one, and none gave a better flight{}\n",
            answer.lifts_tried == 1 ? std::string("1 refusal was")
                                    : fmt::format("{} refusals were", answer.lifts_tried),
            untried);
    }
    std::string text = "What mattered: lifted, it makes another flight the answer\n";
    for (const plan::Mattered& each : answer.mattered) {
        text += "  " + wrapped(each.lifted + ": " + each.with_it, 110, "    ") + "\n";
        for (const Finding& finding : each.refused) {
            text +=
                "    " + wrapped("now refused: " + finding.about + ": " + finding.text, 108, "      ") + "\n";
        }
    }
    return text + fmt::format("  {} refusal{} lifted one by one{}\n", answer.lifts_tried,
                              answer.lifts_tried == 1 ? " was" : "s were", untried);
}

}  // namespace

std::string refused_text(const navdata::Snapshot& world, const plan::Answer& answer) {
    std::string text = "Runways for take-off\n" + runways_text(world, answer.departure_runways) +
                       considered_text("Departures\n", answer.departures) + "Runways for landing\n" +
                       runways_text(world, answer.arrival_runways) +
                       considered_text("Arrivals\n", answer.arrivals) +
                       "Approaches (work and minimum: NM of detour they are worth)\n";
    for (const plan::ApproachConsidered& approach : answer.approaches) {
        const std::string rank = approach.rank ? fmt::format("{:>2} ", *approach.rank) : "   ";
        text += rank + wrapped(considered_text(approach), 110, "       ") + "\n";
    }
    if (!answer.mattered.empty() || answer.lifts_tried > 0) {
        text += mattered_text(answer);
    }
    text += "Ways not taken\n";
    for (const Finding& finding : answer.refused) {
        if (!finding.code.starts_with("approach.") && !finding.code.starts_with("procedure.")) {
            text += "  " + wrapped(finding.about + ": " + finding.text, 108, "    ") + "\n";
        }
    }
    return text;
}

}  // namespace omniway::writers
