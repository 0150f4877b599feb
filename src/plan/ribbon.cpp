#include "plan/ribbon.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "flight/flown_step.hpp"
#include "flight/name_of_aid.hpp"
#include "plan/step_wording.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Duration;
using base::Length;
using flight::NamedAid;
using flight::RadioSet;
using flight::SetKind;

namespace {

constexpr double margin_error = 0.02;
constexpr Duration same_instant{1e-3};
constexpr Length shortest_span = Length::nautical_miles(0.1);  // to which ends of hearing are known
// Beyond the end of a span by so much its silence is asked for: its ends are known to 0.01 NM.
constexpr Length beyond_an_end = Length::nautical_miles(0.02);

RibbonPlace between(const RibbonPlace& from, const RibbonPlace& to, double share) {
    return {from.along + (to.along - from.along) * share, from.time + (to.time - from.time) * share};
}

RibbonGuidance guidance_of(const flight::StepGuidance& guidance) {
    struct Tell {
        RibbonGuidance operator()(const flight::FollowRadial&) const { return RibbonGuidance::radial; }
        RibbonGuidance operator()(const flight::FollowBearing&) const { return RibbonGuidance::bearing; }
        RibbonGuidance operator()(const flight::FollowLocalizer&) const { return RibbonGuidance::localizer; }
        RibbonGuidance operator()(const flight::FollowArc&) const { return RibbonGuidance::arc; }
        RibbonGuidance operator()(const flight::FlyHeading& heading) const {
            return heading.along_runway ? RibbonGuidance::runway : RibbonGuidance::dead_reckoning;
        }
        RibbonGuidance operator()(const flight::FlyHold&) const { return RibbonGuidance::hold; }
        RibbonGuidance operator()(const flight::ReverseCourse&) const {
            return RibbonGuidance::course_reversal;
        }
    };
    return std::visit(Tell{}, guidance);
}

// A place of a path by its distance along.
struct OnPath {
    earth::Position place;
    Altitude altitude;
};
OnPath on_path(const std::vector<radio::PathPoint>& path, Length along) {
    const auto after = std::find_if(path.begin() + 1, path.end() - 1,
                                    [along](const radio::PathPoint& point) { return point.along >= along; });
    const radio::PathPoint& from = *(after - 1);
    const double share = std::clamp((along - from.along) / (after->along - from.along), 0.0, 1.0);
    const earth::Geodesic line = earth::geodesic(from.place, after->place);
    return {earth::destination(from.place, line.initial, line.distance * share),
            from.altitude + (after->altitude - from.altitude) * share};
}

// Those points without which straight lines between the others would err by too much (Douglas and Peucker).
void keep(const std::vector<StrengthAt>& all, std::size_t first, std::size_t last,
          std::vector<StrengthAt>& kept) {
    double worst = margin_error;
    std::size_t at = first;
    for (std::size_t i = first + 1; i < last; ++i) {
        const double share = (all[i].along - all[first].along) / (all[last].along - all[first].along);
        const double off =
            std::abs(all[first].share + (all[last].share - all[first].share) * share - all[i].share);
        if (off > worst) {
            worst = off;
            at = i;
        }
    }
    if (at != first) {
        keep(all, first, at, kept);
        keep(all, at, last, kept);
    } else {
        kept.push_back(all[last]);
    }
}

std::vector<StrengthAt> strengths(const std::vector<flight::HeardMargin>& margins) {
    std::vector<StrengthAt> all;
    for (const flight::HeardMargin& margin : margins) {
        all.push_back({margin.along, flight::strength(margin)});
    }
    if (all.size() < 3) {
        return all;
    }
    std::vector<StrengthAt> kept{all.front()};
    keep(all, 0, all.size() - 1, kept);
    return kept;
}

radio::Part part_of(const flight::RadioNeed& need) {
    return need.kind == SetKind::dme ? radio::Part::distance : radio::Part::azimuth;
}

class RibbonMaker {
public:
    RibbonMaker(const flight::Circumstances& in, const flight::Flight& flight,
                const flight::Compiled& compiled)
        : in_(in),
          flight_(flight),
          compiled_(compiled),
          steps_(flight::flown_steps(in, flight, compiled.track)),
          times_(steps_) {}

