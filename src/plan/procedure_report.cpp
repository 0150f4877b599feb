#include "plan/procedure_report.hpp"

#include <algorithm>
#include <cmath>
#include <deque>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "plan/wording.hpp"
#include "procedure/airport_variation.hpp"
#include "procedure/approach.hpp"
#include "procedure/arrival_ways.hpp"
#include "procedure/departure_ways.hpp"
#include "procedure/holding.hpp"
#include "procedure/vertical.hpp"

namespace omniway::plan {

using base::Finding;
using base::Grade;
using base::Length;
using navdata::Branch;
using navdata::Leg;
using navdata::PathTerminator;
using navdata::ProcedureKind;
using procedure::PlacedLeg;

namespace {

bool blocks(const Finding& finding) {
    return finding.grade == Grade::blocks;
}

bool is_missed_branch(const Branch& branch) {
    return branch.route_type == 'Z';
}

bool is_transition(const navdata::Procedure& procedure, const Branch& branch) {
    return procedure.kind != ProcedureKind::approach || branch.route_type == 'A';
}

const Branch* own_branch(const navdata::Procedure& procedure) {
    const Branch* own = nullptr;
    for (const Branch& branch : procedure.branches) {
        own = is_transition(procedure, branch) || is_missed_branch(branch) ? own : &branch;
    }
    return own;
}

// The coded legs of one way in the order in which they are flown, those of the missed approach apart.
struct CodedWay {
    std::vector<const Leg*> legs;
    std::vector<const Leg*> missed;
};

CodedWay coded_approach(const navdata::Procedure& procedure, const std::string& transition) {
    CodedWay way;
    for (const Branch& branch : procedure.branches) {
        if (branch.route_type == 'A' && branch.transition == transition) {
            for (const Leg& leg : branch.legs) {
                way.legs.push_back(&leg);
            }
        }
    }
    const Branch* own = own_branch(procedure);
    if (own == nullptr) {
        return way;
    }
    bool in_missed = false;
    for (const Leg& leg : own->legs) {
        in_missed = in_missed || leg.begins_missed_approach();
        // The transition ends where the part that all share begins: that place is there already.
        const bool joins =
            &leg == own->legs.data() && !way.legs.empty() && leg.terminator == PathTerminator::IF &&
            !(way.legs.back()->terminator == PathTerminator::PI && way.legs.back()->fix == leg.fix);
        if (!joins) {
            (in_missed ? way.missed : way.legs).push_back(&leg);
        }
        in_missed = in_missed || leg.is_missed_approach_point();
    }
    return way;
}

// ARINC 424-18 5.7: 4 to 6 are for area navigation, F, M and S for flight management systems.
bool is_for_area_navigation(const navdata::Procedure& procedure) {
    if (procedure.kind == ProcedureKind::approach) {
        const Branch* own = own_branch(procedure);
        return !navdata::is_conventional_approach_type(own != nullptr ? own->route_type
                                                                      : procedure.ident.front());
    }
    return std::any_of(procedure.branches.begin(), procedure.branches.end(), [](const Branch& branch) {
        return std::string_view("456FMS").find(branch.route_type) != std::string_view::npos;
    });
}

std::string leg_name(const Leg& leg) {
    return fmt::format("leg {:03} {}{}", leg.sequence, navdata::to_text(leg.terminator),
                       leg.fix ? " " + leg.fix->ident : std::string());
}

bool is_about(const Finding& finding, const Leg& leg) {
    return finding.about.ends_with(", " + leg_name(leg));
}

std::optional<navdata::StationId> guiding_receiver_on(const navdata::Snapshot& world,
                                                      const procedure::Guidance& guidance) {
    const auto station = procedure::station_of(guidance);
    if (!station || navdata::ndb(world[*station]) != nullptr ||
        std::holds_alternative<procedure::OnArc>(guidance)) {
        return std::nullopt;
    }
    return station;
}

class NeedsOf {
public:
    NeedsOf(const navdata::Snapshot& world, const PlacedLeg& leg)
        : world_(world), guide_(guiding_receiver_on(world, leg.guidance)) {
        std::visit(*this, leg.guidance);
        std::visit(*this, leg.ending);
    }

