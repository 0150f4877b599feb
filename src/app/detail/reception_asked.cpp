#include "app/detail/reception_asked.hpp"

#include "earth/terrain.hpp"

namespace omniway::app::detail {

std::optional<radio::ReceptionMode> reception_asked(std::vector<base::Error>& faults,
                                                    const std::optional<std::string>& word) {
    if (!word) {
        return std::nullopt;
    }
    const auto mode = parse_reception(*word, "--reception");
    if (!mode) {
        faults.push_back(mode.error());
        return std::nullopt;
    }
    return *mode;
}

std::optional<base::Error> no_terrain(const World& world, std::optional<radio::ReceptionMode> asked) {
    if (asked != radio::ReceptionMode::terrain || !world.terrain->empty()) {
        return std::nullopt;
    }
    return base::Error{"app.no_terrain",
                       "the atlas holds no terrain: import some, or take the horizon of a smooth earth",
                       "--reception"};
}

}  // namespace omniway::app::detail
