#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/random.hpp"
#include "cockpit/panel.hpp"
#include "rehearsal/errors.hpp"
#include "rehearsal/failures.hpp"
#include "rehearsal/pilot.hpp"
#include "rehearsal/stage.hpp"

namespace omniway::rehearsal {

/// How one rehearsed flight ended.
enum class Outcome : std::uint8_t {
    arrived,       // the runway in sight at the end of the card
    missed_flown,  // not in sight, or the approach given up, and the missed approach flown to its end
    not_in_sight,  // the same at the end of a card without a missed approach
    lost,          // the end of a step was never seen
    strayed,       // beyond twice what is protected
    hit_the_ground,
    out_of_fuel
};
constexpr std::size_t outcome_count = 7;
std::string to_text(Outcome outcome);

/// What is kept of one step of one flight.
struct StepFlown {
    bool begun = false;
    bool ended = false;        // the pilot saw an end
    bool as_meant = false;     // and it was the one meant: at its fix, inside what is protected
    double missed_by_m = 0.0;  // from the fix, where it ends at one
    double began_s = 0.0;
    double ended_s = 0.0;
    double inside_primary_s = 0.0;  // of the time sampled
    double inside_total_s = 0.0;
    double sampled_s = 0.0;
    double worst_aside_m = 0.0;  // to either side
    double widest_share = 0.0;   // of the protected width that was taken
    double dead_needle_s = 0.0;
    double altitude_bust_s = 0.0;  // more than 300 ft below the step's minimum
    bool ends_low = false;         // more than 300 ft below what its end is to be crossed at, or its level
    bool ends_high = false;        // the same above
    double unidentified_s = 0.0;   // flown by an aid whose ident was not heard
    bool given_up = false;         // its glideslope was flagged, or that of the step before
};

struct Trial {
    Outcome outcome = Outcome::lost;
    std::size_t failed_step = 0;  // index among `steps` of the one in which it ended
    bool reached_end = false;     // of the card's steps, the approach not given up
    bool at_the_runway = false;   // and there the runway was where it should be
    double time_s = 0.0;
    double fuel_lb = 0.0;
    double flown_m = 0.0;
    std::vector<StepFlown> steps;  // the card's, then those of the missed approach
};

/// One moment of a flight, for whoever replays it.
struct Moment {
    double time_s = 0.0;
    std::size_t step = 0;  // index among Trial::steps
    earth::PlanePoint place;
    double altitude_m = 0.0;
    double track_deg = 0.0;
    double aside_m = 0.0;
    const cockpit::Panel* panel = nullptr;
    /// What each set is on, among Stage::aids(): what it hears, else the nearest that its frequency might raise.
    std::array<std::optional<std::size_t>, 3> receivers_on = {};
    std::optional<std::size_t> distance_on = std::nullopt;
    std::optional<std::size_t> pointer_on = std::nullopt;
    double flown_m = 0.0;
};

/// What a trial tells while it is flown; both may be empty.
struct Watch {
    std::function<void(const Moment&)> each_second;
    std::function<void(std::size_t step, const Stage::Aside&)>
        aside;  // every two seconds on a step with a line
};

struct TrialQuestion {
    Errors errors;
    Failures failures;
    bool no_runway =
        false;  // never in sight: each flight that reaches the end of the card flies its missed approach
    Skill skill;
    base::Seed seed;
    base::Duration step = base::Duration(1.0);
};

/// Flies a card once, by needle alone, in one drawing of the errors.
///   Model     a point mass in a plane (earth/local_frame.hpp): it turns at up to the planned turn (aircraft/turn.hpp) with a roll-in of two seconds,
///             climbs and descends as the aircraft does, flies the card's airspeeds; wind as forecast and its error. Needles are those of
///             radio/indication.hpp with their errors, damped over two seconds. Reception is asked again when it may have changed.
///   Domain    the stage of an admitted flight.
///   Accuracy  halving the time step moves no probability beyond its interval (trial_test.cpp).
///   Cost      about 0.4 microseconds, 2,400 instructions, for each second flown (callgrind on the flight of bench/rehearsal_bench.cpp).
///   Fails     never.
///   Source    design section 2, idea 3; docs/methods/rehearsal.md.
Trial fly_once(const Stage& stage, const Pilot& pilot, const TrialQuestion& question,
               const Watch& watch = {});

}  // namespace omniway::rehearsal
