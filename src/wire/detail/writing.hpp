#pragma once

#include <cmath>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "procedure/minima.hpp"
#include "weather/winds_aloft.hpp"
#include "wire/detail/field_units.hpp"
#include "wire/detail/parts.hpp"

namespace omniway::wire::detail {

/// One JSON object being written by the descriptions of card_fields.hpp; Reading is its counterpart.
class Writing {
public:
    explicit Writing(Json& json) : json_(json) {}

    template <class Value>
    void number(const char* name, const Value& value, const Unit<Value>& unit) {
        json_[name] = rounded(value, unit);
    }
    template <class Value>
    void number(const char* name, const std::optional<Value>& value, const Unit<Value>& unit) {
        json_[name] = value ? Json(rounded(*value, unit)) : Json(nullptr);
    }
    template <class Value, std::size_t N>
    void word(const char* name, const Value& value, const std::array<Word<Value>, N>& words) {
        json_[name] = word_for(value, words);
    }
    template <class Value, std::size_t N>
    void word(const char* name, const std::optional<Value>& value, const std::array<Word<Value>, N>& words) {
        json_[name] = value ? Json(word_for(*value, words)) : Json(nullptr);
    }
    void text(const char* name, const std::string& value, TextForm = TextForm::printable) {
        json_[name] = value;
    }
    void text_or_null(const char* name, const std::optional<std::string>& value) {
        json_[name] = value ? Json(*value) : Json(nullptr);
    }
    void text_unless_empty(const char* name, const std::string& value) {
        if (!value.empty()) {
            json_[name] = value;
        }
    }
    void flag(const char* name, bool value) { json_[name] = value; }
    void count(const char* name, int value, int /*least*/, int /*most*/) { json_[name] = value; }
    void count_unless_none(const char* name, const std::optional<int>& value, int /*least*/, int /*most*/) {
        if (value) {
            json_[name] = *value;
        }
    }
    void follows(const char* name, const std::string& value, const char* /*from*/) { json_[name] = value; }
    template <class Say>
    void says(const Say& say) {
        json_["says"] = say();
    }
    template <class Variant, std::size_t N>
    bool kind(const Variant& value, const std::array<std::string_view, N>& words) {
        json_["kind"] = words[value.index()];
        return true;
    }
    template <class Value>
    void object(const char* name, Value& value) {
        json_[name] = written(value);
    }
    template <class Value>
    void object(const char* name, std::optional<Value>& value) {
        json_[name] = value ? written(*value) : Json(nullptr);
    }
    template <class Value>
    void list(const char* name, std::vector<Value>& values) {
        Json list = Json::array();
        for (Value& value : values) {
            list.push_back(written(value));
        }
        json_[name] = std::move(list);
    }
    template <class Value>
    void list_unless_empty(const char* name, std::vector<Value>& values) {
        if (!values.empty()) {
            list(name, values);
        }
    }
    void ascending(const char*, const std::vector<weather::WindAt>&, const weather::WindsAloft&) {}
    void one_at_most(const std::optional<procedure::Visibility>& visibility) {
        if (!visibility) {
            return;
        }
        if (const auto* miles = std::get_if<procedure::StatuteMiles>(&*visibility)) {
            json_["visibility_sm"] = thousandths(miles->miles);
        } else if (const auto* metres = std::get_if<procedure::VisibilityMetres>(&*visibility)) {
            json_["visibility_m"] = std::round(metres->metres);
        } else {
            json_["runway_visual_range_ft"] =
                std::round(std::get<procedure::RunwayVisualRange>(*visibility).range.feet());
        }
    }

    template <class Value>
    static Json written(Value& value) {
        Json json = Json::object();
        Writing way(json);
        fields(way, value);
        return json;
    }

private:
    // By division: tenths are not exact in binary, and 12.3 printed by multiplication is 12.300000000000001.
    template <class Value>
    static double rounded(const Value& value, const Unit<Value>& unit) {
        const double steps = std::round(unit.get(value) * unit.per);
        return steps == 0.0 ? 0.0 : steps / unit.per;  // and no -0
    }
    template <class Value, std::size_t N>
    static std::string_view word_for(const Value& value, const std::array<Word<Value>, N>& words) {
        for (const Word<Value>& each : words) {
            if (each.value == value) {
                return each.word;
            }
        }
        return words.front().word;
    }

    Json& json_;
};

}  // namespace omniway::wire::detail
