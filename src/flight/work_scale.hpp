#pragma once

#include "base/bearing.hpp"

namespace omniway::flight {

/// The work of a flight in points: what the person flying has to do beyond holding a heading and a height.
///   Model     one point is one knob turned to another frequency. The search estimates with these numbers (routing/search.hpp), and a
///             compiled flight is reckoned with them (flight/costs.hpp).
///   Domain    from take-off to the missed approach point.
///   Accuracy  exact: a scale.
///   Cost      constants.
///   Fails     never.
///   Source    common practice, no source (docs/methods/routing.md).
struct WorkScale {
    static constexpr double retune = 1.0;
    static constexpr double ident = 1.0;
    static constexpr double dead_reckoning_minute = 1.0;
    static constexpr double hold = 3.0;
    static constexpr double reversal = 2.0;
    static constexpr double arc = 2.0;
    static constexpr double awkward_intercept = 1.0;
    /// A turn onto the next line by more than this is awkward.
    static constexpr base::Angle awkward_from = base::Angle::degrees(60.0);
};

}  // namespace omniway::flight
