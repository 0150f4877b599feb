#include "readers/errors_toml.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <tuple>
#include <type_traits>
#include <utility>

#include <fmt/format.h>
#include <toml++/toml.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"
#include "readers/file_bytes.hpp"

namespace omniway::readers {

using base::Angle;
using base::Length;
using base::Speed;
using rehearsal::Errors;
using rehearsal::Skill;

namespace {

constexpr std::uintmax_t greatest_size = std::uintmax_t{1} << 20U;

template <class Taken>
struct Key {
    std::string_view name;
    double low;
    double high;
    std::string_view unit;
    void (*take)(Taken&, double);
};

// The ranges catch a slip of unit or decimal point, not an unusual world. Common practice, no source.
constexpr std::array<Key<Errors>, 16> keys{
    {{"vor_station_deg", 0, 20, "degrees", [](Errors& e, double v) { e.vor_station = Angle::degrees(v); }},
     {"vor_receiver_deg", 0, 20, "degrees", [](Errors& e, double v) { e.vor_receiver = Angle::degrees(v); }},
     {"ndb_station_deg", 0, 30, "degrees", [](Errors& e, double v) { e.ndb_station = Angle::degrees(v); }},
     {"adf_deg", 0, 30, "degrees", [](Errors& e, double v) { e.adf = Angle::degrees(v); }},
     {"localizer_deg", 0, 5, "degrees", [](Errors& e, double v) { e.localizer = Angle::degrees(v); }},
     {"wander_deg", 0, 20, "degrees", [](Errors& e, double v) { e.wander = Angle::degrees(v); }},
     {"wander_for_s", 10, 3600, "s", [](Errors& e, double v) { e.wander_for = base::Duration(v); }},
     {"dme_fixed_nm", 0, 5, "NM", [](Errors& e, double v) { e.dme_fixed = Length::nautical_miles(v); }},
     {"dme_share", 0, 0.2, "of the distance", [](Errors& e, double v) { e.dme_share = v; }},
     {"wind_kt", 0, 100, "kt", [](Errors& e, double v) { e.wind = Speed::knots(v); }},
     {"wind_for_min", 1, 600, "min", [](Errors& e, double v) { e.wind_for = base::minutes(v); }},
     {"gusts_kt", 0, 50, "kt", [](Errors& e, double v) { e.gusts = Speed::knots(v); }},
     {"heading_drift_in_an_hour_deg", 0, 90, "degrees",
      [](Errors& e, double v) { e.heading_drift = Angle::degrees(v); }},
     {"compass_deg", 0, 30, "degrees", [](Errors& e, double v) { e.compass = Angle::degrees(v); }},
     {"altimeter_ft", 0, 1000, "ft", [](Errors& e, double v) { e.altimeter = Length::feet(v); }},
     {"airspeed_share", 0, 0.3, "of the airspeed", [](Errors& e, double v) { e.airspeed_share = v; }}}};

constexpr std::array<Key<Skill>, 8> skill_keys{
    {{"reaction_s", 0, 30, "s", [](Skill& s, double v) { s.reaction = base::Duration(v); }},
     {"scan_s", 0, 3, "s", [](Skill& s, double v) { s.scan = base::Duration(v); }},
     {"tuning_s", 0, 120, "s", [](Skill& s, double v) { s.tuning = base::Duration(v); }},
     {"setting_course_s", 0, 60, "s", [](Skill& s, double v) { s.setting_course = base::Duration(v); }},
     {"intercept_deg", 10, 90, "degrees", [](Skill& s, double v) { s.intercept = Angle::degrees(v); }},
     {"far_intercept_deg", 10, 90, "degrees",
      [](Skill& s, double v) { s.far_intercept = Angle::degrees(v); }},
     {"heading_reset_min", 1, 600, "min", [](Skill& s, double v) { s.heading_reset = base::minutes(v); }},
     {"blunders_share", 0, 1, "of the actions", [](Skill& s, double v) { s.blunders = v; }}}};

constexpr std::string_view skill_table = "skill";

struct Fault {
    toml::source_position at;
    base::Error error;
};

class File {
public:
    explicit File(const std::string& name) : name_(name) {}

