#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/point_name.hpp"
#include "navdata/provenance.hpp"

namespace omniway::navdata {

/// An airport's reference point and figures.
///   Model     one record; runways, procedures and frequencies stand apart and name it.
///   Domain    ident as published (ICAO location indicator or local ident).
///   Accuracy  0.01 arc-second, 1 ft as published.
///   Cost      about 200 bytes.
///   Fails     never.
///   Source    ARINC 424-18 airport record (trade-facts 13.2); OurAirports airports.csv.
struct Airport {
    std::string ident;
    std::string region;
    std::string name;
    earth::Position position;
    std::optional<base::Variation> variation;
    std::optional<base::Altitude> elevation;
    std::vector<Origin> origins;
    friend bool operator==(const Airport&, const Airport&) = default;
};

/// One end of a runway, as used for landing or take-off in one direction.
struct Runway {
    std::string airport;
    std::string ident;  // "RW04L"
    base::Length length;
    std::optional<base::MagneticBearing> bearing;   // as published, by the airport's variation
    std::optional<base::TrueBearing> true_bearing;  // where a source gives it true
    std::optional<earth::Position> threshold;       // landing threshold
    std::optional<earth::Position> far_end;         // threshold of the other end, where known
    std::optional<base::Altitude> elevation;
    base::Length displaced;
    std::string localizer;  // ident, or empty
    Origin origin;
    friend bool operator==(const Runway&, const Runway&) = default;
};

/// A voice frequency of an airport.
struct Communication {
    std::string airport;
    std::string type;  // as the source names it: TWR, ATIS, APP ...
    std::string name;
    base::Frequency frequency;
    Origin origin;
    friend bool operator==(const Communication&, const Communication&) = default;
};

}  // namespace omniway::navdata
