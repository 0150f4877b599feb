#include "readers/minima_csv.hpp"

#include <algorithm>
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

using aircraft::ApproachCategory;
using procedure::ApproachMinimum;
using procedure::Landing;
using procedure::MinimumKind;
using procedure::MinimumRow;
using Faults = std::vector<base::Error>;

constexpr std::size_t most_minima = 20'000;
constexpr std::uintmax_t largest_file_bytes = std::uintmax_t{4} << 20U;

enum Which : std::size_t {
    airport,
    procedure_ident,
    category,
    landing,
    kind,
    altitude,
    visibility_sm,
    visibility_m,
    rvr,
    with_fix,
    remark,
    columns_in_all
};
constexpr std::size_t columns_required = 6;  // the first of them
constexpr std::array<std::string_view, columns_in_all> column_names{
    "airport",       "procedure",    "category", "landing",  "kind",  "altitude_ft",
    "visibility_sm", "visibility_m", "rvr_ft",   "with_fix", "remark"};

struct Range {
    std::string_view what;
    std::string_view unit;
    double minimum;
    double maximum;
};
constexpr Range altitude_range{"altitude", "ft", -1500.0, 20000.0};
constexpr Range miles_range{"visibility", "statute miles", 0.0, 10.0};
constexpr Range metres_range{"visibility", "m", 0.0, 16000.0};
constexpr Range rvr_range{"runway visual range", "ft", 0.0, 6500.0};

std::string columns_text() {
    std::string text;
    for (std::size_t i = 0; i < columns_in_all; ++i) {
        text += i == 0 ? "" : i == columns_required ? ", and as wanted " : ", ";
        text += column_names[i];
    }
    return text;
}

std::optional<double> plain_number(std::string_view text) {
    double value = 0.0;
    const char* const end = text.data() + text.size();
    const auto [stop, problem] = std::from_chars(text.data(), end, value);
    if (problem != std::errc() || stop != end || !std::isfinite(value)) {
        return std::nullopt;
    }
    return value;
}

// "1/2", "1 1/4" and "0.5": statute miles stand on charts as fractions.
std::optional<double> number_or_fraction(std::string_view text) {
    const std::size_t stroke = text.find('/');
    if (stroke == std::string_view::npos) {
        return plain_number(text);
    }
    const std::size_t blank = text.find(' ');
    const bool mixed = blank < stroke;
    const auto whole = mixed ? plain_number(text.substr(0, blank)) : std::optional(0.0);
    const std::size_t begin = mixed ? blank + 1 : 0;
    const auto above = plain_number(text.substr(begin, stroke - begin));
    const auto below = plain_number(text.substr(stroke + 1));
    if (!whole || !above || !below || *above < 0.0 || *below <= 0.0 || *whole < 0.0) {
        return std::nullopt;
    }
    return *whole + *above / *below;
}

class MinimaReader {
public:
    MinimaReader(std::string_view bytes, const std::string& name) : csv_(bytes), name_(name) {}

    tl::expected<base::Loaded<std::vector<MinimumRow>>, Faults> read() {
        CsvReader::Record record;
        if (!csv_.next(record)) {
            return tl::unexpected(
                Faults{{"read.file_empty", "the file is empty; its columns are " + columns_text(), name_}});
        }
        header(record);
        if (!faults_.empty()) {
            return tl::unexpected(std::move(faults_));  // without names for its fields no row says anything
        }
        std::size_t rows = 0;
        while (csv_.next(record)) {
            if (++rows > most_minima) {
                return tl::unexpected(
                    Faults{{"read.too_many_minima",
                            fmt::format("more than {} rows; give those of the airports that are flown to",
                                        most_minima),
                            place(record.line, 1)}});
            }
            row(record);
        }
        if (rows == 0) {
            return tl::unexpected(
                Faults{{"read.no_records", "there is no row under the header row", place(1, 1)}});
        }
        return base::Loaded<std::vector<MinimumRow>>{std::move(rows_), std::move(faults_)};
    }

private:
    std::string place(std::uint32_t line, std::uint32_t column) const {
        return fmt::format("{}:{}:{}", name_, line, column);
    }
    void fault(std::string code, std::string message, std::uint32_t line, std::uint32_t column) {
        faults_.push_back({std::move(code), std::move(message), place(line, column)});
    }
    void fault(std::string code, std::string message, const CsvField& field) {
        fault(std::move(code), std::move(message), field.line, field.column);
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
        width_ = record.fields.size();
        for (std::size_t at = 0; at < record.fields.size(); ++at) {
            const CsvField& field = record.fields[at];
            const auto known = std::find(column_names.begin(), column_names.end(), field.text);
            const auto which = static_cast<std::size_t>(known - column_names.begin());
            if (which == columns_in_all || at_[which]) {
                fault(
                    "read.column_unknown",
                    fmt::format("the column {} is {}; the columns are {}", base::in_quotes(field.text),
                                which == columns_in_all ? "not known here" : "there already", columns_text()),
                    field);
            } else {
                at_[which] = at;
            }
        }
        for (std::size_t which = 0; which < columns_required; ++which) {
            if (!at_[which]) {
                fault("read.column_missing",
                      fmt::format("the header row does not name the column {}; the columns are {}",
                                  column_names[which], columns_text()),
                      record.line, 1);
            }
        }
    }

