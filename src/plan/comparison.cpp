#include "plan/comparison.hpp"

#include <algorithm>
#include <cmath>
#include <type_traits>
#include <variant>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace omniway::plan {

namespace {

void add_once(std::vector<std::string>& list, const std::string& word) {
    if (std::find(list.begin(), list.end(), word) == list.end()) {
        list.push_back(word);
    }
}

// The aid that a guidance or an end is of, where it is of one.
template <class Part>
const flight::NamedAid* aid_of(const Part& part) {
    if constexpr (std::is_same_v<Part, flight::ChangeOver>) {
        return &part.to;
    } else if constexpr (requires { part.aid.ident; }) {
        return &part.aid;
    } else if constexpr (requires { part.aid->ident; }) {
        return part.aid ? &*part.aid : nullptr;
    } else {
        return nullptr;
    }
}

std::vector<std::string> stations_of(const flight::Card& card) {
    std::vector<std::string> stations;
    const auto add = [&](const auto& part) {
        if (const flight::NamedAid* aid = aid_of(part)) {
            add_once(stations, aid->ident);
        }
    };
    for (const flight::Step& step : card.steps) {
        std::visit(add, step.guidance);
        std::visit(add, step.end);
    }
    return stations;
}

std::string with_procedure(const std::string& runway, const std::string& procedure) {
    return procedure.empty() ? runway : runway + " by " + procedure;
}

std::string listed(const std::vector<std::string>& words) {
    if (words.size() < 2) {
        return words.empty() ? "" : words.front();
    }
    return fmt::format("{} and {}", fmt::join(words.begin(), words.end() - 1, ", "), words.back());
}

// Those of the one that the other has not.
std::vector<std::string> without(std::vector<std::string> words, const std::vector<std::string>& others) {
    std::erase_if(words, [&](const std::string& word) {
        return std::find(others.begin(), others.end(), word) != others.end();
    });
    return words;
}

// "it needs XKE and XHU, and not XRG".
std::string of_lists(const std::string& verb, const std::string& verb_not,
                     const std::vector<std::string>& from, const std::vector<std::string>& other) {
    const auto more = without(other, from);
    const auto less = without(from, other);
    if (more.empty()) {
        return less.empty() ? "" : fmt::format("it does not {} {}", verb_not, listed(less));
    }
    return fmt::format("it {} {}{}", verb, listed(more), less.empty() ? " too" : ", and not " + listed(less));
}

std::string of_airways(const Outline& from, const Outline& other) {
    if (other.airways.empty() && !from.airways.empty()) {
        return fmt::format("it follows no airway, and not {}", listed(from.airways));
    }
    return of_lists("follows", "follow", from.airways, other.airways);
}

std::string of_dead_reckoning(const Outline& from, const Outline& other) {
    const double more_nm = (other.dead_reckoning - from.dead_reckoning).nautical_miles();
    if (std::abs(more_nm) < 1.0) {
        return "";
    }
    return fmt::format("{:.1f} NM are flown by heading alone, {:.1f} NM {}",
                       other.dead_reckoning.nautical_miles(), std::abs(more_nm),
                       more_nm > 0.0 ? "more" : "less");
}

std::string of_minimum(const Outline& from, const Outline& other) {
    constexpr base::Length no_difference = base::Length::feet(50.0);
    if (!other.highest_minimum || !from.highest_minimum) {
        if (other.highest_minimum || !from.highest_minimum) {
            return "";
        }
        return "no minimum is known along it";
    }
    if (abs(*other.highest_minimum - *from.highest_minimum) < no_difference) {
        return "";
    }
    return fmt::format("its highest minimum is {:.0f} ft instead of {:.0f} ft", other.highest_minimum->feet(),
                       from.highest_minimum->feet());
}

std::string of_words(const std::string& verb, const std::string& from, const std::string& other) {
    return other == from || other.empty() || from.empty()
               ? ""
               : fmt::format("it {} {} instead of {}", verb, other, from);
}

}  // namespace

Outline outline_of(const navdata::Snapshot& world, const Option& option) {
    const flight::Flight& flight = option.flight;
    const flight::FlightTrack& track = option.compiled.track;
    Outline outline;
    outline.stations = stations_of(option.compiled.card);
    for (const flight::Leg& leg : flight.legs) {
        if (leg.phase == flight::Phase::en_route && leg.published) {
            add_once(outline.airways, leg.via);
        }
    }
    for (const flight::TrackStep& step : track.steps) {
        if (std::holds_alternative<procedure::OnHeading>(step.guidance) && !step.along_runway) {
            outline.dead_reckoning += step.length;
        }
        if (step.phase != flight::Phase::approach && step.minimum.altitude) {
            outline.highest_minimum =
                std::max(outline.highest_minimum.value_or(*step.minimum.altitude), *step.minimum.altitude);
        }
    }
    outline.departs = with_procedure(world[flight.departure_runway].ident, flight.sid);
    outline.lands =
        flight.arrival_runway ? with_procedure(world[*flight.arrival_runway].ident, flight.star) : "";
    return outline;
}

std::vector<std::string> differences(const Outline& from, const Outline& other) {
    std::vector<std::string> sentences{of_airways(from, other),
                                       of_lists("needs", "need", from.stations, other.stations),
                                       of_dead_reckoning(from, other),
                                       of_minimum(from, other),
                                       of_words("takes off from", from.departs, other.departs),
                                       of_words("lands on", from.lands, other.lands)};
    std::erase(sentences, std::string());
    return sentences;
}

}  // namespace omniway::plan
