#pragma once

#include <string>

#include "aircraft/performance.hpp"
#include "base/quantity.hpp"
#include "cockpit/equipment.hpp"

namespace omniway::aircraft {

struct Fuel {
    base::Mass usable;
    base::Mass taxi;  // burnt before take-off
    base::Duration reserve{0.0};
    friend bool operator==(const Fuel&, const Fuel&) = default;
};

/// The shortest runway used, at any elevation, surface or wind: the owner's own figures with the owner's own
/// margins.
struct RunwayNeed {
    base::Length take_off;
    base::Length landing;
    friend bool operator==(const RunwayNeed&, const RunwayNeed&) = default;
};

/// The strongest wind across and behind in which the owner takes off or lands, gusts included.
struct WindLimits {
    base::Speed crosswind;
    base::Speed tailwind;
    friend bool operator==(const WindLimits&, const WindLimits&) = default;
};

/// One aircraft as a plan sees it: the radios aboard, how it flies, what it burns and what it needs of a
/// runway.
///   Model     a value, as its owner wrote it down (docs/aircraft-file.md).
///   Domain    as checked by readers/aircraft_toml.hpp.
///   Accuracy  as declared.
///   Cost      some hundred bytes.
///   Fails     never.
///   Source    docs/aircraft-file.md.
struct Aircraft {
    std::string name;
    cockpit::Equipment equipment;
    Performance performance;
    Fuel fuel;
    RunwayNeed runway_need;
    WindLimits wind_limits;
    friend bool operator==(const Aircraft&, const Aircraft&) = default;
};

/// The reserve as fuel: its minutes at the cruise of that altitude.
/// "Thereafter for 45 minutes at normal cruising speed": 14 CFR 91.167 (trade-facts 11.3).
base::Mass reserve_fuel(const Aircraft& aircraft, base::Altitude cruise);

}  // namespace omniway::aircraft