    void row(const CsvReader::Record& record) {
        if (is_broken(record)) {
            return;
        }
        if (record.fields.size() != width_) {
            fault("read.wrong_field_count",
                  fmt::format("the row has {} fields; the header row names {}", record.fields.size(), width_),
                  record.line, 1);
            return;
        }
        record_ = &record;
        MinimumRow read;
        bool good = true;
        good = ident(airport, "airport", read.airport) && good;
        good = ident(procedure_ident, "procedure", read.procedure) && good;
        good = categories(read.categories) && good;
        good = word(landing, {"straight-in", "circling"}, read.minimum.landing) && good;
        good = word(kind, {"DA", "MDA"}, read.minimum.kind) && good;
        const auto feet = number(altitude, altitude_range, plain_number);
        good = visibility(read.minimum.visibility) && good;
        if (!good || !feet) {
            return;
        }
        read.minimum.altitude = base::Altitude::feet(*feet);
        read.minimum.with_fix = text(with_fix);
        read.minimum.remark = text(remark);
        read.minimum.where = fmt::format("{}:{}", name_, record.line);
        if (read.minimum.kind == MinimumKind::decision_altitude &&
            read.minimum.landing == Landing::circling) {
            fault("read.unknown_letter",
                  "a circling landing has no decision altitude: give its minimum as MDA", field(kind));
            return;
        }
        add(std::move(read), record);
    }

    const CsvField& field(Which which) const { return record_->fields[*at_[which]]; }
    std::string text(Which which) const {
        return at_[which] ? std::string(field(which).text) : std::string();
    }

    bool ident(Which which, const char* what, std::string& to) {
        to = text(which);
        if (to.empty()) {
            fault("read.value_missing",
                  fmt::format("the {} is empty, and the minimum is of no use without it", what),
                  field(which));
        }
        return !to.empty();
    }

    // "C", "A B", "AB", or nothing: every category.
    bool categories(std::vector<ApproachCategory>& to) {
        using enum ApproachCategory;
        constexpr std::array all{a, b, c, d, e};
        for (const char letter : field(category).text) {
            if (letter == ' ' || letter == '/') {
                continue;
            }
            if (letter < 'A' || letter > 'E') {
                fault("read.unknown_letter",
                      fmt::format("the category {} is none that is known here; allowed: letters A to E, as "
                                  "\"C\" or \"A B\", or nothing for all",
                                  base::in_quotes(field(category).text)),
                      field(category));
                return false;
            }
            to.push_back(all[static_cast<std::size_t>(letter - 'A')]);
        }
        if (to.empty()) {
            to.assign(all.begin(), all.end());
        }
        return true;
    }

    template <class Word>
    bool word(Which which, const std::array<std::string_view, 2>& words, Word& to) {
        for (std::size_t i = 0; i < words.size(); ++i) {
            if (field(which).text == words[i]) {
                to = static_cast<Word>(i);
                return true;
            }
        }
        fault("read.unknown_letter",
              fmt::format("the {} {} is none that is known here; allowed: {}, {}", column_names[which],
                          base::in_quotes(field(which).text), words[0], words[1]),
              field(which));
        return false;
    }

