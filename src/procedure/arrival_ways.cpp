#include "procedure/arrival_ways.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "procedure/airport_variation.hpp"
#include "procedure/detail/terminal_route.hpp"

namespace omniway::procedure {

using base::Finding;
using base::Grade;
using detail::LegList;
using navdata::Branch;
using navdata::Leg;
using navdata::PathTerminator;

namespace {

class Surveyor {
public:
    Surveyor(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
             navdata::AirportId airport, radio::Criteria criteria)
        : world_(world), ground_(ground), aboard_(aboard), airport_(world[airport]), criteria_(criteria) {}

    void consider(const navdata::Procedure& procedure, std::vector<ArrivalWay>& ways) const {
        ArrivalWay way;
        way.procedure = &procedure;
        const std::string why = detail::not_conventional(procedure);
        if (!why.empty()) {
            block(way, "area_navigation", why, "");
            ways.push_back(std::move(way));
            return;
        }
        const std::vector<const Branch*> transitions = parts(procedure, '1');
        const std::vector<const Branch*> common = parts(procedure, '2');
        const std::vector<const Branch*> runways = parts(procedure, '3');
        // A part that is absent is stood for by an empty one, so that every combination is one loop.
        for (const Branch* transition : or_none(transitions, !common.empty() || !runways.empty())) {
            for (const Branch* shared : or_none(common, common.empty())) {
                for (const Branch* runway : or_none(runways, runways.empty())) {
                    const std::vector<const Branch*> all{transition, shared, runway};
                    ways.push_back(way_of(procedure, all));
                }
            }
        }
    }

private:
    static std::vector<const Branch*> parts(const navdata::Procedure& procedure, char route_type) {
        std::vector<const Branch*> found;
        for (const Branch& branch : procedure.branches) {
            if (branch.route_type == route_type && !branch.legs.empty()) {
                found.push_back(&branch);
            }
        }
        return found;
    }

    static std::vector<const Branch*> or_none(std::vector<const Branch*> found, bool none_too) {
        if (none_too) {
            found.push_back(nullptr);
        }
        return found;
    }

    std::string about(const ArrivalWay& way) const {
        return fmt::format("{} {}", airport_.ident, way.name());
    }

    void block(ArrivalWay& way, const std::string& code, const std::string& why,
               const std::string& remedy) const {
        way.findings.push_back({Grade::blocks, "arrival." + code, about(way), why, remedy});
    }

    ArrivalWay way_of(const navdata::Procedure& procedure, const std::vector<const Branch*>& parts) const {
        ArrivalWay way;
        way.procedure = &procedure;
        if (parts[0] != nullptr) {
            way.transition = parts[0]->transition;
        }
        for (const Branch* part : {parts[1], parts[2]}) {
            if (part != nullptr && part->transition.starts_with("RW")) {
                way.runway = part->transition;
            }
        }
        LegList legs;
        for (const Branch* part : parts) {
            if (part == nullptr) {
                continue;
            }
            if (const auto missing = detail::missing_sequence(*part)) {
                block(way, "not_whole", fmt::format("leg {:03} of it is not in the data", *missing),
                      "import the whole procedure");
                return way;
            }
            legs = detail::joined(std::move(legs), detail::legs_of(*part));
        }
        place(way, std::move(legs));
        return way;
    }

    void place(ArrivalWay& way, LegList legs) const {
        const auto vectors = std::find_if(legs.begin(), legs.end(), [](const Leg* leg) {
            return detail::ends_in_vectors(leg->terminator);
        });
        if (vectors != legs.end()) {
            const bool goes_on =
                std::any_of(vectors + 1, legs.end(), [](const Leg* leg) { return leg->fix.has_value(); });
            if (goes_on) {
                block(way, "vectors_between",
                      fmt::format("leg {:03} {} leads to the next fix on radar vectors", (*vectors)->sequence,
                                  navdata::to_text((*vectors)->terminator)),
                      "");
                return;
            }
            way.ends_in_vectors = true;
            legs.erase(vectors, legs.end());
        }
        while (!legs.empty() && !legs.back()->fix) {
            legs.pop_back();
        }
        if (legs.size() < 2 || legs.front()->terminator != PathTerminator::IF) {
            block(way, "no_legs",
                  legs.size() < 2 ? "leads from no fix to another" : "does not begin at a fix of its own",
                  "");
            return;
        }
        PathContext context;
        context.name = about(way);
        context.variation = variation_of(world_, airport_).value_or(base::Variation());
        context.airport_elevation = airport_.elevation.value_or(base::Altitude());
        context.start = airport_.position;
        context.procedure = way.procedure;
        context.criteria = criteria_;
        PlacedPath path = place_legs(world_, ground_, aboard_, legs, context);
        way.findings.insert(way.findings.end(), path.findings.begin(), path.findings.end());
        if (!path.flyable()) {
            return;
        }
        way.entry = *path.legs.front().to;
        way.legs.assign(path.legs.begin() + 1, path.legs.end());
        way.first_track = way.legs.front().track;
        way.end = *way.legs.back().to;
        for (const PlacedLeg& leg : way.legs) {
            way.length += leg.length;
        }
        if (way.ends_in_vectors) {
            way.findings.push_back(
                {Grade::notes, "arrival.vectors_left_out", context.name,
                 fmt::format("radar vectors follow {} in the publication: own navigation from there",
                             way.end.ident),
                 ""});
        }
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const cockpit::Equipment& aboard_;
    const navdata::Airport& airport_;
    radio::Criteria criteria_;
};

}  // namespace

bool ArrivalWay::flyable() const {
    return base::verdict_of(findings) != base::Verdict::not_flyable;
}

std::string ArrivalWay::name() const {
    return procedure->ident + (transition.empty() ? "" : " via " + transition) +
           (runway.empty() ? "" : " " + runway);
}

std::vector<ArrivalWay> arrival_ways(const navdata::Snapshot& world, const radio::Ground& ground,
                                     const cockpit::Equipment& aboard, navdata::AirportId airport,
                                     radio::Criteria criteria) {
    std::vector<ArrivalWay> ways;
    const Surveyor surveyor(world, ground, aboard, airport, criteria);
    for (const navdata::Procedure* procedure :
         world.procedures_of(world[airport].ident, navdata::ProcedureKind::arrival)) {
        surveyor.consider(*procedure, ways);
    }
    return ways;
}

}  // namespace omniway::procedure
