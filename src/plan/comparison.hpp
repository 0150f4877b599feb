#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"

namespace omniway::plan {

/// What a flight is made of, as far as one chooses by it.
///   Model     up to the missed approach point: the aids that guide a step or tell its end, in the order of their first use; the airways followed;
///             what is flown by heading alone but the first stretch along the runway; the highest minimum before the approach.
///   Domain    an option of the same snapshot.
///   Accuracy  as the flight track.
///   Cost      some strings.
///   Fails     never; what is not known is empty.
///   Source    none: what is told is this project's own.
struct Outline {
    std::vector<std::string> airways;
    std::vector<std::string> stations;
    base::Length dead_reckoning;
    std::optional<base::Altitude> highest_minimum;
    std::string departs;  // "RW25", "RW25 by XULVE1"
    std::string lands;    // "RW27", "RW27 by XEMIR1"
};
Outline outline_of(const navdata::Snapshot& world, const Option& option);

/// How the way of one flight differs from that of another in plain sentences, each of one thing: airways, stations, dead reckoning, minimum, take-off,
/// landing. Of what does not differ nothing is said; less than 1 NM or 50 ft is no difference. What it costs more, its levels and its approach are
/// said by difference_of (choices.hpp).
std::vector<std::string> differences(const Outline& from, const Outline& other);

}  // namespace omniway::plan
