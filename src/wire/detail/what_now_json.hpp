#pragma once

#include "navdata/snapshot.hpp"
#include "plan/what_now.hpp"
#include "wire/detail/parts.hpp"

namespace omniway::wire::detail {

/// What to do now, as api/find.schema.json describes it.
Json what_now_json(const navdata::Snapshot& world, const plan::WhatNow& now);

}  // namespace omniway::wire::detail
