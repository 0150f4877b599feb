#pragma once

#include <string>

#include "navdata/snapshot.hpp"
#include "procedure/path.hpp"

namespace omniway::testing {

/// The first point of that ident, as a fix of a leg.
inline procedure::PlacedFix placed(const navdata::Snapshot& world, const std::string& ident) {
    const auto point = world.named(ident).at(0);
    return {ident, world.position(point), point, false};
}

}  // namespace omniway::testing
