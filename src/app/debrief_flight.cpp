#include "app/debrief_flight.hpp"

#include <cmath>

#include <fmt/format.h>

#include "app/detail/check_range.hpp"
#include "base/in_quotes.hpp"
#include "readers/track.hpp"

namespace omniway::app {

using base::Error;
using Faults = std::vector<Error>;

namespace {

Faults check(const DebriefQuestion& question) {
    Faults faults;
    detail::check_range(faults, question.longest_gap_s, 1.0, 3600.0, "longest gap", "s", "--gap");
    constexpr double most_flights = 1e6;
    detail::check_range(faults, question.flight_of_track, 1, most_flights, "flight of the track", "",
                        "--track");
    if (question.flight_of_track && *question.flight_of_track != std::floor(*question.flight_of_track)) {
        faults.push_back({"app.out_of_range",
                          fmt::format("flight of the track {} is no whole number", *question.flight_of_track),
                          "--track"});
    }
    if (!question.flight.files.has(question.card)) {
        faults.push_back({"app.debrief_what",
                          fmt::format("there is no file {}: name the file of the card that was flown "
                                      "(omniway plan --card writes one)",
                                      base::in_quotes(question.card)),
                          "CARD"});
    }
    return faults;
}

}  // namespace

tl::expected<Debriefed, Faults> debrief_flight(const std::string& atlas, const Shipped& shipped,
                                               const DebriefQuestion& question) {
    if (Faults faults = check(question); !faults.empty()) {
        return tl::unexpected(std::move(faults));
    }
    readers::TrackSetting setting;
    setting.longest_gap = base::Duration(question.longest_gap_s);
    if (question.flight_of_track) {
        setting.flight = static_cast<std::size_t>(*question.flight_of_track);
    }
    auto track = read_given(
        question.flight.files, question.track,
        [&](const std::string& text) { return readers::read_track(text, question.track, setting); },
        [&](const std::string& path) { return readers::read_track_file(path, setting); },
        [](Error error) -> base::Result<readers::TrackReading> {
            return tl::unexpected<Error>(std::move(error));
        });
    if (!track) {
        return tl::unexpected(Faults{track.error()});
    }
    auto flight = flight_of_card(atlas, shipped, question.card, question.flight, question.aircraft_named);
    if (!flight) {
        return tl::unexpected(flight.error());
    }
    if (!flight->option) {
        return tl::unexpected(
            Faults{{"app.debrief_what", "the card's request makes no flight in this atlas: plan it again",
                    question.card}});
    }
    Debriefed debriefed;
    debriefed.flight = std::make_unique<const FlightToRehearse>(std::move(*flight));
    debriefed.track = std::move(*track);
    const FlightToRehearse& made = *debriefed.flight;
    if (auto error = other_steps(made.card, made.option->compiled.card, question.card)) {
        return tl::unexpected(Faults{std::move(*error)});
    }
    const radio::Ground ground = ground_of(made.world, made.request.settings.reception);
    const flight::Circumstances day = day_of(made.world, ground, made.request);
    auto found = debrief::debrief(day, made.option->flight, made.option->compiled.track, made.card,
                                  debriefed.track.value, {setting.longest_gap});
    if (!found) {
        Error error = found.error();
        error.where = question.track + error.where;
        return tl::unexpected(Faults{std::move(error)});
    }
    debriefed.debrief = std::move(*found);
    return debriefed;
}

}  // namespace omniway::app
