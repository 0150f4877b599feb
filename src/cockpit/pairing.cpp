#include "cockpit/pairing.hpp"

#include <array>
#include <cmath>

#include <fmt/format.h>

#include "base/contract.hpp"

namespace omniway::cockpit {

using base::Duration;
using base::Frequency;

namespace {

// Whole kilohertz, so that 113.3 MHz read from text and made from steps are one frequency; none between two of them.
std::optional<int> whole_khz(Frequency frequency) {
    const double rounded = std::round(frequency.kilohertz());
    if (!(std::abs(rounded) < 1e9) || std::abs(frequency.kilohertz() - rounded) > 0.5) {
        return std::nullopt;
    }
    return static_cast<int>(rounded);
}

// On which of the 200 steps of the navigation band: 108.00 is the first.
std::optional<int> step_of(Frequency frequency) {
    const auto khz = whole_khz(frequency);
    if (!khz || *khz < 108'000 || *khz > 117'950 || (*khz - 108'000) % 50 != 0) {
        return std::nullopt;
    }
    return (*khz - 108'000) / 50;
}

struct Pair {
    int localizer_khz;
    int glideslope_khz;
};

constexpr std::array<Pair, 40> pairs = {{
    {108'100, 334'700}, {108'150, 334'550}, {108'300, 334'100}, {108'350, 333'950}, {108'500, 329'900},
    {108'550, 329'750}, {108'700, 330'500}, {108'750, 330'350}, {108'900, 329'300}, {108'950, 329'150},
    {109'100, 331'400}, {109'150, 331'250}, {109'300, 332'000}, {109'350, 331'850}, {109'500, 332'600},
    {109'550, 332'450}, {109'700, 333'200}, {109'750, 333'050}, {109'900, 333'800}, {109'950, 333'650},
    {110'100, 334'400}, {110'150, 334'250}, {110'300, 335'000}, {110'350, 334'850}, {110'500, 329'600},
    {110'550, 329'450}, {110'700, 330'200}, {110'750, 330'050}, {110'900, 330'800}, {110'950, 330'650},
    {111'100, 331'700}, {111'150, 331'550}, {111'300, 332'300}, {111'350, 332'150}, {111'500, 332'900},
    {111'550, 332'750}, {111'700, 333'500}, {111'750, 333'350}, {111'900, 331'100}, {111'950, 330'950},
}};

std::optional<Frequency> megahertz_above(double first_mhz, int steps, PulseCode code) {
    return Frequency::megahertz(first_mhz + 0.1 * steps + (code == PulseCode::y ? 0.05 : 0.0));
}

}  // namespace

NavigationUse use_of(Frequency frequency) {
    const auto step = step_of(frequency);
    if (!step) {
        return NavigationUse::neither;
    }
    const bool odd_tenth = *step / 2 % 2 == 1;
    return *step < 80 && odd_tenth ? NavigationUse::localizer : NavigationUse::vor;
}

std::string to_text(DmeChannel channel) {
    return fmt::format("{}{}", channel.number, channel.code == PulseCode::x ? 'X' : 'Y');
}

std::optional<Frequency> paired_vhf(DmeChannel channel) {
    OMNIWAY_EXPECTS(channel.number >= 1 && channel.number <= 126);
    if (channel.number >= 70) {
        return megahertz_above(112.3, channel.number - 70, channel.code);
    }
    if (channel.number >= 17 && channel.number <= 59) {
        return megahertz_above(108.0, channel.number - 17, channel.code);
    }
    return std::nullopt;
}

std::optional<Frequency> stand_in_frequency(DmeChannel channel) {
    if (paired_vhf(channel)) {
        return std::nullopt;
    }
    return channel.number < 17 ? megahertz_above(134.4, channel.number - 1, channel.code)
                               : megahertz_above(133.3, channel.number - 60, channel.code);
}

std::optional<DmeChannel> stand_in_channel(Frequency stand_in) {
    const auto khz = whole_khz(stand_in);
    if (!khz || *khz < 133'300 || *khz > 135'950 || *khz % 50 != 0) {
        return std::nullopt;
    }
    const PulseCode code = *khz % 100 == 0 ? PulseCode::x : PulseCode::y;
    const int number = *khz < 134'400 ? 60 + (*khz - 133'300) / 100 : 1 + (*khz - 134'400) / 100;
    return number <= 69 ? std::optional(DmeChannel{number, code}) : std::nullopt;
}

std::optional<DmeChannel> paired_channel(Frequency vhf) {
    const auto step = step_of(vhf);
    if (!step) {
        return std::nullopt;
    }
    const int tenths = *step / 2;  // above 108.0; from 112.3 on the channels begin again at 70
    return DmeChannel{tenths < 43 ? 17 + tenths : 70 + (tenths - 43),
                      *step % 2 == 0 ? PulseCode::x : PulseCode::y};
}

DmeFrequencies frequencies(DmeChannel channel) {
    OMNIWAY_EXPECTS(channel.number >= 1 && channel.number <= 126);
    const double interrogation_mhz = 1024.0 + channel.number;
    const bool answers_below = (channel.code == PulseCode::x) == (channel.number <= 63);
    return {.interrogation = Frequency::megahertz(interrogation_mhz),
            .reply = Frequency::megahertz(interrogation_mhz + (answers_below ? -63.0 : 63.0))};
}

DmePulses pulses(PulseCode code) {
    const auto microseconds = [](double count) { return Duration(count * 1e-6); };
    if (code == PulseCode::x) {
        return {microseconds(12.0), microseconds(12.0), microseconds(50.0)};
    }
    return {microseconds(36.0), microseconds(30.0), microseconds(56.0)};
}

base::Length slant_range_of(Duration delay, PulseCode code) {
    const Duration under_way = delay - pulses(code).reply_delay;
    return base::Length::nautical_miles(under_way.count() / 12.36e-6);
}

std::optional<Frequency> paired_glideslope(Frequency localizer) {
    const auto khz = whole_khz(localizer);
    for (const Pair& pair : pairs) {
        if (khz == pair.localizer_khz) {
            return Frequency::kilohertz(pair.glideslope_khz);
        }
    }
    return std::nullopt;
}

std::optional<Frequency> paired_localizer(Frequency glideslope) {
    const auto khz = whole_khz(glideslope);
    for (const Pair& pair : pairs) {
        if (khz == pair.glideslope_khz) {
            return Frequency::kilohertz(pair.localizer_khz);
        }
    }
    return std::nullopt;
}

}  // namespace omniway::cockpit
