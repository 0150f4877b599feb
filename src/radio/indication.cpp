#include "radio/indication.hpp"

#include <algorithm>
#include <cmath>

#include "earth/geodesic.hpp"
#include "radio/needle_angles.hpp"

namespace omniway::radio {

using base::Angle;
using base::Length;
using base::TrueBearing;
using cockpit::Indication;
using cockpit::Needle;
using cockpit::NoSignal;
using cockpit::WidthFrom;

namespace {

constexpr Angle right_angle = Angle::degrees(90.0);
constexpr Angle half_turn = Angle::degrees(180.0);

TrueBearing true_heading(const Whereabouts& aircraft) {
    return base::to_true(aircraft.heading, aircraft.variation);
}

bool faces_away(TrueBearing heading, TrueBearing course) {
    return abs(heading - course) > right_angle;
}

Indication vor_shown(const navdata::VorAzimuth& azimuth, const cockpit::CourseSetting& setting,
                     const Whereabouts& aircraft) {
    const TrueBearing course = base::to_true(setting.course, azimuth.declination);
    const Angle off = earth::bearing(azimuth.position, aircraft.place) - course;
    cockpit::VorShown shown;
    shown.needle = {.deflection = -off_line(off), .full_scale = setting.vor_full_scale};
    shown.to_from = to_from(off);
    shown.reverse_sensing =
        setting.indicator == cockpit::CourseIndicator::cdi && faces_away(true_heading(aircraft), course);
    return shown;
}

Indication localizer_shown(const navdata::LocalizerAzimuth& azimuth, const Tuned& tuned,
                           const cockpit::CourseSetting& setting, const Whereabouts& aircraft) {
    const TrueBearing inbound = base::to_true(azimuth.course, azimuth.declination);
    const Angle off = earth::bearing(azimuth.position, aircraft.place) - inbound;
    cockpit::LocalizerShown shown;
    shown.back_course = abs(off) < right_angle;  // beyond the antenna, seen inbound
    if (shown.back_course && !navdata::has_back_course(azimuth)) {
        return NoSignal{};
    }
    const LocalizerWidth width = localizer_width(azimuth, tuned.landing_threshold);
    // Which of the two tones is the stronger depends on the side of the line alone, the same in front and behind.
    shown.needle = {.deflection = -off_line(off), .full_scale = width.whole / 2.0};
    shown.full_scale_from = width.from;
    const bool hsi = setting.indicator == cockpit::CourseIndicator::hsi;
    const TrueBearing dial_up =
        hsi ? base::to_true(setting.course, azimuth.declination) : true_heading(aircraft);
    shown.reverse_sensing = faces_away(dial_up, inbound);
    return shown;
}

Indication shown_by(const cockpit::CourseSetting& setting, const Tuned& tuned, const Whereabouts& aircraft) {
    if (tuned.silence != Silence::none) {
        return NoSignal{};
    }
    if (const auto* azimuth = navdata::vor(tuned.station)) {
        return vor_shown(*azimuth, setting, aircraft);
    }
    if (const auto* azimuth = navdata::localizer(tuned.station)) {
        return localizer_shown(*azimuth, tuned, setting, aircraft);
    }
    return NoSignal{};
}

Indication shown_by(const cockpit::GlideslopeSetting&, const Tuned& tuned, const Whereabouts& aircraft) {
    const auto* azimuth = navdata::localizer(tuned.station);
    if (tuned.silence != Silence::none || azimuth == nullptr || !azimuth->glideslope) {
        return NoSignal{};
    }
    const navdata::Glideslope& glideslope = *azimuth->glideslope;
    const auto antenna = glideslope.elevation ? glideslope.elevation : tuned.antenna;
    if (!antenna) {
        return cockpit::CannotTell{"the elevation of its glideslope aerial"};
    }
    const Angle elevation =
        elevation_angle(earth::distance(glideslope.position, aircraft.place), aircraft.altitude - *antenna);
    return cockpit::GlideslopeShown{
        {.deflection = glideslope.angle - elevation, .full_scale = glideslope_full_scale}};
}

Indication shown_by(const cockpit::DistanceSetting&, const Tuned& tuned, const Whereabouts& aircraft) {
    if (tuned.silence != Silence::none || !tuned.station.dme) {
        return NoSignal{};
    }
    const navdata::DistancePart& dme = *tuned.station.dme;
    const auto antenna = dme.elevation ? dme.elevation : tuned.antenna;
    const Length slant =
        slant_range(earth::distance(dme.position, aircraft.place),
                    {.aircraft = aircraft.altitude, .antenna = antenna.value_or(base::Altitude())});
    return cockpit::DistanceShown{.reading = std::max(slant - dme.bias, Length()),
                                  .of = tuned.station.ident,
                                  .antenna_height_assumed = !antenna};
}

Angle around_the_nose(Angle turn) {
    return turn < Angle() ? turn + half_turn * 2.0 : turn;
}

Indication shown_by(const cockpit::PointerSetting& setting, const Tuned& tuned, const Whereabouts& aircraft) {
    const bool rmi = setting.indicator == cockpit::AdfIndicator::rmi;
    if (const auto* azimuth = navdata::vor(tuned.station)) {
        // Only an RMI has a pointer for it; that is driven so that its tail reads the radial on the compass card.
        if (!rmi || tuned.silence != Silence::none) {
            return NoSignal{};
        }
        const TrueBearing from = earth::bearing(azimuth->position, aircraft.place);
        const base::Radial to = base::to_radial(from, azimuth->declination).reciprocal();
        const auto reads = base::MagneticBearing::degrees(to.degrees());
        return cockpit::PointerShown{around_the_nose(reads - aircraft.heading), reads};
    }
    const auto* beacon = navdata::ndb(tuned.station);
    if (beacon == nullptr || tuned.silence != Silence::none) {
        return NoSignal{.flagged = false};
    }
    cockpit::PointerShown shown;
    const Angle relative = earth::bearing(aircraft.place, beacon->position) - true_heading(aircraft);
    shown.relative = around_the_nose(relative);
    if (setting.indicator != cockpit::AdfIndicator::fixed_card) {
        shown.reads = (rmi ? aircraft.heading : setting.card) + relative;
    }
    return shown;
}

}  // namespace

Indication indication(const Tuned& tuned, const cockpit::IndicatorSetting& setting,
                      const Whereabouts& aircraft) {
    return std::visit([&](const auto& each) { return shown_by(each, tuned, aircraft); }, setting);
}

LocalizerWidth localizer_width(const navdata::LocalizerAzimuth& azimuth,
                               std::optional<earth::Position> landing_threshold) {
    if (azimuth.width) {
        return {*azimuth.width, WidthFrom::record};
    }
    if (navdata::kind_of(azimuth) == navdata::LocalizerKind::simplified) {
        return {Angle::degrees(6.0), WidthFrom::typical};
    }
    if (!landing_threshold) {
        return {Angle::degrees(5.0), WidthFrom::typical};
    }
    const double to_threshold_ft = earth::distance(azimuth.position, *landing_threshold).feet();
    const Angle tailored = Angle::radians(2.0 * std::atan2(350.0, to_threshold_ft));
    return {std::clamp(tailored, Angle::degrees(3.0), Angle::degrees(6.0)), WidthFrom::geometry};
}

}  // namespace omniway::radio
