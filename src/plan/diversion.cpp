#include "plan/diversion.hpp"

#include <algorithm>
#include <limits>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "flight/name_of_aid.hpp"
#include "flight/runway_choice.hpp"

namespace omniway::plan {

using base::Length;
using navdata::AirportId;

namespace {

constexpr Length overhead_within = Length::nautical_miles(5.0);

class Finder {
public:
    Finder(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
           const Request& request, const InFlight& now, const DiversionQuestion& question)
        : world_(world),
          ground_(ground),
          model_(model),
          request_(request),
          now_(now),
          question_(question),
          roads_(world) {}

    Diversions result(const base::Progress& progress) {
        found_.from = now_;
        const auto near = by_distance();
        std::size_t planned = 0;
        std::size_t i = 0;
        for (; i < near.size() && with_approach() < question_.most && planned < question_.most_looked_at;
             ++i) {
            if (progress.cancelled()) {
                found_.cancelled = true;
                break;
            }
            const auto [direct, airport] = near[i];
            progress.at("looking at " + world_[airport].ident,
                        static_cast<double>(with_approach()) / static_cast<double>(question_.most));
            if (auto why = refused_at_once(airport, direct)) {
                found_.refused.push_back({airport, direct, std::move(*why)});
                continue;
            }
            ++planned;
            fly_to(airport, direct);
        }
        found_.not_looked_at = near.size() - i;
        rank();
        return std::move(found_);
    }

private:
    std::vector<std::pair<Length, AirportId>> by_distance() const {
        std::vector<std::pair<Length, AirportId>> all;
        for (const AirportId airport : question_.airports) {
            all.emplace_back(earth::distance(now_.at.place, world_[airport].position), airport);
        }
        std::sort(all.begin(), all.end());
        return all;
    }

    // What needs no flight to be seen.
    std::optional<std::string> refused_at_once(AirportId airport, Length direct) const {
        const auto& ident = world_[airport].ident;
        const auto runways =
            flight::rank_runways(world_, request_.aircraft, request_.winds.surface(), airport, false);
        if (runways.empty()) {
            return "no runway of it is in the data";
        }
        if (!runways.front().fits()) {
            const auto& findings = runways.front().findings;
            return findings.empty() ? "no runway of it fits"
                                    : findings.front().about + ": " + findings.front().text;
        }
        if (world_.approaches_of(ident).empty() &&
            world_.stations_within(world_[airport].position, overhead_within).empty()) {
            return "has no approach in the data, and no VOR or NDB to arrive over";
        }
        const auto speed = aircraft::true_airspeed_cruise(request_.aircraft.performance, now_.at.altitude) +
                           request_.winds.at(now_.at.altitude).speed;
        if (const base::MassFlow flow =
                aircraft::fuel_flow_cruise(request_.aircraft.performance, now_.at.altitude);
            now_.fuel < flow * (direct / speed)) {
            return fmt::format("{:.0f} NM are beyond what {:.0f} lb of fuel reach", direct.nautical_miles(),
                               now_.fuel.pounds());
        }
        return std::nullopt;
    }

    void fly_to(AirportId airport, Length direct) {
        Answer answer = plan_in_flight(world_, ground_, model_, request_, now_, airport, roads_);
        if (answer.verdict == base::Verdict::not_flyable || !answer.option) {
            found_.refused.push_back({airport, direct, why_no_flight(answer)});
            return;
        }
        Diversion made;
        made.airport = airport;
        made.direct = direct;
        made.option = std::move(*answer.option);
        const flight::FlightTrack& track = made.option.compiled.track;
        made.time = track.time;
        made.fuel_left = now_.fuel - track.fuel;
        made.reserve = aircraft::reserve_fuel(request_.aircraft, made.option.flight.cruise);
        made.minima_known = made.option.flight.minimum.has_value();
        made.first = first_on_the_radios(world_, made.option);
        found_.ranked.push_back(std::move(made));
    }

    std::size_t with_approach() const {
        return static_cast<std::size_t>(
            std::count_if(found_.ranked.begin(), found_.ranked.end(),
                          [](const Diversion& each) { return !each.option.flight.approach.empty(); }));
    }

    // In weather that is not known an approach comes before the time.
    void rank() {
        const auto key = [](const Diversion& each) {
            return std::pair(each.option.flight.approach.empty(),
                             each.time ? each.time->count() : std::numeric_limits<double>::infinity());
        };
        std::stable_sort(found_.ranked.begin(), found_.ranked.end(),
                         [&](const Diversion& a, const Diversion& b) { return key(a) < key(b); });
        while (found_.ranked.size() > question_.most) {
            const Diversion& last = found_.ranked.back();
            found_.refused.push_back(
                {last.airport, last.direct, "has no approach in the data: those that have one come first"});
            found_.ranked.pop_back();
        }
        std::stable_sort(found_.refused.begin(), found_.refused.end(),
                         [](const auto& a, const auto& b) { return a.direct < b.direct; });
        Length farthest;
        for (const Diversion& each : found_.ranked) {
            farthest = std::max(farthest, each.direct);
        }
        if (!found_.ranked.empty()) {
            std::erase_if(found_.refused,
                          [&](const DiversionRefused& each) { return each.direct > farthest; });
        }
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const earth::MagneticModel& model_;
    const Request& request_;
    const InFlight& now_;
    const DiversionQuestion& question_;
    routing::Roads roads_;
    Diversions found_;
};

}  // namespace

std::optional<FirstOnTheRadios> first_on_the_radios(const navdata::Snapshot& world, const Option& option) {
    const auto* schedule = std::get_if<flight::RadioSchedule>(&option.compiled.schedule);
    if (schedule == nullptr || option.compiled.track.steps.empty()) {
        return std::nullopt;
    }
    for (const flight::RadioMet& met : schedule->met) {
        const flight::RadioNeed& need = option.compiled.radios.needs[met.need];
        if (need.use != flight::RadioUse::guides) {
            continue;
        }
        FirstOnTheRadios first;
        first.set = met.set;
        if (met.first_by_receiver) {
            first.set.number = *met.first_by_receiver;
        }
        first.aid = flight::named(world[need.station]);
        first.course = need.course;
        const flight::TrackStep& now = option.compiled.track.steps.front();
        first.heading = now.heading;
        first.track = now.course;
        base::Duration time{0.0};
        bool timed = true;
        for (const flight::TrackStep& step : option.compiled.track.steps) {
            if (step.number >= need.step) {
                const auto* radial = std::get_if<procedure::OnRadial>(&step.guidance);
                const auto* beacon = std::get_if<procedure::OnBeacon>(&step.guidance);
                first.hold = step.ending && std::holds_alternative<procedure::AtHold>(*step.ending);
                first.toward = radial != nullptr ? radial->toward : beacon == nullptr || beacon->toward;
                break;
            }
            first.by_heading += step.length;
            timed = timed && step.time.has_value();
            time += step.time.value_or(base::Duration(0.0));
        }
        first.heading_time = timed ? std::optional(time) : std::nullopt;
        return first;
    }
    return std::nullopt;
}

Diversions diversions(const navdata::Snapshot& world, const radio::Ground& ground,
                      const earth::MagneticModel& model, const Request& request, const InFlight& now,
                      const DiversionQuestion& question, const base::Progress& progress) {
    return Finder(world, ground, model, request, now, question).result(progress);
}

}  // namespace omniway::plan
