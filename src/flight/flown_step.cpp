#include "flight/flown_step.hpp"

#include <algorithm>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "procedure/climb.hpp"
#include "radio/reception.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;

namespace {

base::TrueBearing arrival_of(const navdata::Snapshot& world, const TrackStep& step) {
    if (step.ending && std::holds_alternative<procedure::AtCourseReversed>(*step.ending)) {
        return step.track.reciprocal();
    }
    if (const auto* arc = std::get_if<procedure::OnArc>(&step.guidance)) {
        const base::Angle quarter = base::Angle::degrees(arc->clockwise ? 90.0 : -90.0);
        return earth::bearing(navdata::site(world[arc->station]), step.finish) + quarter;
    }
    const earth::Geodesic line = earth::geodesic(step.start, step.finish);
    return line.distance > Length::metres(1.0) ? line.arrival : step.track;
}

base::Duration time_of(const TrackStep& step, Altitude altitude) {
    const bool hold = step.ending && std::holds_alternative<procedure::AtHold>(*step.ending);
    if (hold && step.length <= Length()) {
        return procedure::circuit_time(altitude);
    }
    if (step.time) {
        return *step.time;
    }
    return step.true_airspeed > base::Speed() ? step.length / step.true_airspeed : base::Duration(0.0);
}

}  // namespace

std::vector<FlownStep> flown_steps(const Circumstances& circumstances, const Flight& flight,
                                   const FlightTrack& track) {
    std::vector<FlownStep> flown;
    flown.reserve(track.steps.size() + track.missed.size());
    base::Duration clock{0.0};
    Length along;
    Altitude altitude = flight.profile.empty() ? Altitude() : flight.altitude_at(Length());
    for (const bool missed : {false, true}) {
        const auto& legs = missed ? flight.missed : flight.legs;
        for (const TrackStep& step : missed ? track.missed : track.steps) {
            FlownStep next;
            next.track = &step;
            next.leg = &legs[step.leg];
            next.missed = missed;
            next.begin = clock;
            next.end = clock += time_of(step, step.altitude);
            next.begins_along = along;
            along += step.length;
            next.at_start = altitude;
            next.at_end = altitude = step.altitude;
            next.arrival = arrival_of(circumstances.world, step);
            next.variation_at_end = circumstances.model.variation(step.finish, circumstances.today);
            if (step.true_airspeed > base::Speed()) {
                if (const auto held = aircraft::hold_course(next.arrival, step.true_airspeed,
                                                            circumstances.winds.at(step.altitude))) {
                    next.heading_at_end = held->heading;
                }
            }
            flown.push_back(next);
        }
    }
    return flown;
}

std::vector<radio::PathPoint> path_of(const navdata::Snapshot& world, const Flight& flight,
                                      const FlownStep& step) {
    const Length begin = step.begins_along;
    const Length length = step.track->length;
    std::vector<Length> cuts = {Length(), length};
    if (!step.missed) {
        for (const ProfilePoint& point : flight.profile) {
            if (point.along > begin && point.along < begin + length) {
                cuts.push_back(point.along - begin);
            }
        }
    }
    const auto* arc = std::get_if<procedure::OnArc>(&step.track->guidance);
    if (arc != nullptr) {
        for (const double share : {0.25, 0.5, 0.75}) {
            cuts.push_back(length * share);
        }
    }
    std::sort(cuts.begin(), cuts.end());
    const earth::Geodesic line = earth::geodesic(step.track->start, step.track->finish);
    const bool ends_where_it_begins = line.distance < Length::metres(1.0);
    std::vector<radio::PathPoint> path;
    for (const Length into : cuts) {
        const double share = length > Length() ? into / length : 1.0;
        radio::PathPoint point;
        point.along = begin + into;
        point.altitude = step.missed ? step.at_start + (step.at_end - step.at_start) * share
                                     : flight.altitude_at(begin + into);
        if (arc != nullptr) {
            const earth::Position centre = navdata::site(world[arc->station]);
            const earth::Geodesic first = earth::geodesic(centre, step.track->start);
            const base::Angle swept =
                base::Angle::radians((arc->clockwise ? 1.0 : -1.0) * (into / first.distance));
            point.place = earth::destination(centre, first.initial + swept, first.distance);
        } else if (ends_where_it_begins) {
            point.place = step.track->start;
        } else {
            point.place = earth::destination(step.track->start, line.initial, line.distance * share);
        }
        path.push_back(point);
    }
    return path;
}

base::Length dme_reading(const navdata::Station& station, const radio::Ground& ground, earth::Position place,
                         base::Altitude altitude) {
    const Altitude antenna = station.dme->elevation
                                 ? *station.dme->elevation
                                 : radio::antenna_site(station, radio::Part::distance, ground.terrain).ground;
    return radio::slant_range(earth::distance(station.dme->position, place),
                              {.aircraft = altitude, .antenna = antenna}) -
           station.dme->bias;
}

}  // namespace omniway::flight
