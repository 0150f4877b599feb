#include "app/detail/winds_asked.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"
#include "readers/winds_aloft.hpp"

namespace omniway::app::detail {

namespace {

void from_bulletin(std::vector<base::Error>& faults, const PlanQuestion& question, WindsAsked& asked) {
    if (!question.winds.empty()) {
        faults.push_back({"app.two_winds",
                          "the winds by level come from --winds or from --winds-file: give one of them",
                          "--winds-file"});
        return;
    }
    if (!question.winds_file || !question.winds_station) {
        faults.push_back(
            {"app.winds_incomplete",
             "--winds-file FILE names a bulletin and --winds-station XXX the station of it: give both",
             question.winds_file ? "--winds-station" : "--winds-file"});
        return;
    }
    const auto bulletin = read_given(
        question.files, *question.winds_file,
        [&](const std::string& text) { return readers::read_winds_aloft(text, *question.winds_file); },
        readers::read_winds_aloft_file,
        [](base::Error error) -> decltype(readers::read_winds_aloft_file("")) {
            return tl::unexpected(std::vector<base::Error>{std::move(error)});
        });
    if (!bulletin) {
        faults.insert(faults.end(), bulletin.error().begin(), bulletin.error().end());
        return;
    }
    const readers::StationWinds* station = readers::winds_at(*bulletin, *question.winds_station);
    if (station == nullptr) {
        std::vector<std::string> known;
        for (const readers::StationWinds& each : bulletin->stations) {
            known.push_back(each.station);
        }
        const std::string near = base::did_you_mean(base::near_matches(*question.winds_station, known));
        faults.push_back(
            {"app.unknown_winds_station",
             fmt::format("the bulletin has no winds for {}{}", base::in_quotes(*question.winds_station),
                         near.empty() ? fmt::format("; it has {} stations, {} to {}", known.size(),
                                                    known.front(), known.back())
                                      : "; " + near),
             "--winds-station"});
        return;
    }
    faults.insert(faults.end(), station->faults.begin(), station->faults.end());
    for (const readers::LevelWind& level : station->levels) {
        asked.levels.push_back({level.altitude, level.wind});
    }
}

}  // namespace

WindsAsked winds_asked(std::vector<base::Error>& faults, const PlanQuestion& question) {
    WindsAsked asked;
    if (question.wind) {
        if (const auto wind = weather::parse_wind(*question.wind, "--wind")) {
            asked.surface = *wind;
        } else {
            faults.push_back(wind.error());
        }
    }
    if (question.winds_file || question.winds_station) {
        from_bulletin(faults, question, asked);
    } else if (!question.winds.empty()) {
        std::string all;
        for (const std::string& each : question.winds) {
            all += (all.empty() ? "" : ", ") + each;
        }
        if (auto levels = weather::parse_winds_aloft(all, "--winds")) {
            asked.levels = std::move(*levels);
        } else {
            faults.push_back(levels.error());
        }
    }
    return asked;
}

weather::WindsAloft winds_over(const WindsAsked& asked, const std::optional<base::Altitude>& departure,
                               const std::optional<base::Altitude>& arrival) {
    if (asked.levels.empty()) {
        return asked.surface.value_or(weather::Wind{});
    }
    const base::Altitude ground = std::min(departure.value_or(arrival.value_or(base::Altitude())),
                                           arrival.value_or(departure.value_or(base::Altitude())));
    return weather::above_the_surface(asked.surface, ground, asked.levels);
}

}  // namespace omniway::app::detail
