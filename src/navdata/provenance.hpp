#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/id.hpp"

namespace omniway::navdata {

/// A file that navigation data was read from.
///   Model     name as given, the format, its own cycle and dates, and a checksum of its bytes.
///   Domain    reference_year: the date for which the file speaks as a decimal year (an AIRAC cycle's effective date; for a
///             file without one, the day it was imported).
///   Accuracy  as the file says.
///   Cost      a few strings.
///   Fails     never.
///   Source    trade-facts 13.0 (ARINC 424 header).
struct Source {
    std::string file;
    std::string format;    // "ARINC 424-18" or "OurAirports CSV"
    std::string cycle;     // AIRAC "2101", or empty
    std::string validity;  // as a person reads it
    double reference_year = 0.0;
    std::string checksum;
    friend bool operator==(const Source&, const Source&) = default;
};

/// The line of a source that a thing was read from.
struct Origin {
    base::Id<Source> source;
    std::uint32_t line = 0;
    friend bool operator==(const Origin&, const Origin&) = default;
};

}  // namespace omniway::navdata
