#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

#include "base/finding.hpp"
#include "base/result.hpp"
#include "cockpit/equipment.hpp"
#include "earth/magnetic_model.hpp"
#include "flight/compile.hpp"
#include "flight/settings.hpp"
#include "navdata/provenance.hpp"
#include "navdata/snapshot.hpp"
#include "plan/hand_made.hpp"
#include "plan/plan.hpp"
#include "procedure/minima.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::wire {

/// A station that the card does without.
struct StationOut {
    std::string ident;
};

/// What was asked and chosen for a card: enough to make the flight again.
struct CardRequest {
    std::string from;
    std::string to;
    std::string route;  // item 15, with both airports
    std::vector<plan::PointMeant> points_meant;
    std::vector<StationOut> without;  // out of service, each of that ident
    std::string departure_runway;
    std::string departure;  // a SID's ident, or plan::own_departure
    std::string arrival;    // a STAR's ident, or plan::no_arrival
    std::string approach;   // its name and transition; empty for an arrival without one
    procedure::Landing landing = procedure::Landing::straight_in;
    std::optional<std::string> arrival_runway;
    std::optional<procedure::ApproachMinimum> minimum;
    base::Altitude cruise;
    std::string aircraft;  // its name
    cockpit::Equipment equipment;
    weather::WindsAloft winds = weather::Wind{};
    earth::DecimalYear today;
    flight::Settings settings;
};

/// A card with what it was made from and what the judge said of it.
struct CardDocument {
    std::vector<navdata::Source> sources;
    CardRequest request;
    base::Verdict verdict = base::Verdict::not_flyable;
    std::vector<base::Finding> findings;
    flight::Card card;
};

/// The document of a flight that was planned or made by hand.
CardDocument card_document(const navdata::Snapshot& world, const plan::Request& request,
                           const plan::Option& option);

/// A card as a document of its own, as api/card.schema.json describes it: to be kept, judged again, flown from.
///   Model     every variant an object with its kind; the same description serves writing and reading (detail/card_fields.hpp).
///             Beside the card stands the flight track it was made from, keyed by step number, which is not read back; so are
///             the words of the card ("says").
///   Domain    a card of flight/card.hpp: numbers rounded as flight/step.hpp says.
///   Accuracy  parse_card(card_json(c)) is c, field by field.
///   Cost      some milliseconds.
///   Fails     never.
///   Source    RFC 8259; api/card.schema.json.
std::string card_json(const navdata::Snapshot& world, const CardDocument& document,
                      const flight::FlightTrack& track);

/// A card from outside. Strict: every property must be there, none that is not known, each number in its range and as coarse as a
/// cockpit reads it.
///   Model     all faults are found, not only the first (at most 20 are told), each with the JSON pointer of the value, the value
///             and what is allowed. A document that is none of ours is refused in one sentence.
///   Domain    UTF-8 up to 16 MB.
///   Accuracy  exact.
///   Cost      some milliseconds.
///   Fails     card.too_large, card.not_json, card.wrong_kind, card.other_version; card.missing, card.not_known, card.twice,
///             card.wrong_type, card.out_of_range, card.unknown_word, card.text_form, card.contradiction.
///   Source    RFC 8259 (JSON), RFC 6901 (pointers); api/card.schema.json.
tl::expected<CardDocument, std::vector<base::Error>> parse_card(std::string_view text,
                                                                const std::string& where);

/// card.other_atlas where the card was made from other navigation data than these files, by their checksums.
std::optional<base::Error> other_atlas(const CardDocument& document, std::span<const navdata::Source> sources,
                                       const std::string& where);

}  // namespace omniway::wire
