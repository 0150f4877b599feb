#include "writers/procedure_text.hpp"

#include <cmath>

#include <fmt/format.h>

#include "plan/wording.hpp"
#include "writers/detail/caution.hpp"

namespace omniway::writers {

namespace {

using detail::caution;
using navdata::Snapshot;

std::string time_text(base::Duration time) {
    const long seconds = std::lround(time.count());
    return fmt::format("{}:{:02}", seconds / 60, seconds % 60);
}

std::string miles_text(base::Length length) {
    return fmt::format("{:.1f} NM", length.nautical_miles());
}

std::string joined(const std::vector<std::string>& parts) {
    std::string text;
    for (const std::string& part : parts) {
        if (!part.empty()) {
            text += (text.empty() ? "" : "; ") + part;
        }
    }
    return text;
}

std::string coded_text(const navdata::Leg& leg) {
    return fmt::format("{:03} {}{}", leg.sequence, navdata::to_text(leg.terminator),
                       leg.fix ? " " + leg.fix->ident : std::string());
}

std::string mark_text(const navdata::Leg& leg) {
    return leg.is_final_approach_fix()          ? "final fix"
           : leg.is_missed_approach_point()     ? "missed approach point"
           : leg.is_initial_approach_fix()      ? "initial fix"
           : leg.is_final_approach_course_fix() ? "final course fix"
                                                : "";
}

std::string needs_text(const plan::ReportedLeg& leg) {
    std::string text;
    for (const plan::Need need : leg.needs) {
        text += (text.empty() ? "needs " : ", ") + std::string(plan::to_text(need));
    }
    return text;
}

std::string figures_text(const Snapshot& world, const plan::ProcedureReport& report,
                         const plan::ReportedLeg& leg) {
    std::vector<std::string> parts;
    const auto step = plan::step_of(world, report, leg);
    if (step && leg.flown.length() > base::Length()) {
        parts.push_back(fmt::format("course {} magnetic", plan::three_figures(step->course.degrees())));
        parts.push_back(miles_text(leg.flown.length()) + ", " + time_text(leg.flown.time()) + " as flown");
    }
    parts.push_back(plan::altitude_text(leg));
    if (leg.coded != nullptr && leg.coded->vertical_angle) {
        parts.push_back(fmt::format("{:.2f}\u00b0 down", std::abs(leg.coded->vertical_angle->degrees())));
    }
    if (leg.coded != nullptr && leg.coded->speed_limit) {
        parts.push_back(fmt::format("not above {:.0f} kt", leg.coded->speed_limit->knots()));
    }
    if (leg.coded != nullptr &&
        (leg.coded->turn == navdata::Turn::left || leg.coded->turn == navdata::Turn::right)) {
        parts.emplace_back(leg.coded->turn == navdata::Turn::left ? "left turn" : "right turn");
    }
    parts.push_back(needs_text(leg));
    return joined(parts);
}

std::string leg_block(const Snapshot& world, const plan::ProcedureReport& report,
                      const plan::ReportedLeg& leg, std::size_t number) {
    const std::string guidance = plan::guidance_text(world, report, leg);
    const std::string mark = leg.coded != nullptr ? mark_text(*leg.coded) : "";
    std::string text = fmt::format("  {:>2}  {:<14}{}\n", number,
                                   leg.coded != nullptr ? coded_text(*leg.coded) : "own navigation",
                                   joined({mark, guidance}));
    const auto line = [&](const std::string& words) {
        text += words.empty() ? "" : "                    " + words + "\n";
    };
    const std::string ending = plan::ending_text(world, report, leg);
    line(ending.empty() ? ending : "until " + ending);
    line(figures_text(world, report, leg));
    for (const std::string& words : plan::paper_text(world, report, leg)) {
        line(words);
    }
    if (leg.flown.fallback) {
        line("drawn simpler: " + procedure::to_text(*leg.flown.fallback));
    }
    for (const base::Finding& finding : leg.findings) {
        line(fmt::format("{}: {}",
                         finding.grade == base::Grade::blocks ? "not flyable" : base::to_text(finding.grade),
                         finding.text));
    }
    return text;
}

// Without the name of the way, which stands before it.
std::string why_text(const base::Finding& finding) {
    const std::size_t leg = finding.about.rfind(", leg ");
    return leg == std::string::npos ? finding.text : finding.about.substr(leg + 2) + ": " + finding.text;
}

std::string verdict_text(const plan::ReportedWay& way) {
    return way.flyable() ? "flyable" : "not flyable";
}

}  // namespace

std::string procedure_text(const Snapshot& world, const plan::ProcedureReport& report) {
    const navdata::Procedure& procedure = world.procedures()[report.request.procedure.index];
    std::string text = fmt::format("{} {}, {}: flown by {}, wind {}\n{}\n", procedure.airport,
                                   procedure.ident, plan::kind_text(procedure), report.request.aircraft.name,
                                   weather::to_text(report.request.wind), caution);
    for (const plan::ReportedWay& way : report.ways) {
        text += fmt::format("\n{}: {}, {}; {}\n", way.name, miles_text(way.length), time_text(way.time),
                            verdict_text(way));
        for (const base::Finding& finding : way.findings) {
            text += fmt::format("  {}: {}\n", base::to_text(finding.grade), finding.text);
        }
        bool missed = false;
        for (std::size_t i = 0; i < way.legs.size(); ++i) {
            if (way.legs[i].missed && !missed) {
                text += "  missed approach\n";
            }
            missed = way.legs[i].missed;
            text += leg_block(world, report, way.legs[i], i + 1);
        }
        if (way.final) {
            for (const std::string& line : plan::final_text(*way.final)) {
                text += "  " + line + "\n";
            }
        }
    }
    return text;
}

std::string procedures_text(const Snapshot& world, const std::vector<plan::ProcedureReport>& reports) {
    std::string text;
    for (const plan::ProcedureReport& report : reports) {
        const navdata::Procedure& procedure = world.procedures()[report.request.procedure.index];
        for (const plan::ReportedWay& way : report.ways) {
            const base::Finding* blocked = way.blocked_by();
            text += fmt::format(
                "{:<8}{:<36}{}\n", procedure.ident, way.name,
                blocked == nullptr ? fmt::format("flyable, {}", miles_text(way.length)) : why_text(*blocked));
        }
    }
    return text.empty() ? "no procedures in the atlas\n" : text;
}

}  // namespace omniway::writers
