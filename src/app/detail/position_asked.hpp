#pragma once

#include <string>

#include "app/world.hpp"
#include "earth/magnetic_model.hpp"
#include "earth/position.hpp"

namespace omniway::app::detail {

/// A position that was typed: a point of the atlas (XKE), a point with three figures of bearing and three of NM (XKE090015), degrees
/// (N44W072, N4430W07215), or LAT,LON.
///   Model     of a VOR the bearing is a radial by its own zero, of anything else the magnetic bearing of the day.
///   Domain    points of the atlas, but no localizers and runways.
///   Accuracy  as typed.
///   Cost      some look-ups.
///   Fails     app.position_form, app.unknown_ident (with near matches; or out of service), app.ambiguous_ident, at `where`.
///   Source    none: how it is typed is this project's own.
base::Result<earth::Position> position_asked(const World& world, const std::string& text,
                                             earth::DecimalYear today, const std::string& where);

}  // namespace omniway::app::detail
