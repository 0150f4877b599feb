#include "plan/next_on_route.hpp"

#include <algorithm>

#include "procedure/approach.hpp"
#include "procedure/arrival_ways.hpp"

namespace omniway::plan {

namespace {

using navdata::AirwayDirection;
using navdata::AirwaySegment;

std::optional<base::Altitude> published(const navdata::PublishedMinimum& minimum) {
    const auto* altitude = std::get_if<base::Altitude>(&minimum);
    return altitude != nullptr ? std::optional(*altitude) : std::nullopt;
}

// Takes the way on from a joint of the airway: segments behind it forward, those before it backward.
AirwayOn along(const navdata::Airway& airway, std::size_t joint, bool forward) {
    AirwayOn on{airway.designator, airway.area_navigation, std::nullopt, {}};
    PointAlong last;
    const std::size_t count = forward ? airway.segments.size() - joint : joint;
    for (std::size_t i = 0; i < count; ++i) {
        const AirwaySegment& segment = airway.segments[forward ? joint + i : joint - 1 - i];
        if (i == 0) {
            on.course = forward                  ? segment.outbound_course
                        : segment.inbound_course ? std::optional(segment.inbound_course->reciprocal())
                                                 : std::nullopt;
        }
        last.point = forward ? segment.to : segment.from;
        last.distance += segment.distance;
        if (const auto here = published(forward ? segment.minimum_forward : segment.minimum_backward)) {
            last.minimum = std::max(last.minimum.value_or(*here), *here);
        }
        last.against_one_way |=
            segment.direction == (forward ? AirwayDirection::backward_only : AirwayDirection::forward_only);
        on.points.push_back(last);
    }
    return on;
}

std::vector<AirwayOn> airways_from(const navdata::Snapshot& world, const std::string& at) {
    const auto is_at = [&](const navdata::Point& point) { return world.ident(point) == at; };
    std::vector<AirwayOn> all;
    for (const navdata::Airway& airway : world.airways()) {
        for (std::size_t joint = 0; joint <= airway.segments.size(); ++joint) {
            const bool here = joint < airway.segments.size() ? is_at(airway.segments[joint].from)
                                                             : is_at(airway.segments.back().to);
            for (const bool forward : {true, false}) {
                if (here && joint != (forward ? airway.segments.size() : 0)) {
                    all.push_back(along(airway, joint, forward));
                }
            }
        }
    }
    return all;
}

std::vector<ProcedureMet> departures_of(const navdata::Snapshot& world, navdata::AirportId airport) {
    std::vector<ProcedureMet> all;
    for (const navdata::Procedure* sid :
         world.procedures_of(world[airport].ident, navdata::ProcedureKind::departure)) {
        for (const navdata::Branch& branch : sid->branches) {
            const auto last = std::find_if(branch.legs.rbegin(), branch.legs.rend(),
                                           [](const navdata::Leg& leg) { return leg.fix.has_value(); });
            if (last == branch.legs.rend() || !navdata::is_conventional_terminal_type(branch.route_type)) {
                continue;
            }
            const auto where = procedure::place_fix(world, *last, sid);
            const bool told = std::any_of(all.begin(), all.end(), [&](const ProcedureMet& each) {
                return where && each.ident == sid->ident && each.where.ident == where->ident;
            });
            if (where && !told) {
                all.push_back({sid->ident, "", sid->ident + " to " + where->ident, *where, ""});
            }
        }
    }
    return all;
}

template <class Way>
ProcedureMet met(const Way& way) {
    ProcedureMet made{way.procedure->ident, way.transition, way.name(), way.entry, ""};
    const auto blocks =
        std::find_if(way.findings.begin(), way.findings.end(),
                     [](const base::Finding& finding) { return finding.grade == base::Grade::blocks; });
    made.why_not = blocks == way.findings.end() ? "" : blocks->text;
    return made;
}

}  // namespace

NextOnRoute next_on_route(const navdata::Snapshot& world, const radio::Ground& ground,
                          const cockpit::Equipment& aboard, const std::string& at, navdata::AirportId from,
                          navdata::AirportId to) {
    NextOnRoute next;
    if (at.empty()) {
        next.departures = departures_of(world, from);
    } else {
        next.airways = airways_from(world, at);
    }
    for (const procedure::ArrivalWay& way : procedure::arrival_ways(world, ground, aboard, to)) {
        next.arrivals.push_back(met(way));
    }
    for (const procedure::ApproachWay& way : procedure::approach_ways(world, ground, aboard, to)) {
        next.approaches.push_back(met(way));
    }
    return next;
}

}  // namespace omniway::plan
