#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/progress.hpp"
#include "rehearsal/trial.hpp"

namespace omniway::rehearsal {

/// A share of the flights with what it may be: of n flights k did.
///   Model     the interval by Wilson's score, which holds for shares near 0 and 1 too.
///   Accuracy  95 %.
///   Source    E. B. Wilson, Probable inference, J. Am. Stat. Assoc. 22 (1927), from memory.
struct Chance {
    std::size_t of = 0;
    std::size_t did = 0;
    double share() const;
    double low() const;
    double high() const;
};

/// How something was spread over the flights, counted in cells of a fixed width, so that it takes no more room for more flights.
class Spread {
public:
    Spread() = default;
    explicit Spread(double cell) : cell_(cell) {}
    void add(double value);
    void add(const Spread& other);
    std::size_t count() const { return count_; }
    /// The value below which a share of all lies, within a cell; nothing where nothing was counted.
    std::optional<double> at(double share) const;

private:
    static constexpr std::size_t cells = 400;
    double cell_ = 1.0;
    std::size_t count_ = 0;
    std::array<std::uint32_t, cells> counted_{};
};

/// One step over all flights.
struct StepRehearsed {
    int number = 0;
    Chance as_meant;                 // of the flights that began it
    Spread aside_nm = Spread(0.05);  // of its line, every two seconds
    double inside_primary = 1.0;     // share of the time
    double inside_total = 1.0;
    Spread missed_by_nm = Spread(0.05);
    Spread takes_min = Spread(0.25);
    Chance dead_needle;    // what guides was silent for more than half a minute
    Chance below_minimum;  // more than 300 ft for ten seconds, or at its end
    Chance above_maximum;  // more than 300 ft above what its end may be crossed at, or its level
    Chance unidentified;   // flown for more than half a minute by an aid whose ident was not heard
    std::array<std::size_t, outcome_count> failed{};  // by Outcome: flights that went wrong in it
};

/// What goes wrong most, in words.
struct WeakPoint {
    int step = 0;
    double share = 0.0;  // of all flights
    std::string says;
};

/// A flight worth looking at again, by its number: fly_again() flies it.
struct Example {
    std::string why;  // "best", "median", "worst", "strayed in step 7"
    std::size_t flight = 0;
    Outcome outcome = Outcome::arrived;
};

struct Rehearsal {
    std::size_t flights = 0;
    bool cut_short = false;      // cancelled
    bool narrow_enough = false;  // ended early, the intervals being so narrow
    Chance arrived;
    Chance in_sight;      // the runway, of the flights that reach the end of the card
    Chance missed_flown;  // to its end, of the flights that begin the missed approach
    std::array<std::size_t, outcome_count> outcomes{};
    // Of the flights that ended as asked, and the card's own.
    Spread time_min = Spread(1.0);
    Spread fuel_lb = Spread(1.0);
    std::optional<base::Duration> time_on_card;
    base::Mass fuel_on_card;
    std::vector<StepRehearsed> steps;  // of the card
    std::vector<StepRehearsed> missed;
    std::vector<WeakPoint> weak_points;
    std::vector<Example> examples;
    double seconds_flown = 0.0;
};

struct RehearsalQuestion {
    std::size_t flights = 1000;
    base::Seed seed;
    unsigned threads = 0;  // 0: as many as there are processors
    Errors errors;
    Failures failures;
    bool no_runway = false;
    Skill skill;
    base::Duration step = base::Duration(1.0);
    std::optional<double>
        narrow_enough;  // half an interval of the chance to end as asked: so narrow, no more flights
};

/// What ends a flight as it is asked for: arrived, or where the runway is never in sight the missed approach flown.
Outcome as_asked(const RehearsalQuestion& question);

/// Flies a card many times.
///   Model     flight i is drawn from the seed and i alone; what is kept of flights is counted, so that neither their order nor the number
///             of threads shows.
///   Domain    at least one flight.
///   Accuracy  counts exact; spreads within a cell.
///   Cost      fly_once() for each flight; some hundred kilobytes whatever their number.
///   Fails     never; cancelled, what was flown is told and cut_short says so.
///   Source    design section 2, idea 3.
Rehearsal rehearse(const Stage& stage, const RehearsalQuestion& question,
                   const base::Progress& progress = {});

/// One flight of a rehearsal again.
Trial fly_again(const Stage& stage, const RehearsalQuestion& question, std::size_t flight,
                const Watch& watch = {});

}  // namespace omniway::rehearsal
