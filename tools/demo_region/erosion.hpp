#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace omniway::demo_region {

/// A field of heights that water has run over.
struct Relief {
    int rows = 0;
    int columns = 0;
    std::vector<double> metres;       // row after row
    std::vector<std::uint8_t> land;   // 0: sea, into which everything drains
    std::vector<double> erodibility;  // 0 to 1: how far rivers cut there
};

/// Cuts valleys into a relief: after it every place of the land drains to the sea.
///   Model     each round finds the way of the water from the sea upwards (hollows are filled), adds up what drains through each
///             place and lowers it toward the place below by the square root of that, then slopes creep.
///   Domain    a relief whose outermost rows and columns are sea.
///   Accuracy  sums, products and square roots only, and equal heights in the order of their places: the same on every machine.
///   Cost      n log n a round.
///   Fails     never.
///   Source    the stream power law, solved from below (Braun and Willett 2013), over a priority flood (Barnes 2014) [memory];
///             constants by eye.
void erode(Relief& relief, int rounds, double strength);

}  // namespace omniway::demo_region