    std::vector<Need> take() { return std::move(needs_); }

    void operator()(const procedure::OnRadial&) { add(Need::receiver); }
    void operator()(const procedure::OnBeacon&) { add(Need::adf); }
    void operator()(const procedure::OnLocalizer&) { add(Need::localizer_receiver); }
    void operator()(const procedure::OnArc&) { add(Need::dme); }
    void operator()(const procedure::OnHeading&) {}
    void operator()(const procedure::AtFix& end) { std::visit(*this, end.telling.way); }
    void operator()(const procedure::AtAltitude&) {}
    void operator()(const procedure::AtDistance&) { add(Need::dme); }
    void operator()(const procedure::AtRadial& end) { crossed(end.station); }
    void operator()(const procedure::AtIntercept&) {}
    void operator()(const procedure::AtCourseReversed&) {}
    void operator()(const procedure::AtGlideslopeIntercept&) { add(Need::glideslope_receiver); }
    void operator()(const procedure::AtDecisionAltitude&) { add(Need::glideslope_receiver); }
    void operator()(const procedure::AtMissedApproachPoint& end) {
        if (end.telling) {
            std::visit(*this, end.telling->way);
        }
    }
    void operator()(const procedure::AtHold&) {}
    void operator()(const fixing::Overhead& way) {
        if (navdata::ndb(world_[way.station]) != nullptr) {
            add(Need::adf);
        } else {
            crossed(way.station);
        }
    }
    void operator()(const fixing::DmeReading&) { add(Need::dme); }
    void operator()(const fixing::CrossingRadial& way) { crossed(way.station); }
    void operator()(const fixing::CrossingBearing&) { add(Need::adf); }
    void operator()(const fixing::CrossingLocalizer& way) { crossed(way.station); }

private:
    void crossed(navdata::StationId station) {
        add(!guide_ ? Need::receiver : *guide_ == station ? needs_.front() : Need::second_receiver);
    }
    void add(Need need) {
        if (std::find(needs_.begin(), needs_.end(), need) == needs_.end()) {
            needs_.push_back(need);
        }
    }

    const navdata::Snapshot& world_;
    std::optional<navdata::StationId> guide_;
    std::vector<Need> needs_;
};

// What no row says is flown as the row would be that said it.
Leg stand_in(const PlacedLeg& placed) {
    Leg leg;
    leg.course = navdata::CodedCourse{placed.track.degrees(), true};
    if (const auto* end = std::get_if<procedure::AtAltitude>(&placed.ending)) {
        leg.terminator = PathTerminator::CA;
        leg.altitude_rule = navdata::AltitudeRule::at_or_above;
        leg.altitude_1 = end->altitude;
    } else {
        leg.terminator = placed.to ? PathTerminator::TF : PathTerminator::CI;
    }
    return leg;
}

class Reporter {
public:
    Reporter(const navdata::Snapshot& world, const radio::Ground& ground,
             const std::vector<procedure::ApproachWay>& ways, const ProcedureRequest& request)
        : world_(world),
          ground_(ground),
          all_ways_(ways),
          request_(request),
          procedure_(world.procedures()[request.procedure.index]),
          airport_(*world.airport(procedure_.airport)) {}

    ProcedureReport result() {
        ProcedureReport report;
        report.airport = airport_;
        report.area_navigation = is_for_area_navigation(procedure_);
        switch (procedure_.kind) {
            case ProcedureKind::approach:
                report.ways = approach();
                break;
            case ProcedureKind::departure:
                report.ways = departure();
                break;
            case ProcedureKind::arrival:
                report.ways = arrival();
                break;
        }
        return report;
    }

private:
    bool is_wanted(const std::string& transition) const {
        return !request_.transition || *request_.transition == transition;
    }

