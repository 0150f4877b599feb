#pragma once

#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"
#include "wire/detail/parts.hpp"

namespace omniway::wire::detail {

/// What is asked of a flight beyond its airports, as it stands in several documents (api/plan.schema.json, "request").
Json request_part(const navdata::Snapshot& world, const plan::Request& request);

}  // namespace omniway::wire::detail
