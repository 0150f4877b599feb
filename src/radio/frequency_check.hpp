#pragma once

#include <optional>
#include <string>

#include "navdata/station.hpp"

namespace omniway::radio {

/// What is wrong with a station's frequency for the kind of aid that its record makes it: "a localizer cannot be on 110.40 MHz". None
/// where it can be.
///   Model     VOR and localizer on the frequencies of their kind, a beacon in the ICAO band, a lone DME or TACAN on a channel (those
///             without a VHF pair by their stand-in frequency).
///   Domain    any station.
///   Accuracy  exact; a source may print more or fewer digits than the 50 kHz steps have, within 0.5 kHz.
///   Cost      O(1).
///   Fails     "no fault" is none.
///   Source    trade-facts 10.1 and 10.3 (Annex 10, AIM).
std::optional<std::string> frequency_fault(const navdata::Station& station);

}  // namespace omniway::radio
