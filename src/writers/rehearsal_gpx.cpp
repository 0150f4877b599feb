#include "writers/rehearsal_gpx.hpp"

#include <chrono>
#include <cmath>

#include <fmt/format.h>

#include "writers/detail/caution.hpp"
#include "writers/detail/drawing.hpp"

namespace omniway::writers {

namespace {

// Of a decimal year the day that has just begun.
std::chrono::sys_days day_of(earth::DecimalYear year) {
    using namespace std::chrono;
    const int whole = static_cast<int>(std::floor(year.value));
    const sys_days first{std::chrono::year(whole) / 1 / 1};
    const sys_days next{std::chrono::year(whole + 1) / 1 / 1};
    return first + days(std::lround((year.value - whole) * static_cast<double>((next - first).count())));
}

// "2026-11-25T12:00:01.25Z"
std::string time_text(std::chrono::sys_days day, double since_noon_s) {
    using namespace std::chrono;
    const auto hundredths = std::llround(since_noon_s * 100.0) + 12LL * 3600 * 100;
    constexpr long long of_a_day = 24LL * 3600 * 100;
    const year_month_day date{day + days(hundredths / of_a_day)};
    const long long left = hundredths % of_a_day;
    const long long second = left / 100;
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}{}Z", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), second / 3600,
                       second / 60 % 60, second % 60,
                       left % 100 == 0 ? std::string() : fmt::format(".{:02}", left % 100));
}

}  // namespace

std::string rehearsal_gpx(const rehearsal::Stage& stage, std::span<const rehearsal::Moment> moments,
                          const std::string& name, earth::DecimalYear day) {
    const std::chrono::sys_days date = day_of(day);
    std::string text = fmt::format(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<gpx version=\"1.1\" creator=\"omniway\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n"
        "  <metadata><desc>{}</desc></metadata>\n  <trk>\n    <name>{}</name>\n    <trkseg>\n",
        detail::escaped(detail::caution), detail::escaped(name));
    for (const rehearsal::Moment& moment : moments) {
        const earth::Position place = stage.frame().to_position(moment.place);
        text += fmt::format(
            "      <trkpt lat=\"{:.6f}\" lon=\"{:.6f}\"><ele>{:.1f}</ele><time>{}</time></trkpt>\n",
            place.latitude_deg(), place.longitude_deg(), moment.altitude_m, time_text(date, moment.time_s));
    }
    return text + "    </trkseg>\n  </trk>\n</gpx>\n";
}

}  // namespace omniway::writers
