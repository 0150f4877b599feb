#pragma once

#include <optional>

#include "base/quantity.hpp"
#include "cockpit/morse.hpp"
#include "cockpit/pairing.hpp"
#include "navdata/station.hpp"

namespace omniway::radio {

/// What a station is recognised by, and what its one frequency tunes besides.
///   Model     a DME or TACAN without a VOR or localizer identifies itself as a DME does. A channel follows from the VHF frequency, of a
///             TACAN channel from its stand-in; an NDB's frequency tunes nothing else.
///   Domain    any station.
///   Accuracy  as the standards pair and key.
///   Cost      O(1).
///   Fails     "no" is none: no DME, no glideslope, or a frequency that is of no pair.
///   Source    trade-facts 10.2, 10.3, 10.5.
cockpit::Identification identification_of(const navdata::Station& station);
std::optional<cockpit::DmeChannel> channel_of(const navdata::Station& station);
std::optional<base::Frequency> glideslope_frequency_of(const navdata::Station& station);

}  // namespace omniway::radio
