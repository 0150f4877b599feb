#include "app/again.hpp"

#include <algorithm>
#include <array>
#include <string_view>

namespace omniway::app {

namespace {

std::string quoted(const std::string& word) {
    constexpr std::string_view plain =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./:=,+@%";
    if (!word.empty() && word.find_first_not_of(plain) == std::string::npos) {
        return word;
    }
    std::string text = "'";
    for (const char c : word) {
        text += c == '\'' ? std::string("'\\''") : std::string(1, c);
    }
    return text + "'";
}

}  // namespace

std::string again_of(const std::vector<std::string>& typed) {
    constexpr std::array<std::string_view, 6> with_a_value{"--flights", "--threads", "--narrow",
                                                           "--example", "--gpx",     "--atlas"};
    std::string text = "omniway";
    for (std::size_t i = 0; i < typed.size(); ++i) {
        const std::string name = typed[i].substr(0, typed[i].find('='));
        const bool of_the_asking =
            std::find(with_a_value.begin(), with_a_value.end(), name) != with_a_value.end();
        if (of_the_asking && name != "--atlas") {
            i += name == typed[i] ? 1 : 0;
        } else if (typed[i] != "--json") {
            text += " " + quoted(typed[i]);
        }
    }
    return text;
}

}  // namespace omniway::app
