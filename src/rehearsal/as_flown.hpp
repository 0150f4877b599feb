#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "cockpit/panel.hpp"
#include "earth/position.hpp"
#include "navdata/marker.hpp"
#include "rehearsal/rehearse.hpp"
#include "rehearsal/stage.hpp"
#include "rehearsal/trial.hpp"

namespace omniway::rehearsal {

/// A moment of a flight with what its panel shows and whose signals those are.
struct SampleFlown {
    base::Duration time{0.0};  // since the take-off began
    std::size_t step = 0;      // index among the card's steps, then those of its missed approach
    /// Of the step's own way: by where on its line the aircraft is abeam, in a hold or reversal by the distance flown. Where the step goes over into another on
    /// the same line, at a changeover, that may be before its beginning (below 0) or beyond its end (above 1).
    double share = 0.0;
    earth::Position place;
    base::Altitude altitude;
    /// To the right of its step's line, of an arc outside, negative to the other side, and how far to either side is protected first.
    struct BesideLine {
        base::Length aside;
        base::Length primary;
    };
    std::optional<BesideLine> beside;  // none in a hold or reversal
    cockpit::Panel panel;
    /// What each set is on: what it hears, else the nearest that its frequency might raise.
    std::array<const navdata::Station*, 3> receivers_on = {};
    const navdata::Station* distance_on = nullptr;
    const navdata::Station* pointer_on = nullptr;
    const navdata::Marker* marker = nullptr;  // that is received here, by whoever has a receiver for it
};

/// A card flown once by needle alone: without a question with perfect instruments in the wind that is forecast, its missed approach after it; with
/// one, that flight of the rehearsal again, counted from 0.
///   Model     one trial (rehearsal/trial.hpp), without a question free of errors and the runway never in sight: turns, holds, arcs and reversals are as
///             the needle pilot flies them. A sample every five seconds at most, at each step's beginning, while it turns every six degrees, and
///             within a second of a marker's light going on or off.
///   Domain    the stage of an admitted flight; the samples refer to its stations.
///   Accuracy  as the trial; chords between the places err less than 0.05 NM.
///   Cost      some milliseconds.
///   Fails     never: `steps_ended` says how far it came as the card means it. An admitted flight that without errors does not come to its end is a fault
///             of the planner or of the rehearsal (tests/rehearsed), and its last step has the samples that there are.
///   Source    design section 6, "the panel".
struct AsFlown {
    std::vector<SampleFlown> samples;
    std::size_t steps_ended = 0;  // the first so many came to their ends
    Trial trial;
};
AsFlown as_flown(const Stage& stage);
AsFlown as_flown(const Stage& stage, const RehearsalQuestion& question, std::size_t flight);

}  // namespace omniway::rehearsal
