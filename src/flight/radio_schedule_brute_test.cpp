// The twin of the radio schedule: it walks through time instant by instant and tries every turn of every knob at each, with nothing
// known of which turns are worth while. Written from the comment of flight/radio_schedule.hpp; it shares no code with what it checks. A
// second part carries out the turns of a schedule at their earliest and at their latest and looks whether each need is met.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <iostream>
#include <limits>
#include <map>
#include <random>
#include <set>
#include <sstream>

#include "flight/radio_schedule.hpp"

namespace omniway::flight {

namespace {

using base::Duration;
using base::Radial;
using cockpit::CourseIndicator;
using cockpit::DmeControl;

constexpr int tick_s = 10;  // all times of the cases are multiples of it, and so are those of a best schedule
constexpr int ground = -1000;
constexpr int never = 1000;

int ticks(Duration time) {
    return static_cast<int>(std::lround(time.count() / tick_s));
}
int station_of(const RadioNeed& need) {
    return static_cast<int>(need.station.index);
}
int course_of(const RadioNeed& need) {
    return need.kind == SetKind::receiver && need.course
               ? static_cast<int>(std::lround(need.course->degrees()))
               : -1;
}
bool same_kind_and_station(const RadioNeed& a, SetKind kind, int station) {
    return a.kind == kind && station_of(a) == station;
}

int identified_at(const RadioQuestion& question, SetKind kind, int station, int tuned) {
    int first = never;
    for (const RadioNeed& need : question.needs) {
        if (!same_kind_and_station(need, kind, station)) {
            continue;
        }
        const int heard = ticks(need.heard_from);
        if (tuned == ground && heard <= 0) {
            return ground;
        }
        const int done = std::max(tuned, heard) + ticks(need.to_identify);
        if (done <= ticks(need.to)) {
            first = std::min(first, done);
        }
    }
    return first;
}

// Whether nothing is retuned at this instant: inside a stretch, or where two touch.
bool forbidden_at(const RadioQuestion& question, double instant) {
    const auto inside = [&](double t) {
        return std::any_of(
            question.no_retuning.begin(), question.no_retuning.end(),
            [t](const NoRetuning& stretch) { return stretch.from.count() < t && t < stretch.to.count(); });
    };
    return inside(instant) || (inside(instant - 0.01) && inside(instant + 0.01));
}

int guiding_receiver(const RadioQuestion& question) {
    for (std::size_t i = 0; i < question.aboard.receivers.size(); ++i) {
        if (question.aboard.receivers[i].indicator == CourseIndicator::hsi) {
            return static_cast<int>(i);
        }
    }
    return 0;
}

// --- every knob at every instant

constexpr int held = 9;
constexpr int nothing = -5;  // a station that is of no use
constexpr int not_begun = 0;
constexpr int missed = 1;
constexpr int done = 2;
constexpr int running = 10;      // + the set
constexpr int handed_over = 30;  // on the guiding receiver

struct Knobs {
    std::array<int, 3> station{};
    std::array<int, 3> identified{};  // when: at an instant, or long since, or never
    std::array<int, 3> course{};
    int position = 0;  // of the DME's switch
    int channel = -1;
    int channel_identified = never;
    int adf = -1;
    int adf_identified = never;
    std::array<int, 8> needs{};
    friend auto operator<=>(const Knobs&, const Knobs&) = default;
};

constexpr int adf_set = 4;
constexpr int dme_set = 5;

class EveryKnob {
public:
    EveryKnob(const RadioQuestion& question, std::optional<RadioCost> no_dearer_than)
        : question_(question),
          bound_(no_dearer_than),
          receivers_(static_cast<int>(question.aboard.receivers.size())),
          guiding_(guiding_receiver(question)) {
        for (const RadioNeed& need : question.needs) {
            stations_[need.kind].insert(station_of(need));
            if (need.localizer) {
                localizers_.insert(station_of(need));
            }
            if (course_of(need) >= 0) {
                courses_.insert(course_of(need));
            }
            end_ = std::max(end_, ticks(need.to));
        }
        if (question.aboard.dme && !own_dme()) {
            stations_[SetKind::receiver].insert(stations_[SetKind::dme].begin(),
                                                stations_[SetKind::dme].end());
        }
        if (courses_.empty()) {
            courses_.insert(0);
        }
        for (const auto kind : {SetKind::receiver, SetKind::dme, SetKind::adf}) {
            if (stations_[kind].empty()) {
                stations_[kind].insert(0);
            }
        }
    }

