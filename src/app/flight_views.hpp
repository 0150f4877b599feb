#pragma once

#include <memory>
#include <string>
#include <vector>

#include "app/rehearse_flight.hpp"
#include "plan/ribbon.hpp"
#include "rehearsal/as_flown.hpp"

namespace omniway::app {

/// A flight drawn out straight and as it is flown, side by side on one axis.
struct FlightViewed {
    std::unique_ptr<const FlightToRehearse> flight;
    std::unique_ptr<const OnStage> on_stage;  // none where the flight cannot be flown
    plan::Ribbon ribbon;
    rehearsal::AsFlown flown;               // empty where it cannot be flown
    std::vector<plan::RibbonPlace> places;  // of its samples on the ribbon, ascending
};

/// The ribbon of the flight of a card, and the same flight flown by needle in the forecast wind without error: what the chart, the ribbon and
/// the panel show. A flight that cannot be flown has a ribbon too: it shows where that fails; it has no panel.
///   Model     plan/ribbon.hpp and rehearsal/as_flown.hpp.
///   Domain    the text of a card, up to 16 MB.
///   Accuracy  as those.
///   Cost      a flight compiled and judged, its strip and one trial: some tens of milliseconds beside opening the atlas.
///   Fails     as flight_of_card(); app.no_flight: panel_of_card() where the flight of the card cannot be flown, ribbon_of_card() where it has
///             no steps.
///   Source    design section 6.
tl::expected<FlightViewed, std::vector<base::Error>> ribbon_of_card(const std::string& atlas,
                                                                    const Shipped& shipped,
                                                                    const std::string& card_text);
tl::expected<FlightViewed, std::vector<base::Error>> panel_of_card(const std::string& atlas,
                                                                   const Shipped& shipped,
                                                                   const std::string& card_text);

}  // namespace omniway::app