    void add(const toml::source_position& at, std::string code, std::string message) {
        faults_.push_back(
            {at, {std::move(code), std::move(message), fmt::format("{}:{}:{}", name_, at.line, at.column)}});
    }

    template <class Taken, std::size_t N>
    void take_each(const toml::table& table, const std::array<Key<Taken>, N>& known, Taken& taken) {
        for (const auto& [written, node] : table) {
            const auto key = std::find_if(known.begin(), known.end(),
                                          [&](const Key<Taken>& each) { return each.name == written.str(); });
            if (key != known.end()) {
                take(*key, node, taken);
            } else if (!(std::is_same_v<Taken, Errors> && written.str() == skill_table && node.is_table())) {
                unknown(written, known);
            }
        }
    }

    template <class Taken>
    void take(const Key<Taken>& key, const toml::node& node, Taken& taken) {
        std::optional<double> value;
        if (const auto* whole = node.as_integer()) {
            value = static_cast<double>(whole->get());
        } else if (const auto* decimal = node.as_floating_point()) {
            value = decimal->get();
        }
        if (!value) {
            add(node.source().begin, "errors_file.wrong_type",
                fmt::format("{} is no number: a number of {} is expected", key.name, key.unit));
        } else if (!(*value >= key.low && *value <= key.high)) {  // not a number is in no range
            add(node.source().begin, "errors_file.out_of_range",
                fmt::format("{} = {} {} is outside the allowed range {} to {} {}", key.name, *value, key.unit,
                            key.low, key.high, key.unit));
        } else {
            key.take(taken, *value);
        }
    }

    template <class Taken, std::size_t N>
    void unknown(const toml::key& written, const std::array<Key<Taken>, N>& known) {
        std::vector<std::string> names;
        for (const Key<Taken>& key : known) {
            names.emplace_back(key.name);
        }
        std::vector<std::string> near = base::near_matches(written.str(), names);
        for (const std::string& name : names) {
            // The unit left off.
            if (near.empty() && written.str().size() >= 3 && name.starts_with(written.str())) {
                near.push_back(name);
            }
        }
        add(written.source().begin, "errors_file.unknown_key",
            fmt::format(
                "unknown key {}: {}", base::in_quotes(written.str()),
                near.empty() ? "the keys are listed in docs/errors-file.md" : base::did_you_mean(near)));
    }

    std::vector<base::Error> in_order() && {
        std::stable_sort(faults_.begin(), faults_.end(), [](const Fault& a, const Fault& b) {
            return std::tie(a.at.line, a.at.column) < std::tie(b.at.line, b.at.column);
        });
        std::vector<base::Error> errors;
        for (Fault& fault : faults_) {
            errors.push_back(std::move(fault.error));
        }
        return errors;
    }

private:
    const std::string& name_;
    std::vector<Fault> faults_;
};

}  // namespace

tl::expected<ErrorsAndSkill, std::vector<base::Error>> read_errors(std::string_view text,
                                                                   const std::string& file_name) {
    File file(file_name);
    toml::table root;
    try {
        root = toml::parse(text, file_name);
    } catch (const toml::parse_error& error) {
        file.add(error.source().begin, "errors_file.not_toml",
                 fmt::format("not a TOML file: {}", base::in_quotes(error.description(), 200)));
        return tl::unexpected(std::move(file).in_order());
    }
    ErrorsAndSkill read{rehearsal::no_errors(), {}};
    file.take_each(root, keys, read.errors);
    if (const toml::table* skill = root[skill_table].as_table()) {
        file.take_each(*skill, skill_keys, read.skill);
    }
    if (auto faults = std::move(file).in_order(); !faults.empty()) {
        return tl::unexpected(std::move(faults));
    }
    return read;
}

tl::expected<ErrorsAndSkill, std::vector<base::Error>> read_errors_file(const std::string& file) {
    const auto bytes = file_bytes(file, greatest_size, "the errors of a rehearsal");
    if (!bytes) {
        return tl::unexpected(std::vector<base::Error>{bytes.error()});
    }
    return read_errors(*bytes, file);
}

}  // namespace omniway::readers
