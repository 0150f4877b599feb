#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <utility>

#include "radio/detail/octant.hpp"

namespace omniway::radio::detail {

/// Eight neighbouring rays of an octant, swept outward together; what is eight numbers at once is V's. Cells between
/// two rays get the slope between theirs.
template <class V>
class RayBundle {
    using Number = typename V::Number;

public:
    /// The first of its rays is number `first` of those that cut the octant into `intervals`.
    RayBundle(const Octant& octant, const SweepTerms& terms, int intervals, int first)
        : octant_(octant), terms_(terms), intervals_(intervals), first_(first), reader_(octant) {
        float shares[8];
        for (int lane = 0; lane < 8; ++lane) {
            shares[lane] = std::min(static_cast<float>(first + lane) / static_cast<float>(intervals), 1.0F);
        }
        share_ = V::from(shares);
        forward_aside_ = shares[0];
        per_share_ = V::divide(V::all(1.0F), V::larger(share_, V::all(1e-6F)));
        drop_ = V::multiply(V::add(V::all(1.0F), V::multiply(share_, share_)),
                            V::all(terms.drop_per_node_square_m));
        nearest_ =
            V::divide(V::all(0.25F), V::square_root(V::add(V::all(1.0F), V::multiply(share_, share_))));
        antenna_m_ = V::all(terms.antenna_m);
        last_ahead_ =
            first >= intervals
                ? 0
                : std::min(static_cast<int>(octant.cells_aside.size()) - 1,
                           static_cast<int>(terms.radius_nodes / std::sqrt(1.0F + shares[0] * shares[0])));
    }

    /// The first or the second half of the rays of a bundle that was swept as far as `ahead`, with one more between any two.
    RayBundle(const RayBundle& wider, int half, int ahead)
        : RayBundle(wider.octant_, wider.terms_, 2 * wider.intervals_,
                    2 * wider.first_ + half * intervals_together) {
        const Number place = V::add(V::multiply(V::count(), V::all(0.5F)),
                                    V::all(0.5F * static_cast<float>(half * intervals_together)));
        const auto below = V::whole(V::smaller(place, V::all(6.0F)));
        const Number part = V::subtract(place, V::number(below));
        const auto between_rays = [&](const Number& v) {
            return between_two(V::pick(v, below), V::pick_next(v, below), part);
        };
        steepest_ = between_rays(wider.steepest_);
        unknown_ = between_rays(wider.unknown_);
        before_ = line(ahead);
    }

    int intervals() const { return intervals_; }
    int last_ahead() const { return last_ahead_; }

    /// The next node ahead: to be called for 1, 2, 3 ... up to the last.
    void step(int ahead) {
        const auto x = static_cast<float>(ahead);
        const float per_ahead = 1.0F / x;
        if (ahead == 1) {
            before_ = line(0);
        }
        const Line here = line(ahead);
        reader_.look_forward(ahead, forward_aside_);
        const Crossing crossing = cross_grid_line(before_, here, x - 1.0F);
        if (ahead <= terms_.peaks_to) {
            peaks(ahead, here, crossing);
        }
        write_cells(ahead, per_ahead);
        raise(here.on_ray_m, V::all(x), V::all(per_ahead));
        before_ = here;
    }

private:
    /// Ground to both sides of the rays at a whole node ahead.
    struct Line {
        Number aside;
        Number whole;  // aside, rounded down
        Number low_m;
        Number high_m;
        Number on_ray_m;
    };

    /// Where rays cross a grid line along the octant between two nodes ahead; at the second of them where they do not.
    struct Crossing {
        Number ahead;
        Number ground_m;
    };

    static Number between_two(const Number& low, const Number& high, const Number& part) {
        return V::add(low, V::multiply(part, V::subtract(high, low)));
    }

    Line line(int ahead) {
        const Number aside = V::multiply(share_, V::all(static_cast<float>(ahead)));
        // A ray that leaves the grid goes on along its edge; no cell lies there.
        const auto whole = V::whole(V::smaller(aside, V::all(static_cast<float>(octant_.most_aside - 1))));
        const auto nodes = reader_.at(ahead, whole);
        const Number low = V::number(whole);
        return {aside, low, nodes.low, nodes.high,
                between_two(nodes.low, nodes.high, V::subtract(aside, low))};
    }

