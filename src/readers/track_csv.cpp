#include "readers/track_csv.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "readers/csv.hpp"
#include "readers/detail/track_flights.hpp"
#include "readers/detail/track_time.hpp"

namespace omniway::readers {

namespace {

using detail::NotUsed;
using detail::RawFile;
using detail::RawPoint;
using detail::RawTrack;
using detail::WrittenMoment;
using detail::WrittenText;

enum class Column { time_utc, date_utc, time_of_day, latitude, longitude, altitude_ft, altitude_m };
constexpr std::size_t column_count = 7;

struct Spelling {
    std::string_view name;
    Column column;
};
constexpr std::array<Spelling, 9> spellings{{{"time_utc", Column::time_utc},
                                             {"date_utc", Column::date_utc},
                                             {"time_of_day_s", Column::time_of_day},
                                             {"latitude_deg", Column::latitude},
                                             {"lat_deg", Column::latitude},
                                             {"longitude_deg", Column::longitude},
                                             {"lon_deg", Column::longitude},
                                             {"altitude_ft", Column::altitude_ft},
                                             {"altitude_m", Column::altitude_m}}};
constexpr std::string_view columns_text =
    "time_utc (or time_of_day_s), latitude_deg, longitude_deg, and perhaps date_utc and altitude_ft or "
    "altitude_m";

// What other programs call these, without saying the unit or whose time it is.
constexpr std::array<std::string_view, 14> without_unit{
    "time", "timestamp", "utc",       "date", "lat",      "lon",       "lng",
    "long", "latitude",  "longitude", "alt",  "altitude", "elevation", "ele"};

std::string name_of(std::string_view text) {
    const std::size_t first = text.find_first_not_of(" \t");
    const std::size_t last = text.find_last_not_of(" \t");
    std::string name(first == std::string_view::npos ? std::string_view()
                                                     : text.substr(first, last - first + 1));
    std::transform(name.begin(), name.end(), name.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return name;
}

class TrackTable {
public:
    TrackTable(std::string_view bytes, const std::string& name) : csv_(bytes), name_(name), not_used_(name) {}

    base::Result<RawFile> read() {
        CsvReader::Record record;
        if (!csv_.next(record)) {
            return base::failure("read.file_empty",
                                 fmt::format("the file is empty; its columns are {}", columns_text), name_);
        }
        if (std::optional<base::Error> fault = header(record)) {
            return tl::unexpected<base::Error>(std::move(*fault));
        }
        while (csv_.next(record)) {
            if (points_.size() == detail::most_track_points) {
                return base::failure("track.too_many_points",
                                     fmt::format("more than {} points; give the part that is needed",
                                                 detail::most_track_points),
                                     fmt::format("{}:{}:1", name_, record.line));
            }
            row(record);
        }
        RawFile file;
        file.form = TrackForm::csv;
        file.not_used = NotUsed(name_);
        file.tracks.push_back({{}, std::move(points_), std::move(not_used_)});
        return file;
    }

private:
    base::Error error_at(std::string code, std::string message, std::uint32_t line,
                         std::uint32_t column) const {
        return {std::move(code), std::move(message), fmt::format("{}:{}:{}", name_, line, column)};
    }

    bool has(Column column) const { return place_[static_cast<std::size_t>(column)].has_value(); }

    std::optional<base::Error> header(const CsvReader::Record& record) {
        if (record.fault != CsvReader::Fault::none) {
            return error_at(
                "read.column_missing",
                fmt::format("the header row has a quote that is not closed at its end; the columns are {}",
                            columns_text),
                record.fault_line, record.fault_column);
        }
        fields_ = record.fields.size();
        for (std::size_t at = 0; at < record.fields.size(); ++at) {
            if (std::optional<base::Error> fault = name_column(record.fields[at], at)) {
                return fault;
            }
        }
        const bool has_time = has(Column::time_utc) || has(Column::time_of_day);
        if (!has_time || !has(Column::latitude) || !has(Column::longitude)) {
            return error_at("read.column_missing",
                            fmt::format("the header row does not name the column {}; the columns are {}",
                                        !has_time                ? "time_utc"
                                        : !has(Column::latitude) ? "latitude_deg"
                                                                 : "longitude_deg",
                                        columns_text),
                            record.line, 1);
        }
        return std::nullopt;
    }

    std::optional<base::Error> name_column(const CsvField& field, std::size_t at) {
        const std::string name = name_of(field.text);
        const auto* const known = std::find_if(spellings.begin(), spellings.end(),
                                               [&](const Spelling& one) { return one.name == name; });
        if (known == spellings.end()) {
            if (std::find(without_unit.begin(), without_unit.end(), name) != without_unit.end()) {
                return error_at(
                    "track.column_without_unit",
                    fmt::format(
                        "the column {} does not say its unit, or whose time it is; the columns are {}",
                        base::in_quotes(field.text), columns_text),
                    field.line, field.column);
            }
            not_used_.remark("remark.column_not_used",
                             fmt::format("the column {} is not used; the columns are {}",
                                         base::in_quotes(field.text), columns_text),
                             field.line, field.column);
            return std::nullopt;
        }
        if (is_there_already(known->column)) {
            return error_at(
                "read.column_unknown",
                fmt::format("the column {} is there already, under this name or another; the columns are {}",
                            base::in_quotes(field.text), columns_text),
                field.line, field.column);
        }
        place_[static_cast<std::size_t>(known->column)] = at;
        return std::nullopt;
    }

    bool is_there_already(Column column) const {
        switch (column) {
            case Column::altitude_ft:
            case Column::altitude_m:
                return has(Column::altitude_ft) || has(Column::altitude_m);
            case Column::time_of_day:
                return has(Column::time_of_day) || has(Column::time_utc);
            case Column::time_utc:
                return has(Column::time_of_day) || has(Column::time_utc);
            default:
                return has(column);
        }
    }

    WrittenText field(const CsvReader::Record& record, Column column) const {
        const CsvField& field = record.fields[*place_[static_cast<std::size_t>(column)]];
        return {field.text, field.line, field.column};
    }

    void row(const CsvReader::Record& record) {
        if (record.fault != CsvReader::Fault::none) {
            const bool open = record.fault == CsvReader::Fault::quote_not_closed;
            not_used_.row(
                open ? "read.quote_not_closed" : "read.text_after_quote",
                open ? "a quote is opened here and never closed (RFC 4180)"
                     : "after a closing quote only a comma or the end of the line may follow (RFC 4180)",
                record.fault_line, record.fault_column);
            return;
        }
        if (record.fields.size() != fields_) {
            not_used_.row(
                "read.wrong_field_count",
                fmt::format("the row has {} fields; the header row names {}", record.fields.size(), fields_),
                record.line, 1);
            return;
        }
        const auto time = moment(record);
        if (!time) {
            return;
        }
        const auto latitude =
            not_used_.number(field(record, Column::latitude), "latitude", "degrees", -90.0, 90.0);
        if (!latitude) {
            return;
        }
        const auto longitude =
            not_used_.number(field(record, Column::longitude), "longitude", "degrees", -180.0, 180.0);
        if (!longitude) {
            return;
        }
        RawPoint point;
        point.time = *time;
        point.place = earth::Position::degrees(*latitude, *longitude);
        if (has(Column::altitude_ft)) {
            point.altitude = not_used_.altitude(field(record, Column::altitude_ft), true);
        } else if (has(Column::altitude_m)) {
            point.altitude = not_used_.altitude(field(record, Column::altitude_m), false);
        }
        point.line = record.line;
        points_.push_back(point);
    }

    std::optional<WrittenMoment> moment(const CsvReader::Record& record) {
        if (has(Column::time_of_day)) {
            const auto seconds =
                not_used_.number(field(record, Column::time_of_day), "time of the day", "s", 0.0, 86'400.0);
            return seconds ? with_date(record, {false, *seconds}) : std::nullopt;
        }
        const WrittenText written = field(record, Column::time_utc);
        const std::string text = stripped(written.text);
        if (text.empty()) {
            not_used_.row("read.value_missing", "the time is empty, and the point is of no use without it",
                          written.line, written.column);
            return std::nullopt;
        }
        const auto moment = detail::written_moment(text);
        if (!moment) {
            not_used_.row(moment.error().code, moment.error().message, written.line, written.column);
            return std::nullopt;
        }
        return with_date(record, *moment);
    }

    /// The moment on the date that stands in a column of its own, where there is one and the time has none.
    std::optional<WrittenMoment> with_date(const CsvReader::Record& record, WrittenMoment moment) {
        if (!has(Column::date_utc) || moment.dated) {
            return moment;
        }
        const WrittenText written = field(record, Column::date_utc);
        const auto midnight = detail::written_moment(stripped(written.text) + "T00:00:00Z");
        if (!midnight || !midnight->dated) {
            not_used_.row("track.time_form",
                          fmt::format("{} is no date from 1900-01-01 to 2100-12-31: 2026-11-26 is expected",
                                      base::in_quotes(written.text)),
                          written.line, written.column);
            return std::nullopt;
        }
        return WrittenMoment{true, midnight->seconds + moment.seconds};
    }

    static std::string stripped(std::string_view text) {
        const std::size_t first = text.find_first_not_of(" \t");
        const std::size_t last = text.find_last_not_of(" \t");
        return std::string(first == std::string_view::npos ? std::string_view()
                                                           : text.substr(first, last - first + 1));
    }

    CsvReader csv_;
    const std::string& name_;
    NotUsed not_used_;
    std::array<std::optional<std::size_t>, column_count> place_;
    std::size_t fields_ = 0;
    std::vector<RawPoint> points_;
};

}  // namespace

base::Result<TrackReading> read_track_csv(std::string_view bytes, const std::string& name,
                                          const TrackSetting& setting) {
    return detail::the_flight(TrackTable(bytes, name).read(), setting);
}

bool begins_as_track_csv(std::string_view line) {
    CsvReader csv(line);
    CsvReader::Record record;
    if (!csv.next(record) || record.fields.size() < 2) {
        return false;
    }
    return std::any_of(record.fields.begin(), record.fields.end(), [](const CsvField& field) {
        const std::string name = name_of(field.text);
        return name.starts_with("lat") || name == "time_utc" || name == "time_of_day_s" ||
               name.starts_with("lon");
    });
}

}  // namespace omniway::readers
