#pragma once

#include <string>

#include "navdata/snapshot.hpp"
#include "plan/what_now.hpp"

namespace omniway::writers::detail {

/// What to do now: the safe altitude, the way back to the card, where one can land, and what speaks against it.
std::string what_now_text(const navdata::Snapshot& world, const plan::WhatNow& now);

}  // namespace omniway::writers::detail
