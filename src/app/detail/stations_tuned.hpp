#pragma once

#include <string>

#include "app/reading_words.hpp"
#include "base/result.hpp"
#include "fixing/reading.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::app::detail {

/// The stations that it may have been that was read: every one in service of the kind that shows such a thing, and of that ident, frequency or
/// Morse.
///   Model     a radial is of a VOR, never of a TACAN's azimuth; a distance of whatever has a DME; over and silent ask for any azimuth that is
///             heard (over: no localizer's); silence of a distance for a DME.
///   Domain    the stations of the world.
///   Accuracy  frequencies within 1 kHz; beacons within 0.5 kHz.
///   Cost      once through the stations.
///   Fails     app.unknown_ident with near matches, app.find_frequency, app.find_kind, app.find_out_of_service, at `where`.
///   Source    cockpits show no azimuth of a TACAN: navdata/station.hpp.
base::Result<fixing::Candidates> stations_tuned(const navdata::Snapshot& world, ReadingOption option,
                                                const ReadingWords& words, const std::string& where);

}  // namespace omniway::app::detail
