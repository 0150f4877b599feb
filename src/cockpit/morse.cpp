#include "cockpit/morse.hpp"

#include <array>

namespace omniway::cockpit {

namespace {

constexpr std::array<std::string_view, 26> letters = {
    ".-", "-...", "-.-.", "-..",  ".",   "..-.", "--.", "....", "..",   ".---", "-.-",  ".-..", "--",
    "-.", "---",  ".--.", "--.-", ".-.", "...",  "-",   "..-",  "...-", ".--",  "-..-", "-.--", "--.."};
constexpr std::array<std::string_view, 10> digits = {"-----", ".----", "..---", "...--", "....-",
                                                     ".....", "-....", "--...", "---..", "----."};

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

}  // namespace omniway::cockpit
