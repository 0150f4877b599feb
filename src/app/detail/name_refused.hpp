#pragma once

#include <span>
#include <string>

#include "base/result.hpp"
#include "earth/position.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::app::detail {

/// That a name is no one place of the atlas.
///   Model     nothing has it: with near matches; or places far apart have it: each told by its coordinates, as it may be given instead.
///   Domain    none, or two places and more.
///   Accuracy  0.0001 degree.
///   Cost      linear in the idents of the atlas.
///   Fails     never: it is app.unknown_ident or app.ambiguous_ident, at `where`.
///   Source    docs/errors.md.
base::Error name_refused(const navdata::Snapshot& world, const std::string& ident,
                         std::span<const earth::Position> places, const std::string& where);

}  // namespace omniway::app::detail
