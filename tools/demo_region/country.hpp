#pragma once

#include <span>
#include <string_view>

#include "place.hpp"

namespace omniway::demo_region {

/// The ground of the invented country: islands as outlines, mountains as truncated cones, in open ocean between 38 and 43 N,
/// 165 and 173 W. The terrain generator of a later issue builds its grid from these same constants.
///   Model     the ground at a point is the highest cone there, at least `coast_ft` within an outline, sea level elsewhere.
///   Domain    anywhere; sea level away from the country.
///   Accuracy  it is the definition.
///   Cost      one geodesic for each cone.
///   Fails     never.
///   Source    invented.
struct Corner {  // of an outline, hundredths of a degree north and east
    int north;
    int east;
};
struct Island {
    std::string_view name;
    std::span<const Corner> outline;  // closed from the last corner to the first
};
struct Mountain {
    std::string_view name;
    int north;   // hundredths of a degree
    int east;    // hundredths of a degree
    int top_ft;  // as far as `flat_nm` from its middle
    double flat_nm;
    double foot_nm;  // sea level from here on
};

inline constexpr int coast_ft = 30;

std::span<const Island> islands();
std::span<const Mountain> mountains();

bool on_land(Place place);
double ground_ft(Place place);

/// The highest ground of a one-degree cell, looked at every three minutes of arc.
double highest_ground_ft(int south_deg, int west_deg);
/// Whether any land lies within a distance of a one-degree cell.
bool land_near(int south_deg, int west_deg, double distance_nm);

/// Magnetic variation in the country in tenths of a degree, east positive.
///   Model     a plane through the World Magnetic Model at mid 2026.
///   Domain    38-43 N, 165-173 W.
///   Accuracy  0.2 degrees of the model.
///   Cost      one sum.
///   Fails     never.
///   Source    WMM2025 through GeographicLib, evaluated at whole degrees at 2026.5.
int variation_tenths(Place place);

}  // namespace omniway::demo_region
