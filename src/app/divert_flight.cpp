#include "app/divert_flight.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "app/detail/airports_near.hpp"
#include "app/detail/check_range.hpp"
#include "app/detail/position_asked.hpp"
#include "base/in_quotes.hpp"

namespace omniway::app {

using base::Altitude;
using base::Error;
using base::Length;
using Faults = std::vector<Error>;

namespace {

constexpr Length worth_diverting = Length::nautical_miles(150.0);
constexpr std::size_t most_unless_asked = 5;

// The first word that only a flight that is left can have; empty: none is there.
std::string_view of_the_flight(const PlanQuestion& flight) {
    return !flight.via.empty()       ? "--via"
           : flight.departure_runway ? "--runway"
           : flight.landing_runway   ? "--landing-runway"
           : flight.approach         ? "--approach"
           : flight.departure        ? "--departure"
           : flight.arrival          ? "--arrival"
                                     : "";
}

// Of what was typed, whether it says from where at all, and says it once.
Faults check(const DivertQuestion& question) {
    Faults faults;
    const bool of_flight = !question.flight.from.empty() || !question.flight.to.empty();
    if (question.position && (of_flight || question.at)) {
        faults.push_back({"app.divert_from",
                          "a position and a flight are given: leave FROM, TO and --at, or --position, away",
                          "--position"});
    } else if (!question.position &&
               (question.flight.from.empty() || question.flight.to.empty() || !question.at)) {
        faults.push_back(
            {"app.divert_from",
             "nothing says from where: give FROM, TO and --at with a step of the card (--at 5) or a "
             "distance from the take-off (--at 45NM), or --position with --altitude",
             "--at"});
    } else if (question.position && !of_the_flight(question.flight).empty()) {
        faults.push_back(
            {"app.divert_from",
             fmt::format("{} is asked of a flight, and a position is given: leave it away, or give "
                         "FROM, TO and --at",
                         of_the_flight(question.flight)),
             std::string(of_the_flight(question.flight))});
    } else if (question.position && !question.flight.altitude_ft) {
        faults.push_back({"app.divert_from",
                          "a position is given without its altitude: give --altitude in feet", "--altitude"});
    }
    detail::check_range(faults, question.fuel_lb, 0, 1000000, "fuel", "lb", "--fuel");
    detail::check_range(faults, question.most, 1, 20, "number of airports", "", "-n");
    return faults;
}

struct Prepared {
    PlanQuestion question;
    std::vector<std::string> near;
    std::optional<earth::Position> place;
};

// Where it is asked of, so that the procedures near it are loaded and no others.
tl::expected<Prepared, Faults> prepare(const std::string& atlas, const Shipped& shipped,
                                       const DivertQuestion& question) {
    const auto world = open_world(atlas, shipped, {{}, false, question.flight.without});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    Prepared prepared{question.flight, {}, std::nullopt};
    const navdata::Snapshot& snapshot = *world->snapshot;
    if (!question.position) {
        const auto from = snapshot.airport(question.flight.from);
        const auto to = snapshot.airport(question.flight.to);
        if (from && to) {
            prepared.near = detail::airports_near(snapshot, snapshot[*from].position, snapshot[*to].position,
                                                  worth_diverting);
        }
        prepared.question.nearby = prepared.near;
        return prepared;
    }
    const auto place =
        detail::position_asked(*world, *question.position, question.flight.today, "--position");
    if (!place) {
        return tl::unexpected(Faults{place.error()});
    }
    prepared.place = *place;
    prepared.near = detail::airports_near(snapshot, *place, *place, worth_diverting);
    if (prepared.near.size() < 2) {
        return tl::unexpected(Faults{
            {"app.divert_from",
             fmt::format(
                 "fewer than two airports with a runway lie within {:.0f} NM of {}: import the data that "
                 "holds them",
                 worth_diverting.nautical_miles(), base::in_quotes(*question.position)),
             "--position"}});
    }
    prepared.question.nearby = prepared.near;
    // The fields over which the winds are laid.
    prepared.question.of_a_place = true;
    prepared.question.from = prepared.near[0];
    prepared.question.to = prepared.near[1];
    return prepared;
}

// "5", "45NM", "12.5NM": how far from the take-off that is.
base::Result<Length> along_of(const std::string& at, const plan::Option& option) {
    const flight::FlightTrack& track = option.compiled.track;
    double number = 0.0;
    const char* const end = at.data() + at.size();
    const auto [stop, problem] = std::from_chars(at.data(), end, number);
    const std::string_view unit(stop, static_cast<std::size_t>(end - stop));
    if (problem != std::errc() || !(number >= 0.0) || (!unit.empty() && unit != "NM" && unit != "nm")) {
        return base::failure(
            "app.at_form",
            fmt::format("{} is neither a step of the card (5) nor a distance from the take-off (45NM)",
                        base::in_quotes(at)),
            "--at");
    }
    if (!unit.empty()) {
        const Length along = Length::nautical_miles(number);
        if (along > track.length) {
            return base::failure(
                "app.at_form",
                fmt::format("{:.1f} NM from the take-off is past the end of the flight: it is {:.1f} "
                            "NM long",
                            number, track.length.nautical_miles()),
                "--at");
        }
        return along;
    }
    Length along;
    for (const flight::TrackStep& step : track.steps) {
        if (step.number == number) {
            return along;
        }
        along += step.length;
    }
    return base::failure("app.at_form",
                         fmt::format("the card has no step {:g}: its steps are 1 to {}", number,
                                     track.steps.empty() ? 0 : track.steps.back().number),
                         "--at");
}

}  // namespace

tl::expected<Diverted, Faults> divert_flight(const std::string& atlas, const Shipped& shipped,
                                             const DivertQuestion& question, const base::Progress& progress) {
    if (Faults faults = check(question); !faults.empty()) {
        return tl::unexpected(std::move(faults));
    }
    const auto prepared = prepare(atlas, shipped, question);
    if (!prepared) {
        return tl::unexpected(prepared.error());
    }
    Diverted diverted;
    plan::InFlight now;
    if (prepared->place) {
        auto asked = read_question(atlas, shipped, prepared->question);
        if (!asked) {
            return tl::unexpected(asked.error());
        }
        diverted.world = std::move(asked->world);
        diverted.request = std::move(asked->request);
        now.at = {*question.position, *prepared->place, *diverted.request.cruise};
        now.fuel = diverted.request.aircraft.fuel.usable;
        diverted.request.cruise.reset();
    } else {
        auto planned = plan_flight(atlas, shipped, prepared->question);
        if (!planned) {
            return tl::unexpected(planned.error());
        }
        diverted.world = std::move(planned->world);
        diverted.request = std::move(planned->request);
        if (!planned->answer.option || planned->answer.verdict == base::Verdict::not_flyable) {
            diverted.no_flight = std::move(planned->answer.findings);
            return diverted;
        }
        diverted.planned = std::move(planned->answer.option);
        const auto along = along_of(*question.at, *diverted.planned);
        if (!along) {
            return tl::unexpected(Faults{along.error()});
        }
        now = plan::present_at(diverted.request, *diverted.planned, *along);
    }
    if (question.fuel_lb) {
        now.fuel = base::Mass::pounds(*question.fuel_lb);
    }
    const radio::Ground ground = ground_of(diverted.world, diverted.request.settings.reception);
    diverted.reception = ground.mode;
    diverted.terrain_known = ground.terrain != nullptr && !ground.terrain->empty();
    const navdata::Snapshot& world = *diverted.world.snapshot;
    if (diverted.planned) {
        const flight::Circumstances day{world,
                                        ground,
                                        *diverted.world.model,
                                        diverted.request.today,
                                        diverted.request.aircraft,
                                        diverted.request.settings,
                                        diverted.request.winds};
        const auto along = along_of(*question.at, *diverted.planned);
        now.ahead = plan::rest_of_way(day, world, diverted.planned->flight, *along);
    }
    plan::DiversionQuestion asked;
    asked.airports = detail::airports_of(world, prepared->near);
    asked.most = question.most ? static_cast<std::size_t>(*question.most) : most_unless_asked;
    diverted.found =
        plan::diversions(world, ground, *diverted.world.model, diverted.request, now, asked, progress);
    if (diverted.found->cancelled) {
        return tl::unexpected(Faults{
            {"app.cancelled", "cancelled before the airports were looked at; nothing is printed", ""}});
    }
    return diverted;
}

}  // namespace omniway::app
