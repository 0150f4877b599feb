#include "flight/detail/guidance_on_paper.hpp"

#include <cmath>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "flight/detail/paper.hpp"
#include "flight/name_of_aid.hpp"
#include "procedure/course_reversal.hpp"
#include "procedure/hold_limits.hpp"

namespace omniway::flight::detail {

using base::Length;
using base::MagneticBearing;

base::Angle pointer_of(cockpit::AdfIndicator indicator, MagneticBearing to_station, MagneticBearing heading) {
    const double degrees = indicator == cockpit::AdfIndicator::fixed_card
                               ? to_station.degrees() - heading.degrees()
                               : to_station.degrees();
    return base::Angle::degrees(MagneticBearing::degrees(degrees).degrees());
}

bool on_glideslope(const FlightTrack& track, const TrackStep& step) {
    return track.final_approach && track.final_approach->segment.on_glideslope &&
           step.number >= track.final_approach->first_step &&
           step.number <= track.final_approach->last_step &&
           std::holds_alternative<procedure::OnLocalizer>(step.guidance);
}

namespace {

navdata::Turn side_of(navdata::Turn turn) {
    return turn == navdata::Turn::left ? navdata::Turn::left : navdata::Turn::right;
}

class OnPaper {
public:
    OnPaper(const Circumstances& circumstances, const FlightTrack& track, const FlownStep& step,
            const FlownStep* before)
        : in_(circumstances), flight_track_(track), flown_(step), step_(*step.track), before_(before) {}

    StepGuidance guidance() const {
        if (step_.ending) {
            if (const auto* hold = std::get_if<procedure::AtHold>(&*step_.ending)) {
                return held(*hold);
            }
            if (const auto* reversed = std::get_if<procedure::AtCourseReversed>(&*step_.ending)) {
                return reverse(*reversed);
            }
        }
        return std::visit([this](const auto& guidance) { return follow(guidance); }, step_.guidance);
    }

private:
    std::optional<NamedAid> aid() const {
        const auto station = procedure::station_of(step_.guidance);
        return station ? std::optional(named(in_.world[*station])) : std::nullopt;
    }

    StepGuidance follow(const procedure::OnRadial& radial) const {
        return FollowRadial{named(in_.world[radial.station]), radial.toward, whole_degrees(radial.course)};
    }

    StepGuidance follow(const procedure::OnBeacon& beacon) const {
        FollowBearing bearing;
        bearing.aid = named(in_.world[beacon.station]);
        bearing.toward = beacon.toward;
        bearing.track = whole_degrees(step_.course);
        bearing.indicator = in_.aircraft.equipment.adf.value_or(cockpit::AdfIndicator::fixed_card);
        bearing.pointer =
            pointer_of(bearing.indicator, beacon.toward ? bearing.track : bearing.track.reciprocal(),
                       whole_degrees(step_.heading.value_or(step_.course)));
        return bearing;
    }

    // In a wind that carries a short outbound leg far aside the exact heading points anywhere: nobody flies more than three times
    // the drift (AIM 5-3-8, trade-facts 8.2).
    base::Angle no_more_than_tripled(base::Angle correction, const procedure::Motion& motion) const {
        const auto drift = aircraft::hold_course(step_.track, motion.true_airspeed, motion.wind);
        if (!drift) {
            return correction;
        }
        const base::Angle most =
            abs(procedure::tripled_correction(drift->correction)) + base::Angle::degrees(5.0);
        return std::clamp(correction, -most, most);
    }

    StepGuidance follow(const procedure::OnLocalizer& beam) const {
        FollowLocalizer localizer;
        localizer.aid = named(in_.world[beam.station]);
        localizer.front_course = whole_degrees(navdata::localizer(in_.world[beam.station])->course);
        localizer.outbound = !beam.toward;
        localizer.back_course = beam.back_course;
        localizer.glideslope = on_glideslope(flight_track_, step_);
        localizer.needle = step_.needle;
        return localizer;
    }

    StepGuidance follow(const procedure::OnArc& arc) const {
        const navdata::Station& station = in_.world[arc.station];
        FollowArc follow;
        follow.aid = named(station);
        follow.reading = tenths_of_a_mile(arc.radius);
        follow.clockwise = arc.clockwise;
        if (navdata::vor(station) != nullptr) {
            const auto from = navdata::radial_of(station, step_.start);
            const auto to = navdata::radial_of(station, step_.finish);
            follow.from_radial = from ? std::optional(whole_degrees(*from)) : std::nullopt;
            follow.to_radial = to ? std::optional(whole_degrees(*to)) : std::nullopt;
        }
        return follow;
    }

