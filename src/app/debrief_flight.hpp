#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/rehearse_flight.hpp"
#include "debrief/debrief.hpp"
#include "readers/track_reading.hpp"

namespace omniway::app {

/// What a person types to have a flown track laid against its card.
struct DebriefQuestion {
    std::string card;                       // a file
    std::string track;                      // a file
    std::optional<double> flight_of_track;  // which, where its file has several; from 1
    double longest_gap_s = 60.0;
    PlanQuestion flight;  // the aircraft, where the card's is not shipped
    bool aircraft_named = false;
};

struct Debriefed {
    std::unique_ptr<const FlightToRehearse> flight;  // as its card has it
    readers::TrackReading track;
    debrief::Debrief debrief;
};

/// Lays a flown track against a card: which step was flown when, and how well.
///   Model     the flight is the one that the card's request makes in this atlas (app/judge_flight.hpp); what the card says otherwise is measured as
///             the card says it, but where its lines lie on the earth is the flight's.
///   Domain    cards of this atlas; tracks of readers/track.hpp.
///   Accuracy  as debrief/debrief.hpp.
///   Cost      a flight judged, the track read, and some tenths of a second.
///   Fails     as flight_of_card() and readers::read_track_file(); app.debrief_what, debrief.*.
///   Source    design section 4.
tl::expected<Debriefed, std::vector<base::Error>> debrief_flight(const std::string& atlas,
                                                                 const Shipped& shipped,
                                                                 const DebriefQuestion& question);

}  // namespace omniway::app
