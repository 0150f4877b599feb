#include "flight/radio_needs.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "aircraft/turn.hpp"
#include "earth/geodesic.hpp"
#include "flight/detail/check_candidates.hpp"
#include "flight/detail/guidance_on_paper.hpp"
#include "flight/detail/paper.hpp"
#include "flight/identify_times.hpp"
#include "radio/reception.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Duration;
using base::Length;
using detail::CheckCandidate;
using detail::whole_degrees;
using navdata::StationId;

namespace {

constexpr Duration end_is_near{120.0};
constexpr Duration glance{30.0};
constexpr Duration longest_late{60.0};
constexpr Duration before_final_fix{120.0};
constexpr Duration listened_back{240.0};
// Idle so long, a set can be put on an aid for a look and be back in time; a receiver has a course to be set besides.
constexpr Duration set_idle{120.0};
constexpr Duration receiver_idle{300.0};
constexpr Duration ahead_of_publication{60.0};
constexpr Length lowest_retuning = Length::feet(500.0);
// The moment of the event belongs to the turn that it begins.
constexpr Duration event_and_turn{1.0};
constexpr base::Angle least_turn = base::Angle::degrees(5.0);

/// Since when an ident can be heard, by the clock.
class Listener {
public:
    Listener(const Circumstances& in, const Flight& flight, const std::vector<FlownStep>& steps) : in_(in) {
        Length along;
        for (const FlownStep& step : steps) {
            const auto points = path_of(in.world, flight, step);
            for (const radio::PathPoint& point : points) {
                if (!path_.empty()) {
                    along += earth::distance(path_.back().place, point.place);
                }
                const double share = step.track->length > Length()
                                         ? (point.along - step.begins_along) / step.track->length
                                         : (&point == &points.back() ? 1.0 : 0.0);
                path_.push_back({point.place, along, point.altitude});
                times_.push_back(step.begin + step.takes() * share);
            }
        }
    }

    /// The beginning of the time in which it is heard up to `at`, looking back four minutes; none where it is not heard then.
    std::optional<Duration> heard_until(const navdata::Station& station, radio::Part part,
                                        Duration at) const {
        const Window window = between(at - listened_back, at);
        if (window.path.empty()) {
            return std::nullopt;
        }
        const bool stays = window.path.back().along - window.path.front().along < Length::metres(1.0);
        const auto heard = stays ? std::vector<radio::HeardInterval>()
                                 : radio::heard_along(station, part, window.path, in_.ground);
        if (heard.empty()) {
            const radio::PathPoint& here = window.path.back();
            const auto silence = radio::hear(station, part, here.place, here.altitude, in_.ground).silence;
            const bool hears = silence == radio::Silence::none || silence == radio::Silence::overhead;
            return hears ? std::optional(window.times.front()) : std::nullopt;
        }
        const bool silent_now =
            heard.back().after != radio::Silence::none && heard.back().after != radio::Silence::overhead;
        if (silent_now) {
            return std::nullopt;
        }
        std::size_t first = heard.size() - 1;
        while (first > 0 && heard[first].before == radio::Silence::overhead) {
            --first;
        }
        return window.time_at(heard[first].from);
    }

    /// The first time between two at which it is heard.
    std::optional<Duration> heard_after(const navdata::Station& station, radio::Part part, Duration from,
                                        Duration to) const {
        const Window window = between(from, to);
        if (window.path.empty()) {
            return std::nullopt;
        }
        const auto heard = radio::heard_along(station, part, window.path, in_.ground);
        return heard.empty() ? std::nullopt : std::optional(window.time_at(heard.front().from));
    }

private:
    struct Window {
        std::vector<radio::PathPoint> path;
        std::vector<Duration> times;

        Duration time_at(Length along) const {
            for (std::size_t i = 1; i < path.size(); ++i) {
                if (along <= path[i].along) {
                    const Length span = path[i].along - path[i - 1].along;
                    const double share = span > Length() ? (along - path[i - 1].along) / span : 0.0;
                    return times[i - 1] + (times[i] - times[i - 1]) * std::clamp(share, 0.0, 1.0);
                }
            }
            return times.back();
        }
    };

