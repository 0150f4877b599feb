#include "flight/region_minimum.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "flight/off_airway_minimum.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;
using earth::GroundInSquare;
using earth::PlaneSquare;

namespace {

constexpr Length mountain_side = Length::nautical_miles(1.0);
constexpr Length mountain_reach = Length::nautical_miles(10.0);

void take_in(GroundInSquare& all, const GroundInSquare& part) {
    all.known = all.known && part.known;
    if (part.highest) {
        all.highest = all.highest ? std::max(*all.highest, *part.highest) : part.highest;
        all.lowest = all.lowest ? std::min(*all.lowest, *part.lowest) : part.lowest;
    }
}

// Where mountains are, in squares of a mile or more.
class Mountains {
public:
    Mountains(const earth::Terrain& terrain, const earth::SquaredRegion& region)
        : about_(
              earth::grown(region, std::max(mountain_side, Length::metres(region.side_m)), mountain_reach)),
          window_(static_cast<int>(std::ceil(mountain_reach.metres() / about_.side_m - 1e-9))) {
        lay_out(earth::ground_in(terrain, about_));
        find();
    }

    bool at(earth::PlanePoint place) const {
        return mountains_[index(
                   static_cast<int>(std::floor(place.north_m / about_.side_m)) - first_.row,
                   static_cast<int>(std::floor(place.east_m / about_.side_m)) - first_.column)] != 0;
    }

private:
    std::size_t index(int row, int column) const {
        return static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
               static_cast<std::size_t>(column);
    }

    // Between the parts of a region that lie far apart nothing is looked at: no ground, and known.
    void lay_out(const std::vector<GroundInSquare>& ground) {
        PlaneSquare last = first_ = about_.squares.front();
        for (const PlaneSquare& square : about_.squares) {
            first_ = {std::min(first_.row, square.row), std::min(first_.column, square.column)};
            last = {std::max(last.row, square.row), std::max(last.column, square.column)};
        }
        rows_ = last.row - first_.row + 1;
        columns_ = last.column - first_.column + 1;
        const std::size_t count = static_cast<std::size_t>(rows_) * static_cast<std::size_t>(columns_);
        ground_.resize(count);
        mountains_.assign(count, 0);
        for (std::size_t i = 0; i < ground.size(); ++i) {
            ground_[index(about_.squares[i].row - first_.row, about_.squares[i].column - first_.column)] =
                ground[i];
        }
    }

    // Ten miles up from each square, then ten miles to the right of these.
    void find() {
        std::vector<GroundInSquare> columns(ground_.size());
        for (int row = 0; row + window_ <= rows_; ++row) {
            for (int column = 0; column < columns_; ++column) {
                for (int up = 0; up < window_; ++up) {
                    take_in(columns[index(row, column)], ground_[index(row + up, column)]);
                }
            }
        }
        for (int row = 0; row + window_ <= rows_; ++row) {
            for (int column = 0; column + window_ <= columns_; ++column) {
                GroundInSquare all;
                for (int right = 0; right < window_; ++right) {
                    take_in(all, columns[index(row, column + right)]);
                }
                if (!all.known || (all.highest && is_mountainous(*all.highest, *all.lowest))) {
                    mark(row, column);
                }
            }
        }
    }

    void mark(int row, int column) {
        for (int up = 0; up < window_; ++up) {
            const auto first = mountains_.begin() + static_cast<std::ptrdiff_t>(index(row + up, column));
            std::fill(first, first + window_, 1);
        }
    }

    earth::SquaredRegion about_;
    int window_;
    PlaneSquare first_;
    int rows_ = 0;
    int columns_ = 0;
    std::vector<GroundInSquare> ground_;
    std::vector<char> mountains_;
};

}  // namespace

RegionAsks region_minimum(const earth::Terrain& terrain, const earth::SquaredRegion& region,
                          Length allowance) {
    RegionAsks asks;
    if (region.squares.empty()) {
        return asks;
    }
    const Mountains mountains(terrain, region);
    const auto ground = earth::ground_in(terrain, region);
    std::size_t unknown = 0;
    for (std::size_t i = 0; i < ground.size(); ++i) {
        unknown += ground[i].known ? 0 : 1;
        if (!ground[i].highest) {
            continue;
        }
        asks.highest = asks.highest ? std::max(*asks.highest, *ground[i].highest) : ground[i].highest;
        const earth::PlanePoint corner = region.corner(region.squares[i]);
        const earth::PlanePoint middle{corner.east_m + region.side_m / 2.0,
                                       corner.north_m + region.side_m / 2.0};
        const GroundAsks here =
            asks_over(*ground[i].highest, ground[i].highest_at, allowance, mountains.at(middle));
        if (!asks.most || here.altitude > asks.most->altitude) {
            asks.most = here;
        }
    }
    asks.unknown = static_cast<double>(unknown) / static_cast<double>(ground.size());
    return asks;
}

}  // namespace omniway::flight
