#include "readers/detail/track_flights.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <iterator>
#include <system_error>
#include <utility>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "earth/geodesic.hpp"

namespace omniway::readers::detail {

namespace {

constexpr std::size_t most_diagnostics = 1000;
constexpr double day_s = 86'400.0;
// GPX tells times to the millisecond: two within half of one are the same, however many figures a converter gave them.
constexpr double same_time_s = 0.0005;
// A time of the day that falls by more than this is of the next day.
constexpr double rollover_s = 43'200.0;
constexpr double fastest_kt = 1000.0;
// Two receivers of one aircraft disagree by as much, a millisecond apart.
constexpr double always_reached_m = 100.0;
// So many points ahead are asked whether the track goes on where it leapt to: two bad ones in a row are outvoted.
constexpr std::size_t asked_ahead = 5;
// A receiver that lost its way is back within this, and what it said meanwhile is left out.
constexpr double longest_excursion_s = 60.0;
constexpr double longest_stop_s = 1800.0;
// Slower on the average of a gap, it stood: nothing with wings flies so slowly for half an hour.
constexpr double standing_kt = 30.0;

std::string_view without_blanks(std::string_view text) {
    constexpr std::string_view blanks = " \t\r\n";
    const std::size_t first = text.find_first_not_of(blanks);
    return first == std::string_view::npos ? std::string_view()
                                           : text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

std::optional<double> finite_number(std::string_view text) {
    if (text.starts_with('+') && !text.starts_with("+-")) {
        text.remove_prefix(1);
    }
    double value = 0.0;
    const char* const end = text.data() + text.size();
    const auto [stop, problem] = std::from_chars(text.data(), end, value);
    if (problem != std::errc() || stop != end || !std::isfinite(value)) {
        return std::nullopt;
    }
    return value;
}

}  // namespace

void NotUsed::keep(base::Error error) {
    if (diagnostics_.size() < most_diagnostics) {
        diagnostics_.push_back(std::move(error));
    }
}

void NotUsed::row(std::string code, std::string message, std::uint32_t line, std::uint32_t column) {
    ++counts_.rows;
    ++counts_.not_used[code];
    base::Error error{std::move(code), std::move(message), fmt::format("{}:{}:{}", file_name_, line, column)};
    if (!first_) {
        first_ = error;
    }
    keep(std::move(error));
}

void NotUsed::remark(std::string code, std::string message, std::uint32_t line, std::uint32_t column) {
    ++counts_.remarks;
    keep({std::move(code), std::move(message), fmt::format("{}:{}:{}", file_name_, line, column)});
}

void NotUsed::append(const NotUsed& other) {
    counts_ += other.counts_;
    if (!first_) {
        first_ = other.first_;
    }
    for (const base::Error& error : other.diagnostics_) {
        keep(error);
    }
}

std::optional<double> NotUsed::number(const WrittenText& written, std::string_view what,
                                      std::string_view unit, double minimum, double maximum) {
    const std::string_view text = without_blanks(written.text);
    if (text.empty()) {
        row("read.value_missing", fmt::format("the {} is empty, and the point is of no use without it", what),
            written.line, written.column);
        return std::nullopt;
    }
    const std::optional<double> value = finite_number(text);
    if (!value) {
        row("read.not_a_number",
            fmt::format("the {} {} is not a number; allowed {:g} to {:g} {}", what, base::in_quotes(text),
                        minimum, maximum, unit),
            written.line, written.column);
        return std::nullopt;
    }
    if (*value < minimum || *value > maximum) {
        row("read.out_of_range",
            fmt::format("the {} is {:g} {}; allowed {:g} to {:g}", what, *value, unit, minimum, maximum),
            written.line, written.column);
        return std::nullopt;
    }
    return value;
}

std::optional<base::Altitude> NotUsed::altitude(const WrittenText& written, bool in_feet) {
    const std::string_view text = without_blanks(written.text);
    if (text.empty()) {
        return std::nullopt;
    }
    const double least = in_feet ? -1500.0 : -457.2;
    const double most = in_feet ? 60000.0 : 18288.0;
    const std::optional<double> value = finite_number(text);
    if (!value || *value < least || *value > most) {
        remark("remark.altitude_left_out",
               fmt::format(
                   "the altitude {} {} is left out, and the point used without it; allowed {:g} to {:g} {}",
                   base::in_quotes(text), in_feet ? "ft" : "m", least, most, in_feet ? "ft" : "m"),
               written.line, written.column);
        return std::nullopt;
    }
    return in_feet ? base::Altitude::feet(*value) : base::Altitude::metres(*value);
}

namespace {

/// What may be a flight: some points of one track, or the fault that makes a track of no use.
struct Flight {
    std::size_t track = 0;  // index in the file
    std::vector<RawPoint> points;
    std::optional<base::Error> fault;
};

std::string moment_of(const RawPoint& point) {
    if (!point.time.dated) {
        return earth::moment_text(std::nullopt, base::Duration(point.time.seconds));
    }
    return earth::moment_text(std::chrono::sys_days(), base::Duration(point.time.seconds));
}

std::string place_of(const std::string& file_name, const RawPoint& point) {
    return fmt::format("{}:{}:{}", file_name, point.line, point.column);
}

/// Leaves out what differs from the first point in having a date, and counts the days where none is given.
void settle_dates(RawTrack& track) {
    if (track.points.empty()) {
        return;
    }
    const bool dated = track.points.front().time.dated;
    std::vector<RawPoint> kept;
    kept.reserve(track.points.size());
    double midnight_s = 0.0;
    for (RawPoint& point : track.points) {
        if (point.time.dated != dated) {
            track.not_used.row("track.date_missing",
                               dated ? "the time has no date, and those before it have one"
                                     : "the time has a date, and those before it have none",
                               point.line, point.column);
            continue;
        }
        if (!dated) {
            if (!kept.empty() && midnight_s + point.time.seconds < kept.back().time.seconds - rollover_s) {
                midnight_s += day_s;
            }
            point.time.seconds += midnight_s;
        }
        kept.push_back(point);
    }
    track.points = std::move(kept);
}

/// Leaves out points at a time that has a point already; a time that goes backward is the fault.
std::optional<base::Error> settle_order(RawTrack& track) {
    std::vector<RawPoint> kept;
    kept.reserve(track.points.size());
    for (const RawPoint& point : track.points) {
        if (!kept.empty()) {
            const RawPoint& before = kept.back();
            const double passed_s = point.time.seconds - before.time.seconds;
            if (passed_s < -same_time_s) {
                return base::Error{
                    "track.time_backward",
                    fmt::format(
                        "the time goes backward, from {} on line {} to {}: a flight is recorded forward; put "
                        "the points in order, or cut the file here",
                        moment_of(before), before.line, moment_of(point)),
                    place_of(track.not_used.file_name(), point)};
            }
            if (passed_s < same_time_s) {
                track.not_used.row(
                    "track.same_time",
                    fmt::format("the point on line {} has the same time, {}; the first is used", before.line,
                                moment_of(before)),
                    point.line, point.column);
                continue;
            }
        }
        kept.push_back(point);
    }
    track.points = std::move(kept);
    return std::nullopt;
}

double needed_kt(const RawPoint& from, const RawPoint& to) {
    const double distance_m = earth::distance(from.place, to.place).metres();
    return distance_m <= always_reached_m
               ? 0.0
               : distance_m / 1852.0 / ((to.time.seconds - from.time.seconds) / 3600.0);
}

bool reaches(const RawPoint& from, const RawPoint& to) {
    return needed_kt(from, to) <= fastest_kt;
}

using Piece = std::vector<std::size_t>;  // indices of points that follow one another

/// Cuts the points of a track where they leap and stay.
class Leaps {
public:
    explicit Leaps(RawTrack& track) : points_(track.points), not_used_(track.not_used) {}

