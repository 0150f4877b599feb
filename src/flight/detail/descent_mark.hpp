#pragma once

#include <optional>
#include <string>
#include <vector>

#include "flight/circumstances.hpp"
#include "flight/flown_step.hpp"
#include "flight/observed_end.hpp"

namespace omniway::flight::detail {

/// Where on the card a level is left, and the set that tells it.
struct AltitudeLeft {
    std::size_t step = 0;  // index
    base::Duration at{0.0};
    std::string
        says;  // "leave 8,000 ft at 22.0 DME XHU", "leave 5,000 ft over XDV to be level at 9,000 ft over XKE"
    std::optional<EndNeed> need;
};

/// Each climb to another level that does not begin at a fix, and the top of descent: by its reading or line where `changeovers`
/// goes by readings, else by the clock from the last end that was told; that end then starts the clock.
std::vector<AltitudeLeft> altitudes_left(const Circumstances& circumstances, const FlightTrack& track,
                                         const std::vector<FlownStep>& steps, Changeovers changeovers,
                                         ObservedEnds& ends);

}  // namespace omniway::flight::detail
