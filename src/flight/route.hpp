#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"

namespace omniway::flight {

/// A word of a route as it was typed, in capitals, for errors that point at it.
struct RouteToken {
    std::string text;
    int line = 1;
    int column = 1;
    friend bool operator==(const RouteToken&, const RouteToken&) = default;
};

struct RoutePoint {  // a named point, or an airport as first or last word
    std::string ident;
    friend bool operator==(const RoutePoint&, const RoutePoint&) = default;
};
struct RouteBearingDistance {  // "DUB180040": 40 NM on the magnetic bearing 180 from DUB
    std::string ident;
    base::MagneticBearing bearing;
    base::Length distance;
    friend bool operator==(const RouteBearingDistance&, const RouteBearingDistance&) = default;
};
struct RouteCoordinates {  // "46N078W", "4620N07805W"
    earth::Position position;
    friend bool operator==(const RouteCoordinates&, const RouteCoordinates&) = default;
};
struct RouteAirway {  // a designator of an airway, SID or STAR
    std::string designator;
    friend bool operator==(const RouteAirway&, const RouteAirway&) = default;
};
struct RouteDirect {
    friend bool operator==(const RouteDirect&, const RouteDirect&) = default;
};
struct RouteSpeedLevel {   // neither altitude nor level: "VFR"
    bool changes = false;  // "/N0284A045": at the point before; else at the start
    std::optional<base::Speed> true_airspeed;
    std::optional<double> mach;
    std::optional<base::Altitude> altitude;       // A and M
    std::optional<base::PressureAltitude> level;  // F and S
    friend bool operator==(const RouteSpeedLevel&, const RouteSpeedLevel&) = default;
};
struct RouteRules {  // "VFR", "IFR" after a point
    bool visual = false;
    friend bool operator==(const RouteRules&, const RouteRules&) = default;
};

struct RouteElement {
    RouteToken token;
    std::variant<RoutePoint, RouteBearingDistance, RouteCoordinates, RouteAirway, RouteDirect,
                 RouteSpeedLevel, RouteRules>
        word;
    friend bool operator==(const RouteElement&, const RouteElement&) = default;
};

/// A route in the form of item 15 of an ICAO flight plan: words in order, each with where it stood.
///   Model     the grammar only; whether names exist is asked of the snapshot when it is compiled (plan/hand_made.hpp).
///   Domain    as read by readers/item15.hpp.
///   Accuracy  bearings and distances in whole degrees and NM, coordinates in whole minutes.
///   Cost      some strings.
///   Fails     never.
///   Source    ICAO Doc 4444 appendix 2, item 15 (trade-facts 12).
struct Route {
    std::vector<RouteElement> elements;
    friend bool operator==(const Route&, const Route&) = default;
};

/// The words with one blank between them, as item 15 writes them; a speed is in knots, or in kilometres an hour where it is a whole
/// number of these alone; a level in feet, or in metres where it is whole tens of these alone.
std::string to_text(const Route& route);
std::string to_text(const RouteElement& element);

}  // namespace omniway::flight
