#pragma once

#include <string>

#include "earth/flown_track.hpp"

namespace omniway::writers {

/// A flight, flown or rehearsed, as a GPX document with one track.
///   Model     one <trk> with the track's name and, as its <desc>, the caution that stands on everything that could be flown from; a new
///             <trkseg> after each gap of more than a minute. A time is written only where the day is known, an altitude only where
///             there is one.
///   Domain    any track; times a millisecond apart at least, or a reader takes two for one. Bytes of the name that are not UTF-8, and
///             characters that XML does not have, become '?'.
///   Accuracy  a hundred-millionth of a degree (a millimetre), a millimetre of altitude, a millisecond.
///   Cost      about 110 bytes a point.
///   Fails     never.
///   Source    GPX 1.1 schema, topografix.com/GPX/1/1; XML 1.0.
std::string track_gpx(const earth::FlownTrack& track);

}  // namespace omniway::writers
