#include "weather/wind.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstddef>

#include <fmt/format.h>

#include "base/in_quotes.hpp"

namespace omniway::weather {

namespace {

constexpr int greatest_speed_kt = 250;

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// Takes the figures at the front of the text; empty where there is none or more than six.
std::optional<int> take_figures(std::string_view& text, std::size_t& count) {
    count = 0;
    int value = 0;
    while (count < text.size() && is_digit(text[count])) {
        if (count == 6) {
            return std::nullopt;
        }
        value = value * 10 + (text[count] - '0');
        ++count;
    }
    if (count == 0) {
        return std::nullopt;
    }
    text.remove_prefix(count);
    return value;
}

bool all_digits(std::string_view text) {
    return !text.empty() && std::all_of(text.begin(), text.end(), is_digit);
}

bool ends_with_ignoring_case(std::string_view text, std::string_view ending) {
    return text.size() >= ending.size() &&
           std::equal(ending.begin(), ending.end(), text.end() - static_cast<std::ptrdiff_t>(ending.size()),
                      [](char a, char b) { return a == std::tolower(static_cast<unsigned char>(b)); });
}

/// What a person who wrote this most likely meant, as a sentence; empty where there is no telling.
std::string hint(std::string_view text) {
    std::string_view bare = text;
    for (const std::string_view unit : {"kts", "kt", "knots"}) {
        if (ends_with_ignoring_case(bare, unit)) {
            bare.remove_suffix(unit.size());
            break;
        }
    }
    const bool unit_written = bare.size() != text.size();
    while (!bare.empty() && bare.back() == ' ') {
        bare.remove_suffix(1);
    }
    if (ends_with_ignoring_case(text, "mps") || ends_with_ignoring_case(text, "kmh")) {
        return "; give the speed in knots, without a unit";
    }
    if (text.size() >= 3 && ends_with_ignoring_case(text.substr(0, 3), "vrb")) {
        return "; a variable wind has no direction to plan with: give the direction expected, or 000/00 for "
               "none";
    }
    const std::size_t gust = bare.find_first_of("Gg");
    const std::string_view steady = bare.substr(0, gust);
    const std::string_view peak = gust == std::string_view::npos ? std::string_view() : bare.substr(gust + 1);
    if ((steady.size() == 5 || steady.size() == 6) && all_digits(steady) &&
        (peak.empty() || all_digits(peak))) {
        return fmt::format("; did you mean {}/{}{}{}?", steady.substr(0, 3), steady.substr(3),
                           peak.empty() ? "" : "G", peak);
    }
    if (steady.find('@') != std::string_view::npos) {
        return "; put a stroke between direction and speed";
    }
    if (unit_written) {
        return fmt::format("; write the speed without its unit: {}", bare);
    }
    return {};
}

tl::unexpected<base::Error> wrong_form(std::string_view text, std::string where) {
    return base::failure(
        "weather.wind_form",
        fmt::format("{} is not a wind: expected DDD/FF or DDD/FFGGG, the direction it blows from in "
                    "three figures (000 to 360, true) and knots (0 to {}), as 270/15 or 270/15G25{}",
                    base::in_quotes(text), greatest_speed_kt, hint(text)),
        std::move(where));
}

}  // namespace

Wind at_the_gust(const Wind& wind) {
    return {.from = wind.from, .speed = wind.gust.value_or(wind.speed), .gust = wind.gust};
}

base::Result<Wind> parse_wind(std::string_view text, std::string where) {
    std::string_view rest = text;
    std::size_t figures = 0;
    const std::optional<int> direction = take_figures(rest, figures);
    if (!direction || figures != 3 || rest.empty() || rest.front() != '/') {
        return wrong_form(text, std::move(where));
    }
    rest.remove_prefix(1);
    const std::optional<int> speed = take_figures(rest, figures);
    if (!speed) {
        return wrong_form(text, std::move(where));
    }
    std::optional<int> gust;
    if (!rest.empty() && (rest.front() == 'G' || rest.front() == 'g')) {
        rest.remove_prefix(1);
        gust = take_figures(rest, figures);
        if (!gust) {
            return wrong_form(text, std::move(where));
        }
    }
    if (!rest.empty()) {
        return wrong_form(text, std::move(where));
    }

    if (*direction > 360) {
        return base::failure(
            "weather.wind_direction_out_of_range",
            fmt::format("wind direction {:03} degrees in {} is outside the allowed range 000 to 360 degrees",
                        *direction, base::in_quotes(text)),
            std::move(where));
    }
    if (*speed > greatest_speed_kt || gust.value_or(0) > greatest_speed_kt) {
        const bool is_gust = *speed <= greatest_speed_kt;
        return base::failure("weather.wind_speed_out_of_range",
                             fmt::format("{} {} kt in {} is outside the allowed range 0 to {} kt",
                                         is_gust ? "gust" : "wind speed", is_gust ? *gust : *speed,
                                         base::in_quotes(text), greatest_speed_kt),
                             std::move(where));
    }
    if (gust && *gust < *speed) {
        return base::failure(
            "weather.gust_below_wind",
            fmt::format("gust {} kt in {} is below the wind speed {} kt: the allowed range is {} to {} kt",
                        *gust, base::in_quotes(text), *speed, *speed, greatest_speed_kt),
            std::move(where));
    }
    Wind wind{.from = base::TrueBearing::degrees(*direction), .speed = base::Speed::knots(*speed)};
    if (gust) {
        wind.gust = base::Speed::knots(*gust);
    }
    return wind;
}

std::string to_text(const Wind& wind) {
    const long speed = std::lround(wind.speed.knots());
    const long rounded = std::lround(wind.from.degrees()) % 360;
    const bool calm = speed == 0 && !wind.gust;
    const long direction = calm ? 0 : (rounded == 0 ? 360 : rounded);
    std::string text = fmt::format("{:03}/{:02}", direction, speed);
    if (wind.gust) {
        text += fmt::format("G{:02}", std::lround(wind.gust->knots()));
    }
    return text;
}

}  // namespace omniway::weather
