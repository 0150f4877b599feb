#include "writers/nav_log_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "plan/wording.hpp"
#include "writers/card_text.hpp"

namespace omniway::writers {

namespace {

using plan::NavLog;
using plan::NavLogRow;
using plan::three_figures;

constexpr const char* unknown = "-";

// "0:07.5", "1:02.0": hours, minutes and the nearest half minute.
std::string minutes_text(base::Duration time) {
    const long halves = std::lround(base::in_minutes(time) * 2.0);
    return fmt::format("{}:{:02}.{}", halves / 120, halves / 2 % 60, halves % 2 == 0 ? 0 : 5);
}

// "4L", "0", "12R".
std::string correction_text(base::Angle correction) {
    const long degrees = std::lround(correction.degrees());
    return degrees == 0 ? "0" : fmt::format("{}{}", std::abs(degrees), degrees < 0 ? "L" : "R");
}

// "14W", "3E".
std::string variation_text(base::Variation variation) {
    const long degrees = std::lround(variation.east().degrees());
    return degrees == 0 ? "0" : fmt::format("{}{}", std::abs(degrees), degrees < 0 ? "W" : "E");
}

template <class Value, class Text>
std::string text_or(const std::optional<Value>& value, const std::string& otherwise, Text text) {
    return value ? std::string(text(*value)) : otherwise;
}

std::string knots_text(base::Speed speed) {
    return fmt::format("{:.0f}", speed.knots());
}

// Cells of one column, right in it unless they are words.
struct Column {
    std::string head;
    bool words;
    std::vector<std::string> cells;
};

std::vector<Column> columns_of(const NavLog& log) {
    std::vector<Column> columns{
        {"step", false, {}},    {"to", true, {}},     {"by", true, {}},       {"ft", false, {}},
        {"NM", false, {}},      {"total", false, {}}, {"left", false, {}},    {"wind", false, {}},
        {"TAS", false, {}},     {"TC", false, {}},    {"WCA", false, {}},     {"var", false, {}},
        {"MC", false, {}},      {"MH", false, {}},    {"GS", false, {}},      {"ETE", false, {}},
        {"elapsed", false, {}}, {"ETA", false, {}},   {"ATA", false, {}},     {"GS made", false, {}},
        {"fuel", false, {}},    {"used", false, {}},  {"left lb", false, {}}, {"fuel seen", false, {}}};
    for (const NavLogRow& row : log.rows) {
        const auto pounds = [](base::Mass fuel) { return fmt::format("{:.0f}", fuel.pounds()); };
        const auto miles = [](base::Length length) { return fmt::format("{:.1f}", length.nautical_miles()); };
        const auto degrees = [](auto bearing) { return three_figures(bearing.degrees()); };
        const std::string no_course = row.hold ? "hold" : "";
        const std::vector<std::string> cells{
            fmt::format("{}", row.step),
            row.to,
            row.via,
            fmt::format("{:.0f}", row.altitude.feet()),
            miles(row.distance),
            miles(row.total),
            miles(row.remaining),
            weather::to_text({row.wind.from, row.wind.speed}),
            knots_text(row.true_airspeed),
            row.hold ? no_course : degrees(row.track),
            row.hold ? "" : text_or(row.correction, unknown, correction_text),
            variation_text(row.variation),
            row.hold ? "" : degrees(row.course),
            row.hold ? "" : text_or(row.heading, unknown, degrees),
            row.hold ? "" : text_or(row.groundspeed, unknown, knots_text),
            text_or(row.time, unknown, minutes_text),
            text_or(row.elapsed, unknown, minutes_text),
            text_or(row.arriving, "", base::clock_text),
            text_or(row.passed, "", base::clock_text),
            text_or(row.groundspeed_made, "", knots_text),
            row.time ? pounds(row.fuel) : unknown,
            row.elapsed ? pounds(row.fuel_used) : unknown,
            row.elapsed ? pounds(row.fuel_left) : unknown,
            ""};
        for (std::size_t i = 0; i < columns.size(); ++i) {
            columns[i].cells.push_back(cells[i]);
        }
    }
    return columns;
}

std::string without_blanks_at_the_end(std::string line) {
    line.erase(line.find_last_not_of(' ') + 1);
    return line;
}

std::string table_text(const NavLog& log) {
    const std::vector<Column> columns = columns_of(log);
    std::vector<std::size_t> widths;
    for (const Column& column : columns) {
        std::size_t width = column.head.size();
        for (const std::string& cell : column.cells) {
            width = std::max(width, cell.size());
        }
        widths.push_back(width);
    }
    std::string text;
    for (std::size_t line = 0; line <= log.rows.size(); ++line) {
        std::string row;
        for (std::size_t i = 0; i < columns.size(); ++i) {
            const std::string& cell = line == 0 ? columns[i].head : columns[i].cells[line - 1];
            row += i == 0 ? "" : "  ";
            row += columns[i].words ? fmt::format("{:<{}}", cell, widths[i])
                                    : fmt::format("{:>{}}", cell, widths[i]);
        }
        text += without_blanks_at_the_end(row) + "\n";
    }
    return text;
}

std::string fuel_line(const std::string& what, base::Mass fuel, const std::string& note = {}) {
    return fmt::format("  {:<10} {:>6.0f} lb{}\n", what, fuel.pounds(), note.empty() ? "" : "  " + note);
}

std::string fuel_text(const plan::Request& request, const NavLog& log, const std::string& alternate) {
    const plan::FuelTable& fuel = log.fuel;
    std::string text = "fuel\n" + fuel_line("taxi", fuel.taxi) +
                       fuel_line("trip", fuel.trip, "to the missed approach point");
    if (fuel.alternate) {
        text += fuel_line("alternate", *fuel.alternate, alternate);
    } else {
        text += fmt::format(
            "  {:<10} {:>6}     {}\n", "alternate", unknown,
            fuel.alternate_asked == plan::AlternateAsked::not_needed ? "none needed, as you say" : alternate);
    }
    text += fuel_line("reserve", fuel.reserve,
                      fmt::format("{:.0f} min at cruise", base::in_minutes(request.aircraft.fuel.reserve)));
    text += fuel_line("needed", fuel.needed);
    text += fuel_line("usable", fuel.usable, "taken to be on board");
    return text + fuel_line(fuel.extra < base::Mass() ? "short" : "extra", abs(fuel.extra));
}

std::string found_text(const NavLog& log) {
    std::string text;
    for (const plan::WindFound& found : log.found) {
        text += fmt::format("wind found at {}: {}, which is what was reckoned with and {} more; {}\n",
                            log.rows[found.rows_to - 1].to, weather::to_text(found.wind),
                            weather::to_text(found.change),
                            found.across_found ? "both along and across, from the drift seen"
                                               : "along the way only: what blows across it is as forecast");
    }
    return text.empty() ? text : "\n" + text;
}

std::string finding_lines(const std::vector<base::Finding>& findings) {
    std::string text;
    for (const base::Finding& finding : findings) {
        text += fmt::format("{}: {}: {}{}\n", base::to_text(finding.grade), finding.about, finding.text,
                            finding.remedy.empty() ? "" : " (" + finding.remedy + ")");
    }
    return text;
}

std::string take_off_text(const NavLog& log) {
    return log.take_off ? ", take-off " + base::date_and_clock_text(*log.take_off) : std::string();
}

}  // namespace

std::string nav_log_text(const navdata::Snapshot& world, const plan::Request& request,
                         const plan::Answer& answer, const std::optional<NavLog>& log,
                         const std::string& alternate) {
    std::string text =
        fmt::format("nav log {} to {}, {}, wind {}\n", world[request.from].ident, world[request.to].ident,
                    request.aircraft.name, weather::to_text(request.winds));
    text += std::string(base::to_text(answer.verdict)) + "\n";
    if (!log || !answer.option) {
        return text + finding_lines(answer.findings) + "\n" + not_for_navigation + "\n";
    }
    text += fmt::format("{}\n{}, {:.1f} NM, {}{}\n\n", plan::route_text(world, answer.option->flight),
                        plan::levels_text(answer.option->flight), log->distance.nautical_miles(),
                        text_or(log->time, "no time: no heading holds a course", minutes_text),
                        take_off_text(*log));
    text += table_text(*log) + found_text(*log) + "\n" + fuel_text(request, *log, alternate) + "\n";
    std::vector<base::Finding> findings;
    for (const base::Finding& finding : answer.findings) {
        if (finding.grade == base::Grade::blocks || finding.grade == base::Grade::asks) {
            findings.push_back(finding);
        }
    }
    return text + finding_lines(findings) + (findings.empty() ? "" : "\n") + not_for_navigation + "\n";
}

namespace {

// RFC 4180: in quotes where a comma, a quote or a line end is in it.
std::string csv_field(const std::string& text) {
    if (text.find_first_of(",\"\r\n") == std::string::npos) {
        return text;
    }
    std::string quoted = "\"";
    for (const char c : text) {
        quoted += c;
        quoted += c == '"' ? "\"" : "";
    }
    return quoted + "\"";
}

}  // namespace

std::string nav_log_csv(const NavLog& log) {
    std::string text =
        "step,to,via,altitude_msl_ft,distance_nm,total_nm,remaining_nm,wind_from_true_deg,wind_kt,true_"
        "airspeed_kt,track_true_deg,"
        "correction_deg,variation_east_deg,course_magnetic_deg,heading_magnetic_deg,groundspeed_kt,time_min,"
        "elapsed_min,eta,ata,"
        "groundspeed_made_kt,fuel_lb,fuel_used_lb,fuel_left_lb,fuel_seen_lb\r\n";
    const auto tenths = [](double value) { return fmt::format("{:.1f}", value); };
    for (const NavLogRow& row : log.rows) {
        const auto of_course = [&](const auto& value, auto number) {
            return row.hold || !value ? std::string() : tenths(number(*value));
        };
        const auto minutes = [&](const std::optional<base::Duration>& time) {
            return time ? fmt::format("{:.2f}", base::in_minutes(*time)) : std::string();
        };
        const std::vector<std::string> fields{
            fmt::format("{}", row.step),
            csv_field(row.to),
            csv_field(row.via),
            fmt::format("{:.0f}", row.altitude.feet()),
            fmt::format("{:.2f}", row.distance.nautical_miles()),
            fmt::format("{:.2f}", row.total.nautical_miles()),
            fmt::format("{:.2f}", row.remaining.nautical_miles()),
            tenths(row.wind.from.degrees()),
            tenths(row.wind.speed.knots()),
            tenths(row.true_airspeed.knots()),
            row.hold ? "" : tenths(row.track.degrees()),
            of_course(row.correction, [](base::Angle a) { return a.degrees(); }),
            tenths(row.variation.east().degrees()),
            row.hold ? "" : tenths(row.course.degrees()),
            of_course(row.heading, [](base::MagneticBearing b) { return b.degrees(); }),
            of_course(row.groundspeed, [](base::Speed s) { return s.knots(); }),
            minutes(row.time),
            minutes(row.elapsed),
            text_or(row.arriving, "", base::date_and_clock_text),
            text_or(row.passed, "", base::date_and_clock_text),
            text_or(row.groundspeed_made, "", [&](base::Speed s) { return tenths(s.knots()); }),
            row.time ? tenths(row.fuel.pounds()) : "",
            row.elapsed ? tenths(row.fuel_used.pounds()) : "",
            row.elapsed ? tenths(row.fuel_left.pounds()) : "",
            ""};
        for (std::size_t i = 0; i < fields.size(); ++i) {
            text += (i == 0 ? "" : ",") + fields[i];
        }
        text += "\r\n";
    }
    return text;
}

}  // namespace omniway::writers
