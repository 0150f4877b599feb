#pragma once

#include "rehearsal/rehearse.hpp"
#include "wire/detail/parts.hpp"

namespace omniway::wire::detail {

/// A chance with its interval; the share is null where nothing was counted.
Json chance_json(const rehearsal::Chance& chance);

}  // namespace omniway::wire::detail
