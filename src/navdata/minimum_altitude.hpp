#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "navdata/point_name.hpp"
#include "navdata/provenance.hpp"

namespace omniway::navdata {

/// One sector of a minimum sector altitude: bearings TO the centre between which it counts.
struct SafeSector {
    base::MagneticBearing from;
    base::MagneticBearing to;
    base::Altitude altitude;
    base::Length radius;
    friend bool operator==(const SafeSector&, const SafeSector&) = default;
};

/// A minimum sector altitude: 1,000 ft above what stands within its radius; for emergencies, no signal promised.
///   Model     sectors about a named aid or point of one airport.
///   Domain    bearings magnetic, toward the centre; equal bounds mean the whole circle.
///   Accuracy  100 ft as coded.
///   Cost      a short vector.
///   Fails     never.
///   Source    ARINC 424-18 MSA record (trade-facts 13.11); AIM 5-4-5.
struct MinimumSectorAltitude {
    std::string airport;
    PointName centre;
    std::vector<SafeSector> sectors;
    Origin origin;
    friend bool operator==(const MinimumSectorAltitude&, const MinimumSectorAltitude&) = default;
};

/// A grid minimum off-route altitude: one degree by one degree, its corner the south-west one. It already contains its
/// clearance (1,000 ft, 2,000 ft over high ground); an empty altitude is the publication's "UNK".
struct GridMinimum {
    std::int16_t south_deg = 0;
    std::int16_t west_deg = 0;
    std::optional<base::Altitude> altitude;
    Origin origin;
    friend bool operator==(const GridMinimum&, const GridMinimum&) = default;
};

}  // namespace omniway::navdata