    std::vector<Piece> pieces() {
        for (std::size_t i = 0; i < points_.size(); ++i) {
            place(i);
        }
        return std::move(pieces_);
    }

private:
    void place(std::size_t i) {
        if (pieces_.empty()) {
            pieces_.push_back({i});
        } else if (reaches(points_[pieces_.back().back()], points_[i])) {
            pieces_.back().push_back(i);
        } else if (is_back(i)) {
            leave_out_last_piece();
            pieces_.back().push_back(i);
        } else if (stays(i)) {
            pieces_.push_back({i});
        } else {
            leave_out(i, pieces_.back().back());
        }
    }

    /// Whether more of the points ahead go on from there than from where the track was.
    bool stays(std::size_t i) const {
        const RawPoint& was = points_[pieces_.back().back()];
        std::size_t from_here = 0;
        std::size_t from_there = 0;
        for (std::size_t j = i + 1; j < points_.size() && j <= i + asked_ahead; ++j) {
            const bool old = reaches(was, points_[j]);
            from_there += old ? 1 : 0;
            from_here += !old && reaches(points_[i], points_[j]) ? 1 : 0;
        }
        return from_here > from_there;
    }

    /// Whether the track was away for a short while and is back where it was before.
    bool is_back(std::size_t i) const {
        if (pieces_.size() < 2) {
            return false;
        }
        const RawPoint& left = points_[pieces_[pieces_.size() - 2].back()];
        return points_[i].time.seconds - left.time.seconds < longest_excursion_s && reaches(left, points_[i]);
    }

