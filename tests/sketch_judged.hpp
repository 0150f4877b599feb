#pragma once

#include <vector>

#include "earth/magnetic_model.hpp"
#include "flight/judge.hpp"
#include "tests/real_data.hpp"

namespace omniway::testing {

inline const earth::MagneticModel& magnetic_model() {
    static const earth::MagneticModel loaded =
        earth::MagneticModel::load((source_folder() / "data/magnetic").string()).value();
    return loaded;
}

/// A drawn flight compiled and judged in the middle of 2026.
inline flight::Judgement judged(const navdata::Snapshot& world, const radio::Ground& ground,
                                const aircraft::Aircraft& aircraft, const flight::Settings& settings,
                                const weather::WindsAloft& winds, const flight::Flight& flight) {
    const flight::Circumstances day{world,    ground, magnetic_model(), earth::DecimalYear{2026.5}, aircraft,
                                    settings, winds};
    return flight::judge(day, flight, flight::compile(day, flight));
}

}  // namespace omniway::testing
