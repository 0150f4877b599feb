#pragma once

#include "earth/geodesic.hpp"
#include "flight/en_route.hpp"
#include "tests/sketch.hpp"

namespace omniway::testing {

/// A straight leg off the airways between two drawn places that have no names: nothing guides along it, and its minimum is not known.
inline flight::Leg straight(const Sketch& sketch, At from, At to) {
    flight::Leg leg;
    leg.via = flight::direct_via;
    leg.start = sketch.at(from);
    leg.finish = sketch.at(to);
    const earth::Geodesic line = earth::geodesic(leg.start, leg.finish);
    leg.track = line.initial;
    leg.arrival = line.arrival;
    leg.length = line.distance;
    return leg;
}

}  // namespace omniway::testing