    Ribbon made() {
        const flight::Strip strip = flight::strip_of(in_.world, flight_, in_.ground, missed_path());
        path_ = strip.path;
        ribbon_.marks = strip.marks;
        ribbon_.reception = strip.mode;
        lay_out_steps();
        lay_out_hearing(strip);
        lay_out_sets();
        lay_out_heights(strip);
        lay_out_line();
        return in_order();
    }

    Ribbon without_hearing() {
        lay_out_steps();
        lay_out_sets();
        return in_order();
    }

private:
    std::vector<radio::PathPoint> missed_path() const {
        std::vector<radio::PathPoint> path;
        for (const flight::FlownStep& step : steps_) {
            if (step.missed) {
                const auto points = flight::path_of(in_.world, flight_, step);
                path.insert(path.end(), points.begin(), points.end());
            }
        }
        return path;
    }

    Ribbon in_order() {
        std::stable_sort(ribbon_.events.begin(), ribbon_.events.end(),
                         [](const RibbonEvent& a, const RibbonEvent& b) { return a.at.time < b.at.time; });
        return std::move(ribbon_);
    }

    const flight::Step& step_on_card(std::size_t i) const {
        const flight::Card& card = compiled_.card;
        return i < card.steps.size() ? card.steps[i] : card.missed[i - card.steps.size()];
    }
    static RibbonStretch where(const flight::FlownStep& step) {
        return {{step.begins_along, step.begin}, {step.begins_along + step.track->length, step.end}};
    }

    void lay_out_steps() {
        for (std::size_t i = 0; i < steps_.size(); ++i) {
            const flight::Step& card = step_on_card(i);
            RibbonStep step;
            step.number = card.number;
            step.phase = card.phase;
            step.missed = steps_[i].missed;
            step.via = card.via;
            step.from = card.from;
            step.to = card.to;
            step.says = guidance_text(card.guidance);
            step.until = end_text(card.end);
            step.guidance = guidance_of(card.guidance);
            step.where = where(steps_[i]);
            ribbon_.events.push_back({step.where.ends, step.number, step.until});
            const RibbonPlace& end = step.where.ends;
            if (!step.missed) {
                ribbon_.length = end.along;
                ribbon_.time = end.time;
            }
            ribbon_.length_with_missed = end.along;
            ribbon_.time_with_missed = end.time;
            ribbon_.steps.push_back(std::move(step));
        }
    }

    // Hearing.

    std::string why_not(const navdata::Station& station, radio::Part part, radio::Silence silence,
                        Length just_beyond) const {
        const OnPath at = on_path(path_, just_beyond);
        const radio::Reception there = radio::hear(station, part, at.place, at.altitude, in_.ground);
        return there.silence == silence ? radio::to_text(there) : radio::to_text(silence);
    }

    HeardSpan span_of(const flight::StripLane& lane, const flight::StripBar& bar) const {
        const navdata::Station& station = in_.world[lane.station];
        const radio::HeardInterval& heard = bar.heard;
        HeardSpan span;
        // Where the way itself ends in a hold it is heard through that.
        span.where = {times_.last_at(heard.from), heard.after == radio::Silence::none
                                                      ? times_.last_at(heard.to)
                                                      : times_.first_at(heard.to)};
        span.before = heard.before;
        span.after = heard.after;
        span.begins_because =
            heard.before == radio::Silence::none
                ? "the flight begins"
                : "before it " + why_not(station, lane.part, heard.before, heard.from - beyond_an_end);
        span.ends_because = heard.after == radio::Silence::none
                                ? "the flight ends"
                                : why_not(station, lane.part, heard.after, heard.to + beyond_an_end);
        span.margins = strengths(bar.margins);
        return span;
    }

