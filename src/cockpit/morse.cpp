#include "cockpit/morse.hpp"

#include <algorithm>
#include <array>

namespace omniway::cockpit {

namespace {

constexpr std::array<std::string_view, 26> letters = {
    ".-", "-...", "-.-.", "-..",  ".",   "..-.", "--.", "....", "..",   ".---", "-.-",  ".-..", "--",
    "-.", "---",  ".--.", "--.-", ".-.", "...",  "-",   "..-",  "...-", ".--",  "-..-", "-.--", "--.."};
constexpr std::array<std::string_view, 10> digits = {"-----", ".----", "..---", "...--", "....-",
                                                     ".....", "-....", "--...", "---..", "----."};

// Lengths in dots: ITU-R M.1677-1, 2.1 to 2.4.
constexpr double dash_dots = 3.0;
constexpr double gap_in_letter_dots = 1.0;
constexpr double gap_between_letters_dots = 3.0;

}  // namespace

std::string morse(std::string_view ident) {
    std::string sound;
    for (const char c : ident) {
        std::string_view code;
        if (c >= 'A' && c <= 'Z') {
            code = letters[static_cast<std::size_t>(c - 'A')];
        } else if (c >= 'a' && c <= 'z') {
            code = letters[static_cast<std::size_t>(c - 'a')];
        } else if (c >= '0' && c <= '9') {
            code = digits[static_cast<std::size_t>(c - '0')];
        }
        if (!code.empty()) {
            sound += sound.empty() ? "" : " ";
            sound += code;
        }
    }
    return sound;
}

std::optional<std::string> letters_heard(std::string_view code) {
    std::string heard;
    while (!code.empty()) {
        const std::string_view sign = code.substr(0, code.find(' '));
        code.remove_prefix(std::min(code.size(), sign.size() + 1));
        if (sign.empty()) {
            continue;
        }
        const auto letter = std::find(letters.begin(), letters.end(), sign);
        const auto digit = std::find(digits.begin(), digits.end(), sign);
        if (letter != letters.end()) {
            heard += static_cast<char>('A' + (letter - letters.begin()));
        } else if (digit != digits.end()) {
            heard += static_cast<char>('0' + (digit - digits.begin()));
        } else if (sign == "?") {
            heard += '?';
        } else {
            return std::nullopt;
        }
    }
    return heard.empty() ? std::nullopt : std::optional(heard);
}

base::Duration MorseSpeed::dot() const {
    return base::Duration(1.2 / words_per_minute);
}

std::vector<Keyed> keyed(std::string_view ident, MorseSpeed speed) {
    const base::Duration dot = speed.dot();
    std::vector<Keyed> stretches;
    bool letter_begins = true;
    for (const char signal : morse(ident)) {
        if (signal == ' ') {
            letter_begins = true;
            continue;
        }
        if (!stretches.empty()) {
            const double gap_dots = letter_begins ? gap_between_letters_dots : gap_in_letter_dots;
            stretches.push_back({false, gap_dots * dot});
        }
        stretches.push_back({true, (signal == '-' ? dash_dots : 1.0) * dot});
        letter_begins = false;
    }
    return stretches;
}

base::Duration keying_time(std::string_view ident, MorseSpeed speed) {
    base::Duration whole(0.0);
    for (const Keyed& stretch : keyed(ident, speed)) {
        whole += stretch.length;
    }
    return whole;
}

Identification identification(IdentifiedAid aid) {
    const base::Frequency tone = base::Frequency::kilohertz(1.02);
    switch (aid) {
        case IdentifiedAid::vor:
        case IdentifiedAid::ndb:
            break;
        case IdentifiedAid::localizer:
            return {tone, {}, base::Duration(10.0)};  // six times a minute
        case IdentifiedAid::dme:
            return {base::Frequency::kilohertz(1.35), {}, base::Duration(40.0)};
    }
    return {tone, {}, base::Duration(30.0)};
}

}  // namespace omniway::cockpit
