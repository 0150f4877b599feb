#include "plan/departure_choice.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "earth/same_place.hpp"
#include "flight/en_route.hpp"
#include "flight/off_airway_minimum.hpp"
#include "plan/approach_choice.hpp"
#include "procedure/arrival_ways.hpp"
#include "procedure/departure_ways.hpp"
#include "procedure/vertical.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;
using flight::Leg;

namespace {

// Farther than this no instructor would call it joining. Common practice, no source.
constexpr Length farthest_join = Length::nautical_miles(40.0);

Leg published_leg(const procedure::PlacedLeg& placed, const std::string& via, flight::Phase phase) {
    Leg leg = leg_of(placed, via, phase);
    leg.minimum.altitude.reset();  // departures and arrivals have minimums of their own reckoning
    // Round an arc the track turns; along a line it is the geodesic's own at the end.
    if (const auto* arc = std::get_if<procedure::OnArc>(&placed.guidance)) {
        leg.arrival =
            placed.track + base::Angle::radians(placed.length / arc->radius) * (arc->clockwise ? 1.0 : -1.0);
    } else if (earth::distance(placed.start, placed.finish) > earth::same_place) {
        leg.arrival = earth::geodesic(placed.start, placed.finish).arrival;
    }
    return leg;
}

std::string first_reason(const std::vector<Finding>& findings) {
    const auto first = std::find_if(findings.begin(), findings.end(),
                                    [](const Finding& f) { return f.grade == Grade::blocks; });
    return first == findings.end() ? std::string() : first->text;
}

std::optional<procedure::TakeOff> take_off_of(const navdata::Snapshot& world, const Request& request,
                                              const flight::RunwayFit& fit) {
    if (!fit.direction) {
        return std::nullopt;
    }
    const navdata::Runway& runway = world[fit.runway];
    const navdata::Airport& airport = world[request.from];
    return procedure::TakeOff{fit.runway,
                              runway.far_end     ? *runway.far_end
                              : runway.threshold ? *runway.threshold
                                                 : airport.position,
                              *fit.direction,
                              airport.elevation.value_or(Altitude()),
                              {&request.aircraft.performance, request.winds}};
}

routing::Chain start_of(const procedure::DepartureWay& way, Length extra) {
    routing::Chain chain;
    for (const procedure::PlacedLeg& placed : way.legs) {
        chain.legs.push_back(published_leg(placed, way.procedure->ident, flight::Phase::departure));
        // What is coded at or below is no minimum.
        if (placed.coded != nullptr) {
            chain.legs.back().minimum.altitude = procedure::window_of(*placed.coded).at_or_above;
        }
    }
    chain.extra = extra;
    return chain;
}

// The first constraint that a procedure does not keep to, told of the procedure.
std::optional<Finding> broken_constraint(const navdata::Snapshot& world, const Request& request,
                                         const std::vector<Leg>& legs, const std::string& about) {
    for (const Leg& leg : legs) {
        if (auto broken = routing::broken_by(request.constraints, world, leg)) {
            broken->text = "its leg" + broken->about.substr(leg.via.size()) + " " + broken->text;
            broken->about = about;
            return broken;
        }
    }
    return std::nullopt;
}

class ArrivalChooser {
public:
    ArrivalChooser(const navdata::Snapshot& world, const radio::Ground& ground, const Request& request,
                   const std::vector<routing::Entry>& entries)
        : world_(world), ground_(ground), request_(request), entries_(entries) {}

    Arrivals result() {
        for (const procedure::ArrivalWay& way : procedure::arrival_ways(
                 world_, ground_, request_.aircraft.equipment, request_.to, request_.settings.criteria)) {
            const bool asked = !request_.arrival || *request_.arrival == way.procedure->ident;
            const std::string why_not = !way.flyable() ? first_reason(way.findings)
                                        : asked        ? use(way)
                                                       : std::string("another arrival was asked for");
            arrivals_.considered.push_back({way.name(), why_not.empty(), why_not});
        }
        return std::move(arrivals_);
    }

private:
    // Adds what of it leads on to an approach; else says why it is not used.
    std::string use(const procedure::ArrivalWay& way) {
        const std::vector<Leg> legs = legs_of(way);
        bool used = false;
        std::optional<Finding> broken;
        for (std::size_t i = 0; i < legs.size(); ++i) {
            broken =
                broken_constraint(world_, request_, {legs[i]}, world_[request_.to].ident + " " + way.name());
            if (broken) {
                break;
            }
            const bool at_entry = legs[i].to && is_entry(*legs[i].to);
            const bool at_end = i + 1 == legs.size();
            if (at_entry || (at_end && joins(way.end))) {
                add(way, {legs.begin(), legs.begin() + static_cast<std::ptrdiff_t>(i) + 1});
                used = true;
            }
        }
        if (broken) {
            arrivals_.refused.push_back(*broken);
        }
        return used     ? std::string()
               : broken ? broken->text
                        : fmt::format(
                              "{} {}, which begins no approach that can be flown, and no leg leads from "
                              "there to one that does",
                              way.ends_in_vectors ? "radar vectors follow" : "ends at", way.end.ident);
    }

