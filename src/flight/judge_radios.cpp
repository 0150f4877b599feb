#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "flight/detail/judge_rules.hpp"

namespace omniway::flight::detail {

using base::Grade;

namespace {

// Less than this between the first and the last moment at which a set may be turned is said. Common practice, no source.
constexpr base::Duration little_slack{15.0};
// What is rounded to the second is not late.
constexpr base::Duration rounding{1.0};

class Radios {
public:
    explicit Radios(const JudgedFlight& judged)
        : judged_(judged), world_(judged.day.world), question_(judged.compiled.radios) {}

    Findings result() {
        std::visit([this](const auto& answer) { of(answer); }, judged_.compiled.schedule);
        return std::move(findings_);
    }

private:
    void find(Grade grade, std::string code, std::string about, std::optional<int> step, std::string text,
              std::string remedy = {}) {
        findings_.push_back(
            {grade, std::move(code), std::move(about), std::move(text), std::move(remedy), step});
    }

    const RadioNeed& need(std::size_t index) const { return question_.needs.at(index); }

    static std::optional<int> step_of(const RadioNeed& need) {
        return need.step > 0 ? std::optional(need.step) : std::nullopt;
    }

    // "GUNNA", else "step 5".
    std::string about(const RadioNeed& need) const {
        for (const auto* steps : {&judged_.compiled.track.steps, &judged_.compiled.track.missed}) {
            for (const TrackStep& step : *steps) {
                if (step.number == need.step && !step.to.empty()) {
                    return step.to;
                }
            }
        }
        return fmt::format("step {}", need.step);
    }

    static std::string set_text(SetKind kind) {
        return kind == SetKind::receiver ? "navigation receiver" : kind == SetKind::dme ? "DME" : "ADF";
    }

    void of(const NoSchedule& none) {
        const RadioNeed& missed = need(none.need);
        std::string text = fmt::format("{} {} and cannot be tuned and identified before: {}",
                                       world_[missed.station].ident, use_text(missed), cause_text(none));
        if (none.missing) {
            text += fmt::format("; {:.0f} s are missing", std::ceil(none.missing->count()));
        }
        find(Grade::blocks, "radios.no_schedule", about(missed), step_of(missed), std::move(text),
             none.cause == NoScheduleCause::not_heard ? "a higher altitude"
                                                      : "a second " + set_text(missed.kind));
    }

    static std::string use_text(const RadioNeed& need) {
        return fmt::format("{} step {}", need.use == RadioUse::guides ? "guides" : "ends", need.step);
    }

    std::string cause_text(const NoSchedule& none) const {
        const RadioNeed& missed = need(none.need);
        switch (none.cause) {
            case NoScheduleCause::nothing_aboard:
                return "no " + set_text(missed.kind) + " aboard can show it";
            case NoScheduleCause::not_heard:
                return "it is not heard so early";
            case NoScheduleCause::set_needed:
            case NoScheduleCause::no_retuning:
                break;
        }
        std::string text = "the " + set_text(missed.kind);
        if (none.blocked_by) {
            text += fmt::format(" shows {}, which {}", world_[need(*none.blocked_by).station].ident,
                                use_text(need(*none.blocked_by)));
        }
        if (none.stretch && *none.stretch < question_.no_retuning.size()) {
            text += fmt::format("{} nothing is retuned ({})", none.blocked_by ? ", and" : " is free, but",
                                question_.no_retuning[*none.stretch].why);
        }
        return text;
    }

    void of(const RadioSchedule& schedule) {
        late(schedule);
        held(schedule);
        tight(schedule);
    }

    void late(const RadioSchedule& schedule) {
        for (const RadioMet& met : schedule.met) {
            if (met.need >= question_.needs.size() || !met.begins_late || *met.begins_late <= rounding) {
                continue;
            }
            const RadioNeed& each = need(met.need);
            find(Grade::warns, "radios.guidance_late", about(each), step_of(each),
                 fmt::format("{} guides {:.0f} s after the step begins: the heading is held until it is "
                             "tuned and identified",
                             world_[each.station].ident, std::ceil(met.begins_late->count())),
                 "a second " + set_text(each.kind));
        }
    }

    // Whose distance is shown is told by the card; that it is not the one of what the receiver shows is told here as well.
    void held(const RadioSchedule& schedule) {
        std::set<std::pair<int, navdata::StationId>> said;
        for (const RadioMet& met : schedule.met) {
            if (met.need >= question_.needs.size() || met.distance_from != DistanceFrom::held) {
                continue;
            }
            const RadioNeed& each = need(met.need);
            if (said.insert({each.step, each.station}).second) {
                find(Grade::notes, "radios.distance_held", about(each), step_of(each),
                     fmt::format("the DME is held on {}: its distance is not that of the aid on the receiver",
                                 world_[each.station].ident));
            }
        }
    }

    void tight(const RadioSchedule& schedule) {
        for (const RadioTurn& turn : schedule.turns) {
            // A course alone takes no time to identify.
            if (!turn.tuned || turn.slack() >= little_slack || turn.before_need >= question_.needs.size()) {
                continue;
            }
            const RadioNeed& each = need(turn.before_need);
            find(Grade::notes, "radios.little_slack", about(each), step_of(each),
                 fmt::format("{} is tuned with {:.0f} s to spare", world_[*turn.tuned].ident,
                             std::floor(std::max(turn.slack(), base::Duration(0.0)).count())));
        }
    }

    const JudgedFlight& judged_;
    const navdata::Snapshot& world_;
    const RadioQuestion& question_;
    Findings findings_;
};

}  // namespace

Findings radio_findings(const JudgedFlight& judged) {
    return Radios(judged).result();
}

}  // namespace omniway::flight::detail