    std::optional<RadioCost> cheapest() {
        now_ = ground;
        set_on_ground();
        for (now_ = 0; now_ <= end_; ++now_) {
            end_needs();
            turn_knobs();
            begin_needs();
        }
        std::optional<RadioCost> best;
        for (const auto& [knobs, cost] : reached_) {
            best = best ? std::min(*best, cost) : cost;
        }
        return best;
    }

private:
    using Reached = std::map<Knobs, RadioCost>;

    bool own_dme() const { return question_.aboard.dme == DmeControl::own_control; }
    bool follows() const { return question_.aboard.dme && !own_dme(); }
    bool has_hold() const { return question_.aboard.dme == DmeControl::follows_receiver_with_hold; }
    bool may_stand_on(int receiver, int station) const {
        return localizers_.count(station) == 0 || question_.aboard.receivers[std::size_t(receiver)].localizer;
    }
    static std::size_t at(int i) { return static_cast<std::size_t>(i); }

    bool reach(Reached& reached, Knobs knobs, const RadioCost& cost) const {
        if (bound_ && cost > *bound_) {
            return false;
        }
        forget_when(knobs);
        const auto [place, fresh] = reached.try_emplace(knobs, bound_ ? cost : RadioCost{});
        if (!fresh && !(cost < place->second && bound_)) {
            return false;
        }
        place->second = bound_ ? cost : RadioCost{};
        return true;
    }

    // What is identified by now is no matter since when.
    void forget_when(Knobs& knobs) const {
        for (int r = 0; r < receivers_; ++r) {
            forget_when(knobs.identified[at(r)]);
        }
        forget_when(knobs.channel_identified);
        forget_when(knobs.adf_identified);
    }
    void forget_when(int& identified) const { identified = identified <= now_ ? ground : identified; }

    // --- before lining up

    void set_on_ground() {
        Reached all;
        Knobs knobs;
        set_receiver_on_ground(0, knobs, all);
        reached_ = std::move(all);
    }
    void set_receiver_on_ground(int receiver, Knobs knobs, Reached& all) {
        if (receiver == receivers_) {
            set_adf_on_ground(knobs, all);
            return;
        }
        std::set<int> stations = stations_[SetKind::receiver];
        stations.insert(nothing);
        for (const int station : stations) {
            for (const int course : courses_) {
                const bool of_use = station != nothing || stations.size() == 1 ||
                                    !may_stand_on(receiver, *stations_[SetKind::receiver].begin());
                if (may_stand_on(receiver, station) && of_use) {
                    knobs.station[at(receiver)] = station;
                    knobs.identified[at(receiver)] =
                        identified_at(question_, SetKind::receiver, station, ground);
                    knobs.course[at(receiver)] = course;
                    set_receiver_on_ground(receiver + 1, knobs, all);
                }
            }
        }
    }
    void set_adf_on_ground(Knobs knobs, Reached& all) {
        if (!question_.aboard.adf) {
            set_dme_on_ground(knobs, all);
            return;
        }
        for (const int station : stations_[SetKind::adf]) {
            knobs.adf = station;
            knobs.adf_identified = identified_at(question_, SetKind::adf, station, ground);
            set_dme_on_ground(knobs, all);
        }
    }
    void set_dme_on_ground(Knobs knobs, Reached& all) {
        if (!question_.aboard.dme) {
            reach(all, knobs, {});
            return;
        }
        const auto channel_on = [&](int position, int station) {
            knobs.position = position;
            knobs.channel = station;
            knobs.channel_identified = identified_at(question_, SetKind::dme, station, ground);
            reach(all, knobs, {});
        };
        for (int r = 0; follows() && r < receivers_; ++r) {
            channel_on(r, knobs.station[at(r)]);
        }
        for (const int station : stations_[SetKind::dme]) {
            if (own_dme()) {
                channel_on(0, station);
            } else if (has_hold() && identified_at(question_, SetKind::dme, station, ground) == ground &&
                       some_receiver_may_stand_on(station)) {
                channel_on(held, station);
            }
        }
    }
    bool some_receiver_may_stand_on(int station) const {
        for (int r = 0; r < receivers_; ++r) {
            if (may_stand_on(r, station)) {
                return true;
            }
        }
        return false;
    }

    // --- at an instant, in this order

    void end_needs() {
        Reached after;
        for (const auto& [before, cost_before] : reached_) {
            Knobs knobs = before;
            RadioCost cost = cost_before;
            for (std::size_t n = 0; n < question_.needs.size(); ++n) {
                if (ticks(question_.needs[n].to) == now_ && knobs.needs[n] >= running) {
                    cost.out_of_role += never_handed_over(n, knobs) ? 1 : 0;
                    knobs.needs[n] = done;
                }
            }
            reach(after, knobs, cost);
        }
        reached_ = std::move(after);
    }
    bool never_handed_over(std::size_t n, const Knobs& knobs) const {
        const RadioNeed& need = question_.needs[n];
        return need.kind == SetKind::receiver && need.use == RadioUse::guides &&
               knobs.needs[n] < handed_over && knobs.needs[n] != running + guiding_;
    }

