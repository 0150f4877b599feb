#include "readers/track.hpp"

#include <algorithm>
#include <cstdint>
#include <filesystem>

#include "readers/file_bytes.hpp"
#include "readers/track_csv.hpp"
#include "readers/track_gpx.hpp"
#include "readers/track_nmea.hpp"

namespace omniway::readers {

namespace {

constexpr std::uintmax_t largest_file_bytes = std::uintmax_t{64} << 20U;
// A log may begin with what a receiver says on starting, or in the middle of a sentence.
constexpr int lines_looked_at = 50;

}  // namespace

std::optional<TrackForm> form_of_track(std::string_view bytes) {
    constexpr std::string_view blanks = " \t\r\n";
    if (bytes.starts_with("\xFF\xFE<") || bytes.starts_with(std::string_view("\xFE\xFF\0<", 4))) {
        return TrackForm::gpx;  // UTF-16
    }
    if (bytes.starts_with("\xEF\xBB\xBF")) {
        bytes.remove_prefix(3);
    }
    const std::size_t first = bytes.find_first_not_of(blanks);
    if (first == std::string_view::npos) {
        return std::nullopt;
    }
    bytes.remove_prefix(first);
    if (bytes.front() == '<') {
        return TrackForm::gpx;
    }
    const std::string_view first_line = bytes.substr(0, bytes.find('\n'));
    for (int i = 0; i < lines_looked_at && !bytes.empty(); ++i) {
        const std::size_t end = bytes.find('\n');
        if (begins_as_nmea(bytes.substr(0, end))) {
            return TrackForm::nmea;
        }
        bytes.remove_prefix(std::min(end, bytes.size() - 1) + 1);
    }
    return begins_as_track_csv(first_line) ? std::optional(TrackForm::csv) : std::nullopt;
}

base::Result<TrackReading> read_track(std::string_view bytes, const std::string& name,
                                      const TrackSetting& setting) {
    if (bytes.empty()) {
        return base::failure("read.file_empty", "the file is empty; name one that was recorded in flight",
                             name);
    }
    const std::optional<TrackForm> form = form_of_track(bytes);
    if (!form) {
        return base::failure(
            "track.form_unknown",
            "the file begins as none of the forms that tracks are read in: GPX (<gpx ...>), NMEA 0183 "
            "($GPGGA,...) or CSV (a header row with time_utc, latitude_deg, longitude_deg)",
            name + ":1:1");
    }
    switch (*form) {
        case TrackForm::gpx:
            return read_track_gpx(bytes, name, setting);
        case TrackForm::nmea:
            return read_track_nmea(bytes, name, setting);
        case TrackForm::csv:
            break;
    }
    return read_track_csv(bytes, name, setting);
}

const char* form_text(TrackForm form) {
    switch (form) {
        case TrackForm::gpx:
            return "GPX";
        case TrackForm::nmea:
            return "NMEA 0183";
        case TrackForm::csv:
            break;
    }
    return "CSV";
}

base::Result<TrackReading> read_track_file(const std::string& path, const TrackSetting& setting) {
    const auto bytes = file_bytes(path, largest_file_bytes, "a flown track");
    if (!bytes) {
        return tl::unexpected<base::Error>(bytes.error());
    }
    return read_track(*bytes, std::filesystem::path(path).filename().string(), setting);
}

}  // namespace omniway::readers