    std::vector<ReportedWay> approach() {
        std::vector<ReportedWay> ways;
        std::vector<std::string> done;
        for (const procedure::ApproachWay& way : all_ways_) {
            if (way.procedure != &procedure_) {
                continue;
            }
            done.push_back(way.transition);
            if (is_wanted(way.transition)) {
                ways.push_back(way.legs.empty() ? drawn_all_the_same(way) : flown(way));
            }
            template_ = way;
        }
        for (const std::string& transition : transitions_of(procedure_)) {
            if (is_wanted(transition) && std::find(done.begin(), done.end(), transition) == done.end()) {
                procedure::ApproachWay way = template_;
                way.transition = transition;
                ways.push_back(drawn_all_the_same(way));
            }
        }
        return ways;
    }

    ReportedWay head(const procedure::ApproachWay& way) const {
        ReportedWay out;
        out.name = way.name();
        out.transition = way.transition;
        out.runway = way.runway;
        out.localizer = way.localizer;
        return out;
    }

    ReportedWay flown(const procedure::ApproachWay& way) const {
        ReportedWay out = head(way);
        assemble(out, coded_approach(procedure_, way.transition), way.legs, way.missed, way.findings);
        return out;
    }

    // Refused before its legs were looked at: they are placed for the drawing, and the refusal stands.
    ReportedWay drawn_all_the_same(const procedure::ApproachWay& way) const {
        ReportedWay out = head(way);
        const CodedWay coded = coded_approach(procedure_, way.transition);
        procedure::PathContext context = context_of(out.name);
        context.localizer = way.localizer;
        procedure::PlacedPath legs = placed(coded.legs, context);
        if (!legs.legs.empty()) {
            context.start = legs.legs.back().finish;
        }
        context.missed = true;
        context.name += ", missed";
        procedure::PlacedPath missed = placed(coded.missed, context);
        std::vector<Finding> findings = way.findings;
        findings.insert(findings.end(), legs.findings.begin(), legs.findings.end());
        findings.insert(findings.end(), missed.findings.begin(), missed.findings.end());
        assemble(out, coded, legs.legs, missed.legs, findings);
        return out;
    }

    procedure::PathContext context_of(const std::string& name) const {
        const navdata::Airport& airport = world_[airport_];
        procedure::PathContext context;
        context.name = fmt::format("{} {}", airport.ident, name);
        context.variation = procedure::variation_of(world_, airport)
                                .value_or(request_.modelled_variation.value_or(base::Variation()));
        context.airport_elevation = airport.elevation.value_or(base::Altitude());
        context.start = airport.position;
        context.procedure = &procedure_;
        context.criteria = request_.criteria;
        return context;
    }

    procedure::PlacedPath placed(const std::vector<const Leg*>& legs,
                                 const procedure::PathContext& context) const {
        return procedure::place_legs(world_, ground_, request_.aircraft.equipment, legs, context);
    }

    std::vector<ReportedWay> departure() const {
        std::vector<ReportedWay> ways;
        std::vector<Finding> refused;
        for (const navdata::RunwayId id : world_.runways_of(procedure_.airport)) {
            const navdata::Runway& runway = world_[id];
            if (!runway.threshold || !runway.far_end) {
                continue;
            }
            const procedure::TakeOff take_off{
                id,
                *runway.far_end,
                earth::bearing(*runway.threshold, *runway.far_end),
                runway.elevation.value_or(world_[airport_].elevation.value_or(base::Altitude())),
                {&request_.aircraft.performance, request_.wind}};
            for (const procedure::DepartureWay& way : procedure::departure_ways(
                     world_, ground_, request_.aircraft.equipment, airport_, take_off, request_.criteria)) {
                if (way.procedure == &procedure_ && way.legs.empty() && refused.empty()) {
                    refused = way.findings;
                }
                if (way.procedure != &procedure_ || way.legs.empty() ||
                    !(is_wanted(way.transition) || is_wanted(runway.ident))) {
                    continue;
                }
                ReportedWay out;
                out.name = fmt::format("{} {} from {}", kind_text(procedure_), way.name(), runway.ident);
                out.transition = way.transition;
                out.runway = id;
                assemble(out, coded_of_branches(way.transition, way.legs), way.legs, {}, way.findings);
                ways.push_back(std::move(out));
            }
        }
        return ways.empty() ? branches(refused) : ways;
    }

