#pragma once

#include <optional>
#include <span>
#include <string>

#include "app/about.hpp"
#include "app/chart_area.hpp"
#include "app/chart_raster.hpp"
#include "app/debrief_flight.hpp"
#include "app/find_position.hpp"
#include "app/flight_views.hpp"
#include "app/hear.hpp"
#include "app/judge_flight.hpp"
#include "app/next_on_route.hpp"
#include "app/plan_flight.hpp"
#include "app/rehearse_flight.hpp"
#include "app/search.hpp"
#include "app/show.hpp"
#include "app/why_route.hpp"

namespace omniway::app {

/// Each answer as its document in api/, without a newline at the end: what the command prints with --json and the service sends.
///   Model     wire/ of the answer; one place, so that both say the same byte for byte.
///   Domain    answers of this floor.
///   Accuracy  as wire/.
///   Cost      some milliseconds.
///   Fails     never.
///   Source    docs/json.md.
std::string answer_json(const Planned& planned, std::span<const rehearsal::Chance> proved = {});
std::string answer_json(const Judged& judged);
std::string answer_json(const Explained& explained);
std::string answer_json(const HeardAlong& heard);
std::string answer_json(const HeardPoints& heard);
std::string answer_json(const PositionFound& found);
/// `again`: the command that flies one of the flights again, but for its number.
std::string answer_json(const Rehearsed& rehearsed, const RehearseQuestion& question,
                        const std::string& again);
std::string answer_json(const Debriefed& debriefed, const DebriefQuestion& question);
std::string answer_json(const Found& found, const std::string& ident);

std::string answer_json(const Charted& charted);
std::string answer_json(const Next& next);
std::string answer_json(const Rastered& rastered);
std::string answer_json(const Searched& searched, const std::string& words);
std::string answer_json(const About& about, const std::string& version);
std::string ribbon_json(const FlightViewed& viewed);
std::string panel_json(const FlightViewed& viewed);
std::string replay_json(const FlightReplayed& replayed);

/// The card of a flight that was planned, or judged, flyable or not; none where there is no flight.
std::optional<std::string> card_json(const Planned& planned);
std::optional<std::string> card_json(const Judged& judged);

}  // namespace omniway::app
