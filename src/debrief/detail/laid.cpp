#include "debrief/detail/laid.hpp"

#include <algorithm>
#include <cmath>

#include "debrief/detail/held.hpp"
#include "flight/protected_area.hpp"

namespace omniway::debrief::detail {

using base::Altitude;
using base::Length;
using earth::PlanePoint;

Laid::Laid(const flight::Circumstances& circumstances, const flight::Flight& flight,
           const flight::FlightTrack& track, const flight::Card& card)
    : circumstances_(circumstances),
      flight_(flight),
      track_(track),
      card_(card),
      frame_(flight::plane_of(track)),
      instruments_(circumstances) {
    for (std::size_t i = 0; i < track.steps.size(); ++i) {
        paths_.push_back(path_of(track.steps[i], card.steps[i], false));
    }
    for (std::size_t i = 0; i < track.missed.size(); ++i) {
        paths_.push_back(path_of(track.missed[i], card.missed[i], true));
    }
}

StepPath Laid::path_of(const flight::TrackStep& step, const flight::Step& on_card, bool missed) const {
    StepPath path;
    path.line = flight::step_line(circumstances_, flight_, step, missed, frame_);
    if (const auto* arc = std::get_if<procedure::OnArc>(&step.guidance)) {
        path.clockwise = arc->clockwise;
    }
    if (const auto* hold = std::get_if<flight::FlyHold>(&on_card.guidance)) {
        path.fix = path.line.finish;
        if (step.ending) {
            if (const auto* at = std::get_if<procedure::AtHold>(&*step.ending)) {
                path.fix = frame_.to_plane(at->fix.position);
            }
        }
        path.circuit =
            circuit_of(*hold, step, procedure::hold_time(step.altitude, circumstances_.settings.criteria));
        path.area = flight::holding_area(circumstances_, step, *hold, frame_,
                                         Length::metres(path.line.end_allowed_m));
    }
    if (const auto* altitude = std::get_if<flight::AltitudeReached>(&on_card.end)) {
        path.ends_at = altitude->altitude;
    } else if (const auto* held = std::get_if<flight::HeldUntil>(&on_card.end)) {
        path.ends_at = held->altitude;
    }
    path.ends_anywhere = path.ends_at || std::holds_alternative<flight::NeedleAlive>(on_card.end) ||
                         std::holds_alternative<flight::TimeOut>(on_card.end) ||
                         std::holds_alternative<flight::ChangeOver>(on_card.end);
    if (const auto* reverse = std::get_if<flight::ReverseCourse>(&on_card.guidance)) {
        path.fix = path.line.start;
        path.outbound_rad = grid_rad(reverse->outbound, step, path.fix);
        path.within_m = reverse->within.metres();
    }
    return path;
}

// Once round a hold in the wind of the forecast, with its entry; still air where the wind leaves no circuit.
std::vector<PlanePoint> Laid::circuit_of(const flight::FlyHold& hold, const flight::TrackStep& step,
                                         const procedure::HoldTime& standard) const {
    procedure::Hold meant;
    meant.fix = step.finish;
    if (step.ending) {
        if (const auto* at = std::get_if<procedure::AtHold>(&*step.ending)) {
            meant.fix = at->fix.position;
        }
    }
    meant.inbound = base::to_true(hold.inbound, step.variation);
    meant.side = hold.side;
    meant.timed = standard.leg;
    if (hold.outbound_reading) {
        meant.leg = *hold.outbound_reading;
    } else {
        meant.leg = standard.time;
    }
    procedure::Motion motion{step.true_airspeed, circumstances_.winds.at(step.altitude),
                             aircraft::planned_turn(step.true_airspeed)};
    auto round = procedure::circuit(meant, motion);
    if (!round) {
        motion.wind = {};
        round = procedure::circuit(meant, motion);
    }
    std::vector<procedure::TrackPiece> pieces;
    if (const auto entry =
            procedure::entry_pieces(meant, hold.entry, motion, base::to_true(step.course, step.variation))) {
        pieces = entry->pieces;
    }
    if (round) {
        pieces.insert(pieces.end(), round->pieces.begin(), round->pieces.end());
    }
    std::vector<PlanePoint> line;
    for (const earth::Position& place : procedure::drawn(pieces, Length::metres(100.0))) {
        line.push_back(frame_.to_plane(place));
    }
    return line;
}

Moment Laid::moment(const Sample& sample, std::size_t step) const {
    return {frame_.to_position(sample.place), sample.altitude.value_or(on_card(step).heights.at_end),
            frame_.to_true(sample.track_rad, sample.place)};
}

bool Laid::near_overhead(const Sample& sample, std::size_t step) const {
    const flight::StepLine& line = paths_[step].line;
    if (!line.guide || !line.station || navdata::localizer(circumstances_.world[*line.station]) != nullptr) {
        return false;
    }
    const double height_m = (sample.altitude.value_or(on_card(step).heights.at_end) -
                             circumstances_.world[flight_.departure].elevation.value_or(Altitude()))
                                .metres();
    return metres_between(line.guide->site, sample.place) < std::max(2.0 * height_m, nm);
}

Nearest Laid::nearest(PlanePoint place, double from_s, double to_s) const {
    Nearest best;
    for (std::size_t i = 0; i + 1 < samples_.size(); ++i) {
        const Sample& a = samples_[i];
        const Sample& b = samples_[i + 1];
        if (b.time_s < from_s || a.time_s > to_s || b.after_gap) {
            continue;
        }
        const double east = b.place.east_m - a.place.east_m;
        const double north = b.place.north_m - a.place.north_m;
        const double squared = east * east + north * north;
        const double share = squared > 0.0 ? std::clamp(((place.east_m - a.place.east_m) * east +
                                                         (place.north_m - a.place.north_m) * north) /
                                                            squared,
                                                        0.0, 1.0)
                                           : 0.0;
        const PlanePoint at{a.place.east_m + share * east, a.place.north_m + share * north};
        if (const double metres = metres_between(at, place); metres < best.metres) {
            best = {metres, a.time_s + share * (b.time_s - a.time_s), at};
        }
    }
    return best;
}

std::size_t Laid::sample_at(double time_s) const {
    const auto after = std::lower_bound(samples_.begin(), samples_.end(), time_s,
                                        [](const Sample& sample, double t) { return sample.time_s < t; });
    if (after == samples_.end()) {
        return samples_.size() - 1;
    }
    const auto index = static_cast<std::size_t>(after - samples_.begin());
    return index > 0 && time_s - samples_[index - 1].time_s < samples_[index].time_s - time_s ? index - 1
                                                                                              : index;
}

// When the turn onto the next step was begun: the first moment near the end of this one from which the track leads eight degrees toward the next course
// within six seconds, and goes on doing so.
std::optional<double> Laid::turned_at_s(std::size_t step, std::size_t end) const {
    if (step + 1 >= paths_.size() || end >= samples_.size()) {
        return std::nullopt;
    }
    const FromPath here = from_path(paths_[step], paths_[step].line.finish);
    const FromPath next = from_path(paths_[step + 1], paths_[step + 1].line.start);
    constexpr double no_turn_rad = 20.0 * degree;
    if (!here.leads_rad || !next.leads_rad ||
        std::abs(wrapped(*next.leads_rad - *here.leads_rad)) < no_turn_rad) {
        return std::nullopt;
    }
    const double side = wrapped(*next.leads_rad - *here.leads_rad) > 0.0 ? 1.0 : -1.0;
    constexpr double around_s = 180.0;
    constexpr double within_s = 6.0;
    const double at_s = samples_[end].time_s;
    for (std::size_t i = sample_at(at_s - around_s); i < samples_.size(); ++i) {
        if (samples_[i].time_s > at_s + around_s) {
            break;
        }
        const std::size_t soon = sample_at(samples_[i].time_s + within_s);
        const std::size_t later = sample_at(samples_[i].time_s + 2.0 * within_s);
        const auto turned = [&](std::size_t k) {
            return side * wrapped(samples_[k].track_rad - samples_[i].track_rad) / degree;
        };
        if (turned(soon) >= 8.0 && turned(later) >= 14.0) {
            // Directions are smoothed over some seconds: back along the turn to where it had not begun.
            const double rate =
                (turned(later) - turned(soon)) / (samples_[later].time_s - samples_[soon].time_s);
            return rate > 0.0 ? samples_[later].time_s - turned(later) / rate : samples_[i].time_s;
        }
    }
    return std::nullopt;
}

}  // namespace omniway::debrief::detail
