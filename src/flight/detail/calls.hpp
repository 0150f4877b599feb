#pragma once

#include <vector>

#include "flight/circumstances.hpp"
#include "flight/flight.hpp"
#include "flight/radio_setting.hpp"

namespace omniway::flight::detail {

/// Who is called, in order, where the data has the frequency: each service once, by the word of the data, on VHF.
struct Calls {
    std::vector<Call> before_take_off;  // ATIS, clearance, ground, tower or the traffic's own frequency
    std::vector<Call> departing;        // departure
    std::vector<Call> arriving;         // ATIS, approach
    std::vector<Call> landing;          // tower or the traffic's own frequency
};
Calls calls_of(const navdata::Snapshot& world, const Flight& flight);

}  // namespace omniway::flight::detail
