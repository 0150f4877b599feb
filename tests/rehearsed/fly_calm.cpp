// Plans flights and flies each card by needle in calm air and with perfect instruments, the wind being the forecast's: every flight that the
// planner admits must come to its runway, and where its card has a missed approach fly that to its end: the runway is never in sight. One that does not
// is a fault of the planner or of the rehearsal.
//
//   fly_calm ATLAS SHARE_FOLDER WIND AIRCRAFT all | procedures
//   fly_calm ATLAS SHARE_FOLDER varied N SEED
//   fly_calm ATLAS SHARE_FOLDER drawn DRAW SEED
//
// `all`: every pair of the atlas's airports; `procedures`: those of airports that have an approach, 40 to 250 NM apart. `varied`: N that are
// admitted, of random such pairs, aircraft and winds; in the world of each every tenth station is out of service, every tenth has another frequency
// and every twentieth stands up to three miles elsewhere. The same seed draws the same flights.
//
// `drawn`: one of them, with what its panel showed every ten seconds.
//
// Prints each that did not, and a line of counts; exit status 1 where one did not arrive (with `all`: or did not fly its missed approach), or none was
// admitted.

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <string>
#include <variant>
#include <vector>

#include <fmt/format.h>

#include "app/plan_flight.hpp"
#include "base/random.hpp"
#include "earth/geodesic.hpp"
#include "plan/step_wording.hpp"
#include "plan/wording.hpp"
#include "rehearsal/rehearse.hpp"
#include "routing/roads.hpp"
#include "store/atlas.hpp"

