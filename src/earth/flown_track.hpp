#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/clock.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"

namespace omniway::earth {

/// Where an aircraft was at a moment, as its recorder wrote it.
struct TrackPoint {
    base::Duration time{
        0.0};  // since 00:00 UTC of the day on which the track begins; beyond 24 h after midnight
    Position place;
    std::optional<base::Altitude> altitude;  // above mean sea level; none where the recorder gave none
    std::uint32_t line = 0;                  // of the file it was read from; 0 where it was read from none
};

/// One flight as it was recorded: moments and places, nothing between them.
///   Model     points in the order of their times, each later than the one before. Times count from 00:00 UTC of the day on which
///             the track begins, whether or not that day is known.
///   Domain    any number of points; what a reader makes has two at least.
///   Accuracy  as recorded; times to a microsecond.
///   Cost      about 56 bytes a point.
///   Fails     never.
///   Source    GPX 1.1 (trk) and NMEA 0183 (GGA, RMC) for what a recorder tells.
struct FlownTrack {
    std::string name;                          // empty where the recorder gave none
    std::optional<std::chrono::sys_days> day;  // none where the recorder gave times of the day alone
    std::vector<TrackPoint> points;
};

/// The moment of a point; none where the day is not known.
std::optional<base::Instant> instant_of(const FlownTrack& track, const TrackPoint& point);

/// A stretch of a track in which nothing was recorded.
struct TrackGap {
    std::size_t before = 0;  // index of the last point before it; the next point is the first after it
    base::Duration from{0.0};
    base::Duration to{0.0};
};

/// Every gap longer than that, in order.
std::vector<TrackGap> gaps_of(const FlownTrack& track, base::Duration longest);

/// "2026-11-26T14:07:30.5Z", or "14:07:30.5Z" where the day is not known: to the millisecond.
std::string moment_text(std::optional<std::chrono::sys_days> day, base::Duration since_midnight);

}  // namespace omniway::earth
