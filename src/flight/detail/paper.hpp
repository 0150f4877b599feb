#pragma once

#include <cmath>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"

namespace omniway::flight::detail {

/// What paper holds of a figure: as much as a cockpit reads or sets.
template <class North>
base::Bearing<North> whole_degrees(base::Bearing<North> bearing) {
    return base::Bearing<North>::degrees(std::round(bearing.degrees()));
}
inline base::Angle tenths_of_a_degree(base::Angle angle) {
    return base::Angle::degrees(std::round(angle.degrees() * 10.0) / 10.0);
}
inline base::Length tenths_of_a_mile(base::Length length) {
    return base::Length::nautical_miles(std::round(length.nautical_miles() * 10.0) / 10.0);
}
/// A tolerance is never written smaller than it is.
inline base::Length tenths_of_a_mile_up(base::Length length) {
    return base::Length::nautical_miles(std::ceil(length.nautical_miles() * 10.0 - 1e-6) / 10.0);
}
inline base::Duration whole_seconds(base::Duration time) {
    return base::Duration(std::round(time.count()));
}
inline base::Altitude whole_feet(base::Altitude altitude) {
    return base::Altitude::feet(std::round(altitude.feet()));
}
inline base::Speed whole_knots(base::Speed speed) {
    return base::Speed::knots(std::round(speed.knots()));
}
inline base::Mass whole_pounds(base::Mass mass) {
    return base::Mass::pounds(std::round(mass.pounds()));
}
inline base::VerticalSpeed tens_of_feet_per_minute(base::VerticalSpeed rate) {
    return base::VerticalSpeed::feet_per_minute(std::round(rate.feet_per_minute() / 10.0) * 10.0);
}

}  // namespace omniway::flight::detail
