#include "base/in_quotes.hpp"

namespace omniway::base {

namespace {

/// How many bytes the character at the front takes; 0 where it is not one of UTF-8 (RFC 3629, section 4).
std::size_t character_length(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned char first = byte(0);
    if (first < 0x80) {
        return 1;
    }
    const std::size_t length = first >= 0xF0 ? 4 : (first >= 0xE0 ? 3 : 2);
    if (first < 0xC2 || first > 0xF4 || text.size() < length) {
        return 0;
    }
    for (std::size_t i = 1; i < length; ++i) {
        if ((byte(i) & 0xC0) != 0x80) {
            return 0;
        }
    }
    const unsigned char second = byte(1);
    const bool overlong = (first == 0xE0 && second < 0xA0) || (first == 0xF0 && second < 0x90);
    const bool surrogate = first == 0xED && second > 0x9F;
    const bool beyond = first == 0xF4 && second > 0x8F;
    return overlong || surrogate || beyond ? 0 : length;
}

bool is_control(std::string_view character) {
    const auto first = static_cast<unsigned char>(character[0]);
    // U+0080 to U+009F are controls too; in UTF-8 they begin with C2.
    return first < 0x20 || first == 0x7F ||
           (first == 0xC2 && static_cast<unsigned char>(character[1]) < 0xA0);
}

}  // namespace

std::string in_quotes(std::string_view text, std::size_t longest) {
    std::string shown = "'";
    std::size_t room = longest;
    while (!text.empty()) {
        const std::size_t length = character_length(text);
        const std::size_t taken = length == 0 ? 1 : length;
        if (taken > room) {
            return shown + "...'";
        }
        const std::string_view character = text.substr(0, taken);
        shown += length == 0 || is_control(character) ? std::string_view("?") : character;
        room -= taken;
        text.remove_prefix(taken);
    }
    return shown + "'";
}

}  // namespace omniway::base
