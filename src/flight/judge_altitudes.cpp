#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "flight/altitude_checks.hpp"
#include "flight/climb_overhead.hpp"
#include "flight/detail/judge_rules.hpp"
#include "flight/judge.hpp"
#include "flight/off_airway_minimum.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;

// Source: 14 CFR 91.179 (trade-facts 9.4): below flight level 290 odd thousands for magnetic courses of 0 to 179 degrees, even for
// the others; from 290 every fourth thousand.
bool suits_semicircular_rule(const Circumstances& day, navdata::AirportId from, navdata::AirportId to,
                             Altitude cruise) {
    const earth::Position departure = day.world[from].position;
    const base::MagneticBearing course = base::to_magnetic(earth::bearing(departure, day.world[to].position),
                                                           day.model.variation(departure, day.today));
    const long thousands = std::lround(cruise.feet() / 1000.0);
    const bool eastbound = course.degrees() < 180.0;
    if (thousands >= 29) {
        return eastbound ? (thousands - 29) % 4 == 0 : (thousands - 31) % 4 == 0;
    }
    return (thousands % 2 == 1) == eastbound;
}

namespace detail {
namespace {

constexpr Length margin = Length::feet(1.0);

class Altitudes {
public:
    explicit Altitudes(const JudgedFlight& judged) : judged_(judged), flight_(judged.flight) {}

    Findings result() {
        for (const JudgedLeg& each : judged_.legs) {
            minimum_of_leg(each);
        }
        coded();
        ceiling();
        if (!flight_.begun) {
            semicircular();
        }
        return std::move(findings_);
    }

private:
    void find(Grade grade, std::string code, const JudgedLeg& each, std::string text,
              std::string remedy = {}) {
        findings_.push_back(
            {grade, std::move(code), each.name(), std::move(text), std::move(remedy), each.last_step()});
    }

    // Off the airways the ground is asked again, with the corridor of what really guides: 15 degrees wider on a heading. What the user
    // gave for the leg stands.
    LegMinimum minimum(const Leg& leg) const {
        if (leg.published || leg.minimum.from == MinimumFrom::given_by_user) {
            return leg.minimum;
        }
        const Circumstances& day = judged_.day;
        LegMinimum again =
            off_airway_minimum(day.world, day.ground, day.settings, leg.start, leg.finish, leg.stretches);
        const bool higher = leg.minimum.altitude && again.altitude && *leg.minimum.altitude > *again.altitude;
        return higher ? leg.minimum : again;
    }

    void minimum_of_leg(const JudgedLeg& each) {
        const Leg& leg = *each.leg;
        const bool own_in_procedure = leg.phase == Phase::approach && !leg.published;
        const bool has_minimum =
            leg.phase == Phase::en_route || leg.phase == Phase::arrival || own_in_procedure;
        if (!has_minimum || is_climb_in_hold(leg)) {
            return;
        }
        maximum_of_leg(each);
        level_of_leg(each);
        const LegMinimum least = minimum(leg);
        if (!least.altitude) {
            unknown(each, least);
            return;
        }
        const Altitude at_start = each.altitude_at(Length());
        const Altitude at_end = each.altitude_at_end();
        const Altitude lowest = each.lowest();
        const bool low_on_the_way = lowest + margin < std::min({*least.altitude, at_start, at_end});
        if (at_end + margin < *least.altitude || low_on_the_way) {
            find(Grade::blocks, "altitude.below_minimum", each,
                 fmt::format("{:.0f} ft is flown, its minimum is {:.0f} ft",
                             (low_on_the_way ? lowest : at_end).feet(), least.altitude->feet()));
        } else if (at_start + margin < *least.altitude) {
            // Where an aid stands at its beginning or before it, a climb overhead was put in (flight/climb_overhead.hpp).
            find(Grade::blocks, "altitude.climb_overhead", each,
                 fmt::format("begins at {:.0f} ft in the climb, its minimum is {:.0f} ft, and over no aid "
                             "before it is the rest climbed",
                             at_start.feet(), least.altitude->feet()));
        }
    }

    void maximum_of_leg(const JudgedLeg& each) {
        const Altitude highest = each.highest();
        if (each.leg->maximum && highest > *each.leg->maximum) {
            find(Grade::blocks, "altitude.above_maximum", each,
                 fmt::format("{:.0f} ft is flown, its maximum is {:.0f} ft", highest.feet(),
                             each.leg->maximum->feet()));
        }
    }

