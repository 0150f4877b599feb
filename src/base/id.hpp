#pragma once

#include <compare>
#include <cstdint>

namespace omniway::base {

/// The place of a thing of one kind in the snapshot it belongs to; ids of two kinds never mix.
///   Model     index into a sorted vector of the snapshot; meaningless outside it.
///   Domain    0 to the size of that vector less one.
///   Accuracy  exact.
///   Cost      four bytes.
///   Fails     never.
///   Source    docs/architecture.md.
template <class Thing>
struct Id {
    std::uint32_t index = 0;
    friend constexpr auto operator<=>(Id, Id) = default;
};

}  // namespace omniway::base
