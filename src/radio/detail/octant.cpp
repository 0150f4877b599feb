#include "radio/detail/octant.hpp"

#include "radio/detail/lanes.hpp"
#include "radio/detail/ray_bundle.hpp"

namespace omniway::radio::detail {

void sweep_rays(const Octant& octant, const SweepTerms& terms, int first) {
    sweep_outward<PortableLanes>(octant, terms, first);
}

}  // namespace omniway::radio::detail
