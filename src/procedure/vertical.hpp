#pragma once

#include <optional>
#include <vector>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/procedure.hpp"
#include "navdata/station.hpp"

namespace omniway::navdata {
struct Runway;
}

namespace omniway::procedure {

/// How steeply a line climbs or descends over the ground: height over distance, positive upward.
class Gradient : public base::Quantity<Gradient> {
    friend class base::Quantity<Gradient>;

public:
    static constexpr Gradient feet_per_nautical_mile(double v) { return from_si(v * 0.3048 / 1852.0); }
    static constexpr Gradient of(base::Length height, base::Length distance) {
        return from_si(height / distance);
    }
    static Gradient of(base::Angle angle) { return from_si(base::tan(angle)); }
    constexpr double feet_per_nautical_mile() const { return si_ * 1852.0 / 0.3048; }
    constexpr double percent() const { return si_ * 100.0; }
    base::Angle angle() const { return base::Angle::radians(std::atan(si_)); }
    constexpr base::Length over(base::Length distance) const { return distance * si_; }
};

/// 200 ft/NM: what every departure and missed approach asks of a climb unless it says more (trade-facts 7.3, 11.2).
inline constexpr Gradient least_climb = Gradient::feet_per_nautical_mile(200.0);
/// 400 ft/NM, 3.77 degrees: the steepest straight-in final without a glideslope (TERPS, trade-facts 7.3).
inline constexpr Gradient steepest_straight_in = Gradient::feet_per_nautical_mile(400.0);

/// The rate that holds a gradient at a groundspeed, and the gradient that a rate makes at it.
base::VerticalSpeed vertical_speed(Gradient gradient, base::Speed groundspeed);
Gradient gradient_of(base::VerticalSpeed rate, base::Speed groundspeed);

/// Between which altitudes the end of a coded leg is crossed.
///   Model     ARINC 424 section 5.29: at, at or above (+, H, J, V), at or below (-), between (B, altitude 1 the higher), at or above
///             altitude 2 (C), at altitude 1 (blank, @, G, I). Altitude 2 of G, H, I, J is the glideslope's, of V, X, Y the coded
///             path's: neither binds. X and Y are read as V (readers/arinc424.hpp).
///   Domain    any leg. The altitude coded with a missed approach point on the runway is the height over the threshold that a
///             vertical path aims at and no minimum: those are the chart's.
///   Accuracy  exact, 1 ft as coded.
///   Cost      nothing.
///   Fails     never: what is not coded does not bind.
///   Source    trade-facts 13.9.
struct AltitudeWindow {
    std::optional<base::Altitude> at_or_above;
    std::optional<base::Altitude> at_or_below;

    bool holds(base::Altitude altitude, base::Length margin = base::Length::feet(1.0)) const;
    bool open() const { return !at_or_above && !at_or_below; }
    friend bool operator==(const AltitudeWindow&, const AltitudeWindow&) = default;
};
AltitudeWindow window_of(const navdata::Leg& leg);

/// Altitude of the glideslope that a leg is coded with: altitude 2 of G, H, I, J.
std::optional<base::Altitude> coded_glideslope_altitude(const navdata::Leg& leg);

/// The middle of a glideslope: a straight line in space, rising at its angle from over the threshold.
///   Model     straight, while the earth under it curves away: at a distance d it stands d tan(angle) + d d / 2 R above the level
///             of its foot, R the earth's mean radius: 32 ft more than the angle alone at 6 NM, 88 ft at 10 NM. Its foot is
///             threshold elevation and crossing height where both are recorded, else the antenna's place and elevation.
///   Domain    distances 0 to 30 NM; angles 1 to 9 degrees.
///   Accuracy  1 ft against the exact triangle; against the altitudes published at the final fixes docs/methods/vertical.md.
///   Cost      some multiplications.
///   Fails     glide_path: none where neither foot is recorded: an unknown height is not taken as zero.
///   Source    trade-facts 1.3, 13.10; the triangle: law of sines on a sphere.
enum class GlidePathFoot { threshold, antenna };
struct GlidePath {
    earth::Position foot;
    base::Altitude at_foot;
    base::Angle angle;
    GlidePathFoot foot_is = GlidePathFoot::threshold;
};
std::optional<GlidePath> glide_path(const navdata::Glideslope& glideslope, const navdata::Runway* runway);
base::Altitude altitude_on(const GlidePath& path, base::Length from_foot);
/// How far from its foot it passes an altitude; none below its foot.
std::optional<base::Length> distance_at(const GlidePath& path, base::Altitude altitude);

/// A line down at a coded vertical angle, flown by barometric altimeter and groundspeed: so many feet for each NM, no curvature.
base::Altitude altitude_on(base::Altitude at_end, base::Angle angle, base::Length before_end);

/// How long a stretch takes at 60 to 180 kt in steps of 30: the table from the final fix to the missed approach point.
struct TimeAtSpeed {
    base::Speed groundspeed;
    base::Duration time;
};
std::vector<TimeAtSpeed> time_table(base::Length distance);

}  // namespace omniway::procedure
