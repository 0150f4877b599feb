#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "debrief/debrief.hpp"
#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"
#include "radio/ground.hpp"

namespace omniway::wire {

/// What became of the points of a track's file.
struct TrackTold {
    std::string file;
    std::string form;         // "GPX", "NMEA 0183", "CSV"
    std::size_t flight = 1;   // which of the file's
    std::size_t flights = 1;  // how many it has
    std::size_t points = 0;
    std::size_t used = 0;
    std::vector<std::pair<std::string, std::size_t>> not_used;  // by reason
    const std::vector<base::Error>& diagnostics;
    const earth::FlownTrack& flown;
};

/// What was laid beside what, and what was found.
struct DebriefTold {
    const plan::Request& request;
    const plan::Option& option;
    const std::vector<base::Finding>& findings;  // of the flight
    base::Verdict verdict = base::Verdict::not_flyable;
    const flight::Card& card;
    std::string file;  // of the card
    const TrackTold& track;
    base::Duration longest_gap{0.0};
    const debrief::Debrief& debrief;
    radio::ReceptionMode reception = radio::ReceptionMode::horizon;
    bool terrain_known = false;
};

/// A debrief as JSON, as api/debrief.schema.json describes it.
///   Model     one document, keys in a fixed order.
///   Domain    a debrief of that card in the same snapshot.
///   Accuracy  as rounded.
///   Cost      some milliseconds.
///   Fails     never.
///   Source    RFC 8259; api/debrief.schema.json.
std::string debrief_json(const navdata::Snapshot& world, const DebriefTold& told);

}  // namespace omniway::wire
