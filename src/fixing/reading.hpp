#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/snapshot.hpp"
#include "radio/reception.hpp"

namespace omniway::fixing {

/// What a cockpit showed of the stations it may have been on: one, or several where a frequency, an ident or a few letters of Morse leave it open.
///   Model     what was read, not what is true; a VOR's course that centres the needle is its radial with FROM and the reciprocal of it with TO.
///   Domain    at least one station, each with the part that was read.
///   Accuracy  as read: errors are fixing/reading_errors.hpp.
///   Cost      a short vector.
///   Fails     never.
///   Source    none: what instruments show (cockpit/panel.hpp).
using Candidates = std::vector<navdata::StationId>;

struct RadialRead {  // of a VOR
    Candidates stations;
    base::Radial radial;  // on which the aircraft is
};
struct DistanceRead {
    Candidates stations;
    base::Length slant_range;
};
struct BearingRead {  // of a beacon, by the ADF
    Candidates stations;
    base::MagneticBearing to_station;
    bool by_heading = false;  // a relative bearing and the heading indicator: its error is in it
};
/// Which way a localizer's needle stands on an indicator that senses as on the front course inbound; the aircraft is on the other side.
enum class NeedleStands { left, centred, right };
struct LocalizerRead {
    Candidates stations;
    NeedleStands needle = NeedleStands::centred;
};
struct PassageRead {  // overhead
    Candidates stations;
};
struct SilenceRead {  // tuned, and nothing heard of it
    Candidates stations;
    radio::Part part = radio::Part::azimuth;
};
using Shown = std::variant<RadialRead, DistanceRead, BearingRead, LocalizerRead, PassageRead, SilenceRead>;

struct Reading {
    Shown shown;
    base::Duration before{0.0};  // how long before now it was read
    std::string words;           // as it was given, for answers that name it
};

/// A heading that was held from a moment on, until the next or until now.
struct HeadingFlown {
    base::Duration before{0.0};  // the present, when it was taken up
    base::MagneticBearing heading;
    base::Speed true_airspeed;
};

/// Where the air went and how well that is known.
struct AirMoved {
    base::TrueBearing from = base::TrueBearing::degrees(0.0);
    base::Speed speed;
    base::Speed uncertainty =
        base::Speed::knots(10.0);  // standard deviation of each component; common practice, no source
};

/// What is known beside the readings.
struct LastKnown {
    earth::Position place;
    base::Duration before{0.0};
    base::Length within;  // of it in 95 %
};
/// Somewhere along a line, as a card is flown: so far aside as the criteria protect.
struct OnTheWay {
    std::vector<earth::Position> line;  // at least two
    base::Length within;                // of it in 95 %
};

}  // namespace omniway::fixing
