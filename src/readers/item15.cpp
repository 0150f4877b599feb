#include "readers/item15.hpp"

#include <algorithm>
#include <optional>

#include <fmt/format.h>

#include "base/in_quotes.hpp"

namespace omniway::readers {

using base::Error;
using flight::Route;
using flight::RouteElement;
using flight::RouteToken;

namespace {

constexpr std::size_t longest_text = 4096;
constexpr std::size_t most_words = 200;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

bool is_letter(char c) {
    return c >= 'A' && c <= 'Z';
}

bool all_letters(std::string_view text) {
    return std::all_of(text.begin(), text.end(), is_letter);
}

bool all_digits(std::string_view text) {
    return std::all_of(text.begin(), text.end(), is_digit);
}

bool any_digit(std::string_view text) {
    return std::any_of(text.begin(), text.end(), is_digit);
}

int number(std::string_view digits) {
    int value = 0;
    for (const char c : digits) {
        value = value * 10 + (c - '0');
    }
    return value;
}

std::size_t leading_letters(std::string_view text) {
    return static_cast<std::size_t>(std::find_if_not(text.begin(), text.end(), is_letter) - text.begin());
}

/// A letter and so many digits, and nothing else in that place.
bool is_group(std::string_view text, char letter, std::size_t digits) {
    return text.size() >= digits + 1 && text.front() == letter && all_digits(text.substr(1, digits)) &&
           (text.size() == digits + 1 || !is_digit(text[digits + 1]));
}

/// How many characters of a word are its speed: 0 where it begins with none.
std::size_t speed_length(std::string_view text) {
    return is_group(text, 'K', 4) || is_group(text, 'N', 4) ? 5 : is_group(text, 'M', 3) ? 4 : 0;
}

bool is_level(std::string_view text) {
    return text == "VFR" || ((text.size() == 4) && (is_group(text, 'F', 3) || is_group(text, 'A', 3))) ||
           ((text.size() == 5) && (is_group(text, 'S', 4) || is_group(text, 'M', 4)));
}

/// "V12", "UN615", "KODAP2A": letters, a number without a zero in front, perhaps a letter or two.
bool is_designator(std::string_view text) {
    const std::size_t letters = leading_letters(text);
    if (text.size() < 2 || text.size() > 7 || letters == 0 || letters == text.size() ||
        text[letters] == '0') {
        return false;
    }
    const std::string_view rest = text.substr(letters);
    const auto digits =
        static_cast<std::size_t>(std::find_if_not(rest.begin(), rest.end(), is_digit) - rest.begin());
    return digits <= 4 && rest.size() - digits <= 2 && all_letters(rest.substr(digits));
}

bool looks_like_coordinates(std::string_view text) {
    const auto digits =
        static_cast<std::size_t>(std::find_if_not(text.begin(), text.end(), is_digit) - text.begin());
    return digits >= 1 && digits < text.size() && text.size() >= 6 &&
           (text[digits] == 'N' || text[digits] == 'S');
}

/// An airport without a location indicator: "1G3", "C83".
bool is_local_airport(std::string_view text) {
    return text.size() >= 2 && text.size() <= 5 && any_digit(text) &&
           std::any_of(text.begin(), text.end(), is_letter);
}

bool is_airport(const RouteElement& element) {
    const auto* point = std::get_if<flight::RoutePoint>(&element.word);
    return point != nullptr && (point->ident.size() == 4 || any_digit(point->ident));
}

struct Word {
    std::string text;
    int line = 1;
    int column = 1;
};

std::vector<Word> words_of(std::string_view text) {
    std::vector<Word> words;
    int line = 1;
    int column = 1;
    bool inside = false;
    for (const char c : text) {
        const bool blank = c == ' ' || c == '\t' || c == '\n' || c == '\r';
        if (!blank && !inside) {
            words.push_back({"", line, column});
        }
        if (!blank) {
            words.back().text += c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
        }
        inside = !blank;
        line += c == '\n' ? 1 : 0;
        column = c == '\n' ? 1 : column + 1;
    }
    return words;
}

class Reader {
public:
    Reader(const std::string& name, std::vector<Word> words) : name_(name), words_(std::move(words)) {}

    tl::expected<Route, std::vector<Error>> result() {
        for (std::size_t i = 0; i < words_.size(); ++i) {
            at_ = i;
            read(words_[i]);
        }
        // What is missing between two words cannot be told where one of them was not understood.
        if (faults_.empty()) {
            check_order();
        }
        if (!faults_.empty()) {
            return tl::unexpected(std::move(faults_));
        }
        return std::move(route_);
    }

private:
    void fault(std::string code, int line, int column, std::string message) {
        faults_.push_back(
            {std::move(code), std::move(message), fmt::format("{}:{}:{}", name_, line, column)});
    }
    void fault(std::string code, const Word& word, std::string message) {
        fault(std::move(code), word.line, word.column, std::move(message));
    }

