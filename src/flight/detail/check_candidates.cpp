#include "flight/detail/check_candidates.hpp"

#include <algorithm>
#include <cmath>

#include "earth/geodesic.hpp"
#include "flight/detail/guidance_on_paper.hpp"
#include "flight/detail/paper.hpp"
#include "flight/name_of_aid.hpp"
#include "navdata/interlocked.hpp"
#include "procedure/final_segment.hpp"
#include "radio/error_budget.hpp"
#include "radio/reception.hpp"

namespace omniway::flight::detail {

using base::Angle;
using base::Length;
using navdata::StationId;

namespace {

constexpr Length look_around = Length::nautical_miles(60.0);
constexpr std::size_t most_of_a_kind = 2;
// What tells less than this of the way along the track is no check of it.
constexpr Length worst_error = Length::nautical_miles(5.0);
// A line under a smaller angle to the track shows nothing of the way along it.
constexpr double least_sine = 0.34;  // 20 degrees
// Across the track the next aid's needle tells whether the line is held: as good as a mile along it.
constexpr Length changeover_worth = Length::nautical_miles(1.0);
constexpr double neighbours_bonus = 0.5;
// A step that is over so soon leaves no time to look.
constexpr base::Duration shortest_step{30.0};

struct Rated {
    CheckCandidate candidate;
    Length error;
};

// What a placed end leaves to be checked; needles that come alive, altitudes and turns are at no place.
bool ends_at_a_place(const StepEnd& end) {
    return !std::holds_alternative<NeedleAlive>(end) && !std::holds_alternative<AltitudeReached>(end) &&
           !std::holds_alternative<Minimums>(end) && !std::holds_alternative<EstablishedInbound>(end) &&
           !std::holds_alternative<HeldUntil>(end);
}

class Finder {
public:
    Finder(const Circumstances& in, const std::vector<FlownStep>& steps, std::size_t index,
           const ObservedEnd& end)
        : in_(in), steps_(steps), index_(index), step_(steps[index]), end_(end) {
        guide_ = procedure::station_of(step_.track->guidance);
        if (std::holds_alternative<ChangeOver>(end.end) && index + 1 < steps.size()) {
            next_ = procedure::station_of(steps[index + 1].track->guidance);
        }
    }

    std::vector<CheckCandidate> best() {
        const auto& aboard = in_.aircraft.equipment;
        for (const StationId id : in_.world.stations_within(step_.track->finish, look_around)) {
            const navdata::Station& station = in_.world[id];
            const earth::Geodesic line = earth::geodesic(step_.track->finish, navdata::site(station));
            if (aboard.dme && station.dme) {
                distance(id, station);
            }
            if (navdata::vor(station) != nullptr && !aboard.receivers.empty()) {
                radial(id, station, line);
            }
            if (navdata::ndb(station) != nullptr && aboard.adf) {
                bearing(id, station, line);
            }
        }
        return taken();
    }

private:
    // By whatever part of it: a reading and a radial of one aid fail together.
    bool ended_by(StationId id) const { return end_.need && end_.need->station == id; }
    // Overhead an aid nothing of it is worth reading.
    bool passed(StationId id) const {
        const auto* over = std::get_if<StationPassage>(&end_.end);
        return over != nullptr && over->aid == named(in_.world[id]);
    }
    bool heard(const CheckCandidate& candidate) const {
        const navdata::Station& station = in_.world[candidate.station];
        const radio::Part part =
            candidate.kind == SetKind::dme ? radio::Part::distance : radio::Part::azimuth;
        return radio::hear(station, part, step_.track->finish, step_.at_end, in_.ground).heard();
    }
    // Of two ends with one frequency the one that the flight flies by is in use.
    bool may_be_off_the_air(StationId id) const {
        return !navdata::interlocked_with(in_.world, id).empty() &&
               std::none_of(steps_.begin(), steps_.end(), [&](const FlownStep& step) {
                   return procedure::station_of(step.track->guidance) == id;
               });
    }
    bool used_nearby(StationId id) const {
        const std::size_t first = index_ > 0 ? index_ - 1 : 0;
        for (std::size_t i = first; i < std::min(index_ + 3, steps_.size()); ++i) {
            if (procedure::station_of(steps_[i].track->guidance) == id) {
                return true;
            }
        }
        return false;
    }
    void rate(CheckCandidate candidate, Length error) {
        if (error <= worst_error) {
            const bool near = used_nearby(candidate.station);
            rated_.push_back({std::move(candidate), error * (near ? neighbours_bonus : 1.0)});
        }
    }