namespace {

using namespace omniway;

constexpr auto nearest = base::Length::nautical_miles(40.0);
constexpr auto farthest = base::Length::nautical_miles(250.0);

struct Counts {
    int asked = 0;
    int admitted = 0;
    int arrived = 0;
    int have_missed = 0;
    int missed_flown = 0;
};

// What is flown: a question and the world it is asked of.
struct Day {
    const navdata::Snapshot& snapshot;
    const app::World& world;
    const radio::Ground& ground;
    routing::Roads& roads;
};

void tell(const std::vector<flight::Step>& steps) {
    for (const flight::Step& step : steps) {
        fmt::print("{:2} {}, until {}, {:.0f} ft at its end, {:.1f} NM at {:.0f} kt\n", step.number,
                   plan::guidance_text(step.guidance), plan::end_text(step.end), step.heights.at_end.feet(),
                   step.expected.distance.nautical_miles(), step.expected.true_airspeed.knots());
    }
}

// Every ten seconds: where it was and what it was shown.
void tell(const rehearsal::Stage& stage, const rehearsal::Moment& moment) {
    if (std::fmod(moment.time_s, 10.0) != 0.0) {
        return;
    }
    const earth::Position place = stage.frame().to_position(moment.place);
    fmt::print("{:5.0f} s step {:2} {:.4f} {:.4f} {:5.0f} ft aside {:5.2f} NM track {:3.0f}", moment.time_s,
               rehearsal::step_at(stage.card(), moment.step).number, place.latitude_deg(),
               place.longitude_deg(), moment.altitude_m / 0.3048, moment.aside_m / 1852.0, moment.track_deg);
    for (std::size_t i = 0; i < moment.panel->receiver_count; ++i) {
        const auto& on = moment.panel->receivers[i];
        const bool slope = !on.glideslope.flag;
        fmt::print(" | {} {:03.0f} {} {:5.2f}{}", on.ident.letters(), on.course.degrees(),
                   on.shown.flag                               ? "flag"
                   : on.shown.to_from == cockpit::ToFrom::to   ? "to"
                   : on.shown.to_from == cockpit::ToFrom::from ? "from"
                                                               : "-",
                   on.shown.needle.of_full_scale(),
                   slope ? fmt::format(" gs {:.2f}", on.glideslope.needle.of_full_scale()) : "");
    }
    fmt::print(" | dme {} {:.1f}\n", moment.panel->distance.ident.letters(),
               moment.panel->distance.reading.nautical_miles());
}

void fly(const Day& day, const plan::Request& request, const std::string& in_what, Counts& counts,
         bool told = false) {
    ++counts.asked;
    const plan::Answer answer = plan::plan(day.snapshot, day.ground, *day.world.model, request, day.roads);
    if (!answer.option || answer.verdict == base::Verdict::not_flyable) {
        return;
    }
    ++counts.admitted;
    const flight::Circumstances circumstances{day.snapshot,  day.ground,       *day.world.model,
                                              request.today, request.aircraft, request.settings,
                                              request.winds};
    const plan::Option& option = *answer.option;
    const rehearsal::Stage stage(circumstances, option.flight, option.compiled.track, option.compiled.card);
    rehearsal::RehearsalQuestion calm;
    calm.errors = rehearsal::no_errors();
    calm.no_runway = true;
    rehearsal::Watch watch;
    if (told) {
        tell(option.compiled.card.steps);
        tell(option.compiled.card.missed);
        watch.each_second = [&stage](const rehearsal::Moment& moment) { tell(stage, moment); };
    }
    const rehearsal::Trial trial = rehearsal::fly_again(stage, calm, 0, watch);
    counts.arrived += trial.at_the_runway ? 1 : 0;
    const bool has_missed = !option.compiled.card.missed.empty();
    counts.have_missed += has_missed ? 1 : 0;
    // Each of its steps ends where it is meant to: at its fix, inside what is protected.
    const std::size_t first_missed = stage.steps().size();
    std::size_t elsewhere = trial.failed_step;
    bool flown = trial.outcome == rehearsal::Outcome::missed_flown;
    for (std::size_t i = first_missed; flown && i < trial.steps.size(); ++i) {
        flown = trial.steps[i].as_meant;
        elsewhere = i;
    }
    counts.missed_flown += flown ? 1 : 0;
    if (trial.at_the_runway && (flown || !has_missed)) {
        return;
    }
    const flight::Step& failed = rehearsal::step_at(option.compiled.card, elsewhere);
    const auto as_meant = [](const rehearsal::StepFlown& step) { return step.as_meant; };
    const auto first = std::find_if_not(trial.steps.begin(), trial.steps.end(), as_meant);
    fmt::print(
        "{} to {}, {}, {}: {} in step {} ({}, until {}), {:.1f} NM from its end; the first that did not end "
        "as meant is {}\n",
        day.snapshot[request.from].ident, day.snapshot[request.to].ident, in_what,
        plan::route_text(day.snapshot, option.flight), rehearsal::to_text(trial.outcome), failed.number,
        plan::guidance_text(failed.guidance), plan::end_text(failed.end),
        trial.steps[elsewhere].missed_by_m / 1852.0, first - trial.steps.begin() + 1);
    std::fflush(stdout);
}

// Varied worlds.

void move(navdata::Station& station, base::TrueBearing toward, base::Length by) {
    const auto moved = [&](earth::Position& place) { place = earth::destination(place, toward, by); };
    if (auto* azimuth = std::get_if<navdata::VorAzimuth>(&station.azimuth)) {
        moved(azimuth->position);
    } else if (auto* beacon = std::get_if<navdata::NdbAzimuth>(&station.azimuth)) {
        moved(beacon->position);
    }
    if (station.dme) {
        moved(station.dme->position);
    }
}

// A frequency that no other station has: who assigns them keeps them apart.
void retune(navdata::Station& station, const std::vector<navdata::Station>& all, base::Random& random) {
    const bool beacon = navdata::ndb(station) != nullptr;
    for (int i = 0; i < 100; ++i) {
        const auto frequency =
            beacon ? base::Frequency::kilohertz(200.0 + static_cast<double>(random.below(300)))
                   : base::Frequency::megahertz(112.0 + 0.05 * static_cast<double>(random.below(118)));
        bool taken = false;
        for (const navdata::Station& other : all) {
            taken = taken || other.frequency == frequency;
        }
        if (!taken) {
            station.frequency = frequency;
            return;
        }
    }
}

navdata::Records varied(navdata::Records records, base::Random& random) {
    for (navdata::Station& station : records.stations) {
        if (navdata::localizer(station) != nullptr) {
            continue;  // its procedures hang on where it stands, and its frequency on its glideslope's
        }
        station.out_of_service = station.out_of_service || random.with_chance(0.1);
        if (random.with_chance(0.1)) {
            retune(station, records.stations, random);
        }
        if (random.with_chance(0.05)) {
            move(station, base::TrueBearing::degrees(random.between(0.0, 360.0)),
                 base::Length::nautical_miles(random.between(0.2, 3.0)));
        }
    }
    return records;
}

// What all flights of one call have in common.
struct Opened {
    app::World world;
    plan::Request request;
};

std::optional<Opened> open(const std::string& atlas, const std::string& share, const std::string& wind,
                           const std::string& aircraft) {
    auto world = app::open_world(atlas, {share}, {{}, true, {}});
    if (!world || world->snapshot->airports().size() < 2) {
        fmt::print("{}\n", world ? "the atlas has no two airports" : world.error().message);
        return std::nullopt;
    }
    app::PlanQuestion question;
    question.wind = wind;
    question.aircraft = aircraft;
    question.today = earth::DecimalYear{2026.0};
    question.from = world->snapshot->airports()[0].ident;
    question.to = world->snapshot->airports()[1].ident;
    auto asked = app::read_question(atlas, {share}, question);
    if (!asked) {
        fmt::print("{}\n", asked.error().front().message);
        return std::nullopt;
    }
    asked->request.ask_what_would_do = false;
    asked->request.compare_approaches = false;
    return Opened{std::move(*world), std::move(asked->request)};
}

bool are_apart(const navdata::Airport& from, const navdata::Airport& to) {
    const base::Length apart = earth::distance(from.position, to.position);
    return apart >= nearest && apart <= farthest;
}

enum class Asked { arrival, missed_approach_too };

int verdict(const Counts& counts, Asked asked, const std::string& of_what) {
    fmt::print("{} of {} admitted flights arrive, {} of {} fly their missed approach, {} asked, {}\n",
               counts.arrived, counts.admitted, counts.missed_flown, counts.have_missed, counts.asked,
               of_what);
    const bool all_do = counts.arrived == counts.admitted &&
                        (asked == Asked::arrival || counts.missed_flown == counts.have_missed);
    return counts.admitted > 0 && all_do ? 0 : 1;
}

int pairs(const std::vector<std::string>& words) {
    auto opened = open(words[0], words[1], words[2], words[3]);
    if (!opened || (words[4] != "all" && words[4] != "procedures")) {
        return 2;
    }
    const bool all = words[4] == "all";
    const navdata::Snapshot& snapshot = *opened->world.snapshot;
    const radio::Ground ground = app::ground_of(opened->world, opened->request.settings.reception);
    routing::Roads roads(snapshot);
    const Day day{snapshot, opened->world, ground, roads};
    const auto airports = snapshot.airports();
    std::vector<std::size_t> taken;
    for (std::size_t i = 0; i < airports.size(); ++i) {
        if (all || !snapshot.approaches_of(airports[i].ident).empty()) {
            taken.push_back(i);
        }
    }
    Counts counts;
    for (const std::size_t from : taken) {
        for (const std::size_t to : taken) {
            if (from == to || (!all && !are_apart(airports[from], airports[to]))) {
                continue;
            }
            opened->request.from = navdata::AirportId{static_cast<std::uint32_t>(from)};
            opened->request.to = navdata::AirportId{static_cast<std::uint32_t>(to)};
            fly(day, opened->request, fmt::format("wind {}, {}", words[2], words[3]), counts);
        }
    }
    return verdict(counts, all ? Asked::missed_approach_too : Asked::arrival,
                   fmt::format("wind {}, {}", words[2], words[3]));
}

int varied(const std::vector<std::string>& words) {
    const bool one = words[2] == "drawn";
    const int number = std::atoi(words[3].c_str());
    const int wanted = one ? number + 1 : number;
    const auto seed = std::strtoull(words[4].c_str(), nullptr, 10);
    auto opened = open(words[0], words[1], "000/00", "single");
    const auto atlas = store::Atlas::open(words[0]);
    auto records = atlas ? atlas->records({true, {}}) : tl::unexpected(atlas.error());
    if (!opened || !records) {
        return 2;
    }
    std::vector<std::pair<std::string, aircraft::Aircraft>> hangar;
    for (const std::string name : {"single", "twin", "trainer", "jet"}) {
        auto found = app::find_aircraft({words[1]}, name);
        if (!found) {
            fmt::print("{}\n", found.error().front().message);
            return 2;
        }
        hangar.emplace_back(name, std::move(*found));
    }
    base::Random random(base::Seed{seed});
    Counts counts;
    const int draws = one ? wanted : wanted * 20;
    for (int i = 0; i < draws && counts.admitted < wanted; ++i) {
        const navdata::Snapshot snapshot =
            std::move(navdata::Snapshot::build(varied(*records, random)).value);
        const radio::Ground ground = app::ground_of(opened->world, opened->request.settings.reception);
        routing::Roads roads(snapshot);
        plan::Request request = opened->request;
        const auto airports = snapshot.airports();
        const std::size_t from = random.below(airports.size());
        const std::size_t to = random.below(airports.size());
        const auto& [name, aircraft] = hangar[random.below(hangar.size())];
        const weather::Wind wind{base::TrueBearing::degrees(10.0 * static_cast<double>(random.below(36))),
                                 base::Speed::knots(static_cast<double>(random.below(31)))};
        if (from == to || !are_apart(airports[from], airports[to]) || (one && i != number)) {
            continue;
        }
        request.from = navdata::AirportId{static_cast<std::uint32_t>(from)};
        request.to = navdata::AirportId{static_cast<std::uint32_t>(to)};
        request.aircraft = aircraft;
        request.winds = weather::WindsAloft(wind);
        fly({snapshot, opened->world, ground, roads}, request,
            fmt::format("draw {}, wind {:03.0f}/{:02.0f}, {}", i, wind.from.from_north().degrees(),
                        wind.speed.knots(), name),
            counts, one);
    }
    return verdict(counts, Asked::arrival, fmt::format("varied worlds, seed {}", seed));
}

}  // namespace

int main(int count, char** words) {
    const std::vector<std::string> all(words + 1, words + count);
    if (all.size() != 5) {
        fmt::print(
            "fly_calm ATLAS SHARE_FOLDER WIND AIRCRAFT all | procedures\n"
            "fly_calm ATLAS SHARE_FOLDER varied N SEED\n"
            "fly_calm ATLAS SHARE_FOLDER drawn DRAW SEED\n");
        return 2;
    }
    return all[2] == "varied" || all[2] == "drawn" ? varied(all) : pairs(all);
}