    Window between(Duration from, Duration to) const {
        Window window;
        if (path_.empty()) {
            return window;
        }
        add(window, from);
        for (std::size_t i = 0; i < path_.size(); ++i) {
            if (times_[i] > from && times_[i] < to) {
                window.path.push_back(path_[i]);
                window.times.push_back(times_[i]);
            }
        }
        add(window, to);
        return window;
    }

    // The place at a time, between the points about it.
    void add(Window& window, Duration at) const {
        const auto next = std::lower_bound(times_.begin(), times_.end(), at);
        if (next == times_.begin() || next == times_.end()) {
            window.path.push_back(next == times_.end() ? path_.back() : path_.front());
            window.times.push_back(next == times_.end() ? times_.back() : times_.front());
            return;
        }
        const auto i = static_cast<std::size_t>(next - times_.begin());
        const Duration span = times_[i] - times_[i - 1];
        const double share = span.count() > 0.0 ? (at - times_[i - 1]) / span : 1.0;
        const radio::PathPoint& a = path_[i - 1];
        const radio::PathPoint& b = path_[i];
        const Length apart = b.along - a.along;
        radio::PathPoint point;
        point.place = apart > Length::metres(1.0)
                          ? earth::destination(a.place, earth::bearing(a.place, b.place), apart * share)
                          : a.place;
        point.along = a.along + apart * share;
        point.altitude = a.altitude + (b.altitude - a.altitude) * share;
        window.path.push_back(point);
        window.times.push_back(at);
    }

    const Circumstances& in_;
    std::vector<radio::PathPoint> path_;
    std::vector<Duration> times_;
};

class Asker {
public:
    Asker(const Circumstances& in, const Flight& flight, const FlightTrack& track,
          const std::vector<FlownStep>& steps, const ObservedEnds& ends)
        : in_(in), flight_(flight), track_(track), steps_(steps), ends_(ends), listener_(in, flight, steps) {}

    AskedOfRadios asked(const std::vector<detail::AltitudeLeft>& left) {
        for (index_ = 0; index_ < steps_.size(); ++index_) {
            guidance();
            telling();
            checks();
            for (const detail::AltitudeLeft& each : left) {
                if (each.step == index_ && each.need) {
                    leaving(each);
                }
            }
        }
        std::stable_sort(needs_.begin(), needs_.end(),
                         [](const Asked& a, const Asked& b) { return a.need.from < b.need.from; });
        AskedOfRadios all;
        all.question.aboard = in_.aircraft.equipment;
        for (Asked& each : needs_) {
            all.question.needs.push_back(each.need);
            all.checks.push_back(std::move(each.check));
        }
        turns();
        near_the_ground();
        final_approach();
        std::stable_sort(quiet_.begin(), quiet_.end(),
                         [](const NoRetuning& a, const NoRetuning& b) { return a.from < b.from; });
        all.question.no_retuning = std::move(quiet_);
        return all;
    }

private:
    struct Asked {
        RadioNeed need;
        std::optional<StepCheck> check;
    };

    const FlownStep& step() const { return steps_[index_]; }
    const TrackStep& track_step() const { return *step().track; }
    const navdata::Station& station(StationId id) const { return in_.world[id]; }

    static radio::Part part_of(SetKind kind) {
        return kind == SetKind::dme ? radio::Part::distance : radio::Part::azimuth;
    }

    RadioNeed need_of(RadioUse use, SetKind kind, StationId id) const {
        RadioNeed need;
        need.use = use;
        need.kind = kind;
        need.station = id;
        need.localizer = kind == SetKind::receiver && navdata::localizer(station(id)) != nullptr;
        need.to_identify = identified_in(kind, station(id));
        need.from = step().begin;
        need.to = step().end;
        need.step = track_step().number;
        return need;
    }

