#include "weather/winds_aloft.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "base/contract.hpp"
#include "base/in_quotes.hpp"

namespace omniway::weather {

namespace {

constexpr double lowest_ft = -1500.0;
constexpr double highest_ft = 60000.0;

std::string_view trimmed(std::string_view text) {
    const std::size_t first = text.find_first_not_of(" \t");
    if (first == std::string_view::npos) {
        return {};
    }
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

base::Result<WindAt> parse_level(std::string_view text, const std::string& where) {
    int feet = 0;
    const char* const end = text.data() + text.size();
    const auto [stop, problem] = std::from_chars(text.data(), end, feet);
    const std::string_view rest(stop, static_cast<std::size_t>(end - stop));
    if (problem == std::errc::invalid_argument || rest.empty() ||
        (rest.front() != ' ' && rest.front() != '\t')) {
        return base::failure(
            "weather.winds_form",
            fmt::format("{} is not a level with its wind: expected feet above sea level, a blank and the "
                        "wind there, as 3000 270/20, with a comma before the next",
                        base::in_quotes(text)),
            where);
    }
    if (problem != std::errc() || feet < lowest_ft || feet > highest_ft) {
        return base::failure("weather.level_out_of_range",
                             fmt::format("the level in {} is outside the allowed range {:.0f} to {:.0f} ft",
                                         base::in_quotes(text), lowest_ft, highest_ft),
                             where);
    }
    return parse_wind(trimmed(rest), where).transform([&](const Wind& wind) {
        return WindAt{base::Altitude::feet(feet), wind};
    });
}

// "12,500"
std::string feet_text(base::Altitude altitude) {
    const long feet = std::lround(altitude.feet());
    return feet >= 1000 ? fmt::format("{},{:03}", feet / 1000, feet % 1000) : fmt::format("{}", feet);
}

}  // namespace

WindsAloft::WindsAloft(const Wind& everywhere) : levels_{{base::Altitude(), everywhere}} {}

WindsAloft::WindsAloft(std::vector<WindAt> levels) : levels_(std::move(levels)) {
    OMNIWAY_EXPECTS(!levels_.empty());
    OMNIWAY_EXPECTS(std::is_sorted(levels_.begin(), levels_.end(),
                                   [](const WindAt& a, const WindAt& b) { return a.altitude < b.altitude; }));
}

Wind WindsAloft::at(base::Altitude altitude) const {
    const auto above =
        std::upper_bound(levels_.begin(), levels_.end(), altitude,
                         [](base::Altitude a, const WindAt& level) { return a < level.altitude; });
    if (above == levels_.begin()) {
        return levels_.front().wind;
    }
    if (above == levels_.end()) {
        return levels_.back().wind;
    }
    const WindAt& high = *above;
    const WindAt& low = *(above - 1);
    const double share = (altitude - low.altitude) / (high.altitude - low.altitude);
    const auto part = [&](double (*of)(double)) {
        const auto vector_kt = [&](const Wind& wind) {
            return wind.speed.knots() * of(wind.from.from_north().radians());
        };
        return vector_kt(low.wind) * (1.0 - share) + vector_kt(high.wind) * share;
    };
    const double north_kt = part([](double a) { return std::cos(a); });
    const double east_kt = part([](double a) { return std::sin(a); });
    return {base::TrueBearing::from_north(base::Angle::radians(std::atan2(east_kt, north_kt))),
            base::Speed::knots(std::hypot(north_kt, east_kt))};
}

base::Result<std::vector<WindAt>> parse_winds_aloft(std::string_view text, const std::string& where) {
    std::vector<WindAt> levels;
    for (std::string_view rest = text;;) {
        const std::size_t comma = rest.find(',');
        const auto level = parse_level(trimmed(rest.substr(0, comma)), where);
        if (!level) {
            return tl::unexpected(level.error());
        }
        if (!levels.empty() && level->altitude <= levels.back().altitude) {
            return base::failure("weather.levels_not_ascending",
                                 fmt::format("level {} ft follows {} ft: give the levels in ascending order",
                                             feet_text(level->altitude), feet_text(levels.back().altitude)),
                                 where);
        }
        levels.push_back(*level);
        if (comma == std::string_view::npos) {
            return levels;
        }
        rest.remove_prefix(comma + 1);
    }
}

WindsAloft above_the_surface(const std::optional<Wind>& surface, base::Altitude ground,
                             std::vector<WindAt> levels) {
    if (surface) {
        std::erase_if(levels, [&](const WindAt& level) { return level.altitude <= ground; });
        levels.insert(levels.begin(), WindAt{ground, *surface});
    }
    return WindsAloft(std::move(levels));
}

std::string to_text(const WindsAloft& winds) {
    std::string text = to_text(winds.surface());
    for (std::size_t i = 1; i < winds.levels().size(); ++i) {
        const WindAt& level = winds.levels()[i];
        text += fmt::format(", {} ft {}", feet_text(level.altitude), to_text(level.wind));
    }
    return text;
}

}  // namespace omniway::weather
