#pragma once

#include <optional>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "flight/circumstances.hpp"
#include "flight/departure.hpp"
#include "procedure/path.hpp"

namespace omniway::flight {

/// From where to where off the airways.
struct OwnLegsQuestion {
    procedure::PlacedFix from;
    std::optional<base::TrueBearing> arriving;  // the track over `from`; none: any turn will do
    procedure::PlacedFix to;
    std::optional<base::TrueBearing> onward;  // the track flown beyond `to`; none: not known
    base::Altitude altitude;
    bool without_direct = false;  // only what has two legs
};

/// The ways off the airways from one place to the next, each of one or two legs whose last ends at `to` and is told by whoever takes it.
///   Model     direct (flight/en_route.hpp); by a heading that intercepts a radial or bearing which leads over `to`
///             (flight/intercept.hpp); from an aid along its radial to a place at a whole mile, told there, and on by another
///             aid's line (flight/radial_turn.hpp). The lines that lead over `to` are those of the aids heard there and, where `to` is an
///             aid, the one that runs on into `onward`. Of the heading ways and of the radial ways the two shortest; a way over 120
///             degrees at its beginning or at its end is none.
///   Domain    `from` and `to` at most 200 NM apart.
///   Accuracy  as those.
///   Cost      bench/own_legs_bench.cpp; nothing is looked at but the aids within reach of `to`.
///   Fails     what cannot be flown stands with its reason: direct always, of the others the nearest miss. Never empty but without direct.
///   Source    design section 3.
std::vector<LegsOrReason> own_legs(const Circumstances& circumstances, const OwnLegsQuestion& question);

}  // namespace omniway::flight