    template <class Said>
    void add(const Word& word, Said said) {
        route_.elements.push_back({RouteToken{word.text, word.line, word.column}, std::move(said)});
    }

    void read(const Word& word) {
        for (std::size_t i = 0; i < word.text.size(); ++i) {
            const char c = word.text[i];
            if (!is_letter(c) && !is_digit(c) && c != '/') {
                fault("route.character", word.line, word.column + static_cast<int>(i),
                      fmt::format("{} holds a character that is no letter, digit or oblique stroke; write "
                                  "words of these with a blank between them",
                                  base::in_quotes(word.text)));
                return;
            }
        }
        const std::size_t stroke = word.text.find('/');
        if (stroke == std::string::npos) {
            read_plain(word);
        } else if (word.text.starts_with("C/")) {
            fault("route.cruise_climb", word,
                  fmt::format("{} is a cruise climb, and levels are flown here; leave the word out, or give "
                              "a change of level at a point",
                              base::in_quotes(word.text)));
        } else {
            read_change(word, stroke);
        }
    }

    // "LN/N0284A045"
    void read_change(const Word& word, std::size_t stroke) {
        const Word point{word.text.substr(0, stroke), word.line, word.column};
        const Word change{word.text.substr(stroke), word.line, word.column + static_cast<int>(stroke)};
        if (point.text.empty()) {
            fault("route.word", word,
                  fmt::format("{} names no point before the oblique stroke; write the change right after the "
                              "point at which it is made: XKE{}",
                              base::in_quotes(word.text), word.text));
            return;
        }
        const std::size_t faults_before = faults_.size();
        read_point(point);
        if (faults_.size() == faults_before) {
            read_speed_level({change.text.substr(1), change.line, change.column + 1}, true);
        }
    }

    void read_plain(const Word& word) {
        const std::string& text = word.text;
        if (text == "DCT") {
            add(word, flight::RouteDirect{});
        } else if (text == "VFR" || text == "IFR") {
            add(word, flight::RouteRules{text == "VFR"});
        } else if (const std::size_t speed = speed_length(text);
                   speed > 0 && (is_level(std::string_view(text).substr(speed)) || speed == 5)) {
            read_speed_level(word, false);
        } else if (is_designator(text) && !stands_for_airport(text)) {
            add(word, flight::RouteAirway{text});
        } else {
            read_point(word);
        }
    }

    // As first word before an airway or DCT, a local ident with a digit is no airway: nothing leads onto it there.
    bool stands_for_airport(const std::string& text) const {
        if (at_ != 0 || words_.size() < 2 || !is_local_airport(text)) {
            return false;
        }
        const std::string& next = words_[1].text;
        return next == "DCT" || is_designator(next) || speed_length(next) > 0;
    }

    void read_point(const Word& word) {
        const std::string& text = word.text;
        const std::size_t letters = leading_letters(text);
        const std::string_view rest = std::string_view(text).substr(letters);
        const bool at_an_end = at_ == 0 || at_ + 1 == words_.size();
        if (letters == text.size() && letters >= 2 && letters <= 5) {
            add(word, flight::RoutePoint{text});
        } else if (letters >= 2 && letters <= 5 && rest.size() >= 4 && all_digits(rest)) {
            read_bearing_distance(word, letters);
        } else if (looks_like_coordinates(text)) {
            read_coordinates(word);
        } else if (at_an_end && is_local_airport(text)) {
            add(word, flight::RoutePoint{text});
        } else {
            fault("route.word", word, base::in_quotes(text) + " is " + not_understood(text));
        }
    }

    static std::string not_understood(const std::string& text) {
        const std::string allowed =
            "; allowed are a point (XKE, XOBAN, 46N078W, 4620N07805W, XKE180040), an airway, SID or STAR "
            "(V12, "
            "XULVE1), DCT, a speed and level (N0110A080), VFR and IFR";
        if (all_letters(text)) {
            return (text.size() == 1 ? "one letter: a point has 2 to 5"
                                     : fmt::format("{} letters: a point has 2 to 5", text.size())) +
                   allowed;
        }
        if (text.size() == 4 && is_level(text)) {
            return "a level without its speed: both are written together" + allowed;
        }
        return "no word of a route" + allowed;
    }

