#pragma once

#include <vector>

#include "base/finding.hpp"
#include "flight/card.hpp"

namespace omniway::wire {

/// Where a card says something else than what compiling its request gives: one finding that blocks for each figure or word, with the
/// step, the field, the card's value and the computed one.
///   Model     both as api/card.schema.json writes them, compared field by field; a list that is longer or shorter, or a variant of another
///             kind, is one difference.
///   Domain    any two cards.
///   Accuracy  exact: a card is rounded to what a cockpit reads.
///   Cost      two cards written as JSON.
///   Fails     never: no finding where they agree.
///   Source    api/card.schema.json.
std::vector<base::Finding> card_differences(const flight::Card& card, const flight::Card& computed);

}  // namespace omniway::wire
