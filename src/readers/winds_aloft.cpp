#include "readers/winds_aloft.hpp"

#include <algorithm>
#include <cctype>
#include <cstdint>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "readers/file_bytes.hpp"

namespace omniway::readers {

namespace {

using base::Altitude;
using Faults = std::vector<base::Error>;

constexpr std::uintmax_t largest_file_bytes = std::uintmax_t{1} << 20U;
constexpr std::size_t most_rows = 5'000;
constexpr Altitude usual_negative_above = Altitude::feet(24000.0);
constexpr int strongest_coded_kt = 199;

struct Word {
    std::string_view text;
    std::size_t begin = 0;  // column, from zero
    std::size_t end() const { return begin + text.size(); }
};

std::vector<Word> words_of(std::string_view line) {
    std::vector<Word> words;
    for (std::size_t at = 0; at < line.size();) {
        const std::size_t begin = line.find_first_not_of(" \t\r", at);
        if (begin == std::string_view::npos) {
            break;
        }
        const std::size_t end = std::min(line.find_first_of(" \t\r", begin), line.size());
        words.push_back({line.substr(begin, end - begin), begin});
        at = end;
    }
    return words;
}

bool all_figures(std::string_view text) {
    return !text.empty() &&
           std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

int number(std::string_view figures) {
    int value = 0;
    for (const char c : figures) {
        value = value * 10 + (c - '0');
    }
    return value;
}

bool is_station(std::string_view text) {
    return text.size() >= 3 && text.size() <= 4 &&
           std::all_of(text.begin(), text.end(),
                       [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); }) &&
           !all_figures(text);
}

struct Level {
    Altitude altitude;
    std::size_t end = 0;  // column after its name
};

class BulletinReader {
public:
    BulletinReader(std::string_view bytes, const std::string& name) : bytes_(bytes), name_(name) {}

    tl::expected<WindsBulletin, Faults> read() {
        if (bytes_.find_first_not_of(" \t\r\n") == std::string_view::npos) {
            return tl::unexpected(Faults{
                {"read.file_empty", "the file is empty; it should hold a bulletin of winds aloft", name_}});
        }
        for (std::string_view rest = bytes_; !rest.empty();) {
            const std::size_t end = std::min(rest.find('\n'), rest.size());
            ++line_;
            read_line(rest.substr(0, end));
            rest.remove_prefix(std::min(end + 1, rest.size()));
            if (bulletin_.stations.size() > most_rows) {
                return tl::unexpected(
                    Faults{{"read.too_many_rows", fmt::format("more than {} rows of stations", most_rows),
                            place(0)}});
            }
        }
        if (levels_.empty()) {
            return tl::unexpected(Faults{{"read.winds_no_levels",
                                          "no line names the levels: one that begins with FT and goes on as "
                                          "3000 6000 9000 is expected",
                                          name_}});
        }
        if (bulletin_.stations.empty()) {
            return tl::unexpected(
                Faults{{"read.no_records", "no row of a station follows the line of the levels", place(0)}});
        }
        return std::move(bulletin_);
    }

private:
    std::string place(std::size_t column) const { return fmt::format("{}:{}:{}", name_, line_, column + 1); }

    void read_line(std::string_view line) {
        const std::vector<Word> words = words_of(line);
        if (words.empty()) {
            return;
        }
        if (words.front().text == "FT") {
            read_levels(words);
        } else if (words.front().text == "DATA" && words.size() >= 4) {
            bulletin_.based_on = words[3].text;
        } else if (words.front().text == "VALID") {
            read_validity(words);
        } else if (!levels_.empty() && is_station(words.front().text)) {
            read_row(words);
        }
    }

    void read_levels(const std::vector<Word>& words) {
        std::vector<Level> levels;
        for (std::size_t i = 1; i < words.size(); ++i) {
            if (!all_figures(words[i].text) || words[i].text.size() > 5) {
                return;
            }
            levels.push_back({Altitude::feet(number(words[i].text)), words[i].end()});
            if (i > 1 && levels[i - 1].altitude <= levels[i - 2].altitude) {
                return;
            }
        }
        levels_ = std::move(levels);
    }

    void read_validity(const std::vector<Word>& words) {
        for (std::size_t i = 1; i < words.size(); ++i) {
            std::string_view text = words[i].text;
            if (i == 1) {
                bulletin_.valid = text;
            } else if (words[i - 1].text == "USE") {
                bulletin_.for_use = text.substr(0, text.find_last_not_of('.') + 1);
            } else if (words[i - 1].text == "ABV" && all_figures(text) && text.size() <= 5) {
                negative_above_ = Altitude::feet(number(text));
            }
        }
    }

