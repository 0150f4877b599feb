#pragma once

#include <cmath>
#include <vector>

namespace omniway::testing {

/// The standard deviation of values about their own mean.
inline double deviation(const std::vector<double>& all) {
    double sum = 0.0;
    double squares = 0.0;
    for (const double each : all) {
        sum += each;
        squares += each * each;
    }
    const double mean = sum / static_cast<double>(all.size());
    return std::sqrt(squares / static_cast<double>(all.size()) - mean * mean);
}

}  // namespace omniway::testing
