#pragma once

#include <string>
#include <utility>
#include <vector>

#include "navdata/record_id.hpp"

namespace omniway::wire {

/// A thing as a person reads it: what it is, and its figures by label and value.
struct ReadAs {
    std::string title;
    std::vector<std::pair<std::string, std::string>> figures;
};

/// Recorded things with their figures as JSON, as api/show.schema.json describes it: units stand in the names.
///   Model     one entry a thing, under the name of its kind, and beside it the same in words; what its record does not give is null or left out.
///   Domain    ids of `world`, each with its words; `asked` is what was asked for.
///   Accuracy  as published, rounded to what it is worth (0.001 NM, 0.01 degree).
///   Cost      about a millisecond.
///   Fails     never.
///   Source    RFC 8259; api/show.schema.json.
std::string show_json(const navdata::Snapshot& world, const std::string& asked,
                      const std::vector<std::pair<navdata::RecordId, ReadAs>>& found);

}  // namespace omniway::wire
