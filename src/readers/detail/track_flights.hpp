#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "earth/flown_track.hpp"
#include "readers/track_reading.hpp"

namespace omniway::readers::detail {

inline constexpr std::size_t most_track_points = 1'000'000;

/// A piece of a file and where it stands.
struct WrittenText {
    std::string_view text;
    std::uint32_t line = 1;
    std::uint32_t column = 1;
};

/// What of a file was not used: counted exactly, told up to a thousand times.
class NotUsed {
public:
    explicit NotUsed(std::string file_name = {}) : file_name_(std::move(file_name)) {}

    void row(std::string code, std::string message, std::uint32_t line, std::uint32_t column);
    void remark(std::string code, std::string message, std::uint32_t line, std::uint32_t column);
    void append(const NotUsed& other);

    /// The number that stands there, within that range; otherwise the row is not used.
    std::optional<double> number(const WrittenText& written, std::string_view what, std::string_view unit,
                                 double minimum, double maximum);
    /// An altitude above mean sea level in that unit; one that cannot be is a remark, and the point is used without it.
    std::optional<base::Altitude> altitude(const WrittenText& written, bool in_feet);

    const std::string& file_name() const { return file_name_; }
    const ReadCounts& counts() const { return counts_; }
    const std::vector<base::Error>& diagnostics() const { return diagnostics_; }
    const std::optional<base::Error>& first() const { return first_; }

private:
    void keep(base::Error error);

    std::string file_name_;
    ReadCounts counts_;
    std::vector<base::Error> diagnostics_;
    std::optional<base::Error> first_;  // of the rows
};

/// A moment as written: since 1970 where it has a date, otherwise since midnight.
struct WrittenMoment {
    bool dated = false;
    double seconds = 0.0;
};

/// A point as it was read, its time not yet held against that of others.
struct RawPoint {
    WrittenMoment time;
    earth::Position place;
    std::optional<base::Altitude> altitude;
    std::uint32_t line = 1;
    std::uint32_t column = 1;
};

/// What a file calls one track.
struct RawTrack {
    std::string name;
    std::vector<RawPoint> points;
    NotUsed not_used;
};

/// What was read of a file: its tracks, and what belongs to none of them.
struct RawFile {
    TrackForm form = TrackForm::gpx;
    std::vector<RawTrack> tracks;
    NotUsed not_used;
};

/// The one flight that is wanted of what was read; what could not be read stays the error that it is.
///   Model     points whose time has passed already are left out; what the recorder cannot have seen - a place that would need more
///             than 1,000 kt, unless the track goes on there - is left out; where the track leaps and stays, and where it stands still
///             on the ground for more than 30 minutes unrecorded, one flight ends and another begins.
///   Domain    points in the order of the file.
///   Accuracy  exact.
///   Cost      about a geodesic a point.
///   Fails     track.time_backward, track.two_flights, track.no_such_flight, track.nothing_left, track.no_track; as diagnostics
///             track.same_time, track.jump, track.alone, track.date_missing.
///   Source    docs/track-file.md.
base::Result<TrackReading> the_flight(base::Result<RawFile> read, const TrackSetting& setting);

}  // namespace omniway::readers::detail
