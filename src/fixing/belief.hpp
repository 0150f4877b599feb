#pragma once

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/altitude.hpp"
#include "base/progress.hpp"
#include "earth/local_frame.hpp"
#include "earth/magnetic_model.hpp"
#include "fixing/reading.hpp"
#include "fixing/reading_errors.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"

namespace omniway::fixing {

/// Everything that bears on where the aircraft is.
struct BeliefQuestion {
    const navdata::Snapshot& world;
    const radio::Ground& ground;
    const earth::MagneticModel& model;
    earth::DecimalYear today;
    std::vector<Reading> readings;
    base::Altitude altitude;
    std::vector<HeadingFlown> flown = {};  // in order, the earliest first; none: it stood still
    AirMoved air = {};
    std::optional<LastKnown> last_known = std::nullopt;
    std::optional<OnTheWay> on_the_way = std::nullopt;
    ReadingErrors errors = {};
    unsigned threads = 0;
};

/// A piece of the plane and how likely the aircraft is in it.
struct BelievedCell {
    earth::PlanePoint centre;
    double probability = 0.0;
};

/// A place that stands apart from the others where the aircraft may be.
struct Mode {
    earth::Position place;
    double probability = 0.0;
    // The ellipse of one standard deviation.
    base::Length major;
    base::Length minor;
    base::TrueBearing major_axis = base::TrueBearing::degrees(0.0);
    std::vector<std::size_t> stations = {};  // for each reading, which of its candidates fits best here
    bool is_mean =
        true;  // the place, of it; false: of a ring or a bow, whose mean is none of it, the likeliest place
};

/// Where the aircraft is with so much probability: rings of corners, the land side inside; holes run the other way round.
struct BelievedRegion {
    double probability = 0.0;
    double square_nm = 0.0;
    std::vector<std::vector<earth::Position>> rings;  // the first not repeated; outer ones clockwise
};

/// What may be wrong, and how likely it is after all that was read.
enum class Wrong { reciprocal, nothing, heading_off, station };
struct Suspicion {
    Wrong wrong = Wrong::nothing;
    std::optional<std::size_t> reading;  // none: the heading indicator
    double probability = 0.0;
    std::optional<base::Angle> by;  // how far the heading indicator is off, what it shows less what is true
    std::optional<navdata::StationId> station;  // that it was, of several
};

/// Where the aircraft may be.
///   Model     the density of the place now, on a grid: the product of what each reading says of it, errors and blunders mixed in by
///             their chances (fixing/reading_errors.hpp). An earlier reading is carried on by heading, airspeed and wind; what the wind and the heading err
///             by is common to all of them and is summed out exactly, to first order. Reception (radio/reception.hpp) weighs: what was read where it is not heard
///             counts a fifth, below the horizon a hundredth. What was heard or last known decides how far one looks.
///   Domain    altitudes up to 60,000 ft; readings up to two hours old; at least one reading that is no silence, or a last known place, or a way.
///   Accuracy  cells of a third of what it is wide, half a mile at most, split where a line is thinner; regions hold what they say: belief_test.cpp draws the world from
///             the model.
///   Cost      some tens of nanoseconds a cell and reading (bench).
///   Fails     "no" is a Contradiction: nothing read can be had anywhere, or hundreds of miles are left open.
///   Source    Bayes; the closed forms of trade-facts 16 are its test; docs/methods/position.md.
struct Belief {
    earth::LocalFrame frame;
    double cell_m = 0.0;  // side of a cell
    std::vector<BelievedCell> cells =
        {};  // row by row, each of its share of the whole; the thinnest, a hundredth of it, are left out
    std::vector<Mode> modes = {};            // likeliest first; those of at least half a percent
    BelievedRegion half = {};                // 50 %
    BelievedRegion most = {};                // 95 %
    std::vector<Suspicion> suspicions = {};  // likeliest first; those of at least one percent
    std::vector<double> as_read = {};        // for each reading, how likely it is what it was read as
};

/// What cannot be; or what leaves more open than can be looked at.
struct Contradiction {
    std::vector<std::size_t> readings;  // that no place has together; one: by itself
    std::string why;                    // with its figures
    bool too_little = false;            // was read
};

std::variant<Belief, Contradiction> believe(const BeliefQuestion& question,
                                            const base::Progress& progress = {});

}  // namespace omniway::fixing
