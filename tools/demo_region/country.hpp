#pragma once

#include <span>
#include <string_view>

#include "place.hpp"

namespace omniway::demo_region {

/// The invented country in rough lines: islands as outlines, mountains as truncated cones, in open ocean between 38 and 43 N,
/// 165 and 173 W. The grid minimums are published from it; ground.hpp makes the ground itself from these same constants.
///   Model     `ground_ft` is the highest cone at a point, at least `coast_ft` within an outline, sea level elsewhere.
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

/// A crest between two summits or hills, lower than either; what the ground has beside the mountains themselves.
struct Ridge {
    int from_north;  // hundredths of a degree
    int from_east;
    int to_north;
    int to_east;
    int crest_ft;
    double foot_nm;
};

inline constexpr int coast_ft = 30;

std::span<const Island> islands();
std::span<const Mountain> mountains();
std::span<const Ridge> ridges();

bool on_land(Place place);
double ground_ft(Place place);

/// The highest ground of a one-degree cell, looked at every three minutes of arc.
double highest_ground_ft(int south_deg, int west_deg);
/// The published minimum of such a cell: 1,000 ft above its ground up to 5,000 ft, else 2,000 ft (trade-facts 9.3), up to the
/// next hundred.
struct GridMinimum {
    long altitude_ft;
    long clearance_ft;
};
GridMinimum grid_minimum(int south_deg, int west_deg);
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
