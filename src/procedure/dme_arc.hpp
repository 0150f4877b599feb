#pragma once

#include <optional>

#include "base/bearing.hpp"
#include "base/quantity.hpp"

namespace omniway::procedure {

/// Where the turn onto a DME arc, or off it onto a radial, begins.
///   Model     rules of thumb as the handbooks give them, and the exact figures of one circular turn in still air that touches
///             the arc and the radial. Ground distances: slant range is the receiver's business.
///   Domain    arcs of 1 to 50 NM; turn radius above zero and below half the arc.
///   Accuracy  the rules reproduce every published figure as printed; exact figures are exact.
///   Cost      a square root or an arcsine.
///   Fails     an exact figure is empty where no such turn fits: flying outward, or on the inside of an arc too tight for it.
///   Source    IFH; USN P-871, P-1204; USAF 60:1 summary (trade-facts 5).

enum class TurnRule { standard_rate, half_standard_rate };
/// By rule: 0.5 % of the groundspeed in knots as miles, 1 % for half standard rate.
base::Length lead_by_rule(base::Speed groundspeed, TurnRule rule = TurnRule::standard_rate);

/// By rule: the share of a 90-degree turn's lead that another turn needs (1/2 for 60 degrees, 2 for 180 ...), between the
/// published angles in proportion; from 0 to 180 degrees.
double lead_share_by_rule(base::Angle turn);

/// Which way a radial is flown from or to an arc.
enum class RadialFlown { inbound, outbound };

/// By rule: degrees of radial before the wanted one: 60/arc times the turn radius; for a turn that is 90 degrees more or less
/// the lead itself, times (90 + lead)/90 inbound or (90 - lead)/90 outbound.
base::Angle lead_radials_by_rule(base::Length turn_radius, base::Length arc);
base::Angle lead_radials_by_rule(base::Length turn_radius, base::Length arc, RadialFlown flown);

/// Exactly: how far before (inbound) or short of (outbound) the arc the turn onto it begins, along the radial.
std::optional<base::Length> lead_onto_arc(base::Length turn_radius, base::Length arc, RadialFlown flown);

/// Exactly: how many degrees of radial before the wanted one the turn off the arc begins.
std::optional<base::Angle> lead_off_arc(base::Length turn_radius, base::Length arc, RadialFlown flown);

/// The bearing from the arc's station on which that turn begins, for an arc flown clockwise or the other way.
enum class ArcFlown { clockwise, anticlockwise };
std::optional<base::TrueBearing> lead_bearing_off_arc(base::TrueBearing wanted, ArcFlown way,
                                                      RadialFlown flown, base::Length turn_radius,
                                                      base::Length arc);

/// How far one degree of radial is along an arc.
base::Length along_arc(base::Angle radials, base::Length arc);

}  // namespace omniway::procedure
