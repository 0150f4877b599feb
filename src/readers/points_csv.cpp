#include "readers/points_csv.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <optional>
#include <system_error>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "readers/csv.hpp"
#include "readers/file_bytes.hpp"

namespace omniway::readers {

namespace {

using Faults = std::vector<base::Error>;

constexpr std::size_t most_points = 100'000;
constexpr std::uintmax_t largest_file_bytes = std::uintmax_t{16} << 20U;
constexpr std::size_t most_faults = 20;
constexpr std::string_view columns_text = "lat_deg, lon_deg and altitude_ft";

struct Column {
    std::string_view name;
    std::string_view what;
    std::string_view unit;
    double minimum;
    double maximum;
};
constexpr std::array<Column, 3> columns{{{"lat_deg", "latitude", "degrees", -90.0, 90.0},
                                         {"lon_deg", "longitude", "degrees", -180.0, 180.0},
                                         {"altitude_ft", "altitude", "ft", -1500.0, 60000.0}}};

class PointsReader {
public:
    PointsReader(std::string_view bytes, const std::string& name) : csv_(bytes), name_(name) {}

    tl::expected<std::vector<AskedPoint>, Faults> read() {
        CsvReader::Record record;
        if (!csv_.next(record)) {
            return tl::unexpected(
                Faults{{"read.file_empty", fmt::format("the file is empty; its columns are {}", columns_text),
                        name_}});
        }
        header(record);
        while (faults_.size() < most_faults && csv_.next(record)) {
            row(record);
        }
        if (faults_.empty() && points_.empty()) {
            fault("read.no_records", "there is no row under the header row", 1, 1);
        }
        if (!faults_.empty()) {
            return tl::unexpected(std::move(faults_));
        }
        return std::move(points_);
    }

private:
    void fault(std::string code, std::string message, std::uint32_t line, std::uint32_t column) {
        faults_.push_back(
            {std::move(code), std::move(message), fmt::format("{}:{}:{}", name_, line, column)});
    }

    bool is_broken(const CsvReader::Record& record) {
        if (record.fault == CsvReader::Fault::none) {
            return false;
        }
        const bool open = record.fault == CsvReader::Fault::quote_not_closed;
        fault(open ? "read.quote_not_closed" : "read.text_after_quote",
              open ? "a quote is opened here and never closed (RFC 4180)"
                   : "after a closing quote only a comma or the end of the line may follow (RFC 4180)",
              record.fault_line, record.fault_column);
        return true;
    }

    void header(const CsvReader::Record& record) {
        if (is_broken(record)) {
            return;
        }
        for (std::size_t at = 0; at < record.fields.size(); ++at) {
            const CsvField& field = record.fields[at];
            std::size_t which = 0;
            while (which < columns.size() && columns[which].name != field.text) {
                ++which;
            }
            if (which == columns.size() || place_[which]) {
                fault("read.column_unknown",
                      fmt::format("the column {} is {}; the columns are {}", base::in_quotes(field.text),
                                  which == columns.size() ? "not known here" : "there already", columns_text),
                      field.line, field.column);
            } else {
                place_[which] = at;
            }
        }
        for (std::size_t which = 0; which < columns.size(); ++which) {
            if (!place_[which]) {
                fault("read.column_missing",
                      fmt::format("the header row does not name the column {}; the columns are {}",
                                  columns[which].name, columns_text),
                      record.line, 1);
            }
        }
        header_is_bad_ = !faults_.empty();
    }

    void row(const CsvReader::Record& record) {
        if (header_is_bad_ || is_broken(record)) {
            return;  // without names for its fields a row says nothing
        }
        if (record.fields.size() != columns.size()) {
            fault("read.wrong_field_count",
                  fmt::format("the row has {} fields; the header row names {}", record.fields.size(),
                              columns.size()),
                  record.line, 1);
            return;
        }
        const auto latitude = number(record, 0);
        const auto longitude = number(record, 1);
        const auto altitude = number(record, 2);
        if (!latitude || !longitude || !altitude) {
            return;
        }
        if (points_.size() == most_points) {
            fault("read.too_many_points", fmt::format("more than {} points; ask in parts", most_points),
                  record.line, 1);
            return;
        }
        points_.push_back({earth::Position::degrees(*latitude, *longitude), base::Altitude::feet(*altitude)});
    }

    std::optional<double> number(const CsvReader::Record& record, std::size_t which) {
        const Column& column = columns[which];
        const CsvField& field = record.fields[*place_[which]];
        if (field.text.empty()) {
            fault("read.value_missing",
                  fmt::format("the {} is empty, and the point is of no use without it", column.what),
                  field.line, field.column);
            return std::nullopt;
        }
        double value = 0.0;
        const char* const end = field.text.data() + field.text.size();
        const auto [stop, problem] = std::from_chars(field.text.data(), end, value);
        if (problem != std::errc() || stop != end || !std::isfinite(value)) {
            fault("read.not_a_number",
                  fmt::format("the {} {} is not a number; allowed {:g} to {:g} {}", column.what,
                              base::in_quotes(field.text), column.minimum, column.maximum, column.unit),
                  field.line, field.column);
            return std::nullopt;
        }
        if (value < column.minimum || value > column.maximum) {
            fault("read.out_of_range",
                  fmt::format("the {} is {} {}; allowed {:g} to {:g}", column.what, field.text, column.unit,
                              column.minimum, column.maximum),
                  field.line, field.column);
            return std::nullopt;
        }
        return value;
    }

    CsvReader csv_;
    const std::string& name_;
    std::array<std::optional<std::size_t>, 3> place_;
    bool header_is_bad_ = false;
    std::vector<AskedPoint> points_;
    Faults faults_;
};

}  // namespace

tl::expected<std::vector<AskedPoint>, Faults> read_points(std::string_view bytes, const std::string& name) {
    return PointsReader(bytes, name).read();
}

tl::expected<std::vector<AskedPoint>, Faults> read_points_file(const std::string& path) {
    const auto bytes = file_bytes(path, largest_file_bytes, "a CSV file of points");
    if (!bytes) {
        return tl::unexpected(Faults{bytes.error()});
    }
    return read_points(*bytes, std::filesystem::path(path).filename().string());
}

}  // namespace omniway::readers