    std::vector<ReportedWay> arrival() const {
        std::vector<ReportedWay> ways;
        std::vector<Finding> refused;
        for (const procedure::ArrivalWay& way : procedure::arrival_ways(
                 world_, ground_, request_.aircraft.equipment, airport_, request_.criteria)) {
            if (way.procedure == &procedure_ && way.legs.empty() && refused.empty()) {
                refused = way.findings;
            }
            if (way.procedure != &procedure_ || way.legs.empty() ||
                !(is_wanted(way.transition) || is_wanted(way.runway))) {
                continue;
            }
            ReportedWay out;
            out.name = fmt::format("{} {}{}", kind_text(procedure_), way.name(),
                                   way.runway.empty() ? "" : " for " + way.runway);
            out.transition = way.transition;
            assemble(out, coded_of_branches(way.transition, way.legs), way.legs, {}, way.findings);
            ways.push_back(std::move(out));
        }
        return ways.empty() ? branches(refused) : ways;
    }

    // The rows that a way runs through: of each branch that it has a leg of, and of its transition.
    CodedWay coded_of_branches(const std::string& transition, const std::vector<PlacedLeg>& placed) const {
        CodedWay way;
        for (const Branch& branch : procedure_.branches) {
            const bool has_a_leg = std::any_of(placed.begin(), placed.end(), [&](const PlacedLeg& leg) {
                return leg.coded >= branch.legs.data() && leg.coded < branch.legs.data() + branch.legs.size();
            });
            const bool is_its_own = !transition.empty() && branch.transition == transition;
            for (const Leg& leg : branch.legs) {
                const bool joins =
                    !way.legs.empty() && leg.terminator == PathTerminator::IF &&
                    !(way.legs.back()->terminator == PathTerminator::PI && way.legs.back()->fix == leg.fix);
                if ((has_a_leg || is_its_own) && !joins) {
                    way.legs.push_back(&leg);
                }
            }
        }
        return way;
    }

    // What is refused as a whole: branch by branch, to be drawn.
    std::vector<ReportedWay> branches(std::vector<Finding> refused) const {
        if (refused.empty() && is_for_area_navigation(procedure_)) {
            const bool departs = procedure_.kind == ProcedureKind::departure;
            refused.push_back({Grade::blocks,
                               departs ? "departure.area_navigation" : "arrival.area_navigation",
                               fmt::format("{} {}", procedure_.airport, procedure_.ident),
                               "is published for area navigation", ""});
        }
        std::vector<ReportedWay> ways;
        for (const Branch& branch : procedure_.branches) {
            if (!is_wanted(branch.transition)) {
                continue;
            }
            ReportedWay way;
            way.transition = branch.transition;
            way.name = kind_text(procedure_) + " " + procedure_.ident +
                       (branch.transition.empty() ? std::string() : " via " + branch.transition);
            procedure::PathContext context = context_of(way.name);
            for (const navdata::RunwayId id : world_.runways_of(procedure_.airport)) {
                if (world_[id].ident == branch.transition) {
                    way.runway = id;
                    const navdata::Runway& runway = world_[id];
                    context.start = procedure_.kind == ProcedureKind::departure && runway.far_end
                                        ? *runway.far_end
                                        : runway.threshold.value_or(context.start);
                }
            }
            CodedWay coded;
            for (const Leg& leg : branch.legs) {
                coded.legs.push_back(&leg);
            }
            procedure::PlacedPath path = placed(coded.legs, context);
            path.findings.insert(path.findings.begin(), refused.begin(), refused.end());
            assemble(way, coded, path.legs, {}, path.findings);
            ways.push_back(std::move(way));
        }
        return ways;
    }