    HearingLane& lane_of(navdata::StationId station, radio::Part part) {
        const auto found = std::find_if(
            ribbon_.hearing.begin(), ribbon_.hearing.end(),
            [&](const HearingLane& lane) { return lane.station == station && lane.part == part; });
        if (found != ribbon_.hearing.end()) {
            return *found;
        }
        ribbon_.hearing.push_back({station, part, false, false, {}});
        return ribbon_.hearing.back();
    }

    // In the order in which they begin; without a schedule all but checks, of which few would be taken.
    std::vector<std::size_t> needs_met() const {
        std::vector<std::size_t> met;
        if (const auto* schedule = std::get_if<flight::RadioSchedule>(&compiled_.schedule)) {
            for (const flight::RadioMet& each : schedule->met) {
                met.push_back(each.need);
            }
        } else {
            for (std::size_t i = 0; i < compiled_.radios.needs.size(); ++i) {
                if (compiled_.radios.needs[i].use != flight::RadioUse::checks) {
                    met.push_back(i);
                }
            }
        }
        return met;
    }

    // Where a published leg needs what is computed not to be heard there, publication outranks that; not so in the cone overhead.
    void add_published() {
        for (const std::size_t index : needs_met()) {
            const flight::RadioNeed& need = compiled_.radios.needs[index];
            const flight::FlownStep& step = steps_[static_cast<std::size_t>(need.step - 1)];
            if (!step.leg->published) {
                continue;
            }
            HearingLane& lane = lane_of(need.station, part_of(need));
            const Length ends = times_.at(need.to).along;
            Length from = times_.at(need.from).along;
            std::vector<HeardSpan> added;
            for (const HeardSpan& span : lane.spans) {
                if (span.where.ends.along <= from) {
                    continue;
                }
                if (span.before != radio::Silence::overhead) {
                    add_published(lane, from, std::min(span.where.begins.along, ends), step, added);
                }
                from = std::max(from, span.where.ends.along);
            }
            const bool dies_overhead =
                !lane.spans.empty() && lane.spans.back().after == radio::Silence::overhead;
            if (!dies_overhead) {
                add_published(lane, from, ends, step, added);
            }
            lane.spans.insert(lane.spans.end(), added.begin(), added.end());
            std::stable_sort(lane.spans.begin(), lane.spans.end(),
                             [](const HeardSpan& a, const HeardSpan& b) {
                                 return a.where.begins.along < b.where.begins.along;
                             });
        }
    }
    void add_published(const HearingLane& lane, Length from, Length to, const flight::FlownStep& step,
                       std::vector<HeardSpan>& added) const {
        if (to - from < shortest_span) {
            return;
        }
        const OnPath middle = on_path(path_, from + (to - from) * 0.5);
        const radio::Reception there =
            radio::hear(in_.world[lane.station], lane.part, middle.place, middle.altitude, in_.ground);
        HeardSpan span;
        span.where = {times_.last_at(from), times_.first_at(to)};
        span.before = span.after = there.silence;
        span.begins_because =
            fmt::format("flight-checked on {}, though computed {}",
                        step.track->via.empty() ? "its leg" : step.track->via, radio::to_text(there));
        span.ends_because = span.begins_because;
        span.margins = {{from, 0.0}, {to, 0.0}};
        span.published = true;
        added.push_back(std::move(span));
    }

    // A hold over a station is flown about its cone, through which it only passes. A climb in one has a length, and its path does so.
    void add_holds() {
        for (const flight::FlownStep& step : steps_) {
            const bool hold = step.track->length < Length::metres(1.0) && step.track->ending &&
                              std::holds_alternative<procedure::AtHold>(*step.track->ending);
            for (std::size_t i = 0; hold && i < ribbon_.hearing.size(); ++i) {
                add_hold(step, ribbon_.hearing[i]);
            }
        }
    }
    void add_hold(const flight::FlownStep& step, HearingLane& lane) const {
        const radio::Reception there =
            radio::hear(in_.world[lane.station], lane.part, step.track->finish, step.at_end, in_.ground);
        if (there.silence != radio::Silence::overhead) {
            return;
        }
        const Length along = step.begins_along + step.track->length;
        const flight::HeardMargin margin{along, there.above_sight(), there.within_limit()};
        HeardSpan span;
        span.where = {{along, step.begin}, {along, step.end}};
        span.before = span.after = radio::Silence::overhead;
        span.begins_because = span.ends_because = "in the hold about it, overhead only in passing";
        span.margins = {{along, flight::strength(margin)}};
        const auto after = std::find_if(lane.spans.begin(), lane.spans.end(), [&](const HeardSpan& each) {
            return each.where.begins.time >= step.end;
        });
        lane.spans.insert(after, std::move(span));
    }

