#include "flight/flight_track.hpp"

#include <algorithm>
#include <cmath>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "flight/pace.hpp"
#include "flight/tops.hpp"
#include "procedure/climb.hpp"

namespace omniway::flight {

using base::Length;

namespace {

// A leg's stretch with where it lies along the flight.
struct Piece {
    const Leg* leg = nullptr;
    procedure::Guidance guidance;
    std::string from;
    std::string to;
    earth::Position start;
    earth::Position finish;
    base::TrueBearing track;
    Length begin;  // along the flight
    Length length;
    std::optional<procedure::Ending> ending;
    LegMinimum minimum;
};

// Of two legs flown as one step the higher minimum binds; one that is not known stays not known.
LegMinimum stricter(const LegMinimum& a, const LegMinimum& b) {
    if (!a.altitude || !b.altitude) {
        return a.altitude ? b : a;
    }
    return *a.altitude < *b.altitude ? b : a;
}

bool same_line(const procedure::Guidance& a, const procedure::Guidance& b) {
    if (a.index() != b.index() || procedure::station_of(a) != procedure::station_of(b)) {
        return false;
    }
    const auto* before = std::get_if<procedure::OnRadial>(&a);
    const auto* after = std::get_if<procedure::OnRadial>(&b);
    if (before != nullptr) {
        return before->toward == after->toward &&
               abs(before->course - after->course) < base::Angle::degrees(2.0);
    }
    const auto* beacon_before = std::get_if<procedure::OnBeacon>(&a);
    const auto* beacon_after = std::get_if<procedure::OnBeacon>(&b);
    return beacon_before != nullptr && beacon_before->toward == beacon_after->toward;
}

std::vector<Piece> pieces_of(const std::vector<Leg>& legs) {
    std::vector<Piece> pieces;
    Length along;
    bool open = false;  // the last piece ended at nothing that is told
    for (const Leg& leg : legs) {
        for (std::size_t i = 0; i < leg.stretches.size(); ++i) {
            const Stretch& stretch = leg.stretches[i];
            const bool last = i + 1 == leg.stretches.size();
            Piece piece;
            piece.leg = &leg;
            piece.guidance = stretch.guidance;
            piece.minimum = leg.minimum;
            piece.length = stretch.to - stretch.from;
            piece.begin = along + stretch.from;
            piece.start = i == 0 ? leg.start : earth::destination(leg.start, leg.track, stretch.from);
            piece.finish = last ? leg.finish : earth::destination(leg.start, leg.track, stretch.to);
            piece.track = i == 0 ? leg.track : earth::bearing(piece.start, leg.finish);
            piece.from = i == 0 && leg.from ? leg.from->ident : std::string();
            piece.to = last && leg.to ? leg.to->ident : std::string();
            if (last) {
                piece.ending = leg.ending;
            }
            if (open && i == 0 && !pieces.empty() && same_line(pieces.back().guidance, piece.guidance) &&
                pieces.back().leg->via == leg.via) {
                Piece& before = pieces.back();
                before.length += piece.length;
                before.finish = piece.finish;
                before.to = piece.to;
                before.ending = piece.ending;
                before.minimum = stricter(before.minimum, piece.minimum);
                before.leg = &leg;
            } else {
                pieces.push_back(std::move(piece));
            }
            open = last && !leg.ending;
        }
        along += leg.length;
    }
    return pieces;
}

std::optional<base::Radial> course_set(const navdata::Snapshot& world, const procedure::Guidance& guidance) {
    if (const auto* radial = std::get_if<procedure::OnRadial>(&guidance)) {
        return radial->course;
    }
    if (const auto* localizer = std::get_if<procedure::OnLocalizer>(&guidance)) {
        return navdata::localizer(world[localizer->station])->course;
    }
    return std::nullopt;
}

class Compiler {
public:
    Compiler(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
             const earth::MagneticModel& model, earth::DecimalYear today, const weather::WindsAloft& winds,
             const Flight& flight)
        : world_(world),
          aircraft_(aircraft),
          model_(model),
          today_(today),
          winds_(winds),
          flight_(flight),
          tops_(tops_of(flight)) {}

