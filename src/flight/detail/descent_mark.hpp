#pragma once

#include <optional>
#include <string>
#include <vector>

#include "flight/circumstances.hpp"
#include "flight/flown_step.hpp"
#include "flight/observed_end.hpp"

namespace omniway::flight::detail {

/// Where on the card the cruising altitude is left, and the set that tells it.
struct DescentMarkOnCard {
    std::size_t step = 0;  // index
    base::Duration at{0.0};
    std::string says;  // "leave 8,000 ft at 22.0 DME XHU"
    std::optional<EndNeed> need;
};

/// By its reading or line where `changeovers` goes by readings, else by the clock from the last end that was told; that end then starts
/// the clock.
std::optional<DescentMarkOnCard> descent_mark(const Circumstances& circumstances, const FlightTrack& track,
                                              const std::vector<FlownStep>& steps, Changeovers changeovers,
                                              ObservedEnds& ends);

}  // namespace omniway::flight::detail