    /// The slope to ground, in metres of height by node ahead. Unknown ground raises nothing and is remembered.
    void raise(const Number& ground_m, const Number& ahead, const Number& per_ahead) {
        const Number above_m = V::subtract(ground_m, antenna_m_);
        const Number slope = V::subtract(V::multiply(above_m, per_ahead), V::multiply(drop_, ahead));
        unknown_ = V::add(unknown_, V::subtract(above_m, above_m));
        steepest_ = V::larger(slope, steepest_);
    }

    Crossing cross_grid_line(const Line& before, const Line& here, float ahead) {
        const Number past = V::multiply(V::subtract(here.whole, before.aside), per_share_);
        const Number on_line_m = between_two(before.high_m, here.low_m, past);
        const Number at =
            V::where_larger(here.whole, before.whole, V::add(V::all(ahead), past), V::all(ahead + 1.0F));
        const Number ground_m = V::where_larger(here.whole, before.whole, on_line_m, here.on_ray_m);
        raise(ground_m, at, V::divide(V::all(1.0F), at));
        return {at, ground_m};
    }

    /// Between grid lines the profile is a parabola, and may stand higher against the antenna than at either end.
    void peaks(int ahead, const Line& here, const Crossing& crossing) {
        const auto beyond = reader_.anywhere(ahead, V::whole(before_.whole));
        const auto back = reader_.anywhere(ahead - 1, V::whole(here.whole));
        const auto bend = [&](const Number& low, const Number& high, const Number& low_next,
                              const Number& high_next) {
            return V::multiply(share_, V::subtract(V::subtract(high_next, low_next), V::subtract(high, low)));
        };
        const auto x = static_cast<float>(ahead);
        raise_peak({V::all(x - 1.0F), before_.on_ray_m}, crossing,
                   bend(before_.low_m, before_.high_m, beyond.low, beyond.high));
        raise_peak(crossing, {V::all(x), here.on_ray_m}, bend(back.low, back.high, here.low_m, here.high_m));
    }

    /// With ground A + B x + C x^2 above the antenna and a fall of k x^2 the slope is A / x + B + (C - k) x: steepest at the root
    /// of A / (C - k), or at an end.
    void raise_peak(const Crossing& from, const Crossing& to, const Number& bend) {
        const Number length = V::larger(V::subtract(to.ahead, from.ahead), V::all(1.0F / 1024.0F));
        const Number per_node = V::divide(V::subtract(to.ground_m, from.ground_m), length);
        const Number at_antenna = V::add(V::subtract(from.ground_m, V::multiply(per_node, from.ahead)),
                                         V::multiply(bend, V::multiply(from.ahead, to.ahead)));
        const Number below = V::larger(V::subtract(antenna_m_, at_antenna), V::all(0.0F));
        const Number falls = V::larger(V::subtract(drop_, bend), V::all(1e-12F));
        const Number top = V::square_root(V::divide(below, falls));
        const Number at = V::smaller(V::larger(top, V::larger(from.ahead, nearest_)), to.ahead);
        const Number past = V::subtract(at, from.ahead);
        const Number ground_m = V::add(V::add(from.ground_m, V::multiply(per_node, past)),
                                       V::multiply(bend, V::multiply(past, V::subtract(at, to.ahead))));
        raise(ground_m, at, V::divide(V::all(1.0F), at));
    }