    // The climb to a leg's own level ends where the leg begins.
    void level_of_leg(const JudgedLeg& each) {
        if (each.before == nullptr || !each.leg->from) {
            return;
        }
        const Altitude level =
            std::min(level_of(flight_, *each.leg), judged_.day.aircraft.performance.service_ceiling);
        const Altitude at_start = each.altitude_at(Length());
        const bool climbs = level > level_of(flight_, *each.before);
        if (!climbs || at_start + Length::feet(50.0) > level) {
            return;
        }
        const auto& maximum = each.before->maximum;
        const std::string why =
            maximum && *maximum < level
                ? fmt::format("no more than {:.0f} ft is flown before it", maximum->feet())
                : std::string("there is no room for the climb before it");
        find(Grade::warns, "altitude.level_late", each,
             fmt::format("{:.0f} ft is to be flown from {} on, which is crossed at {:.0f} ft: {}",
                         level.feet(), each.leg->from->ident, at_start.feet(), why),
             "an earlier climb");
    }

    // Each level once, in the order in which they are flown.
    void semicircular() {
        std::vector<Altitude> levels{flight_.cruise};
        for (const Leg& leg : flight_.legs) {
            const Altitude level = level_of(flight_, leg);
            if (leg.phase != Phase::approach &&
                std::find(levels.begin(), levels.end(), level) == levels.end()) {
                levels.push_back(level);
            }
        }
        for (const Altitude level : levels) {
            if (!suits_semicircular_rule(judged_.day, flight_.departure, flight_.arrival, level)) {
                findings_.push_back({Grade::notes, "altitude.semicircular",
                                     fmt::format("{:.0f} ft", level.feet()),
                                     "is not a level of the semicircular rule for this direction", ""});
            }
        }
    }

    void unknown(const JudgedLeg& each, const LegMinimum& least) {
        if (least.from == MinimumFrom::published_unknown || each.leg->published) {
            find(Grade::asks, "altitude.minimum_unknown", each, "its minimum altitude is not published",
                 "take it from the chart");
            return;
        }
        std::string text = "no minimum is published off the airways here";
        if (least.ground_unknown) {
            text += ", and the ground is not known under all of it";
        }
        const bool first = !asked_off_airway_;
        asked_off_airway_ = true;
        find(Grade::asks, "altitude.off_airway_minimum", each, std::move(text),
             first ? "--minimum FT gives one" : "");
    }

    // The windows and gradients of coded rows; they name the leg, whose step is looked up by that name.
    void coded() {
        for (Finding& finding :
             altitude_checks(judged_.day.world, judged_.day.aircraft, judged_.day.winds.surface(), flight_)) {
            for (const auto* legs : {&judged_.legs, &judged_.missed}) {
                for (const JudgedLeg& each : *legs) {
                    const std::string end =
                        each.leg->to ? each.leg->to->ident : std::string("the end of its leg");
                    if (finding.about == each.leg->via + " at " + end ||
                        finding.about == each.leg->via + " to " + end ||
                        (each.leg->phase == Phase::missed && finding.about == "missed approach to " + end)) {
                        finding.step = finding.step ? finding.step : each.last_step();
                    }
                }
            }
            findings_.push_back(std::move(finding));
        }
    }

    void ceiling() {
        const Altitude ceiling = judged_.day.aircraft.performance.service_ceiling;
        Altitude highest = highest_level(flight_);
        for (const ProfilePoint& point : flight_.profile) {
            highest = std::max(highest, point.altitude);
        }
        if (highest > ceiling + margin) {
            findings_.push_back(
                {Grade::blocks, "altitude.above_ceiling", judged_.day.aircraft.name,
                 fmt::format("{:.0f} ft is above its ceiling of {:.0f} ft", highest.feet(), ceiling.feet()),
                 ""});
        }
    }

    const JudgedFlight& judged_;
    const Flight& flight_;
    Findings findings_;
    bool asked_off_airway_ = false;
};

}  // namespace

Findings altitude_findings(const JudgedFlight& judged) {
    return Altitudes(judged).result();
}

}  // namespace detail
}  // namespace omniway::flight
