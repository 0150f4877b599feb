#include "earth/flown_track.hpp"

#include <cmath>

#include <fmt/format.h>

namespace omniway::earth {

std::optional<base::Instant> instant_of(const FlownTrack& track, const TrackPoint& point) {
    if (!track.day) {
        return std::nullopt;
    }
    return base::Instant(*track.day) + point.time;
}

std::vector<TrackGap> gaps_of(const FlownTrack& track, base::Duration longest) {
    std::vector<TrackGap> gaps;
    for (std::size_t i = 1; i < track.points.size(); ++i) {
        const base::Duration from = track.points[i - 1].time;
        const base::Duration to = track.points[i].time;
        if (to - from > longest) {
            gaps.push_back({i - 1, from, to});
        }
    }
    return gaps;
}

std::string moment_text(std::optional<std::chrono::sys_days> day, base::Duration since_midnight) {
    constexpr long long day_ms = 86'400'000;
    const long long all_ms = std::llround(since_midnight.count() * 1000.0);
    const long long days = all_ms >= 0 ? all_ms / day_ms : -((-all_ms + day_ms - 1) / day_ms);
    const long long of_day_ms = all_ms - days * day_ms;
    std::string text;
    if (day) {
        const std::chrono::year_month_day date(*day + std::chrono::days(days));
        text = fmt::format("{:04}-{:02}-{:02}T", static_cast<int>(date.year()),
                           static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
    }
    text += fmt::format("{:02}:{:02}:{:02}", of_day_ms / 3'600'000, of_day_ms / 60'000 % 60,
                        of_day_ms / 1000 % 60);
    if (of_day_ms % 1000 != 0) {
        text += fmt::format(".{:03}", of_day_ms % 1000);
        text.erase(text.find_last_not_of('0') + 1);
    }
    return text + "Z";
}

}  // namespace omniway::earth
