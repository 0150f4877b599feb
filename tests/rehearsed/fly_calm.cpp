// Plans flights and flies each card by needle in calm air and with perfect instruments, the wind being the forecast's: every flight that the
// planner admits must come to its runway, and where its card has a missed approach fly that to its end: the runway is never in sight. One that does not
// is a fault of the planner or of the rehearsal.
//
//   fly_calm ATLAS SHARE_FOLDER WIND AIRCRAFT all | N SEED
//
// All pairs of the atlas's airports, or N that are drawn from a seed, 40 to 250 NM apart, until N are admitted or forty times as many are
// asked. Prints what did not arrive and a line of counts; exit status 1 where one did not, or none was admitted.

#include <cstdio>
#include <cstdlib>
#include <string>
#include <utility>
#include <vector>

#include "app/plan_flight.hpp"
#include "base/random.hpp"
#include "earth/geodesic.hpp"
#include "plan/wording.hpp"
#include "rehearsal/rehearse.hpp"
#include "routing/roads.hpp"

namespace {

using namespace omniway;

struct Counts {
    int asked = 0;
    int admitted = 0;
    int arrived = 0;
    int have_missed = 0;
    int missed_flown = 0;
};

void fly(const app::World& world, const plan::Request& request, const radio::Ground& ground,
         routing::Roads& roads, Counts& counts) {
    ++counts.asked;
    const navdata::Snapshot& snapshot = *world.snapshot;
    const plan::Answer answer = plan::plan(snapshot, ground, *world.model, request, roads);
    if (!answer.option || answer.verdict == base::Verdict::not_flyable) {
        return;
    }
    ++counts.admitted;
    const flight::Circumstances day{snapshot,         ground,           *world.model, request.today,
                                    request.aircraft, request.settings, request.winds};
    const plan::Option& option = *answer.option;
    const rehearsal::Stage stage(day, option.flight, option.compiled.track, option.compiled.card);
    rehearsal::RehearsalQuestion calm;
    calm.errors = rehearsal::no_errors();
    calm.no_runway = true;
    const rehearsal::Trial trial = rehearsal::fly_again(stage, calm, 0);
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
    std::printf("%s to %s, %s: %s in step %d\n", snapshot[request.from].ident.c_str(),
                snapshot[request.to].ident.c_str(), plan::route_text(snapshot, option.flight).c_str(),
                rehearsal::to_text(trial.outcome).c_str(), stage.step(elsewhere).number);
}

int run(const std::vector<std::string>& words) {
    app::PlanQuestion question;
    question.wind = words[2];
    question.aircraft = words[3];
    question.today = earth::DecimalYear{2026.0};
    const bool all = words[4] == "all";
    auto world = app::open_world(words[0], {words[1]}, {{}, true, {}});
    if (!world) {
        std::printf("%s\n", world.error().message.c_str());
        return 1;
    }
    const navdata::Snapshot& snapshot = *world->snapshot;
    const auto& airports = snapshot.airports();
    if (airports.size() < 2) {
        std::printf("the atlas has no two airports\n");
        return 1;
    }
    question.from = airports[0].ident;
    question.to = airports[1].ident;
    auto asked = app::read_question(words[0], {words[1]}, question);
    if (!asked) {
        std::printf("%s\n", asked.error().front().message.c_str());
        return 1;
    }
    plan::Request request = asked->request;
    request.ask_what_would_do = false;
    request.compare_approaches = false;
    const radio::Ground ground = app::ground_of(*world, request.settings.reception);
    routing::Roads roads(snapshot);
    Counts counts;
    const auto ask = [&](std::size_t from, std::size_t to) {
        request.from = navdata::AirportId{static_cast<std::uint32_t>(from)};
        request.to = navdata::AirportId{static_cast<std::uint32_t>(to)};
        fly(*world, request, ground, roads, counts);
    };
    if (all) {
        for (std::size_t from = 0; from < airports.size(); ++from) {
            for (std::size_t to = 0; to < airports.size(); ++to) {
                if (from != to) {
                    ask(from, to);
                }
            }
        }
    } else {
        const int wanted = std::atoi(words[4].c_str());
        base::Random random(base::Seed{std::strtoull(words[5].c_str(), nullptr, 10)});
        for (int i = 0; i < wanted * 40 && counts.admitted < wanted; ++i) {
            const std::size_t from = random.below(airports.size());
            const std::size_t to = random.below(airports.size());
            const auto apart = earth::distance(airports[from].position, airports[to].position);
            if (apart > base::Length::nautical_miles(40.0) && apart < base::Length::nautical_miles(250.0)) {
                ask(from, to);
            }
        }
    }
    std::printf(
        "%d of %d admitted flights arrive, %d of %d fly their missed approach, %d asked, wind %s, %s\n",
        counts.arrived, counts.admitted, counts.missed_flown, counts.have_missed, counts.asked,
        words[2].c_str(), words[3].c_str());
    const bool all_do = counts.arrived == counts.admitted && counts.missed_flown == counts.have_missed;
    return counts.admitted > 0 && counts.have_missed > 0 && all_do ? 0 : 1;
}

}  // namespace

int main(int count, char** words) {
    if (count != 6 && count != 7) {
        std::printf("fly_calm ATLAS SHARE_FOLDER WIND AIRCRAFT all | N SEED\n");
        return 2;
    }
    return run({words + 1, words + count});
}
