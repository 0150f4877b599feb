#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "earth/position.hpp"
#include "navdata/provenance.hpp"

namespace omniway::navdata {

enum class MarkerKind { outer, middle, inner, back_course };

/// "outer marker", "back course marker".
std::string_view name_of(MarkerKind kind);

/// A marker beacon of a localizer, exactly as its record describes it.
///   Model     a place that sends upwards at 75 MHz; a locator that stands there is an NDB of its own (navdata/station.hpp).
///   Domain    airport and localizer by ident; the minor axis is that of its fan, true, the way it is narrow.
///   Accuracy  0.01 arc-second, 0.1 degree, 1 ft as published.
///   Cost      about 150 bytes.
///   Fails     never.
///   Source    ARINC 424-18 airport and heliport localizer marker record (4.1.13.1; columns in docs/import.md).
struct Marker {
    std::string airport;
    std::string localizer;
    std::string runway;  // "RW04L", or empty
    MarkerKind kind = MarkerKind::outer;
    earth::Position position;
    std::optional<base::TrueBearing> minor_axis;
    std::optional<base::Altitude> elevation;
    Origin origin;
    friend bool operator==(const Marker&, const Marker&) = default;
};

}  // namespace omniway::navdata
