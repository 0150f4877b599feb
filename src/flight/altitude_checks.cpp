#include "flight/altitude_checks.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "procedure/vertical.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;
using procedure::AltitudeWindow;
using procedure::Gradient;

namespace {

constexpr base::VerticalSpeed stabilised = base::VerticalSpeed::feet_per_minute(1000.0);

std::string end_name(const Leg& leg) {
    return leg.to ? leg.to->ident : std::string("the end of its leg");
}

class Checker {
public:
    Checker(const aircraft::Aircraft& aircraft, const weather::WindsAloft& winds, const Flight& flight)
        : performance_(aircraft.performance), winds_(winds), flight_(flight) {}

    std::vector<Finding> result(const std::string& departure) {
        windows();
        approach_descents();
        least_climb_of_departure(departure);
        missed_approach();
        if (flight_.final_approach) {
            for (Finding& finding : procedure::findings_of(*flight_.final_approach, flight_.approach)) {
                findings_.push_back(std::move(finding));
            }
        }
        return std::move(findings_);
    }

private:
    void find(Grade grade, std::string code, std::string about, std::string text, std::string remedy) {
        findings_.push_back({grade, std::move(code), std::move(about), std::move(text), std::move(remedy)});
    }

    void windows() {
        Length along;
        bool entered = false;
        for (const Leg& leg : flight_.legs) {
            if (leg.phase == Phase::approach && !entered) {
                entered = true;
                if (flight_.approach_entry != nullptr && leg.from) {
                    window(*flight_.approach_entry, leg.via, leg.from->ident, along);
                }
            }
            along += leg.length;
            if (leg.coded != nullptr && !is_reached_in_the_climb(leg, along)) {
                window(*leg.coded, leg.via, end_name(leg), along);
            }
        }
    }

    // A leg to an altitude ends where that is reached, wherever the wind puts it. Elsewhere in a departure the profile, drawn in
    // steps of 500 ft, may lie a little under the climb by which the departure was laid out (procedure/departure_ways.hpp).
    bool is_reached_in_the_climb(const Leg& leg, Length along) const {
        const auto lowest = procedure::window_of(*leg.coded).at_or_above;
        const Altitude flown = flight_.altitude_at(along);
        const bool climbing = flight_.altitude_at(along + Length::nautical_miles(0.1)) > flown;
        if (leg.phase != Phase::departure || !climbing || !lowest) {
            return false;
        }
        const bool to_an_altitude = leg.ending && std::holds_alternative<procedure::AtAltitude>(*leg.ending);
        return to_an_altitude || *lowest - flown < Length::feet(50.0);
    }

    void window(const navdata::Leg& coded, const std::string& via, const std::string& where, Length along) {
        // What is coded there is the height over the threshold, not a minimum.
        if (coded.is_missed_approach_point()) {
            return;
        }
        const AltitudeWindow window = procedure::window_of(coded);
        const Altitude flown = flight_.altitude_at(along);
        if (window.holds(flown)) {
            return;
        }
        const bool low = window.at_or_above && flown < *window.at_or_above;
        const Altitude bound = low ? *window.at_or_above : *window.at_or_below;
        find(low ? Grade::blocks : Grade::warns, "altitude.constraint_missed", via + " at " + where,
             fmt::format("is crossed at {:.0f} ft, {} {:.0f} ft is asked: {:.0f} ft too {}", flown.feet(),
                         low ? "at or above" : "at or below", bound.feet(), abs(flown - bound).feet(),
                         low ? "low" : "high"),
             low ? "a climb overhead before it, or another way"
                 : "an earlier descent, or one in a hold before it");
    }

    // Midway between the speed of the descent and the one over the threshold, as the card flies it.
    std::optional<base::Speed> approach_groundspeed(const Leg& leg, Altitude altitude) const {
        const base::Speed airspeed = (aircraft::true_airspeed_descent(performance_, altitude) +
                                      aircraft::true_airspeed_approach(performance_, altitude)) *
                                     0.5;
        const auto held = aircraft::hold_course(leg.track, airspeed, winds_.at(altitude));
        return held ? std::optional(held->groundspeed) : std::nullopt;
    }

    void approach_descents() {
        Length along;
        for (const Leg& leg : flight_.legs) {
            const Altitude high = flight_.altitude_at(along);
            const Altitude low = flight_.altitude_at(along + leg.length);
            along += leg.length;
            if (leg.phase != Phase::approach || leg.length <= Length() || low >= high) {
                continue;
            }
            const auto groundspeed = approach_groundspeed(leg, high);
            if (!groundspeed) {
                continue;
            }
            const Gradient gradient = Gradient::of(high - low, leg.length);
            const base::VerticalSpeed rate = procedure::vertical_speed(gradient, *groundspeed);
            const base::VerticalSpeed limit = std::max(performance_.descent.rate, stabilised);
            if (rate > limit) {
                // All that any can be brought to. Common practice, no source.
                const base::VerticalSpeed most =
                    std::max(performance_.descent.rate * 2.0, base::VerticalSpeed::feet_per_minute(2500.0));
                const bool refused = rate > most;
                find(refused ? Grade::blocks : Grade::warns, "altitude.descent_too_steep",
                     leg.via + " to " + end_name(leg),
                     fmt::format(
                         "{:.0f} to {:.0f} ft in {:.1f} NM is {:.0f} ft/NM: {:.0f} ft/min at {:.0f} kt, "
                         "{:.0f} ft/min at most",
                         high.feet(), low.feet(), leg.length.nautical_miles(),
                         gradient.feet_per_nautical_mile(), rate.feet_per_minute(), groundspeed->knots(),
                         (refused ? most : limit).feet_per_minute()),
                     "a slower approach, an earlier descent, or a lower level to come from");
            }
        }
    }

