#include "flight/detail/radio_problem.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "base/contract.hpp"

namespace omniway::flight::detail {

namespace {

// The first HSI, else the first.
int guiding_of(const std::vector<cockpit::NavigationReceiver>& receivers) {
    for (std::size_t i = 0; i < receivers.size(); ++i) {
        if (receivers[i].indicator == cockpit::CourseIndicator::hsi) {
            return static_cast<int>(i);
        }
    }
    return 0;
}

int whole_degrees(const std::optional<base::Radial>& course) {
    return course ? static_cast<int>(std::lround(course->degrees())) % 360 : -1;
}

NumberedNeed numbered(const RadioNeed& need, int station) {
    NumberedNeed out;
    out.use = need.use;
    out.kind = need.kind;
    out.station = station;
    out.course_deg = need.kind == SetKind::receiver ? whole_degrees(need.course) : -1;
    out.localizer = need.localizer;
    out.glideslope = need.glideslope;
    out.from_s = need.from.count();
    out.to_s = need.to.count();
    out.heard_s = need.heard_from.count();
    out.identify_s = need.to_identify.count();
    out.late_s = need.use == RadioUse::guides ? need.may_begin_late.count() : 0.0;
    return out;
}

}  // namespace

RadioProblem::RadioProblem(const RadioQuestion& question)
    : fitted_(question.aboard.receivers),
      receivers_(static_cast<int>(fitted_.size())),
      guiding_(guiding_of(fitted_)),
      dme_(question.aboard.dme),
      adf_(question.aboard.adf.has_value()),
      as_asked_(question.no_retuning) {
    OMNIWAY_EXPECTS(receivers_ <= 3);
    number_needs(question);
    number_groups(question);
    join_stretches(question);
}

void RadioProblem::number_needs(const RadioQuestion& question) {
    std::map<navdata::StationId, int> numbers;
    for (const RadioNeed& need : question.needs) {
        OMNIWAY_EXPECTS(need.from.count() >= 0.0 && need.from <= need.to);
        OMNIWAY_EXPECTS(needs_.empty() || needs_.back().from_s <= need.from.count());
        const int station = numbers.try_emplace(need.station, static_cast<int>(numbers.size())).first->second;
        needs_.push_back(numbered(need, station));
    }
    for (auto& of_kind : heard_) {
        of_kind.resize(numbers.size());
    }
    for (const NumberedNeed& need : needs_) {
        heard_[static_cast<std::size_t>(need.kind)][static_cast<std::size_t>(need.station)].push_back(
            {need.heard_s, need.to_s, need.identify_s});
    }
}

// A bit is used again once the last check of its group has gone by.
void RadioProblem::number_groups(const RadioQuestion& question) {
    std::map<int, std::pair<std::size_t, std::size_t>> groups;  // first and last
    for (std::size_t i = 0; i < needs_.size(); ++i) {
        if (const auto number = question.needs[i].one_of; number && needs_[i].use == RadioUse::checks) {
            groups.try_emplace(*number, i, i).first->second.second = i;
        }
    }
    std::array<std::optional<std::size_t>, 64> used_until;
    std::map<int, std::uint64_t> bits;
    for (std::size_t i = 0; i < needs_.size(); ++i) {
        const auto number = question.needs[i].one_of;
        if (!number || needs_[i].use != RadioUse::checks || groups[*number].first == groups[*number].second) {
            continue;
        }
        const auto [first, last] = groups[*number];
        if (i == first) {
            const auto free = std::find_if(used_until.begin(), used_until.end(),
                                           [i](const auto& until) { return !until || *until < i; });
            OMNIWAY_EXPECTS(free != used_until.end());
            *free = last;
            bits[*number] = std::uint64_t(1) << (free - used_until.begin());
        }
        needs_[i].group = bits[*number];
        needs_[i].last_of_group = i == last;
    }
}

void RadioProblem::join_stretches(const RadioQuestion& question) {
    for (const NoRetuning& stretch : question.no_retuning) {
        if (stretch.from < stretch.to) {
            stretches_.push_back({stretch.from.count(), stretch.to.count()});
        }
    }
    std::sort(stretches_.begin(), stretches_.end(),
              [](const Stretch& a, const Stretch& b) { return a.from_s < b.from_s; });
    std::vector<Stretch> joined;
    for (const Stretch& stretch : stretches_) {
        if (!joined.empty() && stretch.from_s <= joined.back().to_s) {
            joined.back().to_s = std::max(joined.back().to_s, stretch.to_s);
        } else {
            joined.push_back(stretch);
        }
    }
    stretches_ = std::move(joined);
}

bool RadioProblem::takes(int receiver, const NumberedNeed& need) const {
    const cockpit::NavigationReceiver& fitted = fitted_[static_cast<std::size_t>(receiver)];
    return (!need.localizer || fitted.localizer) && (!need.glideslope || fitted.glideslope);
}

std::optional<std::pair<int, int>> RadioProblem::receivers_alike() const {
    for (int a = 0; a < receivers_; ++a) {
        for (int b = a + 1; b < receivers_; ++b) {
            const cockpit::NavigationReceiver& one = fitted_[static_cast<std::size_t>(a)];
            const cockpit::NavigationReceiver& other = fitted_[static_cast<std::size_t>(b)];
            if (a != guiding_ && b != guiding_ && one.localizer == other.localizer &&
                one.glideslope == other.glideslope) {
                return std::pair(a, b);
            }
        }
    }
    return std::nullopt;
}

std::vector<int> RadioProblem::sets_for(const NumberedNeed& need) const {
    std::vector<int> sets;
    if (need.kind == SetKind::receiver) {
        for (int r = 0; r < receivers_; ++r) {
            if (takes(r, need)) {
                sets.push_back(r);
            }
        }
    } else if (need.kind == SetKind::adf && adf_) {
        sets.push_back(adf_set());
    } else if (need.kind == SetKind::dme && own_dme()) {
        sets.push_back(dme_set());
    }
    return sets;
}

RadioSet RadioProblem::named(int set) const {
    if (set < receivers_) {
        return {SetKind::receiver, set + 1};
    }
    return {set == dme_set() ? SetKind::dme : SetKind::adf, 1};
}

const std::vector<RadioProblem::Hearing>& RadioProblem::heard(SetKind kind, int station) const {
    return heard_[static_cast<std::size_t>(kind)][static_cast<std::size_t>(station)];
}

double RadioProblem::identified_s(SetKind kind, int station, double tuned_s) const {
    double best_s = never_s;
    for (const Hearing& hearing : heard(kind, station)) {
        if (tuned_s == before_lining_up_s && hearing.from_s <= 0.0) {
            return before_lining_up_s;
        }
        const double done_s = std::max(tuned_s, hearing.from_s) + hearing.identify_s;
        if (done_s <= hearing.to_s) {
            best_s = std::min(best_s, done_s);
        }
    }
    return best_s;
}

double RadioProblem::latest_tuning_s(SetKind kind, int station, double deadline_s) const {
    double best_s = before_lining_up_s;
    for (const Hearing& hearing : heard(kind, station)) {
        const double by_s = std::min(deadline_s, hearing.to_s);
        if (hearing.from_s + hearing.identify_s <= by_s) {
            best_s = std::max(best_s, by_s - hearing.identify_s);
        }
    }
    return best_s;
}

double RadioProblem::first_heard_s(SetKind kind, int station) const {
    double first_s = never_s;
    for (const Hearing& hearing : heard(kind, station)) {
        first_s = std::min(first_s, hearing.from_s);
    }
    return first_s;
}

const RadioProblem::Stretch* RadioProblem::inside(double t_s) const {
    const auto next = std::upper_bound(stretches_.begin(), stretches_.end(), t_s,
                                       [](double t, const Stretch& stretch) { return t < stretch.to_s; });
    return next != stretches_.end() && next->from_s < t_s ? &*next : nullptr;
}

double RadioProblem::first_allowed_s(double t_s) const {
    const Stretch* stretch = inside(t_s);
    return stretch != nullptr ? stretch->to_s : t_s;
}

double RadioProblem::last_allowed_s(double t_s) const {
    const Stretch* stretch = inside(t_s);
    return stretch != nullptr ? stretch->from_s : t_s;
}

std::optional<std::size_t> RadioProblem::stretch_at(double t_s) const {
    for (std::size_t i = 0; i < as_asked_.size(); ++i) {
        if (as_asked_[i].from.count() <= t_s && t_s < as_asked_[i].to.count()) {
            return i;
        }
    }
    return std::nullopt;
}

}  // namespace omniway::flight::detail
