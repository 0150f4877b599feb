#include "flight/detail/radio_refusal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace omniway::flight::detail {

namespace {

using base::Duration;

// How near a set comes to meeting the need.
struct Near {
    int set = -1;  // or, of a DME that follows, the receiver
    double ready_s = never_s;
    double free_s = before_lining_up_s;
    int needed_by = -1;
    NoScheduleCause cause = NoScheduleCause::set_needed;
};

class Refusing {
public:
    Refusing(const RadioQuestion& question, const RadioProblem& problem, const DeadEnd& dead_end)
        : question_(question),
          problem_(problem),
          moves_(problem),
          dead_end_(dead_end),
          need_(problem.needs()[static_cast<std::size_t>(dead_end.need)]) {}

    NoSchedule refuse() const {
        NoSchedule no;
        no.need = static_cast<std::size_t>(dead_end_.need);
        if (sets().empty()) {
            no.why = nothing_aboard();
            return no;
        }
        const double preset_s = problem_.identified_s(need_.kind, need_.station, before_lining_up_s);
        if (preset_s > need_.latest_beginning_s()) {
            return not_heard(std::move(no), preset_s);
        }
        return not_free(std::move(no), nearest());
    }

private:
    bool follows() const { return need_.kind == SetKind::dme && problem_.following_dme(); }

    std::vector<int> sets() const {
        if (!follows()) {
            return problem_.sets_for(need_);
        }
        std::vector<int> out;
        for (int r = 0; r < problem_.receivers(); ++r) {
            if (problem_.takes(r, need_)) {
                out.push_back(r);
            }
        }
        return out;
    }

    std::string nothing_aboard() const {
        if (need_.kind == SetKind::adf) {
            return "no ADF is aboard";
        }
        if (need_.kind == SetKind::dme && !problem_.own_dme() && !problem_.following_dme()) {
            return "no DME is aboard";
        }
        if (problem_.receivers() == 0) {
            return "no VHF navigation receiver is aboard";
        }
        return need_.glideslope ? "no receiver aboard takes localizers and drives a glideslope needle"
                                : "no receiver aboard takes localizers";
    }

    NoSchedule not_heard(NoSchedule no, double preset_s) const {
        no.cause = NoScheduleCause::not_heard;
        const double by_own_s = std::max(0.0, need_.heard_s) + need_.identify_s;
        const double missing_s = std::min(preset_s, by_own_s) - need_.latest_beginning_s();
        no.missing = Duration(missing_s);
        no.why = fmt::format("its ident is heard only from {} after lining up, {} too late",
                             clock(need_.heard_s), seconds(missing_s));
        return no;
    }

    NoSchedule not_free(NoSchedule no, const Near& near) const {
        no.cause = near.cause;
        no.set = problem_.named(near.set);
        no.blocked_until = Duration(near.free_s);
        const double missing_s = near.ready_s - need_.latest_beginning_s();
        no.missing = Duration(missing_s);
        if (near.needed_by >= 0) {
            no.blocked_by = static_cast<std::size_t>(near.needed_by);
        }
        const std::string set = only() + set_name(near.set);
        if (near.cause == NoScheduleCause::no_retuning) {
            no.stretch = problem_.stretch_at(near.free_s);
            no.why = fmt::format(
                "{} is free from {} after lining up, but is not retuned then ({}), and would be "
                "identified {} too late",
                set, clock(near.free_s), why(no.stretch), seconds(missing_s));
            return no;
        }
        no.why = fmt::format("{} is needed{} until {} after lining up and would be identified {} too late",
                             set, what_for(near.needed_by), clock(near.free_s), seconds(missing_s));
        return no;
    }

    Near nearest() const {
        Near best;
        for (const RadioState& state : dead_end_.before) {
            for (const int set : sets()) {
                const Near near = nearness(state, set);
                if (best.set < 0 || near.ready_s < best.ready_s) {
                    best = near;
                }
            }
        }
        return best;
    }