    void turn_knobs() {
        std::vector<Knobs> to_do;
        for (const auto& [knobs, cost] : reached_) {
            to_do.push_back(knobs);
        }
        while (!to_do.empty()) {
            const Knobs knobs = to_do.back();
            to_do.pop_back();
            const RadioCost cost = reached_.at(knobs);
            RadioCost one_more = cost;
            ++one_more.turns;
            for (const Knobs& turned : turns_of(knobs)) {
                if (undisturbed(turned) && reach(reached_, turned, one_more)) {
                    to_do.push_back(normal(turned));
                }
            }
            for (const Knobs& over : handovers_of(knobs)) {
                if (reach(reached_, over, cost)) {
                    to_do.push_back(normal(over));
                }
            }
        }
    }
    Knobs normal(Knobs knobs) const {
        forget_when(knobs);
        return knobs;
    }

    std::vector<Knobs> turns_of(const Knobs& knobs) const {
        std::vector<Knobs> out;
        const bool may_retune = !forbidden_at(question_, now_ * tick_s);
        for (int r = 0; r < receivers_; ++r) {
            for (const int station : stations_.at(SetKind::receiver)) {
                if (may_retune && station != knobs.station[at(r)] && may_stand_on(r, station)) {
                    out.push_back(retuned(knobs, r, station));
                }
            }
            for (const int course : courses_) {
                if (course != knobs.course[at(r)]) {
                    out.push_back(knobs);
                    out.back().course[at(r)] = course;
                }
            }
            if (follows() && knobs.position != r) {
                out.push_back(knobs);
                out.back().position = r;
                put_channel_on(out.back(), knobs.station[at(r)]);
            }
        }
        if (has_hold() && knobs.position != held && knobs.channel_identified <= now_) {
            out.push_back(knobs);
            out.back().position = held;
        }
        for (const int station : stations_.at(SetKind::dme)) {
            if (own_dme() && may_retune && station != knobs.channel) {
                out.push_back(knobs);
                put_channel_on(out.back(), station);
            }
        }
        for (const int station : stations_.at(SetKind::adf)) {
            if (question_.aboard.adf && may_retune && station != knobs.adf) {
                out.push_back(knobs);
                out.back().adf = station;
                out.back().adf_identified = identified_at(question_, SetKind::adf, station, now_);
            }
        }
        return out;
    }
    Knobs retuned(Knobs knobs, int receiver, int station) const {
        knobs.station[at(receiver)] = station;
        knobs.identified[at(receiver)] = identified_at(question_, SetKind::receiver, station, now_);
        if (follows() && knobs.position == receiver) {
            put_channel_on(knobs, station);
        }
        return knobs;
    }
    void put_channel_on(Knobs& knobs, int station) const {
        if (knobs.channel != station) {
            knobs.channel = station;
            knobs.channel_identified = identified_at(question_, SetKind::dme, station, now_);
        }
    }

    bool undisturbed(const Knobs& knobs) const {
        for (std::size_t n = 0; n < question_.needs.size(); ++n) {
            if (knobs.needs[n] >= running && !shown(n, knobs, set_of(knobs.needs[n]))) {
                return false;
            }
        }
        return true;
    }
    int set_of(int status) const { return status >= handed_over ? guiding_ : status - running; }
    bool shown(std::size_t n, const Knobs& knobs, int set) const {
        const RadioNeed& need = question_.needs[n];
        if (set == adf_set) {
            return knobs.adf == station_of(need);
        }
        if (set == dme_set) {
            return knobs.channel == station_of(need);
        }
        return knobs.station[at(set)] == station_of(need) &&
               (course_of(need) < 0 || knobs.course[at(set)] == course_of(need));
    }
    bool identified(const Knobs& knobs, int set) const {
        const int when = set == adf_set   ? knobs.adf_identified
                         : set == dme_set ? knobs.channel_identified
                                          : knobs.identified[at(set)];
        return when <= now_;
    }
    bool fit_for(const RadioNeed& need, int receiver) const {
        const auto& fitted = question_.aboard.receivers[at(receiver)];
        return (!need.localizer || fitted.localizer) && (!need.glideslope || fitted.glideslope);
    }

