#include "writers/detail/diversion_text.hpp"

#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "plan/loss_wording.hpp"
#include "plan/plan.hpp"
#include "plan/wording.hpp"
#include "writers/detail/findings_text.hpp"

namespace omniway::writers::detail {

namespace {

constexpr std::size_t columns = 96;

}  // namespace

std::string diversion_text(const navdata::Snapshot& world, std::size_t rank, const plan::Diversion& each) {
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
    std::string text = wrapped(line, columns, "   ") + "\n";
    if (each.first) {
        text += wrapped("   first: " + plan::first_text(*each.first), columns, "     ") + "\n";
    }
    const std::string approach =
        each.option.flight.approach.empty() ? std::string("no approach") : each.option.flight.approach;
    text += wrapped(fmt::format("   {}, {}, {:.0f} ft{}", plan::route_text(world, each.option.flight),
                                approach, each.option.flight.cruise.feet(),
                                each.option.verdict == base::Verdict::flyable_if ? ": flyable if" : ""),
                    columns, "     ") +
            "\n";
    for (const base::Finding& finding : each.option.findings) {
        if (finding.grade == base::Grade::asks) {
            text += wrapped("   asks  " + finding.about + ": " + finding.text, columns, "         ") + "\n";
        }
    }
    return text;
}

}  // namespace omniway::writers::detail
