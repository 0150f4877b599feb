#include "readers/track_nmea.hpp"

#include <array>
#include <cmath>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "readers/detail/track_flights.hpp"
#include "readers/detail/track_time.hpp"

namespace omniway::readers {

namespace {

using detail::NotUsed;
using detail::RawFile;
using detail::RawPoint;
using detail::RawTrack;
using detail::WrittenText;

constexpr double day_s = 86'400.0;
constexpr double rollover_s = 43'200.0;
constexpr double same_time_s = 0.0005;

/// The place of a sentence in its line, behind a tag block (\...\) where there is one.
std::size_t sentence_at(std::string_view line) {
    if (!line.starts_with('\\')) {
        return 0;
    }
    const std::size_t end = line.find('\\', 1);
    return end == std::string_view::npos ? 0 : end + 1;
}

bool is_figure(char c) {
    return c >= '0' && c <= '9';
}

std::optional<unsigned> hexadecimal(char c) {
    if (is_figure(c)) {
        return static_cast<unsigned>(c - '0');
    }
    const char letter = static_cast<char>(c & ~0x20);
    return letter >= 'A' && letter <= 'F' ? std::optional<unsigned>(static_cast<unsigned>(letter - 'A') + 10U)
                                          : std::nullopt;
}

/// A sentence between its $ and its *, cut at its commas.
struct Sentence {
    std::vector<WrittenText> fields;
    std::uint32_t line = 1;
    std::uint32_t column = 1;

    std::string_view text(std::size_t i) const {
        return i < fields.size() ? fields[i].text : std::string_view();
    }
};

/// What a GGA or an RMC tells of one moment.
struct Report {
    double of_day_s = 0.0;
    std::optional<double> midnight_s;  // since 1970, of an RMC
    earth::Position place;
    std::optional<base::Altitude> altitude;
    bool is_gga = false;
    std::uint32_t line = 1;
    std::uint32_t column = 1;
};

class NmeaReader {
public:
    NmeaReader(std::string_view bytes, const std::string& name)
        : bytes_(bytes), name_(name), not_used_(name) {}

    base::Result<RawFile> read() {
        std::uint32_t number = 0;
        for (std::size_t at = 0; at < bytes_.size();) {
            const std::size_t end = std::min(bytes_.find('\n', at), bytes_.size());
            line(bytes_.substr(at, end - at), ++number);
            if (reports_.size() > detail::most_track_points) {
                return base::failure("track.too_many_points",
                                     fmt::format("more than {} points; give the part that is needed",
                                                 detail::most_track_points),
                                     fmt::format("{}:{}:1", name_, number));
            }
            at = end + 1;
        }
        RawFile file;
        file.form = TrackForm::nmea;
        file.not_used = NotUsed(name_);
        file.tracks.push_back({{}, dated_points(), std::move(not_used_)});
        return file;
    }

private:
    void line(std::string_view text, std::uint32_t number) {
        constexpr std::string_view blanks = " \t\r";
        const std::size_t last = text.find_last_not_of(blanks);
        if (last == std::string_view::npos) {
            return;
        }
        text = text.substr(0, last + 1);
        const std::size_t at = sentence_at(text);
        const auto column = static_cast<std::uint32_t>(at + 1);
        text.remove_prefix(at);
        if (text.starts_with('!')) {
            return;  // sentences of other ships
        }
        if (!text.starts_with('$')) {
            not_used_.row(
                "track.not_a_sentence",
                fmt::format("{} is no sentence of NMEA 0183: one begins with $", base::in_quotes(text)),
                number, column);
            return;
        }
        sentence(text.substr(1), number, column);
    }