    // `missed_from`: of a step of the missed approach, the altitude at which the step before it ends.
    TrackStep step(const Piece& piece, int number, std::optional<base::Altitude> missed_from = {}) const {
        const bool missed = missed_from.has_value();
        TrackStep step;
        step.number = number;
        step.leg = static_cast<std::size_t>(piece.leg - (missed ? flight_.missed : flight_.legs).data());
        step.phase = piece.leg->phase;
        step.via = piece.leg->via;
        step.guidance = piece.guidance;
        step.from = piece.from;
        step.to = piece.to;
        step.start = piece.start;
        step.finish = piece.finish;
        step.length = piece.length;
        step.along_runway = number == 1 && step.phase == Phase::departure && piece.ending &&
                            std::holds_alternative<procedure::AtAltitude>(*piece.ending);
        step.track = piece.track;
        step.variation = model_.variation(piece.start, today_);
        step.course = base::to_magnetic(piece.track, step.variation);
        step.course_set = course_set(world_, piece.guidance);
        step.needle = needle_sense(aircraft_.equipment, piece.guidance);
        step.minimum = piece.minimum;
        const auto& last = piece.leg->minimum.altitude;
        if (step.minimum.altitude && last && *last < *step.minimum.altitude && piece.leg->from) {
            step.minimum_at_end = last;
            step.minimum_at_end_from = piece.leg->from->ident;
        }
        step.ending = piece.ending;
        const base::Altitude at_start =
            missed ? flight_.altitude_at(flight_.length()) : flight_.altitude_at(piece.begin);
        step.altitude =
            missed ? missed_altitude(piece, *missed_from) : flight_.altitude_at(piece.begin + piece.length);
        // A climb to an altitude ends at that altitude: the wind only moves the place.
        const auto* reached = piece.ending ? std::get_if<procedure::AtAltitude>(&*piece.ending) : nullptr;
        if (reached != nullptr && step.phase == Phase::departure) {
            step.altitude = reached->altitude;
        }
        fly(step, at_start);
        if (!missed) {
            fly_by_parts(step, piece.begin, at_start);
            step.lowest = lowest_along(piece.begin, piece.length, std::min(at_start, step.altitude));
            step.level_at_end = is_level_at_end(piece, step);
        }
        return step;
    }

private:
    // A published missed approach by its coded altitudes, where none is coded on the climb to the next; one of one's own by its
    // profile, which begins with its first leg.
    base::Altitude missed_altitude(const Piece& piece, base::Altitude reached) const {
        if (piece.leg->published || flight_.missed_profile.empty()) {
            return piece.leg->minimum.altitude ? *piece.leg->minimum.altitude : climbing_on(piece, reached);
        }
        const auto* hold = piece.ending ? std::get_if<procedure::AtHold>(&*piece.ending) : nullptr;
        if (hold != nullptr && hold->altitude) {
            return *hold->altitude;
        }
        Length published;
        for (const Leg& leg : flight_.missed) {
            published += leg.published ? leg.length : Length();
        }
        return altitude_along(flight_.missed_profile, piece.begin - published + piece.length);
    }

    base::Altitude lowest_along(Length begin, Length length, base::Altitude lowest) const {
        for (const ProfilePoint& point : flight_.profile) {
            if (point.along > begin && point.along < begin + length) {
                lowest = std::min(lowest, point.altitude);
            }
        }
        return lowest;
    }

    // Whether a climb to the higher level of the leg that follows ends with the step.
    bool is_level_at_end(const Piece& piece, const TrackStep& step) const {
        const auto next = static_cast<std::size_t>(piece.leg - flight_.legs.data()) + 1;
        if (!piece.ending || piece.to.empty() || next >= flight_.legs.size()) {
            return false;
        }
        const Leg& follows = flight_.legs[next];
        const base::Altitude level = level_of(flight_, follows);
        return follows.phase != Phase::approach && level > level_of(flight_, *piece.leg) &&
               step.altitude + Length::feet(50.0) > level;
    }

    base::Altitude climbing_on(const Piece& piece, base::Altitude reached) const {
        for (const Leg* leg = piece.leg; leg != flight_.missed.data() + flight_.missed.size(); ++leg) {
            if (leg->minimum.altitude) {
                const base::Altitude top = std::max(reached, *leg->minimum.altitude);
                return std::min(top, procedure::altitude_after({&aircraft_.performance, winds_}, piece.track,
                                                               reached, piece.length));
            }
        }
        return reached;
    }

