#pragma once

#include <vector>

#include "flight/judge.hpp"
#include "tests/magnetic_model.hpp"

namespace omniway::testing {

/// A drawn flight compiled and judged in the middle of 2026.
inline flight::Judgement judged(const navdata::Snapshot& world, const radio::Ground& ground,
                                const aircraft::Aircraft& aircraft, const flight::Settings& settings,
                                const weather::WindsAloft& winds, const flight::Flight& flight) {
    const flight::Circumstances day{world,    ground, magnetic_model(), earth::DecimalYear{2026.5}, aircraft,
                                    settings, winds};
    return flight::judge(day, flight, flight::compile(day, flight));
}

}  // namespace omniway::testing