    // Since when its ident can be heard; a published leg's is heard in time.
    Duration heard_from(const RadioNeed& need) const {
        const radio::Part part = part_of(need.kind);
        const auto heard = listener_.heard_until(station(need.station), part, need.from);
        if (step().leg->published) {
            const Duration in_time = need.from - need.to_identify - ahead_of_publication;
            return heard ? std::min(*heard, in_time) : in_time;
        }
        if (heard) {
            return *heard;
        }
        // Where it is heard at no time the judge says so: the schedule need not say it again.
        return listener_.heard_after(station(need.station), part, need.from, need.to).value_or(need.from);
    }

    bool only_set_of_its_kind(const RadioNeed& need) const {
        const auto& receivers = in_.aircraft.equipment.receivers;
        return need.kind != SetKind::receiver || receivers.size() == 1;
    }

    // Whether the end of the step before takes every receiver: one guides to it, the others cross it.
    bool all_taken_before(const RadioNeed& need) const {
        if (index_ == 0 || need.kind != SetKind::receiver) {
            return false;
        }
        std::set<StationId> taken;
        const procedure::Guidance& guidance = steps_[index_ - 1].track->guidance;
        const auto guide = procedure::station_of(guidance);
        if (guide && !std::holds_alternative<procedure::OnBeacon>(guidance)) {
            taken.insert(*guide);
        }
        const auto& end = ends_.of[index_ - 1].need;
        if (end && end->kind == SetKind::receiver) {
            taken.insert(end->station);
        }
        return taken.count(need.station) == 0 && taken.size() >= in_.aircraft.equipment.receivers.size();
    }

    void guidance() {
        const procedure::Guidance& guidance = track_step().guidance;
        const auto id = procedure::station_of(guidance);
        if (!id || step().takes() <= Duration(0.0)) {
            return;
        }
        const bool arc = std::holds_alternative<procedure::OnArc>(guidance);
        RadioNeed need = need_of(RadioUse::guides, guided_by(guidance), *id);
        if (track_step().course_set && need.kind == SetKind::receiver) {
            need.course = whole_degrees(*track_step().course_set);
        }
        need.glideslope = needs_glideslope();
        need.heard_from = heard_from(need);
        const bool off_procedures = step().leg->coded == nullptr && step().leg->phase != Phase::approach;
        const bool not_heard_in_time = need.heard_from + need.to_identify > need.from && index_ > 0;
        if (off_procedures && !arc &&
            (only_set_of_its_kind(need) || all_taken_before(need) || not_heard_in_time)) {
            need.may_begin_late = longest_late + turn_at(index_);
        }
        needs_.push_back({need, std::nullopt});
    }

    bool needs_glideslope() const {
        return detail::on_glideslope(track_, track_step()) ||
               std::holds_alternative<GlideslopeCentres>(ends_.of[index_].end) ||
               detail::glideslope_check(in_, track_, step(), ends_.of[index_]).has_value();
    }

    void telling() {
        const ObservedEnd& end = ends_.of[index_];
        if (!end.need || step().takes() <= Duration(0.0)) {
            return;
        }
        RadioNeed need = need_of(RadioUse::tells, end.need->kind, end.need->station);
        need.course = end.need->course;
        const Duration identified = need.from + need.to_identify;
        need.from =
            std::max(need.from, std::min(need.to - glance, std::max(identified, need.to - end_is_near)));
        need.heard_from = heard_from(need);
        const bool guides_next = need.kind != SetKind::dme && index_ + 1 < steps_.size() &&
                                 procedure::station_of(steps_[index_ + 1].track->guidance) == need.station;
        if (guides_next) {
            need.from = std::max(need.from, need.heard_from + need.to_identify);
            if (need.from > need.to) {
                return;  // it comes alive before it can be identified: that is left to the guidance it begins
            }
        }
        needs_.push_back({need, std::nullopt});
    }

