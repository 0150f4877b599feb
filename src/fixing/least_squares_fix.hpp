#pragma once

#include <optional>
#include <vector>

#include "fixing/belief.hpp"

namespace omniway::fixing {

/// A fix by least squares.
struct LeastSquaresFix {
    earth::Position place;
    // The ellipse of one standard deviation.
    base::Length major;
    base::Length minor;
    base::TrueBearing major_axis = base::TrueBearing::degrees(0.0);
    double chi_squared = 0.0;  // of the residuals, each by its deviation
    int degrees_of_freedom = 0;
    double crossing_deg = 0.0;  // how steeply its lines cross: 2 atan(minor / major)
};

/// Where all readings, taken as read, agree best.
///   Model     Gauss-Newton on the ellipsoid: residuals by geodesics, what wind and heading err by as further unknowns held to their
///             deviations. It shares no geometry with believe(). Where the lines cross at less than 10 degrees it gives none.
///   Domain    readings that give a line: radial, distance, bearing, passage; `stations` says which candidate each is taken for; a beginning within some tens of
///             miles.
///   Accuracy  a metre of its own minimum.
///   Cost      some tens of geodesics.
///   Fails     none where there are fewer than two lines, where they cross too shallowly, or where it does not settle.
///   Source    trade-facts 16; docs/methods/position.md.
std::optional<LeastSquaresFix> least_squares_fix(const BeliefQuestion& question,
                                                 const std::vector<std::size_t>& stations,
                                                 earth::Position begin);

}  // namespace omniway::fixing
