#include "readers/ourairports.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <span>
#include <system_error>
#include <unordered_map>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "earth/geodesic.hpp"
#include "readers/csv.hpp"
#include "readers/runway_ends.hpp"

namespace omniway::readers {

namespace {

using base::Altitude;
using base::Angle;
using base::Frequency;
using base::Length;

constexpr double lowest_ground_ft = -1500.0;  // the Dead Sea shore is near -1,400 ft
constexpr double highest_ground_ft = 30000.0;
constexpr double longest_runway_ft = 30000.0;
// Two ends of one runway point opposite ways; volunteers round to a degree, and grid convergence is small.
constexpr double largest_misfit_deg = 5.0;

struct Limits {
    std::string_view what;
    std::string_view unit;
    double minimum;
    double maximum;
};

/// Where the named columns stand in this file.
class Header {
public:
    explicit Header(const CsvReader::Record& record) {
        for (std::size_t i = 0; i < record.fields.size(); ++i) {
            columns_.emplace(std::string(record.fields[i].text), i);
        }
    }
    bool has(std::string_view name) const { return columns_.find(name) != columns_.end(); }
    std::size_t column(std::string_view name) const {
        const auto found = columns_.find(name);
        return found == columns_.end() ? absent : found->second;
    }
    std::size_t size() const { return columns_.size(); }
    static constexpr std::size_t absent = static_cast<std::size_t>(-1);

private:
    std::map<std::string, std::size_t, std::less<>> columns_;
};

/// A name as UTF-8 of one line, from UTF-8 or, where it is not that, from latin-1.
std::string clean_name(std::string_view text) {
    std::string name(text);
    std::replace_if(
        name.begin(), name.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20; }, ' ');
    // in_quotes() shows text as it is exactly where it is UTF-8.
    return base::in_quotes(name, name.size()) == '\'' + name + '\'' ? name : utf8_from_latin_1(name);
}

/// The fields of one record by column; the first fault met is kept, as in a fixed-column row.
class Fields {
public:
    explicit Fields(const CsvReader::Record& record) : record_(record) {}

    std::string_view text(std::size_t column) const {
        return column < record_.fields.size() ? record_.fields[column].text : std::string_view();
    }
    std::string name(std::size_t column) const { return clean_name(text(column)); }

    void refuse(std::string code, std::size_t column, std::string message) {
        if (!refused_) {
            refused_ = true;
            code_ = std::move(code);
            message_ = std::move(message);
            column_ = column;
        }
    }
    bool refused() const { return refused_; }
    base::Error error(const std::string& file) const {
        const bool placed = column_ < record_.fields.size();
        return {code_, message_,
                fmt::format("{}:{}:{}", file, placed ? record_.fields[column_].line : record_.line,
                            placed ? record_.fields[column_].column : 1)};
    }

    std::string required(std::size_t column, std::string_view what) {
        const std::string_view found = text(column);
        if (found.empty()) {
            refuse("read.value_missing", column,
                   fmt::format("the {} is empty, and this record is of no use without it", what));
        }
        return std::string(found);
    }

    std::optional<double> number(std::size_t column, const Limits& limits) {
        const std::string_view found = text(column);
        if (found.empty()) {
            return std::nullopt;
        }
        double value = 0.0;
        const auto [end, fault] = std::from_chars(found.data(), found.data() + found.size(), value);
        if (fault != std::errc() || end != found.data() + found.size() || !std::isfinite(value)) {
            refuse("read.not_a_number", column,
                   fmt::format("the {} {} is not a number; allowed {:g} to {:g} {}", limits.what,
                               base::in_quotes(found), limits.minimum, limits.maximum, limits.unit));
            return std::nullopt;
        }
        if (value < limits.minimum || value > limits.maximum) {
            refuse("read.out_of_range", column,
                   fmt::format("the {} is {} {}; allowed {:g} to {:g}", limits.what, found, limits.unit,
                               limits.minimum, limits.maximum));
            return std::nullopt;
        }
        return value;
    }

    double required_number(std::size_t column, const Limits& limits) {
        const std::optional<double> value = number(column, limits);
        if (!value) {
            required(column, limits.what);
        }
        return value.value_or(0.0);
    }

