#pragma once

#include <optional>
#include <string>
#include <variant>

#include "aircraft/aircraft.hpp"
#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "fixing/telling.hpp"
#include "flight/settings.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::flight {

struct Flight;

/// So many minutes after a fix, or before one.
struct TimeFromFix {
    std::string fix;
    base::Duration time{0.0};
    bool after = true;
};
using DescentMark = std::variant<fixing::Way, TimeFromFix>;

/// By what the cockpit tells a place along a flight with its profile, before the approach.
DescentMark mark_at(const navdata::Snapshot& world, const radio::Ground& ground,
                    const aircraft::Aircraft& aircraft, const Settings& settings,
                    const weather::WindsAloft& winds, const Flight& flight, base::Length along);

/// Where the last level is left for the approach, as the cockpit tells it: "leave 8,000 ft at 12.0 DME".
///   Model     the last place of the profile at its highest since the last change of level. It is told by the DME of the station that guides there, where a DME is
///             aboard, heard, and not so near that its reading shows height more than distance; else by the best of
///             fixing/telling.hpp; else by minutes from the fix behind, or to the fix ahead.
///   Domain    a flight with its profile (flight/flight.hpp).
///   Accuracy  slant range at the cruising altitude within 0.01 NM; minutes by the wind at the cruising altitude.
///   Cost      tens of microseconds.
///   Fails     none where the flight never descends, or never was above its approach.
///   Source    common practice; trade-facts 5 (slant range).
struct TopOfDescent {
    base::Length along;
    base::Altitude altitude;  // that is left
    std::size_t leg = 0;
    base::Length into_leg;
    DescentMark mark;
};

std::optional<TopOfDescent> top_of_descent(const navdata::Snapshot& world, const radio::Ground& ground,
                                           const aircraft::Aircraft& aircraft, const Settings& settings,
                                           const weather::WindsAloft& winds, const Flight& flight);

}  // namespace omniway::flight
