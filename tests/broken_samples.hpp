#pragma once

#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

namespace omniway::testing {

/// What is expected of a broken sample: the code of the error, its place ("-" for the whole file), words of its message.
struct ExpectedError {
    std::string code;
    std::string place;
    std::string words;
};

/// The errors that a list under tests/broken expects of each file it names, in order: "FILE CODE PLACE WORDS" a line.
inline std::map<std::string, std::vector<ExpectedError>> expected_errors(const std::string& list) {
    std::map<std::string, std::vector<ExpectedError>> expected;
    std::ifstream stream(list);
    for (std::string line; std::getline(stream, line);) {
        if (line.empty() || line.starts_with('#')) {
            continue;
        }
        std::istringstream words(line);
        std::string file;
        ExpectedError one;
        words >> file >> one.code >> one.place >> std::ws;
        std::getline(words, one.words);
        expected[file].push_back(std::move(one));
    }
    return expected;
}

}  // namespace omniway::testing
