#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"
#include "radio/ground.hpp"
#include "rehearsal/rehearse.hpp"

namespace omniway::wire {

/// What was asked and found of a rehearsal.
struct RehearsalTold {
    const plan::Request& request;
    const std::optional<plan::Option>& option;  // none: there is no flight
    base::Verdict verdict = base::Verdict::not_flyable;
    const std::vector<base::Finding>& findings;  // of the flight, or why there is none
    const flight::Card& card;                    // that was flown
    std::string file;                            // it is from; empty: as planned
    std::string errors;                          // as they were asked for: none, nominal or a file
    std::string again;  // the command that flies one of the flights again, but for its number
    const rehearsal::RehearsalQuestion& question;
    const rehearsal::Stage* stage = nullptr;               // none: there is no flight
    const std::optional<rehearsal::Rehearsal>& rehearsal;  // none: the same, or one flight is told
    radio::ReceptionMode reception = radio::ReceptionMode::horizon;
    bool terrain_known = false;
};

/// A rehearsal as JSON, as api/rehearse.schema.json describes it.
///   Model     one document, keys in a fixed order; nothing in it depends on the number of threads.
///   Domain    a rehearsal of that card in the same snapshot.
///   Accuracy  as rounded.
///   Cost      some milliseconds.
///   Fails     never.
///   Source    RFC 8259; api/rehearse.schema.json.
std::string rehearse_json(const navdata::Snapshot& world, const RehearsalTold& told);

/// One rehearsed flight second by second, as api/rehearse-flight.schema.json describes it: where it was and what the cockpit showed.
///   Model     one document, keys in a fixed order.
///   Domain    moments of that flight, each with its panel; flight counts from 1.
///   Accuracy  as rounded: a place to 2 m, a needle to a hundredth of a degree.
///   Cost      some hundred milliseconds.
///   Fails     never.
///   Source    RFC 8259; api/rehearse-flight.schema.json.
std::string rehearsed_flight_json(const navdata::Snapshot& world, const RehearsalTold& told,
                                  std::size_t flight, const rehearsal::Trial& trial,
                                  std::span<const rehearsal::Moment> moments);

}  // namespace omniway::wire