    /// The cells at a node ahead that lie between the first and the last ray; those on a ray belong to both sides.
    void write_cells(int ahead, float per_ahead) const {
        constexpr float slack = 1.0F / 1024.0F;  // so that rounding leaves no cell out
        const auto x = static_cast<float>(ahead);
        const float nodes_per_ray = x * (1.0F / static_cast<float>(intervals_));
        const int begin = static_cast<int>(static_cast<float>(first_) * nodes_per_ray + (1.0F - slack));
        const int end = std::min(static_cast<int>(static_cast<float>(first_ + 7) * nodes_per_ray + slack),
                                 octant_.cells_aside[static_cast<std::size_t>(ahead)]);
        if (end < begin) {
            return;
        }
        const Number y = V::add(V::all(static_cast<float>(begin)), V::count());
        const float rays_per_node = static_cast<float>(intervals_) * per_ahead;
        const Number ray =
            V::subtract(V::multiply(y, V::all(rays_per_node)), V::all(static_cast<float>(first_)));
        const Number inside = V::smaller(V::larger(ray, V::all(0.0F)), V::all(6.9999995F));
        const auto below = V::whole(inside);
        const Number slopes = V::add(steepest_, unknown_);
        const Number slope = between_two(V::pick(slopes, below), V::pick_next(slopes, below),
                                         V::subtract(inside, V::number(below)));
        const Number fallen_m =
            V::multiply(V::add(V::all(x * x), V::multiply(y, y)), V::all(terms_.drop_per_node_square_m));
        const Number climbed_m = V::add(V::multiply(slope, V::all(x)), fallen_m);
        // (3) to the second order: a ray that climbs far does so away from a vertical that has turned.
        const Number turned_m = V::multiply(V::multiply(climbed_m, climbed_m), V::all(terms_.per_radius));
        const Number seen_m = V::add(V::add(antenna_m_, climbed_m), turned_m);
        reader_.write(ahead, begin, end, seen_m);
    }

    const Octant& octant_;
    const SweepTerms& terms_;
    int intervals_;
    int first_;
    int last_ahead_;
    float forward_aside_;  // nodes aside by node ahead of the first ray
    typename V::Reader reader_;
    Number share_;
    Number per_share_;
    Number nearest_;
    Number drop_;
    Number antenna_m_;
    Number steepest_ = V::all(-1e30F);
    Number unknown_ = V::all(0.0F);
    Line before_;
};

/// Sweeps bundles side by side, so that memory is met once for all of them, and doubles their rays where these come to lie a
/// node apart, until there are enough for the radius.
template <class V, std::size_t bundles>
void sweep_side_by_side(std::array<RayBundle<V>, bundles>& side_by_side, int ahead) {
    const int last = side_by_side[0].last_ahead();  // the first reaches farthest ahead
    const int to = bundles == bundles_together ? last : std::min(last, side_by_side[0].intervals());
    for (; ahead <= to; ++ahead) {
        for (RayBundle<V>& bundle : side_by_side) {
            if (ahead <= bundle.last_ahead()) {
                bundle.step(ahead);
            }
        }
    }
    if constexpr (bundles < bundles_together) {
        if (ahead <= last) {
            const auto halves = [&]<std::size_t... number>(std::index_sequence<number...>) {
                return std::array<RayBundle<V>, 2 * bundles>{
                    RayBundle<V>(side_by_side[number / 2], static_cast<int>(number % 2), ahead - 1)...};
            };
            auto closer = halves(std::make_index_sequence<2 * bundles>());
            sweep_side_by_side<V>(closer, ahead);
        }
    }
}

template <class V, int bundles>
void sweep_from_antenna(const Octant& octant, const SweepTerms& terms, int first) {
    const auto widest = [&]<int... number>(std::integer_sequence<int, number...>) {
        return std::array<RayBundle<V>, bundles>{
            RayBundle<V>(octant, terms, terms.intervals, first + number * intervals_together)...};
    };
    auto side_by_side = widest(std::make_integer_sequence<int, bundles>());
    sweep_side_by_side<V>(side_by_side, 1);
}

template <class V>
void sweep_outward(const Octant& octant, const SweepTerms& terms, int first) {
    switch (terms.doublings) {
        case 0:
            return sweep_from_antenna<V, bundles_together>(octant, terms, first);
        case 1:
            return sweep_from_antenna<V, bundles_together / 2>(octant, terms, first);
        default:
            return sweep_from_antenna<V, bundles_together / 4>(octant, terms, first);
    }
}

}  // namespace omniway::radio::detail
