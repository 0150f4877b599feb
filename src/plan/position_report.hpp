#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/progress.hpp"
#include "earth/position.hpp"
#include "fixing/belief.hpp"
#include "fixing/least_squares_fix.hpp"
#include "fixing/next_reading.hpp"
#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"
#include "radio/ground.hpp"

namespace omniway::plan {

/// A place as the instruments set to a station would show it.
struct ByStation {
    navdata::StationId station;
    base::Radial radial;
    base::Length over_ground;
    std::optional<base::Length> slant_range;  // none: no distance is heard
};

/// By the nearest VOR whose azimuth is heard there, with its distance where that is heard too; none within 200 NM: none.
std::optional<ByStation> by_nearest_vor(const navdata::Snapshot& world, const radio::Ground& ground,
                                        earth::Position place, base::Altitude altitude);

/// The way of a card over the ground, with the ends of its steps along it; the missed approach is not in it.
struct CardWay {
    struct StepEnd {
        int number = 0;
        std::string to;
        base::Length along;
    };
    std::vector<earth::Position> line;
    std::vector<base::Length> along;  // of each point of the line
    std::vector<StepEnd> steps;
};
CardWay card_way(const navdata::Snapshot& world, const Option& option);

/// Where a place lies against a card: abeam which step, how far aside (right is positive), how far from that step's end.
struct AgainstCard {
    int step = 0;
    std::string to;
    base::Length along;  // from the take-off
    base::Length aside;
    base::Length to_end;
};
/// Domain: a way of at least two points and one step. Where the way runs past a place twice, the nearer passage.
AgainstCard against_card(const CardWay& card, earth::Position place);

/// With what it was asked, beside the question itself: what an answer names.
struct PositionSetting {
    std::string aircraft;
    std::optional<base::Duration> now =
        std::nullopt;  // since midnight UTC; none: no time of the day was given
    radio::Criteria criteria = radio::Criteria::terps;
    bool wind_known = false;
    std::string card = {};  // its file; empty: none
};

/// A place that stands apart, told in every way.
struct PlaceReport {
    std::optional<ByStation> by;
    std::optional<AgainstCard> on_card;
    std::optional<fixing::LeastSquaresFix> fix;
};

/// The answer to where the aircraft is.
///   Model     the belief is fixing/belief.hpp; each of its places told by a station and against the card; the other engine's fix beside it.
///   Domain    as fixing/belief.hpp.
///   Accuracy  as its parts.
///   Cost      as its parts.
///   Fails     "no" is a contradiction, with nothing else.
///   Source    none: it puts together.
struct PositionReport {
    std::variant<fixing::Belief, fixing::Contradiction> belief;
    std::vector<PlaceReport> places = {};  // of each mode of the belief
    base::Length half_extent = {};         // from corner to corner, where the region is longest
    base::Length most_extent = {};
    std::vector<fixing::NextReading> next = {};  // most gained first
};
PositionReport position_report(const fixing::BeliefQuestion& question, const fixing::FreeRadios& free,
                               const CardWay* card, const base::Progress& progress);

/// When a reading was taken: "14:07Z", or where no time of the day is known "6 min ago", or "now".
std::string read_at_text(const PositionSetting& setting, base::Duration before);

/// "TO for FROM: XAB radial 123 is radial 303".
std::string suspicion_text(const navdata::Snapshot& world, const std::vector<fixing::Reading>& readings,
                           const fixing::Suspicion& suspicion);
/// "radial of VOR/DME XCD 113.20 -..- -.-. -..".
std::string next_text(const navdata::Snapshot& world, const fixing::NextReading& next);

}  // namespace omniway::plan
