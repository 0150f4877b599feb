#include <algorithm>

#include "earth/geodesic.hpp"
#include "earth/same_place.hpp"
#include "flight/detail/judge_rules.hpp"

namespace omniway::flight::detail {

using base::Length;

namespace {

// Which step of the card each stretch is: pieces on a straight line under one aid make one step (flight_track.hpp), and a step
// begins where the one before has had its length.
class StepCounter {
public:
    explicit StepCounter(const std::vector<TrackStep>& steps) : steps_(steps) {}

    std::optional<int> next(Length length, bool may_go_on) {
        const bool room = at_ < steps_.size() && covered_ + length < steps_[at_].length + Length::metres(1.0);
        if (!(begun_ && may_go_on && room && length > Length())) {
            at_ += begun_ ? 1 : 0;
            covered_ = Length();
            begun_ = true;
        }
        covered_ += length;
        return at_ < steps_.size() ? std::optional(steps_[at_].number) : std::nullopt;
    }

private:
    const std::vector<TrackStep>& steps_;
    std::size_t at_ = 0;
    Length covered_;
    bool begun_ = false;
};

std::vector<JudgedLeg> laid_out(const std::vector<Leg>& legs, const std::vector<TrackStep>& steps) {
    StepCounter counter(steps);
    std::vector<JudgedLeg> all;
    for (std::size_t i = 0; i < legs.size(); ++i) {
        JudgedLeg judged;
        judged.leg = &legs[i];
        judged.before = i > 0 ? &legs[i - 1] : nullptr;
        judged.after = i + 1 < legs.size() ? &legs[i + 1] : nullptr;
        for (std::size_t k = 0; k < legs[i].stretches.size(); ++k) {
            const Stretch& stretch = legs[i].stretches[k];
            const bool may_go_on = k == 0 && i > 0 && !legs[i - 1].ending;
            judged.steps.push_back(counter.next(stretch.to - stretch.from, may_go_on));
        }
        all.push_back(std::move(judged));
    }
    return all;
}

}  // namespace

// Between its bends a profile is straight.
base::Altitude JudgedLeg::lowest() const {
    base::Altitude lowest = std::min(altitude_at(Length()), altitude_at_end());
    for (const ProfilePoint& point : *profile) {
        if (point.along > begin && point.along < begin + leg->length) {
            lowest = std::min(lowest, point.altitude);
        }
    }
    return lowest;
}

base::Altitude JudgedLeg::highest() const {
    base::Altitude highest = std::max(altitude_at(Length()), altitude_at_end());
    for (const ProfilePoint& point : *profile) {
        if (point.along > begin && point.along < begin + leg->length) {
            highest = std::max(highest, point.altitude);
        }
    }
    return highest;
}

std::string JudgedLeg::name() const {
    if (leg->from && leg->to && leg->from->ident == leg->to->ident) {
        return leg->via + " at " + leg->to->ident;
    }
    return leg->via + (leg->from ? " from " + leg->from->ident : std::string()) +
           (leg->to ? " to " + leg->to->ident : std::string());
}

JudgedFlight::JudgedFlight(const Circumstances& the_day, const Flight& the_flight,
                           const Compiled& the_compiled)
    : day(the_day), flight(the_flight), compiled(the_compiled) {
    legs = laid_out(flight.legs, compiled.track.steps);
    Length along;
    for (JudgedLeg& each : legs) {
        each.begin = along;
        each.profile = &flight.profile;
        along += each.leg->length;
    }
    missed = laid_out(flight.missed, compiled.track.missed);
    // A published missed approach is at its coded altitudes at the end of each step; one's own has its profile.
    published_missed_.push_back({Length(), flight.altitude_at(along)});
    Length published;
    Length own;
    for (JudgedLeg& each : missed) {
        if (!each.leg->published && !flight.missed_profile.empty()) {
            each.begin = own;
            each.profile = &flight.missed_profile;
            own += each.leg->length;
            continue;
        }
        each.begin = published;
        each.profile = &published_missed_;
        published += each.leg->length;
        base::Altitude reached = published_missed_.back().altitude;
        for (const TrackStep& step : compiled.track.missed) {
            if (each.last_step() == step.number) {
                reached = std::max(reached, step.altitude);
            }
        }
        published_missed_.push_back({published, reached});
    }
}

std::vector<navdata::StationId> JudgedFlight::published_aids(const std::string& via) const {
    std::vector<navdata::StationId> aids;
    for (const auto* list : {&flight.legs, &flight.missed}) {
        for (const Leg& leg : *list) {
            if (!leg.published || leg.via != via) {
                continue;
            }
            if (leg.coded != nullptr && leg.coded->recommended) {
                const auto point = day.world.resolve(*leg.coded->recommended);
                if (const auto* station = point ? std::get_if<navdata::StationId>(&*point) : nullptr) {
                    aids.push_back(*station);
                }
            }
            for (const Stretch& stretch : leg.stretches) {
                if (const auto station = procedure::station_of(stretch.guidance)) {
                    aids.push_back(*station);
                }
            }
        }
    }
    return aids;
}

base::TrueBearing JudgedFlight::arrival_track(const Leg& leg) const {
    const auto* arc =
        leg.stretches.empty() ? nullptr : std::get_if<procedure::OnArc>(&leg.stretches.back().guidance);
    if (arc != nullptr) {
        const base::TrueBearing outward =
            earth::geodesic(navdata::site(day.world[arc->station]), leg.finish).arrival;
        return outward + base::Angle::degrees(arc->clockwise ? 90.0 : -90.0);
    }
    return earth::distance(leg.start, leg.finish) > earth::same_place
               ? earth::geodesic(leg.start, leg.finish).arrival
               : leg.arrival;
}

base::Speed JudgedFlight::groundspeed_by_heading(const JudgedLeg& each, std::size_t stretch) const {
    for (const auto* steps : {&compiled.track.steps, &compiled.track.missed}) {
        const auto step = std::find_if(steps->begin(), steps->end(), [&](const TrackStep& candidate) {
            return candidate.number == each.steps[stretch];
        });
        if (step != steps->end() && step->time && *step->time > base::Duration(0.0)) {
            return step->length / *step->time;
        }
    }
    return base::Speed::knots(1.0);
}

}  // namespace omniway::flight::detail
