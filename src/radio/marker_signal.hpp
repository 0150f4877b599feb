#pragma once

#include "base/quantity.hpp"
#include "navdata/marker.hpp"

namespace omniway::radio {

/// What a marker receiver lights and sounds over each kind of marker.
///   Model     one carrier, 75 MHz; the kind is told by light, tone and keying.
///   Domain    the four of an ILS.
///   Accuracy  as published; the rates of the middle marker from memory, sources differ (trade-facts 19.18).
///   Cost      O(1).
///   Fails     never.
///   Source    AIM table 1-1-3 (trade-facts 10.4).
enum class MarkerLight { blue, amber, white };
enum class MarkerKeying { dashes, dots_and_dashes, dots, pairs_of_dots };

struct MarkerSignal {
    MarkerKeying keying;
    MarkerLight light;
    base::Frequency tone;
    base::Duration every;  // from one dash, dot or pair to the next
};
MarkerSignal signal_of(navdata::MarkerKind marker);

constexpr base::Frequency marker_carrier = base::Frequency::megahertz(75.0);

}  // namespace omniway::radio
