#pragma once

#include <string>
#include <vector>

#include "app/world.hpp"
#include "earth/position.hpp"

namespace omniway::app::detail {

/// Idents of airports with a runway in the data near a straight way, nearest first: those whose procedures are worth loading for a
/// question of where else one could land. Places are looked at every 20 NM; at most 60 airports within `reach`.
std::vector<std::string> airports_near(const navdata::Snapshot& world, earth::Position from,
                                       earth::Position to, base::Length reach);

/// The ids of these in a snapshot.
std::vector<navdata::AirportId> airports_of(const navdata::Snapshot& world,
                                            const std::vector<std::string>& idents);

}  // namespace omniway::app::detail
