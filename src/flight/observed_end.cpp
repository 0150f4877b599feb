#include "flight/observed_end.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "earth/geodesic.hpp"
#include "flight/detail/guidance_on_paper.hpp"
#include "flight/detail/paper.hpp"
#include "flight/name_of_aid.hpp"
#include "radio/reception.hpp"

namespace omniway::flight {

using base::Length;
using namespace detail;

namespace {

// The last end that was told, from which a clock may count.
struct Told {
    std::string name;
    base::Duration at{0.0};
    std::optional<std::size_t> step;  // none: lining up
};

class Observer {
public:
    Observer(const Circumstances& circumstances, const FlightTrack& track,
             const std::vector<FlownStep>& steps, Changeovers changeovers)
        : in_(circumstances),
          track_(track),
          steps_(steps),
          changeovers_(changeovers),
          told_{track.begins_at, base::Duration(0.0), std::nullopt} {}

    ObservedEnds all() {
        for (index_ = 0; index_ < steps_.size(); ++index_) {
            ends_.of.push_back(observed());
            const bool told = !std::holds_alternative<ChangeOver>(ends_.of.back().end);
            if (told) {
                told_ = {told_name(), flown().end, index_};
            }
            if (track_.final_approach && index_ + 1 < steps_.size() &&
                steps_[index_ + 1].track->number == track_.final_approach->first_step) {
                final_fix_ = index_;
            }
        }
        return std::move(ends_);
    }

private:
    const FlownStep& flown() const { return steps_[index_]; }
    const TrackStep& step() const { return *flown().track; }
    const navdata::Station& station(navdata::StationId id) const { return in_.world[id]; }
    cockpit::AdfIndicator indicator() const {
        return in_.aircraft.equipment.adf.value_or(cockpit::AdfIndicator::fixed_card);
    }

    // A fix by its own name, else what is seen.
    std::string told_name() const { return step().to.empty() ? event_name(ends_.of.back().end) : step().to; }

    ObservedEnd observed() {
        if (!step().ending) {
            return std::holds_alternative<procedure::OnHeading>(step().guidance) ? at_next_guidance()
                                                                                 : changed_over();
        }
        return std::visit([this](const auto& ending) { return seen(ending); }, *step().ending);
    }

    ObservedEnd seen(const procedure::AtFix& end) { return told_by(end.telling.way); }
    ObservedEnd seen(const procedure::AtAltitude& end) {
        return {AltitudeReached{whole_feet(end.altitude)}, std::nullopt};
    }
    ObservedEnd seen(const procedure::AtDistance& end) {
        return {ReadingReached{named(station(end.station)), tenths_of_a_mile(end.shown), grows(end.station)},
                EndNeed{SetKind::dme, end.station, std::nullopt}};
    }
    ObservedEnd seen(const procedure::AtRadial& end) { return at_radial(end.station, end.radial); }
    ObservedEnd seen(const procedure::AtIntercept&) { return at_next_guidance(); }
    ObservedEnd seen(const procedure::AtCourseReversed&) { return {EstablishedInbound{}, std::nullopt}; }
    ObservedEnd seen(const procedure::AtGlideslopeIntercept& end) {
        return {GlideslopeCentres{feet_of(end.altitude)}, std::nullopt};
    }
    ObservedEnd seen(const procedure::AtDecisionAltitude& end) {
        return {Minimums{feet_of(end.altitude)}, std::nullopt};
    }
    ObservedEnd seen(const procedure::AtMissedApproachPoint& end) {
        return end.telling ? told_by(end.telling->way) : timed_from_final_fix();
    }
    ObservedEnd seen(const procedure::AtHold& end) {
        if (end.one_circuit) {
            return {EstablishedInbound{}, std::nullopt};
        }
        return {HeldUntil{feet_of(end.altitude)}, std::nullopt};
    }

    static std::optional<base::Altitude> feet_of(std::optional<base::Altitude> altitude) {
        return altitude ? std::optional(whole_feet(*altitude)) : std::nullopt;
    }

