#pragma once

#include <optional>
#include <vector>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "procedure/motion.hpp"
#include "procedure/track_piece.hpp"

namespace omniway::procedure::detail {

/// Which way a turn goes.
enum class Way { right, left };
constexpr Way opposite(Way way) {
    return way == Way::right ? Way::left : Way::right;
}
/// The turn from one heading to another that way, in [0, 360) degrees, positive.
base::Angle sweep(base::TrueBearing from, base::TrueBearing to, Way way);
/// The way of the shorter turn; `at_180` where both are as long, to half a degree.
Way shorter_way(base::TrueBearing from, base::TrueBearing to, Way at_180);

struct Place {
    double north_m = 0.0;
    double east_m = 0.0;
};

/// A track over the ground built piece by piece in the plane that touches the earth at a fix, as a pilot flies it: turn to a
/// heading, hold it, join a course.
///   Model     one airspeed, one rate of turn and one wind, whose direction at the fix is kept parallel in the plane.
///   Domain    within 50 NM of the fix.
///   Accuracy  1 m at 30 NM against the ellipsoid.
///   Cost      under a microsecond a step; geodesics are spent in pieces() only.
///   Fails     where a heading cannot be held in the wind: empty.
///   Source    plane kinematics; docs/methods/holds-and-reversals.md.
class PlaneTrack {
public:
    /// Over the fix on a heading.
    PlaneTrack(earth::Position fix, const Motion& motion, base::TrueBearing heading);

    void turn(base::TrueBearing to, Way way);
    void fly(base::Duration time);

    /// From here: turn that way onto a track, hold it, and turn onto a course through the fix, rolled out on it. Empty where
    /// that track meets the course behind.
    std::optional<PlaneTrack> joined_by(base::TrueBearing track, base::TrueBearing course, Way way) const;
    /// The quickest such join at 30 degrees or less that rolls out no farther along the course than a limit (the fix is zero,
    /// before it is negative); failing that at 45, 60, 75, 90.
    std::optional<PlaneTrack> joined(base::TrueBearing course, Way way, base::Length no_farther) const;

    base::TrueBearing heading() const { return heading_; }
    base::Duration time() const { return time_; }
    /// Where the aircraft is against a course through the fix: along it, and to the right of it.
    base::Length along(base::TrueBearing course) const;
    base::Length across(base::TrueBearing course) const;
    /// How fast the present heading carries it along a course (negative: back).
    base::Speed along_speed(base::TrueBearing course) const;
    base::Length farthest() const;  // from the fix, anywhere on the track
    std::vector<TrackPiece> pieces() const;

private:
    struct Step {
        Place from;
        base::TrueBearing heading;
        base::Angle turned;  // zero: straight
        base::Duration time;
    };
    struct Point {
        Place here;
        base::TrueBearing heading;
    };
    Place velocity(base::TrueBearing heading) const;  // metres a second
    Place moved(const Step& step, base::Duration since_start) const;
    Step turn_from(Point start, base::TrueBearing to, Way way) const;
    Point after(Point start, base::TrueBearing to, Way way) const;
    void add(Step step);
    double farthest_m(const Step& step) const;
    std::optional<PlaneTrack> tangent(base::TrueBearing course, double side, Way way) const;

    earth::Position fix_;
    Motion motion_;
    Place wind_;  // metres a second
    Place here_;
    base::TrueBearing heading_;
    base::Duration time_{0.0};
    std::vector<Step> steps_;
};

}  // namespace omniway::procedure::detail
