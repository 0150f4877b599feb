#pragma once

#include <optional>
#include <span>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/station.hpp"
#include "radio/reception.hpp"

namespace omniway::radio {

/// A point of a path flown: straight lines over the ground and in height join one to the next.
struct PathPoint {
    earth::Position place;
    base::Length along;
    base::Altitude altitude;
};

/// Where along a path one part of a station is heard.
struct HeardInterval {
    base::Length from;
    base::Length to;
    Silence before = Silence::none;  // why not before it; none where the path itself begins
    Silence after = Silence::none;   // why not after it; none where the path itself ends
    bool ground_known = true;
};

/// Where along a path it is not heard, for one reason, with the figures where it is worst.
struct SilentInterval {
    base::Length from;
    base::Length to;
    Reception why;
};

/// From where to where along a path a station is heard, and what ends it.
///   Model     hear() of radio/reception.hpp at every point of the path. The path is walked by the room that the last answer
///             leaves: as far as to the nearest edge of the volume and of the cone, and no farther than ground of a 45 degree
///             slope could eat up the height over the line of sight; never less than 0.1 NM, never more than 0.25 NM in climb
///             and descent, 0.1 NM in the sectors of a localizer or glideslope. An end is bisected to 0.01 NM.
///   Domain    points ascend in distance, each pair at most 1,000 NM apart; a point repeated is a change of height on the spot.
///   Accuracy  ends within 0.1 NM; gaps and strips narrower than 0.1 NM (0.25 NM in climb and descent) may be missed, and
///             behind ground steeper than 45 degrees somewhat wider ones (along_path_test.cpp, against a walk by 0.02 NM).
///   Cost      some tens to hundreds of lookups a station: 0.1 ms for 100 NM.
///   Fails     never; a part that the station has not is nowhere heard.
///   Source    the slope of the shadow's edge is at most that of the ground that throws it: docs/methods/reception.md.
std::vector<HeardInterval> heard_along(const navdata::Station& station, Part part,
                                       std::span<const PathPoint> path, const Ground& ground);
std::vector<SilentInterval> silent_along(const navdata::Station& station, Part part,
                                         std::span<const PathPoint> path, const Ground& ground);

/// Where its guidance is lost along a path: the silences but for the cone overhead, which one flies through by the heading, those
/// that follow on each other joined, and those shorter than the 0.1 NM to which an end is known left out. The reason is that of
/// the first.
std::vector<SilentInterval> lost_along(const navdata::Station& station, Part part,
                                       std::span<const PathPoint> path, const Ground& ground);

/// The lowest altitude at which something is heard, and whether the ground that decides is known.
struct LowestHeard {
    base::Altitude altitude;
    bool ground_known = true;
};

/// The lowest altitude at which a part of a station is heard at a place; the cone overhead, which only lower flight escapes,
/// is left aside. None where it is heard at no altitude up to 60,000 ft.
std::optional<LowestHeard> lowest_heard(const navdata::Station& station, Part part, earth::Position place,
                                        const Ground& ground);

/// The lowest altitude at which a part is heard over the whole of a line, and the place that asks for it. The line is sampled
/// every 0.1 NM. None where somewhere on it no altitude will do.
struct LowestAlong {
    LowestHeard lowest;
    base::Length at;  // from the start of the line
};
std::optional<LowestAlong> lowest_heard_along(const navdata::Station& station, Part part,
                                              earth::Position from, earth::Position to, const Ground& ground);

/// The lowest altitude at which two lines of position cross well at a place: VORs and NDBs whose azimuths are heard there and
/// cross at 30 degrees or more, 45 where one of them is an NDB (design section 3, Fixes).
struct TwoLines {
    LowestHeard lowest;
    std::size_t one = 0;  // indices into the stations asked of
    std::size_t other = 0;
    base::Angle crossing;
};
std::optional<TwoLines> lowest_two_lines(std::span<const navdata::Station* const> stations,
                                         earth::Position place, const Ground& ground);

}  // namespace omniway::radio
