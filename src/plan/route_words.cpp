#include "plan/route_words.hpp"

#include <algorithm>
#include <cctype>
#include <utility>

#include "earth/geodesic.hpp"

namespace omniway::plan {

namespace {

constexpr base::Length same_place = base::Length::nautical_miles(0.1);

// A point of the route that steps may end at.
struct Aim {
    int word = 0;
    std::string ident;                        // empty: coordinates
    std::optional<earth::Position> position;  // of coordinates
};

bool changes_level(const flight::RouteElement& element) {
    const auto* said = std::get_if<flight::RouteSpeedLevel>(&element.word);
    return said != nullptr && said->changes;
}

bool ends_at(const flight::TrackStep& step, const Aim& aim) {
    if (aim.position) {
        return earth::distance(step.finish, *aim.position) < same_place;
    }
    return step.to == aim.ident;
}

bool is_letter_or_figure(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0;
}

// Where a text names a word; its length where it does not.
std::size_t place_of(const std::string& word, const std::string& text) {
    for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
        const std::size_t behind = at + word.size();
        if ((at == 0 || !is_letter_or_figure(text[at - 1])) &&
            (behind == text.size() || !is_letter_or_figure(text[behind]))) {
            return at;
        }
    }
    return text.size();
}

}  // namespace

RouteWords::RouteWords(const navdata::Snapshot& world, const flight::Route& route,
                       const flight::FlightTrack& track) {
    std::vector<Aim> aims;
    for (const flight::RouteElement& element : route.elements) {
        if (changes_level(element)) {
            continue;
        }
        words_.push_back(element.token.text);
        const int number = static_cast<int>(words_.size());
        if (const auto* point = std::get_if<flight::RoutePoint>(&element.word)) {
            if (!world.airport(point->ident)) {
                aims.push_back({number, point->ident, std::nullopt});
            }
        } else if (std::holds_alternative<flight::RouteBearingDistance>(element.word)) {
            aims.push_back({number, element.token.text, std::nullopt});
        } else if (const auto* place = std::get_if<flight::RouteCoordinates>(&element.word)) {
            aims.push_back({number, "", place->position});
        }
    }
    const int last = static_cast<int>(words_.size());
    std::size_t next = 0;
    for (const flight::TrackStep& step : track.steps) {
        if (step.phase == flight::Phase::approach) {
            of_steps_.emplace_back(step.number, last);
            continue;
        }
        // What is flown overhead a point ends at the point again.
        const bool overhead = next > 0 && ends_at(step, aims[next - 1]);
        std::size_t reached = aims.size();
        for (std::size_t i = next; !overhead && i < aims.size() && reached == aims.size(); ++i) {
            reached = ends_at(step, aims[i]) ? i : reached;
        }
        if (overhead) {
            of_steps_.emplace_back(step.number, aims[next - 1].word);
        } else if (reached < aims.size()) {
            of_steps_.emplace_back(step.number, aims[reached].word);
            next = reached + 1;
        } else {
            of_steps_.emplace_back(step.number, next < aims.size() ? aims[next].word : last);
        }
    }
    for (const flight::TrackStep& step : track.missed) {
        of_steps_.emplace_back(step.number, last);
    }
}

std::optional<int> RouteWords::of_step(int number) const {
    const auto found = std::find_if(of_steps_.begin(), of_steps_.end(),
                                    [&](const auto& each) { return each.first == number; });
    return found == of_steps_.end() ? std::nullopt : std::optional(found->second);
}

std::optional<int> RouteWords::of(const base::Finding& finding) const {
    if (finding.step) {
        return of_step(*finding.step);
    }
    std::size_t first = finding.about.size();
    std::optional<int> found;
    for (std::size_t i = 0; i < words_.size(); ++i) {
        if (const std::size_t place = place_of(words_[i], finding.about); place < first) {
            first = place;
            found = static_cast<int>(i + 1);
        }
    }
    return found;
}

}  // namespace omniway::plan