    void sentence(std::string_view text, std::uint32_t line, std::uint32_t column) {
        const std::size_t star = text.rfind('*');
        const std::string_view body = text.substr(0, std::min(star, text.size()));
        const std::string_view address = body.substr(0, std::min(body.find(','), body.size()));
        const bool is_standard = address.size() == 5 && address.front() != 'P';
        const bool is_gga = is_standard && address.ends_with("GGA");
        const bool is_rmc = is_standard && address.ends_with("RMC");
        if (star == std::string_view::npos) {
            if (is_gga || is_rmc) {
                not_used_.row("track.checksum",
                              "the sentence does not end with a checksum (* and two hexadecimal figures)",
                              line, column);
            }
            return;
        }
        if (!checksum_holds(body, text.substr(star + 1), line, column) || (!is_gga && !is_rmc)) {
            return;
        }
        Sentence cut;
        cut.line = line;
        cut.column = column;
        for (std::size_t at = 0; at <= body.size();) {
            const std::size_t end = std::min(body.find(',', at), body.size());
            // The $ stands before the body.
            cut.fields.push_back(
                {body.substr(at, end - at), line, column + 1 + static_cast<std::uint32_t>(at)});
            at = end + 1;
        }
        if (const std::optional<Report> report = is_gga ? gga(cut) : rmc(cut)) {
            add(*report);
        }
    }

    bool checksum_holds(std::string_view body, std::string_view told, std::uint32_t line,
                        std::uint32_t column) {
        unsigned sum = 0;
        for (const char c : body) {
            sum ^= static_cast<unsigned char>(c);
        }
        const bool has_two = told.size() == 2;
        const auto high = has_two ? hexadecimal(told[0]) : std::nullopt;
        const auto low = has_two ? hexadecimal(told[1]) : std::nullopt;
        if (high && low && *high * 16U + *low == sum) {
            return true;
        }
        not_used_.row(
            "track.checksum",
            fmt::format("the checksum is {}, and that of the sentence {:02X}: it was garbled on its way",
                        base::in_quotes(told, 8), sum),
            line, column);
        return false;
    }

    std::optional<Report> gga(const Sentence& cut) {
        // 1 to 5 are measured; 0 is none, 6 estimated, 7 typed in by hand; 8, a simulator, is what it says.
        if (!is_one_of(cut.text(6), "123458")) {
            return no_fix(cut, fmt::format("its quality is {}, and 1 to 5 or 8 is a place",
                                           base::in_quotes(cut.text(6), 8)));
        }
        std::optional<Report> report = place(cut, 2);
        if (report) {
            report->is_gga = true;
            if (cut.fields.size() > 10 && cut.text(10) == "M") {
                report->altitude = not_used_.altitude(cut.fields[9], false);
            }
        }
        return report;
    }

    std::optional<Report> rmc(const Sentence& cut) {
        if (cut.text(2) != "A") {
            return no_fix(cut,
                          fmt::format("its status is {}, and A is a place", base::in_quotes(cut.text(2), 8)));
        }
        if (is_one_of(cut.text(12), "EMN")) {
            return no_fix(cut,
                          fmt::format("its mode is '{}': estimated, by hand or not valid", cut.text(12)));
        }
        std::optional<Report> report = place(cut, 3);
        if (report) {
            report->midnight_s = date(cut);
            if (!report->midnight_s) {
                return std::nullopt;
            }
        }
        return report;
    }

    static bool is_one_of(std::string_view text, std::string_view letters) {
        return text.size() == 1 && letters.find(text.front()) != std::string_view::npos;
    }

    std::nullopt_t no_fix(const Sentence& cut, const std::string& why) {
        not_used_.row("track.no_fix", fmt::format("the receiver has no place: {}", why), cut.line,
                      cut.column);
        return std::nullopt;
    }