    std::vector<Knobs> handovers_of(const Knobs& knobs) const {
        std::vector<Knobs> out;
        for (std::size_t n = 0; n < question_.needs.size(); ++n) {
            if (knobs.needs[n] >= running && never_handed_over(n, knobs) &&
                ticks(question_.needs[n].to) > now_ && fit_for(question_.needs[n], guiding_) &&
                shown(n, knobs, guiding_) && identified(knobs, guiding_)) {
                out.push_back(knobs);
                out.back().needs[n] = handed_over;
            }
        }
        return out;
    }

    void begin_needs() {
        for (std::size_t n = 0; n < question_.needs.size(); ++n) {
            const RadioNeed& need = question_.needs[n];
            const int from = ticks(need.from);
            const int last = need.use == RadioUse::guides ? from + ticks(need.may_begin_late) : from;
            if (from <= now_ && now_ <= ticks(need.to)) {
                Reached after;
                for (const auto& [knobs, cost] : reached_) {
                    if (knobs.needs[n] != not_begun) {
                        reach(after, knobs, cost);
                    } else {
                        begin(n, knobs, cost, last, after);
                    }
                }
                reached_ = std::move(after);
            }
        }
    }
    void begin(std::size_t n, const Knobs& knobs, const RadioCost& cost, int last, Reached& after) const {
        const RadioNeed& need = question_.needs[n];
        const bool late = now_ > ticks(need.from);
        if (need.use == RadioUse::checks) {
            Knobs without = knobs;
            without.needs[n] = missed;
            RadioCost dearer = cost;
            dearer.checks_missed += group_missed(n, without) ? 1 : 0;
            reach(after, without, dearer);
            if (group_met(n, knobs)) {
                return;
            }
        } else if (now_ < last && now_ + 1 < ticks(need.to)) {
            reach(after, knobs, cost);  // it waits
        }
        if (late && now_ >= ticks(need.to)) {
            return;
        }
        for (const int set : sets_for(need)) {
            if (shown(n, knobs, set) && identified(knobs, set)) {
                Knobs begun = knobs;
                begun.needs[n] = running + set;
                RadioCost dearer = cost;
                dearer.late += late ? 1 : 0;
                if (need.kind == SetKind::receiver) {
                    dearer.out_of_role += (need.use == RadioUse::guides) != (set == guiding_) ? 1 : 0;
                }
                reach(after, begun, dearer);
            }
        }
    }
    std::vector<int> sets_for(const RadioNeed& need) const {
        std::vector<int> out;
        if (need.kind == SetKind::adf) {
            return question_.aboard.adf ? std::vector<int>{adf_set} : out;
        }
        if (need.kind == SetKind::dme) {
            return question_.aboard.dme ? std::vector<int>{dme_set} : out;
        }
        for (int r = 0; r < receivers_; ++r) {
            if (fit_for(need, r)) {
                out.push_back(r);
            }
        }
        return out;
    }
    bool of_group(std::size_t n, std::size_t m) const {
        const auto& a = question_.needs[n];
        const auto& b = question_.needs[m];
        return n == m || (b.use == RadioUse::checks && a.one_of && a.one_of == b.one_of);
    }
    bool group_met(std::size_t n, const Knobs& knobs) const {
        for (std::size_t m = 0; m < question_.needs.size(); ++m) {
            if (of_group(n, m) && (knobs.needs[m] == done || knobs.needs[m] >= running)) {
                return true;
            }
        }
        return false;
    }
    bool group_missed(std::size_t n, const Knobs& knobs) const {
        for (std::size_t m = 0; m < question_.needs.size(); ++m) {
            if (of_group(n, m) && knobs.needs[m] != missed) {
                return false;
            }
        }
        return true;
    }

    const RadioQuestion& question_;
    std::optional<RadioCost> bound_;  // dearer ways are not followed; none: any way will do
    int receivers_ = 0;
    int guiding_ = 0;
    int end_ = 0;
    int now_ = 0;
    std::map<SetKind, std::set<int>> stations_;
    std::set<int> localizers_;
    std::set<int> courses_;
    Reached reached_;
};

// --- the turns of a schedule, carried out

class CarriedOut {
public:
    CarriedOut(const RadioQuestion& question, const RadioSchedule& schedule, bool at_latest)
        : question_(question), schedule_(schedule), at_latest_(at_latest) {
        turn_all();
    }

