#include "cli/detail/procedure_command.hpp"

#include "wire/procedure_json.hpp"
#include "writers/procedure_svg.hpp"
#include "writers/procedure_text.hpp"

namespace omniway::cli::detail {

void ProcedureCommand::declare(CLI::App& show) {
    show.add_option("PROCEDURE", procedure_, "Departure, arrival or approach of the airport IDENT, as flown");
    show.add_flag("--procedures", all_, "List every procedure of the airport IDENT: flyable, or why not");
    show.add_option("--wind", wind_, "Of a procedure: wind from true north, DDD/FF in knots, e.g. 270/15");
    show.add_option("--via", question_.via, "Of a procedure: one transition alone");
    show.add_option("--reversal", reversal_, "How a procedure turn is flown: 45/180 (the default) or 80/260");
    show.add_option("--svg", svg_, "Draw the procedure, plan and profile, to this file");
}

std::string ProcedureCommand::stray() const {
    return wind_ ? "--wind" : question_.via ? "--via" : reversal_ ? "--reversal" : svg_ ? "--svg" : "";
}

void ProcedureCommand::show(const std::string& airport, const std::optional<std::string>& aircraft,
                            const std::string& criteria, const std::optional<std::string>& reception) {
    const std::string help = ": omniway show --help says what is understood";
    if (procedure_ && all_) {
        host_.refuse({{"cli.arguments", "--procedures lists all, and names none" + help, ""}});
        return;
    }
    if (all_ && (svg_ || question_.via)) {
        host_.refuse({{"cli.arguments", "--svg and --via belong to one procedure" + help, ""}});
        return;
    }
    const auto atlas = host_.atlas_on(question_.today);
    if (!atlas) {
        return;
    }
    question_.airport = airport;
    question_.procedure = procedure_;
    question_.aircraft = aircraft.value_or(question_.aircraft);
    question_.wind = wind_.value_or(question_.wind);
    question_.reversal = reversal_.value_or(question_.reversal);
    question_.criteria = criteria;
    question_.reception = reception;
    const auto shown = app::show_procedures(*atlas, host_.shipped, question_);
    if (!shown) {
        host_.refuse(shown.error());
        return;
    }
    all_ ? show_all(*shown) : show_one(*shown);
    host_.tell_troubles(shown->world);
}

void ProcedureCommand::show_one(const app::ShownProcedures& shown) {
    const navdata::Snapshot& world = *shown.world.snapshot;
    const plan::ProcedureReport& report = shown.reports.front();
    if (svg_ && !host_.write(*svg_, writers::procedure_svg(world, report))) {
        return;
    }
    host_.around.out << (host_.json ? wire::procedure_json(world, report) + "\n"
                                    : writers::procedure_text(world, report));
}

void ProcedureCommand::show_all(const app::ShownProcedures& shown) {
    const navdata::Snapshot& world = *shown.world.snapshot;
    host_.around.out << (host_.json
                             ? wire::procedures_json(world, shown.airport, shown.request, shown.reports) +
                                   "\n"
                             : writers::procedures_text(world, shown.reports));
}

}  // namespace omniway::cli::detail