    /// Time and place, the place from that field on.
    std::optional<Report> place(const Sentence& cut, std::size_t first) {
        const std::optional<double> of_day_s = time(cut);
        if (!of_day_s) {
            return std::nullopt;
        }
        const auto latitude = angle(cut, first, "latitude", 2, 90.0, 'N', 'S');
        if (!latitude) {
            return std::nullopt;
        }
        const auto longitude = angle(cut, first + 2, "longitude", 3, 180.0, 'E', 'W');
        if (!longitude) {
            return std::nullopt;
        }
        Report report;
        report.of_day_s = *of_day_s;
        report.place = earth::Position::degrees(*latitude, *longitude);
        report.line = cut.line;
        report.column = cut.column;
        return report;
    }

    std::optional<double> time(const Sentence& cut) {
        const WrittenText& written = cut.fields.size() > 1 ? cut.fields[1] : cut.fields[0];
        const std::string_view text = cut.text(1);
        if (text.size() < 6) {
            return refuse<double>("read.not_a_number", "time", text, "hhmmss, as 140730.50", written);
        }
        const auto hours = figures(text.substr(0, 2));
        const auto minutes = figures(text.substr(2, 2));
        const auto seconds = decimal(text.substr(4), 2);
        if (!hours || !minutes || !seconds) {
            return refuse<double>("read.not_a_number", "time", text, "hhmmss, as 140730.50", written);
        }
        if (*hours > 23 || *minutes > 59 || *seconds >= 61.0) {
            return refuse<double>("read.out_of_range", "time", text, "000000 to 235959", written);
        }
        return *hours * 3600.0 + *minutes * 60.0 + *seconds;
    }

    /// Degrees in so many figures, minutes behind them, and the letter of the field that follows.
    std::optional<double> angle(const Sentence& cut, std::size_t i, std::string_view what, std::size_t places,
                                double most, char positive, char negative) {
        const std::string_view text = cut.text(i);
        const WrittenText& written = i < cut.fields.size() ? cut.fields[i] : cut.fields[0];
        const std::string form = fmt::format("{}mm.mmm, as {}", places == 2 ? "dd" : "ddd",
                                             places == 2 ? "4807.038" : "01131.000");
        if (text.empty()) {
            return refuse<double>("read.value_missing", what, text, form, written);
        }
        const auto degrees = text.size() >= places ? figures(text.substr(0, places)) : std::nullopt;
        const auto minutes = degrees ? decimal(text.substr(places), 2) : std::nullopt;
        if (!minutes) {
            return refuse<double>("read.not_a_number", what, text, form, written);
        }
        const std::string_view letter = cut.text(i + 1);
        if (letter.size() != 1 || (letter.front() != positive && letter.front() != negative)) {
            return refuse<double>("read.not_a_number", fmt::format("side of the {}", what), letter,
                                  fmt::format("{} or {}", positive, negative), written);
        }
        const double value = *degrees + *minutes / 60.0;
        if (*minutes >= 60.0 || value > most) {
            return refuse<double>("read.out_of_range", what, text,
                                  fmt::format("0 to {:g} degrees, minutes below 60", most), written);
        }
        return letter.front() == positive ? value : -value;
    }

    std::optional<double> date(const Sentence& cut) {
        const std::string_view text = cut.text(9);
        const WrittenText& written = cut.fields.size() > 9 ? cut.fields[9] : cut.fields[0];
        const bool has_six = text.size() == 6;
        const auto day = has_six ? figures(text.substr(0, 2)) : std::nullopt;
        const auto month = has_six ? figures(text.substr(2, 2)) : std::nullopt;
        const auto year = has_six ? figures(text.substr(4, 2)) : std::nullopt;
        if (!day || !month || !year) {
            return refuse<double>("read.not_a_number", "date", text, "ddmmyy, as 261126", written);
        }
        // Two figures of the year: the system's first satellites are of 1978.
        const auto midnight = detail::midnight_s(*year < 80 ? 2000 + *year : 1900 + *year, *month, *day);
        if (!midnight) {
            return refuse<double>("read.out_of_range", "date", text, "a date of the calendar, ddmmyy",
                                  written);
        }
        return midnight;
    }

