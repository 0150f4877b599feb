#pragma once

#include <vector>

#include "base/finding.hpp"
#include "flight/circumstances.hpp"
#include "flight/compile.hpp"
#include "flight/flight.hpp"

namespace omniway::flight {

/// What the rules of admission say of a flight.
struct Judgement {
    base::Verdict verdict = base::Verdict::not_flyable;
    std::vector<base::Finding> findings;  // worst first, each with the step it belongs to
};

/// The one place where a flight is admitted or not, however it was made: by the planner, by hand, or read from a card.
///   Model     everything is tested again from the flight itself: guidance received, ends observed, fixes told, altitudes, radios
///             tuned in time, dead reckoning, fuel, runway and wind, data in date. Reception is that of radio/along_path.hpp along
///             each stretch at the heights flown there. Each rule, its figure and its source: docs/methods/judge.md.
///   Domain    a flight of the circumstances' snapshot and what compile() made of it in the same circumstances.
///   Accuracy  0.1 NM in where a signal is lost.
///   Cost      under 5 ms (bench/card_bench.cpp).
///   Fails     never: every doubt is a finding.
///   Source    design section 3.
Judgement judge(const Circumstances& circumstances, const Flight& flight, const Compiled& compiled);

/// By grade, then by how much they matter (docs/methods/judge.md), then by the step of the card; otherwise in the order in which
/// they were found.
void rank_findings(std::vector<base::Finding>& findings);

/// Whether a cruising altitude is one of the semicircular rule for the main direction of a flight, by magnetic course at the departure.
bool suits_semicircular_rule(const Circumstances& day, navdata::AirportId from, navdata::AirportId to,
                             base::Altitude cruise);

}  // namespace omniway::flight
