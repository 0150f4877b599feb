#include "readers/aircraft_toml.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <fstream>
#include <optional>
#include <set>
#include <span>
#include <system_error>
#include <utility>

#include <fmt/format.h>
#include <toml++/toml.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"

namespace omniway::readers {

namespace {

constexpr std::size_t greatest_size = 1U << 20U;
constexpr std::size_t most_receivers = 3;
constexpr std::size_t longest_name = 60;

struct Range {
    double low;
    double high;
    std::string_view unit;
};

enum class Need { required, optional };

template <class Meaning>
struct Word {
    std::string_view text;
    Meaning meaning;
};

std::string_view kind_of(const toml::node& node) {
    switch (node.type()) {
        case toml::node_type::string:
            return "a text";
        case toml::node_type::integer:
        case toml::node_type::floating_point:
            return "a number";
        case toml::node_type::boolean:
            return "true or false";
        case toml::node_type::date:
        case toml::node_type::time:
        case toml::node_type::date_time:
            return "a date or time";
        case toml::node_type::array:
            return "a list";
        case toml::node_type::table:
            return "a table";
        case toml::node_type::none:
            break;
    }
    return "nothing";
}

/// What is wrong with one file, gathered in any order.
class Faults {
public:
    explicit Faults(std::string file_name) : file_name_(std::move(file_name)) {}

    void add(const toml::source_position& at, std::string code, std::string message) {
        faults_.push_back({at.line, at.column,
                           base::Error{.code = std::move(code),
                                       .message = std::move(message),
                                       .where = fmt::format("{}:{}:{}", file_name_, at.line, at.column)}});
    }
    bool none() const { return faults_.empty(); }
    std::vector<base::Error> in_order_of_the_file() && {
        std::stable_sort(faults_.begin(), faults_.end(), [](const Fault& a, const Fault& b) {
            return std::pair(a.line, a.column) < std::pair(b.line, b.column);
        });
        std::vector<base::Error> errors;
        errors.reserve(faults_.size());
        for (Fault& fault : faults_) {
            errors.push_back(std::move(fault.error));
        }
        return errors;
    }

private:
    struct Fault {
        toml::source_index line;
        toml::source_index column;
        base::Error error;
    };
    std::string file_name_;
    std::vector<Fault> faults_;
};

/// One table of the file, asked for its keys one by one; close() then tells which it lacks and which nobody
/// asked for.
class Table {
public:
    /// `called` is how messages name it, as "receiver 2"; empty for the file itself.
    Table(const toml::table& table, std::string called, Faults& faults)
        : table_(table), called_(std::move(called)), faults_(faults) {}

    std::optional<double> number(std::string_view key, Range range, Need need = Need::required) {
        const toml::node* node =
            find(key, need, fmt::format("a number from {} to {} {}", range.low, range.high, range.unit));
        if (node == nullptr) {
            return std::nullopt;
        }
        std::optional<double> value;
        if (const auto* whole = node->as_integer()) {
            value = static_cast<double>(whole->get());
        } else if (const auto* decimal = node->as_floating_point()) {
            value = decimal->get();
        }
        if (!value) {
            wrong_type(key, *node, fmt::format("a number of {}", range.unit));
            return std::nullopt;
        }
        if (!(*value >= range.low && *value <= range.high)) {  // not a number is in no range
            faults_.add(node->source().begin, "aircraft.out_of_range",
                        fmt::format("{} = {} {} is outside the allowed range {} to {} {}", named(key), *value,
                                    range.unit, range.low, range.high, range.unit));
            return std::nullopt;
        }
        return value;
    }

    std::optional<bool> yes_or_no(std::string_view key, Need need) {
        const toml::node* node = find(key, need, "true or false");
        if (node == nullptr) {
            return std::nullopt;
        }
        if (!node->is_boolean()) {
            wrong_type(key, *node, "true or false");
            return std::nullopt;
        }
        return node->value<bool>();
    }

