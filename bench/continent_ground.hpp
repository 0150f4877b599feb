#pragma once

#include "base/random.hpp"
#include "bench/continent.hpp"
#include "store/ground.hpp"

namespace omniway::bench {

/// The continent's ground for an atlas: every quarter degree of it and half a degree of sea about it, at 30 arc-seconds.
///   Model     Relief at the nodes, in whole metres.
///   Domain    as Relief.
///   Accuracy  half a metre.
///   Cost      about 0.2 ms a tile of 31 nodes a side.
///   Fails     never.
///   Source    none: it is invented.
store::Ground continent_ground(const ContinentSize& size, base::Seed seed);

}  // namespace omniway::bench