    void leaving(const detail::AltitudeLeft& left) {
        RadioNeed need = need_of(RadioUse::tells, left.need->kind, left.need->station);
        need.course = left.need->course;
        need.from = std::max(need.from, left.at - glance);
        need.to = left.at;
        need.heard_from = heard_from(need);
        needs_.push_back({need, std::nullopt});
    }

    // What a check costs the pilot: nothing where its aid is on a set anyway; a turn of a set that is idle; turns of an idle receiver.
    enum class CheckWork { tuned_anyway, idle_set, idle_receiver, too_much };

    bool after_final_fix() const {
        return track_.final_approach && !step().missed &&
               track_step().number >= track_.final_approach->first_step;
    }
    std::optional<StationId> guide(std::size_t index) const {
        return index < steps_.size() ? procedure::station_of(steps_[index].track->guidance) : std::nullopt;
    }
    // Whether a station guides a step or tells its end.
    bool uses(std::size_t index, StationId id) const {
        return guide(index) == id ||
               (index < steps_.size() && ends_.of[index].need && ends_.of[index].need->station == id);
    }
    static SetKind guided_by(const procedure::Guidance& guidance) {
        return std::holds_alternative<procedure::OnArc>(guidance)      ? SetKind::dme
               : std::holds_alternative<procedure::OnBeacon>(guidance) ? SetKind::adf
                                                                       : SetKind::receiver;
    }

    // How many sets of a kind guide this step, tell its end or must be ready for the next.
    std::size_t taken(SetKind kind) const {
        std::set<StationId> on;
        if (const auto id = guide(index_); id && guided_by(track_step().guidance) == kind) {
            on.insert(*id);
        }
        if (const auto& end = ends_.of[index_].need; end && end->kind == kind) {
            on.insert(end->station);
        }
        if (const auto id = guide(index_ + 1);
            id && kind != SetKind::receiver && guided_by(steps_[index_ + 1].track->guidance) == kind) {
            on.insert(*id);
        }
        return on.size();
    }

    CheckWork work_of(const CheckCandidate& candidate) const {
        if (uses(index_, candidate.station)) {
            return CheckWork::too_much;  // and no check: it would be wrong together with it
        }
        if (uses(index_ + 1, candidate.station) || (index_ > 0 && uses(index_ - 1, candidate.station))) {
            return CheckWork::tuned_anyway;
        }
        const auto& aboard = in_.aircraft.equipment;
        const bool of_its_own =
            candidate.kind == SetKind::adf ||
            (candidate.kind == SetKind::dme && aboard.dme == cockpit::DmeControl::own_control);
        if (of_its_own) {
            return step().takes() >= set_idle && taken(candidate.kind) == 0 ? CheckWork::idle_set
                                                                            : CheckWork::too_much;
        }
        const bool idle =
            step().takes() >= receiver_idle && taken(SetKind::receiver) < aboard.receivers.size();
        return idle ? CheckWork::idle_receiver : CheckWork::too_much;
    }

    // Those that cost the pilot least; a missed approach has work enough.
    void checks() {
        const ObservedEnd& end = ends_.of[index_];
        if (step().missed || after_final_fix() || detail::glideslope_check(in_, track_, step(), end)) {
            return;
        }
        const auto candidates = detail::check_candidates(in_, steps_, index_, end);
        for (const CheckWork work :
             {CheckWork::tuned_anyway, CheckWork::idle_set, CheckWork::idle_receiver}) {
            const std::size_t before = needs_.size();
            for (const CheckCandidate& candidate : candidates) {
                if (work_of(candidate) == work) {
                    ask(candidate);
                }
            }
            if (needs_.size() > before) {
                return;
            }
        }
    }

    void ask(const CheckCandidate& candidate) {
        RadioNeed need = need_of(RadioUse::checks, candidate.kind, candidate.station);
        need.course = candidate.course;
        need.from = std::max(need.from, need.to - glance);
        need.one_of = track_step().number;
        if (const auto heard = identified_by(need)) {
            need.heard_from = *heard;
            needs_.push_back({need, candidate.check});
        }
    }

