#pragma once

// The keying of idents, as ITU-R M.1677-1 has it (trade-facts 10.6): written for the checkers, nothing of src/.

#include <map>
#include <string>

namespace independent {

inline std::string morse(const std::string& ident) {
    static const std::map<char, const char*> table{
        {'A', ".-"},    {'B', "-..."},  {'C', "-.-."},  {'D', "-.."},   {'E', "."},     {'F', "..-."},
        {'G', "--."},   {'H', "...."},  {'I', ".."},    {'J', ".---"},  {'K', "-.-"},   {'L', ".-.."},
        {'M', "--"},    {'N', "-."},    {'O', "---"},   {'P', ".--."},  {'Q', "--.-"},  {'R', ".-."},
        {'S', "..."},   {'T', "-"},     {'U', "..-"},   {'V', "...-"},  {'W', ".--"},   {'X', "-..-"},
        {'Y', "-.--"},  {'Z', "--.."},  {'0', "-----"}, {'1', ".----"}, {'2', "..---"}, {'3', "...--"},
        {'4', "....-"}, {'5', "....."}, {'6', "-...."}, {'7', "--..."}, {'8', "---.."}, {'9', "----."}};
    std::string keyed;
    for (const char letter : ident) {
        keyed += (keyed.empty() ? "" : " ") + std::string(table.contains(letter) ? table.at(letter) : "?");
    }
    return keyed;
}

}  // namespace independent
