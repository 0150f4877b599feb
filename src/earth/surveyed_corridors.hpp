#pragma once

#include <map>
#include <memory>
#include <span>
#include <vector>

#include "earth/corridor.hpp"
#include "earth/terrain.hpp"

namespace omniway::earth {

/// The ground of corridors that one question has already looked at: the same line is asked about at every cruising altitude.
///   Model     scratch of one question, kept by whoever asks it and gone with the answer; not for several threads. A corridor is
///             its line and its half-widths; one that is as wide everywhere is one corridor wherever its widths were given.
///   Domain    one terrain.
///   Accuracy  what ground_in_corridor gives, to the bit.
///   Cost      a search among the corridors kept, some kilobytes each.
///   Fails     never.
///   Source    -
class SurveyedCorridors {
public:
    std::shared_ptr<const std::vector<GroundSlice>> of(const Terrain& terrain, Position from, Position to,
                                                       std::span<const HalfWidth> widths);
    std::size_t size() const { return kept_.size(); }

private:
    std::map<std::vector<double>, std::shared_ptr<const std::vector<GroundSlice>>> kept_;
};

}  // namespace omniway::earth