    void read_bearing_distance(const Word& word, std::size_t letters) {
        const std::string& text = word.text;
        const std::string figures = text.substr(letters);
        if (figures.size() != 6) {
            std::string would_do;
            if (figures.size() == 5) {
                would_do = fmt::format("; {} NM would be {}0{}", number(figures.substr(3)),
                                       text.substr(0, letters + 3), figures.substr(3));
            }
            fault(
                "route.bearing_distance", word,
                fmt::format("{} has {} figures after the point: three for the magnetic bearing and three for "
                            "the distance in NM are needed, with their zeros{}",
                            base::in_quotes(text), figures.size(), would_do));
            return;
        }
        const int bearing = number(figures.substr(0, 3));
        const int distance = number(figures.substr(3));
        if (bearing > 360 || distance == 0) {
            fault("route.bearing_distance", word.line,
                  word.column + static_cast<int>(letters) + (bearing > 360 ? 0 : 3),
                  bearing > 360
                      ? fmt::format("bearing {} of {}: allowed 000 to 360 degrees magnetic",
                                    figures.substr(0, 3), base::in_quotes(text))
                      : fmt::format("distance 000 of {}: allowed 001 to 999 NM; the point itself is {}",
                                    base::in_quotes(text), text.substr(0, letters)));
            return;
        }
        add(word,
            flight::RouteBearingDistance{text.substr(0, letters), base::MagneticBearing::degrees(bearing),
                                         base::Length::nautical_miles(distance)});
    }

    void read_coordinates(const Word& word) {
        const std::string& text = word.text;
        const bool minutes = text.size() == 11;
        const std::size_t north = minutes ? 4 : 2;
        const std::size_t east = text.size() - 1;
        const bool form = (minutes || text.size() == 7) && (text[north] == 'N' || text[north] == 'S') &&
                          (text[east] == 'E' || text[east] == 'W') && all_digits(text.substr(0, north)) &&
                          all_digits(text.substr(north + 1, east - north - 1));
        if (!form) {
            fault("route.coordinates", word,
                  fmt::format("{} is neither degrees (7 characters: 46N078W) nor degrees and minutes (11 "
                              "characters: 4620N07805W), with their zeros",
                              base::in_quotes(text)));
            return;
        }
        const auto angle = [&](std::size_t at, std::size_t degree_digits, int largest,
                               std::string_view what) {
            const int degrees = number(std::string_view(text).substr(at, degree_digits));
            const int rest = minutes ? number(std::string_view(text).substr(at + degree_digits, 2)) : 0;
            if (rest > 59 || degrees * 60 + rest > largest * 60) {
                fault("route.coordinates", word.line, word.column + static_cast<int>(at),
                      rest > 59 ? fmt::format("{} of {} has {} minutes: allowed 00 to 59", what,
                                              base::in_quotes(text), rest)
                                : fmt::format("{} of {} is above {} degrees", what, base::in_quotes(text),
                                              largest));
            }
            return degrees + rest / 60.0;
        };
        const std::size_t faults_before = faults_.size();
        const double latitude = angle(0, 2, 90, "latitude") * (text[north] == 'S' ? -1.0 : 1.0);
        const double longitude = angle(north + 1, 3, 180, "longitude") * (text[east] == 'W' ? -1.0 : 1.0);
        if (faults_.size() == faults_before) {
            add(word, flight::RouteCoordinates{earth::Position::degrees(latitude, longitude)});
        }
    }

    void read_speed_level(const Word& word, bool changes) {
        const std::string& text = word.text;
        const std::size_t speed = speed_length(text);
        const std::string level = text.substr(speed);
        if (speed == 0 || !is_level(level)) {
            fault("route.speed_level", word,
                  fmt::format(
                      "{} {}; a speed (K0830 in km/h, N0485 in knots, M082 of Mach) and a level (A045 or "
                      "F330 in hundreds of feet, M0840 or S1130 in tens of metres, VFR) are written "
                      "together: N0110A080",
                      base::in_quotes(text),
                      speed == 0      ? "begins with no speed"
                      : level.empty() ? "has no level"
                                      : "ends in no level: " + base::in_quotes(level)));
            return;
        }
        const int figure = number(text.substr(1, speed - 1));
        if (figure == 0) {
            fault("route.speed_level", word,
                  fmt::format("the speed of {} is zero; give the true airspeed of the cruise",
                              base::in_quotes(text)));
            return;
        }
        flight::RouteSpeedLevel said;
        said.changes = changes;
        if (text.front() == 'M') {
            said.mach = figure / 100.0;
        } else {
            said.true_airspeed = text.front() == 'N' ? base::Speed::knots(figure)
                                                     : base::Speed::metres_per_second(figure / 3.6);
        }
        if (level != "VFR") {
            const int height = number(level.substr(1));
            const base::Length above =
                level.size() == 4 ? base::Length::feet(height * 100.0) : base::Length::metres(height * 10.0);
            if (level.front() == 'A' || level.front() == 'M') {
                said.altitude = base::Altitude::above_datum(above);
            } else {
                said.level = base::PressureAltitude::above_datum(above);
            }
        }
        add(changes ? Word{"/" + text, word.line, word.column - 1} : word, said);
    }

