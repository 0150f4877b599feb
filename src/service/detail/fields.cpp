#include "service/detail/fields.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"

namespace omniway::service::detail {

namespace {

constexpr int deepest = 64;
// A list of names in order is searched from its beginning; no document of ours has an object of a quarter as many.
constexpr std::size_t most_members = 200;
constexpr std::size_t most_faults = 20;
struct TooManyMembers {};
constexpr double exact_in_json = 9007199254740992.0;  // 2^53

// How deep arrays and objects stand in one another: a reader that calls itself for each would run out of stack.
bool is_too_deep(const std::string& body) {
    int depth = 0;
    bool quoted = false;
    for (std::size_t i = 0; i < body.size(); ++i) {
        const char c = body[i];
        if (quoted) {
            i += c == '\\' ? 1 : 0;
            quoted = c != '"';
        } else if (c == '"') {
            quoted = true;
        } else if (c == '{' || c == '[') {
            if (++depth > deepest) {
                return true;
            }
        } else if (c == '}' || c == ']') {
            --depth;
        }
    }
    return false;
}

std::string shown(const Json& value) {
    return base::in_quotes(value.dump(-1, ' ', false, Json::error_handler_t::replace));
}

std::string pointer(const std::string& name) {
    std::string text = "/";
    for (const char c : name) {
        text += c == '~' ? std::string("~0") : c == '/' ? std::string("~1") : std::string(1, c);
    }
    return text;
}

std::string word_of(const Json& value) {
    return value.is_string() ? value.get<std::string>() : value.dump();
}

}  // namespace

base::Result<Json> parse_body(const std::string& body) {
    const auto refuse = [](std::string why) {
        return base::failure("service.body_form", std::move(why), "/");
    };
    if (is_too_deep(body)) {
        return refuse(fmt::format("the body is nested deeper than {}", deepest));
    }
    std::string twice;
    std::vector<std::set<std::string>> names;
    const auto each = [&](int, Json::parse_event_t event, Json& parsed) {
        if (event == Json::parse_event_t::object_start) {
            names.emplace_back();
        } else if (event == Json::parse_event_t::object_end) {
            names.pop_back();
        } else if (event == Json::parse_event_t::key) {
            if (names.back().size() == most_members) {
                throw TooManyMembers();
            }
            if (const auto [name, is_new] = names.back().insert(parsed.get<std::string>()); !is_new) {
                twice = *name;
            }
        }
        return true;
    };
    try {
        Json json = Json::parse(body, each);
        if (!twice.empty()) {
            return refuse(fmt::format("{} stands twice in one object", base::in_quotes(twice)));
        }
        if (!json.is_object()) {
            return refuse(fmt::format("the body is {} and no JSON object", shown(json)));
        }
        return json;
    } catch (const TooManyMembers&) {
        return refuse(fmt::format("an object of the body has more than {} members", most_members));
    } catch (const Json::parse_error& broken) {
        return refuse(fmt::format("the body is no JSON in UTF-8: it breaks off at byte {}", broken.byte));
    } catch (const Json::exception&) {
        return refuse("the body holds a number that no computer holds");
    }
}

const Json* Fields::read(const char* name, const char* option) {
    known_.emplace_back(name, option);
    const auto found = object_.find(name);
    return found == object_.end() || found->is_null() ? nullptr : &*found;
}

void Fields::fault(const char* code, std::string message, std::string where) {
    if (faults_.size() < most_faults) {
        faults_.push_back({code, std::move(message), std::move(where)});
    }
}

void Fields::wrong_type(const char* name, const char* expected) {
    fault("service.field_type", fmt::format("{} is {}: {} is expected", name, shown(object_[name]), expected),
          pointer(name));
}

bool Fields::is_text(const Json& value, std::size_t longest, const std::string& where) {
    if (!value.is_string()) {
        fault("service.field_type", fmt::format("{} is no text: write it in quotes", shown(value)), where);
        return false;
    }
    const auto& text = value.get_ref<const std::string&>();
    if (text.size() > longest) {
        fault("service.field_length",
              fmt::format("{} has {} bytes; at most {} are read here", base::in_quotes(text), text.size(),
                          longest),
              where);
        return false;
    }
    if (text.find('\0') != std::string::npos) {
        fault("service.field_type", "a text may hold no character U+0000", where);
        return false;
    }
    return true;
}

void Fields::text(const char* name, const char* option, std::string& value, std::size_t longest) {
    const Json* found = read(name, option);
    if (found != nullptr && is_text(*found, longest, pointer(name))) {
        value = found->get<std::string>();
    }
}

void Fields::text(const char* name, const char* option, std::optional<std::string>& value) {
    const Json* found = read(name, option);
    if (found != nullptr && is_text(*found, longest_text, pointer(name))) {
        value = found->get<std::string>();
    }
}

void Fields::number(const char* name, const char* option, double& value) {
    std::optional<double> read;
    number(name, option, read);
    value = read.value_or(value);
}

void Fields::number(const char* name, const char* option, std::optional<double>& value) {
    if (const Json* found = read(name, option)) {
        if (found->is_number()) {
            value = found->get<double>();
        } else {
            wrong_type(name, "a number");
        }
    }
}

void Fields::whole(const char* name, const char* option, std::uint64_t& value) {
    if (const Json* found = read(name, option)) {
        const double number = found->is_number() ? found->get<double>() : -1.0;
        if (number >= 0.0 && number <= exact_in_json && number == std::floor(number)) {
            value = static_cast<std::uint64_t>(number);
        } else {
            wrong_type(name, "a whole number from 0 to 9007199254740992");
        }
    }
}

void Fields::flag(const char* name, const char* option, bool& value) {
    if (const Json* found = read(name, option)) {
        if (found->is_boolean()) {
            value = found->get<bool>();
        } else {
            wrong_type(name, "true or false");
        }
    }
}

void Fields::texts(const char* name, const char* option, std::vector<std::string>& value) {
    const Json* found = read(name, option);
    if (found == nullptr) {
        return;
    }
    if (!found->is_array()) {
        wrong_type(name, "a list of texts");
        return;
    }
    if (found->size() > most_texts) {
        fault("service.field_length",
              fmt::format("{} has {} texts; at most {} are read", name, found->size(), most_texts),
              pointer(name));
        return;
    }
    for (std::size_t i = 0; i < found->size(); ++i) {
        const Json& each = (*found)[i];
        if (is_text(each, longest_text, fmt::format("{}/{}", pointer(name), i))) {
            value.push_back(each.get<std::string>());
        }
    }
}

void Fields::document(const char* name, const char* option, std::optional<std::string>& text) {
    if (const Json* found = read(name, option)) {
        if (found->is_object()) {
            files_.emplace_back(name, found->dump());
            text = name;
        } else {
            wrong_type(name, "an object, the whole document");
        }
    }
}

void Fields::file(const char* name, const char* option, const std::string& as,
                  std::optional<std::string>& named) {
    const Json* found = read(name, option);
    if (found != nullptr && is_text(*found, longest_body, pointer(name))) {
        files_.emplace_back(as, found->get<std::string>());
        named = as;
    }
}

bool Fields::has(const char* name) const {
    const auto found = object_.find(name);
    return found != object_.end() && !found->is_null();
}

bool Fields::is_of_lines(const char* name) const {
    const auto found = object_.find(name);
    return found != object_.end() && found->is_string() &&
           found->get_ref<const std::string&>().find('\n') != std::string::npos;
}

void Fields::missing(const char* name, const std::string& why) {
    fault("service.field_missing", fmt::format("{} is missing: {}", name, why), pointer(name));
}

void Fields::refuse_others(const std::string& why) {
    std::vector<std::string> names;
    for (const auto& [name, option] : known_) {
        names.push_back(name);
    }
    for (const auto& [name, value] : object_.items()) {
        if (std::find(names.begin(), names.end(), name) != names.end()) {
            continue;
        }
        const std::string near = base::did_you_mean(base::near_matches(name, names));
        std::string all;
        for (const std::string& each : names) {
            all += (all.empty() ? "" : ", ") + each;
        }
        fault("service.unknown_field",
              fmt::format("there is no field {} here{}: {}", base::in_quotes(name),
                          why.empty() ? "" : ", " + why, near.empty() ? "allowed are " + all : near),
              pointer(name.substr(0, longest_text)));
    }
}

std::vector<base::Error> Fields::at_fields(std::vector<base::Error> faults) const {
    for (base::Error& fault : faults) {
        const auto found = std::find_if(known_.begin(), known_.end(),
                                        [&](const auto& each) { return each.second == fault.where; });
        if (found != known_.end()) {
            fault.where = pointer(found->first);
        }
    }
    return faults;
}

std::vector<std::string> Fields::words() const {
    std::vector<std::string> words;
    for (const auto& [name, value] : object_.items()) {
        const auto found = std::find_if(known_.begin(), known_.end(),
                                        [&, &field = name](const auto& each) { return each.first == field; });
        if (found == known_.end() || value.is_null() || (value.is_boolean() && !value.get<bool>())) {
            continue;
        }
        const bool is_option = found->second.starts_with("--");
        const auto given = std::find_if(files_.begin(), files_.end(), [&, &field = name](const auto& each) {
            return each.first.substr(0, each.first.find('.')) == field;
        });
        std::vector<Json> values =
            value.is_array() ? value.get<std::vector<Json>>() : std::vector<Json>{value};
        for (const Json& each : values) {
            if (is_option) {
                words.push_back(found->second);
            }
            if (!each.is_boolean()) {
                words.push_back(given != files_.end() ? given->first : word_of(each));
            }
        }
    }
    return words;
}

}  // namespace omniway::service::detail
