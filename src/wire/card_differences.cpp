#include "wire/card_differences.hpp"

#include <optional>
#include <string>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "wire/detail/card_part.hpp"

namespace omniway::wire {

using detail::Json;

namespace {

std::string value_text(const Json& value) {
    if (value.is_object()) {
        return value.contains("kind") ? value["kind"].get<std::string>() : std::string("something");
    }
    if (value.is_array()) {
        return fmt::format("{} of them", value.size());
    }
    return value.is_null()     ? std::string("nothing")
           : value.is_string() ? base::in_quotes(value.get<std::string>())
                               : value.dump();
}

class Comparison {
public:
    std::vector<base::Finding> result(const Json& card, const Json& computed) {
        compare(card, computed, "");
        return std::move(findings_);
    }

private:
    void differ(const Json& card, const Json& computed, const std::string& field) {
        const std::string about = step_ ? fmt::format("step {}, {}", *step_, field) : "card, " + field;
        findings_.push_back(
            {base::Grade::blocks, "card.differs", about,
             fmt::format("{} on the card, {} as compiled", value_text(card), value_text(computed)),
             "write the card anew", step_});
    }

    static bool same_shape(const Json& card, const Json& computed) {
        const bool numbers = card.is_number() && computed.is_number();
        return (numbers || card.type() == computed.type()) &&
               (!card.is_object() || !card.contains("kind") || !computed.contains("kind") ||
                card["kind"] == computed["kind"]) &&
               (!card.is_array() || card.size() == computed.size());
    }

    void compare(const Json& card, const Json& computed, const std::string& field) {
        if (!same_shape(card, computed)) {
            differ(card, computed, field);
        } else if (card.is_object()) {
            compare_objects(card, computed, field);
        } else if (card.is_array()) {
            for (std::size_t i = 0; i < card.size(); ++i) {
                const bool steps = field == "steps" || field == "missed_approach" || field == "missed";
                const std::optional<int> outer = step_;
                if (steps && computed[i].contains("number")) {
                    step_ = computed[i]["number"].get<int>();
                }
                compare(card[i], computed[i], steps ? std::string() : fmt::format("{} {}", field, i + 1));
                step_ = outer;
            }
        } else if (card != computed) {
            differ(card, computed, field);
        }
    }

    void compare_objects(const Json& card, const Json& computed, const std::string& field) {
        for (const auto& [name, value] : computed.items()) {
            if (name == "says") {
                continue;  // the words follow from the figures
            }
            const std::string inner = field.empty() ? name : field + " " + name;
            compare(card.contains(name) ? card[name] : Json(nullptr), value, inner);
        }
        for (const auto& [name, value] : card.items()) {
            if (!computed.contains(name)) {
                differ(value, Json(nullptr), field.empty() ? name : field + " " + name);
            }
        }
    }

    std::optional<int> step_;
    std::vector<base::Finding> findings_;
};

}  // namespace

std::vector<base::Finding> card_differences(const flight::Card& card, const flight::Card& computed) {
    return Comparison().result(detail::card_part(card), detail::card_part(computed));
}

}  // namespace omniway::wire