    void lay_out_hearing(const flight::Strip& strip) {
        for (const flight::StripLane& lane : strip.lanes) {
            HearingLane laid{lane.station, lane.part, false, false, {}};
            for (const flight::StripBar& bar : lane.bars) {
                laid.spans.push_back(span_of(lane, bar));
            }
            ribbon_.hearing.push_back(std::move(laid));
        }
        add_holds();
        add_published();
        const std::vector<std::size_t> needed = needs_met();
        const auto first_need = [&](const HearingLane& lane) {
            const auto found = std::find_if(needed.begin(), needed.end(), [&](std::size_t index) {
                const flight::RadioNeed& need = compiled_.radios.needs[index];
                return need.station == lane.station &&
                       (part_of(need) == lane.part ||
                        (need.glideslope && lane.part == radio::Part::glideslope));
            });
            return found - needed.begin();
        };
        const auto none = static_cast<std::ptrdiff_t>(needed.size());
        std::stable_sort(
            ribbon_.hearing.begin(), ribbon_.hearing.end(),
            [&](const HearingLane& a, const HearingLane& b) { return first_need(a) < first_need(b); });
        const bool scheduled = std::holds_alternative<flight::RadioSchedule>(compiled_.schedule);
        for (HearingLane& lane : ribbon_.hearing) {
            lane.needed = first_need(lane) < none;
            lane.used = lane.needed && scheduled;
        }
    }

    // The sets.

    // When a set that is put on an aid is needed on it first.
    std::optional<Duration> needed_from(const RadioSet& set, const NamedAid& aid, Duration since) const {
        const auto* schedule = std::get_if<flight::RadioSchedule>(&compiled_.schedule);
        std::optional<Duration> first;
        if (schedule == nullptr) {
            return first;
        }
        for (const flight::RadioMet& met : schedule->met) {
            const flight::RadioNeed& need = compiled_.radios.needs[met.need];
            const bool same_set = met.set == set || (set.kind == SetKind::receiver && met.first_by_receiver &&
                                                     *met.first_by_receiver == set.number);
            const Duration from = need.from + met.begins_late.value_or(Duration(0.0));
            if (same_set && from + same_instant >= since && flight::named(in_.world[need.station]) == aid &&
                (!first || from < *first)) {
                first = from;
            }
        }
        return first;
    }

    /// What stands in one window of one set, while it is walked through the card.
    struct Window {
        std::optional<NamedAid> aid;
        std::optional<base::Radial> course;
        Duration since{0.0};
        bool retuned = false;  // then, from something else
        friend bool same(const Window& a, const Window& b) { return a.aid == b.aid && a.course == b.course; }
    };

    struct SetWalk {
        SetLane lane;
        Window active;
        Window standby;
    };

    void close(SetWalk& walk, Window& window, bool standby, Duration until) const {
        if (!window.aid || until - window.since <= same_instant) {
            return;
        }
        SetSpan span;
        span.where = {times_.at(window.since), times_.at(until)};
        span.aid = *window.aid;
        span.standby = standby;
        span.course = window.course;
        if (!standby && window.retuned) {
            span.identify_by = needed_from(walk.lane.set, span.aid, window.since);
        }
        walk.lane.spans.push_back(std::move(span));
    }
    void put(SetWalk& walk, Window& window, bool standby, Window next, Duration at) const {
        next.since = at;
        next.retuned = at > same_instant && window.aid != next.aid;
        if (!same(window, next)) {
            close(walk, window, standby, at);
            window = std::move(next);
        }
    }

