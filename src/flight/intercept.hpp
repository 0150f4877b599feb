#pragma once

#include <functional>
#include <optional>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "flight/circumstances.hpp"
#include "flight/departure.hpp"
#include "flight/leg.hpp"
#include "procedure/guidance.hpp"
#include "procedure/path.hpp"

namespace omniway::flight {

/// A line to be met by a heading.
struct InterceptQuestion {
    procedure::PlacedFix from;
    std::optional<base::TrueBearing> arriving;  // the track over `from`
    procedure::Guidance onto;  // a radial, a bearing of a beacon or a localizer, as flown up to `to`
    procedure::PlacedFix to;   // on that line: the aid itself, or a place beyond or before it
    base::Altitude altitude;
    base::Length reckoned;  // flown by heading before `from` already
    /// In the climb after take-off the altitude by distance from `from`; empty: level. What is received is then received there, and the
    /// minimum is the climb's business.
    std::function<base::Altitude(base::Length)> climb = {};
};

/// Two legs: a heading until the needle of another aid's line comes alive, and along that line to its end.
///   Model     the heading is the one that holds its track in the wind given; it leaves within 120 degrees of the track before it, meets
///             a radial or a bearing under 30 to 45 degrees and a localizer under 20 to 30, and is no longer than dead
///             reckoning allows at its groundspeed, in distance and time. The line is met at a whole mile of the aid on a whole
///             radial, so that item 15 can name the place, at least 2 NM before its end; from there on it is guided as a direct leg from that place
///             (en_route.hpp), heard all along: an aid at its end takes over midway. Where is_flown_by_heading() says no, none. Of several
///             such places the first, which asks for the shortest heading. Each leg has the minimum of its own corridor, which
///             splays 15 degrees along the heading.
///   Domain    lines within 130 NM of their aid; zero or any wind.
///   Accuracy  a published line is laid on its nearest whole radial where all of it lies within half a degree of it.
///   Cost      some tens of geodesics; off_airway_minimum twice.
///   Fails     "no" is a finding: intercept.lacks_receiver, intercept.no_heading, intercept.too_long, intercept.wind_too_strong,
///             intercept.no_signal, intercept.below_minimum.
///   Source    design section 3; 45 and 30 degrees: common practice (trade-facts 21); the lower bounds too, no source: a
///             shallow intercept ends nowhere in particular; trade-facts 8.4 (120 degrees).
LegsOrReason intercept_legs(const Circumstances& circumstances, const InterceptQuestion& question);

/// Whether the way to a place named from an aid (flight/radial_fix.hpp) is a heading, by which that aid's line is met: it is near enough
/// to be reckoned, and no other aid that is heard leads there along its own line and lets the place be told on it. Whoever makes such a way and
/// whoever reads it in item 15 asks here.
bool is_flown_by_heading(const Circumstances& circumstances, const procedure::PlacedFix& from,
                         const procedure::PlacedFix& place, base::Altitude altitude);

}  // namespace omniway::flight