    template <class T>
    std::optional<T> refuse(std::string code, std::string_view what, std::string_view text,
                            std::string_view allowed, const WrittenText& written) {
        not_used_.row(std::move(code),
                      fmt::format("the {} is {}; allowed is {}", what, base::in_quotes(text), allowed),
                      written.line, written.column);
        return std::nullopt;
    }

    static std::optional<int> figures(std::string_view text) {
        int value = 0;
        for (const char c : text) {
            if (!is_figure(c)) {
                return std::nullopt;
            }
            value = value * 10 + (c - '0');
        }
        return text.empty() ? std::nullopt : std::optional(value);
    }

    /// So many figures, and perhaps a point and more of them.
    static std::optional<double> decimal(std::string_view text, std::size_t places) {
        const auto whole = text.size() >= places ? figures(text.substr(0, places)) : std::nullopt;
        if (!whole) {
            return std::nullopt;
        }
        text.remove_prefix(places);
        if (text.empty()) {
            return *whole;
        }
        if (text.front() != '.') {
            return std::nullopt;
        }
        double value = *whole;
        double unit = 0.1;
        for (const char c : text.substr(1)) {
            if (!is_figure(c)) {
                return std::nullopt;
            }
            value += (c - '0') * unit;
            unit /= 10.0;
        }
        return value;
    }

    /// Joins what is told of one moment.
    void add(const Report& report) {
        if (reports_.empty() || std::abs(reports_.back().of_day_s - report.of_day_s) >= same_time_s) {
            reports_.push_back(report);
            return;
        }
        Report& last = reports_.back();
        const std::optional<double> midnight = report.midnight_s ? report.midnight_s : last.midnight_s;
        if (report.is_gga && !last.is_gga) {
            last = report;
        }
        last.midnight_s = midnight;
    }

    /// The reports as points, each with its date where any RMC gives one.
    std::vector<RawPoint> dated_points() {
        std::size_t first_dated = 0;
        while (first_dated < reports_.size() && !reports_[first_dated].midnight_s) {
            ++first_dated;
        }
        const bool dated = first_dated < reports_.size();
        if (dated) {
            for (std::size_t i = first_dated; i > 0; --i) {
                const bool midnight = reports_[i - 1].of_day_s > reports_[i].of_day_s + rollover_s;
                reports_[i - 1].midnight_s = *reports_[i].midnight_s - (midnight ? day_s : 0.0);
            }
            for (std::size_t i = first_dated + 1; i < reports_.size(); ++i) {
                const bool midnight = reports_[i].of_day_s < reports_[i - 1].of_day_s - rollover_s;
                if (!reports_[i].midnight_s) {
                    reports_[i].midnight_s = *reports_[i - 1].midnight_s + (midnight ? day_s : 0.0);
                }
            }
        }
        std::vector<RawPoint> points;
        points.reserve(reports_.size());
        for (const Report& report : reports_) {
            points.push_back({{dated, report.midnight_s.value_or(0.0) + report.of_day_s},
                              report.place,
                              report.altitude,
                              report.line,
                              report.column});
        }
        return points;
    }

    std::string_view bytes_;
    const std::string& name_;
    NotUsed not_used_;
    std::vector<Report> reports_;
};

}  // namespace

base::Result<TrackReading> read_track_nmea(std::string_view bytes, const std::string& name,
                                           const TrackSetting& setting) {
    return detail::the_flight(NmeaReader(bytes, name).read(), setting);
}

bool begins_as_nmea(std::string_view line) {
    line.remove_prefix(sentence_at(line));
    if (line.size() < 7 || line.front() != '$') {
        return false;
    }
    const std::size_t comma = line.find(',');
    if (comma == std::string_view::npos || comma < 4 || comma > 8) {
        return false;
    }
    for (const char c : line.substr(1, comma - 1)) {
        if (!is_figure(c) && !(c >= 'A' && c <= 'Z')) {
            return false;
        }
    }
    return true;
}

}  // namespace omniway::readers