    ObservedEnd told_by(const fixing::Way& way) {
        return std::visit([this](const auto& each) { return way_seen(each); }, way);
    }
    ObservedEnd way_seen(const fixing::Overhead& way) const {
        const bool pointer = navdata::ndb(station(way.station)) != nullptr;
        ObservedEnd end{StationPassage{named(station(way.station)), pointer}, std::nullopt};
        if (procedure::station_of(step().guidance) != way.station ||
            std::holds_alternative<procedure::OnArc>(step().guidance)) {
            end.need = EndNeed{pointer ? SetKind::adf : SetKind::receiver, way.station, std::nullopt};
        }
        return end;
    }
    // An arc is joined at its own distance.
    ObservedEnd way_seen(const fixing::DmeReading& way) {
        return arc_is_next() ? at_next_guidance() : at_reading(way.station);
    }
    bool arc_is_next() const {
        return index_ + 1 < steps_.size() &&
               std::holds_alternative<procedure::OnArc>(steps_[index_ + 1].track->guidance);
    }
    ObservedEnd way_seen(const fixing::CrossingRadial& way) const {
        return at_radial(way.station, way.radial);
    }
    ObservedEnd way_seen(const fixing::CrossingBearing& way) const {
        return at_bearing(way.station, base::to_magnetic(way.to_station, flown().variation_at_end));
    }
    ObservedEnd way_seen(const fixing::CrossingLocalizer& way) const {
        const base::Radial front = whole_degrees(navdata::localizer(station(way.station))->course);
        return {LocalizerCentres{named(station(way.station))},
                EndNeed{SetKind::receiver, way.station, front}};
    }

    ObservedEnd at_reading(navdata::StationId id) {
        if (!station(id).dme) {
            return timed();  // a telling by a DME that is not there: the judge refuses it
        }
        const Length reading =
            tenths_of_a_mile(dme_reading(station(id), in_.ground, step().finish, flown().at_end));
        return {ReadingReached{named(station(id)), reading, grows(id)},
                EndNeed{SetKind::dme, id, std::nullopt}};
    }
    ObservedEnd at_radial(navdata::StationId id, base::Radial radial) const {
        const base::Radial course = whole_degrees(radial);
        return {RadialCentres{named(station(id)), course}, EndNeed{SetKind::receiver, id, course}};
    }
    ObservedEnd at_bearing(navdata::StationId id, base::MagneticBearing to_station) const {
        BearingReached end;
        end.aid = named(station(id));
        end.to_station = whole_degrees(to_station);
        end.indicator = indicator();
        end.pointer = pointer_of(end.indicator, end.to_station, whole_degrees(flown().compass_at_end()));
        return {end, EndNeed{SetKind::adf, id, std::nullopt}};
    }

    // Whether the distance from a station's DME increases as the end is reached.
    bool grows(navdata::StationId id) const {
        const navdata::Station& of = station(id);
        const earth::Position from = of.dme ? of.dme->position : navdata::site(of);
        const Length back = Length::nautical_miles(0.2);
        const earth::Position before = earth::destination(step().finish, flown().arrival.reciprocal(), back);
        return earth::distance(from, step().finish) > earth::distance(from, before);
    }

    // The needle of what guides next.
    ObservedEnd at_next_guidance() {
        if (index_ + 1 >= steps_.size()) {
            return timed();
        }
        const TrackStep& next = *steps_[index_ + 1].track;
        const auto id = procedure::station_of(next.guidance);
        if (!id) {
            return timed();
        }
        if (std::holds_alternative<procedure::OnArc>(next.guidance)) {
            const Length radius = std::get<procedure::OnArc>(next.guidance).radius;
            return {ReadingReached{named(station(*id)), tenths_of_a_mile(radius), grows(*id)},
                    EndNeed{SetKind::dme, *id, std::nullopt}};
        }
        if (std::holds_alternative<procedure::OnBeacon>(next.guidance)) {
            // The bearing from here: that of the leg is counted where the leg begins, and meridians converge.
            const base::TrueBearing to_station = earth::bearing(step().finish, navdata::site(station(*id)));
            return runs_along(to_station)
                       ? timed()
                       : at_bearing(*id, base::to_magnetic(to_station, flown().variation_at_end));
        }
        const auto course = next.course_set ? std::optional(whole_degrees(*next.course_set)) : std::nullopt;
        return {NeedleAlive{named(station(*id))}, EndNeed{SetKind::receiver, *id, course}};
    }

    // A pointer that hardly moves all along tells no place on the way: an NDB's bearing crosses at 45 degrees at least (design 3).
    bool runs_along(base::TrueBearing to_station) const {
        const base::Angle across = abs(to_station - flown().arrival);
        return std::min(across, base::Angle::degrees(180.0) - across) < base::Angle::degrees(45.0);
    }

    static bool leads_toward(const procedure::Guidance& guidance) {
        const auto* radial = std::get_if<procedure::OnRadial>(&guidance);
        const auto* beacon = std::get_if<procedure::OnBeacon>(&guidance);
        return (radial != nullptr && radial->toward) || (beacon != nullptr && beacon->toward);
    }