    std::optional<double> number(Which which, const Range& range,
                                 std::optional<double> (*parse)(std::string_view)) {
        if (field(which).text.empty()) {
            fault("read.value_missing",
                  fmt::format("the {} is empty, and the minimum is of no use without it", range.what),
                  field(which));
            return std::nullopt;
        }
        const auto value = parse(field(which).text);
        if (!value) {
            fault("read.not_a_number",
                  fmt::format("the {} {} is not a number; allowed {:g} to {:g} {}", range.what,
                              base::in_quotes(field(which).text), range.minimum, range.maximum, range.unit),
                  field(which));
        } else if (*value < range.minimum || *value > range.maximum) {
            fault("read.out_of_range",
                  fmt::format("the {} is {} {}; allowed {:g} to {:g}", range.what, field(which).text,
                              range.unit, range.minimum, range.maximum),
                  field(which));
            return std::nullopt;
        }
        return value;
    }

    bool visibility(std::optional<procedure::Visibility>& to) {
        std::size_t given = 0;
        bool good = true;
        const auto in_unit = [&](Which which, const Range& range, auto make) {
            if (!at_[which] || field(which).text.empty()) {
                return;
            }
            if (++given > 1) {
                fault("read.two_visibilities",
                      "the row gives a visibility in two units: leave one of them empty", field(which));
                good = false;
                return;
            }
            const auto value =
                number(which, range, which == visibility_sm ? number_or_fraction : plain_number);
            good = good && value.has_value();
            if (value) {
                to = make(*value);
            }
        };
        in_unit(visibility_sm, miles_range, [](double v) { return procedure::StatuteMiles{v}; });
        in_unit(visibility_m, metres_range, [](double v) { return procedure::VisibilityMetres{v}; });
        in_unit(rvr, rvr_range, [](double v) { return procedure::RunwayVisualRange{base::Length::feet(v)}; });
        return good;
    }

    // Of two rows that give one minimum the higher is used: the lower one may be the slip.
    void add(MinimumRow read, const CsvReader::Record& record) {
        for (MinimumRow& other : rows_) {
            const bool same = other.airport == read.airport && other.procedure == read.procedure &&
                              other.minimum.landing == read.minimum.landing &&
                              other.minimum.with_fix == read.minimum.with_fix;
            if (!same) {
                continue;
            }
            for (const ApproachCategory each : other.categories) {
                if (std::find(read.categories.begin(), read.categories.end(), each) ==
                    read.categories.end()) {
                    continue;
                }
                const bool higher = read.minimum.altitude > other.minimum.altitude;
                fault("read.duplicate_record",
                      fmt::format("a {} minimum for {} {} category {} stands at {} already; the higher, "
                                  "{:.0f} ft, is used",
                                  to_text(read.minimum.landing), read.airport, read.procedure,
                                  aircraft::letter(each), other.minimum.where,
                                  std::max(read.minimum.altitude, other.minimum.altitude).feet()),
                      record.line, 1);
                std::vector<ApproachCategory>& loses = higher ? other.categories : read.categories;
                lost_.emplace_back(&loses, each);
            }
        }
        for (const auto& [categories, each] : lost_) {
            std::erase(*categories, each);
        }
        lost_.clear();
        std::erase_if(rows_, [](const MinimumRow& row) { return row.categories.empty(); });
        if (!read.categories.empty()) {
            rows_.push_back(std::move(read));
        }
    }

    CsvReader csv_;
    const std::string& name_;
    std::array<std::optional<std::size_t>, columns_in_all> at_;
    std::size_t width_ = 0;
    const CsvReader::Record* record_ = nullptr;
    std::vector<MinimumRow> rows_;
    std::vector<std::pair<std::vector<ApproachCategory>*, ApproachCategory>> lost_;
    Faults faults_;
};

}  // namespace

tl::expected<base::Loaded<std::vector<MinimumRow>>, Faults> read_minima(std::string_view bytes,
                                                                        const std::string& name) {
    return MinimaReader(bytes, name).read();
}

tl::expected<base::Loaded<std::vector<MinimumRow>>, Faults> read_minima_file(const std::string& path) {
    const auto bytes = file_bytes(path, largest_file_bytes, "a CSV file of approach minima");
    if (!bytes) {
        return tl::unexpected(Faults{bytes.error()});
    }
    return read_minima(*bytes, std::filesystem::path(path).filename().string());
}

procedure::Minima minima_of(base::Loaded<std::vector<MinimumRow>> loaded) {
    std::vector<base::Finding> findings;
    for (base::Error& error : loaded.diagnostics) {
        findings.push_back({base::Grade::warns, "minima.row_not_used", std::move(error.where),
                            fmt::format("{} [{}]", error.message, error.code), "correct the row"});
    }
    return {std::move(loaded.value), std::move(findings)};
}

}  // namespace omniway::readers
