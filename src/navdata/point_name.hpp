#pragma once

#include <string>

namespace omniway::navdata {

/// What kind of record a name points to.
enum class PointKind { fix, terminal_fix, vhf_station, ndb, terminal_ndb, localizer, airport, runway };

/// A point as one record of a publication names another: kind, ident, region, and the airport a terminal point belongs to.
///   Model     the key under which the named record stands; nothing says that the record is there.
///   Domain    ident upper case without blanks; region is the ICAO region code, empty where a source has none.
///   Accuracy  exact.
///   Cost      three short strings.
///   Fails     never; resolving it may find nothing.
///   Source    ARINC 424-18 sections 5.13, 5.14 and section/subsection codes (trade-facts 13).
struct PointName {
    PointKind kind = PointKind::fix;
    std::string ident;
    std::string region;
    std::string airport;
    friend bool operator==(const PointName&, const PointName&) = default;
    friend auto operator<=>(const PointName&, const PointName&) = default;
};

}  // namespace omniway::navdata