    void fly(TrackStep& step, base::Altitude at_start) const {
        const Pace pace = pace_between(aircraft_.performance, step.phase, at_start, step.altitude);
        step.true_airspeed = pace.true_airspeed;
        const auto held = aircraft::hold_course(step.track, step.true_airspeed, winds_.at(pace.middle));
        if (!held) {
            return;
        }
        step.heading = base::to_magnetic(held->heading, step.variation);
        step.groundspeed = held->groundspeed;
        // What the wind gives on one side of a hold it takes on the other.
        const auto* hold = step.ending ? std::get_if<procedure::AtHold>(&*step.ending) : nullptr;
        step.time =
            step.length / (hold != nullptr && hold->altitude ? step.true_airspeed : held->groundspeed);
        step.fuel = pace.fuel_flow * *step.time;
    }

    // A step in which the climb or the descent has its top is flown in parts. Its airspeed is the mean with which the time comes out.
    void fly_by_parts(TrackStep& step, Length begin, base::Altitude at_start) const {
        std::vector<Length> ends;
        for (const Top& top : tops_within(tops_, begin, step.length)) {
            ends.push_back(top.along);
        }
        const bool in_a_hold = step.ending && std::holds_alternative<procedure::AtHold>(*step.ending);
        if (ends.empty() || in_a_hold || !step.time) {
            return;
        }
        ends.push_back(step.length);
        base::Duration time(0.0);
        base::Mass fuel;
        Length from;
        base::Altitude low = at_start;
        for (const Length end : ends) {
            const base::Altitude high = end == step.length ? step.altitude : flight_.altitude_at(begin + end);
            const Pace pace = pace_between(aircraft_.performance, step.phase, low, high);
            const auto held = aircraft::hold_course(step.track, pace.true_airspeed, winds_.at(pace.middle));
            if (!held) {
                return;
            }
            time += (end - from) / held->groundspeed;
            fuel += pace.fuel_flow * ((end - from) / held->groundspeed);
            from = end;
            low = high;
        }
        const weather::Wind wind = winds_.at(at_start + (step.altitude - at_start) * 0.5);
        const aircraft::RunwayWind parts = aircraft::runway_wind(step.track, wind);
        const base::Speed through_air = step.length / time + parts.headwind;
        step.true_airspeed = base::Speed::knots(std::hypot(through_air.knots(), parts.crosswind.knots()));
        if (const auto held = aircraft::hold_course(step.track, step.true_airspeed, wind)) {
            step.heading = base::to_magnetic(held->heading, step.variation);
            step.groundspeed = held->groundspeed;
            step.time = time;
            step.fuel = fuel;
        }
    }

