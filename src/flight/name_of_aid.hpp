#pragma once

#include "flight/named_aid.hpp"
#include "navdata/station.hpp"

namespace omniway::flight {

/// A station as paper names it (flight/named_aid.hpp).
inline NamedAid named(const navdata::Station& station) {
    return {station.ident, navdata::kind_text(station), station.frequency};
}

}  // namespace omniway::flight
