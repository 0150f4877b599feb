#include "base/finding.hpp"

#include <algorithm>

namespace omniway::base {

std::string_view to_text(Grade grade) {
    switch (grade) {
        case Grade::blocks:
            return "blocks";
        case Grade::asks:
            return "asks";
        case Grade::warns:
            return "warns";
        case Grade::notes:
            return "notes";
    }
    return "notes";
}

std::string_view to_text(Verdict verdict) {
    switch (verdict) {
        case Verdict::flyable:
            return "flyable";
        case Verdict::flyable_if:
            return "flyable if";
        case Verdict::not_flyable:
            return "not flyable";
    }
    return "not flyable";
}

void rank(std::vector<Finding>& findings) {
    std::stable_sort(findings.begin(), findings.end(),
                     [](const Finding& a, const Finding& b) { return a.grade < b.grade; });
}

Verdict verdict_of(const std::vector<Finding>& findings) {
    const auto any = [&](Grade grade) {
        return std::any_of(findings.begin(), findings.end(),
                           [&](const Finding& f) { return f.grade == grade; });
    };
    if (any(Grade::blocks)) {
        return Verdict::not_flyable;
    }
    return any(Grade::asks) ? Verdict::flyable_if : Verdict::flyable;
}

}  // namespace omniway::base