    // What is wrong, or nothing.
    std::string fault() const {
        for (const RadioTurn& turn : schedule_.turns) {
            const double when = time_of(turn);
            if (turn.latest < turn.earliest || when < 0.0) {
                return "a turn whose latest is before its earliest";
            }
            if (turn.tuned && forbidden_at(question_, when)) {
                return "retuned where nothing is";
            }
            if (int(turn.tuned.has_value()) + int(turn.course.has_value()) + int(turn.distance.has_value()) !=
                1) {
                return "not one knob";
            }
            if (turn.before_need >= question_.needs.size()) {
                return "serves nothing";
            }
        }
        for (const RadioMet& met : schedule_.met) {
            if (!served(met)) {
                std::ostringstream text;
                text << "need " << met.need << " is not served";
                return text.str();
            }
        }
        return cost() == schedule_.cost ? "" : "another cost than said";
    }

private:
    struct Span {
        double from = 0.0;
        double to = std::numeric_limits<double>::infinity();
        int shows = -1;
    };
    using Spans = std::vector<Span>;

    double time_of(const RadioTurn& turn) const { return (at_latest_ ? turn.latest : turn.earliest).count(); }

    void turn_all() {
        for (const RadioTurn& turn : schedule_.lined_up) {
            carry_out(turn, -1.0);
        }
        auto turns = schedule_.turns;
        std::stable_sort(turns.begin(), turns.end(),
                         [this](const RadioTurn& a, const RadioTurn& b) { return time_of(a) < time_of(b); });
        for (const RadioTurn& turn : turns) {
            carry_out(turn, time_of(turn));
        }
    }

    void carry_out(const RadioTurn& turn, double when) {
        if (turn.tuned) {
            change(tuned_[key(turn.set)], when, static_cast<int>(turn.tuned->index));
            if (turn.set.kind == SetKind::receiver && position_ == turn.set.number) {
                change(channel_, when, static_cast<int>(turn.tuned->index));
            }
        } else if (turn.course) {
            change(course_[key(turn.set)], when, static_cast<int>(std::lround(turn.course->degrees())));
        } else if (*turn.distance == DistanceFrom::held) {
            hold(turn, when);
        } else {
            position_ = turn.follows;
            const Spans& receiver = tuned_[key({SetKind::receiver, turn.follows})];
            if (!receiver.empty()) {
                change(channel_, when, receiver.back().shows);
            }
        }
    }
    void hold(const RadioTurn& turn, double when) {
        if (when < 0.0) {
            position_ = 0;
            change(channel_, when, station_of(question_.needs[turn.before_need]));
            return;
        }
        if (position_ != turn.follows || channel_.empty() ||
            identified(SetKind::dme, channel_.back()) > when + 1e-6) {
            held_too_early_ = true;
        }
        position_ = 0;
    }
    static std::pair<int, int> key(RadioSet set) { return {int(set.kind), set.number}; }
    static void change(Spans& spans, double when, int shows) {
        if (!spans.empty() && spans.back().shows == shows) {
            return;
        }
        if (!spans.empty()) {
            spans.back().to = when;
        }
        spans.push_back({when, std::numeric_limits<double>::infinity(), shows});
    }

    double identified(SetKind kind, const Span& span) const {
        const int tuned = span.from < 0.0 ? ground : static_cast<int>(std::lround(span.from / tick_s));
        return identified_at(question_, kind, span.shows, tuned) * double(tick_s);
    }
    static const Span* covering(const Spans& spans, int shows, double from, double to) {
        for (const Span& span : spans) {
            if (span.shows == shows && span.from <= from && to <= span.to) {
                return &span;
            }
        }
        return nullptr;
    }

    bool served(const RadioMet& met) const {
        const RadioNeed& need = question_.needs[met.need];
        if (held_too_early_) {
            return false;
        }
        if (met.handed_over) {
            return handed_over_well(met, need);
        }
        return served_from(met, need, met.set, need.to.count()).has_value();
    }

    // When it begins on the set, if it does in time.
    std::optional<double> served_from(const RadioMet& met, const RadioNeed& need, RadioSet set,
                                      double to) const {
        const double last = need.from.count() + (met.begins_late ? need.may_begin_late.count() : 0.0);
        for (double begins = need.from.count(); begins <= last; begins += tick_s) {
            if (shows(need, set, begins, to)) {
                const bool as_said =
                    at_latest_ || begins == (need.from + met.begins_late.value_or(Duration(0.0))).count();
                return as_said && (begins == need.from.count() || begins < need.to.count())
                           ? std::optional(begins)
                           : std::nullopt;
            }
        }
        return std::nullopt;
    }
    bool shows(const RadioNeed& need, RadioSet set, double from, double to) const {
        const bool following = need.kind == SetKind::dme && question_.aboard.dme != DmeControl::own_control;
        const auto tuned = tuned_.find(key(set));
        if (!following && tuned == tuned_.end()) {
            return false;
        }
        const Span* span = covering(following ? channel_ : tuned->second, station_of(need), from, to);
        if (span == nullptr || identified(need.kind, *span) > from) {
            return false;
        }
        if (course_of(need) < 0) {
            return true;
        }
        const auto course = course_.find(key(set));
        return course != course_.end() && covering(course->second, course_of(need), from, to) != nullptr;
    }