    // A check is only taken where it is heard all the time that identifying it takes; looked at in three places.
    std::optional<Duration> identified_by(const RadioNeed& need) const {
        return listener_.heard_until(station(need.station), part_of(need.kind), need.from);
    }

    // How long the turn at the beginning of a step takes.
    Duration turn_at(std::size_t index) const {
        if (index == 0) {
            return Duration(0.0);
        }
        const TrackStep& after = *steps_[index].track;
        const base::Angle turned = abs(after.track - steps_[index - 1].arrival);
        if (turned < least_turn || after.true_airspeed <= base::Speed()) {
            return Duration(0.0);
        }
        return turned / aircraft::planned_turn(after.true_airspeed).rate;
    }

    void turns() {
        for (std::size_t i = 1; i < steps_.size(); ++i) {
            const Duration takes = turn_at(i);
            if (takes > Duration(0.0)) {
                const base::Angle turned = abs(steps_[i].track->track - steps_[i - 1].arrival);
                quiet_.push_back({std::max(steps_[i - 1].begin, steps_[i].begin - event_and_turn),
                                  steps_[i].begin + takes,
                                  fmt::format("a turn of {:.0f} degrees at {}", turned.degrees(),
                                              event_name(ends_.of[i - 1].end))});
            }
        }
    }

    // Where a step passes an altitude, on a straight line in height.
    static std::optional<Duration> passes(const FlownStep& step, Altitude altitude) {
        const bool between = (step.at_start <= altitude) != (step.at_end <= altitude);
        if (!between) {
            return std::nullopt;
        }
        const double share = (altitude - step.at_start) / (step.at_end - step.at_start);
        return step.begin + step.takes() * share;
    }

    void near_the_ground() {
        if (steps_.empty()) {
            return;
        }
        const std::string why = "below 500 ft above the field";
        const auto lowest = [&](navdata::AirportId airport) {
            return in_.world[airport].elevation.value_or(Altitude()) + lowest_retuning;
        };
        const Altitude departing = lowest(flight_.departure);
        if (!flight_.begun && steps_.front().at_start < departing) {
            for (const FlownStep& step : steps_) {
                if (const auto left = passes(step, departing)) {
                    quiet_.push_back({Duration(0.0), *left, why});
                    break;
                }
            }
        }
        const Altitude arriving = lowest(flight_.arrival);
        std::optional<Duration> below;
        for (const FlownStep& step : steps_) {
            if (step.track->phase != Phase::approach && step.track->phase != Phase::missed) {
                continue;
            }
            const auto at = passes(step, arriving);
            if (at && step.at_end <= arriving) {
                below = *at;
            } else if (at && below) {
                quiet_.push_back({*below, *at, why});
                below.reset();
            }
        }
        if (below) {
            quiet_.push_back({*below, steps_.back().end, why});
        }
    }

    void final_approach() {
        if (!track_.final_approach) {
            return;
        }
        std::optional<Duration> fix;
        std::optional<Duration> end;
        for (const FlownStep& step : steps_) {
            if (!step.missed && step.track->number == track_.final_approach->first_step) {
                fix = step.begin;
            }
            if (!step.missed) {
                end = step.end;
            }
        }
        if (fix && end) {
            quiet_.push_back({*fix - before_final_fix, *end,
                              "from 2 minutes before the final fix to the missed approach point"});
        }
    }

    const Circumstances& in_;
    const Flight& flight_;
    const FlightTrack& track_;
    const std::vector<FlownStep>& steps_;
    const ObservedEnds& ends_;
    Listener listener_;
    std::size_t index_ = 0;
    std::vector<Asked> needs_;
    std::vector<NoRetuning> quiet_;
};

}  // namespace

AskedOfRadios radio_needs(const Circumstances& circumstances, const Flight& flight, const FlightTrack& track,
                          const std::vector<FlownStep>& steps, const ObservedEnds& ends,
                          const std::vector<detail::AltitudeLeft>& left) {
    return Asker(circumstances, flight, track, steps, ends).asked(left);
}

}  // namespace omniway::flight
