#pragma once

namespace omniway::radio {

/// The kinds of signal that the criteria give different figures to.
///   Model     by what is received: an azimuth of one of three kinds, or a distance.
///   Domain    closed.
///   Accuracy  exact.
///   Cost      none.
///   Fails     never.
///   Source    trade-facts 1 and 3.2.
enum class AidKind { vor, distance, ndb, localizer };

}  // namespace omniway::radio
