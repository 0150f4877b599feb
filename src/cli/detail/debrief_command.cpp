#include "cli/detail/debrief_command.hpp"

#include <fmt/format.h>

#include "app/answer_json.hpp"
#include "plan/wording.hpp"
#include "readers/track_reading.hpp"
#include "writers/debrief_text.hpp"

namespace omniway::cli::detail {

namespace {

constexpr std::size_t most_diagnostics = 10;

}  // namespace

CLI::App* DebriefCommand::declare(CLI::App& app) {
    command_ = app.add_subcommand(
        "debrief",
        "Lay a flown track against the card it was flown by: what was held how well, what to practise");
    command_->footer(
        "Example: omniway debrief flight.card.json flown.gpx\n"
        "Tracks are GPX, NMEA 0183 or CSV (docs/track-file.md); omniway rehearse --example 1 --gpx FILE "
        "writes one.");
    command_->add_option("CARD", question_.card, "The file of the card (plan --card)")->required();
    command_->add_option("TRACK", question_.track, "The file of the flown track: GPX, NMEA 0183 or CSV")
        ->required();
    command_->add_option("--track", question_.flight_of_track,
                         "Which flight of the track's file, where it has several: 1, 2, ...");
    command_->add_option(
        "--gap", question_.longest_gap_s,
        "Longest time without a point that figures are reckoned across, in seconds (else 60)");
    command_->add_option("--aircraft", question_.flight.aircraft,
                         "Its file, where the card's aircraft is not a shipped one");
    command_->callback([this] { run(); });
    return command_;
}

void DebriefCommand::run() {
    const auto path = host_.atlas_on(question_.flight.today);
    if (!path) {
        return;
    }
    question_.aircraft_named = command_->count("--aircraft") > 0;
    const auto debriefed = app::debrief_flight(*path, host_.shipped, question_);
    if (!debriefed) {
        host_.refuse(debriefed.error());
        return;
    }
    tell(*debriefed);
    host_.tell_troubles(debriefed->flight->world);
}

void DebriefCommand::tell(const app::Debriefed& debriefed) {
    const app::FlightToRehearse& flight = *debriefed.flight;
    const navdata::Snapshot& world = *flight.world.snapshot;
    const readers::TrackReading& track = debriefed.track;
    if (host_.json) {
        host_.around.out << app::answer_json(debriefed, question_) << "\n";
        return;
    }
    const std::size_t left_out = track.counts.not_used_in_all();
    const std::string of_track = fmt::format(
        "{} ({}, {}{} points{})", question_.track, readers::form_text(track.form),
        track.flights > 1 ? fmt::format("flight {} of {}, ", track.flight, track.flights) : std::string(),
        track.counts.used, left_out > 0 ? fmt::format(", {} left out", left_out) : std::string());
    host_.around.out << writers::debrief_text(
        world, {flight.request, *flight.option, flight.card, flight.file, of_track, track.value,
                plan::reception_text(flight.reception, flight.terrain_known), debriefed.debrief});
    for (std::size_t i = 0; i < std::min(track.diagnostics.size(), most_diagnostics); ++i) {
        host_.around.err << base::to_text(track.diagnostics[i]) << "\n";
    }
    if (track.diagnostics.size() > most_diagnostics) {
        host_.around.err << fmt::format("and {} more about the track: --json has them\n",
                                        track.diagnostics.size() - most_diagnostics);
    }
}

}  // namespace omniway::cli::detail