    void leave_out_last_piece() {
        const Piece away = std::move(pieces_.back());
        pieces_.pop_back();
        for (const std::size_t i : away) {
            leave_out(i, pieces_.back().back());
        }
    }

    void leave_out(std::size_t i, std::size_t from) {
        not_used_.row(
            "track.jump",
            fmt::format("from the place on line {} it would need {:.0f} kt to be here; allowed 0 to {:.0f}",
                        points_[from].line, needed_kt(points_[from], points_[i]), fastest_kt),
            points_[i].line, points_[i].column);
    }

    const std::vector<RawPoint>& points_;
    NotUsed& not_used_;
    std::vector<Piece> pieces_;
};

bool stood_between(const RawPoint& before, const RawPoint& after) {
    return after.time.seconds - before.time.seconds > longest_stop_s &&
           needed_kt(before, after) < standing_kt;
}

std::vector<Piece> cut_at_stops(const std::vector<Piece>& pieces, const std::vector<RawPoint>& points) {
    std::vector<Piece> cut;
    for (const Piece& piece : pieces) {
        cut.push_back({piece.front()});
        for (std::size_t i = 1; i < piece.size(); ++i) {
            if (stood_between(points[piece[i - 1]], points[piece[i]])) {
                cut.emplace_back();
            }
            cut.back().push_back(piece[i]);
        }
    }
    return cut;
}

/// The flights of one track, which keeps what of it was not used.
std::vector<Flight> flights_of(RawTrack& track, std::size_t index) {
    settle_dates(track);
    if (std::optional<base::Error> fault = settle_order(track)) {
        return {{index, std::move(track.points), std::move(fault)}};
    }
    std::vector<Flight> flights;
    for (const Piece& piece : cut_at_stops(Leaps(track).pieces(), track.points)) {
        if (piece.size() < 2) {
            const RawPoint& point = track.points[piece.front()];
            track.not_used.row("track.alone", "the point stands alone: no other is near it in time and place",
                               point.line, point.column);
            continue;
        }
        Flight& flight = flights.emplace_back(Flight{index, {}, std::nullopt});
        flight.points.reserve(piece.size());
        for (const std::size_t i : piece) {
            flight.points.push_back(track.points[i]);
        }
    }
    return flights;
}

std::string flight_text(std::size_t number, const Flight& flight, const std::string& track_name) {
    const std::string name = track_name.empty() ? std::string() : " " + base::in_quotes(track_name);
    return fmt::format("{}{} from {} on line {} to {} on line {}", number, name,
                       moment_of(flight.points.front()), flight.points.front().line,
                       moment_of(flight.points.back()), flight.points.back().line);
}

base::Error many_flights(const std::vector<Flight>& flights, const RawFile& file) {
    constexpr std::size_t most_named = 4;
    std::string list;
    for (std::size_t i = 0; i < flights.size() && i < most_named; ++i) {
        list += (i == 0 ? "" : "; ") + flight_text(i + 1, flights[i], file.tracks[flights[i].track].name);
    }
    if (flights.size() > most_named) {
        list += fmt::format("; and {} more", flights.size() - most_named);
    }
    return {"track.two_flights",
            fmt::format("the file has {} flights: {}; choose one, as --track 1", flights.size(), list),
            place_of(file.not_used.file_name(), flights[1].points.front())};
}

earth::FlownTrack track_of(const Flight& flight, std::string name) {
    earth::FlownTrack track;
    track.name = std::move(name);
    const WrittenMoment begin = flight.points.front().time;
    const double midnight_s = std::floor(begin.seconds / day_s) * day_s;
    if (begin.dated) {
        track.day = std::chrono::sys_days(std::chrono::days(std::llround(midnight_s / day_s)));
    }
    track.points.reserve(flight.points.size());
    for (const RawPoint& point : flight.points) {
        track.points.push_back(
            {base::Duration(point.time.seconds - midnight_s), point.place, point.altitude, point.line});
    }
    return track;
}

}  // namespace

base::Result<TrackReading> the_flight(base::Result<RawFile> read, const TrackSetting& setting) {
    if (!read) {
        return tl::unexpected<base::Error>(std::move(read.error()));
    }
    RawFile& file = *read;
    const std::string file_name = file.not_used.file_name();
    if (file.tracks.empty()) {
        return base::failure("track.no_track", "the file has no track; give one that was recorded in flight",
                             file_name);
    }
    std::vector<Flight> flights;
    NotUsed of_no_use = file.not_used;
    for (std::size_t i = 0; i < file.tracks.size(); ++i) {
        std::vector<Flight> found = flights_of(file.tracks[i], i);
        if (found.empty()) {
            of_no_use.append(file.tracks[i].not_used);
        }
        std::move(found.begin(), found.end(), std::back_inserter(flights));
    }
    if (flights.empty()) {
        const std::optional<base::Error>& first = of_no_use.first();
        const std::string why =
            first ? fmt::format("none of its points ({}) can be used; the first reason is at {}: {}",
                                of_no_use.counts().rows, first->where, first->message)
                  : "its track has no point";
        return base::failure("track.nothing_left", why + "; two at least are needed, each with its time",
                             file_name);
    }
    if (setting.flight && (*setting.flight == 0 || *setting.flight > flights.size())) {
        return base::failure("track.no_such_flight",
                             fmt::format("flight {} is asked for; the file has {}", *setting.flight,
                                         flights.size() == 1 ? std::string("one: leave --track away")
                                                             : fmt::format("1 to {}", flights.size())),
                             file_name);
    }
    if (!setting.flight && flights.size() > 1) {
        return tl::unexpected<base::Error>(many_flights(flights, file));
    }
    const std::size_t chosen = setting.flight.value_or(1) - 1;
    const Flight& flight = flights[chosen];
    if (flight.fault) {
        return tl::unexpected<base::Error>(*flight.fault);
    }
    TrackReading reading;
    reading.form = file.form;
    reading.flight = chosen + 1;
    reading.flights = flights.size();
    reading.value = track_of(flight, file.tracks[flight.track].name);
    reading.gaps = earth::gaps_of(reading.value, setting.longest_gap);
    NotUsed told = file.not_used;
    told.append(file.tracks[flight.track].not_used);
    reading.diagnostics = told.diagnostics();
    reading.counts = told.counts();
    reading.counts.rows += flight.points.size();
    reading.counts.used = flight.points.size();
    return reading;
}

}  // namespace omniway::readers::detail
