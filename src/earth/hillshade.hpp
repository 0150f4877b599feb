#pragma once

#include <array>

#include "base/bearing.hpp"
#include "base/quantity.hpp"

namespace omniway::earth {

/// From where light falls on a shaded relief: by cartographers' custom from the north-west, half way up.
struct Light {
    base::TrueBearing from = base::TrueBearing::degrees(315.0);
    base::Angle above_horizon = base::Angle::degrees(45.0);
};

/// Ground about a place by its heights in metres, row by row from the north-west, the place in the middle.
struct NineHeights {
    std::array<double, 9> metres{};
    base::Length eastward;   // from one to the next in a row
    base::Length southward;  // from one row to the next
};

/// How bright ground is under a light: the cosine of the angle between its normal and the light, from 0, also where it faces away, to 1.
///   Model     the slope of a surface through nine heights by Horn's weights, each step beside the place counting twice; shaded by Lambert's law,
///             without cast shadows.
///   Domain    distances above zero; heights that are known.
///   Accuracy  exact of a plane.
///   Cost      two square roots.
///   Fails     never.
///   Source    Horn, Hill shading and the reflectance map, Proceedings of the IEEE 69 (1981): the weights as GDAL's gdaldem documents them.
double hillshade(const NineHeights& heights, const Light& light = {});

}  // namespace omniway::earth
