#include "debrief/debrief.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "debrief/alignment.hpp"
#include "debrief/instruments.hpp"
#include "debrief/samples.hpp"
#include "earth/geodesic.hpp"
#include "flight/step_line.hpp"

namespace omniway::debrief {

using base::Altitude;
using base::Angle;
using base::Duration;
using base::Error;
using base::Length;
using earth::PlanePoint;
using Shape = flight::StepLine::Shape;

namespace {

constexpr double nm = 1852.0;
constexpr double pi = std::numbers::pi;
constexpr double degree = pi / 180.0;
constexpr Length level_within = Length::feet(100.0);  // IFR test standards (FAA-S-ACS-8), from memory
constexpr double three_quarters = 0.75;
constexpr double to_act_s = 10.0;  // from seeing a fix to the turn; common practice, no source
constexpr Length near_the_flight = Length::nautical_miles(8.0);

double wrapped(double rad) {
    return std::remainder(rad, 2.0 * pi);
}

double metres_between(PlanePoint a, PlanePoint b) {
    return std::hypot(a.east_m - b.east_m, a.north_m - b.north_m);
}

/// Values with the time that each was held.
class Over {
public:
    void add(double value, double seconds) { values_.push_back({value, seconds}); }
    bool empty() const { return values_.empty(); }
    Held<double> held() {
        Held<double> held;
        double seconds = 0.0;
        for (const auto& [value, lasts] : values_) {
            held.mean += value * lasts;
            seconds += lasts;
            held.worst = std::abs(value) > std::abs(held.worst) ? value : held.worst;
        }
        held.mean = seconds > 0.0 ? held.mean / seconds : values_.front().first;
        std::sort(values_.begin(), values_.end(),
                  [](const auto& a, const auto& b) { return std::abs(a.first) < std::abs(b.first); });
        double within = 0.0;
        for (const auto& [value, lasts] : values_) {
            held.within_95 = std::abs(value);
            within += lasts;
            if (within >= 0.95 * seconds) {
                break;
            }
        }
        return held;
    }

private:
    std::vector<std::pair<double, double>> values_;
};

template <class Quantity>
Held<Quantity> in(const Held<double>& held, Quantity (*unit)(double)) {
    return {unit(held.mean), unit(held.within_95), unit(held.worst)};
}

/// Between two moments, never across a gap.
struct Nearest {
    double metres = 1e12;
    double time_s = 0.0;
    PlanePoint place;
};

/// Everything that one debrief measures with.
class Measure {
public:
    Measure(const flight::Circumstances& circumstances, const flight::Flight& flight,
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

    base::Result<Debrief> of(const earth::FlownTrack& flown, const DebriefQuestion& question);

private:
    const flight::TrackStep& planned(std::size_t step) const {
        return step < track_.steps.size() ? track_.steps[step] : track_.missed[step - track_.steps.size()];
    }
    const flight::Step& on_card(std::size_t step) const {
        return step < card_.steps.size() ? card_.steps[step] : card_.missed[step - card_.steps.size()];
    }
    double grid_rad(base::MagneticBearing bearing, const flight::TrackStep& step, PlanePoint place) const {
        return base::to_true(bearing, step.variation).from_north().radians() +
               frame_.convergence(place).radians();
    }
    Moment moment(const Sample& sample, std::size_t step) const {
        return {frame_.to_position(sample.place), sample.altitude.value_or(on_card(step).heights.at_end),
                frame_.to_true(sample.track_rad, sample.place)};
    }

    /// Where a needle swings from stop to stop, and nobody follows it: within twice the height over a VOR or beacon, a mile at least. Common
    /// practice, no source.
    bool near_overhead(const StepPath& path, const Sample& sample, std::size_t step) const {
        if (!path.line.guide || !path.line.station ||
            navdata::localizer(circumstances_.world[*path.line.station]) != nullptr) {
            return false;
        }
        const double height_m = (sample.altitude.value_or(on_card(step).heights.at_end) -
                                 circumstances_.world[flight_.departure].elevation.value_or(Altitude()))
                                    .metres();
        return metres_between(path.line.guide->site, sample.place) < std::max(2.0 * height_m, nm);
    }
    StepPath path_of(const flight::TrackStep& step, const flight::Step& on_card, bool missed) const;
    std::vector<PlanePoint> circuit_of(const flight::FlyHold& hold, const flight::TrackStep& step,
                                       const procedure::HoldTime& standard) const;
    std::optional<Error> refused(const earth::FlownTrack& flown) const;
    StepDebriefed step_of(std::size_t step, std::size_t first, std::size_t end);
    void side(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end);
    void guide(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end);
    void heights(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end) const;
    std::optional<Altitude> minimum_at(std::size_t step, PlanePoint place) const;
    void shown(StepDebriefed& told, std::size_t step, std::size_t first);
    void fix(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end) const;
    void hold(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end) const;
    void reversal(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end) const;
    void end_of(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end);
    std::optional<double> turned_at_s(std::size_t step, std::size_t end) const;
    Nearest nearest(PlanePoint place, double from_s, double to_s) const;
    std::size_t sample_at(double time_s) const;

    const flight::Circumstances& circumstances_;
    const flight::Flight& flight_;
    const flight::FlightTrack& track_;
    const flight::Card& card_;
    earth::LocalFrame frame_;
    Instruments instruments_;
    std::vector<StepPath> paths_;
    std::vector<Sample> samples_;
    std::vector<StepDebriefed> told_;
};

StepPath Measure::path_of(const flight::TrackStep& step, const flight::Step& on_card, bool missed) const {
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
        const base::Speed fastest = procedure::fastest_hold(
            step.altitude, circumstances_.settings.criteria,
            aircraft::approach_category(circumstances_.aircraft.performance.approach_speed));
        const procedure::HoldTime standard =
            procedure::hold_time(step.altitude, circumstances_.settings.criteria);
        path.circuit = circuit_of(*hold, step, standard);
        path.area = procedure::HoldingArea(
            {path.fix, grid_rad(hold->inbound, step, path.fix), hold->side,
             hold->outbound_time.value_or(hold->outbound_reading ? *hold->outbound_reading / fastest
                                                                 : standard.time),
             fastest, procedure::holding_wind(step.altitude), Length::metres(path.line.end_allowed_m)});
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
std::vector<PlanePoint> Measure::circuit_of(const flight::FlyHold& hold, const flight::TrackStep& step,
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

// The plane holds for some hundred miles: a track of elsewhere is told before anything is reckoned on it.
std::optional<Error> Measure::refused(const earth::FlownTrack& flown) const {
    constexpr Length holds = Length::nautical_miles(500.0);
    PlanePoint sum;
    for (const StepPath& path : paths_) {
        sum.east_m += path.line.start.east_m / static_cast<double>(paths_.size());
        sum.north_m += path.line.start.north_m / static_cast<double>(paths_.size());
    }
    const earth::Position middle = frame_.to_position(sum);
    Length nearest = Length::nautical_miles(1e6);
    Length farthest;
    std::uint32_t line = 0;
    const std::size_t every = std::max<std::size_t>(flown.points.size() / 2000, 1);
    for (std::size_t i = 0; i < flown.points.size(); i += every) {
        const Length away = earth::distance(middle, flown.points[i].place);
        nearest = std::min(nearest, away);
        if (away > farthest) {
            farthest = away;
            line = flown.points[i].line;
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

base::Result<Debrief> Measure::of(const earth::FlownTrack& flown, const DebriefQuestion& question) {
    if (const auto error = refused(flown)) {
        return tl::unexpected(*error);
    }
    samples_ = samples_of(flown, frame_, question.longest_gap);
    if (samples_.size() < 2) {
        return tl::unexpected(Error{"debrief.not_flown",
                                    "nothing on the track moves faster than 30 kt: there is no flight to "
                                    "lay against the card",
                                    {}});
    }
    double nearest_m = 1e12;
    Debrief found;
    double seconds = 0.0;
    double off_s = 0.0;
    for (const Sample& sample : samples_) {
        double away_m = 1e12;
        for (const StepPath& path : paths_) {
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
    found.began = Duration(samples_.front().time_s);
    found.ended = Duration(samples_.back().time_s);
    found.recorded = Duration(seconds);
    found.off_the_flight_share = seconds > 0.0 ? off_s / seconds : 0.0;
    for (const earth::TrackGap& gap : earth::gaps_of(flown, question.longest_gap)) {
        if (gap.from >= found.began && gap.to <= found.ended) {
            found.gaps.push_back(gap);
        }
    }
    const std::vector<std::size_t> belongs = align(paths_, samples_, track_.steps.size());
    constexpr double between_moments_s = 10.0;
    double next_s = samples_.front().time_s;
    for (std::size_t i = 0; i < samples_.size(); ++i) {
        const Sample& sample = samples_[i];
        if (sample.time_s < next_s && !sample.after_gap && i + 1 < samples_.size()) {
            continue;
        }
        next_s = sample.time_s + between_moments_s;
        const StepPath& path = paths_[belongs[i]];
        MomentFlown moment{Duration(sample.time_s), belongs[i],   frame_.to_position(sample.place),
                           sample.altitude,         std::nullopt, sample.after_gap};
        if (path.line.shape != Shape::turning) {
            moment.aside = Length::metres(
                flight::aside(path.line, sample.place, circumstances_.settings.criteria).aside_m);
        }
        found.moments.push_back(moment);
    }
    std::size_t begin = 0;
    for (std::size_t step = 0; step < paths_.size(); ++step) {
        std::size_t end = begin;
        while (end < belongs.size() && belongs[end] == step) {
            ++end;
        }
        told_.push_back(step_of(step, begin, end));
        begin = end;
    }
    found.practise = to_practise(told_);
    found.steps = std::move(told_);
    return found;
}

StepDebriefed Measure::step_of(std::size_t step, std::size_t first, std::size_t end) {
    StepDebriefed told;
    told.number = paths_[step].line.number;
    told.missed = step >= track_.steps.size();
    told.to = on_card(step).to;
    told.time_on_card = on_card(step).expected.time;
    told.groundspeed_on_card = on_card(step).expected.groundspeed;
    if (first == end) {
        return told;
    }
    told.began = Duration(samples_[first].time_s);
    told.ended = Duration(samples_[std::min(end, samples_.size() - 1)].time_s);
    double recorded_s = 0.0;
    double way_m = 0.0;
    for (std::size_t i = first; i < end && i + 1 < samples_.size(); ++i) {
        if (samples_[i + 1].after_gap) {
            told.unrecorded += Duration(samples_[i + 1].time_s - samples_[i].time_s);
            continue;
        }
        recorded_s += samples_[i].lasts_s;
        way_m += metres_between(samples_[i].place, samples_[i + 1].place) / frame_.scale(samples_[i].place);
    }
    told.distance = Length::metres(way_m);
    // A step that was left out still has the moment in which the track comes nearest to it.
    const flight::StepLine& line = paths_[step].line;
    const double length_m = metres_between(line.start, line.finish);
    constexpr double some_of_it = 0.2;
    constexpr double long_m = 2.0 * nm;
    const bool left_out = line.shape == Shape::line && length_m > long_m && way_m < some_of_it * length_m &&
                          told.unrecorded == Duration(0.0) && first > 0 && end < samples_.size();
    if (left_out) {
        return told;
    }
    told.flown = true;
    if (recorded_s > 0.0) {
        told.groundspeed = base::Speed::metres_per_second(way_m / recorded_s);
    }
    if (paths_[step].line.shape == Shape::turning) {
        if (paths_[step].area) {
            hold(told, step, first, end);
        } else {
            reversal(told, step, first, end);
        }
    } else {
        side(told, step, first, end);
        fix(told, step, first, end);
    }
    guide(told, step, first, end);
    heights(told, step, first, end);
    shown(told, step, first);
    end_of(told, step, first, end);
    return told;
}

// How the needle of the guidance stands, and whether its arrows are as the card has them.
void Measure::side(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end) {
    const StepPath& path = paths_[step];
    SideFlown side;
    side.of_an_arc = path.line.shape == Shape::arc;
    constexpr double along_within_rad = 30.0 * degree;
    constexpr double established_within_m = 1.0 * nm;
    constexpr double established_within_rad = 5.0 * degree;  // half of a VOR needle's scale
    const auto aside_of = [&](std::size_t i) {
        return flight::aside(path.line, samples_[i].place, circumstances_.settings.criteria);
    };
    std::size_t from = first;
    for (; from < end; ++from) {
        const FromPath there = from_path(path, samples_[from].place);
        const flight::Aside aside = aside_of(from);
        const bool along = !there.leads_rad ||
                           std::abs(wrapped(samples_[from].track_rad - *there.leads_rad)) <= along_within_rad;
        const double away_m =
            path.line.guide ? metres_between(path.line.guide->site, samples_[from].place) : 0.0;
        const double near_m = std::max(established_within_m, away_m * std::sin(established_within_rad));
        if (along && std::abs(aside.aside_m) <= std::min(near_m, aside.primary_m)) {
            break;
        }
    }
    side.was_established = from < end;
    side.established = side.was_established ? Duration(samples_[from].time_s - samples_[first].time_s)
                                            : told.ended - told.began;
    if (!side.was_established) {
        from = first;
    }
    // A turn of half a circle, and the way to the line at 30 degrees.
    constexpr double to_turn_s = 75.0;
    constexpr double cut = 0.5;
    side.established_allowed = Duration(to_turn_s + std::abs(aside_of(first).aside_m) / cut /
                                                        std::max(samples_[first].speed_mps, 30.0));
    // Beyond the line: from where it was first crossed, for three minutes.
    const double began_m = aside_of(first).aside_m;
    if (std::abs(began_m) > 0.1 * nm && side.established > Duration(0.0)) {
        double crossed_s = -1.0;
        for (std::size_t i = first; i < end; ++i) {
            const double aside_m = aside_of(i).aside_m;
            if (aside_m * began_m < 0.0) {
                crossed_s = crossed_s < 0.0 ? samples_[i].time_s : crossed_s;
                side.overshot = std::max(side.overshot, Length::metres(std::abs(aside_m)));
            }
            if (crossed_s >= 0.0 && (samples_[i].time_s > crossed_s + 180.0 || aside_m * began_m > 0.0)) {
                break;
            }
        }
    }
    Over aside_m;
    Over off_deg;
    Over led_deg;
    double seconds = 0.0;
    double primary_s = 0.0;
    double total_s = 0.0;
    for (std::size_t i = from; i < end; ++i) {
        const double lasts_s = samples_[i].lasts_s;
        const flight::Aside aside = aside_of(i);
        aside_m.add(aside.aside_m, lasts_s);
        seconds += lasts_s;
        primary_s += std::abs(aside.aside_m) <= aside.primary_m ? lasts_s : 0.0;
        total_s += std::abs(aside.aside_m) <= aside.total_m ? lasts_s : 0.0;
        if (path.line.guide && path.line.shape == Shape::line) {
            const double away_m = metres_between(path.line.guide->site, samples_[i].place);
            if (!near_overhead(path, samples_[i], step)) {
                off_deg.add(std::asin(std::clamp(aside.aside_m / away_m, -1.0, 1.0)) / degree, lasts_s);
            }
        }
        if (const FromPath there = from_path(path, samples_[i].place); there.leads_rad) {
            led_deg.add(wrapped(samples_[i].track_rad - *there.leads_rad) / degree, lasts_s);
        }
    }
    side.aside = in<Length>(aside_m.held(), Length::metres);
    if (!off_deg.empty()) {
        side.degrees = in<Angle>(off_deg.held(), Angle::degrees);
    }
    if (!led_deg.empty()) {
        side.led_off = Angle::degrees(led_deg.held().mean);
    }
    const double before_m = std::abs(aside_of(from).aside_m);
    const double after_m = std::abs(aside_of(end - 1).aside_m);
    if (after_m > before_m && told.distance > Length()) {
        side.drifted = Length::metres(after_m - before_m);
    }
    side.inside_primary = seconds > 0.0 ? primary_s / seconds : 1.0;
    side.inside_total = seconds > 0.0 ? total_s / seconds : 1.0;
    // The needles.
    const auto& guidance = on_card(step).guidance;
    std::optional<base::Radial> course;
    bool glideslope = false;
    if (const auto* radial = std::get_if<flight::FollowRadial>(&guidance)) {
        course = radial->course;
    } else if (const auto* localizer = std::get_if<flight::FollowLocalizer>(&guidance)) {
        course = localizer->front_course;
        glideslope = localizer->glideslope;
    }
    if (course && path.line.station) {
        Over needle;
        Over slope;
        for (std::size_t i = from; i < end; ++i) {
            const Moment here = moment(samples_[i], step);
            const auto silence =
                instruments_.silence(*path.line.station, radio::Part::azimuth, here, path.line.published);
            const auto shows = instruments_.shows(*path.line.station, silence,
                                                  cockpit::CourseSetting{.course = *course}, here);
            std::optional<cockpit::Needle> stands;
            if (const auto* vor = std::get_if<cockpit::VorShown>(&shows)) {
                stands = vor->needle;
            } else if (const auto* localizer = std::get_if<cockpit::LocalizerShown>(&shows)) {
                stands = localizer->needle;
            }
            if (stands && !near_overhead(path, samples_[i], step)) {
                needle.add(stands->of_full_scale(), samples_[i].lasts_s);
                if (std::abs(stands->of_full_scale()) > three_quarters) {
                    side.beyond_three_quarters += Duration(samples_[i].lasts_s);
                }
            }
            if (glideslope && samples_[i].altitude) {
                const auto heard = instruments_.silence(*path.line.station, radio::Part::glideslope, here,
                                                        path.line.published);
                const auto up =
                    instruments_.shows(*path.line.station, heard, cockpit::GlideslopeSetting{}, here);
                if (const auto* shown = std::get_if<cockpit::GlideslopeShown>(&up)) {
                    slope.add(shown->needle.of_full_scale(), samples_[i].lasts_s);
                }
            }
        }
        if (!needle.empty()) {
            side.of_full_scale = needle.held();
        }
        if (!slope.empty()) {
            side.glideslope_of_full_scale = slope.held();
        }
    }
    told.side = side;
}

void Measure::guide(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end) {
    const StepPath& path = paths_[step];
    if (!path.line.station) {
        return;
    }
    const navdata::Station& station = circumstances_.world[*path.line.station];
    GuideShown guide;
    guide.aid = {station.ident, navdata::kind_text(station), station.frequency};
    const bool by_distance = path.line.shape == Shape::arc;
    const auto* radial = std::get_if<flight::FollowRadial>(&on_card(step).guidance);
    double seconds = 0.0;
    double heard_s = 0.0;
    double arrows_s = 0.0;
    for (std::size_t i = first; i < end; ++i) {
        const double lasts_s = samples_[i].lasts_s;
        const Moment here = moment(samples_[i], step);
        const auto silence = instruments_.silence(*path.line.station,
                                                  by_distance ? radio::Part::distance : radio::Part::azimuth,
                                                  here, path.line.published);
        if (silence == radio::Silence::overhead) {
            continue;
        }
        seconds += lasts_s;
        if (silence != radio::Silence::none) {
            guide.silence = guide.silence == radio::Silence::none ? silence : guide.silence;
            continue;
        }
        heard_s += lasts_s;
        if (radial != nullptr) {
            const auto shows = instruments_.shows(*path.line.station, silence,
                                                  cockpit::CourseSetting{.course = radial->course}, here);
            const auto* vor = std::get_if<cockpit::VorShown>(&shows);
            arrows_s += vor != nullptr &&
                                vor->to_from == (radial->toward ? cockpit::ToFrom::to : cockpit::ToFrom::from)
                            ? lasts_s
                            : 0.0;
        } else {
            arrows_s += lasts_s;
        }
    }
    guide.heard_share = seconds > 0.0 ? heard_s / seconds : 1.0;
    guide.arrows_share = heard_s > 0.0 ? arrows_s / heard_s : 1.0;
    told.guide = guide;
}

// Of the legs that a step is made of, the nearest one's: a step's own minimum is that of the highest of them.
std::optional<Altitude> Measure::minimum_at(std::size_t step, PlanePoint place) const {
    const bool missed = step >= track_.steps.size();
    const auto& legs = missed ? flight_.missed : flight_.legs;
    const std::size_t first_step = missed ? track_.steps.size() : 0;
    const std::size_t last = std::min(planned(step).leg + 1, legs.size());
    std::size_t first = step > first_step ? planned(step - 1).leg : 0;
    // The step before may have ended within the leg on which this one goes on.
    first = std::min(first + (step > first_step && first + 1 < last ? 1U : 0U), last);
    std::optional<Altitude> lowest;
    double nearest_m = 1e12;
    for (std::size_t i = first; i < last; ++i) {
        flight::StepLine line;
        line.start = frame_.to_plane(legs[i].start);
        line.finish = frame_.to_plane(legs[i].finish);
        StepPath path;
        path.line = line;
        if (const double away_m = from_path(path, place).metres; away_m < nearest_m) {
            nearest_m = away_m;
            lowest = legs[i].minimum.altitude;
        }
    }
    return on_card(step).heights.minimum && lowest ? std::min(*on_card(step).heights.minimum, *lowest)
                                                   : on_card(step).heights.minimum;
}

void Measure::heights(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end) const {
    const flight::StepHeights& meant = on_card(step).heights;
    std::optional<HeightsFlown> flown;
    Over off_ft;
    bool reached = false;
    for (std::size_t i = first; i < end; ++i) {
        if (!samples_[i].altitude) {
            continue;
        }
        const Altitude altitude = *samples_[i].altitude;
        if (!flown) {
            flown.emplace();
            flown->lowest = altitude;
            flown->highest = altitude;
        }
        flown->lowest = std::min(flown->lowest, altitude);
        flown->highest = std::max(flown->highest, altitude);
        flown->at_end = altitude;
        const Length off = altitude - meant.at_end;
        reached = reached || abs(off) <= level_within;
        if (meant.vertical == flight::Vertical::level && reached) {
            off_ft.add(off.feet(), samples_[i].lasts_s);
            flown->off_by_100_ft += Duration(abs(off) > level_within ? samples_[i].lasts_s : 0.0);
        }
        const bool holds =
            meant.vertical == flight::Vertical::level || meant.vertical == flight::Vertical::descend;
        const auto minimum = minimum_at(step, samples_[i].place);
        if (holds && minimum && *minimum - altitude > level_within) {
            flown->below_minimum = std::max(flown->below_minimum, *minimum - altitude);
            flown->below_minimum_for += Duration(samples_[i].lasts_s);
        }
    }
    if (!flown) {
        return;
    }
    flown->at_end_off = flown->at_end - meant.at_end;
    if (!off_ft.empty()) {
        flown->off_level = in<Length>(off_ft.held(), Length::feet);
    }
    told.heights = flown;
}

void Measure::shown(StepDebriefed& told, std::size_t step, std::size_t first) {
    const Moment here = moment(samples_[first], step);
    const flight::StepRadios& radios = on_card(step).radios;
    const bool published = paths_[step].line.published;
    const auto look = [&](const std::string& set, const flight::NamedAid& aid,
                          const std::optional<base::Radial>& course, radio::Part part,
                          const cockpit::IndicatorSetting& setting) {
        const auto station = instruments_.named(aid, here.place);
        if (!station) {
            told.shown.push_back({set, aid, course, cockpit::NoSignal{}});
            return;
        }
        const auto silence = instruments_.silence(*station, part, here, published);
        told.shown.push_back({set, aid, course, instruments_.shows(*station, silence, setting, here)});
    };
    const auto& receivers = circumstances_.aircraft.equipment.receivers;
    for (const flight::ReceiverStands& stands : radios.receivers) {
        if (stands.active && stands.number >= 1 &&
            static_cast<std::size_t>(stands.number) <= receivers.size()) {
            cockpit::CourseSetting setting;
            setting.course = stands.course.value_or(base::Radial());
            setting.indicator = receivers[static_cast<std::size_t>(stands.number) - 1].indicator;
            look(fmt::format("NAV{}", stands.number), *stands.active, stands.course, radio::Part::azimuth,
                 setting);
        }
    }
    if (radios.distance && radios.distance->of) {
        look("DME", *radios.distance->of, std::nullopt, radio::Part::distance, cockpit::DistanceSetting{});
    }
    if (radios.adf && radios.adf->aid) {
        look("ADF", *radios.adf->aid, std::nullopt, radio::Part::azimuth,
             cockpit::PointerSetting{cockpit::AdfIndicator::fixed_card, {}});
    }
}

Nearest Measure::nearest(PlanePoint place, double from_s, double to_s) const {
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

std::size_t Measure::sample_at(double time_s) const {
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
std::optional<double> Measure::turned_at_s(std::size_t step, std::size_t end) const {
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

void Measure::fix(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end) const {
    const flight::StepLine& line = paths_[step].line;
    if (told.to.empty() && !line.ends_at_fix) {
        return;
    }
    constexpr double around_s = 300.0;
    const double at_s = samples_[std::min(end, samples_.size() - 1)].time_s;
    const Nearest passed =
        nearest(line.finish, std::max(samples_[first].time_s, at_s - around_s), at_s + around_s);
    if (passed.metres > 1e11) {
        return;
    }
    FixPassed fix;
    fix.at = Duration(passed.time_s);
    fix.missed_by = Length::metres(passed.metres / frame_.scale(passed.place));
    fix.aside = Length::metres(flight::aside(line, passed.place, circumstances_.settings.criteria).aside_m);
    if (line.ends_at_fix) {
        fix.allowed_share = passed.metres / (2.0 * line.end_allowed_m + 0.5 * nm);
    }
    if (const auto turned_s = turned_at_s(step, end)) {
        fix.turned_after = Duration(*turned_s - passed.time_s);
        constexpr double slowest_mps = 30.0;
        const double speed_mps = std::max(samples_[sample_at(passed.time_s)].speed_mps, slowest_mps);
        fix.turn_allowed = Duration(to_act_s + line.end_allowed_m / speed_mps);
    }
    told.fix = fix;
}

void Measure::hold(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end) const {
    const StepPath& path = paths_[step];
    const auto& meant = std::get<flight::FlyHold>(on_card(step).guidance);
    const double inbound_rad = grid_rad(meant.inbound, planned(step), path.fix);
    HoldFlown flown;
    const procedure::HoldTime standard =
        procedure::hold_time(planned(step).altitude, circumstances_.settings.criteria);
    if (!meant.outbound_reading && standard.leg == procedure::TimedLeg::inbound) {
        flown.inbound_meant = standard.time;
    }
    double seconds = 0.0;
    double inside_s = 0.0;
    double rolled_out_s = -1.0;
    constexpr double toward_rad = 45.0 * degree;
    constexpr double level_rad_s = 1.0 * degree;  // turns slower: wings level
    constexpr double shortest_s = 10.0;
    constexpr double over_the_fix_m = 2.0 * nm;
    bool been_out = false;
    const std::size_t last = std::min(end + 1, samples_.size());
    for (std::size_t i = first; i < last; ++i) {
        const Sample& sample = samples_[i];
        const double before_m = (path.fix.east_m - sample.place.east_m) * std::sin(inbound_rad) +
                                (path.fix.north_m - sample.place.north_m) * std::cos(inbound_rad);
        const double away_m = metres_between(sample.place, path.fix);
        flown.farthest = std::max(flown.farthest, Length::metres(away_m));
        const Length beyond = path.area->beyond(sample.place);
        flown.outside = std::max(flown.outside, beyond);
        seconds += sample.lasts_s;
        inside_s += beyond <= Length() ? sample.lasts_s : 0.0;
        const std::size_t soon = std::min(i + 1, samples_.size() - 1);
        const double turns_rad_s =
            std::abs(wrapped(samples_[soon].track_rad - sample.track_rad)) / std::max(sample.lasts_s, 1.0);
        const bool toward = std::abs(wrapped(sample.track_rad - inbound_rad)) <= toward_rad;
        const bool inbound = toward && (rolled_out_s >= 0.0 || turns_rad_s <= level_rad_s);
        been_out = been_out || std::abs(wrapped(sample.track_rad - inbound_rad)) > pi / 2.0;
        if (!inbound || !been_out) {
            rolled_out_s = -1.0;
            continue;
        }
        rolled_out_s = rolled_out_s < 0.0 ? sample.time_s : rolled_out_s;
        const bool passes = before_m <= 0.0 || i + 1 == last;
        if (passes && away_m < over_the_fix_m && sample.time_s - rolled_out_s >= shortest_s) {
            flown.inbound.push_back(Duration(sample.time_s - rolled_out_s));
            ++flown.circuits;
            been_out = false;
            rolled_out_s = -1.0;
        }
    }
    flown.inside_share = seconds > 0.0 ? inside_s / seconds : 1.0;
    told.hold = flown;
}

void Measure::reversal(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end) const {
    const auto* meant = std::get_if<flight::ReverseCourse>(&on_card(step).guidance);
    if (meant == nullptr) {
        return;
    }
    const StepPath& path = paths_[step];
    // The long turn goes back to the right where the aircraft turned off to the left.
    const double side = meant->back == navdata::Turn::left ? 1.0 : -1.0;
    ReversalFlown flown;
    flown.within = meant->within;
    for (std::size_t i = first; i < end; ++i) {
        const double east = samples_[i].place.east_m - path.fix.east_m;
        const double north = samples_[i].place.north_m - path.fix.north_m;
        const double right = east * std::cos(path.outbound_rad) - north * std::sin(path.outbound_rad);
        flown.farthest = std::max(flown.farthest, Length::metres(std::hypot(east, north)));
        flown.to_the_turning_side = std::max(flown.to_the_turning_side, Length::metres(side * right));
        flown.to_the_other_side = std::max(flown.to_the_other_side, Length::metres(-side * right));
    }
    told.reversal = flown;
}

void Measure::end_of(StepDebriefed& told, std::size_t step, std::size_t first, std::size_t end) {
    if (end >= samples_.size()) {
        return;  // the record ends before the step does
    }
    const double ended_s = told.fix && told.fix->turned_after
                               ? (told.fix->at + *told.fix->turned_after).count()
                               : samples_[end].time_s;
    const Sample& sample = samples_[std::max(sample_at(ended_s), first)];
    const Moment here = moment(sample, step);
    const bool published = paths_[step].line.published;
    const flight::StepEnd& meant = on_card(step).end;
    const auto station_of = [&](const flight::NamedAid& aid) { return instruments_.named(aid, here.place); };
    if (const auto* reading = std::get_if<flight::ReadingReached>(&meant)) {
        if (const auto station = station_of(reading->aid)) {
            const auto silence = instruments_.silence(*station, radio::Part::distance, here, published);
            const auto shows = instruments_.shows(*station, silence, cockpit::DistanceSetting{}, here);
            if (const auto* shown = std::get_if<cockpit::DistanceShown>(&shows)) {
                told.end = ReadingEnd{reading->aid, reading->reading, shown->reading};
            }
        }
    } else if (const auto* radial = std::get_if<flight::RadialCentres>(&meant)) {
        if (const auto station = station_of(radial->aid)) {
            const auto silence = instruments_.silence(*station, radio::Part::azimuth, here, published);
            const auto shows =
                instruments_.shows(*station, silence, cockpit::CourseSetting{.course = radial->course}, here);
            if (const auto* vor = std::get_if<cockpit::VorShown>(&shows)) {
                told.end = LineEnd{radial->aid, vor->needle.deflection};
            }
        }
    } else if (const auto* bearing = std::get_if<flight::BearingReached>(&meant)) {
        if (const auto station = station_of(bearing->aid)) {
            const base::TrueBearing to =
                earth::bearing(here.place, navdata::site(circumstances_.world[*station]));
            told.end = LineEnd{bearing->aid, instruments_.magnetic(to, here.place) - bearing->to_station};
        }
    } else if (const auto* localizer = std::get_if<flight::LocalizerCentres>(&meant)) {
        if (const auto station = station_of(localizer->aid)) {
            const auto silence = instruments_.silence(*station, radio::Part::azimuth, here, published);
            const auto shows = instruments_.shows(*station, silence, cockpit::CourseSetting{}, here);
            if (const auto* shown = std::get_if<cockpit::LocalizerShown>(&shows)) {
                told.end = LineEnd{localizer->aid, shown->needle.deflection};
            }
        }
    } else if (const auto* time = std::get_if<flight::TimeOut>(&meant)) {
        Duration since = told.began;
        for (const StepDebriefed& earlier : told_) {
            if (earlier.fix && !earlier.to.empty() && earlier.to == time->since) {
                since = earlier.fix->at;
            }
        }
        told.end = TimeEnd{time->time, Duration(sample.time_s) - since};
    } else if (const auto* altitude = std::get_if<flight::AltitudeReached>(&meant)) {
        if (sample.altitude) {
            told.end = AltitudeEnd{altitude->altitude, *sample.altitude};
        }
    }
}

}  // namespace

base::Result<Debrief> debrief(const flight::Circumstances& circumstances, const flight::Flight& flight,
                              const flight::FlightTrack& track, const flight::Card& card,
                              const earth::FlownTrack& flown, const DebriefQuestion& question) {
    return Measure(circumstances, flight, track, card).of(flown, question);
}

}  // namespace omniway::debrief
