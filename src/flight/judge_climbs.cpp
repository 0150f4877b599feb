#include <algorithm>

#include <fmt/format.h>

#include "flight/detail/judge_rules.hpp"
#include "flight/missed_approach.hpp"
#include "procedure/climb.hpp"
#include "procedure/vertical.hpp"

namespace omniway::flight::detail {

using base::Altitude;
using base::Grade;
using base::Length;

namespace {

class Climbs {
public:
    explicit Climbs(const JudgedFlight& judged)
        : judged_(judged), world_(judged.day.world), flight_(judged.flight) {}

    Findings result() {
        own_departure();
        own_missed();
        return std::move(findings_);
    }

private:
    void find(Grade grade, std::string code, std::string about, std::optional<int> step, std::string text,
              std::string remedy = {}) {
        findings_.push_back(
            {grade, std::move(code), std::move(about), std::move(text), std::move(remedy), step});
    }

    // A published departure has been surveyed; an own one has not.
    void own_departure() {
        if (!flight_.sid.empty()) {
            return;
        }
        if (flight_.begun) {
            goes_on_climbing_out();
            return;
        }
        const navdata::Runway& runway = world_[flight_.departure_runway];
        const std::string about = runway.airport + " " + runway.ident;
        const auto step = judged_.legs.empty() ? std::nullopt : judged_.legs.front().first_step();
        turn_height(about, step);
        climb_gradient(about, step);
        find(Grade::asks, "departure.obstacles", about, step,
             "own departure: straight ahead to 400 ft, then 200 ft/NM at least over a 40:1 surface that "
             "nobody has surveyed for "
             "this plan",
             "an obstacle survey, or the published departure of the airport");
    }

    // Taken up in the climb from the field, the way on is as much of one's own making as an own departure.
    void goes_on_climbing_out() {
        if (flight_.legs.empty() || flight_.legs.front().phase != Phase::departure) {
            return;
        }
        find(Grade::asks, "departure.obstacles", flight_.begun->name, judged_.legs.front().first_step(),
             "the climb goes on by own navigation, 200 ft/NM at least over a 40:1 surface that nobody has "
             "surveyed for this plan",
             "an obstacle survey");
    }

    void climb_gradient(const std::string& about, std::optional<int> step) {
        if (flight_.legs.empty()) {
            return;
        }
        const double gradient = procedure::first_gradient_ft_per_nm(
            {&judged_.day.aircraft.performance, judged_.day.winds.surface()}, flight_.legs.front().track,
            world_[flight_.departure].elevation.value_or(Altitude()));
        if (gradient < procedure::least_climb.feet_per_nautical_mile()) {
            find(Grade::blocks, "departure.climb_too_shallow", about, step,
                 fmt::format("climbs {:.0f} ft/NM in this wind, {:.0f} is the least of any departure",
                             gradient, procedure::least_climb.feet_per_nautical_mile()));
        }
    }

    void turn_height(const std::string& about, std::optional<int> step) {
        const Altitude field = world_[flight_.departure].elevation.value_or(Altitude());
        const auto* first = flight_.legs.empty() || !flight_.legs.front().ending
                                ? nullptr
                                : std::get_if<procedure::AtAltitude>(&*flight_.legs.front().ending);
        if (first != nullptr && first->altitude + Length::feet(1.0) < field + procedure::lowest_turn) {
            find(Grade::blocks, "departure.turn_too_low", about, step,
                 fmt::format("turns at {:.0f} ft, {:.0f} ft above the field: no turn below 400 ft above it",
                             first->altitude.feet(), (first->altitude - field).feet()));
        }
    }

    void own_missed() {
        if (flight_.missed_profile.empty()) {
            return;
        }
        std::vector<Leg> own;
        const JudgedLeg* last = nullptr;
        for (const JudgedLeg& each : judged_.missed) {
            if (!each.leg->published) {
                own.push_back(*each.leg);
                last = &each;
            }
        }
        if (last != nullptr) {
            hold(*last);
            climb(own, last->last_step());
        }
    }

    void hold(const JudgedLeg& each) {
        const Leg& leg = *each.leg;
        const Altitude arriving = each.altitude_at_end();
        const auto* at_hold = leg.ending ? std::get_if<procedure::AtHold>(&*leg.ending) : nullptr;
        const Altitude held =
            at_hold != nullptr && at_hold->altitude ? std::max(arriving, *at_hold->altitude) : arriving;
        if (!leg.minimum.altitude) {
            find(Grade::asks, "missed.minimum_unknown", each.name(), each.last_step(),
                 fmt::format("holds at {:.0f} ft, and neither the ground nor a publication gives a minimum "
                             "there",
                             held.feet()),
                 "--minimum FT gives one");
        } else if (held + Length::feet(1.0) < *leg.minimum.altitude) {
            find(Grade::blocks, "altitude.below_minimum", each.name(), each.last_step(),
                 fmt::format("{:.0f} ft is held, its minimum is {:.0f} ft", held.feet(),
                             leg.minimum.altitude->feet()));
        }
    }

    void climb(const std::vector<Leg>& own, std::optional<int> step) {
        const ClimbOverGround over =
            climb_over_ground(judged_.day.ground.terrain, own, flight_.missed_profile);
        if (over.below) {
            find(Grade::blocks, "missed.too_low", flight_.approach, step,
                 fmt::format("the climb of the own missed approach is at {:.0f} ft {:.1f} NM on, over ground "
                             "of {:.0f} ft",
                             over.below->flown.feet(), over.below->along.nautical_miles(),
                             over.below->ground.feet()));
        }
        find(Grade::asks, "missed.obstacles", flight_.approach, step,
             over.ground_known
                 ? "the climb of the own missed approach clears the ground; what stands on it nobody has "
                   "surveyed for this plan"
                 : "nobody has surveyed ground and obstacles under the climb of the own missed approach for "
                   "this plan",
             "an obstacle survey, or equipment for the published missed approach");
    }

    const JudgedFlight& judged_;
    const navdata::Snapshot& world_;
    const Flight& flight_;
    Findings findings_;
};

}  // namespace

Findings climb_findings(const JudgedFlight& judged) {
    return Climbs(judged).result();
}

}  // namespace omniway::flight::detail
