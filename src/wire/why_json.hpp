#pragma once

#include <string>

#include "navdata/snapshot.hpp"
#include "plan/hand_made.hpp"
#include "plan/why.hpp"
#include "radio/ground.hpp"

namespace omniway::wire {

/// A way that a person named beside what is offered.
struct ExplainedWay {
    const plan::HandMadeRequest& request;
    const plan::Option& by_hand;
    const plan::Why& why;
    radio::ReceptionMode reception = radio::ReceptionMode::horizon;
    bool terrain_known = false;
};

/// Why a way is not the one offered as JSON, as api/why.schema.json describes it.
///   Model     one document, keys in a fixed order.
///   Domain    of the same snapshot.
///   Accuracy  as rounded.
///   Cost      a millisecond.
///   Fails     never.
///   Source    RFC 8259; api/why.schema.json.
std::string why_json(const navdata::Snapshot& world, const ExplainedWay& explained);

}  // namespace omniway::wire
