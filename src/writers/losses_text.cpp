#include "writers/losses_text.hpp"

#include <fmt/format.h>

#include "plan/loss_wording.hpp"
#include "plan/plan.hpp"
#include "plan/step_wording.hpp"
#include "plan/wording.hpp"
#include "writers/card_text.hpp"
#include "writers/detail/findings_text.hpp"

namespace omniway::writers {

namespace {

constexpr std::size_t columns = 96;

std::string station_text(const navdata::Snapshot& world, const plan::StationLoss& loss) {
    std::string text = detail::wrapped(fmt::format("{}{}: {}", loss.strands() ? "STRANDS  " : "",
                                                   plan::tuning_text(loss.aid), plan::uses_text(loss)),
                                       columns, "    ") +
                       "\n";
    if (loss.only_checks()) {
        return text + "  the flight goes on without the check\n";
    }
    text += detail::wrapped("  before the take-off: " + (loss.flyable_from_the_ground
                                                             ? loss.route_from_the_ground
                                                             : std::string("no flight without it")),
                            columns, "    ") +
            "\n";
    for (const plan::Failure& failure : loss.failures) {
        text += detail::wrapped(
                    fmt::format("  {} ({}, {:.0f} ft): {}", failure.when, failure.at.at.name,
                                failure.at.at.altitude.feet(), plan::fallback_text(world, loss, failure)),
                    columns, "    ") +
                "\n";
    }
    return text;
}

}  // namespace

std::string losses_text(const navdata::Snapshot& world, const plan::Request& request,
                        const plan::Answer& answer, const std::optional<plan::LossReport>& report) {
    std::string text =
        fmt::format("{} to {}, {}, wind {}\nreception: {}\n\n", world[request.from].ident,
                    world[request.to].ident, request.aircraft.name, weather::to_text(request.winds),
                    plan::reception_text(answer.reception, answer.terrain_known));
    if (!report) {
        return text + "NOT FLYABLE\n" + detail::findings_text(answer.findings, false) + "\n" +
               not_for_navigation + "\n";
    }
    const auto stranding = report->stranding();
    text += detail::wrapped(
                plan::route_text(world, answer.option->flight) + ", " + answer.option->flight.approach,
                columns, "  ") +
            "\n";
    if (stranding.empty()) {
        text += fmt::format("no single failure of its {} stations strands it\n\n", report->stations.size());
    } else {
        text += fmt::format("{} of its {} stations strand it where they fail\n\n", stranding.size(),
                            report->stations.size());
    }
    for (const plan::StationLoss& loss : report->stations) {
        text += station_text(world, loss);
    }
    return text + "\n" + not_for_navigation + "\n";
}

}  // namespace omniway::writers
