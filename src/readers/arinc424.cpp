#include "readers/arinc424.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <memory_resource>
#include <optional>
#include <string>
#include <tuple>
#include <unordered_map>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "readers/airac.hpp"
#include "readers/runway_ends.hpp"

namespace omniway::readers {

namespace {

using base::Altitude;
using base::Angle;
using base::Length;
using navdata::PointKind;
using navdata::PointName;

constexpr std::size_t row_length = 132;

/// Why a row is not used, and at which column that shows.
struct Fault {
    std::string code;
    std::string message;
    std::size_t column = 1;
};

/// A number in fixed columns: what it is, in how many parts of its unit it is coded, and what is allowed.
struct Field {
    std::size_t first;
    std::size_t last;
    std::string_view what;
    std::string_view unit;
    double per_unit;
    double minimum;
    double maximum;
};

constexpr double highest_altitude_ft = 66000.0;  // FL660, the top of controlled airspace
constexpr double lowest_altitude_ft = -1500.0;   // the Dead Sea shore is near -1,400 ft
constexpr double highest_ground_ft = 30000.0;
constexpr double whole_circle_deg = 360.0;
constexpr double longest_leg_nm = 999.9;
constexpr double longest_runway_ft = 30000.0;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

bool is_blank(std::string_view text) {
    return text.find_first_not_of(' ') == std::string_view::npos;
}

std::string_view trimmed(std::string_view text) {
    const std::size_t first = text.find_first_not_of(' ');
    if (first == std::string_view::npos) {
        return {};
    }
    return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

/// The columns of one record, 1-based and inclusive as the standard counts them. The first fault met is kept; values read
/// after it mean nothing, so that a record is read straight through and asked at the end.
class Row {
public:
    explicit Row(std::string_view text) : text_(text) {}

    std::string_view raw(std::size_t first, std::size_t last) const {
        return text_.substr(first - 1, last - first + 1);
    }
    char letter(std::size_t column) const { return text_[column - 1]; }
    std::string word(std::size_t first, std::size_t last) const {
        return std::string(trimmed(raw(first, last)));
    }
    std::string name(std::size_t first, std::size_t last) const {
        return utf8_from_latin_1(trimmed(raw(first, last)));
    }
    bool blank(std::size_t first, std::size_t last) const { return is_blank(raw(first, last)); }

    void refuse(std::string code, std::size_t column, std::string message) {
        if (!fault_) {
            fault_ = Fault{std::move(code), std::move(message), column};
        }
    }
    bool refused() const { return fault_.has_value(); }
    const Fault& fault() const { return *fault_; }

    std::string required_word(std::size_t first, std::size_t last, std::string_view what) {
        std::string found = word(first, last);
        if (found.empty()) {
            missing(first, last, what);
        }
        return found;
    }

    void missing(std::size_t first, std::size_t last, std::string_view what) {
        refuse("read.value_missing", first,
               fmt::format("{} in columns {}-{} is blank, and this record is of no use without it", what,
                           first, last));
    }

    void unknown_letter(std::size_t first, std::size_t last, std::string_view what,
                        std::string_view allowed) {
        refuse("read.unknown_letter", first,
               fmt::format("{} {} is none that is known here; allowed: {}", what,
                           base::in_quotes(raw(first, last)), allowed));
    }

    std::optional<double> number(const Field& field) {
        const std::string_view digits = raw(field.first, field.last);
        std::size_t i = digits.find_first_not_of(' ');
        if (i == std::string_view::npos) {
            return std::nullopt;
        }
        bool negative = false;
        if ((digits[i] == '-' || digits[i] == '+') && i + 1 < digits.size()) {
            negative = digits[i] == '-';
            ++i;
        }
        long value = 0;
        for (; i < digits.size(); ++i) {
            if (!is_digit(digits[i])) {
                refuse(
                    "read.not_a_number", field.first + i,
                    fmt::format("{} {} has a character that is no digit; allowed {:g} to {:g} {}", field.what,
                                base::in_quotes(digits), field.minimum, field.maximum, field.unit));
                return std::nullopt;
            }
            value = value * 10 + (digits[i] - '0');
        }
        return checked(field, static_cast<double>(negative ? -value : value) / field.per_unit);
    }

    double required_number(const Field& field) {
        const std::optional<double> value = number(field);
        if (!value) {
            missing(field.first, field.last, field.what);
        }
        return value.value_or(0.0);
    }

    /// Tenths of a degree, or whole degrees true with a T behind.
    std::optional<navdata::CodedCourse> course(const Field& field) {
        if (letter(field.last) != 'T') {
            const std::optional<double> value = number(field);
            return value ? std::optional(navdata::CodedCourse{*value, false}) : std::nullopt;
        }
        Field without_letter = field;
        without_letter.last -= 1;
        without_letter.per_unit = 1.0;
        const double value = required_number(without_letter);
        return navdata::CodedCourse{value, true};
    }

    /// Feet, or a flight level, which stands for its hundreds of feet.
    std::optional<Altitude> altitude(std::size_t first, std::string_view what) {
        const bool level = raw(first, first + 1) == "FL";
        const Field field{level ? first + 2 : first,          first + 4, what,
                          level ? "hundreds of feet" : "ft",  1.0,       level ? 0.0 : lowest_altitude_ft,
                          level ? 660.0 : highest_altitude_ft};
        if (level) {
            return Altitude::feet(required_number(field) * 100.0);
        }
        const std::optional<double> value = number(field);
        return value ? std::optional(Altitude::feet(*value)) : std::nullopt;
    }

    std::optional<Altitude> ground(std::size_t first, std::string_view what) {
        const std::optional<double> value =
            number({first, first + 4, what, "ft", 1.0, lowest_altitude_ft, highest_ground_ft});
        return value ? std::optional(Altitude::feet(*value)) : std::nullopt;
    }

    /// Latitude in nine columns and longitude in the ten after it; nothing where both are blank.
    std::optional<earth::Position> position(std::size_t first, std::string_view what) {
        const std::size_t second = first + 9;
        if (blank(first, first + 18)) {
            return std::nullopt;
        }
        const double latitude = degrees(first, 2, 'N', 'S', what, "latitude");
        const double longitude = degrees(second, 3, 'E', 'W', what, "longitude");
        if (refused()) {
            return std::nullopt;
        }
        return earth::Position::degrees(latitude, longitude);
    }

    earth::Position required_position(std::size_t first, std::string_view what) {
        const std::optional<earth::Position> place = position(first, what);
        if (!place) {
            missing(first, first + 18, what);
        }
        return place.value_or(earth::Position());
    }

    /// A letter E or W and tenths of a degree; T and G mean that the zero is true or grid north (trade-facts 13.1).
    struct East {
        Angle angle;
        bool by_true_or_grid = false;
    };
    std::optional<East> east(std::size_t first, std::string_view what) {
        if (blank(first, first + 4)) {
            return std::nullopt;
        }
        const char prefix = letter(first);
        if (prefix == 'T' || prefix == 'G') {
            return East{Angle(), true};
        }
        if (prefix != 'E' && prefix != 'W') {
            unknown_letter(first, first, what, "E, W, T or G");
            return std::nullopt;
        }
        const double amount = required_number({first + 1, first + 4, what, "degrees", 10.0, 0.0, 180.0});
        return East{Angle::degrees(prefix == 'E' ? amount : -amount), false};
    }

private:
    std::optional<double> checked(const Field& field, double value) {
        if (value < field.minimum || value > field.maximum) {
            refuse("read.out_of_range", field.first,
                   fmt::format("{} {} is {:g} {}; allowed {:g} to {:g}", field.what,
                               base::in_quotes(raw(field.first, field.last)), value, field.unit,
                               field.minimum, field.maximum));
            return std::nullopt;
        }
        return value;
    }

    /// Degrees, minutes, seconds and hundredths of a second behind a letter.
    double degrees(std::size_t first, std::size_t degree_digits, char positive, char negative,
                   std::string_view whose, std::string_view what) {
        const std::string_view field = raw(first, first + degree_digits + 6);
        const char hemisphere = field[0];
        if (hemisphere != positive && hemisphere != negative) {
            unknown_letter(first, first + degree_digits + 6, fmt::format("{} of the {}", what, whose),
                           fmt::format("{} or {} before the digits", positive, negative));
            return 0.0;
        }
        std::array<long, 3> parts{};
        std::size_t at = 1;
        const std::array<std::size_t, 3> widths = {degree_digits, 2, 4};
        for (std::size_t part = 0; part < parts.size(); ++part) {
            for (std::size_t i = 0; i < widths[part]; ++i, ++at) {
                if (!is_digit(field[at])) {
                    refuse("read.not_a_number", first + at,
                           fmt::format("{} of the {} {} has a character that is no digit", what, whose,
                                       base::in_quotes(field)));
                    return 0.0;
                }
                parts[part] = parts[part] * 10 + (field[at] - '0');
            }
        }
        const long hundredths = parts[0] * 360000 + parts[1] * 6000 + parts[2];
        const long limit = degree_digits == 2 ? 90 : 180;
        if (parts[1] > 59 || parts[2] > 5999 || hundredths > limit * 360000) {
            refuse(
                "read.out_of_range", first,
                fmt::format(
                    "{} of the {} {} is out of range; allowed 0 to {} degrees, minutes and seconds below 60",
                    what, whose, base::in_quotes(field), limit));
            return 0.0;
        }
        const double value = static_cast<double>(hundredths) / 360000.0;
        return hemisphere == positive ? value : -value;
    }

    std::string_view text_;
    std::optional<Fault> fault_;
};

std::optional<PointKind> kind_of(std::string_view section) {
    if (section == "EA") {
        return PointKind::fix;
    }
    if (section == "PC") {
        return PointKind::terminal_fix;
    }
    if (section == "D ") {
        return PointKind::vhf_station;
    }
    if (section == "DB") {
        return PointKind::ndb;
    }
    if (section == "PN") {
        return PointKind::terminal_ndb;
    }
    if (section == "PI") {
        return PointKind::localizer;
    }
    if (section == "PA") {
        return PointKind::airport;
    }
    if (section == "PG") {
        return PointKind::runway;
    }
    return std::nullopt;
}

struct NameColumns {
    std::size_t ident_first;
    std::size_t ident_last;
    std::size_t region_first;
    std::size_t section_first;
    std::string_view what;
};

/// The point a record names; nothing where its ident is blank.
std::optional<PointName> point_name(Row& row, const NameColumns& at, std::string_view airport) {
    std::string ident = row.word(at.ident_first, at.ident_last);
    if (ident.empty()) {
        return std::nullopt;
    }
    const std::optional<PointKind> kind = kind_of(row.raw(at.section_first, at.section_first + 1));
    if (!kind) {
        row.unknown_letter(at.section_first, at.section_first + 1, fmt::format("section of the {}", at.what),
                           "D, DB, EA, PA, PC, PG, PI, PN");
        return std::nullopt;
    }
    const bool of_airport = *kind == PointKind::terminal_fix || *kind == PointKind::terminal_ndb ||
                            *kind == PointKind::localizer || *kind == PointKind::runway;
    return PointName{*kind, std::move(ident), row.word(at.region_first, at.region_first + 1),
                     of_airport ? std::string(airport) : std::string()};
}

struct Section {
    std::string_view code;
    std::string_view name;
};

/// Sections of the standard that nothing here reads. Source: ARINC 424-18 section 4 and 5.5 (codes; some from memory).
constexpr std::array sections_without_use = {
    Section{"HA", "heliport"},
    Section{"HC", "heliport waypoint"},
    Section{"HD", "heliport departure"},
    Section{"HE", "heliport arrival"},
    Section{"HF", "heliport approach"},
    Section{"HK", "heliport terminal arrival altitude"},
    Section{"HP", "heliport path point"},
    Section{"HS", "heliport minimum sector altitude"},
    Section{"HV", "heliport communication"},
    Section{"PB", "gate"},
    Section{"PH", "restrictive airspace continuation"},
    Section{"PK", "terminal arrival altitude"},
    Section{"PL", "microwave landing system"},
    Section{"PP", "path point"},
    Section{"PR", "flight planning arrival and departure"},
    Section{"PT", "ground-based augmentation station"},
    Section{"PV", "airport communication"},
    Section{"EM", "airway marker"},
    Section{"EP", "holding pattern"},
    Section{"ES", "special activity area"},
    Section{"ET", "preferred route"},
    Section{"EU", "en-route restriction"},
    Section{"EV", "en-route communication"},
    Section{"RA", "alternate record"},
    Section{"R ", "company route"},
    Section{"TC", "cruising table"},
    Section{"TG", "geographical reference"},
    Section{"TN", "RNAV name"},
    Section{"TV", "communication type"},
    Section{"UC", "controlled airspace"},
    Section{"UF", "flight information region"},
    Section{"UR", "restrictive airspace"},
};

/// One branch of a procedure that lost a leg.
struct Refusal {
    std::size_t procedure;
    char route_type;
    std::string transition;
};

class Arinc424Reader {
public:
    Arinc424Reader(std::string_view bytes, navdata::Source source, const base::Progress& progress)
        : bytes_(bytes), progress_(progress), seen_(&pool_), procedures_(&pool_) {
        source.format = "ARINC 424-18";
        if (source.checksum.empty()) {
            source.checksum = checksum_of(bytes);
        }
        reading_.value.sources.push_back(std::move(source));
    }

    Reading read() {
        split();
        for (std::size_t i = 0; i < lines_.size(); ++i) {
            if (i % 8192 == 0) {
                progress_.at("reading", static_cast<double>(i) / static_cast<double>(lines_.size()));
                if (progress_.cancelled()) {
                    cancel(i);
                    break;
                }
            }
            line_ = static_cast<std::uint32_t>(i + 1);
            read_line(lines_[i]);
        }
        finish();
        return std::move(reading_);
    }

private:
    navdata::Records& records() { return reading_.value; }
    navdata::Origin origin() const { return {base::Id<navdata::Source>{0}, line_}; }

    void split() {
        lines_.reserve(bytes_.size() / (row_length + 1) + 1);
        std::array<std::size_t, 256> fixes_by_section{};
        std::size_t at = 0;
        while (at < bytes_.size()) {
            const void* end = std::memchr(bytes_.data() + at, '\n', bytes_.size() - at);
            const std::size_t stop =
                end == nullptr ? bytes_.size()
                               : static_cast<std::size_t>(static_cast<const char*>(end) - bytes_.data());
            std::string_view line = bytes_.substr(at, stop - at);
            if (!line.empty() && line.back() == '\r') {
                line.remove_suffix(1);
            }
            lines_.push_back(line);
            if (line.size() > 12) {
                fixes_by_section[static_cast<unsigned char>(line[4] == 'P' ? line[12] : line[5])] += 1;
            }
            at = stop + 1;
        }
        // Rough on purpose: D at column 6 or 13 never means these, so each count is an upper bound.
        records().airports.reserve(fixes_by_section['A']);
        records().fixes.reserve(fixes_by_section['C'] + fixes_by_section['A']);
        records().airway_rows.reserve(fixes_by_section['R']);
        records().stations.reserve(fixes_by_section[' '] + fixes_by_section['B'] + fixes_by_section['I']);
        records().runways.reserve(fixes_by_section['G']);
        reading_.counts.rows = lines_.size();
        seen_.reserve(lines_.size() / 4);
    }

    void cancel(std::size_t from) {
        const std::size_t rest = lines_.size() - from;
        reading_.counts.not_used["read.cancelled"] += rest;
        reading_.diagnostics.push_back({"read.cancelled",
                                        fmt::format("reading was cancelled with {} rows to go", rest),
                                        place(from + 1, 1)});
    }

    std::string place(std::size_t line, std::size_t column) const {
        return fmt::format("{}:{}:{}", reading_.value.sources.front().file, line, column);
    }

    void report(const Fault& fault) { report(fault, line_); }
    void report(const Fault& fault, std::size_t line) {
        const auto found = reading_.counts.not_used.find(fault.code);
        if (found == reading_.counts.not_used.end()) {
            reading_.counts.not_used.emplace(fault.code, 1);
        } else {
            found->second += 1;
        }
        reading_.diagnostics.push_back({fault.code, fault.message, place(line, fault.column)});
    }

    void remark(std::string code, std::string message, std::size_t line, std::size_t column) {
        reading_.counts.remarks += 1;
        reading_.diagnostics.push_back({std::move(code), std::move(message), place(line, column)});
    }

    void used() { reading_.counts.used += 1; }

    /// Puts a record that was read through into its list, or reports why not.
    template <class Record>
    bool keep(const Row& row, std::vector<Record>& list, Record&& record) {
        if (row.refused()) {
            report(row.fault());
            seen_.erase(key_);
            return false;
        }
        list.push_back(std::forward<Record>(record));
        used();
        return true;
    }

    /// Whether a record of this key was read before; says so.
    bool repeated(const Row& row, std::size_t first, std::size_t last, std::string_view what) {
        key_ = row.raw(first, last);
        const auto [found, fresh] = seen_.emplace(key_, line_);
        if (fresh) {
            return false;
        }
        report({"read.duplicate_record",
                fmt::format("{} {} stands on line {} already; the first is used", what,
                            base::in_quotes(trimmed(row.raw(first, last))), found->second),
                first});
        return true;
    }

    void read_line(std::string_view line) {
        if (line.size() != row_length) {
            const std::size_t length = is_blank(line) ? 0 : line.find_last_not_of(' ') + 1;
            if (length == 0) {
                report({"read.blank_row", "the row is blank", 1});
                return;
            }
            if (line.substr(0, 3) == "HDR") {
                read_header(line.substr(0, length));
                return;
            }
            if (length > row_length || line.size() < row_length) {
                report({"read.wrong_row_length",
                        fmt::format("the row has {} characters; a record has {}", line.size(), row_length),
                        std::min(line.size(), row_length) + 1});
                refuse_procedure_of(line);
                return;
            }
            line = line.substr(0, row_length);
        }
        if (const std::size_t at = control_character(line); at != std::string_view::npos) {
            report(
                {"read.control_character",
                 fmt::format("the row holds the control character {:#04x}; allowed are printable characters",
                             static_cast<unsigned>(static_cast<unsigned char>(line[at]))),
                 at + 1});
            refuse_procedure_of(line);
            return;
        }
        Row row(line);
        if (line.substr(0, 3) == "HDR") {
            read_header(line);
            return;
        }
        if (line[0] != 'S') {
            report(line[0] == 'T'
                       ? Fault{"read.tailored_record",
                               "a tailored record (T) serves one operator and is not used", 1}
                       : Fault{"read.unknown_letter",
                               fmt::format("record type {} is none that is known here; allowed: S or T",
                                           base::in_quotes(line.substr(0, 1))),
                               1});
            return;
        }
        read_record(row);
    }

    static std::size_t control_character(std::string_view line) {
        bool any = false;
        for (const char c : line) {
            any |= static_cast<unsigned char>(c) < 0x20 || c == 0x7F;
        }
        if (!any) {
            return std::string_view::npos;
        }
        const auto at = std::find_if(line.begin(), line.end(), [](char c) {
            return static_cast<unsigned char>(c) < 0x20 || c == 0x7F;
        });
        return static_cast<std::size_t>(at - line.begin());
    }

    void read_header(std::string_view line) {
        // Trade-facts 13.0: the number in columns 4-5, the cycle in 36-39.
        if (line.substr(0, 5) != "HDR01") {
            report({"read.header_text", "free text of the header is not used", 1});
            return;
        }
        const std::optional<AiracCycle> cycle =
            line.size() < 39 ? std::nullopt : AiracCycle::parse(line.substr(35, 4));
        if (!cycle) {
            report({"read.header_cycle",
                    "the header gives no cycle in columns 36-39; allowed: year and number as YYnn", 36});
            return;
        }
        header_cycle_ = std::max(header_cycle_.value_or(*cycle), *cycle);
        used();
    }

    void read_record(Row& row) {
        note_cycle(row);
        const char section = row.letter(5);
        const char sixth = row.letter(6);
        const bool by_airport = (section == 'P' || section == 'H') && sixth != 'N';
        const char subsection = by_airport ? row.letter(13) : sixth;
        switch (section) {
            case 'P':
                switch (subsection) {
                    case 'A':
                        return primary(row, 22, [&] { read_airport(row); });
                    case 'G':
                        return primary(row, 22, [&] { read_runway(row); });
                    case 'N':
                        return primary(row, 22, [&] { read_ndb(row, true); });
                    case 'I':
                        return primary(row, 22, [&] { read_localizer(row); });
                    case 'M':
                        return primary(row, 22, [&] { read_marker(row); });
                    case 'C':
                        return primary(row, 22, [&] { read_fix(row, true); });
                    case 'D':
                        return primary(row, 39, [&] { read_leg(row, navdata::ProcedureKind::departure); });
                    case 'E':
                        return primary(row, 39, [&] { read_leg(row, navdata::ProcedureKind::arrival); });
                    case 'F':
                        return primary(row, 39, [&] { read_leg(row, navdata::ProcedureKind::approach); });
                    case 'S':
                        return primary(row, 39, [&] { read_sector_altitude(row); });
                    default:
                        break;
                }
                break;
            case 'D':
                if (subsection == ' ') {
                    return primary(row, 22, [&] { read_vhf_station(row); });
                }
                if (subsection == 'B') {
                    return primary(row, 22, [&] { read_ndb(row, false); });
                }
                break;
            case 'E':
                if (subsection == 'A') {
                    return primary(row, 22, [&] { read_fix(row, false); });
                }
                if (subsection == 'R') {
                    return primary(row, 39, [&] { read_airway_row(row); });
                }
                break;
            case 'A':
                if (subsection == 'S') {
                    return read_grid_row(row);
                }
                break;
            default:
                break;
        }
        report(section_without_use(section, subsection, by_airport));
    }

    static Fault section_without_use(char section, char subsection, bool by_airport) {
        const std::array<char, 2> code = {section, subsection};
        const std::string_view text(code.data(), code.size());
        for (const Section& known : sections_without_use) {
            if (known.code == text) {
                return {"read.section_not_used",
                        fmt::format("{} records ({}) are not used", known.name, text), 5};
            }
        }
        return {"read.unknown_section",
                fmt::format("section {} is none of ARINC 424-18 that is known here",
                            base::in_quotes(trimmed(text))),
                by_airport && section != ' ' ? std::size_t{13} : std::size_t{5}};
    }

    /// Continuation number 0 or 1 is the primary record (trade-facts 13); what others add is not used.
    template <class Read>
    void primary(const Row& row, std::size_t column, Read read) {
        const char continuation = row.letter(column);
        if (continuation == '0' || continuation == '1') {
            read();
        } else {
            report(
                {"read.continuation_not_used",
                 fmt::format("continuation record {} is not used", base::in_quotes(row.raw(column, column))),
                 column});
        }
    }

    /// The newest cycle on the rows stands in where there is no header. Neighbouring rows mostly share theirs.
    void note_cycle(const Row& row) {
        const std::string_view text = row.raw(129, 132);
        if (text == last_cycle_) {
            return;
        }
        last_cycle_ = text;
        if (const std::optional<AiracCycle> cycle = AiracCycle::parse(text)) {
            newest_row_cycle_ = std::max(newest_row_cycle_.value_or(*cycle), *cycle);
        }
    }

    // Trade-facts 13.2.
    void read_airport(Row& row) {
        if (repeated(row, 7, 13, "airport")) {
            return;
        }
        navdata::Airport airport;
        airport.ident = row.required_word(7, 10, "airport ident");
        airport.region = row.word(11, 12);
        airport.name = row.name(94, 123);
        airport.position = row.required_position(33, "airport");
        if (const auto variation = row.east(52, "magnetic variation");
            variation && !variation->by_true_or_grid) {
            airport.variation = base::Variation::east(variation->angle);
        }
        airport.elevation = row.ground(57, "airport elevation");
        airport.origins.push_back(origin());
        keep(row, records().airports, std::move(airport));
    }

    // Trade-facts 13.3.
    void read_runway(Row& row) {
        if (repeated(row, 7, 18, "runway")) {
            return;
        }
        navdata::Runway runway;
        runway.airport = row.required_word(7, 10, "airport ident");
        runway.ident = row.required_word(14, 18, "runway ident");
        runway.length =
            Length::feet(row.required_number({23, 27, "runway length", "ft", 1.0, 1.0, longest_runway_ft}));
        if (const auto bearing =
                row.course({28, 31, "runway bearing", "degrees", 10.0, 0.0, whole_circle_deg})) {
            if (bearing->is_true) {
                runway.true_bearing = base::TrueBearing::degrees(bearing->degrees);
            } else {
                runway.bearing = base::MagneticBearing::degrees(bearing->degrees);
            }
        }
        runway.threshold = row.position(33, "threshold");
        runway.elevation = row.ground(67, "threshold elevation");
        runway.displaced =
            Length::feet(row.number({72, 75, "displaced threshold", "ft", 1.0, 0.0, 9999.0}).value_or(0.0));
        runway.localizer = row.word(82, 85);
        runway.origin = origin();
        keep(row, records().runways, std::move(runway));
    }

    // docs/service-classes.md; column 30.
    static navdata::ServiceClass vhf_service(char letter) {
        switch (letter) {
            case 'T':
                return navdata::ServiceClass::terminal;
            case 'L':
                return navdata::ServiceClass::low;
            case 'H':
                return navdata::ServiceClass::high;
            default:
                return navdata::ServiceClass::unknown;
        }
    }

    // docs/service-classes.md; column 30.
    static navdata::ServiceClass ndb_service(char letter) {
        switch (letter) {
            case 'H':
                return navdata::ServiceClass::ndb_high;
            case 'M':
                return navdata::ServiceClass::ndb_medium;
            case 'L':
                return navdata::ServiceClass::compass_locator;
            case ' ':
                return navdata::ServiceClass::ndb;
            default:
                return navdata::ServiceClass::unknown;
        }
    }

    // Trade-facts 13.4 and 10.1, 10.3 (bands).
    void read_vhf_station(Row& row) {
        if (repeated(row, 5, 21, "VHF navaid")) {
            return;
        }
        const char first = row.letter(28);
        const char second = row.letter(29);
        const bool has_vor = first == 'V';
        if (!has_vor && first != ' ') {
            row.unknown_letter(28, 28, "navaid class", "V or blank");
        }
        if (std::string_view(" DTMINP").find(second) == std::string_view::npos ||
            (has_vor && std::string_view(" DTM").find(second) == std::string_view::npos) ||
            (!has_vor && second == ' ')) {
            row.unknown_letter(28, 29, "navaid class", "V, VD, VT, VM, or D, T, M, I, N, P alone");
        }
        navdata::Station station;
        station.ident = row.required_word(14, 17, "navaid ident");
        station.region = row.word(20, 21);
        station.airport = row.word(7, 10);
        station.name = row.name(94, 123);
        const double frequency_mhz =
            row.required_number({23, 27, "frequency", "MHz", 100.0, 108.0, has_vor ? 117.95 : 135.95});
        // Channels without a VHF pair stand at 133.30 to 135.95 (trade-facts 10.3).
        if (!row.refused() && frequency_mhz > 117.95 && frequency_mhz < 133.30) {
            row.refuse(
                "read.out_of_range", 23,
                fmt::format(
                    "frequency {} is {:.2f} MHz; allowed 108 to 117.95, or 133.3 to 135.95 for a channel "
                    "without a VHF pair",
                    base::in_quotes(row.raw(23, 27)), frequency_mhz));
        }
        station.frequency = base::Frequency::megahertz(frequency_mhz);
        const navdata::ServiceClass service = vhf_service(row.letter(30));
        const auto declination = row.east(75, "station declination");
        const base::Declination zero = base::Declination::east(declination ? declination->angle : Angle());
        if (has_vor) {
            const earth::Position place = row.required_position(33, "VOR");
            if (!declination) {
                row.missing(75, 79, "station declination");
            }
            station.azimuth = navdata::VorAzimuth{place, zero, navdata::DeclinationFrom::record, service};
        }
        if (second != ' ') {
            navdata::DistancePart dme;
            dme.position = row.required_position(56, "DME");
            dme.elevation = row.ground(80, "DME elevation");
            dme.bias =
                Length::nautical_miles(row.number({86, 87, "DME bias", "NM", 10.0, 0.0, 9.9}).value_or(0.0));
            dme.service = service;
            if (!has_vor && (second == 'T' || second == 'M')) {
                if (!declination) {
                    row.missing(75, 79, "station declination");
                }
                station.azimuth = navdata::TacanAzimuth{dme.position, zero};
            }
            station.dme = dme;
        }
        station.out_of_service = row.letter(85) == '9';
        station.origins.push_back(origin());
        if (second == 'I') {
            keep(row, distances_of_localizers_, std::move(station));
        } else {
            keep(row, records().stations, std::move(station));
        }
    }

    // Trade-facts 13.5.
    void read_ndb(Row& row, bool terminal) {
        if (repeated(row, 5, 21, "NDB")) {
            return;
        }
        navdata::Station station;
        station.ident = row.required_word(14, 17, "NDB ident");
        station.region = row.word(20, 21);
        station.airport = terminal ? row.word(7, 10) : std::string();
        station.name = row.name(94, 123);
        station.frequency = base::Frequency::kilohertz(
            row.required_number({23, 27, "frequency", "kHz", 10.0, 190.0, 1750.0}));
        const earth::Position place = row.required_position(33, "NDB");
        const auto variation = row.east(75, "magnetic variation");
        if (!variation) {
            row.missing(75, 79, "magnetic variation");
        }
        station.azimuth =
            navdata::NdbAzimuth{place, base::Variation::east(variation ? variation->angle : Angle()),
                                ndb_service(row.letter(30))};
        station.origins.push_back(origin());
        keep(row, records().stations, std::move(station));
    }

    // Trade-facts 13.10.
    void read_localizer(Row& row) {
        if (repeated(row, 7, 17, "localizer")) {
            return;
        }
        navdata::Station station;
        station.airport = row.required_word(7, 10, "airport ident");
        station.region = row.word(11, 12);
        station.ident = row.required_word(14, 17, "localizer ident");
        const double frequency_mhz = row.required_number({23, 27, "frequency", "MHz", 100.0, 108.10, 111.95});
        // Localizers have the odd tenths (trade-facts 10.1): column 26 is the tenth.
        if (!row.refused() && (row.letter(26) - '0') % 2 == 0) {
            row.refuse(
                "read.out_of_range", 23,
                fmt::format("frequency {} is {:.2f} MHz; a localizer has 108.10 to 111.95 with an odd tenth",
                            base::in_quotes(row.raw(23, 27)), frequency_mhz));
        }
        station.frequency = base::Frequency::megahertz(frequency_mhz);
        navdata::LocalizerAzimuth azimuth;
        azimuth.runway = row.word(28, 32);
        azimuth.category = row.word(18, 18);
        azimuth.position = row.required_position(33, "localizer");
        const auto declination = row.east(91, "station declination");
        if (!declination) {
            row.missing(91, 95, "station declination");
        }
        azimuth.declination = base::Declination::east(declination ? declination->angle : Angle());
        const auto course = row.course({52, 55, "localizer course", "degrees", 10.0, 0.0, whole_circle_deg});
        if (!course) {
            row.missing(52, 55, "localizer course");
        } else if (course->is_true) {
            azimuth.course =
                base::to_radial(base::TrueBearing::degrees(course->degrees), azimuth.declination);
        } else {
            azimuth.course = base::Radial::degrees(course->degrees);
        }
        // Zero stands where no width is published.
        if (const auto width = row.number({84, 87, "localizer width", "degrees", 100.0, 0.0, 12.0});
            width && *width > 0.0) {
            azimuth.width = Angle::degrees(*width);
        }
        const auto place = row.position(56, "glideslope");
        const auto angle = row.number({88, 90, "glideslope angle", "degrees", 100.0, 1.0, 9.0});
        if (place && angle) {
            navdata::Glideslope glideslope;
            glideslope.position = *place;
            glideslope.angle = Angle::degrees(*angle);
            glideslope.elevation = row.ground(98, "glideslope elevation");
            if (const auto height = row.number({96, 97, "threshold crossing height", "ft", 1.0, 0.0, 99.0})) {
                glideslope.threshold_crossing_height = Length::feet(*height);
            }
            azimuth.glideslope = glideslope;
        }
        station.azimuth = std::move(azimuth);
        station.origins.push_back(origin());
        keep(row, records().stations, std::move(station));
    }

    // Columns: docs/import.md. The L of a locator that stands there says nothing here: its NDB has a record of its own.
    static std::optional<navdata::MarkerKind> marker_kind(std::string_view type) {
        if (type[0] != ' ' && type[0] != 'L') {
            return std::nullopt;
        }
        const std::string_view letters = type.substr(1);
        if (letters == "OM") {
            return navdata::MarkerKind::outer;
        }
        if (letters == "MM") {
            return navdata::MarkerKind::middle;
        }
        if (letters == "IM") {
            return navdata::MarkerKind::inner;
        }
        if (letters == "BM") {
            return navdata::MarkerKind::back_course;
        }
        return std::nullopt;
    }

    void read_marker(Row& row) {
        if (repeated(row, 7, 20, "marker")) {
            return;
        }
        navdata::Marker marker;
        marker.airport = row.required_word(7, 10, "airport ident");
        marker.localizer = row.required_word(14, 17, "localizer ident");
        const std::optional<navdata::MarkerKind> kind = marker_kind(row.raw(18, 20));
        if (!kind) {
            row.unknown_letter(18, 20, "marker type", "OM, MM, IM or BM, with a blank or an L before it");
        }
        marker.kind = kind.value_or(navdata::MarkerKind::outer);
        marker.runway = row.word(28, 32);
        marker.position = row.required_position(33, "marker");
        if (const auto axis =
                row.number({52, 55, "minor axis bearing", "degrees", 10.0, 0.0, whole_circle_deg})) {
            marker.minor_axis = base::TrueBearing::degrees(*axis);
        }
        marker.elevation = row.ground(98, "marker elevation");
        marker.origin = origin();
        keep(row, records().markers, std::move(marker));
    }

    // Trade-facts 13.6.
    void read_fix(Row& row, bool terminal) {
        if (repeated(row, 5, 21, "waypoint")) {
            return;
        }
        navdata::Fix fix;
        fix.ident = row.required_word(14, 18, "waypoint ident");
        fix.region = row.word(20, 21);
        fix.airport = terminal ? row.word(7, 10) : std::string();
        fix.name = row.name(99, 123);
        fix.type = std::string(row.raw(27, 29));
        fix.position = row.required_position(33, "waypoint");
        fix.origin = origin();
        keep(row, records().fixes, std::move(fix));
    }

    static navdata::PublishedMinimum published_minimum(Row& row, std::size_t first) {
        if (row.raw(first, first + 4) == "UNKNN") {
            return navdata::NotKnown{};
        }
        const auto altitude = row.altitude(first, "minimum altitude");
        return altitude ? navdata::PublishedMinimum(*altitude) : navdata::PublishedMinimum();
    }

    // Trade-facts 13.7.
    void read_airway_row(Row& row) {
        navdata::AirwayRow leg;
        leg.area = row.word(2, 4);
        leg.designator = row.required_word(14, 19, "airway designator");
        leg.sequence = static_cast<std::uint32_t>(
            row.required_number({26, 29, "sequence number", "", 1.0, 0.0, 9999.0}));
        if (const auto point = point_name(row, {30, 34, 35, 37, "airway point"}, {})) {
            leg.point = *point;
        } else {
            row.missing(30, 34, "airway point");
        }
        leg.ends_continuous_part = row.letter(41) == 'E';
        leg.route_type = row.letter(45);
        leg.level = row.letter(46);
        switch (row.letter(47)) {
            case ' ':
                break;
            case 'F':
                leg.direction = navdata::AirwayDirection::forward_only;
                break;
            case 'B':
                leg.direction = navdata::AirwayDirection::backward_only;
                break;
            default:
                row.unknown_letter(47, 47, "direction restriction", "F, B or blank");
                break;
        }
        leg.outbound_course = radial(row, 71, "outbound course");
        if (const auto distance = row.number({75, 78, "distance", "NM", 10.0, 0.0, longest_leg_nm})) {
            leg.distance_to_next = Length::nautical_miles(*distance);
        }
        leg.inbound_course = radial(row, 79, "inbound course");
        leg.minimum = published_minimum(row, 84);
        leg.minimum_backward = published_minimum(row, 89);
        if (row.raw(94, 98) != "UNLTD") {
            leg.maximum = row.altitude(94, "maximum altitude");
        }
        leg.origin = origin();
        keep(row, records().airway_rows, std::move(leg));
    }

    std::optional<base::Radial> radial(Row& row, std::size_t first, std::string_view what) {
        const auto course = row.course({first, first + 3, what, "degrees", 10.0, 0.0, whole_circle_deg});
        if (!course) {
            return std::nullopt;
        }
        if (course->is_true) {
            remark("remark.true_course_left_out",
                   fmt::format("{} {} is true, not a radial, and is left out", what,
                               base::in_quotes(row.raw(first, first + 3))),
                   line_, first);
            return std::nullopt;
        }
        return base::Radial::degrees(course->degrees);
    }

    /// The procedure of a row, by airport, subsection and ident (columns 7-19).
    std::size_t procedure_of(const Row& row, navdata::ProcedureKind kind) {
        const std::string_view key = row.raw(7, 19);
        if (key == last_procedure_key_) {
            return last_procedure_;
        }
        const auto [found, fresh] = procedures_.emplace(key, records().procedures.size());
        if (fresh) {
            navdata::Procedure procedure;
            procedure.airport = row.word(7, 10);
            procedure.region = row.word(11, 12);
            procedure.kind = kind;
            procedure.ident = row.word(14, 19);
            records().procedures.push_back(std::move(procedure));
        }
        last_procedure_key_ = key;
        last_procedure_ = found->second;
        return last_procedure_;
    }

    /// How many rows from this one on are of the same branch (columns 1-26): publishers keep them together.
    std::size_t rows_of_branch() const {
        const std::string_view branch = lines_[line_ - 1].substr(0, 26);
        std::size_t end = line_;
        while (end < lines_.size() && lines_[end].substr(0, 26) == branch) {
            ++end;
        }
        return end - line_ + 1;
    }

    void refuse_procedure(const Row& row, navdata::ProcedureKind kind) {
        refusals_.push_back({procedure_of(row, kind), row.letter(20), row.word(21, 25)});
    }

    /// A row too damaged to be read may still tell which procedure it was a leg of.
    void refuse_procedure_of(std::string_view line) {
        if (line.size() < 39 || line[0] != 'S' || line[4] != 'P' || line[5] != ' ' ||
            (line[38] != '0' && line[38] != '1')) {
            return;
        }
        const Row row(line);
        switch (row.letter(13)) {
            case 'D':
                return refuse_procedure(row, navdata::ProcedureKind::departure);
            case 'E':
                return refuse_procedure(row, navdata::ProcedureKind::arrival);
            case 'F':
                return refuse_procedure(row, navdata::ProcedureKind::approach);
            default:
                return;
        }
    }

    static navdata::AltitudeRule altitude_rule(Row& row, bool has_altitude) {
        using navdata::AltitudeRule;
        switch (row.letter(83)) {
            case ' ':
                return has_altitude ? AltitudeRule::at : AltitudeRule::none;
            case '@':
                return AltitudeRule::at;
            case '+':
                return AltitudeRule::at_or_above;
            case '-':
                return AltitudeRule::at_or_below;
            case 'B':
                return AltitudeRule::between;
            case 'C':
                return AltitudeRule::at_or_above_second;
            case 'G':
            case 'I':
                return AltitudeRule::glideslope_at;
            case 'H':
            case 'J':
                return AltitudeRule::glideslope_at_or_above;
            case 'V':
            case 'X':
            case 'Y':
                return AltitudeRule::step_down;
            default:
                row.unknown_letter(83, 83, "altitude description", "blank @ + - B C G H I J V X Y");
                break;
        }
        return AltitudeRule::none;
    }

    static navdata::Turn turn(Row& row) {
        switch (row.letter(44)) {
            case ' ':
                return navdata::Turn::unspecified;
            case 'L':
                return navdata::Turn::left;
            case 'R':
                return navdata::Turn::right;
            case 'E':
                return navdata::Turn::either;
            default:
                row.unknown_letter(44, 44, "turn direction", "L, R, E or blank");
                break;
        }
        return navdata::Turn::unspecified;
    }

    // Trade-facts 13.9.
    void read_leg(Row& row, navdata::ProcedureKind kind) {
        navdata::Leg leg;
        const std::string airport = row.required_word(7, 10, "airport ident");
        row.required_word(14, 19, "procedure ident");
        leg.sequence =
            static_cast<std::uint32_t>(row.required_number({27, 29, "sequence number", "", 1.0, 0.0, 999.0}));
        if (const auto terminator = navdata::path_terminator(std::string(row.raw(48, 49)))) {
            leg.terminator = *terminator;
        } else {
            row.refuse("read.unknown_path_terminator", 48,
                       fmt::format("path terminator {} is none of the 23 of ARINC 424-18",
                                   base::in_quotes(row.raw(48, 49))));
        }
        leg.fix = point_name(row, {30, 34, 35, 37, "fix"}, airport);
        leg.recommended = point_name(row, {51, 54, 55, 79, "recommended navaid"}, airport);
        if (leg.terminator == navdata::PathTerminator::RF) {
            leg.centre = point_name(row, {107, 111, 113, 115, "arc centre"}, airport);
        }
        leg.theta = row.course({63, 66, "theta", "degrees", 10.0, 0.0, whole_circle_deg});
        if (const auto rho = row.number({67, 70, "rho", "NM", 10.0, 0.0, longest_leg_nm})) {
            leg.rho = Length::nautical_miles(*rho);
        }
        leg.course = row.course({71, 74, "course", "degrees", 10.0, 0.0, whole_circle_deg});
        if (row.letter(75) == 'T') {
            leg.time = base::minutes(row.required_number({76, 78, "leg time", "min", 10.0, 0.0, 99.9}));
        } else if (const auto distance = row.number({75, 78, "distance", "NM", 10.0, 0.0, longest_leg_nm})) {
            leg.distance = Length::nautical_miles(*distance);
        }
        if (const auto radius = row.number({57, 62, "arc radius", "NM", 1000.0, 0.0, 999.999})) {
            leg.arc_radius = Length::nautical_miles(*radius);
        }
        leg.turn = turn(row);
        leg.altitude_1 = row.altitude(85, "altitude 1");
        leg.altitude_2 = row.altitude(90, "altitude 2");
        leg.altitude_rule = altitude_rule(row, leg.altitude_1.has_value());
        if (const auto limit = row.number({100, 102, "speed limit", "kt", 1.0, 1.0, 999.0})) {
            leg.speed_limit = base::Speed::knots(*limit);
        }
        if (const auto angle = row.number({103, 106, "vertical angle", "degrees", 100.0, -9.99, 9.99})) {
            leg.vertical_angle = Angle::degrees(*angle);
        }
        leg.description = std::string(row.raw(40, 43));
        leg.origin = origin();
        if (row.refused()) {
            report(row.fault());
            refuse_procedure(row, kind);
            return;
        }
        navdata::Procedure& procedure = records().procedures[procedure_of(row, kind)];
        const char route_type = row.letter(20);
        const std::string_view transition = trimmed(row.raw(21, 25));
        const auto found = std::find_if(procedure.branches.rbegin(), procedure.branches.rend(),
                                        [&](const navdata::Branch& b) {
                                            return b.route_type == route_type && b.transition == transition;
                                        });
        // An approach's own part tells its qualifiers; a SID or STAR has them on any row.
        const bool own = kind != navdata::ProcedureKind::approach || transition.empty();
        if (procedure.qualifiers.empty() && own) {
            procedure.qualifiers = std::string(row.raw(119, 120));
        }
        if (found != procedure.branches.rend()) {
            found->legs.push_back(std::move(leg));
        } else {
            navdata::Branch& branch = procedure.branches.emplace_back();
            branch.route_type = route_type;
            branch.transition = std::string(transition);
            branch.legs.reserve(rows_of_branch());
            branch.legs.push_back(std::move(leg));
        }
        used();
    }

    // Trade-facts 13.11: up to seven sectors of eleven columns from column 43.
    void read_sector_altitude(Row& row) {
        if (repeated(row, 7, 23, "minimum sector altitude")) {
            return;
        }
        navdata::MinimumSectorAltitude msa;
        msa.airport = row.required_word(7, 10, "airport ident");
        if (const auto centre = point_name(row, {14, 18, 19, 21, "centre"}, msa.airport)) {
            msa.centre = *centre;
        } else {
            row.missing(14, 18, "centre ident");
        }
        if (row.letter(120) != 'M' && row.letter(120) != ' ') {
            row.unknown_letter(120, 120, "north of the sector bearings", "M (magnetic)");
        }
        for (std::size_t at = 43; at <= 109 && !row.refused(); at += 11) {
            if (row.blank(at, at + 10)) {
                continue;
            }
            navdata::SafeSector sector;
            sector.from = base::MagneticBearing::degrees(
                row.required_number({at, at + 2, "sector bearing", "degrees", 1.0, 0.0, whole_circle_deg}));
            sector.to = base::MagneticBearing::degrees(row.required_number(
                {at + 3, at + 5, "sector bearing", "degrees", 1.0, 0.0, whole_circle_deg}));
            sector.altitude =
                Altitude::feet(100.0 * row.required_number({at + 6, at + 8, "sector altitude",
                                                            "hundreds of feet", 1.0, 0.0, 660.0}));
            sector.radius = Length::nautical_miles(
                row.required_number({at + 9, at + 10, "sector radius", "NM", 1.0, 1.0, 99.0}));
            msa.sectors.push_back(sector);
        }
        if (msa.sectors.empty()) {
            row.missing(43, 53, "first sector");
        }
        msa.origin = origin();
        keep(row, records().sector_altitudes, std::move(msa));
    }

    // Trade-facts 13.12: thirty cells eastward from the starting corner.
    void read_grid_row(Row& row) {
        if (repeated(row, 5, 20, "grid row")) {
            return;
        }
        const double south = signed_degrees(row, 14, 16, 'N', 'S', 90.0, "starting latitude");
        const double west = signed_degrees(row, 17, 20, 'E', 'W', 180.0, "starting longitude");
        std::vector<navdata::GridMinimum> cells;
        for (std::size_t cell = 0; cell < 30 && !row.refused(); ++cell) {
            const std::size_t at = 31 + 3 * cell;
            navdata::GridMinimum minimum;
            int longitude = static_cast<int>(west) + static_cast<int>(cell);
            longitude = longitude >= 180 ? longitude - 360 : longitude;
            minimum.south_deg = static_cast<std::int16_t>(south);
            minimum.west_deg = static_cast<std::int16_t>(longitude);
            if (row.raw(at, at + 2) != "UNK") {
                minimum.altitude =
                    Altitude::feet(100.0 * row.required_number({at, at + 2, "grid minimum",
                                                                "hundreds of feet", 1.0, 0.0, 660.0}));
            }
            minimum.origin = origin();
            cells.push_back(minimum);
        }
        if (row.refused()) {
            report(row.fault());
            seen_.erase(key_);
            return;
        }
        records().grid_minimums.insert(records().grid_minimums.end(), cells.begin(), cells.end());
        used();
    }

    static double signed_degrees(Row& row, std::size_t first, std::size_t last, char positive, char negative,
                                 double limit, std::string_view what) {
        const char letter = row.letter(first);
        if (letter != positive && letter != negative) {
            row.unknown_letter(first, last, what,
                               fmt::format("{} or {} before the digits", positive, negative));
            return 0.0;
        }
        const double value = row.required_number({first + 1, last, what, "degrees", 1.0, 0.0, limit});
        return letter == positive ? value : -value;
    }

    void finish() {
        join_distances_to_localizers();
        sort_by_sequence();
        drop_refused_procedures();
        fill_far_ends(records().runways);
        date_source();
    }

    static std::string key_of(const navdata::Station& station) {
        return station.airport + '/' + station.ident;
    }

    void join_distances_to_localizers() {
        std::unordered_map<std::string, std::size_t> localizers;
        if (!distances_of_localizers_.empty()) {
            for (std::size_t i = 0; i < records().stations.size(); ++i) {
                if (navdata::Station& station = records().stations[i];
                    std::holds_alternative<navdata::LocalizerAzimuth>(station.azimuth)) {
                    localizers.emplace(key_of(station), i);
                }
            }
        }
        for (navdata::Station& distance : distances_of_localizers_) {
            const std::size_t line = distance.origins.front().line;
            const auto found = localizers.find(key_of(distance));
            if (found == localizers.end()) {
                remark("remark.localizer_missing",
                       fmt::format("the file has no localizer {} at {}; its DME is kept alone",
                                   distance.ident, base::in_quotes(distance.airport)),
                       line, 14);
                records().stations.push_back(std::move(distance));
                continue;
            }
            navdata::Station& localizer = records().stations[found->second];
            if (localizer.frequency != distance.frequency) {
                remark("remark.frequencies_differ",
                       fmt::format("the DME of {} at {} is paired with {:.2f} MHz, its localizer has {:.2f} "
                                   "MHz; its DME is "
                                   "kept alone",
                                   distance.ident, distance.airport, distance.frequency.megahertz(),
                                   localizer.frequency.megahertz()),
                       line, 23);
                records().stations.push_back(std::move(distance));
                continue;
            }
            localizer.dme = distance.dme;
            localizer.name = std::move(distance.name);
            localizer.out_of_service = distance.out_of_service;
            localizer.origins.insert(localizer.origins.end(), distance.origins.begin(),
                                     distance.origins.end());
        }
    }

    void drop_refused_procedures() {
        for (const Refusal& refusal : refusals_) {
            navdata::Procedure& procedure = records().procedures[refusal.procedure];
            const bool transition_only =
                procedure.kind == navdata::ProcedureKind::approach && !refusal.transition.empty();
            std::erase_if(procedure.branches, [&](const navdata::Branch& branch) {
                const bool hit = !transition_only || (branch.route_type == refusal.route_type &&
                                                      branch.transition == refusal.transition);
                if (hit) {
                    for (const navdata::Leg& leg : branch.legs) {
                        reading_.counts.used -= 1;
                        report({"read.incomplete_procedure",
                                fmt::format("{} of {} has lost a leg and is not used", procedure.ident,
                                            procedure.airport),
                                27},
                               leg.origin.line);
                    }
                }
                return hit;
            });
        }
        std::erase_if(records().procedures, [](const navdata::Procedure& p) { return p.branches.empty(); });
    }

    void sort_by_sequence() {
        const auto earlier = [](const navdata::AirwayRow& a, const navdata::AirwayRow& b) {
            return std::tie(a.area, a.designator, a.sequence) < std::tie(b.area, b.designator, b.sequence);
        };
        sort_and_drop_repeated(records().airway_rows, earlier, [&](const navdata::AirwayRow& row) {
            return fmt::format("airway row {} {} of area {}", row.designator, row.sequence, row.area);
        });
        const auto before = [](const navdata::Leg& a, const navdata::Leg& b) {
            return a.sequence < b.sequence;
        };
        for (std::size_t i = 0; i < records().procedures.size(); ++i) {
            navdata::Procedure& procedure = records().procedures[i];
            for (navdata::Branch& branch : procedure.branches) {
                const bool open = sort_and_drop_repeated(branch.legs, before, [&](const navdata::Leg& leg) {
                    return fmt::format("leg {} of {} at {}", leg.sequence, procedure.ident,
                                       procedure.airport);
                });
                if (open) {
                    // The same sequence number with other words leaves open which leg is meant.
                    refusals_.push_back({i, branch.route_type, branch.transition});
                }
            }
        }
    }

    /// Of things that are neither before nor behind each other the first one read stays; whether one dropped said anything
    /// else (columns 30-120) than the one that stays.
    template <class Thing, class Before, class Name>
    bool sort_and_drop_repeated(std::vector<Thing>& things, Before before, Name name) {
        // Strictly ascending, as publishers keep them: nothing to do.
        if (std::adjacent_find(things.begin(), things.end(), [&](const Thing& a, const Thing& b) {
                return !before(a, b);
            }) == things.end()) {
            return false;
        }
        std::stable_sort(things.begin(), things.end(), before);
        bool said_otherwise = false;
        const auto words = [&](const Thing& thing) { return lines_[thing.origin.line - 1].substr(29, 91); };
        std::size_t kept = 0;
        for (std::size_t i = 1; i < things.size(); ++i) {
            if (before(things[kept], things[i])) {
                ++kept;
                if (kept != i) {
                    things[kept] = std::move(things[i]);
                }
                continue;
            }
            reading_.counts.used -= 1;
            report({"read.duplicate_record",
                    fmt::format("{} stands on line {} already; the first is used", name(things[kept]),
                                things[kept].origin.line),
                    27},
                   things[i].origin.line);
            said_otherwise = said_otherwise || words(things[i]) != words(things[kept]);
        }
        things.resize(kept + 1);
        return said_otherwise;
    }

    void date_source() {
        navdata::Source& source = records().sources.front();
        const std::optional<AiracCycle> cycle = header_cycle_ ? header_cycle_ : newest_row_cycle_;
        if (!cycle) {
            remark("remark.no_cycle",
                   "neither a header nor any row gives a cycle: the date of this file is not known", 1, 1);
            return;
        }
        source.cycle = cycle->text();
        source.reference_year = decimal_year(cycle->effective());
        source.validity = fmt::format("AIRAC cycle {}, {} to {}", cycle->text(), to_text(cycle->effective()),
                                      to_text(cycle->last_day()));
        if (!header_cycle_) {
            source.validity += " (newest cycle on its rows; the file has no header)";
            remark("remark.no_header",
                   fmt::format("the file has no header; its cycle is taken as {}, the newest on its rows",
                               cycle->text()),
                   1, 1);
        }
    }

    std::string_view bytes_;
    const base::Progress& progress_;
    std::pmr::monotonic_buffer_resource pool_;
    std::pmr::unordered_map<std::string_view, std::uint32_t> seen_;      // key columns -> line
    std::pmr::unordered_map<std::string_view, std::size_t> procedures_;  // columns 7-19 -> index
    std::vector<std::string_view> lines_;
    std::vector<navdata::Station> distances_of_localizers_;
    std::vector<Refusal> refusals_;
    std::string_view last_procedure_key_;
    std::size_t last_procedure_ = 0;
    std::string_view last_cycle_;
    std::optional<AiracCycle> header_cycle_;
    std::optional<AiracCycle> newest_row_cycle_;
    std::string_view key_;  // of the record being read
    std::uint32_t line_ = 0;
    Reading reading_;
};

}  // namespace

Reading read_arinc424(std::string_view bytes, navdata::Source source, const base::Progress& progress) {
    return Arinc424Reader(bytes, std::move(source), progress).read();
}

bool looks_like_arinc424(std::string_view bytes) {
    for (int row = 0; row < 50 && !bytes.empty(); ++row) {
        const std::size_t end = std::min(bytes.find('\n'), bytes.size());
        std::string_view line = bytes.substr(0, end);
        bytes.remove_prefix(std::min(end + 1, bytes.size()));
        while (!line.empty() && (line.back() == '\r' || line.back() == ' ')) {
            line.remove_suffix(1);
        }
        const bool record = line.size() == row_length && (line[0] == 'S' || line[0] == 'T') &&
                            std::string_view("ADEHPRTU").find(line[4]) != std::string_view::npos;
        if (record || line.substr(0, 3) == "HDR") {
            return true;
        }
    }
    return false;
}

}  // namespace omniway::readers
