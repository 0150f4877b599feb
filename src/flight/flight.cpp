#include "flight/flight.hpp"

#include <algorithm>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "flight/climb_overhead.hpp"
#include "radio/reception.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;

Length Flight::length() const {
    Length sum;
    for (const Leg& leg : legs) {
        sum += leg.length;
    }
    return sum;
}

Altitude Flight::altitude_at(Length along) const {
    return altitude_along(profile, along);
}

Altitude altitude_along(const std::vector<ProfilePoint>& profile, Length along) {
    OMNIWAY_EXPECTS(!profile.empty());
    if (along <= profile.front().along) {
        return profile.front().altitude;
    }
    for (std::size_t i = 1; i < profile.size(); ++i) {
        if (along <= profile[i].along) {
            const Length span = profile[i].along - profile[i - 1].along;
            const double share = span > Length() ? (along - profile[i - 1].along) / span : 1.0;
            return profile[i - 1].altitude + (profile[i].altitude - profile[i - 1].altitude) * share;
        }
    }
    return profile.back().altitude;
}

void read_distances_in_profile(const navdata::Snapshot& world, Flight& flight) {
    const auto bring = [&](fixing::Telling& telling, earth::Position place, Altitude altitude) {
        auto* reading = std::get_if<fixing::DmeReading>(&telling.way);
        if (reading == nullptr) {
            return;
        }
        const navdata::DistancePart& dme = *world[reading->station].dme;
        reading->slant_range =
            radio::slant_range(earth::distance(dme.position, place),
                               {.aircraft = altitude, .antenna = dme.elevation.value_or(Altitude())}) -
            dme.bias;
    };
    Length along;
    for (Leg& leg : flight.legs) {
        along += leg.length;
        if (!leg.ending) {
            continue;
        }
        if (auto* at_fix = std::get_if<procedure::AtFix>(&*leg.ending)) {
            bring(at_fix->telling, at_fix->fix.position, flight.altitude_at(along));
        } else if (auto* missed = std::get_if<procedure::AtMissedApproachPoint>(&*leg.ending);
                   missed && missed->telling) {
            bring(*missed->telling, missed->fix.position, flight.altitude_at(along));
        }
    }
}

}  // namespace omniway::flight
