#pragma once

#include <optional>
#include <string>
#include <vector>

#include "navdata/snapshot.hpp"
#include "plan/diversion.hpp"
#include "radio/ground.hpp"

namespace omniway::wire {

/// What was asked and found of a diversion.
struct DiversionTold {
    const plan::Request& request;
    std::optional<std::string> planned;                 // the way of the flight that is left
    const std::vector<base::Finding>& no_flight;        // why there is none to be left
    const std::optional<plan::Diversions>& diversions;  // none: there is no flight to be left
    radio::ReceptionMode reception = radio::ReceptionMode::horizon;
    bool terrain_known = false;
};

/// Where one can land, as JSON, as api/divert.schema.json describes it.
///   Model     one document, keys in a fixed order.
///   Domain    diversions of the same snapshot.
///   Accuracy  as rounded.
///   Cost      some milliseconds.
///   Fails     never.
///   Source    RFC 8259; api/divert.schema.json.
std::string divert_json(const navdata::Snapshot& world, const DiversionTold& told);

}  // namespace omniway::wire