    Near nearness(const RadioState& state, int set) const {
        const SetState& now = state.set(set);
        Near near;
        near.set = set;
        double free_s = now.station == -1 ? before_lining_up_s : moves_.needed_s(state, set);
        near.needed_by = needed_by(state, set);
        double tuned_s = problem_.first_allowed_s(free_s);
        if (now.station == need_.station) {
            free_s = tuned_s = now.since_s;
        }
        if (follows() && state.dme.position != SwitchState::not_used && state.dme.channel != need_.station &&
            state.dme.needed_s > free_s) {
            free_s = state.dme.needed_s;
            tuned_s = std::max(tuned_s, free_s);
            near.needed_by = state.dme.needed_by;
        }
        near.ready_s = identified_s(tuned_s);
        const bool in_time_if_tuned_then = identified_s(free_s) <= need_.latest_beginning_s();
        near.cause = in_time_if_tuned_then && tuned_s > free_s ? NoScheduleCause::no_retuning
                                                               : NoScheduleCause::set_needed;
        near.free_s = free_s;
        return with_course(state, set, near);
    }

    Near with_course(const RadioState& state, int set, Near near) const {
        const double course_s = moves_.course_needed_s(state, set);
        const bool turns = need_.course_deg >= 0 && state.set(set).course_deg != -1 &&
                           state.set(set).course_deg != need_.course_deg;
        if (turns && course_s > near.ready_s) {
            near.ready_s = near.free_s = course_s;
            near.cause = NoScheduleCause::set_needed;
            near.needed_by = needed_by(state, set);
        }
        return near;
    }

    // The need that ends last on the set, for the words: what is open, else what was begun.
    int needed_by(const RadioState& state, int set) const {
        double until_s = state.set(set).needed_s;
        int by = state.set(set).needed_by;
        for (int i = 0; i < state.open_count; ++i) {
            const OpenGuidance& open = state.open[static_cast<std::size_t>(i)];
            if (open.receiver == set && end_s(open.need) > until_s) {
                until_s = end_s(open.need);
                by = open.need;
            }
        }
        if (problem_.following_dme() && state.dme.position == set && state.dme.needed_s > until_s) {
            by = state.dme.needed_by;
        }
        return by;
    }

    double end_s(int need) const { return problem_.needs()[static_cast<std::size_t>(need)].to_s; }

    // As the need itself would have it where no need hears the station so long.
    double identified_s(double tuned_s) const {
        return std::min(problem_.identified_s(need_.kind, need_.station, tuned_s),
                        std::max(tuned_s, need_.heard_s) + need_.identify_s);
    }

    std::string only() const { return sets().size() == 1 ? "the only " : "the "; }
    std::string set_name(int set) const {
        if (follows()) {
            return fmt::format("receiver that the DME can follow, {},", set + 1);
        }
        if (set >= problem_.receivers()) {
            return problem_.named(set).kind == SetKind::dme ? "DME" : "ADF";
        }
        return sets().size() == 1 ? "receiver that could show it"
                                  : fmt::format("nearest receiver, {},", set + 1);
    }

    std::string what_for(int need) const {
        if (need < 0) {
            return "";
        }
        const RadioNeed& by = question_.needs[static_cast<std::size_t>(need)];
        const char* what = by.use == RadioUse::guides  ? "to guide"
                           : by.use == RadioUse::tells ? "to tell the end of"
                                                       : "to check";
        return fmt::format(" {} step {}", what, by.step);
    }

    std::string why(const std::optional<std::size_t>& stretch) const {
        return stretch ? question_.no_retuning[*stretch].why : "no retuning";
    }

    static std::string clock(double time_s) {
        const long whole = std::lround(std::max(0.0, time_s));
        return fmt::format("{}:{:02}", whole / 60, whole % 60);
    }
    static std::string seconds(double time_s) { return fmt::format("{:.0f} s", std::ceil(time_s)); }

    const RadioQuestion& question_;
    const RadioProblem& problem_;
    RadioMoves moves_;
    const DeadEnd& dead_end_;
    const NumberedNeed& need_;
};

}  // namespace

NoSchedule refusal(const RadioQuestion& question, const RadioProblem& problem, const DeadEnd& dead_end) {
    return Refusing(question, problem, dead_end).refuse();
}

}  // namespace omniway::flight::detail