    const navdata::Snapshot& world_;
    const aircraft::Aircraft& aircraft_;
    const earth::MagneticModel& model_;
    earth::DecimalYear today_;
    const weather::WindsAloft& winds_;
    const Flight& flight_;
    std::vector<Top> tops_;
};

std::optional<DescentEvent> descent_event(const Flight& flight, const std::vector<TrackStep>& steps) {
    if (!flight.top_of_descent) {
        return std::nullopt;
    }
    Length along;
    for (const TrackStep& step : steps) {
        along += step.length;
        if (flight.top_of_descent->along < along || &step == &steps.back()) {
            return DescentEvent{step.number, *flight.top_of_descent};
        }
    }
    return std::nullopt;
}

std::vector<ClimbEvent> climb_events(const Flight& flight, const std::vector<TrackStep>& steps) {
    std::vector<ClimbEvent> events;
    for (const LevelChange& change : flight.level_changes) {
        Length along;
        for (const TrackStep& step : steps) {
            along += step.length;
            if (change.is_climb() && change.begins < along) {
                events.push_back({step.number, change});
                break;
            }
        }
    }
    return events;
}

std::optional<DecisionPoint> decision_point(const Flight& flight, const FinalApproach& final_approach) {
    const procedure::FinalSegment& segment = final_approach.segment;
    if (!flight.minimum || flight.minimum->kind != procedure::MinimumKind::decision_altitude ||
        !segment.glide_path) {
        return std::nullopt;
    }
    const auto from_foot = procedure::distance_at(*segment.glide_path, flight.minimum->altitude);
    if (!from_foot) {
        return std::nullopt;
    }
    DecisionPoint point;
    point.altitude = flight.minimum->altitude;
    // An antenna stands beside the runway, past its threshold.
    point.before_threshold = *from_foot - earth::distance(segment.glide_path->foot, segment.end.position);
    if (final_approach.groundspeed && segment.length > point.before_threshold) {
        point.from_final_fix = (segment.length - point.before_threshold) / *final_approach.groundspeed;
    }
    return point;
}

std::optional<FinalApproach> final_approach_of(const Flight& flight, const std::vector<TrackStep>& steps) {
    if (!flight.final_approach || steps.empty()) {
        return std::nullopt;
    }
    FinalApproach final_approach;
    final_approach.segment = *flight.final_approach;
    const Length length = final_approach.segment.length;
    // The steps that make up the last so many miles.
    std::size_t first = steps.size();
    Length covered;
    base::Duration time{0.0};
    bool timed = true;
    while (first > 0 && covered + Length::metres(1.0) < length) {
        const TrackStep& step = steps[--first];
        covered += step.length;
        timed = timed && step.time.has_value();
        time += step.time.value_or(base::Duration(0.0));
    }
    if (first == steps.size() || length <= Length()) {
        return std::nullopt;
    }
    final_approach.first_step = steps[first].number;
    final_approach.last_step = steps.back().number;
    final_approach.times = procedure::time_table(length);
    if (timed && time.count() > 0.0) {
        final_approach.groundspeed = covered / time;
        final_approach.time = length / *final_approach.groundspeed;
        if (const auto gradient = final_approach.segment.gradient) {
            final_approach.descent_rate = procedure::vertical_speed(*gradient, *final_approach.groundspeed);
        }
    }
    final_approach.decision = decision_point(flight, final_approach);
    return final_approach;
}

}  // namespace

NeedleSense reversed_needle_sense(cockpit::CourseIndicator indicator) {
    return indicator == cockpit::CourseIndicator::hsi ? NeedleSense::righted_by_the_front_course
                                                      : NeedleSense::away_from_the_line;
}

NeedleSense needle_sense(const cockpit::Equipment& aboard, const procedure::Guidance& guidance) {
    const auto* localizer = std::get_if<procedure::OnLocalizer>(&guidance);
    if (localizer == nullptr || !localizer->needle_reversed()) {
        return NeedleSense::toward_the_line;
    }
    return reversed_needle_sense(aboard.localizer_indicator().value_or(cockpit::CourseIndicator::cdi));
}

FlightTrack track_of(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
                     const earth::MagneticModel& model, earth::DecimalYear today,
                     const weather::WindsAloft& winds, const Flight& flight) {
    const Compiler compiler(world, aircraft, model, today, winds, flight);
    FlightTrack track;
    if (flight.begun) {
        track.begins_at = flight.begun->name;
    }
    int number = 0;
    track.time = base::Duration(0.0);
    for (const Piece& piece : pieces_of(flight.legs)) {
        track.steps.push_back(compiler.step(piece, ++number));
        const TrackStep& step = track.steps.back();
        track.length += step.length;
        track.fuel += step.fuel;
        track.time = track.time && step.time ? std::optional(*track.time + *step.time) : std::nullopt;
    }
    track.climbs = climb_events(flight, track.steps);
    track.descent = descent_event(flight, track.steps);
    track.final_approach = final_approach_of(flight, track.steps);
    if (track.final_approach && track.final_approach->segment.timed) {
        track.steps.back().timed_from_final_fix = track.final_approach->time;
    }
    base::Altitude reached = flight.profile.empty() ? base::Altitude() : flight.altitude_at(flight.length());
    for (const Piece& piece : pieces_of(flight.missed)) {
        track.missed.push_back(compiler.step(piece, ++number, reached));
        reached = track.missed.back().altitude;
    }
    track.fuel_needed = aircraft.fuel.taxi + track.fuel +
                        aircraft::reserve_fuel(aircraft, last_level(flight)) +
                        flight.alternate_fuel.value_or(base::Mass());
    return track;
}

}  // namespace omniway::flight
