#include "wire/detail/reading.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"

namespace omniway::wire::detail {

namespace {

constexpr std::size_t most_told = 20;
constexpr std::size_t longest_text = 1000;

constexpr auto station_kinds = std::to_array<std::string_view>(
    {"VOR", "VOR/DME", "TACAN", "DME", "NDB", "NDB/DME", "LOC", "LOC/DME", "ILS", "ILS/DME", "LDA", "LDA/DME",
     "LDA/GS", "LDA/GS/DME", "SDF", "SDF/DME", "SDF/GS", "SDF/GS/DME"});

bool is_control(unsigned char c) {
    return c < 0x20 || c == 0x7f;
}

bool is_station_ident(const std::string& text) {
    return !text.empty() && text.size() <= 4 && std::all_of(text.begin(), text.end(), [](char c) {
        return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
    });
}

// What is wrong with a text of that form; empty where nothing is.
std::string text_fault(const std::string& text, TextForm form) {
    if (text.size() > longest_text) {
        return fmt::format("has {} bytes; allowed are at most {}", text.size(), longest_text);
    }
    if (std::any_of(text.begin(), text.end(),
                    [](char c) { return is_control(static_cast<unsigned char>(c)); })) {
        return "has a control character; allowed is printable text";
    }
    if (form == TextForm::station_ident && !is_station_ident(text)) {
        return "is no ident; allowed are 1 to 4 capital letters or digits";
    }
    if (form == TextForm::station_kind &&
        std::find(station_kinds.begin(), station_kinds.end(), text) == station_kinds.end()) {
        return fmt::format("is no kind of station; allowed are {}", fmt::join(station_kinds, ", "));
    }
    return {};
}

// RFC 6901, section 3.
std::string escaped(std::string_view name) {
    std::string text;
    for (const char c : name) {
        text += c == '~' ? "~0" : c == '/' ? "~1" : std::string(1, c);
    }
    return text;
}

}  // namespace

void Faults::add(std::string code, std::string message, const std::string& pointer) {
    if (errors_.size() < most_told) {
        errors_.push_back({std::move(code), std::move(message), document_ + "#" + pointer});
    }
}

std::string Reading::type_of(const Json& json) {
    switch (json.type()) {
        case Json::value_t::null:
            return "null";
        case Json::value_t::object:
            return "an object";
        case Json::value_t::array:
            return "a list";
        case Json::value_t::string:
            return "the text " + base::in_quotes(json.get_ref<const std::string&>());
        case Json::value_t::boolean:
            return json.get<bool>() ? "true" : "false";
        default:
            return json.dump();
    }
}

const Json* Reading::member_if_there(const char* name) {
    if (std::find(known_.begin(), known_.end(), name) == known_.end()) {
        known_.emplace_back(name);
    }
    const auto found = json_.find(name);
    return found == json_.end() ? nullptr : &*found;
}

const Json* Reading::member(const char* name) {
    const Json* json = member_if_there(name);
    if (json == nullptr) {
        faults_.add("card.missing",
                    fmt::format("{} is missing; a card gives every property, null where there is none", name),
                    pointer_);
    }
    return json;
}

std::string Reading::pointer_to(std::string_view name) const {
    return pointer_ + "/" + escaped(name);
}

void Reading::fault(const char* code, const std::string& message, const char* name) {
    faults_.add(code, message, pointer_to(name));
}

bool Reading::wrong_type(const char* name, const Json& json, const char* wanted) {
    fault("card.wrong_type", fmt::format("{} is {}; {} is wanted", name, type_of(json), wanted), name);
    return false;
}

bool Reading::is_list(const char* name, const Json& json) {
    return json.is_array() || wrong_type(name, json, "a list");
}

bool Reading::steps_within(const char* name, const Json& json, double per, double low, double high,
                           std::string_view unit, double& read) {
    if (!json.is_number()) {
        return wrong_type(name, json, "a number");
    }
    read = json.get<double>();
    const double steps = read * per;
    // Tenths are not exact in binary: 22.8 is 228 of them but for the last bits.
    if (read >= low && read <= high && std::abs(steps - std::round(steps)) < 1e-6 * std::max(1.0, per)) {
        return true;
    }
    const std::string space = unit.empty() ? "" : " ";
    fault("card.out_of_range",
          fmt::format("{} is {}{}{}; allowed are {} to {}{}{} in steps of {}", name, json.dump(), space, unit,
                      low, high, space, unit, 1.0 / per),
          name);
    return false;
}

std::optional<std::size_t> Reading::index_of(const char* name, const Json& json,
                                             std::span<const std::string_view> words, bool or_null) {
    if (!json.is_string()) {
        wrong_type(name, json, or_null ? "a word or null" : "a word");
        return std::nullopt;
    }
    const std::string& text = json.get_ref<const std::string&>();
    const auto found = std::find(words.begin(), words.end(), text);
    if (found != words.end()) {
        return static_cast<std::size_t>(found - words.begin());
    }
    fault("card.unknown_word",
          fmt::format("{} is {}; allowed are {}{}", name, base::in_quotes(text), fmt::join(words, ", "),
                      or_null ? " or null" : ""),
          name);
    return std::nullopt;
}

void Reading::text(const char* name, std::string& value, TextForm form) {
    const Json* json = member(name);
    if (json == nullptr) {
        return;
    }
    if (!json->is_string()) {
        wrong_type(name, *json, "a text");
        return;
    }
    const std::string& text = json->get_ref<const std::string&>();
    const std::string wrong = text_fault(text, form);
    if (!wrong.empty()) {
        fault("card.text_form", fmt::format("{} {} {}", name, base::in_quotes(text), wrong), name);
        return;
    }
    value = text;
}

void Reading::text_or_null(const char* name, std::optional<std::string>& value) {
    const Json* json = member_if_there(name);
    value.reset();
    if (json != nullptr && json->is_null()) {
        return;
    }
    text(name, value.emplace());
}

void Reading::text_unless_empty(const char* name, std::string& value) {
    value.clear();
    if (member_if_there(name) != nullptr) {
        text(name, value);
    }
}

void Reading::flag(const char* name, bool& value) {
    const Json* json = member(name);
    if (json != nullptr && (json->is_boolean() || wrong_type(name, *json, "true or false"))) {
        value = json->get<bool>();
    }
}

void Reading::count(const char* name, int& value, int least, int most) {
    const Json* json = member(name);
    double read = 0.0;
    if (json != nullptr && steps_within(name, *json, 1.0, least, most, "", read)) {
        value = static_cast<int>(std::lround(read));
    }
}

void Reading::count_unless_none(const char* name, std::optional<int>& value, int least, int most) {
    value.reset();
    if (member_if_there(name) != nullptr) {
        count(name, value.emplace(least), least, most);
    }
}

void Reading::follows(const char* name, const std::string& value, const char* from) {
    const Json* json = member(name);
    if (json != nullptr && (!json->is_string() || json->get_ref<const std::string&>() != value)) {
        fault("card.contradiction",
              fmt::format("{} is {}; by {} it is '{}'", name, type_of(*json), from, value), name);
    }
}

void Reading::ascending(const char* name, const std::vector<weather::WindAt>& levels,
                        weather::WindsAloft& winds) {
    const auto not_above = [](const weather::WindAt& a, const weather::WindAt& b) {
        return !(a.altitude < b.altitude);
    };
    const Json* json = member_if_there(name);
    if (levels.empty()) {
        if (json == nullptr || !json->is_array()) {
            return;  // told already
        }
        fault("card.contradiction", "the winds have no level; give one, 0 kt for no wind", name);
    } else if (std::adjacent_find(levels.begin(), levels.end(), not_above) != levels.end()) {
        fault("card.contradiction", "the winds are not in order; each level stands above the one before it",
              name);
    } else {
        winds = weather::WindsAloft(levels);
    }
}

void Reading::one_at_most(std::optional<procedure::Visibility>& visibility) {
    constexpr double farthest_miles = 20.0;
    constexpr double farthest_metres = 30000.0;
    constexpr double farthest_feet = 10000.0;
    visibility.reset();
    int given = 0;
    double read = 0.0;
    const auto there = [&](const char* name, double per, double high, const char* unit) {
        const Json* json = member_if_there(name);
        given += json == nullptr ? 0 : 1;
        return json != nullptr && steps_within(name, *json, per, 0.0, high, unit, read);
    };
    if (there("visibility_sm", 1000.0, farthest_miles, "SM")) {
        visibility = procedure::StatuteMiles{read};
    }
    if (there("visibility_m", 1.0, farthest_metres, "m")) {
        visibility = procedure::VisibilityMetres{read};
    }
    if (there("runway_visual_range_ft", 1.0, farthest_feet, "ft")) {
        visibility = procedure::RunwayVisualRange{base::Length::feet(read)};
    }
    if (given > 1) {
        faults_.add("card.contradiction", "a minimum gives its visibility in one unit; leave the others out",
                    pointer_);
    }
}

void Reading::finish() {
    if (takes_anything_) {
        return;
    }
    for (const auto& [name, value] : json_.items()) {
        if (std::find(known_.begin(), known_.end(), name) != known_.end()) {
            continue;
        }
        const std::string near = base::did_you_mean(base::near_matches(name, known_));
        faults_.add(
            "card.not_known",
            fmt::format("{} does not belong here{}", base::in_quotes(name),
                        near.empty() ? "; the properties are " + fmt::format("{}", fmt::join(known_, ", "))
                                     : ": " + near),
            pointer_to(name));
    }
}

}  // namespace omniway::wire::detail