    void assemble(ReportedWay& way, const CodedWay& coded, const std::vector<PlacedLeg>& placed,
                  const std::vector<PlacedLeg>& missed, const std::vector<Finding>& findings) const {
        add_legs(way, coded.legs, placed, false);
        place_opening(way);
        add_legs(way, coded.missed, missed, true);
        for (const Finding& finding : findings) {
            const auto about = std::find_if(way.legs.begin(), way.legs.end(), [&](const ReportedLeg& leg) {
                return leg.coded != nullptr && is_about(finding, *leg.coded);
            });
            (about == way.legs.end() ? way.findings : about->findings).push_back(finding);
        }
        fly(way);
        if (procedure_.kind == ProcedureKind::approach) {
            way.final = procedure::final_segment(world_, placed, way.localizer, way.runway);
        }
        for (const ReportedLeg& leg : way.legs) {
            if (!leg.missed) {
                way.length += leg.flown.length();
                way.time += leg.flown.time();
            }
        }
    }

    // The fix that a way begins at is no leg to those who only fly it.
    void place_opening(ReportedWay& way) const {
        ReportedLeg* first = way.legs.empty() ? nullptr : &way.legs.front();
        if (first == nullptr || first->placed || first->coded == nullptr ||
            first->coded->terminator != PathTerminator::IF) {
            return;
        }
        if (const auto fix = procedure::place_fix(world_, *first->coded, &procedure_)) {
            PlacedLeg placed;
            placed.coded = first->coded;
            placed.to = fix;
            placed.start = placed.finish = fix->position;
            placed.guidance = procedure::OnHeading{};
            placed.ending = procedure::AtIntercept{};
            first->placed = std::move(placed);
        }
    }

    static void add_legs(ReportedWay& way, const std::vector<const Leg*>& coded,
                         const std::vector<PlacedLeg>& placed, bool missed) {
        const auto add = [&](const Leg* leg, const PlacedLeg* at) {
            ReportedLeg out;
            out.coded = leg;
            out.missed = missed;
            if (at != nullptr) {
                out.placed = *at;
            }
            way.legs.push_back(std::move(out));
        };
        auto next = placed.begin();
        for (const Leg* leg : coded) {
            const auto found =
                std::find_if(next, placed.end(), [&](const PlacedLeg& each) { return each.coded == leg; });
            if (found == placed.end()) {
                add(leg, nullptr);
                continue;
            }
            // What stands before it was put in the place of coded legs.
            for (; next != found; ++next) {
                add(next->coded, &*next);
            }
            add(leg, &*next++);
            for (; next != placed.end() && next->coded == leg; ++next) {
                add(leg, &*next);
            }
        }
        for (; next != placed.end(); ++next) {
            add(next->coded, &*next);
        }
    }

    void fly(ReportedWay& way) const {
        std::vector<PlacedLeg> placed;
        std::vector<std::size_t> at;
        std::deque<Leg> stand_ins;
        for (std::size_t i = 0; i < way.legs.size(); ++i) {
            ReportedLeg& leg = way.legs[i];
            if (leg.coded != nullptr) {
                const procedure::AltitudeWindow window = procedure::window_of(*leg.coded);
                leg.lowest = window.at_or_above;
                leg.highest = window.at_or_below;
            }
            if (leg.placed) {
                leg.needs = NeedsOf(world_, *leg.placed).take();
                placed.push_back(*leg.placed);
                if (leg.placed->coded == nullptr) {
                    placed.back().coded = &stand_ins.emplace_back(stand_in(*leg.placed));
                }
                at.push_back(i);
            }
        }
        const procedure::FlownPath path = procedure::fly(
            world_, placed, {&request_.aircraft, request_.wind, request_.reversal}, start_of(way));
        for (const procedure::FlownLeg& flown : path.legs) {
            way.legs[at[flown.leg]].flown = flown;
        }
    }

