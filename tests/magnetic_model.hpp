#pragma once

#include "earth/magnetic_model.hpp"
#include "tests/real_data.hpp"

namespace omniway::testing {

/// The World Magnetic Model that is shipped, read once for a test program.
inline const earth::MagneticModel& magnetic_model() {
    static const earth::MagneticModel loaded =
        earth::MagneticModel::load((source_folder() / "data/magnetic").string()).value();
    return loaded;
}

}  // namespace omniway::testing