    void distance(StationId id, const navdata::Station& station) {
        const bool distance_guides =
            guide_ == id && std::holds_alternative<procedure::OnArc>(step_.track->guidance);
        if (ended_by(id) || passed(id) || distance_guides || may_be_off_the_air(id)) {
            return;
        }
        const earth::Geodesic line = earth::geodesic(step_.track->finish, station.dme->position);
        const double along = std::abs(base::cos(line.initial - step_.arrival));
        const Length height = step_.at_end - station.dme->elevation.value_or(base::Altitude());
        if (along < least_sine || line.distance < height) {
            return;
        }
        const Length reading = dme_reading(station, in_.ground, step_.track->finish, step_.at_end);
        const Length tolerance = radio::dme_tolerance(reading + station.dme->bias, in_.settings.criteria);
        rate({ReadingCheck{named(station), tenths_of_a_mile(reading), tenths_of_a_mile_up(tolerance)},
              SetKind::dme, id, std::nullopt},
             tolerance / along);
    }

    Length error_of(const earth::Geodesic& line, Angle tolerance) const {
        const double crossing = std::abs(base::sin(line.initial - step_.arrival));
        return crossing < least_sine ? worst_error * 2.0 : line.distance * (base::sin(tolerance) / crossing);
    }

    void radial(StationId id, const navdata::Station& station, const earth::Geodesic& line) {
        if (guide_ == id || ended_by(id) || passed(id) || line.distance < Length::nautical_miles(1.0)) {
            return;
        }
        const Angle tolerance =
            radio::bearing_tolerance(radio::AidKind::vor, radio::Line::crossing, in_.settings.criteria);
        const Length error = next_ == id ? changeover_worth : error_of(line, tolerance);
        const auto from = navdata::radial_of(station, step_.track->finish);
        if (error > worst_error || !from) {
            return;
        }
        // The needle of the next aid is looked at with the course of the next step set.
        const auto& course_ahead =
            next_ == id ? steps_[index_ + 1].track->course_set : std::optional<base::Radial>();
        rate({RadialCheck{named(station), whole_degrees(*from), tenths_of_a_degree(tolerance)},
              SetKind::receiver, id, whole_degrees(course_ahead.value_or(*from))},
             error);
    }

    void bearing(StationId id, const navdata::Station& station, const earth::Geodesic& line) {
        if (guide_ == id || ended_by(id) || passed(id) || line.distance < Length::nautical_miles(1.0)) {
            return;
        }
        const Angle tolerance =
            radio::bearing_tolerance(radio::AidKind::ndb, radio::Line::crossing, in_.settings.criteria);
        const Length error = next_ == id ? changeover_worth : error_of(line, tolerance);
        if (error > worst_error) {
            return;
        }
        BearingCheck check;
        check.aid = named(station);
        check.to_station = whole_degrees(base::to_magnetic(line.initial, step_.variation_at_end));
        check.tolerance = tenths_of_a_degree(tolerance);
        check.indicator = *in_.aircraft.equipment.adf;
        check.pointer = pointer_of(check.indicator, check.to_station, whole_degrees(step_.compass_at_end()));
        rate({check, SetKind::adf, id, std::nullopt}, error);
    }

    std::vector<CheckCandidate> taken() {
        std::stable_sort(rated_.begin(), rated_.end(),
                         [](const Rated& a, const Rated& b) { return a.error < b.error; });
        std::vector<CheckCandidate> best;
        for (const SetKind kind : {SetKind::dme, SetKind::receiver, SetKind::adf}) {
            std::size_t taken = 0;
            for (const Rated& each : rated_) {
                // Whether it is heard costs more than all the rest.
                if (each.candidate.kind == kind && taken < most_of_a_kind && heard(each.candidate)) {
                    best.push_back(each.candidate);
                    ++taken;
                }
            }
        }
        return best;
    }

    const Circumstances& in_;
    const std::vector<FlownStep>& steps_;
    std::size_t index_;
    const FlownStep& step_;
    const ObservedEnd& end_;
    std::optional<StationId> guide_;
    std::optional<StationId> next_;  // that takes over at a changeover
    std::vector<Rated> rated_;
};

}  // namespace

std::vector<CheckCandidate> check_candidates(const Circumstances& circumstances,
                                             const std::vector<FlownStep>& steps, std::size_t index,
                                             const ObservedEnd& end) {
    if (!ends_at_a_place(end.end) || steps[index].takes() < shortest_step) {
        return {};
    }
    return Finder(circumstances, steps, index, end).best();
}

std::optional<StepCheck> glideslope_check(const Circumstances& circumstances, const FlightTrack& track,
                                          const FlownStep& step, const ObservedEnd& end) {
    if (!track.final_approach || step.track->number + 1 != track.final_approach->first_step ||
        !track.final_approach->segment.on_glideslope || !circumstances.aircraft.equipment.has_glideslope() ||
        !std::holds_alternative<procedure::OnLocalizer>(step.track->guidance) ||
        std::holds_alternative<GlideslopeCentres>(end.end)) {
        return std::nullopt;
    }
    const procedure::FinalSegment& segment = track.final_approach->segment;
    const auto altitude = segment.published_at_fix ? segment.published_at_fix : segment.glideslope_at_fix;
    if (!altitude) {
        return std::nullopt;
    }
    return GlideslopeCheck{whole_feet(*altitude), procedure::glideslope_check_tolerance};
}

}  // namespace omniway::flight::detail
