#include "readers/runway_ends.hpp"

#include <algorithm>
#include <unordered_map>

#include <fmt/format.h>

#include "earth/geodesic.hpp"

namespace omniway::readers {

namespace {

constexpr double largest_misfit = 0.2;
// What coordinates printed to a few decimals cannot tell apart.
constexpr base::Length smallest_misfit = base::Length::feet(300.0);

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

}  // namespace

std::string reciprocal_ident(std::string_view ident) {
    if (ident.size() < 4 || ident.substr(0, 2) != "RW" || !is_digit(ident[2]) || !is_digit(ident[3])) {
        return {};
    }
    const int number = (ident[2] - '0') * 10 + (ident[3] - '0');
    const int other = number > 18 ? number - 18 : number + 18;
    std::string_view side = ident.substr(4);
    if (side == "L" || side == "R") {
        side = side == "L" ? "R" : "L";
    }
    return fmt::format("RW{:02}{}", other, side);
}

void fill_far_ends(std::vector<navdata::Runway>& runways) {
    std::unordered_map<std::string, std::size_t> by_name;
    by_name.reserve(runways.size());
    for (std::size_t i = 0; i < runways.size(); ++i) {
        by_name.emplace(runways[i].airport + '/' + runways[i].ident, i);
    }
    for (navdata::Runway& runway : runways) {
        if (runway.far_end || !runway.threshold) {
            continue;
        }
        const auto found = by_name.find(runway.airport + '/' + reciprocal_ident(runway.ident));
        if (found == by_name.end() || !runways[found->second].threshold) {
            continue;
        }
        const navdata::Runway& other = runways[found->second];
        if (fits_length(earth::distance(*runway.threshold, *other.threshold), runway.length,
                        runway.displaced + other.displaced)) {
            runway.far_end = other.threshold;
        }
    }
}

bool fits_length(base::Length apart, base::Length length, base::Length displaced_in_all) {
    return abs(apart - length) <= std::max(length * largest_misfit, displaced_in_all + smallest_misfit);
}

}  // namespace omniway::readers
