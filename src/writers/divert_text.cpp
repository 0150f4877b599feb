#include "writers/divert_text.hpp"

#include <fmt/format.h>

#include "plan/plan.hpp"
#include "writers/card_text.hpp"
#include "writers/detail/diversion_text.hpp"
#include "writers/detail/findings_text.hpp"

namespace omniway::writers {

namespace {

constexpr std::size_t columns = 96;

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
        text += detail::diversion_text(world, i + 1, found->ranked[i]);
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
