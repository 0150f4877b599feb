#pragma once

#include <cstddef>
#include <string>

#include "navdata/snapshot.hpp"
#include "plan/diversion.hpp"

namespace omniway::writers::detail {

/// An airport that can be flown to from the air: time, distance, fuel, runway, what to set first, the way, and what is asked.
std::string diversion_text(const navdata::Snapshot& world, std::size_t rank, const plan::Diversion& each);

}  // namespace omniway::writers::detail
