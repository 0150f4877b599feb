#include "cli/detail/why_command.hpp"

#include "app/answer_json.hpp"
#include "cli/detail/flight_words.hpp"
#include "plan/wording.hpp"
#include "writers/why_text.hpp"

namespace omniway::cli::detail {

CLI::App* WhyCommand::declare(CLI::App& app, std::optional<std::string>& date) {
    command_ = app.add_subcommand("why", "Tell why a route built by hand is not the one that is offered");
    command_->footer(
        "Example: omniway why XDOV XMRA \"DCT XDV V14 XKE DCT XHU DCT XODEL V12 XOBAN\" --wind 270/20");
    app::PlanQuestion& flight = question_.flight;
    command_->add_option("FROM", flight.from, "Departure airport")->required();
    command_->add_option("TO", flight.to, "Destination airport")->required();
    command_
        ->add_option("ROUTE", question_.what,
                     "The route in quotes, with or without its airports; or a file with it")
        ->required();
    add_flight_words(*command_, flight);
    add_way_words(*command_, flight);
    command_->add_option(
        "--altitude", flight.altitude_ft,
        "Cruising altitude in feet, of the route and of what is offered (else the route's own, else the "
        "lowest that does)");
    command_->add_option("--date", date, "Date of the flight, YYYY-MM-DD (else today)");
    command_->add_flag("--all", everything_, "List every offered flight, and all findings that block");
    command_->callback([this] { why(); });
    return command_;
}

void WhyCommand::why() {
    const auto path = host_.atlas_on(question_.flight.today);
    if (!path) {
        return;
    }
    question_.aircraft_named = command_->count("--aircraft") > 0;
    const auto explained = app::why_route(*path, host_.shipped, question_);
    if (!explained) {
        host_.refuse(explained.error());
        return;
    }
    const app::Judged& judged = explained->judged;
    const navdata::Snapshot& world = *judged.world.snapshot;
    host_.around.out << (host_.json
                             ? app::answer_json(*explained) + "\n"
                             : writers::why_text(world, judged.request, judged.option, explained->why,
                                                 plan::reception_text(judged.reception, judged.terrain_known),
                                                 everything_));
    host_.tell_troubles(judged.world);
    host_.status = judged.option.verdict == base::Verdict::not_flyable ? 1 : 0;
}

}  // namespace omniway::cli::detail
