#pragma once

#include <string>

#include "base/bearing.hpp"
#include "earth/position.hpp"
#include "navdata/provenance.hpp"

namespace omniway::navdata {

/// A named point without a transmitter, en route or of one airport.
///   Model     a position under a name; how it can be told in the air is computed, never read from its type.
///   Domain    ident of 1 to 5 characters; airport empty for en-route fixes.
///   Accuracy  0.01 arc-second as published.
///   Cost      about 150 bytes.
///   Fails     never.
///   Source    ARINC 424-18 waypoint record (trade-facts 13.6).
struct Fix {
    std::string ident;
    std::string region;
    std::string airport;
    std::string name;
    std::string type;  // ARINC 424 columns 27-29
    earth::Position position;
    Origin origin;
    friend bool operator==(const Fix&, const Fix&) = default;
};

}  // namespace omniway::navdata