    std::optional<earth::Position> position(std::size_t latitude, std::size_t longitude) {
        const auto north = number(latitude, {"latitude", "degrees", -90.0, 90.0});
        const auto east = number(longitude, {"longitude", "degrees", -180.0, 180.0});
        return north && east ? std::optional(earth::Position::degrees(*north, *east)) : std::nullopt;
    }

    earth::Position required_position(std::size_t latitude, std::size_t longitude) {
        required(latitude, "latitude");
        required(longitude, "longitude");
        return position(latitude, longitude).value_or(earth::Position());
    }

    std::optional<Altitude> ground(std::size_t column) {
        const auto value = number(column, {"elevation", "ft", lowest_ground_ft, highest_ground_ft});
        return value ? std::optional(Altitude::feet(*value)) : std::nullopt;
    }

private:
    const CsvReader::Record& record_;
    bool refused_ = false;
    std::string code_;
    std::string message_;
    std::size_t column_ = 0;
};

bool is_capital_or_digit(char c) {
    return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

/// "4L" and "04L" are RW04L; nothing for helipads, compass points and other names.
std::optional<std::string> runway_ident(std::string_view text) {
    std::size_t digits = 0;
    int number = 0;
    while (digits < text.size() && digits < 3 && text[digits] >= '0' && text[digits] <= '9') {
        number = number * 10 + (text[digits] - '0');
        ++digits;
    }
    if (digits == 0 || digits > 2 || number < 1 || number > 36) {
        return std::nullopt;
    }
    const std::string_view side = text.substr(digits);
    if (side.size() > 1 || (side.size() == 1 && (side[0] < 'A' || side[0] > 'Z'))) {
        return std::nullopt;
    }
    return fmt::format("RW{:02}{}", number, side);
}

// docs/service-classes.md: the power of the table says the class, its use only tells locators.
navdata::ServiceClass vhf_service(std::string_view power) {
    if (power == "HIGH") {
        return navdata::ServiceClass::high;
    }
    if (power == "MEDIUM") {
        return navdata::ServiceClass::low;
    }
    if (power == "LOW") {
        return navdata::ServiceClass::terminal;
    }
    return navdata::ServiceClass::unknown;
}

navdata::ServiceClass ndb_service(std::string_view power, std::string_view use) {
    if (power == "HIGH") {
        return navdata::ServiceClass::ndb_high;
    }
    if (power == "MEDIUM") {
        return navdata::ServiceClass::ndb;
    }
    if (power == "LOW") {
        return use == "TERMINAL" ? navdata::ServiceClass::compass_locator : navdata::ServiceClass::ndb_medium;
    }
    return navdata::ServiceClass::unknown;
}

std::span<const std::string_view> needed_columns(OurAirportsTable table) {
    static constexpr std::array<std::string_view, 6> navaids = {
        "ident", "type", "frequency_khz", "latitude_deg", "longitude_deg", "power"};
    static constexpr std::array<std::string_view, 4> airports = {"ident", "type", "latitude_deg",
                                                                 "longitude_deg"};
    static constexpr std::array<std::string_view, 4> runways = {"airport_ident", "length_ft", "le_ident",
                                                                "he_ident"};
    static constexpr std::array<std::string_view, 3> frequencies = {"airport_ident", "type", "frequency_mhz"};
    switch (table) {
        case OurAirportsTable::navaids:
            return navaids;
        case OurAirportsTable::airports:
            return airports;
        case OurAirportsTable::runways:
            return runways;
        case OurAirportsTable::frequencies:
            break;
    }
    return frequencies;
}

std::optional<OurAirportsTable> table_of(const Header& header) {
    const auto any = [&](std::initializer_list<std::string_view> names) {
        return std::any_of(names.begin(), names.end(),
                           [&](std::string_view name) { return header.has(name); });
    };
    if (any({"le_ident", "he_ident", "le_heading_degT"})) {
        return OurAirportsTable::runways;
    }
    if (any({"slaved_variation_deg", "usageType", "dme_channel"})) {
        return OurAirportsTable::navaids;
    }
    if (any({"gps_code", "iata_code", "scheduled_service"})) {
        return OurAirportsTable::airports;
    }
    if (any({"frequency_mhz"})) {
        return OurAirportsTable::frequencies;
    }
    return std::nullopt;
}

class OurAirportsReader {
public:
    OurAirportsReader(std::string_view bytes, navdata::Source source, const VariationAt& variation_at,
                      const base::Progress& progress)
        : bytes_(bytes), csv_(bytes), variation_at_(variation_at), progress_(progress) {
        source.format = "OurAirports CSV";
        source.checksum = checksum_of(bytes);
        file_ = source.file;
        year_.value = source.reference_year;
        reading_.value.sources.push_back(std::move(source));
    }

    base::Result<OurAirportsReading> read() {
        if (!csv_.next(record_) || record_.fault != CsvReader::Fault::none) {
            return not_recognised();
        }
        const Header header(record_);
        const std::optional<OurAirportsTable> table = table_of(header);
        if (!table) {
            return not_recognised();
        }
        std::string missing;
        for (const std::string_view name : needed_columns(*table)) {
            if (!header.has(name)) {
                missing += missing.empty() ? "" : ", ";
                missing += name;
            }
        }
        if (!missing.empty()) {
            return base::failure(
                "read.column_missing",
                fmt::format("the header row does not name the column {}; take the file as OurAirports "
                            "publishes it",
                            missing),
                file_ + ":1:1");
        }
        switch (*table) {
            case OurAirportsTable::navaids:
                read_rows(header, &OurAirportsReader::read_navaid, navaid_columns);
                break;
            case OurAirportsTable::airports:
                read_rows(header, &OurAirportsReader::read_airport, airport_columns);
                keep_unambiguous_location_indicators();
                break;
            case OurAirportsTable::runways:
                read_rows(header, &OurAirportsReader::read_runway, runway_columns);
                break;
            case OurAirportsTable::frequencies:
                read_rows(header, &OurAirportsReader::read_communication, frequency_columns);
                break;
        }
        return std::move(reading_);
    }

private:
    // The columns of each table, in the order of the enumerations below.
    static constexpr std::array<std::string_view, 17> navaid_columns = {"ident",
                                                                        "name",
                                                                        "type",
                                                                        "frequency_khz",
                                                                        "latitude_deg",
                                                                        "longitude_deg",
                                                                        "elevation_ft",
                                                                        "dme_channel",
                                                                        "dme_frequency_khz",
                                                                        "dme_latitude_deg",
                                                                        "dme_longitude_deg",
                                                                        "dme_elevation_ft",
                                                                        "slaved_variation_deg",
                                                                        "magnetic_variation_deg",
                                                                        "usageType",
                                                                        "power",
                                                                        "associated_airport"};
    enum Navaid : std::size_t {
        navaid_ident,
        navaid_name,
        navaid_type,
        navaid_frequency,
        navaid_latitude,
        navaid_longitude,
        navaid_elevation,
        navaid_dme_channel,
        navaid_dme_frequency,
        navaid_dme_latitude,
        navaid_dme_longitude,
        navaid_dme_elevation,
        navaid_declination,
        navaid_variation,
        navaid_use,
        navaid_power,
        navaid_airport
    };
    static constexpr std::array<std::string_view, 7> airport_columns = {
        "ident", "type", "name", "latitude_deg", "longitude_deg", "elevation_ft", "gps_code"};
    enum Airport : std::size_t {
        airport_ident,
        airport_type,
        airport_name,
        airport_latitude,
        airport_longitude,
        airport_elevation,
        airport_gps_code
    };
    static constexpr std::array<std::string_view, 15> runway_columns = {
        "airport_ident",   "length_ft",       "closed",
        "le_ident",        "le_latitude_deg", "le_longitude_deg",
        "le_elevation_ft", "le_heading_degT", "le_displaced_threshold_ft",
        "he_ident",        "he_latitude_deg", "he_longitude_deg",
        "he_elevation_ft", "he_heading_degT", "he_displaced_threshold_ft"};
    static constexpr std::size_t runway_airport = 0;
    static constexpr std::size_t runway_length = 1;
    static constexpr std::size_t runway_closed = 2;
    static constexpr std::size_t runway_low = 3;
    static constexpr std::size_t runway_high = 9;
    // From runway_low or runway_high on.
    static constexpr std::size_t end_latitude = 1;
    static constexpr std::size_t end_longitude = 2;
    static constexpr std::size_t end_elevation = 3;
    static constexpr std::size_t end_heading = 4;
    static constexpr std::size_t end_displaced = 5;
    static constexpr std::array<std::string_view, 4> frequency_columns = {"airport_ident", "type",
                                                                          "description", "frequency_mhz"};
    enum FrequencyColumn : std::size_t { frequency_airport, frequency_type, frequency_name, frequency_value };

    tl::unexpected<base::Error> not_recognised() const {
        return base::failure(
            "read.file_not_recognised",
            "the first row names no column of OurAirports' navaids, airports, runways or frequencies",
            file_ + ":1:1");
    }

    navdata::Records& records() { return reading_.value; }
    navdata::Origin origin() const { return {base::Id<navdata::Source>{0}, record_.line}; }
    std::size_t at(std::size_t column) const { return columns_[column]; }

    void report(base::Error error) {
        reading_.counts.not_used[error.code] += 1;
        reading_.diagnostics.push_back(std::move(error));
    }

    void remark(std::string code, std::string message) {
        reading_.counts.remarks += 1;
        reading_.diagnostics.push_back(
            {std::move(code), std::move(message), fmt::format("{}:{}:1", file_, record_.line)});
    }

    template <std::size_t Number>
    void read_rows(const Header& header, void (OurAirportsReader::*read_row)(Fields&),
                   const std::array<std::string_view, Number>& names) {
        for (const std::string_view name : names) {
            columns_.push_back(header.column(name));
        }
        while (csv_.next(record_)) {
            if (reading_.counts.rows % 8192 == 0) {
                const auto done = static_cast<double>(csv_.offset());
                progress_.at("reading", done / static_cast<double>(bytes_.size()));
                if (progress_.cancelled()) {
                    reading_.counts.rows += 1;
                    report({"read.cancelled", "reading was cancelled here",
                            fmt::format("{}:{}:1", file_, record_.line)});
                    return;
                }
            }
            reading_.counts.rows += 1;
            if (record_.fault != CsvReader::Fault::none) {
                report(
                    {record_.fault == CsvReader::Fault::quote_not_closed ? "read.quote_not_closed"
                                                                         : "read.text_after_quote",
                     record_.fault == CsvReader::Fault::quote_not_closed
                         ? "a quote is opened here and never closed (RFC 4180)"
                         : "after a closing quote only a comma or the end of the line may follow (RFC 4180)",
                     fmt::format("{}:{}:{}", file_, record_.fault_line, record_.fault_column)});
                continue;
            }
            if (record_.fields.size() != header.size()) {
                report({"read.wrong_field_count",
                        fmt::format("the row has {} fields; the header row names {}", record_.fields.size(),
                                    header.size()),
                        fmt::format("{}:{}:1", file_, record_.line)});
                continue;
            }
            Fields fields(record_);
            const std::size_t before = reading_.counts.used;
            (this->*read_row)(fields);
            if (reading_.counts.used == before) {
                report(fields.error(file_));
            }
        }
    }

    bool repeated(Fields& fields, std::string key, std::string_view what, std::size_t column) {
        const auto [found, fresh] = seen_.emplace(std::move(key), record_.line);
        if (!fresh) {
            fields.refuse("read.duplicate_record", column,
                          fmt::format("{} {} stands on line {} already; the first is used", what,
                                      base::in_quotes(fields.text(column)), found->second));
        }
        return !fresh;
    }

    static std::string station_ident(Fields& fields, std::size_t column) {
        std::string ident = fields.required(column, "ident");
        if (ident.size() > 4 || !std::all_of(ident.begin(), ident.end(), is_capital_or_digit)) {
            fields.refuse(
                "read.bad_ident", column,
                fmt::format(
                    "the ident {} cannot be sent in Morse; allowed are one to four capital letters or "
                    "digits",
                    base::in_quotes(ident)));
        }
        return ident;
    }

    /// The variation at a place at the source's date, or as the row has it where there is no model.
    std::optional<base::Variation> variation(Fields& fields, earth::Position place) {
        const auto published =
            fields.number(at(navaid_variation), {"magnetic variation", "degrees", -180.0, 180.0});
        if (fields.refused()) {
            return std::nullopt;
        }
        if (variation_at_) {
            return variation_at_(place, year_);
        }
        return published ? std::optional(base::Variation::east(Angle::degrees(*published))) : std::nullopt;
    }

    void need_variation(Fields& fields) {
        fields.refuse("read.value_missing", at(navaid_declination),
                      "neither a declination nor a magnetic variation is given, and there is no magnetic "
                      "model to take one "
                      "from");
    }

    void read_navaid(Fields& fields) {
        const std::string_view type = fields.text(at(navaid_type));
        const bool has_vor = type.starts_with("VOR");
        const bool is_ndb = type.starts_with("NDB");
        const bool is_tacan = type == "TACAN";
        const bool has_dme =
            is_tacan || type == "DME" || type == "VOR-DME" || type == "VORTAC" || type == "NDB-DME";
        if (!has_dme && type != "VOR" && type != "NDB") {
            fields.refuse(
                "read.unknown_letter", at(navaid_type),
                fmt::format(
                    "the type {} is none that is known here; allowed: VOR, VOR-DME, VORTAC, TACAN, DME, "
                    "NDB, NDB-DME",
                    base::in_quotes(type)));
            return;
        }
        navdata::Station station;
        station.ident = station_ident(fields, at(navaid_ident));
        station.name = fields.name(at(navaid_name));
        const std::string_view use = fields.text(at(navaid_use));
        if (use == "TERMINAL") {
            station.airport = std::string(fields.text(at(navaid_airport)));
        }
        station.origins.push_back(origin());
        const earth::Position place = fields.required_position(at(navaid_latitude), at(navaid_longitude));
        const Limits band = is_ndb    ? Limits{"frequency", "kHz", 190.0, 1750.0}
                            : has_vor ? Limits{"frequency", "kHz", 108000.0, 117950.0}
                                      : Limits{"frequency", "kHz", 108000.0, 135950.0};
        station.frequency = Frequency::kilohertz(fields.required_number(at(navaid_frequency), band));
        const std::string_view power = fields.text(at(navaid_power));
        std::optional<navdata::DistancePart> dme;
        Frequency dme_frequency = station.frequency;
        if (has_dme) {
            dme = distance_part(fields, place, vhf_service(power));
            if (has_vor || is_ndb) {
                dme_frequency = frequency_of_dme(fields, is_ndb, station.frequency);
            }
        }
        const auto declination =
            fields.number(at(navaid_declination), {"slaved variation", "degrees", -180.0, 180.0});
        const std::optional<base::Variation> here = variation(fields, place);
        const bool needs_north = has_vor || is_tacan || is_ndb;
        if (needs_north && !here && (is_ndb || !declination)) {
            need_variation(fields);
        }
        if (fields.refused()) {
            return;
        }
        const base::Declination zero = declination
                                           ? base::Declination::east(Angle::degrees(*declination))
                                           : base::Declination::east(here.value_or(base::Variation()).east());
        if (has_vor) {
            station.azimuth =
                navdata::VorAzimuth{place, zero,
                                    declination ? navdata::DeclinationFrom::record
                                                : navdata::DeclinationFrom::model_at_source_date,
                                    vhf_service(power)};
        } else if (is_tacan) {
            station.azimuth = navdata::TacanAzimuth{place, zero};
        } else if (is_ndb) {
            station.azimuth = navdata::NdbAzimuth{place, *here, ndb_service(power, use)};
        }
        const bool own_channel = (has_vor || is_ndb) && dme && dme_frequency != station.frequency;
        if (dme && !own_channel) {
            station.dme = dme;
        }
        const std::string key =
            fmt::format("{}/{}/{:.0f}/{:.3f}/{:.3f}", station.ident, type, station.frequency.kilohertz(),
                        place.latitude_deg(), place.longitude_deg());
        if (repeated(fields, key, "navaid", at(navaid_ident))) {
            return;
        }
        if (own_channel) {
            navdata::Station alone = station;
            alone.azimuth = std::monostate();
            alone.frequency = dme_frequency;
            alone.dme = dme;
            records().stations.push_back(std::move(alone));
        }
        records().stations.push_back(std::move(station));
        reading_.counts.used += 1;
    }

    navdata::DistancePart distance_part(Fields& fields, earth::Position place,
                                        navdata::ServiceClass service) {
        navdata::DistancePart dme;
        // A blank place or height of the DME means the navaid's own.
        dme.position = fields.position(at(navaid_dme_latitude), at(navaid_dme_longitude)).value_or(place);
        dme.elevation = fields.ground(at(navaid_dme_elevation));
        if (const auto elevation = fields.ground(at(navaid_elevation)); !dme.elevation) {
            dme.elevation = elevation;
        }
        dme.service = service;
        return dme;
    }

    /// By its channel, which cannot be off the grid; else by its frequency; else, for a VOR, as paired with it.
    Frequency frequency_of_dme(Fields& fields, bool of_ndb, Frequency of_station) {
        if (const auto paired = paired_frequency(fields.text(at(navaid_dme_channel)))) {
            // A tenth of the spacing of channels: 113.7 in kHz and 113.70 in MHz are one.
            return abs(*paired - of_station) < Frequency::kilohertz(5.0) ? of_station : *paired;
        }
        const auto given =
            fields.number(at(navaid_dme_frequency), {"DME frequency", "kHz", 108000.0, 135950.0});
        if (given) {
            return Frequency::kilohertz(*given);
        }
        if (of_ndb) {
            fields.refuse("read.value_missing", at(navaid_dme_channel),
                          "the DME of this beacon has neither channel nor frequency");
        }
        return of_station;
    }

    void read_airport(Fields& fields) {
        const std::string_view type = fields.text(at(airport_type));
        if (type == "closed") {
            fields.refuse("read.closed_airport", at(airport_type), "the airport is closed");
            return;
        }
        if (!type.ends_with("_airport") && type != "seaplane_base") {
            fields.refuse("read.section_not_used", at(airport_type),
                          fmt::format("places of type {} are not used", base::in_quotes(type)));
            return;
        }
        navdata::Airport airport;
        airport.ident = fields.required(at(airport_ident), "ident");
        airport.name = fields.name(at(airport_name));
        airport.position = fields.required_position(at(airport_latitude), at(airport_longitude));
        airport.elevation = fields.ground(at(airport_elevation));
        airport.origins.push_back(origin());
        if (fields.refused() || repeated(fields, airport.ident, "airport", at(airport_ident))) {
            return;
        }
        const std::string_view code = fields.text(at(airport_gps_code));
        if (code.size() == 4 && code != airport.ident &&
            std::all_of(code.begin(), code.end(), [](char c) { return c >= 'A' && c <= 'Z'; })) {
            reading_.location_indicators.emplace(airport.ident, std::string(code));
        }
        records().airports.push_back(std::move(airport));
        reading_.counts.used += 1;
    }

    void keep_unambiguous_location_indicators() {
        std::map<std::string, int, std::less<>> claims;
        for (const navdata::Airport& airport : records().airports) {
            claims[airport.ident] += 1;
        }
        for (const auto& [ident, code] : reading_.location_indicators) {
            claims[code] += 1;
        }
        std::erase_if(reading_.location_indicators,
                      [&](const auto& pair) { return claims[pair.second] != 1; });
    }

    navdata::Runway runway_end(Fields& fields, std::size_t first) {
        navdata::Runway runway;
        if (const auto heading =
                fields.number(at(first + end_heading), {"heading", "degrees true", 0.0, 360.0})) {
            runway.true_bearing = base::TrueBearing::degrees(*heading);
        }
        runway.threshold = fields.position(at(first + end_latitude), at(first + end_longitude));
        runway.elevation = fields.ground(at(first + end_elevation));
        runway.displaced =
            Length::feet(fields.number(at(first + end_displaced), {"displaced threshold", "ft", 0.0, 9999.0})
                             .value_or(0.0));
        return runway;
    }

    void read_runway(Fields& fields) {
        const std::string_view closed = fields.text(at(runway_closed));
        if (closed == "1") {
            fields.refuse("read.closed_runway", at(runway_closed), "the runway is closed");
            return;
        }
        const std::string_view low_name = fields.text(at(runway_low));
        const std::string_view high_name = fields.text(at(runway_high));
        const std::optional<std::string> low_ident = runway_ident(low_name);
        const std::optional<std::string> high_ident = runway_ident(high_name);
        if (!low_ident && !high_ident) {
            fields.refuse("read.not_a_runway", at(runway_low),
                          fmt::format("{} is a helipad or a landing area without a number, not a runway",
                                      base::in_quotes(low_name)));
            return;
        }
        const std::string airport = fields.required(at(runway_airport), "airport ident");
        const Length length = Length::feet(
            fields.required_number(at(runway_length), {"runway length", "ft", 1.0, longest_runway_ft}));
        navdata::Runway low = runway_end(fields, runway_low);
        navdata::Runway high = runway_end(fields, runway_high);
        if (fields.refused()) {
            return;
        }
        if (low.displaced + high.displaced >= length) {
            fields.refuse(
                "read.out_of_range", at(runway_low + end_displaced),
                fmt::format("the displaced thresholds, {:.0f} ft and {:.0f} ft, leave nothing of {:.0f} ft",
                            low.displaced.feet(), high.displaced.feet(), length.feet()));
            return;
        }
        if (low_ident && repeated(fields, airport + '/' + *low_ident, "runway", at(runway_low))) {
            return;
        }
        if (high_ident && repeated(fields, airport + '/' + *high_ident, "runway", at(runway_high))) {
            return;
        }
        leave_out_contradictions(low, high, length, airport);
        displace(low, high);
        const auto push = [&](navdata::Runway& runway, const std::optional<std::string>& ident,
                              const std::optional<earth::Position>& far_end, std::string_view name) {
            if (ident) {
                runway.airport = airport;
                runway.ident = *ident;
                runway.length = length;
                runway.far_end = far_end;
                runway.origin = origin();
                records().runways.push_back(runway);
            } else if (!name.empty()) {
                remark("remark.runway_end_without_number",
                       fmt::format("the end {} at {} has no runway number and is left out",
                                   base::in_quotes(name), airport));
            }
        };
        push(low, low_ident, high.threshold, low_name);
        push(high, high_ident, low.threshold, high_name);
        reading_.counts.used += 1;
    }

    /// Headings that are not opposite, and ends too far apart or too near for the length: which of them is wrong the row
    /// does not tell, so none of them is used.
    void leave_out_contradictions(navdata::Runway& low, navdata::Runway& high, Length length,
                                  const std::string& airport) {
        if (low.true_bearing && high.true_bearing) {
            const Angle misfit = *high.true_bearing - low.true_bearing->reciprocal();
            if (abs(misfit) > Angle::degrees(largest_misfit_deg)) {
                remark(
                    "remark.headings_left_out",
                    fmt::format(
                        "the ends of a runway at {} head {:g} and {:g} degrees true, which is not opposite; "
                        "both are left out",
                        airport, low.true_bearing->degrees(), high.true_bearing->degrees()));
                low.true_bearing.reset();
                high.true_bearing.reset();
            }
        }
        if (low.threshold && high.threshold) {
            const Length apart = earth::distance(*low.threshold, *high.threshold);
            if (!fits_length(apart, length, low.displaced + high.displaced)) {
                remark(
                    "remark.runway_ends_left_out",
                    fmt::format(
                        "the ends of a runway at {} are {:.0f} ft apart, and its length is {:.0f} ft; their "
                        "places are left out",
                        airport, apart.feet(), length.feet()));
                low.threshold.reset();
                high.threshold.reset();
            }
        }
    }

    /// The table places the ends of the pavement; landing begins at the displaced threshold.
    static void displace(navdata::Runway& low, navdata::Runway& high) {
        const auto low_end = low.threshold;
        const auto high_end = high.threshold;
        const auto move = [](navdata::Runway& runway, const std::optional<earth::Position>& other) {
            if (!runway.threshold || runway.displaced == Length()) {
                return;
            }
            const auto along =
                other ? std::optional(earth::bearing(*runway.threshold, *other)) : runway.true_bearing;
            if (along) {
                runway.threshold = earth::destination(*runway.threshold, *along, runway.displaced);
            }
        };
        move(low, high_end);
        move(high, low_end);
    }

    void read_communication(Fields& fields) {
        navdata::Communication communication;
        communication.airport = fields.required(at(frequency_airport), "airport ident");
        communication.type = fields.name(at(frequency_type));
        communication.name = fields.name(at(frequency_name));
        const double frequency_mhz =
            fields.required_number(at(frequency_value), {"frequency", "MHz", 2.0, 399.975});
        // Aeronautical HF 2.85-22 MHz, VHF 108-137 MHz (voice of navaids included), UHF 225-400 MHz (ITU Radio Regulations,
        // article 5; from memory).
        const bool in_a_band = (frequency_mhz >= 2.85 && frequency_mhz <= 22.0) ||
                               (frequency_mhz >= 108.0 && frequency_mhz < 137.0) || frequency_mhz >= 225.0;
        if (!fields.refused() && !in_a_band) {
            fields.refuse(
                "read.out_of_range", at(frequency_value),
                fmt::format(
                    "the frequency is {} MHz; aeronautical voice has 2.85 to 22, 108 to 137 and 225 to "
                    "399.975 MHz",
                    fields.text(at(frequency_value))));
        }
        if (fields.refused()) {
            return;
        }
        communication.frequency = Frequency::megahertz(frequency_mhz);
        communication.origin = origin();
        records().communications.push_back(std::move(communication));
        reading_.counts.used += 1;
    }

    std::string_view bytes_;
    CsvReader csv_;
    const VariationAt& variation_at_;
    const base::Progress& progress_;
    std::string file_;
    earth::DecimalYear year_;
    CsvReader::Record record_;
    std::vector<std::size_t> columns_;
    std::unordered_map<std::string, std::uint32_t> seen_;
    OurAirportsReading reading_;
};

}  // namespace

std::optional<OurAirportsTable> ourairports_table(std::string_view bytes) {
    CsvReader csv(bytes);
    CsvReader::Record record;
    if (!csv.next(record) || record.fault != CsvReader::Fault::none) {
        return std::nullopt;
    }
    return table_of(Header(record));
}

base::Result<OurAirportsReading> read_ourairports(std::string_view bytes, navdata::Source source,
                                                  const VariationAt& variation_at,
                                                  const base::Progress& progress) {
    return OurAirportsReader(bytes, std::move(source), variation_at, progress).read();
}

std::optional<base::Frequency> paired_frequency(std::string_view channel) {
    if (channel.size() < 2 || channel.size() > 4 || (channel.back() != 'X' && channel.back() != 'Y')) {
        return std::nullopt;
    }
    int number = 0;
    for (const char c : channel.substr(0, channel.size() - 1)) {
        if (c < '0' || c > '9') {
            return std::nullopt;
        }
        number = number * 10 + (c - '0');
    }
    // In hundredths of a megahertz, so that the sums are exact (trade-facts 10.3).
    int hundredths = 0;
    if (number >= 1 && number <= 16) {
        hundredths = 13440 + 10 * (number - 1);
    } else if (number >= 17 && number <= 59) {
        hundredths = 10800 + 10 * (number - 17);
    } else if (number >= 60 && number <= 69) {
        hundredths = 13330 + 10 * (number - 60);
    } else if (number >= 70 && number <= 126) {
        hundredths = 11230 + 10 * (number - 70);
    } else {
        return std::nullopt;
    }
    hundredths += channel.back() == 'Y' ? 5 : 0;
    return Frequency::megahertz(static_cast<double>(hundredths) / 100.0);
}

}  // namespace omniway::readers