    // The instant of the handover is that said, or later where the turns are.
    bool handed_over_well(const RadioMet& met, const RadioNeed& need) const {
        const RadioSet first{SetKind::receiver, *met.first_by_receiver};
        if (met.set.number - 1 != guiding_receiver(question_) || first == met.set) {
            return false;
        }
        const double last = at_latest_ ? need.to.count() - tick_s : met.handed_over->count();
        for (double over = met.handed_over->count(); over <= last; over += tick_s) {
            const auto begins = served_from(met, need, first, over);
            if (begins && *begins < over && shows(need, met.set, over, need.to.count())) {
                return true;
            }
        }
        return false;
    }

    RadioCost cost() const {
        RadioCost cost;
        std::map<int, int> groups;
        int single = -1;
        for (std::size_t n = 0; n < question_.needs.size(); ++n) {
            const RadioNeed& need = question_.needs[n];
            const auto met = std::find_if(schedule_.met.begin(), schedule_.met.end(),
                                          [n](const RadioMet& each) { return each.need == n; });
            const bool is_met = met != schedule_.met.end();
            if (need.use == RadioUse::checks) {
                groups[need.one_of.value_or(single--)] += is_met ? 1 : 0;
            } else if (!is_met) {
                cost.late = 1000;
            }
            if (is_met) {
                cost.late += met->begins_late ? 1 : 0;
                cost.out_of_role += role_cost(need, *met);
            }
        }
        for (const auto& [group, times] : groups) {
            cost.checks_missed += times == 0 ? 1 : times == 1 ? 0 : 1000;
        }
        cost.turns = static_cast<int>(schedule_.turns.size());
        return cost;
    }
    int role_cost(const RadioNeed& need, const RadioMet& met) const {
        if (need.kind != SetKind::receiver) {
            return 0;
        }
        const bool on_guiding = met.set.number - 1 == guiding_receiver(question_);
        if (need.use == RadioUse::guides) {
            return met.handed_over ? 1 : on_guiding ? 0 : 2;
        }
        return on_guiding ? 1 : 0;
    }

