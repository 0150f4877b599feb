#include "cli/detail/judge_command.hpp"

#include "app/answer_json.hpp"
#include "cli/detail/flight_words.hpp"
#include "plan/wording.hpp"
#include "writers/judge_text.hpp"

namespace omniway::cli::detail {

CLI::App* JudgeCommand::declare(CLI::App& app, std::optional<std::string>& date) {
    command_ = app.add_subcommand("judge", "Judge a route built by hand, or a card, leg by leg");
    command_->footer(
        "Examples: omniway judge \"XDOV N0110A080 DCT XDV V14 XKE DCT XHU DCT XODEL V12 XOBAN XMRA\"\n"
        "--wind 270/20 --approach I27; omniway judge flight.card.json");
    app::PlanQuestion& flight = question_.flight;
    command_
        ->add_option("ROUTE", question_.what, "File with a card or a route; else the route itself, in quotes")
        ->required();
    command_->add_option("--from", flight.from, "Departure airport (else the first word of the route)");
    command_->add_option("--to", flight.to, "Destination airport (else the last word of the route)");
    add_flight_words(*command_, flight);
    command_->add_option("--altitude", flight.altitude_ft,
                         "Cruising altitude in feet (else the route's own, else the lowest that does)");
    add_way_words(*command_, flight);
    command_->add_option("--departure", flight.departure,
                         "SID to fly, by ident, or own (else as the route names it)");
    command_->add_option("--arrival", flight.arrival,
                         "STAR to fly, by ident, or none (else as the route names it)");
    command_->add_option("--date", date, "Date of the flight, YYYY-MM-DD (else today)");
    command_->add_option("--card", card_,
                         "Write the card as JSON (api/card.schema.json) to a file, - for here");
    command_->add_flag("--why", why_, "List all findings");
    command_->callback([this] { judge(); });
    return command_;
}

bool JudgeCommand::write_card(const app::Judged& judged) {
    const auto card = app::card_json(judged);
    if (!card) {
        host_.around.err << "omniway: no card is written, for there is no flight: omniway judge without "
                            "--card - says why\n";
        return true;
    }
    return host_.give(*card_, *card);
}

void JudgeCommand::judge() {
    if (host_.json && card_ == "-") {
        host_.refuse(
            {{"cli.arguments", "--json and --card - both print a document: give the card a file of its own",
              "--card"}});
        return;
    }
    const auto path = host_.atlas_on(question_.flight.today);
    if (!path) {
        return;
    }
    question_.aircraft_named = command_->count("--aircraft") > 0;
    const auto judged = app::judge_flight(*path, host_.shipped, question_);
    if (!judged) {
        host_.refuse(judged.error());
        return;
    }
    if (judged->of_card) {
        for (const CLI::Option* option : command_->get_options()) {
            const std::string name = option->get_name();
            const bool of_any = name == "--aircraft" || name == "--json" || name == "--atlas" ||
                                name == "--why" || name == "--card" || name == "--help" ||
                                !name.starts_with("--");
            if (!of_any && option->count() > 0) {
                host_.refuse(
                    {{"cli.arguments",
                      name + " is of a route, and a card brings its own request: leave it away", ""}});
                return;
            }
        }
    }
    if (card_ && !write_card(*judged)) {
        return;
    }
    const navdata::Snapshot& world = *judged->world.snapshot;
    if (card_ != "-") {
        host_.around.out << (host_.json
                                 ? app::answer_json(*judged) + "\n"
                                 : writers::judge_text(
                                       world, judged->request, judged->option,
                                       plan::reception_text(judged->reception, judged->terrain_known), why_));
    }
    host_.tell_troubles(judged->world);
    host_.status = judged->option.verdict == base::Verdict::not_flyable ? 1 : 0;
}

}  // namespace omniway::cli::detail