    Gradient climbed(base::TrueBearing track, Altitude altitude) const {
        const Altitude within = std::min(altitude, performance_.service_ceiling);
        const auto held = aircraft::hold_course(track, aircraft::true_airspeed_climb(performance_, within),
                                                winds_.at(within));
        // Where no heading holds the track the wind is judged elsewhere.
        return held ? procedure::gradient_of(aircraft::climb_rate(performance_, within), held->groundspeed)
                    : procedure::least_climb;
    }

    void least_climb(const std::string& code, const std::string& about, base::TrueBearing track,
                     Altitude altitude) {
        const Gradient can = climbed(track, altitude);
        if (can < procedure::least_climb) {
            find(Grade::blocks, code, about,
                 fmt::format("climbs {:.0f} ft/NM at {:.0f} ft in this wind, 200 ft/NM is the least",
                             can.feet_per_nautical_mile(), altitude.feet()),
                 "less weight, or less wind behind");
        }
    }

    void least_climb_of_departure(const std::string& departure) {
        if (!flight_.legs.empty() && !flight_.profile.empty()) {
            least_climb("altitude.departure_climb", departure, flight_.legs.front().track,
                        flight_.profile.front().altitude);
        }
    }

    void missed_approach() {
        if (flight_.missed.empty() || flight_.profile.empty()) {
            return;
        }
        Altitude reached = flight_.profile.back().altitude;
        for (std::size_t i = 0; i < flight_.missed.size(); ++i) {
            const Leg& leg = flight_.missed[i];
            const std::string about = "missed approach to " + end_name(leg);
            if (leg.coded == nullptr ||
                (leg.ending && std::holds_alternative<procedure::AtHold>(*leg.ending))) {
                continue;  // in a hold one climbs as long as it takes
            }
            const auto floor = procedure::window_of(*leg.coded).at_or_above;
            const Altitude higher = floor ? std::max(*floor, reached) : reached;
            if (climbed(leg.track, higher) < procedure::least_climb) {
                least_climb("altitude.missed_climb", about, leg.track, higher);
                return;
            }
            if (leg.ending && std::holds_alternative<procedure::AtAltitude>(*leg.ending)) {
                reached = higher;
                continue;
            }
            const Altitude before = reached;
            reached = climb_over(leg, reached);
            if (floor && reached < *floor) {
                crossing_too_high(i, about, before, *floor, reached);
                reached = *floor;
            }
        }
    }

    Altitude climb_over(const Leg& leg, Altitude altitude) const {
        constexpr int pieces = 20;
        for (int i = 0; i < pieces; ++i) {
            altitude = altitude + climbed(leg.track, altitude).over(leg.length / pieces);
        }
        return std::min(altitude, performance_.service_ceiling);
    }

    void crossing_too_high(std::size_t i, const std::string& about, Altitude before, Altitude floor,
                           Altitude reached) {
        const Leg& leg = flight_.missed[i];
        const bool hold_follows = i + 1 < flight_.missed.size() && flight_.missed[i + 1].ending &&
                                  std::holds_alternative<procedure::AtHold>(*flight_.missed[i + 1].ending);
        const std::string needed =
            leg.length > Length()
                ? fmt::format("{:.0f} ft/NM from {:.0f} ft",
                              Gradient::of(floor - before, leg.length).feet_per_nautical_mile(),
                              before.feet())
                : std::string("a climb on the spot");
        find(hold_follows ? Grade::notes : Grade::blocks, "altitude.missed_crossing", about,
             fmt::format(
                 "{:.0f} ft is asked there, {}; {:.0f} ft is reached in this wind: {:.0f} ft too low{}",
                 floor.feet(), needed, reached.feet(), (floor - reached).feet(),
                 hold_follows ? ", and the climb goes on in the hold" : ""),
             hold_follows ? "" : "an aircraft that climbs better, or another approach");
    }

    const aircraft::Performance& performance_;
    const weather::WindsAloft& winds_;
    const Flight& flight_;
    std::vector<Finding> findings_;
};

}  // namespace

std::vector<Finding> altitude_checks(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
                                     const weather::WindsAloft& winds, const Flight& flight) {
    const navdata::Runway& runway = world[flight.departure_runway];
    return Checker(aircraft, winds, flight).result(runway.airport + " " + runway.ident);
}

}  // namespace omniway::flight