    const RadioQuestion& question_;
    const RadioSchedule& schedule_;
    bool at_latest_ = false;
    std::map<std::pair<int, int>, Spans> tuned_;
    std::map<std::pair<int, int>, Spans> course_;
    Spans channel_;
    int position_ = 0;
    bool held_too_early_ = false;
};

// --- random cases

class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    int between(int low, int high) {
        return low + static_cast<int>(engine_() % static_cast<std::uint64_t>(high - low + 1));
    }
    bool chance(int percent) { return between(1, 100) <= percent; }

private:
    std::mt19937_64 engine_;
};

Duration at_tick(int tick) {
    return Duration(double(tick) * tick_s);
}

cockpit::Equipment random_equipment(Dice& dice) {
    cockpit::Equipment out;
    const int receivers = dice.chance(15) ? 3 : dice.between(1, 2);
    const int hsi = dice.between(0, receivers);
    for (int i = 0; i < receivers; ++i) {
        const bool takes_localizer = dice.chance(80);
        out.receivers.push_back({i == hsi ? CourseIndicator::hsi : CourseIndicator::cdi, takes_localizer,
                                 takes_localizer && dice.chance(60)});
    }
    const int dme = dice.between(0, receivers == 3 ? 1 : 4);
    if (dme > 0) {
        out.dme = dme == 1   ? DmeControl::own_control
                  : dme == 2 ? DmeControl::follows_receiver
                             : DmeControl::follows_receiver_with_hold;
    }
    if (dice.chance(40)) {
        out.adf = cockpit::AdfIndicator::rmi;
    }
    return out;
}

void random_times(Dice& dice, RadioNeed& need, int from) {
    const int lasts = dice.between(1, 5);
    need.from = at_tick(from);
    need.to = at_tick(from + lasts);
    need.to_identify = at_tick(dice.between(1, 2));
    need.heard_from = dice.chance(50) ? Duration(0.0) : at_tick(from - dice.between(1, 5));
}

RadioNeed random_need(Dice& dice, const cockpit::Equipment& aboard) {
    RadioNeed need;
    const int kind = dice.between(1, 10);
    need.kind = kind >= 9 && aboard.adf   ? SetKind::adf
                : kind >= 6 && aboard.dme ? SetKind::dme
                                          : SetKind::receiver;
    need.use = dice.chance(45) ? RadioUse::guides : dice.chance(50) ? RadioUse::tells : RadioUse::checks;
    const int station = dice.between(0, 2);
    need.station = navdata::StationId{static_cast<std::uint32_t>(station)};
    need.localizer = station == 2 && need.kind != SetKind::adf;
    need.glideslope = need.localizer && need.kind == SetKind::receiver && dice.chance(30);
    random_times(dice, need, dice.between(0, 11));
    if (need.kind == SetKind::receiver && dice.chance(70)) {
        need.course = Radial::degrees(dice.chance(50) ? 90.0 : 180.0);
    }
    if (need.use == RadioUse::guides && dice.chance(40)) {
        need.may_begin_late = at_tick(dice.between(1, 4));
    }
    if (need.use == RadioUse::checks && dice.chance(60)) {
        need.one_of = dice.between(1, 2);
    }
    return need;
}

// Guidance without a gap, as of a flight, and what else there is room for.
void add_legs(Dice& dice, RadioQuestion& out) {
    int now = dice.between(0, 2);
    for (int leg = dice.between(2, 3); leg > 0; --leg) {
        RadioNeed need = random_need(dice, out.aboard);
        need.use = RadioUse::guides;
        need.one_of = std::nullopt;
        const int lasts = dice.between(2, 5);
        need.from = at_tick(now);
        need.to = at_tick(now + lasts);
        need.heard_from = dice.chance(70) ? Duration(0.0) : at_tick(now - dice.between(1, 5));
        need.may_begin_late = dice.chance(50) ? at_tick(dice.between(1, 4)) : Duration(0.0);
        out.needs.push_back(need);
        now += lasts;
    }
}

RadioQuestion random_question(Dice& dice) {
    RadioQuestion out;
    out.aboard = random_equipment(dice);
    if (dice.chance(60)) {
        add_legs(dice, out);
    }
    const int needs = dice.between(2, 6);
    for (int i = static_cast<int>(out.needs.size()); i < needs; ++i) {
        out.needs.push_back(random_need(dice, out.aboard));
    }
    std::stable_sort(out.needs.begin(), out.needs.end(),
                     [](const RadioNeed& a, const RadioNeed& b) { return a.from < b.from; });
    for (int i = dice.between(0, 2); i > 0; --i) {
        const int from = dice.between(0, 12);
        out.no_retuning.push_back({at_tick(from), at_tick(from + dice.between(1, 4)), "a turn"});
    }
    return out;
}

std::string told(const RadioQuestion& question) {
    std::ostringstream out;
    out << question.aboard.receivers.size() << " receivers";
    for (const auto& receiver : question.aboard.receivers) {
        out << (receiver.indicator == CourseIndicator::hsi ? " hsi" : " cdi") << receiver.localizer
            << receiver.glideslope;
    }
    out << " dme " << (question.aboard.dme ? int(*question.aboard.dme) : -1) << "\n";
    for (std::size_t n = 0; n < question.needs.size(); ++n) {
        const RadioNeed& need = question.needs[n];
        out << n << ": use " << int(need.use) << " kind " << int(need.kind) << " station " << station_of(need)
            << " course " << course_of(need) << " [" << ticks(need.from) << "," << ticks(need.to)
            << "] heard " << ticks(need.heard_from) << " identify " << ticks(need.to_identify) << " late "
            << ticks(need.may_begin_late) << " one of " << need.one_of.value_or(-1) << " loc "
            << need.localizer << need.glideslope << "\n";
    }
    for (const NoRetuning& stretch : question.no_retuning) {
        out << "none from " << ticks(stretch.from) << " to " << ticks(stretch.to) << "\n";
    }
    return out.str();
}
std::string told(const RadioCost& cost) {
    std::ostringstream out;
    out << "late " << cost.late << " missed " << cost.checks_missed << " roles " << cost.out_of_role
        << " turns " << cost.turns;
    return out.str();
}
std::string told(const RadioSchedule& schedule) {
    std::ostringstream out;
    for (const RadioMet& met : schedule.met) {
        out << "met " << met.need << " on " << int(met.set.kind) << "/" << met.set.number << " first "
            << met.first_by_receiver.value_or(0) << " over "
            << ticks(met.handed_over.value_or(Duration(-10.0))) << " late "
            << ticks(met.begins_late.value_or(Duration(0.0))) << " from " << int(met.distance_from) << "/"
            << met.follows << "\n";
    }
    for (const auto* turns : {&schedule.lined_up, &schedule.turns}) {
        for (const RadioTurn& turn : *turns) {
            out << (turns == &schedule.turns ? "turn " : "lined up ") << int(turn.set.kind) << "/"
                << turn.set.number << " tuned " << (turn.tuned ? int(turn.tuned->index) : -1) << " course "
                << (turn.course ? turn.course->degrees() : -1.0) << " distance "
                << (turn.distance ? int(*turn.distance) : -1) << "/" << turn.follows << " ["
                << ticks(turn.earliest) << "," << ticks(turn.latest) << "] before " << turn.before_need
                << "\n";
        }
    }
    return out.str();
}

struct Tally {
    int feasible = 0;
    int late = 0;
    int handed_over = 0;
    int held = 0;
    int turned = 0;
};

void count(Tally& tally, const RadioSchedule& schedule) {
    ++tally.feasible;
    tally.late += schedule.cost.late > 0 ? 1 : 0;
    tally.turned += schedule.cost.turns > 0 ? 1 : 0;
    tally.handed_over += std::any_of(schedule.met.begin(), schedule.met.end(),
                                     [](const RadioMet& met) { return met.handed_over.has_value(); })
                             ? 1
                             : 0;
    tally.held += std::any_of(schedule.turns.begin(), schedule.turns.end(),
                              [](const RadioTurn& turn) { return turn.distance == DistanceFrom::held; })
                      ? 1
                      : 0;
}

// Where the DME's switch brings another station than what it is turned for; none in a schedule that is any good.
std::optional<std::size_t> switched_too_early(const RadioQuestion& question, const RadioSchedule& schedule) {
    std::map<int, navdata::StationId> tuned;
    for (const auto* turns : {&schedule.lined_up, &schedule.turns}) {
        for (std::size_t i = 0; i < turns->size(); ++i) {
            const RadioTurn& turn = (*turns)[i];
            if (turn.tuned && turn.set.kind == SetKind::receiver) {
                tuned[turn.set.number] = *turn.tuned;
            }
            if (turns == &schedule.turns && turn.distance == DistanceFrom::receiver &&
                tuned[turn.follows] != question.needs[turn.before_need].station) {
                return i;
            }
        }
    }
    return std::nullopt;
}

// As the environment says, to look at other cases.
long number_from(const char* name, long otherwise) {
    const char* text = std::getenv(name);
    return text != nullptr ? std::atol(text) : otherwise;
}

TEST(BruteRadioSchedule, CostsWhatTryingEveryKnobAtEveryInstantFinds) {
    const long first_seed = number_from("OMNIWAY_SEED", 1);
    const long cases = number_from("OMNIWAY_CASES", 500);
    // Late guidance must not begin before its course was set, nor wait for a distance that was held long before; and a receiver that is
    // on its station already may leave it to have another held.
    std::vector<long> seeds{4885, 5185, 10133};
    for (long seed = first_seed; seed < first_seed + cases; ++seed) {
        seeds.push_back(seed);
    }
    Tally tally;
    for (const long seed : seeds) {
        Dice dice(static_cast<std::uint64_t>(seed));
        const RadioQuestion question = random_question(dice);
        const RadioAnswer answer = schedule(question);
        const auto* found = std::get_if<RadioSchedule>(&answer);
        const auto cost = found != nullptr ? std::optional(found->cost) : std::nullopt;
        const auto best = EveryKnob(question, cost).cheapest();
        ASSERT_EQ(best.has_value(), cost.has_value())
            << "seed " << seed << "\n"
            << told(question) << (found ? told(*found) : std::get<NoSchedule>(answer).why);
        if (found == nullptr) {
            continue;
        }
        ASSERT_EQ(*best, *cost) << "seed " << seed << "\n"
                                << told(question) << told(*found) << told(*cost) << "\nbest " << told(*best);
        for (const bool at_latest : {false, true}) {
            ASSERT_EQ(CarriedOut(question, *found, at_latest).fault(), "")
                << "seed " << seed << " at latest " << at_latest << "\n"
                << told(question) << told(*found) << told(*cost);
        }
        ASSERT_EQ(switched_too_early(question, *found), std::nullopt) << "seed " << seed << "\n"
                                                                      << told(question) << told(*found);
        count(tally, *found);
    }
    std::cout << "seeds from " << first_seed << ": " << seeds.size() << " cases, " << tally.feasible
              << " with a schedule, of which " << tally.late << " late, " << tally.handed_over
              << " handed over, " << tally.held << " held, " << tally.turned << " with a turn\n";
}

}  // namespace

}  // namespace omniway::flight
