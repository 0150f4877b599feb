#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/plan_flight.hpp"
#include "plan/hand_made.hpp"

namespace omniway::app {

/// What a person types to have a flight judged.
struct JudgeQuestion {
    std::string what;     // a file with a card or a route, else a route
    PlanQuestion flight;  // its airports empty: the first and last word of the route
    bool aircraft_named = false;
};

/// A flight as it was given, compiled and judged.
struct Judged {
    World world;
    plan::HandMadeRequest request;
    plan::Option option;
    std::string file;  // empty: the route was typed
    bool of_card = false;
    std::optional<flight::Card> card;  // as its file has it
    radio::ReceptionMode reception = radio::ReceptionMode::horizon;
    bool terrain_known = false;
};

/// Judges a route that a person named, or a card.
///   Model     the argument is a file where there is one of that name: a card where it begins with a brace, else a route. The request of a
///             card is compiled anew in this atlas, and where the card says something else that is a finding (card.differs).
///   Domain    as app/plan_flight.hpp and readers/item15.hpp; files up to 16 MB.
///   Accuracy  as plan/hand_made.hpp.
///   Cost      opening the atlas and one flight.
///   Fails     with every fault found: app.*, route.*, card.*, aircraft.*, weather.*, atlas.*, read.file_*.
///   Source    design section 3.
tl::expected<Judged, std::vector<base::Error>> judge_flight(const std::string& atlas, const Shipped& shipped,
                                                            const JudgeQuestion& question);

}  // namespace omniway::app
