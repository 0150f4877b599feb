#include "flight/judge.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <string_view>
#include <tuple>

#include "flight/detail/judge_rules.hpp"

namespace omniway::flight {

using base::Finding;

namespace {

// What matters first within a grade, by the first word of a finding's code: docs/methods/judge.md argues it.
constexpr std::array<std::string_view, 17> matters_first = {
    "guidance", "airway", "fix",     "procedure", "radios", "altitude", "missed",  "departure", "runway",
    "wind",     "fuel",   "arrival", "approach",  "minima", "reversal", "station", "data"};

std::size_t weight(const Finding& finding) {
    const std::string_view word = std::string_view(finding.code).substr(0, finding.code.find('.'));
    return static_cast<std::size_t>(std::find(matters_first.begin(), matters_first.end(), word) -
                                    matters_first.begin());
}

}  // namespace

void rank_findings(std::vector<Finding>& findings) {
    std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
        const auto key = [](const Finding& f) {
            return std::tuple(f.grade, weight(f), f.step.value_or(std::numeric_limits<int>::max()));
        };
        return key(a) < key(b);
    });
}

Judgement judge(const Circumstances& circumstances, const Flight& flight, const Compiled& compiled) {
    const detail::JudgedFlight judged(circumstances, flight, compiled);
    Judgement judgement;
    judgement.findings = flight.from_procedure;
    for (const auto rule : {detail::guidance_findings, detail::fix_findings, detail::radio_findings,
                            detail::altitude_findings, detail::climb_findings, detail::day_findings}) {
        for (Finding& finding : rule(judged)) {
            judgement.findings.push_back(std::move(finding));
        }
    }
    rank_findings(judgement.findings);
    judgement.verdict = base::verdict_of(judgement.findings);
    return judgement;
}

}  // namespace omniway::flight
