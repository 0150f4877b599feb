#pragma once

#include <string>

#include "base/quantity.hpp"

namespace omniway::flight {

/// A ground aid as paper names it: by what is tuned and what is heard.
///   Model     ident, the trade's name for its kind ("VOR/DME", "NDB", "ILS/DME": navdata::kind_text) and frequency; its Morse follows
///             from the ident (cockpit/morse.hpp).
///   Domain    any station.
///   Accuracy  as published.
///   Cost      two strings.
///   Fails     never.
///   Source    design section 2.
struct NamedAid {
    std::string ident;
    std::string kind;
    base::Frequency frequency;
    friend bool operator==(const NamedAid&, const NamedAid&) = default;
};

}  // namespace omniway::flight
