#include "app/detail/failures_asked.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <optional>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"

namespace omniway::app::detail {

using base::Error;
using Faults = std::vector<Error>;

namespace {

constexpr const char* option = "--fail";
constexpr double most_minutes = 1440.0;

std::string in_capitals(std::string_view word) {
    std::string capitals(word);
    std::transform(capitals.begin(), capitals.end(), capitals.begin(),
                   [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    return capitals;
}

class Reader {
public:
    Reader(const navdata::Snapshot& world, const cockpit::Equipment& aboard, const flight::Card& card)
        : world_(world), aboard_(aboard), card_(card) {}

    base::Result<rehearsal::Failure> read(const std::string& word) const {
        const auto at = word.find('@');
        return part_of(word.substr(0, at)).and_then([&](rehearsal::FailingPart&& part) {
            return (at == std::string::npos ? rehearsal::FailsFrom(base::Duration(0.0))
                                            : from_of(word, at + 1))
                .transform([&](rehearsal::FailsFrom from) {
                    return rehearsal::Failure{std::move(part), from};
                });
        });
    }

private:
    using Part = base::Result<rehearsal::FailingPart>;
    using From = base::Result<rehearsal::FailsFrom>;

    static Part not_aboard(const std::string& name, const std::string& what) {
        return base::failure("app.unknown_ident",
                             fmt::format("{} cannot fail: the aircraft has {}", base::in_quotes(name), what),
                             option);
    }

    Part part_of(const std::string& name) const {
        const std::string capitals = in_capitals(name);
        const std::size_t receivers = aboard_.receivers.size();
        for (std::size_t number = 1; number <= receivers; ++number) {
            if (capitals == fmt::format("NAV{}", number)) {
                return rehearsal::ReceiverDead{number};
            }
        }
        if (capitals == "DME") {
            return aboard_.dme ? Part(rehearsal::DmeDead{}) : not_aboard(name, "no DME");
        }
        if (capitals == "ADF") {
            return aboard_.adf ? Part(rehearsal::AdfDead{}) : not_aboard(name, "no ADF");
        }
        if (capitals == "GLIDESLOPE") {
            return aboard_.has_glideslope() ? Part(rehearsal::GlideslopeDead{})
                                            : not_aboard(name, "no glideslope receiver");
        }
        if (capitals == "HEADING-INDICATOR") {
            return rehearsal::HeadingIndicatorStuck{};
        }
        for (const navdata::Point& point : world_.named(name)) {
            if (std::holds_alternative<navdata::StationId>(point)) {
                return rehearsal::StationOffTheAir{name};
            }
        }
        if (capitals.starts_with("NAV")) {
            return not_aboard(name, fmt::format("{} receiver{}", receivers, receivers == 1 ? "" : "s"));
        }
        return unknown(name);
    }

    Part unknown(const std::string& name) const {
        std::vector<std::string> known{"DME", "ADF", "glideslope", "heading-indicator"};
        for (std::size_t number = 1; number <= aboard_.receivers.size(); ++number) {
            known.push_back(fmt::format("NAV{}", number));
        }
        for (const navdata::Station& station : world_.stations()) {
            known.push_back(station.ident);
        }
        const std::string near = base::did_you_mean(base::near_matches(name, known));
        return base::failure(
            "app.unknown_ident",
            fmt::format("nothing named {} can fail: {}", base::in_quotes(name),
                        near.empty() ? "name a station by its ident, or NAV1, DME, ADF, glideslope or "
                                       "heading-indicator"
                                     : near),
            option);
    }

    From from_of(const std::string& word, std::size_t begins) const {
        std::string_view text = std::string_view(word).substr(begins);
        constexpr std::string_view minutes = "min";
        const bool in_minutes = text.ends_with(minutes);
        if (in_minutes) {
            text.remove_suffix(minutes.size());
        }
        double value = 0.0;
        const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
        if (fault != std::errc() || end != text.data() + text.size()) {
            return base::failure(
                "app.fail_form",
                fmt::format("{} is neither a step of the card (XRG@6) nor minutes from the take-off "
                            "(XRG@30min)",
                            base::in_quotes(word)),
                option);
        }
        if (in_minutes) {
            if (value >= 0.0 && value <= most_minutes) {
                return base::minutes(value);
            }
            return base::failure(
                "app.out_of_range",
                fmt::format("{} min after the take-off is outside the allowed range 0 to {} min", value,
                            most_minutes),
                option);
        }
        const auto is_it = [value](const flight::Step& step) {
            return static_cast<double>(step.number) == value;
        };
        if (std::any_of(card_.steps.begin(), card_.steps.end(), is_it) ||
            std::any_of(card_.missed.begin(), card_.missed.end(), is_it)) {
            return rehearsal::FromStep{static_cast<int>(value)};
        }
        const int last = card_.missed.empty() ? card_.steps.back().number : card_.missed.back().number;
        return base::failure("app.out_of_range",
                             fmt::format("the card has no step {}: allowed are whole numbers from {} to {}",
                                         value, card_.steps.front().number, last),
                             option);
    }

    const navdata::Snapshot& world_;
    const cockpit::Equipment& aboard_;
    const flight::Card& card_;
};

}  // namespace

tl::expected<rehearsal::Failures, Faults> failures_asked(const std::vector<std::string>& asked,
                                                         const navdata::Snapshot& world,
                                                         const cockpit::Equipment& aboard,
                                                         const flight::Card& card) {
    const Reader reader(world, aboard, card);
    rehearsal::Failures failures;
    Faults faults;
    for (const std::string& word : asked) {
        auto read = reader.read(word);
        if (read) {
            failures.push_back(std::move(*read));
        } else {
            faults.push_back(std::move(read.error()));
        }
    }
    if (!faults.empty()) {
        return tl::unexpected(std::move(faults));
    }
    return failures;
}

}  // namespace omniway::app::detail
