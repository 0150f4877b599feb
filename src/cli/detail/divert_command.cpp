#include "cli/detail/divert_command.hpp"

#include "cli/detail/flight_words.hpp"
#include "cli/detail/losses_command.hpp"
#include "plan/wording.hpp"
#include "wire/divert_json.hpp"
#include "writers/divert_text.hpp"

namespace omniway::cli::detail {

CLI::App* DivertCommand::declare(CLI::App& app, std::optional<std::string>& date) {
    CLI::App* command = app.add_subcommand(
        "divert", "Where one can land from a point of a flight or a position, and what to tune first");
    command->footer(
        "Examples: omniway divert XDOV XMRA --at 4 --wind 270/20; omniway divert XDOV XMRA --at 45NM;\n"
        "omniway divert --position XKE090015 --altitude 6000 --fuel 150");
    app::PlanQuestion& flight = question_.flight;
    command->add_option("FROM", flight.from, "Departure airport of the flight that is left");
    command->add_option("TO", flight.to, "Its destination");
    command->add_option(
        "--at", question_.at,
        "Where it is left: as a step of its card begins (5), or so far from the take-off (45NM)");
    command->add_option("--position", question_.position,
                        "Or a position: XKE, XKE090015, N44W072, N4430W07215 or LAT,LON");
    add_flight_words(*command, flight);
    add_way_words(*command, flight);
    command->add_option("--altitude", flight.altitude_ft,
                        "Altitude at the position in feet; of a flight, its cruising altitude (else chosen)");
    command->add_option(
        "--fuel", question_.fuel_lb,
        "Fuel on board there in pounds (else what the flight has left, or all that is usable)");
    command->add_option("--departure", flight.departure, "SID of the flight, by ident, or own (else chosen)");
    command->add_option("--arrival", flight.arrival, "STAR of the flight, by ident, or none (else chosen)");
    command->add_option("-n", question_.most, "Airports wanted, at most 20 (else 5)");
    command->add_option("--date", date, "Date of the flight, YYYY-MM-DD (else today)");
    command->callback([this] { run(); });
    return command;
}

void DivertCommand::run() {
    const auto path = host_.atlas_on(question_.flight.today);
    if (!path) {
        return;
    }
    const auto found = app::divert_flight(*path, host_.shipped, question_, progress_of(host_.around));
    end_progress(host_.around);
    if (!found) {
        refuse_or_cancelled(host_, found.error());
        return;
    }
    const navdata::Snapshot& world = *found->world.snapshot;
    const auto planned =
        found->planned ? std::optional(plan::route_text(world, found->planned->flight)) : std::nullopt;
    host_.around.out << (host_.json ? wire::divert_json(
                                          world, {found->request, planned, found->no_flight, found->found,
                                                  found->reception, found->terrain_known}) +
                                          "\n"
                                    : writers::divert_text(
                                          world, found->request, planned, found->no_flight, found->found,
                                          plan::reception_text(found->reception, found->terrain_known)));
    host_.tell_troubles(found->world);
    host_.status = found->found && !found->found->ranked.empty() ? 0 : 1;
}

}  // namespace omniway::cli::detail