    void add(const procedure::ArrivalWay& way, std::vector<Leg> legs) {
        arrivals_.chains.push_back({std::move(legs), Length()});
        arrivals_.stars.push_back(way.procedure->ident);
        arrivals_.findings.push_back(way.findings);
    }

    bool is_entry(const procedure::PlacedFix& fix) const {
        return std::any_of(entries_.begin(), entries_.end(), [&](const routing::Entry& entry) {
            return earth::distance(entry.fix.position, fix.position) < earth::same_place;
        });
    }

    // Whether a legal leg leads from there to an entry: what the search will find again at its altitude.
    bool joins(const procedure::PlacedFix& end) const {
        const Altitude field = world_[request_.to].elevation.value_or(Altitude());
        for (const Altitude altitude :
             {request_.cruise.value_or(field + Length::feet(6000.0)), field + Length::feet(3000.0)}) {
            for (const routing::Entry& entry : entries_) {
                const earth::Geodesic line = earth::geodesic(end.position, entry.fix.position);
                if (line.distance > farthest_join || line.distance < earth::same_place) {
                    continue;
                }
                const bool turns_too_far =
                    !entry.any_direction && abs(entry.first_track - line.arrival) > entry.largest_turn;
                if (!turns_too_far &&
                    flight::direct_leg(world_, ground_, request_.aircraft.equipment, request_.settings, end,
                                       entry.fix, altitude, groundspeed(line.initial, altitude))
                        .leg) {
                    return true;
                }
            }
        }
        return false;
    }

    base::Speed groundspeed(base::TrueBearing track, Altitude altitude) const {
        const auto held = aircraft::hold_course(
            track, aircraft::true_airspeed_cruise(request_.aircraft.performance, altitude),
            request_.winds.at(altitude));
        return held ? held->groundspeed : base::Speed::knots(1.0);
    }

    std::vector<Leg> legs_of(const procedure::ArrivalWay& way) const {
        std::vector<Leg> legs;
        for (const procedure::PlacedLeg& placed : way.legs) {
            Leg leg = published_leg(placed, way.procedure->ident, flight::Phase::arrival);
            if (legs.empty() && !leg.from) {
                leg.from = way.entry;
            }
            leg.minimum = minimum_of(leg);
            legs.push_back(std::move(leg));
        }
        return legs;
    }

    // What its rows say; where they say nothing, as off the airways.
    flight::LegMinimum minimum_of(const Leg& leg) const {
        using navdata::AltitudeRule;
        const AltitudeRule rule = leg.coded->altitude_rule;
        const bool from_second = rule == AltitudeRule::between || rule == AltitudeRule::at_or_above_second;
        const bool binds_below = from_second || rule == AltitudeRule::at || rule == AltitudeRule::at_or_above;
        const auto coded = from_second ? leg.coded->altitude_2 : leg.coded->altitude_1;
        if (binds_below && coded) {
            return {flight::MinimumFrom::coded_procedure, coded};
        }
        return flight::off_airway_minimum(world_, ground_, request_.settings, leg.start, leg.finish,
                                          leg.stretches);
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const Request& request_;
    const std::vector<routing::Entry>& entries_;
    Arrivals arrivals_;
};

}  // namespace

Departures choose_departures(const navdata::Snapshot& world, const radio::Ground& ground,
                             const Request& request, const std::vector<flight::RunwayFit>& runways) {
    Departures departures;
    departures.own_departure = !request.departure || *request.departure == own_departure;
    bool first = true;
    for (const flight::RunwayFit& fit : runways) {
        const auto take_off = fit.fits() ? take_off_of(world, request, fit) : std::nullopt;
        if (first && take_off) {
            departures.straight_ahead = flight::straight_ahead(*take_off);
        }
        first = false;
        if (!take_off || (request.departure && departures.own_departure)) {
            continue;
        }
        const Length extra = Length::nautical_miles(
            0.3 * std::max(0.0, runways.front().headwind.knots() - fit.headwind.knots()));
        for (const procedure::DepartureWay& way :
             procedure::departure_ways(world, ground, request.aircraft.equipment, request.from, *take_off,
                                       request.settings.criteria)) {
            const bool asked = !request.departure || *request.departure == way.procedure->ident;
            std::string why_not = !way.flyable() ? first_reason(way.findings)
                                  : asked        ? std::string()
                                                 : std::string("another departure was asked for");
            routing::Chain start = why_not.empty() ? start_of(way, extra) : routing::Chain();
            const std::string name = fmt::format("{} {}", world[fit.runway].ident, way.name());
            if (auto broken =
                    broken_constraint(world, request, start.legs, world[request.from].ident + " " + name)) {
                why_not = broken->text;
                departures.refused.push_back(std::move(*broken));
            }
            departures.considered.push_back({name, why_not.empty(), why_not});
            if (why_not.empty()) {
                departures.chains.push_back(std::move(start));
                departures.starts.push_back({way.procedure->ident, fit, way.findings});
            }
        }
    }
    return departures;
}

Arrivals choose_arrivals(const navdata::Snapshot& world, const radio::Ground& ground, const Request& request,
                         const std::vector<routing::Entry>& entries) {
    if (request.arrival && *request.arrival == no_arrival) {
        return {};
    }
    return ArrivalChooser(world, ground, request, entries).result();
}

}  // namespace omniway::plan
