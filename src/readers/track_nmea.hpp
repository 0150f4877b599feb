#pragma once

#include <string>
#include <string_view>

#include "base/result.hpp"
#include "readers/track_reading.hpp"

namespace omniway::readers {

/// A flight recorded as sentences of NMEA 0183.
///   Model     GGA gives place and altitude above mean sea level, RMC place and date, of any talker; both of one moment are one point,
///             at the place of its GGA. Other sentences are passed over. A date holds until the next RMC, and goes on by one at
///             midnight; before the first RMC it is reckoned back. Without any RMC the times are of the day alone.
///   Domain    sentences begin with $, may stand behind a tag block, and end with their checksum; years 1980 to 2079; a million points.
///             Places that are estimated, typed in by hand or not valid are left out; those of a simulator are used.
///   Accuracy  as written.
///   Cost      one pass.
///   Fails     track.too_many_points and what readers/detail/track_flights.hpp refuses. As diagnostics: track.checksum,
///             track.not_a_sentence, track.no_fix, read.value_missing, read.not_a_number, read.out_of_range,
///             remark.altitude_left_out, and what is left out there.
///   Source    NMEA 0183 (GGA, RMC, checksum), as receivers' manuals print it; years in two figures: common practice, no source.
base::Result<TrackReading> read_track_nmea(std::string_view bytes, const std::string& name,
                                           const TrackSetting& setting = {});

/// Whether a line begins as a sentence does: "$GPGGA,", perhaps behind a tag block.
bool begins_as_nmea(std::string_view line);

}  // namespace omniway::readers
