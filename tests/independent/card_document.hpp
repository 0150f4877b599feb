#pragma once

// A card to be checked, out of a card document (api/card.schema.json) or out of a plan (flight.card beside flight.steps): the steps
// on paper, each with its track on the earth, and the figures by which both were made.

#include <optional>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "atlas_rows.hpp"
#include "ledger.hpp"
#include "lines_on_earth.hpp"

namespace independent {

using Json = nlohmann::json;

struct Receiver {
    bool hsi{}, localizer{}, glideslope{};
};

struct Equipment {
    std::vector<Receiver> receivers;
    std::string dme;  // own_control, follows_receiver, follows_receiver_with_hold; empty: none
    std::string adf;  // fixed_card, movable_card, rmi; empty: none
};

struct Tank {  // from the file of the aircraft
    double taxi_lb{}, reserve_min{};
    std::vector<std::array<double, 2>> cruise;  // feet, pounds an hour
};

struct Wind {
    double altitude_ft{}, from_deg{}, speed_kt{};
};

struct StepOnPaper {
    Json card, track;
    int number{};
    bool missed{};
    Place start, finish;
    double start_ft{}, end_ft{};
    double begins_s{}, ends_s{};  // from lining up
    const Json& guidance() const { return card.at("guidance"); }
    const Json& end() const { return card.at("end"); }
    std::string kind() const { return guidance().value("kind", ""); }
    std::string end_kind() const { return end().is_object() ? end().value("kind", "") : ""; }
};

struct Document {
    std::string from, to, verdict, approach_name, approach_procedure, criteria = "terps", final_fix;
    Equipment aboard;
    std::optional<Tank> tank;
    std::vector<Wind> winds;
    double year{};
    double dead_reckoning_nm = 10.0, dead_reckoning_s = 300.0;
    double cruise_ft{};      // the first level
    double last_level_ft{};  // from which it descends to the approach
    Json card;
    std::vector<StepOnPaper> steps;  // the missed approach behind the others
    std::vector<int> without_track;  // numbers of the card that the track has not
    const StepOnPaper* numbered(int number) const;
};

// `aircraft` are the files in which the aircraft of a plan is looked for by its name. None: there is no flight to check.
std::optional<Document> read_document(const Json& json, const std::vector<std::string>& aircraft,
                                      const AtlasRows& atlas);

Place place_of(const Json& json);

// The figure, or none where it is null or missing.
std::optional<double> figure(const Json& json, const char* key);

// The wind at an altitude: even between two levels by its parts, the same below the first and above the last.
Wind wind_at(const std::vector<Wind>& winds, double altitude_ft);

// What is printed of an aid against its row: of all rows of that ident and kind the one that fits best and stands nearest.
class AidRows {
public:
    AidRows(const AtlasRows& atlas, const Document& document, Ledger& ledger)
        : atlas_(atlas), document_(document), ledger_(ledger) {}
    // Says what is wrong with it.
    const Aid* check(const Json& named, Place near) const;
    const Aid* find(const Json& named, Place near) const;

private:
    const AtlasRows& atlas_;
    const Document& document_;
    Ledger& ledger_;
};

// "VOR/DME XDV"
std::string name_of(const Json& named);

// The radios of a card replayed knob by knob.
void check_radios(const Document& document, const AtlasRows& atlas, Ledger& ledger);

}  // namespace independent
