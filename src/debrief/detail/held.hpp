#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

#include "debrief/step_debriefed.hpp"
#include "earth/local_frame.hpp"

namespace omniway::debrief::detail {

inline constexpr double nm = 1852.0;  // metres
inline constexpr double pi = std::numbers::pi;
inline constexpr double degree = pi / 180.0;

/// An angle brought to within half a turn of zero.
inline double wrapped(double rad) {
    return std::remainder(rad, 2.0 * pi);
}

inline double metres_between(earth::PlanePoint a, earth::PlanePoint b) {
    return std::hypot(a.east_m - b.east_m, a.north_m - b.north_m);
}

/// Values with the time that each was held.
class Over {
public:
    void add(double value, double seconds) { values_.push_back({value, seconds}); }
    bool empty() const { return values_.empty(); }
    Held<double> held() {
        Held<double> held;
        double seconds = 0.0;
        for (const auto& [value, lasts] : values_) {
            held.mean += value * lasts;
            seconds += lasts;
            held.worst = std::abs(value) > std::abs(held.worst) ? value : held.worst;
        }
        held.mean = seconds > 0.0 ? held.mean / seconds : values_.front().first;
        std::sort(values_.begin(), values_.end(),
                  [](const auto& a, const auto& b) { return std::abs(a.first) < std::abs(b.first); });
        double within = 0.0;
        for (const auto& [value, lasts] : values_) {
            held.within_95 = std::abs(value);
            within += lasts;
            if (within >= 0.95 * seconds) {
                break;
            }
        }
        return held;
    }

private:
    std::vector<std::pair<double, double>> values_;
};

template <class Quantity>
Held<Quantity> in(const Held<double>& held, Quantity (*unit)(double)) {
    return {unit(held.mean), unit(held.within_95), unit(held.worst)};
}

}  // namespace omniway::debrief::detail
