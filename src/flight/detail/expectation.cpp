#include "flight/detail/expectation.hpp"

#include <algorithm>

#include "earth/geodesic.hpp"
#include "fixing/tolerance_area.hpp"
#include "flight/detail/paper.hpp"
#include "flight/name_of_aid.hpp"
#include "radio/reception.hpp"

namespace omniway::flight::detail {

using base::Length;

namespace {

// From here on a slant range is not the distance over the ground to what a DME shows.
constexpr Length shown_apart = Length::nautical_miles(0.1);

void add(StepExpected& expected, Notice notice) {
    auto& notices = expected.notices;
    if (std::find(notices.begin(), notices.end(), notice) == notices.end()) {
        notices.push_back(std::move(notice));
    }
}

std::optional<navdata::StationId> overhead_at_end(const FlownStep& step) {
    if (!step.track->ending) {
        return std::nullopt;
    }
    const auto* fix = std::get_if<procedure::AtFix>(&*step.track->ending);
    const auto* missed = std::get_if<procedure::AtMissedApproachPoint>(&*step.track->ending);
    const fixing::Way* way = fix != nullptr                         ? &fix->telling.way
                             : missed != nullptr && missed->telling ? &missed->telling->way
                                                                    : nullptr;
    const auto* overhead = way != nullptr ? std::get_if<fixing::Overhead>(way) : nullptr;
    return overhead != nullptr ? std::optional(overhead->station) : std::nullopt;
}

// A hold over its own aid goes through the zone at each turn.
std::optional<navdata::StationId> held_over(const Circumstances& in, const FlownStep& step) {
    const auto station = procedure::station_of(step.track->guidance);
    const bool hold = step.track->ending && std::holds_alternative<procedure::AtHold>(*step.track->ending);
    if (!hold || !station || navdata::localizer(in.world[*station]) != nullptr) {
        return std::nullopt;
    }
    const Length away = earth::distance(navdata::site(in.world[*station]), step.track->finish);
    return away < Length::nautical_miles(0.5) ? station : std::nullopt;
}

void zone_overhead(const Circumstances& in, const FlownStep& step, navdata::StationId id,
                   StepExpected& expected) {
    const navdata::Station& station = in.world[id];
    const bool beacon = navdata::ndb(station) != nullptr;
    const Length height =
        step.at_end - radio::antenna_site(station, radio::Part::azimuth, in.ground.terrain).ground;
    if (height <= Length() || !step.track->groundspeed) {
        return;
    }
    ZoneOverhead zone;
    zone.aid = named(station);
    const fixing::OverheadZone cone = beacon ? fixing::ndb_zone(height) : fixing::vor_zone(height);
    zone.about = whole_seconds(cone.radius * 2.0 / *step.track->groundspeed);
    if (station.dme && in.aircraft.equipment.dme) {
        zone.least_reading =
            tenths_of_a_mile(dme_reading(station, in.ground, station.dme->position, step.at_end));
    }
    add(expected, zone);
}

void note_guidance(const Circumstances& in, const FlownStep& step, StepExpected& expected) {
    const procedure::Guidance& guidance = step.track->guidance;
    const auto station = procedure::station_of(guidance);
    if (!station) {
        return;
    }
    const navdata::Station& aid = in.world[*station];
    if (std::holds_alternative<procedure::OnLocalizer>(guidance)) {
        add(expected, LocalizerWithoutToFrom{named(aid)});
        if (step.track->needle != NeedleSense::toward_the_line) {
            add(expected, NeedleDeceives{named(aid), step.track->needle});
        }
        if (aid.dme && aid.dme->bias != Length() && in.aircraft.equipment.dme) {
            add(expected, BiasedReading{named(aid), tenths_of_a_mile(aid.dme->bias)});
        }
    } else if (std::holds_alternative<procedure::OnBeacon>(guidance)) {
        note_bearing(aid, expected);
    } else if (std::holds_alternative<procedure::OnArc>(guidance)) {
        note_reading(in, step, *station, expected);
    }
}

}  // namespace

void note_bearing(const navdata::Station& beacon, StepExpected& expected) {
    add(expected, NoFlag{named(beacon)});
}

void note_reading(const Circumstances& in, const FlownStep& step, navdata::StationId read,
                  StepExpected& expected) {
    const navdata::Station& station = in.world[read];
    const Length bias = station.dme->bias;
    if (bias != Length()) {
        add(expected, BiasedReading{named(station), tenths_of_a_mile(bias)});
    }
    const Length slant = dme_reading(station, in.ground, step.track->finish, step.at_end) + bias;
    const Length above = slant - earth::distance(station.dme->position, step.track->finish);
    if (above >= shown_apart) {
        add(expected, SlantRange{named(station), tenths_of_a_mile(above)});
    }
}

StepExpected expectation(const Circumstances& in, const FlownStep& step, const ObservedEnd& end) {
    const TrackStep& track = *step.track;
    StepExpected expected;
    expected.course = whole_degrees(track.course);
    expected.heading = track.heading ? std::optional(whole_degrees(*track.heading)) : std::nullopt;
    expected.true_airspeed = whole_knots(track.true_airspeed);
    expected.groundspeed = track.groundspeed ? std::optional(whole_knots(*track.groundspeed)) : std::nullopt;
    expected.distance = tenths_of_a_mile(track.length);
    // How long a hold goes on that is left when told to, nobody knows.
    const auto* hold = std::get_if<HeldUntil>(&end.end);
    const bool open = hold != nullptr && !hold->altitude;
    expected.time = track.time && !open ? std::optional(whole_seconds(*track.time)) : std::nullopt;
    expected.fuel = whole_pounds(track.fuel);
    note_guidance(in, step, expected);
    const auto over = overhead_at_end(step);
    if (const auto aid = over ? over : held_over(in, step)) {
        zone_overhead(in, step, *aid, expected);
    }
    if (end.need && end.need->kind == SetKind::dme && in.world[end.need->station].dme) {
        note_reading(in, step, end.need->station, expected);
    } else if (end.need && end.need->kind == SetKind::adf) {
        note_bearing(in.world[end.need->station], expected);
    }
    return expected;
}

}  // namespace omniway::flight::detail
