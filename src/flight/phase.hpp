#pragma once

namespace omniway::flight {

/// The part of a flight that a leg or a step belongs to.
enum class Phase { departure, en_route, arrival, approach, missed };

}  // namespace omniway::flight
