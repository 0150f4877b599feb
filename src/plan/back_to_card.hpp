#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/finding.hpp"
#include "base/quantity.hpp"
#include "fixing/belief.hpp"
#include "flight/circumstances.hpp"
#include "flight/compile.hpp"
#include "flight/flight.hpp"
#include "flight/radio_setting.hpp"
#include "plan/heard_there.hpp"

namespace omniway::plan {

/// The flight that was being flown, and how far it is known to have been.
struct FlownCard {
    const flight::Flight& flight;
    const flight::Compiled& compiled;
    std::optional<int> done = std::nullopt;  // the last step that is known to be behind
};

/// From where and how high it is to be taken up again.
struct BackQuestion {
    const fixing::Belief& belief;
    earth::Position place;    // the likeliest
    base::Altitude altitude;  // the present one
    base::Altitude go_on_at;  // from which it is flown: the present one or a higher
    std::optional<base::MagneticBearing> heading = std::nullopt;  // the present one
};

enum class JoinBy {
    on_it,      // it stands on the line: the course is flown
    intercept,  // a heading that meets it
    direct      // to the fix or aid at its end, the aid that guides it, or where an approach begins
};

/// What is to be set so as to see it.
struct AidToSet {
    navdata::StationId station;
    flight::NamedAid aid;
    flight::RadioSet set;
    std::optional<base::Radial> course;  // none of a beacon
};

/// How a card is taken up again by an aircraft that has lost its way.
struct BackToCard {
    int step = 0;  // the one that is joined
    std::string via;
    std::string from;
    std::string to;
    JoinBy by = JoinBy::direct;
    std::string direct_to;  // else empty, and of a place without a name
    base::MagneticBearing track;
    std::optional<base::MagneticBearing> heading;  // none where no heading holds that track in this wind
    std::optional<base::Angle> turn;               // onto it from the present heading, positive to the right
    base::Angle cut;                               // under which the line is met; zero but of an intercept
    base::Length distance;  // until the line is met, or to the fix; on the line to its end
    std::optional<base::Duration> time;
    base::MagneticBearing then;  // the course of the step, where its line is met; direct: where it begins
    base::Length off;            // of the step's line, nearest
    flight::LegMinimum minimum;  // off the airways, of the way there; on the line the card's
    std::optional<AidToSet> set;
    flight::StepRadios radios;  // as the card has them when the step begins
    std::vector<HeardThere>
        heard;  // of what is set: at the present altitude, and at the one gone on at where it differs
    std::vector<base::Finding> findings;  // what speaks against it
};

/// Which step of a card is to be joined from a place off it, and how.
///   Model     of the steps that are not known to be behind, up to the final fix, the one whose line lies nearest; of those that lie within a mile of
///             that, the one whose course is nearest to the present heading. A line that an aid's bearing guides is met under twice the angle that the place
///             stands off it as seen from the aid, at least 20 and at most 45 degrees (onto a localizer 30), 2 NM before its end or earlier; under the
///             most where that would be later, or reckoned farther than may be. Where that is behind, the line of the next step; where neither is met, or only after more than dead
///             reckoning may be (flight/settings.hpp), direct to its end if an aid is heard there, else to the aid that guides it if that is heard. Arcs, holds and
///             reversals are joined at their ends, a heading at its end or on the line of the next step; an approach that is not met on its lines, where it begins.
///   Domain    a compiled flight and a place within the domain of its plane; the altitude not above the ceiling.
///   Accuracy  earth/local_frame.hpp; wind by aircraft/wind_triangle.hpp.
///   Cost      some ten microseconds a step, and heard_there() twice.
///   Fails     "no" is an empty answer: no step is left to be joined. What speaks against the answer is in its findings:
///             back.no_heading, back.by_heading, back.below_minimum, back.not_heard, back.nothing_to_set.
///   Source    twice the angle, at least 20 degrees: FAA Instrument Flying Handbook, VOR intercepts, from memory; 45 and 30 degrees: common practice
///             (trade-facts 21); 2 NM: flight/intercept.hpp. That holds a plan to more (a whole radial at a whole mile) and refuses; who is lost is told
///             the best there is, and what speaks against it.
std::optional<BackToCard> back_to_card(const flight::Circumstances& day, const FlownCard& card,
                                       const BackQuestion& question);

}  // namespace omniway::plan
