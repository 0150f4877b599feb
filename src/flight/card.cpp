#include "flight/card.hpp"

#include <algorithm>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"

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

NeedleSense needle_sense(const cockpit::Equipment& aboard, const procedure::Guidance& guidance) {
    const auto* localizer = std::get_if<procedure::OnLocalizer>(&guidance);
    if (localizer == nullptr || !localizer->needle_reversed()) {
        return NeedleSense::toward_the_line;
    }
    return aboard.localizer_indicator() == cockpit::CourseIndicator::hsi
               ? NeedleSense::righted_by_the_front_course
               : NeedleSense::away_from_the_line;
}

class Compiler {
public:
    Compiler(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
             const earth::MagneticModel& model, earth::DecimalYear today, const weather::Wind& wind,
             const Flight& flight)
        : world_(world), aircraft_(aircraft), model_(model), today_(today), wind_(wind), flight_(flight) {}

    Step step(const Piece& piece, int number, bool missed) const {
        Step step;
        step.number = number;
        step.phase = piece.leg->phase;
        step.via = piece.leg->via;
        step.guidance = piece.guidance;
        step.from = piece.from;
        step.to = piece.to;
        step.start = piece.start;
        step.finish = piece.finish;
        step.length = piece.length;
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
        step.altitude = missed ? piece.leg->minimum.altitude.value_or(at_start)
                               : flight_.altitude_at(piece.begin + piece.length);
        const base::Altitude middle = at_start + (step.altitude - at_start) * 0.5;
        fly(step, at_start, middle);
        return step;
    }

private:
    void fly(Step& step, base::Altitude at_start, base::Altitude middle) const {
        const aircraft::Performance& performance = aircraft_.performance;
        const Length change = step.altitude - at_start;
        const Length level = Length::feet(50.0);
        base::MassFlow flow;
        if (change > level) {
            step.true_airspeed = aircraft::true_airspeed_climb(performance, middle);
            flow = performance.climb.fuel_flow;
        } else if (change < -level || step.phase == Phase::approach) {
            step.true_airspeed = step.phase == Phase::approach
                                     ? approach_airspeed(middle)
                                     : aircraft::true_airspeed_descent(performance, middle);
            flow = performance.descent.fuel_flow;
        } else {
            step.true_airspeed = aircraft::true_airspeed_cruise(performance, middle);
            flow = aircraft::fuel_flow_cruise(performance, middle);
        }
        const auto held = aircraft::hold_course(step.track, step.true_airspeed, wind_);
        if (!held) {
            return;
        }
        step.heading = base::to_magnetic(held->heading, step.variation);
        step.groundspeed = held->groundspeed;
        step.time = step.length / held->groundspeed;
        step.fuel = flow * *step.time;
    }

    // Procedures are flown between the speed of the descent and the one over the threshold: midway stands for both.
    base::Speed approach_airspeed(base::Altitude altitude) const {
        return (aircraft::true_airspeed_descent(aircraft_.performance, altitude) +
                aircraft::true_airspeed_approach(aircraft_.performance, altitude)) *
               0.5;
    }

    const navdata::Snapshot& world_;
    const aircraft::Aircraft& aircraft_;
    const earth::MagneticModel& model_;
    earth::DecimalYear today_;
    const weather::Wind& wind_;
    const Flight& flight_;
};

}  // namespace

Card card_of(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
             const earth::MagneticModel& model, earth::DecimalYear today, const weather::Wind& wind,
             const Flight& flight) {
    const Compiler compiler(world, aircraft, model, today, wind, flight);
    Card card;
    int number = 0;
    card.time = base::Duration(0.0);
    for (const Piece& piece : pieces_of(flight.legs)) {
        card.steps.push_back(compiler.step(piece, ++number, false));
        const Step& step = card.steps.back();
        card.length += step.length;
        card.fuel += step.fuel;
        card.time = card.time && step.time ? std::optional(*card.time + *step.time) : std::nullopt;
    }
    for (const Piece& piece : pieces_of(flight.missed)) {
        card.missed.push_back(compiler.step(piece, ++number, true));
    }
    card.fuel_needed = aircraft.fuel.taxi + card.fuel + aircraft::reserve_fuel(aircraft, flight.cruise);
    return card;
}

}  // namespace omniway::flight
