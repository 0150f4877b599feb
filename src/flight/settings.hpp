#pragma once

#include <optional>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "radio/error_budget.hpp"
#include "radio/ground.hpp"

namespace omniway::flight {

/// What the person flying may set of the rules by which a flight is admitted.
///   Model     defaults are the design's: section 3.
///   Domain    as documented with each.
///   Accuracy  exact.
///   Cost      a few numbers.
///   Fails     never.
///   Source    design section 3; trade-facts 21.
struct Settings {
    /// Longest stretch flown by heading and time alone: this distance or this time, whichever is less.
    base::Length dead_reckoning_distance = base::Length::nautical_miles(10.0);
    base::Duration dead_reckoning_time = base::minutes(5.0);
    /// Minimum altitude off the airways where neither a publication nor terrain gives one; none: it is asked for.
    std::optional<base::Altitude> off_airway_minimum;
    /// Added to the highest ground off the airways, for masts and trees that no terrain shows. Common practice, no source.
    base::Length obstacle_allowance = base::Length::feet(200.0);
    /// What is taken to stand between a station and the aircraft; none: terrain where the atlas has it, else the horizon.
    std::optional<radio::ReceptionMode> reception;
    /// By whose tolerances a fix is told.
    radio::Criteria criteria = radio::Criteria::terps;
    /// An arrival without a procedure goes overhead or to a point this near.
    base::Length arrival_radius = base::Length::nautical_miles(5.0);
};

}  // namespace omniway::flight