    // As a card has all knobs at one moment.
    void stand(const flight::StepRadios& radios, Duration at) {
        for (SetWalk& walk : walks_) {
            const RadioSet& set = walk.lane.set;
            if (set.kind == SetKind::receiver) {
                for (const flight::ReceiverStands& stands : radios.receivers) {
                    if (stands.number == set.number) {
                        put(walk, walk.active, false, {stands.active, stands.course, at}, at);
                        put(walk, walk.standby, true, {stands.standby, std::nullopt, at}, at);
                    }
                }
            } else if (set.kind == SetKind::dme) {
                put(walk, walk.active, false,
                    {radios.distance ? radios.distance->of : std::nullopt, std::nullopt, at}, at);
            } else {
                put(walk, walk.active, false, {radios.adf ? radios.adf->aid : std::nullopt, std::nullopt, at},
                    at);
            }
        }
    }

    // What one piece of work does to them.
    static void turn(flight::StepRadios& radios, const flight::StepWork& work) {
        const auto receiver = [&](int number) -> flight::ReceiverStands* {
            const auto found =
                std::find_if(radios.receivers.begin(), radios.receivers.end(),
                             [&](const flight::ReceiverStands& each) { return each.number == number; });
            return found == radios.receivers.end() ? nullptr : &*found;
        };
        if (const auto* tune = std::get_if<flight::Tune>(&work)) {
            if (tune->set.kind == SetKind::receiver) {
                if (flight::ReceiverStands* set = receiver(tune->set.number)) {
                    set->active = tune->aid;
                    set->standby = set->standby == tune->aid ? std::nullopt : set->standby;
                }
                if (radios.distance && radios.distance->from == flight::DistanceFrom::receiver &&
                    radios.distance->receiver == tune->set.number) {
                    radios.distance->of = tune->aid;
                }
            } else if (tune->set.kind == SetKind::dme && radios.distance) {
                radios.distance->of = tune->aid;
            } else if (tune->set.kind == SetKind::adf && radios.adf) {
                radios.adf->aid = tune->aid;
            }
        } else if (const auto* preselect = std::get_if<flight::Preselect>(&work)) {
            if (flight::ReceiverStands* set = receiver(preselect->set.number)) {
                set->standby = preselect->aid;
            }
        } else if (const auto* course = std::get_if<flight::SetCourse>(&work)) {
            if (flight::ReceiverStands* set = receiver(course->receiver)) {
                set->course = course->course;
            }
        } else if (const auto* select = std::get_if<flight::SelectDistance>(&work)) {
            radios.distance = flight::DistanceStands{select->from, select->receiver, select->of};
        }
    }

    void lay_out_sets() {
        const cockpit::Equipment& aboard = in_.aircraft.equipment;
        for (std::size_t i = 0; i < aboard.receivers.size(); ++i) {
            walks_.push_back({{{SetKind::receiver, static_cast<int>(i) + 1}, {}, {}, {}}, {}, {}});
        }
        if (aboard.dme) {
            walks_.push_back({{{SetKind::dme, 1}, {}, {}, {}}, {}, {}});
        }
        if (aboard.adf) {
            walks_.push_back({{{SetKind::adf, 1}, {}, {}, {}}, {}, {}});
        }
        flight::StepRadios radios = compiled_.card.lined_up;
        stand(radios, Duration(0.0));
        for (std::size_t i = 0; i < steps_.size(); ++i) {
            const flight::Step& step = step_on_card(i);
            radios = step.radios;
            stand(radios, steps_[i].begin);
            for (std::size_t k = 0; k < step.work.size(); ++k) {
                do_work(step, step.work[k], compiled_.work_at[i][k], radios);
            }
        }
        for (SetWalk& walk : walks_) {
            close(walk, walk.active, false, ribbon_.time_with_missed);
            close(walk, walk.standby, true, ribbon_.time_with_missed);
            std::stable_sort(
                walk.lane.spans.begin(), walk.lane.spans.end(),
                [](const SetSpan& a, const SetSpan& b) { return a.where.begins.time < b.where.begins.time; });
            ribbon_.sets.push_back(std::move(walk.lane));
        }
        add_uses();
    }

