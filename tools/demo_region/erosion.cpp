#include "erosion.hpp"

#include <array>
#include <cmath>
#include <functional>
#include <queue>
#include <utility>

namespace omniway::demo_region {

namespace {

constexpr double fall_m = 0.02;  // at least so much from place to place, so that water finds its way
constexpr double creep = 0.03;   // of the difference to the four neighbours, each round

/// The places of the land from the sea upwards, each with the one its water runs to.
struct Drainage {
    std::vector<std::size_t> upwards;
    std::vector<std::size_t> below;
};

class Water {
public:
    explicit Water(Relief& relief) : relief_(relief), columns_(static_cast<std::ptrdiff_t>(relief.columns)) {
        for (std::size_t i = 0; i < relief_.land.size(); ++i) {
            if (relief_.land[i] != 0) {
                ++land_places_;
            }
        }
    }

    void round(double strength) {
        const Drainage drainage = find();
        std::vector<double> through(relief_.metres.size(), 1.0);
        for (auto place = drainage.upwards.rbegin(); place != drainage.upwards.rend(); ++place) {
            through[drainage.below[*place]] += through[*place];
        }
        for (const std::size_t place : drainage.upwards) {
            double& height = relief_.metres[place];
            const double cut = strength * relief_.erodibility[place] * (std::sqrt(through[place]) - 0.8);
            const double below = relief_.metres[drainage.below[place]];
            height = (height + cut * below) / (1.0 + cut);
        }
        let_slopes_creep(drainage.upwards);
    }

private:
    std::array<std::size_t, 8> around(std::size_t place) const {
        const auto here = static_cast<std::ptrdiff_t>(place);
        std::array<std::size_t, 8> found{};
        std::size_t count = 0;
        for (const std::ptrdiff_t step : {std::ptrdiff_t{-1}, std::ptrdiff_t{1}, -columns_, columns_,
                                          -columns_ - 1, -columns_ + 1, columns_ - 1, columns_ + 1}) {
            found[count++] = static_cast<std::size_t>(here + step);
        }
        return found;
    }

    Drainage find() {
        using Level = std::pair<double, std::size_t>;
        std::priority_queue<Level, std::vector<Level>, std::greater<>> shore;
        std::vector<std::uint8_t> seen(relief_.land.size(), 0);
        Drainage drainage;
        drainage.upwards.reserve(land_places_);
        drainage.below.resize(relief_.land.size());
        const auto reach = [&](std::size_t from, double level) {
            for (const std::size_t place : around(from)) {
                if (relief_.land[place] == 0 || seen[place] != 0) {
                    continue;
                }
                seen[place] = 1;
                drainage.below[place] = from;
                double& height = relief_.metres[place];
                height = std::max(height, level + fall_m);
                shore.emplace(height, place);
            }
        };
        const auto width = static_cast<std::size_t>(relief_.columns);
        for (std::size_t row = 1; row + 1 < static_cast<std::size_t>(relief_.rows); ++row) {
            for (std::size_t column = 1; column + 1 < width; ++column) {
                const std::size_t place = row * width + column;
                if (relief_.land[place] == 0) {
                    reach(place, 0.0);
                }
            }
        }
        while (!shore.empty()) {
            const auto [level, place] = shore.top();
            shore.pop();
            drainage.upwards.push_back(place);
            reach(place, level);
        }
        for (const std::size_t place : drainage.upwards) {
            drainage.below[place] = steepest(place, drainage.below[place]);
        }
        return drainage;
    }

    /// The neighbour to which it falls most over the way there; rivers would run along the diagonals otherwise.
    std::size_t steepest(std::size_t place, std::size_t lower) const {
        // West, east, north, south, then the diagonals: a step in longitude is about 0.76 of one in latitude.
        constexpr std::array shortness = {1.316, 1.316, 1.0, 1.0, 0.796, 0.796, 0.796, 0.796};
        const std::array<std::size_t, 8> neighbours = around(place);
        double most = 0.0;
        for (std::size_t i = 0; i < neighbours.size(); ++i) {
            const std::size_t there = neighbours[i];
            const double to_m = relief_.land[there] != 0 ? relief_.metres[there] : 0.0;
            const double fall = (relief_.metres[place] - to_m) * shortness[i];
            if (fall > most) {
                most = fall;
                lower = there;
            }
        }
        return lower;
    }

    void let_slopes_creep(const std::vector<std::size_t>& places) {
        const std::vector<double> before = relief_.metres;
        const auto width = static_cast<std::size_t>(columns_);
        for (const std::size_t place : places) {
            const double about =
                before[place - 1] + before[place + 1] + before[place - width] + before[place + width];
            relief_.metres[place] += creep * (about - 4.0 * before[place]);
        }
    }

    Relief& relief_;
    std::ptrdiff_t columns_;
    std::size_t land_places_ = 0;
};

}  // namespace

void erode(Relief& relief, int rounds, double strength) {
    Water water(relief);
    for (int i = 0; i < rounds; ++i) {
        water.round(strength);
    }
}

}  // namespace omniway::demo_region
