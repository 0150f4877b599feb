#pragma once

#include <span>

#include "base/altitude.hpp"
#include "procedure/flown.hpp"
#include "procedure/motion.hpp"
#include "procedure/path.hpp"
#include "weather/atmosphere.hpp"

namespace omniway::procedure::detail {

/// How fast and how high the legs of a procedure are flown, as far as turns and endings depend on it.
///   Model     a departure and a missed approach climb at the aircraft's rate toward the highest altitude still coded, held
///             under what a leg codes as its most; everything else comes down to the coded altitude of each leg. Airspeeds: a
///             departure and a missed approach at that of the climb; an arrival at that of the descent, at most 250 KIAS below
///             10,000 ft; an approach at 1.3 times the approach speed, no faster than the cruise, and at the approach speed
///             from the final fix; a procedure turn at most 200 KIAS, a hold at most its own limit; coded limits always.
///   Domain    altitudes below the service ceiling; above it, the ceiling.
///   Accuracy  of the model: how steep a descent is, is the vertical profile's business.
///   Cost      some powers a leg.
///   Fails     never.
///   Source    14 CFR 91.117 (250 KIAS) [memory]; AIM 5-4-9, 5-3-8 (trade-facts 8.3, 8.4); 1.3 times: common practice, no
///             source.
class Pace {
public:
    Pace(std::span<const PlacedLeg> legs, const FlownBy& by, FlownPhase phase);

    bool climbs(std::size_t leg) const;
    base::Speed true_airspeed(std::size_t leg, base::Altitude altitude) const;
    /// What the altitude has become after flying on a leg for a time.
    base::Altitude after(std::size_t leg, base::Altitude start, base::Duration time) const;
    /// How long until an altitude is reached; none where it is above the ceiling.
    std::optional<base::Duration> until(base::Altitude start, base::Altitude reached) const;
    base::VerticalSpeed climb_rate(base::Altitude altitude) const;
    aircraft::ApproachCategory category() const;

private:
    base::Altitude within_ceiling(base::Altitude altitude) const;
    weather::CalibratedAirspeed indicated_limit(std::size_t leg, base::Altitude altitude) const;
    base::Altitude climbs_to(std::size_t leg, base::Altitude start) const;
    base::Altitude descends_to(std::size_t leg, base::Altitude start) const;

    std::span<const PlacedLeg> legs_;
    const FlownBy& by_;
    FlownPhase phase_;
    std::size_t final_from_;  // first leg after the final fix
};

}  // namespace omniway::procedure::detail
