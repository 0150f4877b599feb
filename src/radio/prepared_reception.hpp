#pragma once

#include <memory>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "radio/ground.hpp"
#include "radio/horizon.hpp"
#include "radio/reception.hpp"

namespace omniway::radio {

/// hear() of one part of a station, made ready to be asked at many places.
///   Model     as hear() (radio/reception.hpp), to the same answers.
///   Domain    what it was made from must outlive it; any number of threads.
///   Accuracy  as hear().
///   Cost      one geodesic, none from FromAntenna; over terrain one look into the horizon, which is held here.
///   Fails     never.
///   Source    radio/reception.hpp.
class PreparedReception {
public:
    PreparedReception(const navdata::Station& station, Part part, const Ground& ground);

    Reception at(earth::Position place, base::Altitude altitude) const;
    /// The same where it is at hand how the place is seen from the antenna, which saves the geodesic.
    Reception at(const FromAntenna& place, base::Altitude altitude) const;
    /// How far one may go on at this altitude, in any direction, before another answer is possible; ground steeper than 45 degrees apart.
    base::Length room(const Reception& reception) const;

private:
    struct Listening;
    std::shared_ptr<const Listening> listening_;
};

}  // namespace omniway::radio
