#include "app/reading_clock.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace omniway::app {

using base::Duration;

namespace {

constexpr Duration day = base::minutes(24.0 * 60.0);

Duration since(Duration earlier, Duration later) {
    const Duration apart = later - earlier;
    return apart < Duration(0.0) ? apart + day : apart;
}

std::string clock_words(Duration since_midnight) {
    const long minutes = std::lround(std::floor(base::in_minutes(since_midnight)));
    return fmt::format("{:02}:{:02}Z", minutes / 60 % 24, minutes % 60);
}

std::vector<Duration> clock_times(const std::vector<TypedTime>& times) {
    std::vector<Duration> clock;
    for (const TypedTime& typed : times) {
        if (const auto* at = std::get_if<ReadAtClock>(&typed.time)) {
            clock.push_back(at->since_midnight);
        }
    }
    return clock;
}

std::optional<Duration> latest_of(const std::vector<Duration>& clock) {
    const auto oldest_before = [&](Duration now) {
        Duration oldest{0.0};
        for (const Duration time : clock) {
            oldest = std::max(oldest, since(time, now));
        }
        return oldest;
    };
    const auto latest = std::min_element(clock.begin(), clock.end(), [&](Duration a, Duration b) {
        return oldest_before(a) < oldest_before(b);
    });
    return latest == clock.end() ? std::nullopt : std::optional(*latest);
}

struct Before {
    std::optional<Duration> now;
    Duration operator()(const ReadNow&) const { return Duration(0.0); }
    Duration operator()(const ReadAtClock& time) const { return since(time.since_midnight, *now); }
    Duration operator()(const ReadBefore& time) const { return time.before; }
};

}  // namespace

base::Result<ReadingTimes> times_before_now(const std::optional<Duration>& now,
                                            const std::vector<TypedTime>& times) {
    ReadingTimes laid{now ? now : latest_of(clock_times(times)), {}};
    for (const TypedTime& typed : times) {
        const Duration before = std::visit(Before{laid.now}, typed.time);
        if (before > oldest_reading) {
            const long minutes = std::lround(base::in_minutes(before));
            return base::failure(
                "app.find_too_old",
                fmt::format(
                    "{} is {} h {:02} min before now, {}: up to {:.0f} min before now is allowed; leave "
                    "it out, or give --now",
                    clock_words(std::get<ReadAtClock>(typed.time).since_midnight), minutes / 60, minutes % 60,
                    clock_words(*laid.now), base::in_minutes(oldest_reading)),
                typed.where);
        }
        laid.before.push_back(before);
    }
    return laid;
}

}  // namespace omniway::app
