#pragma once

#include <optional>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "cockpit/indicator.hpp"
#include "earth/position.hpp"
#include "navdata/station.hpp"
#include "radio/reception.hpp"

namespace omniway::radio {

/// The station that a receiver is on, and what is known of hearing it here: the silence of that part of it which the instrument
/// shows. What its record may lack is given beside it.
struct Tuned {
    const navdata::Station& station;
    Silence silence;
    std::optional<earth::Position> landing_threshold = std::nullopt;  // of a localizer's runway
    std::optional<base::Altitude> antenna = std::nullopt;             // of the DME or glideslope aerial
};

/// Where the aircraft is, and where its nose points by the compass, which stands off true north by the variation there.
struct Whereabouts {
    earth::Position place;
    base::Altitude altitude;
    base::MagneticBearing heading;
    base::Variation variation;
};

/// What an instrument shows: the one place where signals become needles.
///   Model     no errors of station or receiver (radio/error_budget.hpp has those), wings level. VOR by the station's own zero, heading
///             without effect; TO and FROM change within 2 degrees of abeam; a signal that is not heard, the cone overhead included,
///             shows the flag. Localizer by the side of the line on which the aircraft stands, front and back alike, no TO/FROM,
///             course setting without effect but on an HSI's sensing. Glideslope from the angle above the horizontal at its aerial over a
///             4/3 earth, full scale 0.7 degrees. DME slant range less bias. An ADF's pointer is true to the nose; dip in a bank,
///             night and coastal effect are not modelled.
///   Domain    any place; an instrument tuned to an aid that it cannot show has no signal.
///   Accuracy  geometry within 0.01 degrees and, of a distance, 0.003 NM (indication_test.cpp).
///   Cost      one or two geodesics.
///   Fails     CannotTell where a glideslope's aerial has no known height.
///   Source    trade-facts 4 and 5; docs/methods/indication.md.
cockpit::Indication indication(const Tuned& tuned, const cockpit::IndicatorSetting& setting,
                               const Whereabouts& aircraft);

/// How wide a localizer is from full scale left to full scale right: as recorded; else tailored to 700 ft at the threshold, 3 to 6
/// degrees; else, where no threshold is known, the typical 5 degrees (an SDF 6).
struct LocalizerWidth {
    base::Angle whole;
    cockpit::WidthFrom from;
};
LocalizerWidth localizer_width(const navdata::LocalizerAzimuth& azimuth,
                               std::optional<earth::Position> landing_threshold);

}  // namespace omniway::radio
