#include "earth/surveyed_corridors.hpp"

#include <algorithm>

#include "base/contract.hpp"

namespace omniway::earth {

namespace {

bool is_as_wide_everywhere(std::span<const HalfWidth> widths) {
    return std::all_of(widths.begin(), widths.end(),
                       [&](const HalfWidth& width) { return width.half_width == widths.front().half_width; });
}

}  // namespace

std::shared_ptr<const std::vector<GroundSlice>> SurveyedCorridors::of(const Terrain& terrain, Position from,
                                                                      Position to,
                                                                      std::span<const HalfWidth> widths) {
    OMNIWAY_EXPECTS(!widths.empty());
    const std::span<const HalfWidth> needed = is_as_wide_everywhere(widths) ? widths.first(1) : widths;
    std::vector<double> key{from.latitude_deg(), from.longitude_deg(), to.latitude_deg(), to.longitude_deg()};
    for (const HalfWidth& width : needed) {
        key.push_back(needed.size() == 1 ? 0.0 : width.along.metres());
        key.push_back(width.half_width.metres());
    }
    auto& kept = kept_[std::move(key)];
    if (kept == nullptr) {
        kept =
            std::make_shared<const std::vector<GroundSlice>>(ground_in_corridor(terrain, from, to, needed));
    }
    return kept;
}

}  // namespace omniway::earth
