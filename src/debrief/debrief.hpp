#pragma once

#include <optional>
#include <vector>

#include "base/result.hpp"
#include "cockpit/indicator.hpp"
#include "debrief/practice.hpp"
#include "debrief/step_debriefed.hpp"
#include "earth/flown_track.hpp"
#include "flight/circumstances.hpp"
#include "flight/compile.hpp"

namespace omniway::debrief {

struct DebriefQuestion {
    base::Duration longest_gap =
        base::Duration(60.0);  // without a point; a longer one is no part of any figure
};

/// Where the aircraft was, for whoever draws it: every ten seconds, and between them, six hundred times at most, where the needle that guides has moved by
/// more than a twentieth of its full scale.
struct MomentFlown {
    base::Duration time{0.0};
    std::size_t step = 0;  // of `steps`
    earth::Position place;
    std::optional<base::Altitude> altitude;
    std::optional<base::Length> aside;  // of the step's line; of holds and reversals none
    std::optional<cockpit::Needle>
        needle;  // which guides; none where none does, it is silent, or its aid is overhead
    bool after_gap = false;
};

/// A flown track laid against a card.
struct Debrief {
    base::Duration began{0.0};  // off the ground, or the first moment recorded; as the track counts
    base::Duration ended{0.0};
    base::Duration recorded{0.0};
    std::vector<earth::TrackGap> gaps;  // in what was flown
    bool altitude_recorded = false;
    double off_the_flight_share = 0.0;  // of the time, more than 8 NM from every step
    std::vector<StepDebriefed> steps;   // the card's, then those of its missed approach
    std::vector<Practice> practise;     // three at most, the largest first
    std::vector<MomentFlown> moments;
};

/// Which step of a card was flown when, and how well.
///   Model     debrief/alignment.hpp says when; debrief/step_debriefed.hpp how well. Needles are those of instruments and stations without error
///             (radio/indication.hpp), set as the card sets them.
///   Domain    a compiled flight and its card, which has as many steps; any track.
///   Accuracy  that of the track: between two of its points everything is taken as even. Altitudes are the recorder's, which an altimeter's may be
///             some hundred feet off (temperature, setting).
///   Cost      some tenths of a second for an hour recorded each second.
///   Fails     debrief.not_flown (nothing faster than 30 kt), debrief.elsewhere (never within 8 NM of the flight), debrief.too_far (farther from it
///             than the plane holds). `where` is what follows the name of the track's file: empty, or a colon and the line.
///   Source    design section 4; docs/methods/debrief.md.
base::Result<Debrief> debrief(const flight::Circumstances& circumstances, const flight::Flight& flight,
                              const flight::FlightTrack& track, const flight::Card& card,
                              const earth::FlownTrack& flown, const DebriefQuestion& question = {});

}  // namespace omniway::debrief
