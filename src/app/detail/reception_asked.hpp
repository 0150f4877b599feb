#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/world.hpp"
#include "base/result.hpp"
#include "radio/ground.hpp"

namespace omniway::app::detail {

/// The mode of reception that was typed, if one was; a word that is none is a fault.
std::optional<radio::ReceptionMode> reception_asked(std::vector<base::Error>& faults,
                                                    const std::optional<std::string>& word);

/// Terrain asked for of an atlas that holds none, as app.no_terrain.
std::optional<base::Error> no_terrain(const World& world, std::optional<radio::ReceptionMode> asked);

}  // namespace omniway::app::detail
