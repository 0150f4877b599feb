#pragma once

#include <vector>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "earth/local_frame.hpp"
#include "procedure/hold_limits.hpp"
#include "procedure/holding.hpp"

namespace omniway::procedure {

/// What a hold's protected area is made for.
struct HoldingAreaFor {
    earth::PlanePoint fix;
    double inbound_grid_rad = 0.0;  // course over the fix
    navdata::Turn side = navdata::Turn::right;
    base::Duration outbound;    // timed, or what its length takes
    base::Speed true_airspeed;  // the fastest it is flown at
    base::Speed wind;           // from any side
    base::Length fix_error;     // how far from the fix its passage may be told
};
/// The fastest a hold may be flown there, in air 15 degrees warmer than standard, and the wind that its area allows for: 47 kt and 2 for each
/// thousand feet. Source: PANS-OPS II table I-2-3-1 (trade-facts 7.2 [seen]), hold_limits.hpp.
base::Speed fastest_hold(base::Altitude altitude, radio::Criteria criteria,
                         aircraft::ApproachCategory category);
base::Speed holding_wind(base::Altitude altitude);

/// Where an aircraft may come to be that flies a hold, or enters it, as carelessly as the criteria allow for.
///   Model     what is flown in still air from over the fix, carried by the wind for as long as that takes: to each place of a still-air track belongs
///             the disc of the wind since the fix. Tracks: the circuit and the three entries from every side, 5 seconds to bank and up to 6 of
///             reaction before each turn, outbound headings 5 degrees off either way, timed 10 seconds short or long; turns at 3 degrees a
///             second or 25 degrees of bank, whichever turns less. Inbound the wind is made good from the end of the turn.
///   Domain    plane points of one frame.
///   Accuracy  the hull of these flights within 0.1 NM (holding_area_test.cpp flies them one by one). The criteria's own drawing adds
///             protection for entries and rounds outward; a buffer of 5 NM lies about it (from memory).
///   Cost      a millisecond to make; some microseconds a question.
///   Fails     never.
///   Source    the figures: PANS-OPS II table I-2-3-1 (trade-facts 7.2 [seen]); that the area is made so: PANS-OPS II-4-1, from memory.
class HoldingArea {
public:
    explicit HoldingArea(const HoldingAreaFor& made_for);

    /// How far outside it a place lies; negative inside.
    base::Length beyond(earth::PlanePoint place) const;

    /// Around its hull, clockwise from north: a corner every 5 degrees, by 0.1 % of a disc's radius outside it.
    std::vector<earth::PlanePoint> around() const;

    struct Disc {
        earth::PlanePoint centre;
        double radius_m = 0.0;
    };
    const std::vector<Disc>& discs() const { return discs_; }

private:
    std::vector<Disc> discs_;
};

}  // namespace omniway::procedure