    procedure::FlownStart start_of(const ReportedWay& way) const {
        procedure::FlownStart start;
        start.altitude = first_altitude(way);
        start.phase = procedure_.kind == ProcedureKind::departure ? procedure::FlownPhase::departure
                      : procedure_.kind == ProcedureKind::arrival ? procedure::FlownPhase::arrival
                                                                  : procedure::FlownPhase::approach;
        if (procedure_.kind != ProcedureKind::departure || !way.runway) {
            return start;
        }
        const navdata::Runway& runway = world_[*way.runway];
        if (runway.threshold && runway.far_end) {
            start.place = *runway.far_end;
            start.track = earth::bearing(*runway.threshold, *runway.far_end);
            start.altitude = runway.elevation.value_or(start.altitude);
        }
        return start;
    }

    base::Altitude first_altitude(const ReportedWay& way) const {
        for (const ReportedLeg& leg : way.legs) {
            if (leg.coded != nullptr && leg.coded->altitude_1) {
                return *leg.coded->altitude_1;
            }
        }
        return world_[airport_].elevation.value_or(base::Altitude()) + Length::feet(2000);
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const std::vector<procedure::ApproachWay>& all_ways_;
    const ProcedureRequest& request_;
    const navdata::Procedure& procedure_;
    navdata::AirportId airport_;
    procedure::ApproachWay template_;
};

}  // namespace

std::string_view to_text(Need need) {
    switch (need) {
        case Need::receiver:
            return "VOR receiver";
        case Need::second_receiver:
            return "second receiver";
        case Need::localizer_receiver:
            return "localizer receiver";
        case Need::glideslope_receiver:
            return "glideslope receiver";
        case Need::dme:
            return "DME";
        case Need::adf:
            return "ADF";
    }
    return "";
}

bool ReportedLeg::flyable() const {
    return std::none_of(findings.begin(), findings.end(), blocks);
}

bool ReportedWay::flyable() const {
    return blocked_by() == nullptr;
}

const Finding* ReportedWay::blocked_by() const {
    const auto own = std::find_if(findings.begin(), findings.end(), blocks);
    if (own != findings.end()) {
        return &*own;
    }
    for (const ReportedLeg& leg : legs) {
        const auto found = std::find_if(leg.findings.begin(), leg.findings.end(), blocks);
        if (found != leg.findings.end()) {
            return &*found;
        }
    }
    return nullptr;
}

bool ProcedureReport::flyable() const {
    return std::any_of(ways.begin(), ways.end(), [](const ReportedWay& way) { return way.flyable(); });
}

ProcedureReport procedure_report(const navdata::Snapshot& world, const radio::Ground& ground,
                                 ProcedureRequest request) {
    const navdata::Procedure& procedure = world.procedures()[request.procedure.index];
    const auto airport = world.airport(procedure.airport);
    OMNIWAY_EXPECTS(airport.has_value());
    const auto ways =
        procedure.kind == ProcedureKind::approach
            ? procedure::approach_ways(world, ground, request.aircraft.equipment, *airport, request.criteria)
            : std::vector<procedure::ApproachWay>();
    ProcedureReport report = Reporter(world, ground, ways, request).result();
    report.request = std::move(request);
    return report;
}

std::vector<ProcedureReport> procedure_reports(const navdata::Snapshot& world, const radio::Ground& ground,
                                               navdata::AirportId airport, ProcedureRequest request) {
    const auto ways =
        procedure::approach_ways(world, ground, request.aircraft.equipment, airport, request.criteria);
    std::vector<ProcedureReport> reports;
    for (std::uint32_t i = 0; i < world.procedures().size(); ++i) {
        if (world.procedures()[i].airport == world[airport].ident) {
            request.procedure = navdata::ProcedureId{i};
            reports.push_back(Reporter(world, ground, ways, request).result());
            reports.back().request = request;
        }
    }
    return reports;
}

std::vector<std::string> transitions_of(const navdata::Procedure& procedure) {
    std::vector<std::string> names;
    const auto add = [&](const std::string& name) {
        if (std::find(names.begin(), names.end(), name) == names.end()) {
            names.push_back(name);
        }
    };
    if (procedure.kind == ProcedureKind::approach && own_branch(procedure) != nullptr) {
        add("");
    }
    for (const Branch& branch : procedure.branches) {
        if (is_transition(procedure, branch)) {
            add(branch.transition);
        }
    }
    return names;
}

std::string kind_text(const navdata::Procedure& procedure) {
    const std::string rnav = is_for_area_navigation(procedure) ? "RNAV " : "";
    switch (procedure.kind) {
        case ProcedureKind::departure:
            return rnav + "departure";
        case ProcedureKind::arrival:
            return rnav + "arrival";
        case ProcedureKind::approach:
            break;
    }
    const Branch* own = own_branch(procedure);
    return navdata::approach_type_text(own != nullptr ? own->route_type : procedure.ident.front());
}

std::optional<base::Variation> variation_of(const navdata::Snapshot& world, const ProcedureReport& report) {
    const auto& own = world[report.airport].variation;
    return own ? own : report.request.modelled_variation;
}

std::string end_name(const ReportedLeg& leg) {
    if (leg.placed && leg.placed->to) {
        return leg.placed->to->ident;
    }
    return leg.coded != nullptr && leg.coded->fix ? leg.coded->fix->ident : std::string();
}

std::optional<flight::TrackStep> step_of(const navdata::Snapshot& world, const ProcedureReport& report,
                                         const ReportedLeg& leg) {
    if (!leg.placed || (leg.coded != nullptr && leg.coded->terminator == PathTerminator::IF &&
                        leg.placed->length <= base::Length())) {
        return std::nullopt;
    }
    flight::TrackStep step;
    step.phase = flight::Phase::approach;
    step.guidance = leg.placed->guidance;
    step.needle = flight::needle_sense(report.request.aircraft.equipment, leg.placed->guidance);
    step.course =
        base::to_magnetic(leg.placed->track, variation_of(world, report).value_or(base::Variation()));
    step.ending = leg.placed->ending;
    return step;
}

std::string guidance_text(const navdata::Snapshot& world, const ProcedureReport& report,
                          const ReportedLeg& leg) {
    const auto step = step_of(world, report, leg);
    return step ? guidance_text(world, *step) : std::string();
}

std::string ending_text(const navdata::Snapshot& world, const ProcedureReport& report,
                        const ReportedLeg& leg) {
    const auto step = step_of(world, report, leg);
    return step ? ending_text(world, *step) : std::string();
}

std::string altitude_text(const ReportedLeg& leg) {
    const auto feet = [](base::Altitude altitude) { return fmt::format("{:.0f}", altitude.feet()); };
    if (leg.lowest && leg.highest) {
        return *leg.lowest == *leg.highest
                   ? "at " + feet(*leg.lowest) + " ft"
                   : fmt::format("{} to {} ft", feet(*leg.lowest), feet(*leg.highest));
    }
    if (leg.lowest) {
        return feet(*leg.lowest) + " ft or above";
    }
    return leg.highest ? feet(*leg.highest) + " ft or below" : std::string();
}

namespace {

std::string time_text(base::Duration time) {
    const long seconds = std::lround(time.count());
    return fmt::format("{}:{:02}", seconds / 60, seconds % 60);
}

// The first turn in the air of a leg: how fast it is flown, and on what heading it was come to.
const procedure::AirTurn* first_turn(const ReportedLeg& leg) {
    for (const procedure::TrackPiece& piece : leg.flown.pieces) {
        if (const auto* turn = std::get_if<procedure::AirTurn>(&piece)) {
            return turn;
        }
    }
    return nullptr;
}

struct SayPiece {
    base::Variation variation;
    base::Speed true_airspeed;
    weather::Wind wind;

