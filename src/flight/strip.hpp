#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "flight/flight.hpp"
#include "navdata/snapshot.hpp"
#include "radio/along_path.hpp"
#include "radio/ground.hpp"

namespace omniway::flight {

/// A named place on the way.
struct StripMark {
    std::string ident;
    base::Length along;
};

/// The ground under a place of the way: none where it is not known.
struct GroundUnder {
    base::Length along;
    std::optional<base::Altitude> ground;
};

/// The lowest altitude of a part of the way: none where it is not known.
struct StripMinimum {
    base::Length from;
    base::Length to;
    std::optional<base::Altitude> minimum;
};

/// By how much a station is heard at a place of the way: above the line of sight, and inside the reach of its volume. Either
/// is none where nothing of the kind limits.
struct HeardMargin {
    base::Length along;
    std::optional<base::Length> above_sight;
    std::optional<base::Length> within_limit;
};

/// One unbroken stretch of a lane: alive from one end to the other, with the reasons there.
struct StripBar {
    radio::HeardInterval heard;
    std::vector<HeardMargin> margins;  // ascending in distance, both ends included
};

/// One part of one station along the way.
struct StripLane {
    navdata::StationId station;
    radio::Part part = radio::Part::azimuth;
    std::vector<StripBar> bars;  // one at least
    /// Of a straight line: the lowest altitude at which it is heard over all of it; none where no altitude will do.
    std::optional<radio::LowestAlong> over_all = std::nullopt;
};

/// Who can be heard along a way: the way drawn out straight, with a lane for each part of each station heard anywhere on it.
///   Model     lanes by where they first come alive, the parts of one station together. Margins every 0.5 NM and at both
///             ends of a bar, the ground every 0.25 NM.
///   Domain    ways of the same snapshot.
///   Accuracy  ends of bars as radio/along_path.hpp, 0.1 NM.
///   Cost      heard_along() for every station within reach.
///   Fails     never.
///   Source    design section 6, "the ribbon".
struct Strip {
    base::Length length;
    std::vector<radio::PathPoint> path;  // the heights flown
    std::vector<StripMark> marks;
    std::vector<GroundUnder> ground;
    std::vector<StripMinimum> minimums;
    std::vector<StripLane> lanes;
    radio::ReceptionMode mode = radio::ReceptionMode::horizon;
    bool terrain_known_somewhere = false;
};

/// The way of a flight over the ground with its heights, arcs and course reversals as they are flown.
std::vector<radio::PathPoint> path_of(const navdata::Snapshot& world, const Flight& flight);

/// `beyond` is what is flown after its end, as a missed approach: it counts on along the way, and of its minimums nothing is said.
Strip strip_of(const navdata::Snapshot& world, const Flight& flight, const radio::Ground& ground,
               std::span<const radio::PathPoint> beyond = {});

/// The strip of a straight line between two places at one altitude.
struct StraightWay {
    std::string from_ident;
    earth::Position from;
    std::string to_ident;
    earth::Position to;
    base::Altitude altitude;
};
Strip strip_of(const navdata::Snapshot& world, const StraightWay& way, const radio::Ground& ground);

/// What is left of a bar's strength at a margin, 0 (at its limit) to 1: the lesser of the height over 2,000 ft and the
/// distance over 10 NM. Common practice, no source: what a few hundred feet or a mile more would still allow.
double strength(const HeardMargin& margin);

}  // namespace omniway::flight
