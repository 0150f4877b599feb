#pragma once

#include <span>
#include <string>

#include "cockpit/equipment.hpp"
#include "flight/protected_area.hpp"
#include "navdata/snapshot.hpp"
#include "plan/ribbon.hpp"
#include "rehearsal/as_flown.hpp"

namespace omniway::wire {

/// The ribbon of a flight as JSON, as api/ribbon.schema.json describes it; the line of a step that was flown is that of the flight, of
/// any other the card's.
///   Model     distances and times along are the ribbon's, of samples too.
///   Domain    the ribbon and the samples of one card, with the place of each on the ribbon.
///   Accuracy  0.001 NM, 0.1 s, whole feet.
///   Cost      some hundred kilobytes.
///   Fails     never.
///   Source    RFC 8259; design section 6.
std::string ribbon_json(const navdata::Snapshot& world, const plan::Ribbon& ribbon,
                        const rehearsal::AsFlown& flown, std::span<const plan::RibbonPlace> places,
                        std::span<const flight::ProtectedArea> areas);

/// What the panel shows along it, as api/panel.schema.json describes it.
std::string panel_json(const plan::Ribbon& ribbon, const rehearsal::AsFlown& flown,
                       std::span<const plan::RibbonPlace> places, const std::string& aircraft,
                       const cockpit::Equipment& aboard);

/// One flight of a rehearsal again, counted from 1, and the card it was flown by.
struct ReplayTold {
    const flight::Card& card;
    std::size_t flight = 1;
    const rehearsal::RehearsalQuestion& question;
    const plan::Ribbon& ribbon;
    const rehearsal::AsFlown& flown;
    std::span<const plan::RibbonPlace> places;
    const std::string& aircraft;
    const cockpit::Equipment& aboard;
};

/// What it did and what its panel showed, as api/replay.schema.json describes it.
std::string replay_json(const ReplayTold& told);

}  // namespace omniway::wire
