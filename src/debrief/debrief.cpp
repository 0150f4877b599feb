#include "debrief/debrief.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include <fmt/format.h>

#include "debrief/detail/held.hpp"
#include "debrief/detail/measured.hpp"
#include "earth/geodesic.hpp"

namespace omniway::debrief {

using base::Duration;
using base::Error;
using base::Length;
using detail::Laid;
using detail::metres_between;
using detail::nm;
using detail::Stretch;
using earth::PlanePoint;
using Shape = flight::StepLine::Shape;

namespace {

constexpr Length near_the_flight = Length::nautical_miles(8.0);

// The plane holds for some hundred miles: a track of elsewhere is told before anything is reckoned on it.
std::optional<Error> refused(const Laid& laid, const earth::FlownTrack& flown) {
    constexpr Length holds = Length::nautical_miles(500.0);
    PlanePoint sum;
    for (const StepPath& path : laid.paths()) {
        sum.east_m += path.line.start.east_m / static_cast<double>(laid.paths().size());
        sum.north_m += path.line.start.north_m / static_cast<double>(laid.paths().size());
    }
    const earth::Position middle = laid.frame().to_position(sum);
    Length nearest = Length::nautical_miles(1e6);
    Length farthest;
    std::uint32_t line = 0;
    for (const earth::TrackPoint& point : flown.points) {
        const Length away = earth::distance(middle, point.place);
        nearest = std::min(nearest, away);
        if (away > farthest) {
            farthest = away;
            line = point.line;
        }
    }
    const std::string where = line == 0 ? std::string() : fmt::format(":{}", line);
    if (nearest > holds) {
        return Error{"debrief.elsewhere",
                     fmt::format("the track is nowhere nearer than {:.0f} NM to the middle of the flight on "
                                 "the card: is it the track of this flight?",
                                 nearest.nautical_miles()),
                     {}};
    }
    if (farthest > holds) {
        return Error{"debrief.too_far",
                     fmt::format("the track is {:.0f} NM from the middle of the flight on the card, and at "
                                 "most {:.0f} can be laid against it: cut it to this flight",
                                 farthest.nautical_miles(), holds.nautical_miles()),
                     where};
    }
    return std::nullopt;
}

StepDebriefed step_of(Laid& laid, const Stretch& stretch, std::span<const StepDebriefed> earlier) {
    const auto& [step, first, end] = stretch;
    const std::vector<Sample>& samples = laid.samples();
    StepDebriefed told;
    told.number = laid.path(step).line.number;
    told.missed = step >= laid.first_missed();
    told.to = laid.on_card(step).to;
    told.time_on_card = laid.on_card(step).expected.time;
    told.groundspeed_on_card = laid.on_card(step).expected.groundspeed;
    if (first == end) {
        return told;
    }
    told.began = Duration(samples[first].time_s);
    told.ended = Duration(samples[std::min(end, samples.size() - 1)].time_s);
    double recorded_s = 0.0;
    double way_m = 0.0;
    for (std::size_t i = first; i < end && i + 1 < samples.size(); ++i) {
        if (samples[i + 1].after_gap) {
            told.unrecorded += Duration(samples[i + 1].time_s - samples[i].time_s);
            continue;
        }
        recorded_s += samples[i].lasts_s;
        way_m +=
            metres_between(samples[i].place, samples[i + 1].place) / laid.frame().scale(samples[i].place);
    }
    told.distance = Length::metres(way_m);
    // A step that was left out still has the moment in which the track comes nearest to it.
    const flight::StepLine& line = laid.path(step).line;
    const double length_m = metres_between(line.start, line.finish);
    constexpr double some_of_it = 0.2;
    constexpr double long_m = 2.0 * nm;
    const bool left_out = line.shape == Shape::line && length_m > long_m && way_m < some_of_it * length_m &&
                          told.unrecorded == Duration(0.0) && first > 0 && end < samples.size();
    if (left_out) {
        return told;
    }
    told.flown = true;
    if (recorded_s > 0.0) {
        told.groundspeed = base::Speed::metres_per_second(way_m / recorded_s);
    }
    if (line.shape != Shape::turning) {
        told.side = detail::side_flown(laid, stretch);
        told.fix = detail::fix_passed(laid, stretch);
    } else if (laid.path(step).area) {
        told.hold = detail::hold_flown(laid, stretch);
    } else {
        told.reversal = detail::reversal_flown(laid, stretch);
    }
    told.guide = detail::guide_shown(laid, stretch);
    told.heights = detail::heights_flown(laid, stretch);
    told.shown = detail::instruments_shown(laid, stretch);
    told.end = detail::end_shown(laid, stretch, told, earlier);
    return told;
}

bool has_moved(const std::optional<cockpit::Needle>& needle, const std::optional<cockpit::Needle>& before) {
    constexpr double by_share = 0.05;
    return needle.has_value() != before.has_value() ||
           (needle && std::abs(needle->of_full_scale() - before->of_full_scale()) > by_share);
}

std::vector<MomentFlown> moments_of(Laid& laid, std::span<const std::size_t> belongs) {
    const std::vector<Sample>& samples = laid.samples();
    std::vector<MomentFlown> all;
    constexpr double between_moments_s = 10.0;
    std::size_t moved_at_most = 600;
    double next_s = samples.front().time_s;
    for (std::size_t i = 0; i < samples.size(); ++i) {
        const Sample& sample = samples[i];
        const auto needle = detail::guiding_needle(laid, belongs[i], sample);
        if (sample.time_s < next_s && !sample.after_gap && i + 1 < samples.size()) {
            if (moved_at_most == 0 || !has_moved(needle, all.back().needle)) {
                continue;
            }
            --moved_at_most;
        }
        next_s = sample.time_s + between_moments_s;
        const StepPath& path = laid.path(belongs[i]);
        MomentFlown moment{Duration(sample.time_s), belongs[i],   laid.frame().to_position(sample.place),
                           sample.altitude,         std::nullopt, needle,
                           sample.after_gap};
        if (path.line.shape != Shape::turning) {
            moment.aside = Length::metres(laid.aside(belongs[i], sample.place).aside_m);
        }
        all.push_back(moment);
    }
    return all;
}

}  // namespace

base::Result<Debrief> debrief(const flight::Circumstances& circumstances, const flight::Flight& flight,
                              const flight::FlightTrack& track, const flight::Card& card,
                              const earth::FlownTrack& flown, const DebriefQuestion& question) {
    Laid laid(circumstances, flight, track, card);
    if (const auto error = refused(laid, flown)) {
        return tl::unexpected(*error);
    }
    laid.record(samples_of(flown, laid.frame(), question.longest_gap));
    if (laid.samples().size() < 2) {
        return tl::unexpected(Error{"debrief.not_flown",
                                    "nothing on the track moves faster than 30 kt: there is no flight to "
                                    "lay against the card",
                                    {}});
    }
    double nearest_m = 1e12;
    Debrief found;
    double seconds = 0.0;
    double off_s = 0.0;
    for (const Sample& sample : laid.samples()) {
        double away_m = 1e12;
        for (const StepPath& path : laid.paths()) {
            away_m = std::min(away_m, from_path(path, sample.place).metres);
        }
        nearest_m = std::min(nearest_m, away_m);
        seconds += sample.lasts_s;
        off_s += away_m > near_the_flight.metres() ? sample.lasts_s : 0.0;
        found.altitude_recorded = found.altitude_recorded || sample.altitude.has_value();
    }
    if (nearest_m > near_the_flight.metres()) {
        return tl::unexpected(Error{
            "debrief.elsewhere",
            fmt::format("the track comes no nearer than {:.0f} NM to the flight on the card, and {:.0f} "
                        "NM are allowed: is it the track of this flight?",
                        nearest_m / nm, near_the_flight.nautical_miles()),
            {}});
    }
    found.began = Duration(laid.samples().front().time_s);
    found.ended = Duration(laid.samples().back().time_s);
    found.recorded = Duration(seconds);
    found.off_the_flight_share = seconds > 0.0 ? off_s / seconds : 0.0;
    for (const earth::TrackGap& gap : earth::gaps_of(flown, question.longest_gap)) {
        if (gap.from >= found.began && gap.to <= found.ended) {
            found.gaps.push_back(gap);
        }
    }
    const std::vector<std::size_t> belongs = align(laid.paths(), laid.samples(), laid.first_missed());
    found.moments = moments_of(laid, belongs);
    std::size_t begin = 0;
    for (std::size_t step = 0; step < laid.paths().size(); ++step) {
        std::size_t end = begin;
        while (end < belongs.size() && belongs[end] == step) {
            ++end;
        }
        found.steps.push_back(step_of(laid, {step, begin, end}, found.steps));
        begin = end;
    }
    found.practise = to_practise(found.steps);
    return found;
}

}  // namespace omniway::debrief
