#include "navdata/procedure.hpp"

#include <array>
#include <string_view>
#include <utility>

namespace omniway::navdata {

namespace {

constexpr std::array<std::string_view, 23> terminator_codes = {"IF", "TF", "CF", "DF", "FA", "FC", "FD", "FM",
                                                               "CA", "CD", "CI", "CR", "VA", "VD", "VI", "VM",
                                                               "VR", "AF", "RF", "PI", "HA", "HF", "HM"};

char described(const std::string& description, std::size_t column) {
    return column < description.size() ? description[column] : ' ';
}

}  // namespace

// Description letters: trade-facts 13.8; columns 40-43 are characters 0-3 here.
bool Leg::is_initial_approach_fix() const {
    const char c = described(description, 3);
    return c == 'A' || c == 'C' || c == 'D';
}

bool Leg::is_final_approach_course_fix() const {
    return described(description, 3) == 'I';
}

bool Leg::is_final_approach_fix() const {
    return described(description, 3) == 'F';
}

bool Leg::is_missed_approach_point() const {
    return described(description, 3) == 'M';
}

bool Leg::begins_missed_approach() const {
    return described(description, 2) == 'M';
}

bool Leg::is_flown_over() const {
    const char c = described(description, 1);
    return c == 'B' || c == 'Y';
}

std::string to_text(PathTerminator terminator) {
    return std::string(terminator_codes[static_cast<std::size_t>(terminator)]);
}

std::optional<PathTerminator> path_terminator(const std::string& code) {
    for (std::size_t i = 0; i < terminator_codes.size(); ++i) {
        if (terminator_codes[i] == code) {
            return static_cast<PathTerminator>(i);
        }
    }
    return std::nullopt;
}

std::string approach_type_text(char route_type) {
    switch (route_type) {
        case 'B':
            return "LOC back course";
        case 'D':
            return "VOR/DME";
        case 'F':
            return "FMS";
        case 'G':
            return "IGS";
        case 'H':
            return "RNAV (RNP)";
        case 'I':
            return "ILS";
        case 'J':
            return "GLS";
        case 'L':
            return "LOC";
        case 'M':
        case 'W':
        case 'Y':
            return "MLS";
        case 'N':
            return "NDB";
        case 'P':
            return "GPS";
        case 'Q':
            return "NDB/DME";
        case 'R':
            return "RNAV (GPS)";
        case 'S':
        case 'V':
            return "VOR";
        case 'T':
            return "TACAN";
        case 'U':
            return "SDF";
        case 'X':
            return "LDA";
        default:
            return std::string("type ") + route_type;
    }
}

bool is_conventional_terminal_type(char route_type) {
    return route_type >= '1' && route_type <= '3';
}

bool is_conventional_approach_type(char route_type) {
    return std::string_view("BDILNQSUVX").find(route_type) != std::string_view::npos;
}

}  // namespace omniway::navdata
