#include "cli/detail/rehearse_command.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include <fmt/format.h>

#include "app/again.hpp"
#include "app/answer_json.hpp"
#include "cli/detail/flight_words.hpp"
#include "cli/detail/losses_command.hpp"
#include "plan/wording.hpp"
#include "writers/rehearsal_gpx.hpp"
#include "writers/rehearse_text.hpp"

namespace omniway::cli::detail {

namespace {

constexpr int not_flyable = 1;
constexpr int cancelled = 3;

}  // namespace

CLI::App* RehearseCommand::declare(CLI::App& app, std::optional<std::string>& date,
                                   const std::vector<std::string>& typed) {
    typed_ = typed;
    command_ = app.add_subcommand(
        "rehearse",
        "Fly a card many times by needle alone, in wrong winds with biased stations: where it goes wrong");
    command_->footer(
        "Examples: omniway rehearse XDOV XMRA --wind 270/20 --flights 1000; omniway rehearse "
        "flight.card.json;\n"
        "omniway rehearse XDOV XMRA --wind 270/20 --example 7 --gpx flight7.gpx;\n"
        "omniway rehearse XDOV XMRA --wind 270/20 --fail XRG@6 --fail DME@30min");
    app::PlanQuestion& flight = question_.flight;
    command_->add_option("FROM", flight.from, "Departure airport, or a file with a card (plan --card)")
        ->required();
    command_->add_option("TO", flight.to, "Destination airport; none beside a card");
    command_->add_option("--flights", question_.flights, "How many flights, 1 to 1000000 (else 1000)");
    command_->add_option("--seed", question_.seed,
                         "What the errors are drawn from; the same seed, the same flights (else 1)");
    command_->add_option("--threads", question_.threads,
                         "How many at a time (else as many as there are processors)");
    command_->add_option(
        "--errors", question_.errors,
        "How wrong the world is: nominal (the default), none, or a file (docs/errors-file.md)");
    command_
        ->add_option("--fail", question_.fail,
                     "What fails: a station by ident, NAV1, DME, ADF, glideslope, heading-indicator; from a "
                     "step of the "
                     "card with @STEP, from a minute with @MINUTESmin; may be given more than once")
        ->allow_extra_args(false);
    command_->add_flag("--no-runway", question_.no_runway,
                       "The runway is never in sight: the missed approach is flown to its end");
    command_->add_option("--narrow", question_.narrow_percent,
                         "Enough once the chance to arrive is known so well to either side, in percent");
    command_->add_option("--time-step", question_.time_step_s,
                         "Of the simulation, 0.25 to 2 seconds (else 1)");
    CLI::Option* example = command_->add_option("--example", question_.example,
                                                "One of the flights again, second by second, by its number");
    command_->add_option("--gpx", gpx_, "Write that flight as a GPX track to a file")->needs(example);
    add_flight_words(*command_, flight);
    add_way_words(*command_, flight);
    command_->add_option("--altitude", flight.altitude_ft, "Cruising altitude in feet (else chosen)");
    command_->add_option("--departure", flight.departure,
                         "SID to fly, by ident, or own for an own departure (else chosen)");
    command_->add_option("--arrival", flight.arrival, "STAR to fly, by ident, or none (else chosen)");
    command_->add_option("--date", date, "Date of the flight, YYYY-MM-DD (else today)");
    command_->callback([this] { run(); });
    return command_;
}

// A card brings its own request: nothing of a flight is asked beside it.
bool RehearseCommand::is_understood() {
    if (!question_.flight.to.empty()) {
        return true;
    }
    constexpr std::array<std::string_view, 15> of_any{
        "--no-runway", "--fail", "--flights",  "--seed", "--threads", "--errors", "--narrow", "--time-step",
        "--example",   "--gpx",  "--aircraft", "--json", "--atlas",   "--help",   "FROM"};
    for (const CLI::Option* option : command_->get_options()) {
        const std::string name = option->get_name();
        if (option->count() > 0 && std::find(of_any.begin(), of_any.end(), name) == of_any.end()) {
            host_.refuse(
                {{"cli.arguments",
                  name + " is of a flight to be planned, and a card brings its own request: leave it away",
                  ""}});
            return false;
        }
    }
    return true;
}

void RehearseCommand::run() {
    const auto path = host_.atlas_on(question_.flight.today);
    if (!path || !is_understood()) {
        return;
    }
    if (question_.flight.to.empty()) {
        std::swap(question_.card, question_.flight.from);
    }
    question_.aircraft_named = command_->count("--aircraft") > 0;
    const auto rehearsed = app::rehearse_flight(*path, host_.shipped, question_, progress_of(host_.around));
    end_progress(host_.around);
    if (!rehearsed) {
        refuse_or_cancelled(host_, rehearsed.error());
        return;
    }
    if (rehearsed->replayed && gpx_ && !write_track(*rehearsed)) {
        return;
    }
    tell(*rehearsed);
    host_.tell_troubles(rehearsed->flight->world);
    host_.status = !rehearsed->on_stage                                      ? not_flyable
                   : rehearsed->rehearsal && rehearsed->rehearsal->cut_short ? cancelled
                                                                             : 0;
}

bool RehearseCommand::write_track(const app::Rehearsed& rehearsed) {
    const app::FlightToRehearse& flight = *rehearsed.flight;
    const navdata::Snapshot& world = *flight.world.snapshot;
    const std::string name = fmt::format(
        "{} to {}, rehearsed flight {}: {}", world[flight.request.from].ident, world[flight.request.to].ident,
        rehearsed.replayed->flight, to_text(rehearsed.replayed->trial.outcome));
    return host_.write(*gpx_, writers::rehearsal_gpx(rehearsed.on_stage->stage(), rehearsed.replayed->moments,
                                                     name, flight.request.today));
}

void RehearseCommand::tell(const app::Rehearsed& rehearsed) {
    const app::FlightToRehearse& flight = *rehearsed.flight;
    const navdata::Snapshot& world = *flight.world.snapshot;
    const auto& replayed = rehearsed.replayed;
    const std::string again = app::again_of(typed_);
    const rehearsal::Stage* stage = rehearsed.on_stage ? &rehearsed.on_stage->stage() : nullptr;
    if (host_.json) {
        host_.around.out << app::answer_json(rehearsed, question_, again) << "\n";
        return;
    }
    const writers::RehearsalPage page{
        flight.request,     flight.option, flight.findings,
        flight.verdict,     flight.card,   flight.file,
        question_.errors,   again,         plan::reception_text(flight.reception, flight.terrain_known),
        rehearsed.question, stage};
    host_.around.out << (replayed ? writers::rehearsed_flight_text(world, page, replayed->flight,
                                                                   replayed->trial, replayed->moments)
                                  : writers::rehearse_text(world, page, rehearsed.rehearsal));
}

}  // namespace omniway::cli::detail
