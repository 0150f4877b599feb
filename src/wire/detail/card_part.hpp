#pragma once

#include "flight/card.hpp"
#include "wire/detail/parts.hpp"

namespace omniway::wire::detail {

/// A card as it stands in several documents (api/card.schema.json, "card").
Json card_part(flight::Card card);

}  // namespace omniway::wire::detail
