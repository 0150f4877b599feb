#pragma once

#include <string>

#include "navdata/snapshot.hpp"
#include "plan/hand_made.hpp"
#include "radio/ground.hpp"

namespace omniway::wire {

/// A flight as it was given to be judged.
struct JudgedFlight {
    const plan::HandMadeRequest& request;
    const plan::Option& option;
    std::string file;  // empty: the route was typed
    bool of_card = false;
    radio::ReceptionMode reception = radio::ReceptionMode::horizon;
    bool terrain_known = false;
};

/// What the judge says of a flight as JSON, as api/judge.schema.json describes it: the findings ranked, and each again at its step.
///   Model     one document, keys in a fixed order; the card as in api/card.schema.json.
///   Domain    options of the same snapshot.
///   Accuracy  as rounded.
///   Cost      some milliseconds.
///   Fails     never.
///   Source    RFC 8259; api/judge.schema.json.
std::string judge_json(const navdata::Snapshot& world, const JudgedFlight& judged);

}  // namespace omniway::wire
