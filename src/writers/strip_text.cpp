#include "writers/strip_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "plan/strip_wording.hpp"
#include "writers/card_text.hpp"

namespace omniway::writers {

namespace {

using base::Altitude;
using base::Length;

constexpr std::size_t width = 70;
constexpr std::size_t margin = 22;  // columns before a bar
constexpr std::size_t profile_rows = 10;
constexpr double weak = 0.25;  // of flight::strength(): 500 ft or 2.5 NM

std::size_t column_of(Length along, Length length) {
    const double share = length > Length() ? along / length : 0.0;
    return std::min(width - 1, static_cast<std::size_t>(std::max(share, 0.0) * static_cast<double>(width)));
}

std::string bar_text(const flight::Strip& strip, const flight::StripLane& lane) {
    std::string text(width, ' ');
    for (const flight::StripBar& bar : lane.bars) {
        const std::size_t last = column_of(bar.heard.to, strip.length);
        for (std::size_t at = column_of(bar.heard.from, strip.length); at <= last; ++at) {
            text[at] = bar.heard.ground_known ? '=' : '?';
        }
        for (const flight::HeardMargin& here : bar.margins) {
            if (bar.heard.ground_known && flight::strength(here) < weak) {
                text[column_of(here.along, strip.length)] = '-';
            }
        }
    }
    return text;
}

// A scale such as "0         50        100  NM" with its ticks below it.
std::string scale_text(Length length) {
    const double miles = length.nautical_miles();
    double step = 5.0;
    for (const double next : {10.0, 20.0, 50.0, 100.0, 200.0, 500.0}) {
        step = miles / step > 7.0 ? next : step;
    }
    std::string numbers(width + 8, ' ');
    std::string ticks(width, '.');
    for (double mile = 0.0; mile <= miles; mile += step) {
        const std::size_t at = column_of(Length::nautical_miles(mile), length);
        const std::string number = fmt::format("{:.0f}", mile);
        numbers.replace(at, number.size(), number);
        ticks[at] = '|';
    }
    numbers.erase(numbers.find_last_not_of(' ') + 1);
    return std::string(margin, ' ') + numbers + " NM\n" + std::string(margin, ' ') + ticks + "\n";
}

std::string marks_text(const flight::Strip& strip) {
    std::string line(width + 8, ' ');
    std::size_t free_from = 0;
    for (const flight::StripMark& mark : strip.marks) {
        std::size_t at = column_of(mark.along, strip.length);
        at = std::min(at, width + 7 - std::min(mark.ident.size(), width));
        if (at >= free_from) {
            line.replace(at, mark.ident.size(), mark.ident);
            free_from = at + mark.ident.size() + 1;
        }
    }
    line.erase(line.find_last_not_of(' ') + 1);
    return std::string(margin, ' ') + line + "\n";
}

// The highest of what is flown, lies below or is asked, rounded up to a thousand feet.
double top_of(const flight::Strip& strip) {
    double top_ft = 1000.0;
    for (const radio::PathPoint& point : strip.path) {
        top_ft = std::max(top_ft, point.altitude.feet());
    }
    for (const flight::GroundUnder& under : strip.ground) {
        top_ft = std::max(top_ft, under.ground ? under.ground->feet() : 0.0);
    }
    for (const flight::StripMinimum& minimum : strip.minimums) {
        top_ft = std::max(top_ft, minimum.minimum ? minimum.minimum->feet() : 0.0);
    }
    return std::ceil(top_ft / 1000.0) * 1000.0;
}

std::string profile_text(const flight::Strip& strip) {
    const double top_ft = top_of(strip);
    std::vector<std::string> rows(profile_rows, std::string(width, ' '));
    const auto row_of = [&](double feet) {
        const double share = std::clamp(feet / top_ft, 0.0, 1.0);
        return profile_rows - 1 -
               std::min(profile_rows - 1,
                        static_cast<std::size_t>(share * static_cast<double>(profile_rows)));
    };
    for (const flight::StripMinimum& minimum : strip.minimums) {
        if (minimum.minimum) {
            for (std::size_t at = column_of(minimum.from, strip.length);
                 at <= column_of(minimum.to, strip.length); ++at) {
                rows[row_of(minimum.minimum->feet())][at] = '_';
            }
        }
    }
    // The highest ground of a column stands for it; a column with any unknown ground says so.
    std::vector<double> highest(width, 0.0);
    std::string known(width, ' ');
    for (const flight::GroundUnder& under : strip.ground) {
        const std::size_t at = column_of(under.along, strip.length);
        if (!under.ground) {
            known[at] = '?';
            continue;
        }
        highest[at] = std::max(highest[at], under.ground->feet());
        known[at] = known[at] == ' ' ? '#' : known[at];
    }
    for (std::size_t at = 0; at < width; ++at) {
        if (known[at] == ' ' || (known[at] == '#' && highest[at] < 1.0)) {
            continue;  // nothing asked, or the sea
        }
        for (std::size_t row = row_of(highest[at]); row < profile_rows; ++row) {
            rows[row][at] = '#';
        }
        if (known[at] == '?') {
            rows[profile_rows - 1][at] = '?';
        }
    }
    for (std::size_t i = 1; i < strip.path.size(); ++i) {
        const radio::PathPoint& from = strip.path[i - 1];
        const radio::PathPoint& to = strip.path[i];
        const std::size_t first = column_of(from.along, strip.length);
        const std::size_t last = column_of(to.along, strip.length);
        for (std::size_t at = first; at <= last; ++at) {
            const double share =
                last == first ? 0.0 : static_cast<double>(at - first) / static_cast<double>(last - first);
            rows[row_of(from.altitude.feet() + (to.altitude - from.altitude).feet() * share)][at] = '*';
        }
    }
    std::string text;
    for (std::size_t row = 0; row < profile_rows; ++row) {
        const double level_ft =
            top_ft * static_cast<double>(profile_rows - row) / static_cast<double>(profile_rows);
        const std::string label = row % 2 == 0 ? fmt::format("{:.0f} ft", level_ft) : std::string();
        text += fmt::format("{:>{}} {}\n", label, margin - 1, rows[row]);
    }
    return text;
}

std::string known_text(const flight::Strip& strip) {
    if (strip.ground.empty()) {
        return "ground: none imported; the profile shows heights flown only\n";
    }
    const auto unknown = static_cast<double>(std::count_if(strip.ground.begin(), strip.ground.end(),
                                                           [](const auto& under) { return !under.ground; }));
    const double share = unknown / static_cast<double>(strip.ground.size()) * 100.0;
    return share > 0.0 ? fmt::format("ground: not known under {:.0f} % of the way, shown as ?\n", share)
                       : std::string();
}

}  // namespace

std::string strip_text(const navdata::Snapshot& world, const flight::Strip& strip, const std::string& title) {
    std::string text =
        fmt::format("{}\n{:.1f} NM, a character is {:.1f} NM; {}\n", title, strip.length.nautical_miles(),
                    strip.length.nautical_miles() / static_cast<double>(width), plan::mode_text(strip.mode));
    text += known_text(strip) + "\n" + marks_text(strip) + scale_text(strip.length);
    std::optional<navdata::StationId> before;
    for (const flight::StripLane& lane : strip.lanes) {
        const navdata::Station& station = world[lane.station];
        const bool first = !before || *before != lane.station;
        before = lane.station;
        const std::string label =
            fmt::format("{:<5}{:<8}{}", first ? station.ident : "", first ? navdata::kind_text(station) : "",
                        plan::part_text(station, lane.part));
        text += fmt::format("{:<{}}{}\n", label.substr(0, margin - 1), margin, bar_text(strip, lane));
    }
    if (strip.lanes.empty()) {
        text += "no station is heard anywhere on the way\n";
    }
    text += profile_text(strip) + scale_text(strip.length);
    text +=
        "\n= heard   - less than 500 ft or 2.5 NM to spare   ? over ground not known\n"
        "* height flown   _ minimum   # ground\n\n";
    for (const flight::StripLane& lane : strip.lanes) {
        const navdata::Station& station = world[lane.station];
        for (const flight::StripBar& bar : lane.bars) {
            text += fmt::format("{:<5}{:<11}{:>6.1f} to {:>6.1f} NM   {}\n", station.ident,
                                plan::part_text(station, lane.part), bar.heard.from.nautical_miles(),
                                bar.heard.to.nautical_miles(), plan::ends_text(bar.heard));
        }
        if (lane.over_all) {
            text += fmt::format("{:<16}over all of the line from {:.0f} ft, which {:.1f} NM asks for\n", "",
                                std::ceil(lane.over_all->lowest.altitude.feet()),
                                lane.over_all->at.nautical_miles());
        }
    }
    return text + "\n" + not_for_navigation + "\n";
}

}  // namespace omniway::writers
