#include "plan/immediate_return.hpp"

#include <algorithm>
#include <tuple>

#include "plan/approach_choice.hpp"

namespace omniway::plan {

using base::Length;
using navdata::StationId;

namespace {

struct Candidate {
    flight::ReturnApproach approach;
    bool ready = false;
    Length work;
};

// What guides the last of an approach that an aid guides: the final.
const procedure::Guidance* final_guidance(const FlyableApproach& approach) {
    for (auto leg = approach.legs.rbegin(); leg != approach.legs.rend(); ++leg) {
        if (!leg->stretches.empty() && procedure::station_of(leg->stretches.back().guidance)) {
            return &leg->stretches.back().guidance;
        }
    }
    return nullptr;
}

std::optional<base::Radial> course_set(const navdata::Snapshot& world, const procedure::Guidance& guidance) {
    if (const auto* radial = std::get_if<procedure::OnRadial>(&guidance)) {
        return radial->course;
    }
    const auto* localizer = std::get_if<procedure::OnLocalizer>(&guidance);
    return localizer != nullptr ? std::optional(navdata::localizer(world[localizer->station])->course)
                                : std::nullopt;
}

// The first aid that the flight follows on a set of the kind: until then it is free.
std::optional<StationId> first_followed(const navdata::Snapshot& world, const flight::Flight& flight,
                                        bool beacon) {
    for (const flight::Leg& leg : flight.legs) {
        for (const flight::Stretch& stretch : leg.stretches) {
            const auto station = procedure::station_of(stretch.guidance);
            if (station && (navdata::ndb(world[*station]) != nullptr) == beacon) {
                return station;
            }
        }
    }
    return std::nullopt;
}

bool can_stand_ready(const flight::Circumstances& day, const flight::Flight& flight, StationId aid) {
    const bool beacon = navdata::ndb(day.world[aid]) != nullptr;
    const auto first = first_followed(day.world, flight, beacon);
    return !first || *first == aid || (!beacon && day.aircraft.equipment.receivers.size() > 1);
}

}  // namespace

std::optional<flight::ReturnApproach> immediate_return(const flight::Circumstances& day,
                                                       const procedure::Minima& minima,
                                                       const flight::Flight& flight) {
    const auto ways = procedure::approach_ways(day.world, day.ground, day.aircraft.equipment,
                                               flight.departure, day.settings.criteria);
    ApproachQuestion question;
    question.airport = flight.departure;
    question.aircraft = &day.aircraft;
    question.winds = day.winds;
    question.settings = &day.settings;
    question.minima = &minima;
    question.runways =
        flight::rank_runways(day.world, day.aircraft, day.winds.surface(), flight.departure, false);
    const ApproachChoice choice = approach_choice(day.world, day.ground, question, ways);
    std::vector<Candidate> candidates;
    for (const FlyableApproach& approach : choice.flyable) {
        const procedure::Guidance* on_final = final_guidance(approach);
        if (on_final == nullptr) {
            continue;
        }
        Candidate candidate;
        const StationId aid = *procedure::station_of(*on_final);
        candidate.approach = {approach.way->name(), aid, course_set(day.world, *on_final),
                              approach.landings.front().runway.runway};
        candidate.ready = can_stand_ready(day, flight, aid);
        candidate.work = approach.length + approach.landings.front().weight();
        for (const WorkItem& item : approach.work) {
            candidate.work += item.worth;
        }
        candidates.push_back(std::move(candidate));
    }
    const auto best =
        std::min_element(candidates.begin(), candidates.end(), [](const Candidate& a, const Candidate& b) {
            return std::tuple(!a.ready, a.work.metres()) < std::tuple(!b.ready, b.work.metres());
        });
    return best == candidates.end() ? std::nullopt : std::optional(best->approach);
}

}  // namespace omniway::plan