    // What may stand behind what.
    enum class Before { nothing, airport, point, way, speed_level };

    void check_order() {
        Before before = Before::nothing;
        const RouteElement* last_point = nullptr;
        const auto& all = route_.elements;
        for (std::size_t i = 0; i < all.size(); ++i) {
            const RouteElement& element = all[i];
            if (const auto* speed_level = std::get_if<flight::RouteSpeedLevel>(&element.word)) {
                if (!speed_level->changes && before != Before::nothing && before != Before::airport) {
                    misplaced(
                        element,
                        last_point != nullptr && before == Before::point
                            ? fmt::format("a change of speed or level is written right after its point: "
                                          "{}/{}",
                                          last_point->token.text, element.token.text)
                            : std::string("a speed and level stand first, or after the oblique stroke of "
                                          "a point"));
                }
                before = speed_level->changes ? before : Before::speed_level;
            } else if (std::holds_alternative<flight::RouteRules>(element.word)) {
                if (before != Before::point && before != Before::airport) {
                    misplaced(element, "a change of the rules stands after the point at which it is made");
                }
            } else if (std::holds_alternative<flight::RouteAirway>(element.word) ||
                       std::holds_alternative<flight::RouteDirect>(element.word)) {
                if (before == Before::way) {
                    misplaced(element, fmt::format("it follows {}: name the point between the two",
                                                   base::in_quotes(all[i - 1].token.text)));
                }
                before = Before::way;
            } else {
                const bool may_follow = before != Before::point || needs_no_way(*last_point, element) ||
                                        (i + 1 == all.size() && is_airport(element));
                if (!may_follow) {
                    misplaced(
                        element,
                        fmt::format("it follows the point {}: write the airway between the two, or DCT: {} "
                                    "DCT {}",
                                    base::in_quotes(last_point->token.text), last_point->token.text,
                                    element.token.text));
                }
                before = i == 0 && is_airport(element) ? Before::airport : Before::point;
                last_point = &element;
            }
        }
        if (last_point == nullptr) {
            misplaced(all.back(), "the route names no point");
        } else if (std::holds_alternative<flight::RouteDirect>(all.back().word)) {
            misplaced(all.back(), "it leads to nothing: name the point or the airport behind it");
        }
    }

    // Coordinates behind any point; a bearing and distance behind another, or behind coordinates.
    static bool needs_no_way(const RouteElement& before, const RouteElement& element) {
        const auto is_geographic = [](const RouteElement& each) {
            return std::holds_alternative<flight::RouteCoordinates>(each.word) ||
                   std::holds_alternative<flight::RouteBearingDistance>(each.word);
        };
        return std::holds_alternative<flight::RouteCoordinates>(element.word) ||
               (is_geographic(before) && is_geographic(element));
    }

    void misplaced(const RouteElement& element, const std::string& why) {
        fault("route.order", element.token.line, element.token.column,
              fmt::format("{} cannot stand here: {}", base::in_quotes(element.token.text), why));
    }

    const std::string& name_;
    std::vector<Word> words_;
    std::size_t at_ = 0;
    Route route_;
    std::vector<Error> faults_;
};

}  // namespace

tl::expected<Route, std::vector<Error>> read_item15(std::string_view text, const std::string& name) {
    if (text.size() > longest_text) {
        return tl::unexpected(
            std::vector{Error{"route.too_long",
                              fmt::format("the route has {} characters; at most {} are read, as one line of "
                                          "words",
                                          text.size(), longest_text),
                              name + ":1:1"}});
    }
    std::vector<Word> words = words_of(text);
    if (words.empty()) {
        return tl::unexpected(std::vector{Error{
            "route.empty", "the route is empty; a route is \"XDOV DCT XDV V14 XKE XMRA\"", name + ":1:1"}});
    }
    if (words.size() > most_words) {
        return tl::unexpected(std::vector{
            Error{"route.too_long",
                  fmt::format("the route has {} words; at most {} are read", words.size(), most_words),
                  fmt::format("{}:{}:{}", name, words[most_words].line, words[most_words].column)}});
    }
    return Reader(name, std::move(words)).result();
}

}  // namespace omniway::readers