    std::string magnetic(base::TrueBearing bearing) const {
        return three_figures(base::to_magnetic(bearing, variation).degrees());
    }
    std::string operator()(const procedure::Straight& piece) const {
        const auto held = aircraft::hold_course(piece.track, true_airspeed, wind);
        return fmt::format("course {}{} for {}", magnetic(piece.track),
                           held ? " heading " + magnetic(held->heading) : std::string(),
                           time_text(procedure::time_of(piece)));
    }
    std::string operator()(const procedure::GroundArc& piece) const {
        return fmt::format("arc {:.1f} NM, {}", piece.radius.nautical_miles(),
                           time_text(procedure::time_of(piece)));
    }
    std::string operator()(const procedure::AirTurn& piece) const {
        return fmt::format("{} to heading {}", piece.turned < base::Angle() ? "left" : "right",
                           magnetic(piece.heading + piece.turned));
    }
};

std::string hold_words(const ReportedLeg& leg, const procedure::AirTurn& turn) {
    const navdata::Turn side = leg.coded->turn;
    const base::TrueBearing inbound = leg.placed->track;
    std::string words = "entry " + procedure::to_text(procedure::hold_entry(turn.heading, inbound, side));
    if (const auto other = procedure::also_acceptable(turn.heading, inbound, side)) {
        words += ", " + procedure::to_text(*other) + " as good";
    }
    return words;
}

}  // namespace

std::vector<std::string> paper_text(const navdata::Snapshot& world, const ProcedureReport& report,
                                    const ReportedLeg& leg) {
    const procedure::AirTurn* turn = first_turn(leg);
    if (leg.coded == nullptr || !leg.placed || turn == nullptr) {
        return {};
    }
    const PathTerminator t = leg.coded->terminator;
    const bool holds = t == PathTerminator::HA || t == PathTerminator::HF || t == PathTerminator::HM;
    if (!holds && t != PathTerminator::PI) {
        return {};
    }
    std::vector<std::string> lines;
    if (holds) {
        lines.push_back(hold_words(leg, *turn));
    }
    const SayPiece say{variation_of(world, report).value_or(base::Variation()), turn->true_airspeed,
                       turn->wind};
    std::string flown;
    for (const procedure::TrackPiece& piece : leg.flown.pieces) {
        if (procedure::time_of(piece) >= base::Duration(1.0)) {
            flown += (flown.empty() ? "" : ", ") + std::visit(say, piece);
        }
    }
    lines.push_back(flown);
    return lines;
}

std::vector<std::string> final_text(const procedure::FinalSegment& final) {
    std::string first = fmt::format("final {} to {}: {:.1f} NM", final.final_fix.ident, final.end.ident,
                                    final.length.nautical_miles());
    if (final.angle) {
        first += fmt::format(", {:.2f}\u00b0 down", final.angle->degrees());
    }
    if (final.gradient) {
        first += fmt::format(", {:.0f} ft/NM", final.gradient->feet_per_nautical_mile());
    }
    std::vector<std::string> lines{first};
    if (final.glideslope_at_fix) {
        lines.push_back(fmt::format(
            "glideslope over {} at {:.0f} ft{}", final.final_fix.ident, final.glideslope_at_fix->feet(),
            final.published_at_fix ? fmt::format(", published {:.0f} ft", final.published_at_fix->feet())
                                   : std::string()));
    }
    for (const procedure::StepDown& step : final.step_downs) {
        if (step.window.at_or_above) {
            lines.push_back(fmt::format("not below {:.0f} ft before {}, {:.1f} NM before its end",
                                        step.window.at_or_above->feet(), step.fix.ident,
                                        step.before_end.nautical_miles()));
        }
    }
    if (!final.on_glideslope) {
        std::string times = "time to the missed approach point:";
        for (const procedure::TimeAtSpeed& each : procedure::time_table(final.length)) {
            times += fmt::format(" {:.0f} kt {},", each.groundspeed.knots(), time_text(each.time));
        }
        times.pop_back();
        lines.push_back(times);
    }
    return lines;
}

}  // namespace omniway::plan