    void do_work(const flight::Step& step, const flight::StepWork& work, Duration at,
                 flight::StepRadios& radios) {
        const RibbonPlace place = times_.at(at);
        ribbon_.events.push_back({place, step.number, work_text(work)});
        if (const auto* tune = std::get_if<flight::Tune>(&work)) {
            for (SetWalk& walk : walks_) {
                if (walk.lane.set == tune->set) {
                    walk.lane.retunes.push_back({place, tune->aid, tune->slack});
                }
            }
        }
        turn(radios, work);
        stand(radios, at);
    }

    void add_uses() {
        const auto* schedule = std::get_if<flight::RadioSchedule>(&compiled_.schedule);
        if (schedule == nullptr) {
            return;
        }
        const auto add = [&](const RadioSet& set, const flight::RadioNeed& need, Duration from, Duration to) {
            for (SetLane& lane : ribbon_.sets) {
                if (lane.set == set) {
                    lane.uses.push_back(
                        {{times_.at(from), times_.at(to)}, need.use, need.station, need.step});
                }
            }
        };
        for (const flight::RadioMet& met : schedule->met) {
            const flight::RadioNeed& need = compiled_.radios.needs[met.need];
            const Duration from = need.from + met.begins_late.value_or(Duration(0.0));
            if (met.first_by_receiver && met.handed_over) {
                add({SetKind::receiver, *met.first_by_receiver}, need, from, *met.handed_over);
                add(met.set, need, *met.handed_over, need.to);
            } else {
                add(met.set, need, from, need.to);
            }
        }
    }

    // Heights and winds.

    void lay_out_heights(const flight::Strip& strip) {
        std::vector<Length> at;
        for (const radio::PathPoint& point : strip.path) {
            at.push_back(point.along);
        }
        for (const flight::GroundUnder& under : strip.ground) {
            at.push_back(under.along);
        }
        std::sort(at.begin(), at.end());
        at.erase(
            std::unique(at.begin(), at.end(), [](Length a, Length b) { return b - a < Length::metres(1.0); }),
            at.end());
        std::size_t under = 0;
        for (const Length along : at) {
            while (under + 1 < strip.ground.size() && strip.ground[under + 1].along <= along) {
                ++under;
            }
            HeightAt height{times_.first_at(along), on_path(path_, along).altitude, std::nullopt,
                            strip.ground.empty() ? std::nullopt : strip.ground[under].ground};
            const auto over = std::find_if(strip.minimums.begin(), strip.minimums.end(),
                                           [along](const flight::StripMinimum& m) { return along <= m.to; });
            const bool inside = over != strip.minimums.end() && over->from <= along;
            if (inside) {
                height.minimum = over->minimum;
            }
            ribbon_.heights.push_back(height);
            // Where one minimum meets the next there are two points.
            const bool ends_here = inside && over->to - along < Length::metres(1.0);
            if (ends_here && over + 1 != strip.minimums.end() &&
                (over + 1)->from - along < Length::metres(1.0)) {
                height.minimum = (over + 1)->minimum;
                ribbon_.heights.push_back(height);
            }
            add_wind(height);
        }
        // Where the way ends in a hold the last height stays.
        HeightAt last = ribbon_.heights.back();
        last.where = times_.last_at(last.where.along);
        if (last.where.time > ribbon_.heights.back().where.time) {
            ribbon_.heights.push_back(last);
        }
    }

    void add_wind(const HeightAt& height) {
        const weather::Wind wind = in_.winds.at(height.altitude);
        if (ribbon_.winds.empty() || weather::to_text(ribbon_.winds.back().wind) != weather::to_text(wind)) {
            ribbon_.winds.push_back({height.where, wind});
        }
    }

