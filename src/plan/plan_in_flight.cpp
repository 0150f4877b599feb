#include "plan/plan_in_flight.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earth/geodesic.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using flight::Leg;

namespace {

constexpr Length at_the_fix = Length::nautical_miles(0.3);
// An altimeter is held to 100 ft.
constexpr Length held_within = Length::feet(100.0);

// "XKE", "4 NM before XKE", "12 NM after XDV".
std::string name_of(const Leg& leg, Length into) {
    const Length to_go = leg.length - into;
    if (leg.to && to_go < at_the_fix) {
        return leg.to->ident;
    }
    if (leg.from && !leg.from->ident.empty() && into < at_the_fix) {
        return leg.from->ident;
    }
    if (leg.to && !leg.to->ident.empty() && (to_go < into || !leg.from || leg.from->ident.empty())) {
        return fmt::format("{:.0f} NM before {}", std::max(1.0, to_go.nautical_miles()), leg.to->ident);
    }
    if (leg.from && !leg.from->ident.empty()) {
        return fmt::format("{:.0f} NM after {}", std::max(1.0, into.nautical_miles()), leg.from->ident);
    }
    return leg.via;
}

Altitude whole_thousand_above(Altitude altitude) {
    return Altitude::feet(std::ceil((altitude - held_within).feet() / 1000.0) * 1000.0);
}

// Who goes on to the destination climbs on to the level planned; who lands elsewhere climbs no higher than needs be.
std::vector<Altitude> levels(const InFlight& now, Altitude ceiling, bool as_planned_first) {
    const Altitude present = std::max(whole_thousand_above(now.at.altitude), Altitude::feet(1000.0));
    std::vector<Altitude> all;
    for (const double higher_ft : {0.0, 1000.0, 2000.0, 4000.0}) {
        all.push_back(present + Length::feet(higher_ft));
    }
    if (now.level && *now.level >= now.at.altitude) {
        all.insert(as_planned_first ? all.begin() : all.end(), *now.level);
    }
    std::vector<Altitude> kept;
    for (const Altitude level : all) {
        if (level <= ceiling && std::find(kept.begin(), kept.end(), level) == kept.end()) {
            kept.push_back(level);
        }
    }
    return kept.empty() ? std::vector{now.at.altitude} : kept;
}

}  // namespace

InFlight present_at(const Request& request, const Option& option, Length along) {
    const flight::Flight& flight = option.flight;
    InFlight now;
    Length begin;
    for (const Leg& leg : flight.legs) {
        const bool last = &leg == &flight.legs.back();
        if (along <= begin + leg.length || last) {
            const Length into = std::clamp(along - begin, Length(), leg.length);
            now.at.name = name_of(leg, into);
            // An arc or a reversal is not on the line from its start: its ends are.
            const bool straight =
                std::abs((earth::distance(leg.start, leg.finish) - leg.length).nautical_miles()) < 0.1;
            now.at.place = straight                  ? earth::destination(leg.start, leg.track, into)
                           : into * 2.0 < leg.length ? leg.start
                                                     : leg.finish;
            now.climbing_out = leg.phase == flight::Phase::departure;
            break;
        }
        begin += leg.length;
    }
    now.at.altitude = flight.altitude_at(along);
    // What still climbs goes on climbing; what has begun its descent stays where it is.
    const bool climbs_yet =
        std::any_of(flight.profile.begin(), flight.profile.end(), [&](const flight::ProfilePoint& point) {
            return point.along > along && point.altitude > now.at.altitude + held_within;
        });
    if (climbs_yet) {
        now.level = flight.cruise;
    }
    now.fuel = request.aircraft.fuel.usable - request.aircraft.fuel.taxi;
    Length flown;
    for (const flight::TrackStep& step : option.compiled.track.steps) {
        const double share = step.length > Length() ? std::clamp((along - flown) / step.length, 0.0, 1.0)
                                                    : (flown < along ? 1.0 : 0.0);
        now.fuel -= step.fuel * share;
        flown += step.length;
    }
    return now;
}

Answer plan_in_flight(const navdata::Snapshot& world, const radio::Ground& ground,
                      const earth::MagneticModel& model, const Request& request, const InFlight& now,
                      navdata::AirportId to) {
    routing::Roads roads(world);
    return plan_in_flight(world, ground, model, request, now, to, roads);
}

Answer plan_in_flight(const navdata::Snapshot& world, const radio::Ground& ground,
                      const earth::MagneticModel& model, const Request& request, const InFlight& now,
                      navdata::AirportId to, routing::Roads& roads) {
    Request asked = request;
    asked.to = to;
    asked.in_flight = now;
    asked.departure.reset();
    asked.arrival.reset();
    asked.departure_runway.reset();
    asked.landing_runway.reset();
    asked.approach.reset();
    asked.approach_transition.reset();
    asked.choice = 1;
    asked.most_lifts = 0;
    asked.alternate_fuel.reset();
    asked.most_choices = 1;
    asked.constraints.via.clear();
    asked.aircraft.fuel.usable = now.fuel;
    asked.aircraft.fuel.taxi = base::Mass();
    asked.aircraft.fuel.reserve = base::Duration(0.0);
    std::optional<Answer> first;
    const Altitude ceiling = request.aircraft.performance.service_ceiling;
    const Altitude highest = std::min(ceiling, request.constraints.highest.value_or(ceiling));
    for (const Altitude level : levels(now, highest, to == request.to)) {
        asked.cruise = level;
        Answer answer = plan(world, ground, model, asked, roads);
        if (answer.verdict != base::Verdict::not_flyable) {
            return answer;
        }
        if (!first) {
            first = std::move(answer);
        }
    }
    return std::move(*first);
}

std::string why_no_flight(const Answer& answer) {
    const auto of_code = [&](std::string_view prefix) {
        return std::find_if(answer.findings.begin(), answer.findings.end(), [&](const base::Finding& each) {
            return each.grade == base::Grade::blocks && each.code.starts_with(prefix);
        });
    };
    const auto none = answer.findings.end();
    if (const auto found = of_code("in_flight."); found != none) {
        return found->text;
    }
    if (const auto found = of_code("route.none"); found != none) {
        // What asks of the way, or of its end, tells more than an airway somewhere on it.
        for (const std::string_view nearest : {"constraint.", "entry."}) {
            if (const auto why = of_code(nearest); why != none) {
                return found->text + "; " + why->about + ": " + why->text;
            }
        }
        return found->text;
    }
    const auto blocks = of_code("");
    if (blocks == none) {
        return "no way leads there";
    }
    const std::string at = answer.option ? fmt::format("{} at {:.0f} ft, ",
                                                       answer.option->flight.approach.empty()
                                                           ? std::string("without an approach")
                                                           : "by " + answer.option->flight.approach,
                                                       answer.option->flight.cruise.feet())
                                         : std::string();
    return at + blocks->about + ": " + blocks->text;
}

Length by_heading(const flight::Flight& flight) {
    Length total;
    for (const Leg& leg : flight.legs) {
        for (const flight::Stretch& stretch : leg.stretches) {
            if (std::holds_alternative<procedure::OnHeading>(stretch.guidance)) {
                total += stretch.to - stretch.from;
            }
        }
    }
    return total;
}

}  // namespace omniway::plan
