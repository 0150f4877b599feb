#include "writers/divert_text.hpp"

#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "plan/loss_wording.hpp"
#include "plan/plan.hpp"
#include "writers/card_text.hpp"
#include "writers/detail/findings_text.hpp"

namespace omniway::writers {

namespace {

constexpr std::size_t columns = 96;

std::string ranked_text(const navdata::Snapshot& world, std::size_t rank, const plan::Diversion& each) {
    const flight::FlightTrack& track = each.option.compiled.track;
    std::string line = fmt::format(
        "{}. {} {}: {}{:.0f} NM ({:.0f} direct), {:.0f} lb left{}", rank, world[each.airport].ident,
        world[each.airport].name, each.time ? base::elapsed_text(*each.time) + ", " : std::string(),
        track.length.nautical_miles(), each.direct.nautical_miles(), each.fuel_left.pounds(),
        each.fuel_left < each.reserve ? " (less than the reserve)" : "");
    if (each.option.arrival_runway) {
        const flight::RunwayFit& fit = *each.option.arrival_runway;
        line += fmt::format(", {} {:.0f} ft, headwind {:.0f} kt", world[fit.runway].ident,
                            world[fit.runway].length.feet(), std::round(fit.headwind.knots()) + 0.0);
    }
    line += each.minima_known ? ", minima as given" : ", minima unknown";
    line += ", weather unknown";
    std::string text = detail::wrapped(line, columns, "   ") + "\n";
    if (each.first) {
        text += detail::wrapped("   first: " + plan::first_text(*each.first), columns, "     ") + "\n";
    }
    const std::string approach =
        each.option.flight.approach.empty() ? std::string("no approach") : each.option.flight.approach;
    text +=
        detail::wrapped(fmt::format("   {}, {}, {:.0f} ft{}", plan::route_text(world, each.option.flight),
                                    approach, each.option.flight.cruise.feet(),
                                    each.option.verdict == base::Verdict::flyable_if ? ": flyable if" : ""),
                        columns, "     ") +
        "\n";
    for (const base::Finding& finding : each.option.findings) {
        if (finding.grade == base::Grade::asks) {
            text += detail::wrapped("   asks  " + finding.about + ": " + finding.text, columns, "         ") +
                    "\n";
        }
    }
    return text;
}

}  // namespace

std::string divert_text(const navdata::Snapshot& world, const plan::Request& request,
                        const std::optional<std::string>& planned,
                        const std::vector<base::Finding>& no_flight,
                        const std::optional<plan::Diversions>& found, const std::string& reception) {
    std::string text;
    if (planned) {
        text += detail::wrapped("from " + *planned, columns, "  ") + "\n";
    }
    text += fmt::format("{}, wind {}\nreception: {}\n\n", request.aircraft.name,
                        weather::to_text(request.winds), reception);
    if (!found) {
        return text + "NOT FLYABLE: there is no flight to divert from\n" +
               detail::findings_text(no_flight, false) + "\n" + not_for_navigation + "\n";
    }
    text += fmt::format("at {}, {:.0f} ft, {:.0f} lb of fuel\n\n", found->from.at.name,
                        found->from.at.altitude.feet(), found->from.fuel.pounds());
    if (found->ranked.empty()) {
        text += "no airport has an approach that can be flown from there\n";
    }
    for (std::size_t i = 0; i < found->ranked.size(); ++i) {
        text += ranked_text(world, i + 1, found->ranked[i]);
    }
    if (!found->refused.empty()) {
        text += found->ranked.empty() ? "\nrefused\n" : "\nnearer, and refused\n";
        for (const plan::DiversionRefused& each : found->refused) {
            text += detail::wrapped(fmt::format("   {} ({:.0f} NM): {}", world[each.airport].ident,
                                                each.direct.nautical_miles(), each.why),
                                    columns, "     ") +
                    "\n";
        }
    }
    return text + "\n" + not_for_navigation + "\n";
}

}  // namespace omniway::writers