    std::optional<std::string> name(std::string_view key) {
        const toml::node* node = find(key, Need::required, "the aircraft's name");
        if (node == nullptr) {
            return std::nullopt;
        }
        if (!node->is_string()) {
            wrong_type(key, *node, "a text in quotation marks");
            return std::nullopt;
        }
        std::string value = node->value<std::string>().value_or("");
        const bool one_line = std::none_of(value.begin(), value.end(), [](char c) {
            const auto byte = static_cast<unsigned char>(c);
            return byte < 0x20 || byte == 0x7F;
        });
        if (value.empty() || value.size() > longest_name || !one_line) {
            faults_.add(node->source().begin, "aircraft.out_of_range",
                        fmt::format("{} = {} must be one line of 1 to {} bytes", named(key),
                                    base::in_quotes(value), longest_name));
            return std::nullopt;
        }
        return value;
    }

    /// One of a closed list of words; `aside`, where it has something to say about a wrong word, is asked for
    /// it.
    template <class Meaning, std::size_t n>
    std::optional<Meaning> word(std::string_view key, const std::array<Word<Meaning>, n>& words, Need need,
                                std::string_view (*aside)(std::string_view wrong) = nullptr) {
        std::string allowed;
        std::vector<std::string> known;
        for (const Word<Meaning>& one : words) {
            allowed += fmt::format("{}\"{}\"", known.empty() ? "" : (known.size() + 1 == n ? " or " : ", "),
                                   one.text);
            known.emplace_back(one.text);
        }
        const toml::node* node = find(key, need, allowed);
        if (node == nullptr) {
            return std::nullopt;
        }
        if (!node->is_string()) {
            wrong_type(key, *node, allowed);
            return std::nullopt;
        }
        const std::string written = node->value<std::string>().value_or("");
        for (const Word<Meaning>& one : words) {
            if (one.text == written) {
                return one.meaning;
            }
        }
        std::string hint = base::did_you_mean(base::near_matches(written, known));
        if (hint.empty() && aside != nullptr) {
            hint = aside(written);
        }
        faults_.add(node->source().begin, "aircraft.unknown_word",
                    fmt::format("{} = {} is not known; allowed: {}{}{}", named(key), base::in_quotes(written),
                                allowed, hint.empty() ? "" : "; ", hint));
        return std::nullopt;
    }

    /// The tables of a [[key]] list, none where the key is absent; empty where it is something else, which
    /// has been told.
    std::optional<std::vector<const toml::table*>> list(std::string_view key) {
        asked_.emplace(key);
        const toml::node* node = table_.get(key);
        if (node == nullptr) {
            return std::vector<const toml::table*>();
        }
        std::optional<std::vector<const toml::table*>> tables(std::in_place);
        const std::string expected = fmt::format("a list of tables: write [[{}]]", key);
        const toml::array* array = node->as_array();
        if (array == nullptr) {
            wrong_type(key, *node, expected);
            return std::nullopt;
        }
        for (const toml::node& entry : *array) {
            if (!entry.is_table()) {
                wrong_type(key, entry, expected);
                return std::nullopt;
            }
            tables->push_back(entry.as_table());
        }
        return tables;
    }

    bool has(std::string_view key) const { return table_.contains(key); }

    /// Where a key's value stands, or the table where it has none.
    toml::source_position place(std::string_view key) const {
        const toml::node* node = table_.get(key);
        return (node == nullptr ? table_.source() : node->source()).begin;
    }

    void missing(std::string_view key, std::string_view what) {
        faults_.add(table_.source().begin, "aircraft.missing_key",
                    fmt::format("{} is missing: {}", named(key), what));
    }

    void contradiction(std::string_view key, const std::string& message) {
        faults_.add(place(key), "aircraft.contradiction",
                    called_.empty() ? message : fmt::format("{}: {}", called_, message));
    }

    void close() {
        std::vector<std::string> absent;
        std::vector<std::string> known(asked_.begin(), asked_.end());
        for (const std::string& key : known) {
            if (!table_.contains(key)) {
                absent.push_back(key);
            }
        }
        std::set<std::string> meant;
        for (const auto& [key, node] : table_) {
            const std::string_view written = key.str();
            if (asked_.contains(std::string(written))) {
                continue;
            }
            std::vector<std::string> near = suggestions(written, absent);
            if (near.empty()) {
                near = suggestions(written, known);
            } else {
                meant.insert(near.front());
            }
            const std::string hint =
                near.empty() ? "the keys are listed in docs/aircraft-file.md" : base::did_you_mean(near);
            faults_.add(key.source().begin, "aircraft.unknown_key",
                        fmt::format("unknown key {}{}: {}", base::in_quotes(written),
                                    called_.empty() ? "" : " in " + called_, hint));
        }
        for (const auto& [key, what] : lacking_) {
            if (!meant.contains(key)) {  // its misspelling has been told already
                missing(key, what);
            }
        }
    }

private:
    const toml::node* find(std::string_view key, Need need, std::string what) {
        asked_.emplace(key);
        const toml::node* node = table_.get(key);
        if (node == nullptr && need == Need::required) {
            lacking_.emplace_back(key, std::move(what));
        }
        return node;
    }

