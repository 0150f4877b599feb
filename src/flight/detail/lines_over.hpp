#pragma once

#include <optional>
#include <vector>

#include "base/bearing.hpp"
#include "flight/circumstances.hpp"
#include "procedure/guidance.hpp"
#include "procedure/path.hpp"

namespace omniway::flight::detail {

/// A radial or bearing that leads over a place, and where another place stands beside it.
struct LineOver {
    procedure::Guidance onto;
    base::Length before;  // of the other's foot on the line before the place; negative beyond it
    base::Length aside;
};

/// The lines by which the aids about a place lead over it, each away from its aid and toward it, as far as that aid can be heard there
/// at all and can be followed; where the place is an aid and the course beyond it is given, that course too. Not those of an aid that
/// stands at the other place.
std::vector<LineOver> lines_over(const Circumstances& circumstances, const procedure::PlacedFix& place,
                                 const std::optional<base::TrueBearing>& onward, base::Altitude altitude,
                                 earth::Position other);

}  // namespace omniway::flight::detail
