#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/quantity.hpp"
#include "navdata/airport.hpp"

namespace omniway::readers {

/// The name of a runway's other end: "RW04L" gives "RW22R"; empty where the ident is no number with a side.
std::string reciprocal_ident(std::string_view ident);

/// Gives each runway without one the threshold of its reciprocal runway at the same airport as its far end, where the
/// two thresholds stand as far apart as the runway is long.
void fill_far_ends(std::vector<navdata::Runway>& runways);

/// Whether two ends can belong to a runway of that length: apart by it within a fifth, or within the displacements
/// and 300 ft. Of 6,600 OurAirports runways with both ends placed, 97 % agree with their length so.
bool fits_length(base::Length apart, base::Length length, base::Length displaced_in_all);

}  // namespace omniway::readers