    // The line.

    void lay_out_line() {
        for (const radio::PathPoint& point : path_) {
            if (point.along > ribbon_.length + Length::metres(1.0)) {
                break;
            }
            const RibbonPlace where = times_.first_at(point.along);
            const auto step = std::find_if(
                ribbon_.steps.begin(), ribbon_.steps.end(),
                [&](const RibbonStep& each) { return each.where.ends.along >= point.along && !each.missed; });
            ribbon_.line.push_back({where, point.place, step == ribbon_.steps.end() ? 0 : step->number});
        }
        for (const flight::FlownStep& step : steps_) {
            if (step.missed) {
                for (const radio::PathPoint& point : flight::path_of(in_.world, flight_, step)) {
                    ribbon_.missed_line.push_back(
                        {times_.first_at(point.along), point.place, step.track->number});
                }
            }
        }
    }

    const flight::Circumstances& in_;
    const flight::Flight& flight_;
    const flight::Compiled& compiled_;
    std::vector<flight::FlownStep> steps_;
    Timetable times_;
    std::vector<radio::PathPoint> path_;
    std::vector<SetWalk> walks_;
    Ribbon ribbon_;
};

}  // namespace

Timetable::Timetable(const std::vector<flight::FlownStep>& steps) {
    OMNIWAY_EXPECTS(!steps.empty());
    ends_.push_back({steps.front().begins_along, steps.front().begin});
    for (const flight::FlownStep& step : steps) {
        ends_.push_back({step.begins_along + step.track->length, step.end});
    }
}

RibbonPlace Timetable::first_at(Length along) const {
    const auto after = std::find_if(ends_.begin(), ends_.end(),
                                    [along](const RibbonPlace& end) { return end.along >= along; });
    if (after == ends_.begin()) {
        return ends_.front();
    }
    if (after == ends_.end()) {
        return ends_.back();
    }
    return between(*(after - 1), *after, (along - (after - 1)->along) / (after->along - (after - 1)->along));
}

RibbonPlace Timetable::last_at(Length along) const {
    const auto after = std::find_if(ends_.begin(), ends_.end(),
                                    [along](const RibbonPlace& end) { return end.along > along; });
    if (after == ends_.begin()) {
        return ends_.front();
    }
    if (after == ends_.end()) {
        return ends_.back();
    }
    return between(*(after - 1), *after, (along - (after - 1)->along) / (after->along - (after - 1)->along));
}

RibbonPlace Timetable::at(Duration time) const {
    const auto after =
        std::find_if(ends_.begin(), ends_.end(), [time](const RibbonPlace& end) { return end.time > time; });
    if (after == ends_.begin()) {
        return ends_.front();
    }
    if (after == ends_.end()) {
        return ends_.back();
    }
    return between(*(after - 1), *after, (time - (after - 1)->time) / (after->time - (after - 1)->time));
}

std::string_view word_of(RibbonGuidance guidance) {
    switch (guidance) {
        case RibbonGuidance::radial:
            return "radial";
        case RibbonGuidance::bearing:
            return "bearing";
        case RibbonGuidance::localizer:
            return "localizer";
        case RibbonGuidance::arc:
            return "arc";
        case RibbonGuidance::dead_reckoning:
            return "dead_reckoning";
        case RibbonGuidance::runway:
            return "runway";
        case RibbonGuidance::hold:
            return "hold";
        case RibbonGuidance::course_reversal:
            break;
    }
    return "course_reversal";
}

Ribbon ribbon_of(const flight::Circumstances& circumstances, const flight::Flight& flight,
                 const flight::Compiled& compiled) {
    return RibbonMaker(circumstances, flight, compiled).made();
}

Ribbon ribbon_without_hearing(const flight::Circumstances& circumstances, const flight::Flight& flight,
                              const flight::Compiled& compiled) {
    return RibbonMaker(circumstances, flight, compiled).without_hearing();
}

}  // namespace omniway::plan