    void read_row(const std::vector<Word>& words) {
        StationWinds row;
        row.station = words.front().text;
        std::optional<std::size_t> last;
        for (std::size_t i = 1; i < words.size(); ++i) {
            const Word& word = words[i];
            const auto level = std::find_if(levels_.begin(), levels_.end(),
                                            [&](const Level& each) { return word.begin < each.end; });
            const auto index = static_cast<std::size_t>(level - levels_.begin());
            if (level == levels_.end() || word.end() > level->end || last == index) {
                row.faults.push_back({"read.winds_column",
                                      fmt::format("the group {} of {} stands under no level of its own",
                                                  base::in_quotes(word.text), row.station),
                                      place(word.begin)});
                continue;
            }
            last = index;
            if (auto wind = wind_group(word.text, level->altitude, negative_above_)) {
                row.levels.push_back(*wind);
            } else {
                row.faults.push_back(
                    {"read.wind_group",
                     fmt::format("{} of {} at {:.0f} ft is no group of wind: ddff, ddff+TT or, above {:.0f} "
                                 "ft, ddffTT is "
                                 "expected, dd 01 to 36, or 51 to 86 for 100 kt and more, or 9900",
                                 base::in_quotes(word.text), row.station, level->altitude.feet(),
                                 negative_above_.feet()),
                     place(word.begin)});
            }
        }
        bulletin_.stations.push_back(std::move(row));
    }

    std::string_view bytes_;
    const std::string& name_;
    std::size_t line_ = 0;
    std::vector<Level> levels_;
    Altitude negative_above_ = usual_negative_above;
    WindsBulletin bulletin_;
};

}  // namespace

std::optional<LevelWind> wind_group(std::string_view text, Altitude level, Altitude negative_above) {
    if (text.size() < 4 || !all_figures(text.substr(0, 4))) {
        return std::nullopt;
    }
    LevelWind wind;
    wind.altitude = level;
    const std::string_view rest = text.substr(4);
    const bool signed_two =
        rest.size() == 3 && (rest[0] == '+' || rest[0] == '-') && all_figures(rest.substr(1));
    const bool bare_two = rest.size() == 2 && all_figures(rest) && level > negative_above;
    if (signed_two) {
        wind.temperature = base::Temperature::celsius((rest[0] == '-' ? -1.0 : 1.0) * number(rest.substr(1)));
    } else if (bare_two) {
        wind.temperature = base::Temperature::celsius(-number(rest));
    } else if (!rest.empty()) {
        return std::nullopt;
    }
    int tens = number(text.substr(0, 2));
    int knots = number(text.substr(2, 2));
    if (tens == 99) {
        wind.light_and_variable = knots == 0;
        return knots == 0 ? std::optional(wind) : std::nullopt;
    }
    if (tens > 50) {
        tens -= 50;
        knots += 100;
    }
    if (tens < 1 || tens > 36) {
        return std::nullopt;
    }
    wind.wind = {base::TrueBearing::degrees(tens * 10.0), base::Speed::knots(knots)};
    wind.or_stronger = knots == strongest_coded_kt;
    return wind;
}

const StationWinds* winds_at(const WindsBulletin& bulletin, std::string_view station) {
    const auto found =
        std::find_if(bulletin.stations.begin(), bulletin.stations.end(), [&](const StationWinds& row) {
            return std::equal(row.station.begin(), row.station.end(), station.begin(), station.end(),
                              [](char a, char b) {
                                  return a == static_cast<char>(std::toupper(static_cast<unsigned char>(b)));
                              });
        });
    return found == bulletin.stations.end() ? nullptr : &*found;
}

tl::expected<WindsBulletin, Faults> read_winds_aloft(std::string_view bytes, const std::string& name) {
    return BulletinReader(bytes, name).read();
}

tl::expected<WindsBulletin, Faults> read_winds_aloft_file(const std::string& path) {
    const auto bytes = file_bytes(path, largest_file_bytes, "a bulletin of winds aloft");
    if (!bytes) {
        return tl::unexpected(Faults{bytes.error()});
    }
    return read_winds_aloft(*bytes, path);
}

}  // namespace omniway::readers
