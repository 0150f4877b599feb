#pragma once

#include "base/quantity.hpp"
#include "flight/radio_setting.hpp"
#include "navdata/station.hpp"

namespace omniway::flight {

/// How long from turning the knob to having identified what was tuned.
///   Model     a VOR keys its ident every 10 s or less often, a localizer every 10 s, an NDB somewhat slower and with more noise, a DME
///             once for each three or four of those: two idents heard, and some seconds for the knob.
///   Domain    any station.
///   Accuracy  defaults; a person may be quicker.
///   Cost      none.
///   Fails     never.
///   Source    design section 3, Radios; trade-facts 10.5, 21 (common practice).
inline constexpr base::Duration vor_identified{40.0};
inline constexpr base::Duration dme_identified{60.0};
inline constexpr base::Duration beacon_identified{45.0};
inline constexpr base::Duration localizer_identified{20.0};

inline base::Duration identified_in(SetKind kind, const navdata::Station& station) {
    switch (kind) {
        case SetKind::dme:
            return dme_identified;
        case SetKind::adf:
            return beacon_identified;
        case SetKind::receiver:
            break;
    }
    return navdata::localizer(station) != nullptr ? localizer_identified : vor_identified;
}

}  // namespace omniway::flight