    void wrong_type(std::string_view key, const toml::node& node, std::string_view expected) {
        faults_.add(node.source().begin, "aircraft.wrong_type",
                    fmt::format("{} is {}, expected {}", named(key), kind_of(node), expected));
    }

    std::string named(std::string_view key) const {
        return called_.empty() ? std::string(key) : fmt::format("{} of {}", key, called_);
    }

    /// Keys that were meant: near by spelling, or with the unit left off ("ceiling" for "ceiling_ft").
    static std::vector<std::string> suggestions(std::string_view written, std::span<const std::string> keys) {
        std::vector<std::string> near = base::near_matches(written, keys);
        for (const std::string& key : keys) {
            if (near.empty() && written.size() >= 3 && key.starts_with(written)) {
                near.push_back(key);
            }
        }
        return near;
    }

    const toml::table& table_;
    std::string called_;
    Faults& faults_;
    std::set<std::string> asked_;
    std::vector<std::pair<std::string, std::string>> lacking_;
};

// The ranges are wide: they catch a slip of unit or decimal point, not an unusual aircraft. Common practice,
// no source.
constexpr Range airspeeds{30, 400, "kt"};
constexpr Range mach_numbers{0.2, 0.95, "Mach"};
constexpr Range rates{50, 10000, "ft/min"};
constexpr Range fuel_flows{1, 30000, "lb/h"};
constexpr Range true_airspeeds{40, 600, "kt"};

cockpit::NavigationReceiver read_receiver(const toml::table& table, std::size_t number, Faults& faults) {
    constexpr std::array<Word<cockpit::CourseIndicator>, 2> indicators{
        {{"cdi", cockpit::CourseIndicator::cdi}, {"hsi", cockpit::CourseIndicator::hsi}}};
    Table keys(table, fmt::format("receiver {}", number), faults);
    cockpit::NavigationReceiver receiver;
    receiver.indicator =
        keys.word("indicator", indicators, Need::required).value_or(cockpit::CourseIndicator::cdi);
    const std::optional<bool> localizer = keys.yes_or_no("localizer", Need::required);
    const std::optional<bool> glideslope = keys.yes_or_no("glideslope", Need::required);
    receiver.localizer = localizer.value_or(false);
    receiver.glideslope = glideslope.value_or(false);
    if (localizer && glideslope && *glideslope && !*localizer) {
        keys.contradiction("glideslope",
                           "a glideslope is received only with a localizer: set localizer = true or "
                           "glideslope = false");
    }
    keys.close();
    return receiver;
}

std::string_view aside_on_dme(std::string_view wrong) {
    return wrong.find("hold") != std::string_view::npos
               ? "HOLD keeps the channel of a DME that follows a receiver: write \"follows with hold\""
               : "leave the key out where there is no DME";
}

std::string_view aside_on_adf(std::string_view) {
    return "leave the key out where there is no ADF";
}

cockpit::Equipment read_equipment(Table& keys, Faults& faults) {
    using cockpit::AdfIndicator;
    using cockpit::DmeControl;
    constexpr std::array<Word<DmeControl>, 3> dme_controls{
        {{"own control", DmeControl::own_control},
         {"follows", DmeControl::follows_receiver},
         {"follows with hold", DmeControl::follows_receiver_with_hold}}};
    constexpr std::array<Word<AdfIndicator>, 3> adf_indicators{{{"fixed card", AdfIndicator::fixed_card},
                                                                {"movable card", AdfIndicator::movable_card},
                                                                {"rmi", AdfIndicator::rmi}}};
    cockpit::Equipment aboard;
    const auto receiver_tables = keys.list("receiver");
    const std::vector<const toml::table*> receivers =
        receiver_tables.value_or(std::vector<const toml::table*>());
    for (std::size_t i = 0; i < receivers.size(); ++i) {
        if (i == most_receivers) {
            faults.add(receivers[i]->source().begin, "aircraft.out_of_range",
                       fmt::format("{} [[receiver]] tables are outside the allowed range 0 to {}",
                                   receivers.size(), most_receivers));
            break;
        }
        aboard.receivers.push_back(read_receiver(*receivers[i], i + 1, faults));
    }
    aboard.dme = keys.word("dme", dme_controls, Need::optional, aside_on_dme);
    aboard.adf = keys.word("adf", adf_indicators, Need::optional, aside_on_adf);
    aboard.marker_receiver = keys.yes_or_no("marker", Need::optional).value_or(false);
    if (aboard.dme && *aboard.dme != DmeControl::own_control && receiver_tables && receivers.empty()) {
        keys.contradiction("dme", "the DME follows a receiver, but there is no [[receiver]]");
    }
    return aboard;
}

/// Refuses a climb or descent that no air could carry out: steeper than it is fast, or faster than sound at
/// the ceiling.
void check_passage(Table& keys, std::string_view which, std::optional<double> airspeed_kt,
                   std::optional<double> mach, std::optional<double> rate_fpm,
                   std::optional<double> ceiling_ft) {
    const std::string airspeed_key = fmt::format("{}_kias", which);
    if (airspeed_kt && rate_fpm &&
        base::VerticalSpeed::feet_per_minute(*rate_fpm).metres_per_second() >=
            base::Speed::knots(*airspeed_kt).metres_per_second()) {
        const std::string rate_key = fmt::format("{}_fpm", which);
        keys.contradiction(
            rate_key, fmt::format("{} = {} ft/min is more than {} = {} kt could carry straight up", rate_key,
                                  *rate_fpm, airspeed_key, *airspeed_kt));
    }
    if (airspeed_kt && ceiling_ft && !mach) {
        const base::PressureAltitude ceiling = base::PressureAltitude::feet(*ceiling_ft);
        const base::Temperature temperature = weather::standard_temperature(ceiling);
        const base::Speed at_ceiling =
            weather::true_airspeed(weather::CalibratedAirspeed::knots(*airspeed_kt), ceiling, temperature);
        const double share = at_ceiling / weather::speed_of_sound(temperature);
        if (share > mach_numbers.high) {
            keys.contradiction(
                airspeed_key,
                fmt::format("{} = {} kt would be Mach {:.2f} at the ceiling of {} ft: give {}_mach, {} "
                            "to {}, at which it changes over",
                            airspeed_key, *airspeed_kt, share, *ceiling_ft, which, mach_numbers.low,
                            mach_numbers.high));
        }
    }
}

std::optional<weather::Mach> as_mach(std::optional<double> number) {
    return number ? std::optional(weather::Mach::number(*number)) : std::nullopt;
}

std::vector<aircraft::CruisePoint> read_cruise(Table& keys, std::optional<double> ceiling_ft,
                                               Faults& faults) {
    std::vector<aircraft::CruisePoint> points;
    const auto point = [&](double altitude_ft, std::optional<double> speed_kt,
                           std::optional<double> flow_pph) {
        points.push_back({.altitude = base::Altitude::feet(altitude_ft),
                          .true_airspeed = base::Speed::knots(speed_kt.value_or(0.0)),
                          .fuel_flow = base::MassFlow::pounds_per_hour(flow_pph.value_or(0.0))});
    };
    const auto list = keys.list("cruise");
    const std::vector<const toml::table*> tables = list.value_or(std::vector<const toml::table*>());
    const bool one_speed = keys.has("cruise_ktas") || keys.has("cruise_pph");
    if (tables.empty()) {
        // One speed at all altitudes; not asked for where [[cruise]] was meant and has been refused.
        const Need need = list ? Need::required : Need::optional;
        const std::optional<double> speed_kt = keys.number("cruise_ktas", true_airspeeds, need);
        point(0.0, speed_kt, keys.number("cruise_pph", fuel_flows, need));
        return points;
    }
    keys.number("cruise_ktas", true_airspeeds, Need::optional);
    keys.number("cruise_pph", fuel_flows, Need::optional);
    if (one_speed) {
        keys.contradiction(
            keys.has("cruise_ktas") ? "cruise_ktas" : "cruise_pph",
            "cruise is given twice: by cruise_ktas and cruise_pph, or by [[cruise]] tables, not both");
    }
    std::optional<double> below_ft;
    for (std::size_t i = 0; i < tables.size(); ++i) {
        Table row(*tables[i], fmt::format("cruise {}", i + 1), faults);
        const std::optional<double> altitude_ft = row.number("altitude_ft", {0, 60000, "ft"});
        const std::optional<double> speed_kt = row.number("ktas", true_airspeeds);
        point(altitude_ft.value_or(0.0), speed_kt, row.number("pph", fuel_flows));
        if (altitude_ft && ceiling_ft && *altitude_ft > *ceiling_ft) {
            row.contradiction("altitude_ft", fmt::format("altitude_ft = {} ft is above ceiling_ft = {} ft",
                                                         *altitude_ft, *ceiling_ft));
        }
        if (altitude_ft && below_ft && *altitude_ft <= *below_ft) {
            row.contradiction("altitude_ft",
                              fmt::format("altitude_ft = {} ft is not above the {} ft of the table before: "
                                          "[[cruise]] tables go upward",
                                          *altitude_ft, *below_ft));
        }
        if (altitude_ft) {
            below_ft = altitude_ft;
        }
        row.close();
    }
    return points;
}

aircraft::Performance read_performance(Table& keys, Faults& faults) {
    const auto airspeed = [](std::optional<double> kt) {
        return weather::CalibratedAirspeed::knots(kt.value_or(0.0));
    };
    const auto rate = [](std::optional<double> fpm) {
        return base::VerticalSpeed::feet_per_minute(fpm.value_or(0.0));
    };
    const auto flow = [](std::optional<double> pph) {
        return base::MassFlow::pounds_per_hour(pph.value_or(0.0));
    };

    const std::optional<double> ceiling_ft = keys.number("ceiling_ft", {1000, 60000, "ft"});
    const std::optional<double> climb_kias = keys.number("climb_kias", airspeeds);
    const std::optional<double> climb_mach = keys.number("climb_mach", mach_numbers, Need::optional);
    const std::optional<double> climb_fpm = keys.number("climb_fpm", rates);
    const std::optional<double> climb_ceiling_fpm = keys.number("climb_ceiling_fpm", rates);
    const std::optional<double> climb_pph = keys.number("climb_pph", fuel_flows);
    const std::optional<double> descent_kias = keys.number("descent_kias", airspeeds);
    const std::optional<double> descent_mach = keys.number("descent_mach", mach_numbers, Need::optional);
    const std::optional<double> descent_fpm = keys.number("descent_fpm", rates);
    const std::optional<double> descent_pph = keys.number("descent_pph", fuel_flows);
    const std::optional<double> approach_kias = keys.number("approach_kias", {30, 220, "kt"});

    aircraft::Performance performance;
    performance.service_ceiling = base::Altitude::feet(ceiling_ft.value_or(0.0));
    performance.climb = {.airspeed = airspeed(climb_kias),
                         .mach_limit = as_mach(climb_mach),
                         .rate_at_sea_level = rate(climb_fpm),
                         .rate_at_ceiling = rate(climb_ceiling_fpm),
                         .fuel_flow = flow(climb_pph)};
    performance.cruise = read_cruise(keys, ceiling_ft, faults);
    performance.descent = {.airspeed = airspeed(descent_kias),
                           .mach_limit = as_mach(descent_mach),
                           .rate = rate(descent_fpm),
                           .fuel_flow = flow(descent_pph)};
    performance.approach_speed = airspeed(approach_kias);

    if (climb_fpm && climb_ceiling_fpm && *climb_ceiling_fpm > *climb_fpm) {
        keys.contradiction(
            "climb_ceiling_fpm",
            fmt::format("climb_ceiling_fpm = {} ft/min is more than climb_fpm = {} ft/min at sea level",
                        *climb_ceiling_fpm, *climb_fpm));
    }
    check_passage(keys, "climb", climb_kias, climb_mach, climb_fpm, ceiling_ft);
    check_passage(keys, "descent", descent_kias, descent_mach, descent_fpm, ceiling_ft);
    const base::Speed slowest_cruise = performance.cruise.front().true_airspeed;
    if (approach_kias && slowest_cruise > base::Speed() &&
        base::Speed::knots(*approach_kias) > slowest_cruise) {
        keys.contradiction("approach_kias",
                           fmt::format("approach_kias = {} kt is faster than the cruise, {:g} kt",
                                       *approach_kias, slowest_cruise.knots()));
    }
    return performance;
}

aircraft::Fuel read_fuel(Table& keys) {
    const std::optional<double> usable_lb = keys.number("fuel_usable_lb", {1, 400000, "lb"});
    const std::optional<double> taxi_lb = keys.number("fuel_taxi_lb", {0, 10000, "lb"});
    const std::optional<double> reserve_min = keys.number("reserve_min", {0, 240, "min"});
    if (usable_lb && taxi_lb && *taxi_lb >= *usable_lb) {
        keys.contradiction("fuel_taxi_lb",
                           fmt::format("fuel_taxi_lb = {} lb leaves nothing of fuel_usable_lb = {} lb",
                                       *taxi_lb, *usable_lb));
    }
    return {.usable = base::Mass::pounds(usable_lb.value_or(0.0)),
            .taxi = base::Mass::pounds(taxi_lb.value_or(0.0)),
            .reserve = base::minutes(reserve_min.value_or(0.0))};
}

}  // namespace

AircraftOrFaults read_aircraft(std::string_view text, const std::string& file_name) {
    Faults faults(file_name);
    toml::table root;
    try {
        root = toml::parse(text, file_name);
    } catch (const toml::parse_error& error) {
        faults.add(error.source().begin, "aircraft.not_toml",
                   fmt::format("not a TOML file: {}", base::in_quotes(error.description(), 200)));
        return tl::unexpected(std::move(faults).in_order_of_the_file());
    }

    Table keys(root, "", faults);
    aircraft::Aircraft aircraft;
    aircraft.name = keys.name("name").value_or("");
    aircraft.equipment = read_equipment(keys, faults);
    aircraft.performance = read_performance(keys, faults);
    aircraft.fuel = read_fuel(keys);
    aircraft.runway_need = {
        .take_off = base::Length::feet(keys.number("takeoff_ft", {100, 20000, "ft"}).value_or(0.0)),
        .landing = base::Length::feet(keys.number("landing_ft", {100, 20000, "ft"}).value_or(0.0))};
    aircraft.wind_limits = {
        .crosswind = base::Speed::knots(keys.number("crosswind_kt", {0, 60, "kt"}).value_or(0.0)),
        .tailwind = base::Speed::knots(keys.number("tailwind_kt", {0, 30, "kt"}).value_or(0.0))};
    keys.close();
    if (!faults.none()) {
        return tl::unexpected(std::move(faults).in_order_of_the_file());
    }
    return aircraft;
}

AircraftOrFaults read_aircraft_file(const std::filesystem::path& file) {
    const auto unreadable = [&](std::string_view why) {
        return tl::unexpected(
            std::vector<base::Error>{{.code = "aircraft.unreadable",
                                      .message = fmt::format("cannot read the aircraft file: {}", why),
                                      .where = file.string()}});
    };
    std::error_code error;
    const std::filesystem::file_status status = std::filesystem::status(file, error);
    if (!std::filesystem::exists(status)) {
        return unreadable("there is no such file");
    }
    if (std::filesystem::is_directory(status)) {
        return unreadable("it is a folder");
    }
    std::ifstream stream(file, std::ios::binary);
    if (!stream) {
        return unreadable("it may not be opened");
    }
    std::string text(greatest_size + 1, '\0');
    stream.read(text.data(), static_cast<std::streamsize>(text.size()));
    if (stream.bad()) {
        return unreadable("reading it failed");
    }
    text.resize(static_cast<std::size_t>(stream.gcount()));
    if (text.size() > greatest_size) {
        return unreadable("it is larger than the allowed 1 MiB");
    }
    return read_aircraft(text, file.string());
}

}  // namespace omniway::readers