    ObservedEnd changed_over() {
        const bool last = index_ + 1 >= steps_.size();
        const auto next = last ? std::nullopt : procedure::station_of(steps_[index_ + 1].track->guidance);
        if (!next) {
            return timed();
        }
        const auto guide = procedure::station_of(step().guidance);
        // Toward an aid and on from it: what lies between is the aid.
        if (guide == next && leads_toward(step().guidance) &&
            !leads_toward(steps_[index_ + 1].track->guidance)) {
            return {StationPassage{named(station(*guide)), navdata::ndb(station(*guide)) != nullptr},
                    std::nullopt};
        }
        ChangeOver end;
        end.to = named(station(*next));
        for (const auto& id : {guide, next}) {
            if (changeovers_ == Changeovers::by_reading && id && distance_is_heard(*id)) {
                end.reading_of = named(station(*id));
                end.reading =
                    tenths_of_a_mile(dme_reading(station(*id), in_.ground, step().finish, flown().at_end));
                return {end, EndNeed{SetKind::dme, *id, std::nullopt}};
            }
        }
        end.time = whole_seconds(flown().end - told_.at);
        end.since = told_.name;
        start_clock();
        return {end, std::nullopt};
    }

    bool distance_is_heard(navdata::StationId id) const {
        return in_.aircraft.equipment.dme && station(id).dme &&
               radio::hear(station(id), radio::Part::distance, step().finish, flown().at_end, in_.ground)
                   .heard();
    }

    ObservedEnd timed() {
        start_clock();
        return {TimeOut{whole_seconds(flown().end - told_.at), told_.name}, std::nullopt};
    }

    ObservedEnd timed_from_final_fix() {
        if (!track_.final_approach || !final_fix_) {
            return timed();
        }
        ends_.of[*final_fix_].starts_clock = true;
        const base::Duration time =
            step().timed_from_final_fix.value_or(flown().end - steps_[*final_fix_].end);
        return {TimeOut{whole_seconds(time), track_.final_approach->segment.final_fix.ident}, std::nullopt};
    }

    void start_clock() {
        if (told_.step) {
            ends_.of[*told_.step].starts_clock = true;
        } else {
            ends_.clock_when_lined_up = true;
        }
    }

    const Circumstances& in_;
    const FlightTrack& track_;
    const std::vector<FlownStep>& steps_;
    Changeovers changeovers_;
    std::size_t index_ = 0;
    ObservedEnds ends_;
    Told told_;
    std::optional<std::size_t> final_fix_;
};

std::string three_figures(double degrees) {
    return fmt::format("{:03}", (std::lround(degrees) + 359) % 360 + 1);
}

struct EventName {
    std::string operator()(const StationPassage& end) const { return "over " + end.aid.ident; }
    std::string operator()(const ReadingReached& end) const {
        return fmt::format("{:.1f} DME {}", end.reading.nautical_miles(), end.aid.ident);
    }
    std::string operator()(const RadialCentres& end) const {
        return fmt::format("radial {} {}", three_figures(end.course.degrees()), end.aid.ident);
    }
    std::string operator()(const BearingReached& end) const {
        return fmt::format("bearing {} to {}", three_figures(end.to_station.degrees()), end.aid.ident);
    }
    std::string operator()(const LocalizerCentres& end) const { return end.aid.ident + " centres"; }
    std::string operator()(const NeedleAlive& end) const { return end.aid.ident + " alive"; }
    std::string operator()(const AltitudeReached& end) const {
        return fmt::format("{:.0f} ft", end.altitude.feet());
    }
    std::string operator()(const TimeOut& end) const {
        return base::elapsed_text(end.time) + " after " + end.since;
    }
    std::string operator()(const ChangeOver& end) const { return "changeover to " + end.to.ident; }
    std::string operator()(const GlideslopeCentres&) const { return "glideslope centred"; }
    std::string operator()(const Minimums&) const { return "minimums"; }
    std::string operator()(const EstablishedInbound&) const { return "established inbound"; }
    std::string operator()(const HeldUntil& end) const {
        return end.altitude ? fmt::format("{:.0f} ft in the hold", end.altitude->feet())
                            : std::string("leaving the hold");
    }
};

}  // namespace

std::string event_name(const StepEnd& end) {
    return std::visit(EventName{}, end);
}

ObservedEnds observed_ends(const Circumstances& circumstances, const FlightTrack& track,
                           const std::vector<FlownStep>& steps, Changeovers changeovers) {
    return Observer(circumstances, track, steps, changeovers).all();
}

}  // namespace omniway::flight
