#pragma once

#include <memory>
#include <string>
#include <vector>

#include "app/made_lately.hpp"
#include "app/rehearse_flight.hpp"
#include "plan/ribbon.hpp"
#include "rehearsal/as_flown.hpp"

namespace omniway::app {

/// A flight drawn out straight and as it is flown, side by side on one axis.
struct FlightViewed {
    std::shared_ptr<const FlightToRehearse> flight;
    std::shared_ptr<const OnStage> on_stage;  // none where the flight cannot be flown
    plan::Ribbon ribbon;                      // of panel_of_card() without hearing
    rehearsal::AsFlown flown;                 // empty where it cannot be flown
    std::vector<plan::RibbonPlace> places;    // of its samples on the ribbon, ascending
};

/// A card to be looked at.
struct CardViewed {
    std::string card = "card";  // its name among the files given
    PlanQuestion flight;  // the aircraft, where it is not the shipped one that the card names, and the files
    bool aircraft_named = false;
};

/// The ribbon of the flight of a card, and the same flight flown by needle in the forecast wind without error: what the chart, the ribbon and
/// the panel show. A flight that cannot be flown has a ribbon too: it shows where that fails; it has no panel.
///   Model     plan/ribbon.hpp and rehearsal/as_flown.hpp.
///   Domain    a card among the texts that are given, up to 16 MB.
///   Accuracy  as those.
///   Cost      a flight compiled and judged and one trial, for a ribbon its strip: some tens of milliseconds beside opening the atlas.
///   Fails     as flight_of_card(); app.no_flight: panel_of_card() where the flight of the card cannot be flown, ribbon_of_card() where it has
///             no steps.
///   Source    design section 6.
tl::expected<FlightViewed, std::vector<base::Error>> ribbon_of_card(const std::string& atlas,
                                                                    const Shipped& shipped,
                                                                    const CardViewed& question);
tl::expected<FlightViewed, std::vector<base::Error>> panel_of_card(const std::string& atlas,
                                                                   const Shipped& shipped,
                                                                   const CardViewed& question);

/// The cards viewed last, without hearing: the ribbon and the panel of a card are asked for together, and its flight is made and flown once.
class FlightsViewed : public MadeLately<tl::expected<FlightViewed, std::vector<base::Error>>> {
    using MadeLately::MadeLately;
};

/// One flight of a rehearsal again, on the axis of the flight that was meant.
struct FlightReplayed {
    Rehearsed rehearsed;  // its flight, stage and question; nothing of it was flown
    std::size_t number = 0;
    plan::Ribbon ribbon;  // without hearing
    rehearsal::AsFlown flown;
    std::vector<plan::RibbonPlace> places;  // of its samples on the ribbon, ascending
};

/// What flight `example` of a rehearsal did and saw: the same flight as rehearse_flight() flies by the same question.
///   Model     rehearsal/as_flown.hpp.
///   Domain    a question with an example.
///   Accuracy  that.
///   Cost      a plan or a card judged, and one trial.
///   Fails     as rehearse_flight(); app.no_flight where the flight cannot be flown.
///   Source    design section 6.
tl::expected<FlightReplayed, std::vector<base::Error>> replay_flight(const std::string& atlas,
                                                                     const Shipped& shipped,
                                                                     const RehearseQuestion& question);

}  // namespace omniway::app
