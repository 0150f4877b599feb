#pragma once

#include <map>
#include <optional>
#include <utility>

#include "cockpit/indicator.hpp"
#include "debrief/samples.hpp"
#include "flight/circumstances.hpp"
#include "flight/named_aid.hpp"
#include "radio/indication.hpp"
#include "radio/prepared_reception.hpp"

namespace omniway::debrief {

/// A moment of the track as a cockpit was there.
struct Moment {
    earth::Position place;
    base::Altitude altitude;
    base::TrueBearing track;
};

/// What instruments without error showed along a track, on sets tuned to what one says.
///   Model     radio/indication.hpp; the nose is taken to point along the track over the ground, of which only an HSI's sensing and a bearing pointer
///             take notice. Where a step is published, its aids were flown and checked: silence other than overhead is none (design section 2, idea 1).
///   Domain    the circumstances must outlive it; one thread.
///   Accuracy  as radio/indication.hpp.
///   Cost      a horizon for each station asked about, then some microseconds a moment.
///   Fails     never.
///   Source    design section 2, ideas 1 and 3.
class Instruments {
public:
    explicit Instruments(const flight::Circumstances& circumstances) : circumstances_(circumstances) {}

    /// The nearest station that paper names so, within 250 NM; none where the world has none.
    std::optional<navdata::StationId> named(const flight::NamedAid& aid, earth::Position near) const;
    radio::Silence silence(navdata::StationId station, radio::Part part, const Moment& moment,
                           bool published);
    cockpit::Indication shows(navdata::StationId station, radio::Silence silence,
                              const cockpit::IndicatorSetting& setting, const Moment& moment) const;
    base::MagneticBearing magnetic(base::TrueBearing bearing, earth::Position place) const;
    const flight::Circumstances& circumstances() const { return circumstances_; }

private:
    const flight::Circumstances& circumstances_;
    std::map<std::pair<std::size_t, radio::Part>, radio::PreparedReception> prepared_;
};

}  // namespace omniway::debrief
