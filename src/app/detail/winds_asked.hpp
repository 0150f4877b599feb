#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/plan_flight.hpp"
#include "base/result.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::app::detail {

/// The winds that were typed or read from a bulletin, before it is known how high the fields lie.
struct WindsAsked {
    std::optional<weather::Wind> surface;
    std::vector<weather::WindAt> levels;
};

/// What is wrong with them is a fault: weather.*, read.*, app.two_winds, app.winds_incomplete, app.unknown_winds_station.
WindsAsked winds_asked(std::vector<base::Error>& faults, const PlanQuestion& question);

/// Over two fields: the surface wind lies on the lower one; nothing given is still air.
weather::WindsAloft winds_over(const WindsAsked& asked, const std::optional<base::Altitude>& departure,
                               const std::optional<base::Altitude>& arrival);

}  // namespace omniway::app::detail
