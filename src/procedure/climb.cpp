#include "procedure/climb.hpp"

#include <algorithm>

#include "aircraft/wind_triangle.hpp"

namespace omniway::procedure {

using base::Altitude;
using base::Length;

namespace {

constexpr Length piece = Length::feet(100.0);

struct Piece {
    Altitude to;
    Length ground;
};

Piece climb_a_piece(const ClimbInWind& climb, base::TrueBearing track, Altitude from, Altitude top) {
    const aircraft::Performance& performance = *climb.performance;
    const Altitude to = std::min({from + piece, top, performance.service_ceiling});
    if (to <= from) {
        return {from, Length()};
    }
    const aircraft::Passage passage = aircraft::climb_between(performance, from, to);
    // Through the air, but level: what the climb takes of the airspeed is not flown over the ground.
    const base::Speed airspeed = passage.distance / passage.time;
    const auto held = aircraft::hold_course(track, airspeed, climb.winds.at(from + (to - from) * 0.5));
    const base::Speed groundspeed = held ? held->groundspeed : base::Speed::knots(1.0);
    return {to, groundspeed * passage.time};
}

}  // namespace

Length distance_to_climb(const ClimbInWind& climb, base::TrueBearing track, Altitude from, Altitude to) {
    Length flown;
    while (from < to && from < climb.performance->service_ceiling) {
        const Piece next = climb_a_piece(climb, track, from, to);
        flown += next.ground;
        from = next.to;
    }
    return flown;
}

Altitude altitude_after(const ClimbInWind& climb, base::TrueBearing track, Altitude from, Length flown) {
    const Altitude top = climb.performance->service_ceiling;
    while (from < top) {
        const Piece next = climb_a_piece(climb, track, from, top);
        if (next.ground >= flown) {
            return from + (next.to - from) * (flown / next.ground);
        }
        flown -= next.ground;
        from = next.to;
    }
    return from;
}

double feet_per_nautical_mile(Length gained, Length flown) {
    return gained.feet() / std::max(flown.nautical_miles(), 0.01);
}

double first_gradient_ft_per_nm(const ClimbInWind& climb, base::TrueBearing track, Altitude field) {
    const Altitude top = std::min(field + first_climb, climb.performance->service_ceiling);
    return feet_per_nautical_mile(std::max(top - field, Length()),
                                  distance_to_climb(climb, track, field, top));
}

base::Duration circuit_time(Altitude altitude) {
    return base::minutes(altitude <= Altitude::feet(14000.0) ? 4.0 : 5.0);
}

}  // namespace omniway::procedure