    StepGuidance follow(const procedure::OnHeading&) const {
        FlyHeading heading;
        heading.track = whole_degrees(step_.course);
        heading.heading = step_.heading ? std::optional(whole_degrees(*step_.heading)) : std::nullopt;
        heading.along_runway = step_.along_runway;
        return heading;
    }

    MagneticBearing compass(base::TrueBearing bearing) const {
        return whole_degrees(base::to_magnetic(bearing, step_.variation));
    }

    StepGuidance held(const procedure::AtHold& end) const {
        FlyHold fly;
        fly.fix = end.fix.ident;
        fly.aid = aid();
        fly.side = side_of(end.side);
        fly.inbound = compass(step_.track);
        const base::TrueBearing arriving =
            before_ != nullptr ? before_->heading_at_end.value_or(before_->arrival) : step_.track;
        fly.entry = procedure::hold_entry(arriving, step_.track, fly.side);
        fly.outbound_heading = fly.inbound.reciprocal();
        const procedure::Hold hold = hold_of(end, fly.side);
        const procedure::Motion motion = motion_of_hold();
        if (motion.true_airspeed <= base::Speed()) {
            return fly;
        }
        const auto circuit = procedure::circuit(hold, motion);
        if (circuit) {
            fly.outbound_heading =
                compass(step_.track.reciprocal() +
                        no_more_than_tripled(circuit->outbound_heading - step_.track.reciprocal(), motion));
            fly.outbound_time = whole_seconds(circuit->outbound);
            fly.outbound_reading = outbound_reading(hold, circuit->pieces.at(1));
        } else if (const auto drift = aircraft::hold_course(step_.track, motion.true_airspeed, motion.wind)) {
            fly.outbound_heading =
                compass(step_.track.reciprocal() + procedure::tripled_correction(drift->correction));
        }
        if (fly.outbound_reading) {
            fly.outbound_time.reset();
        }
        return fly;
    }

    procedure::Hold hold_of(const procedure::AtHold& end, navdata::Turn side) const {
        procedure::Hold hold;
        hold.fix = end.fix.position;
        hold.inbound = step_.track;
        hold.side = side;
        const auto timed = procedure::hold_time(flown_.at_end, in_.settings.criteria);
        hold.leg = timed.time;
        hold.timed = timed.leg;
        const navdata::Leg* coded = flown_.leg->coded;
        if (coded != nullptr && coded->distance && *coded->distance > Length()) {
            hold.leg = *coded->distance;
        } else if (coded != nullptr && coded->time && *coded->time > base::Duration(0.0)) {
            hold.leg = *coded->time;
        }
        return hold;
    }

    procedure::Motion motion_of_hold() const {
        procedure::Motion motion;
        motion.true_airspeed = step_.true_airspeed;
        motion.wind = in_.winds.at(flown_.at_end);
        if (motion.true_airspeed > base::Speed()) {
            motion.turn = procedure::hold_turn(motion.true_airspeed, in_.settings.criteria);
        }
        return motion;
    }

    // A hold whose leg is a distance ends outbound at a reading, where its aid has a DME.
    std::optional<Length> outbound_reading(const procedure::Hold& hold,
                                           const procedure::TrackPiece& outbound) const {
        const auto station = procedure::station_of(step_.guidance);
        if (!std::holds_alternative<Length>(hold.leg) || !in_.aircraft.equipment.dme || !station ||
            !in_.world[*station].dme) {
            return std::nullopt;
        }
        return tenths_of_a_mile(dme_reading(in_.world[*station], in_.ground,
                                            procedure::finish_of(outbound).place, flown_.at_end));
    }

    StepGuidance reverse(const procedure::AtCourseReversed& end) const {
        ReverseCourse reversal;
        reversal.fix = end.fix;
        reversal.aid = aid();
        reversal.outbound = whole_degrees(step_.course);
        reversal.back = side_of(end.back);
        const bool back_right = reversal.back == navdata::Turn::right;
        // A turn back to the right follows a leg 45 degrees to the left.
        reversal.away = reversal.outbound + base::Angle::degrees(back_right ? -45.0 : 45.0);
        if (end.barb) {
            reversal.away = end.barb->is_true ? compass(base::TrueBearing::degrees(end.barb->degrees))
                                              : whole_degrees(MagneticBearing::degrees(end.barb->degrees));
        }
        reversal.return_heading = reversal.away.reciprocal();
        reversal.within = tenths_of_a_mile(end.within);
        return reversal;
    }

    const Circumstances& in_;
    const FlightTrack& flight_track_;
    const FlownStep& flown_;
    const TrackStep& step_;
    const FlownStep* before_;
};

}  // namespace

StepGuidance guidance_on_paper(const Circumstances& circumstances, const FlightTrack& track,
                               const FlownStep& step, const FlownStep* before) {
    return OnPaper(circumstances, track, step, before).guidance();
}

}  // namespace omniway::flight::detail
