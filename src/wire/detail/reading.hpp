#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "base/result.hpp"
#include "procedure/minima.hpp"
#include "weather/winds_aloft.hpp"
#include "wire/detail/field_units.hpp"
#include "wire/detail/parts.hpp"

namespace omniway::wire::detail {

/// What is wrong with one document: all of it, at most 20 told.
class Faults {
public:
    explicit Faults(std::string document) : document_(std::move(document)) {}
    void add(std::string code, std::string message, const std::string& pointer);
    bool none() const { return errors_.empty(); }
    std::vector<base::Error> take() { return std::move(errors_); }

private:
    std::string document_;
    std::vector<base::Error> errors_;
};

/// One JSON object being read by the descriptions of card_fields.hpp; Writing is its counterpart. A member that is not as it should
/// be is told and leaves its value as it was.
class Reading {
public:
    Reading(Faults& faults, const Json& json, std::string pointer)
        : faults_(faults), json_(json), pointer_(std::move(pointer)) {}

    template <class Value>
    void number(const char* name, Value& value, const Unit<Value>& unit) {
        if (const Json* json = member(name)) {
            read_number(name, *json, value, unit);
        }
    }
    template <class Value>
    void number(const char* name, std::optional<Value>& value, const Unit<Value>& unit) {
        Value read{};
        const Json* json = member(name);
        value.reset();
        if (json != nullptr && !json->is_null() && read_number(name, *json, read, unit)) {
            value = read;
        }
    }
    template <class Value, std::size_t N>
    void word(const char* name, Value& value, const std::array<Word<Value>, N>& words) {
        if (const Json* json = member(name)) {
            read_word(name, *json, value, words, false);
        }
    }
    template <class Value, std::size_t N>
    void word(const char* name, std::optional<Value>& value, const std::array<Word<Value>, N>& words) {
        Value read{};
        const Json* json = member(name);
        value.reset();
        if (json != nullptr && !json->is_null() && read_word(name, *json, read, words, true)) {
            value = read;
        }
    }
    void text(const char* name, std::string& value, TextForm form = TextForm::printable);
    void text_or_null(const char* name, std::optional<std::string>& value);
    void text_unless_empty(const char* name, std::string& value);
    void flag(const char* name, bool& value);
    void count(const char* name, int& value, int least, int most);
    void count_unless_none(const char* name, std::optional<int>& value, int least, int most);
    /// A member that another one decides.
    void follows(const char* name, const std::string& value, const char* from);
    /// Words for people stand there and are not read.
    template <class Say>
    void says(const Say&) {
        pass_over("says");
    }
    template <class Variant, std::size_t N>
    bool kind(Variant& value, const std::array<std::string_view, N>& words) {
        const Json* json = member("kind");
        if (json == nullptr) {
            takes_anything_ = true;
            return false;
        }
        const std::optional<std::size_t> index = index_of("kind", *json, words, false);
        if (!index) {
            takes_anything_ = true;
            return false;
        }
        emplace(value, *index, std::make_index_sequence<N>());
        return true;
    }
    template <class Value>
    void object(const char* name, Value& value) {
        if (const Json* json = member(name)) {
            read_object(*json, pointer_to(name), value);
        }
    }
    template <class Value>
    void object(const char* name, std::optional<Value>& value) {
        const Json* json = member(name);
        value.reset();
        if (json != nullptr && !json->is_null()) {
            value.emplace();
            read_object(*json, pointer_to(name), *value);
        }
    }
    template <class Value>
    void list(const char* name, std::vector<Value>& values) {
        const Json* json = member(name);
        values.clear();
        if (json == nullptr || !is_list(name, *json)) {
            return;
        }
        for (std::size_t i = 0; i < json->size(); ++i) {
            read_object((*json)[i], pointer_to(name) + "/" + std::to_string(i), values.emplace_back());
        }
    }
    template <class Value>
    void list_unless_empty(const char* name, std::vector<Value>& values) {
        values.clear();
        if (member_if_there(name) != nullptr) {
            list(name, values);
        }
    }
    /// Winds aloft of levels that were read, if they can be.
    void ascending(const char* name, const std::vector<weather::WindAt>& levels, weather::WindsAloft& winds);
    void one_at_most(std::optional<procedure::Visibility>& visibility);

    /// A member that must be there and is not read.
    void pass_over(const char* name) { member(name); }
    /// Tells every member that no description has named.
    void finish();

private:
    const Json* member(const char* name);
    const Json* member_if_there(const char* name);
    std::string pointer_to(std::string_view name) const;
    void fault(const char* code, const std::string& message, const char* name);
    bool wrong_type(const char* name, const Json& json, const char* wanted);
    bool is_list(const char* name, const Json& json);
    bool steps_within(const char* name, const Json& json, double per, double low, double high,
                      std::string_view unit, double& read);
    std::optional<std::size_t> index_of(const char* name, const Json& json,
                                        std::span<const std::string_view> words, bool or_null);

    template <class Value>
    bool read_number(const char* name, const Json& json, Value& value, const Unit<Value>& unit) {
        double read = 0.0;
        if (!steps_within(name, json, unit.per, unit.low, unit.high, unit.name, read)) {
            return false;
        }
        value = unit.make(read);
        return true;
    }
    template <class Value, std::size_t N>
    bool read_word(const char* name, const Json& json, Value& value, const std::array<Word<Value>, N>& words,
                   bool or_null) {
        std::array<std::string_view, N> allowed;
        for (std::size_t i = 0; i < N; ++i) {
            allowed[i] = words[i].word;
        }
        const std::optional<std::size_t> index = index_of(name, json, allowed, or_null);
        if (index) {
            value = words[*index].value;
        }
        return index.has_value();
    }
    template <class Value>
    void read_object(const Json& json, const std::string& pointer, Value& value) {
        if (!json.is_object()) {
            faults_.add("card.wrong_type", "an object is wanted here, not " + type_of(json), pointer);
            return;
        }
        Reading way(faults_, json, pointer);
        fields(way, value);
        way.finish();
    }
    template <class Variant, std::size_t... I>
    static void emplace(Variant& value, std::size_t index, std::index_sequence<I...>) {
        ((I == index ? static_cast<void>(value.template emplace<I>()) : void()), ...);
    }
    static std::string type_of(const Json& json);

    Faults& faults_;
    const Json& json_;
    std::string pointer_;
    std::vector<std::string> known_;  // the names asked for
    bool takes_anything_ = false;     // its kind is not known, so neither is what belongs to it
};

}  // namespace omniway::wire::detail
