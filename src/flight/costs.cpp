#include "flight/costs.hpp"

#include <algorithm>
#include <cmath>
#include <variant>
#include <vector>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "earth/same_place.hpp"
#include "flight/detail/fix_allowance.hpp"
#include "flight/flown_step.hpp"
#include "flight/work_scale.hpp"
#include "radio/error_budget.hpp"
#include "radio/reception.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;

namespace {

// How finely the shadow of terrain is sought beyond the aircraft: 0.01 of a range of 40 NM and more.
constexpr Length shadow_step = Length::nautical_miles(1.0);
constexpr Length shadow_edge = Length::nautical_miles(0.1);
// On a leg what is heard is looked at this often: at its ends, where its heights bend, and between.
constexpr Length look_every = Length::nautical_miles(5.0);

std::string name_of(const Leg& leg) {
    return leg.via + (leg.from ? " from " + leg.from->ident : std::string()) +
           (leg.to ? " to " + leg.to->ident : std::string());
}

// Work.

double work_of(const StepWork& work) {
    if (std::holds_alternative<Tune>(work)) {
        return WorkScale::retune + WorkScale::ident;
    }
    if (std::holds_alternative<SetCourse>(work) || std::holds_alternative<SelectDistance>(work)) {
        return WorkScale::retune;
    }
    if (const auto* held = std::get_if<HoldHeadingWhileTuning>(&work)) {
        return WorkScale::dead_reckoning_minute * base::in_minutes(held->time);
    }
    return 0.0;
}

double work_of(const Step& step) {
    double work = 0.0;
    for (const StepWork& each : step.work) {
        work += work_of(each);
    }
    if (const auto* heading = std::get_if<FlyHeading>(&step.guidance)) {
        // Along the runway nothing is reckoned: what follows is flown toward.
        const base::Duration time = step.expected.time ? *step.expected.time
                                    : step.expected.true_airspeed > base::Speed()
                                        ? step.expected.distance / step.expected.true_airspeed
                                        : base::Duration(0.0);
        return work +
               (heading->along_runway ? 0.0 : WorkScale::dead_reckoning_minute * base::in_minutes(time));
    }
    if (std::holds_alternative<FlyHold>(step.guidance)) {
        return work + WorkScale::hold;
    }
    if (std::holds_alternative<ReverseCourse>(step.guidance)) {
        return work + WorkScale::reversal;
    }
    return work + (std::holds_alternative<FollowArc>(step.guidance) ? WorkScale::arc : 0.0);
}

// A hold and a reversal have points of their own: the turns in them are not counted again.
bool turns_by_itself(const TrackStep& step) {
    return step.ending && (std::holds_alternative<procedure::AtHold>(*step.ending) ||
                           std::holds_alternative<procedure::AtCourseReversed>(*step.ending));
}

double turns_of(const std::vector<FlownStep>& steps) {
    double work = 0.0;
    for (std::size_t i = 1; i < steps.size(); ++i) {
        const FlownStep& before = steps[i - 1];
        const FlownStep& after = steps[i];
        if (!after.missed && !turns_by_itself(*before.track) && !turns_by_itself(*after.track) &&
            abs(after.track->track - before.arrival) > WorkScale::awkward_from) {
            work += WorkScale::awkward_intercept;
        }
    }
    return work;
}

// Margin.

class Margins {
public:
    Margins(const Circumstances& in, const Flight& flight) : in_(in), flight_(flight) {}

    Margin result() {
        Length begin;
        for (std::size_t i = 0; i < flight_.legs.size(); ++i) {
            const Leg& leg = flight_.legs[i];
            for (const Stretch& stretch : leg.stretches) {
                if (!leg.published) {
                    reception(leg, begin, stretch);
                }
                if (leg.phase != Phase::approach) {
                    width(leg, stretch);
                }
            }
            fix(leg, i + 1 < flight_.legs.size() ? &flight_.legs[i + 1] : nullptr);
            begin += leg.length;
        }
        return std::move(margin_);
    }

private:
    struct Look {
        earth::Position place;
        Altitude altitude;
        radio::Reception reception;
        double left = 1.0;  // by volume and horizon alone
    };

    earth::Position place_on(const Leg& leg, Length at) const {
        return earth::distance(leg.start, leg.finish) < earth::same_place
                   ? leg.start
                   : earth::destination(leg.start, leg.track, at);
    }

    static double share_left(Length used, Length of) {
        return of > Length() ? std::clamp(1.0 - used / of, 0.0, 1.0) : 1.0;
    }

    void reception(const Leg& leg, Length begin, const Stretch& stretch) {
        const auto id = procedure::station_of(stretch.guidance);
        // On an arc it is the same distance all along, and an arc is published.
        if (!id || std::holds_alternative<procedure::OnArc>(stretch.guidance)) {
            return;
        }
        const navdata::Station& station = in_.world[*id];
        std::vector<Look> looks;
        for (const Length at : places(begin, stretch)) {
            Look look;
            look.place = place_on(leg, at);
            look.altitude = flight_.altitude_at(begin + at);
            look.reception =
                radio::hear(station, radio::Part::azimuth, look.place, look.altitude, in_.ground);
            if (look.reception.silence == radio::Silence::overhead) {
                continue;
            }
            look.left =
                look.reception.heard() ? share_left(look.reception.distance, look.reception.limit) : 0.0;
            looks.push_back(look);
        }
        // The tightest first: of the others only what is shaded sooner need be sought.
        std::stable_sort(looks.begin(), looks.end(),
                         [](const Look& a, const Look& b) { return a.left < b.left; });
        for (const Look& look : looks) {
            const Length range = range_of(station, look);
            const double left = look.reception.heard() ? share_left(look.reception.distance, range) : 0.0;
            if (left < margin_.reception) {
                margin_.reception = left;
                margin_.reception_at = fmt::format("{} heard at {:.1f} of {:.1f} NM, {}", station.ident,
                                                   look.reception.distance.nautical_miles(),
                                                   range.nautical_miles(), name_of(leg));
            }
        }
    }

    std::vector<Length> places(Length begin, const Stretch& stretch) const {
        std::vector<Length> all = {stretch.from, stretch.to};
        for (Length at = stretch.from + look_every; at < stretch.to; at += look_every) {
            all.push_back(at);
        }
        for (const ProfilePoint& bend : flight_.profile) {
            if (bend.along > begin + stretch.from && bend.along < begin + stretch.to) {
                all.push_back(bend.along - begin);
            }
        }
        std::sort(all.begin(), all.end());
        return all;
    }

    // To where it is heard at that height in that direction: over terrain to the first shadow behind the aircraft, sought no
    // farther than where it would no longer be the tightest place.
    Length range_of(const navdata::Station& station, const Look& look) const {
        const radio::Reception& here = look.reception;
        if (in_.ground.mode != radio::ReceptionMode::terrain || !here.heard() ||
            here.distance < earth::same_place) {
            return here.limit;
        }
        Length farthest = here.limit;
        if (margin_.reception < 1.0) {
            farthest = std::min(farthest, here.distance / (1.0 - margin_.reception));
        }
        const base::TrueBearing outward = earth::geodesic(navdata::site(station), look.place).initial;
        const auto heard_at = [&](Length away) {
            return radio::hear(station, radio::Part::azimuth,
                               earth::destination(navdata::site(station), outward, away), look.altitude,
                               in_.ground)
                .heard();
        };
        Length heard = here.distance;
        while (heard < farthest) {
            Length silent = std::min(heard + shadow_step, farthest);
            if (heard_at(silent)) {
                heard = silent;
                continue;
            }
            while (silent - heard > shadow_edge) {
                const Length middle = (heard + silent) * 0.5;
                (heard_at(middle) ? heard : silent) = middle;
            }
            return heard;
        }
        return here.limit;
    }

    void width(const Leg& leg, const Stretch& stretch) {
        const auto id = procedure::station_of(stretch.guidance);
        const bool by_vor = std::holds_alternative<procedure::OnRadial>(stretch.guidance);
        const bool by_ndb = std::holds_alternative<procedure::OnBeacon>(stretch.guidance);
        if (!id || (!by_vor && !by_ndb)) {
            return;
        }
        const radio::AidKind kind = by_vor ? radio::AidKind::vor : radio::AidKind::ndb;
        const radio::Criteria criteria = in_.settings.criteria;
        const base::Angle error = radio::bearing_tolerance(kind, radio::Line::tracking, criteria);
        const earth::Position aid = navdata::site(in_.world[*id]);
        // Along a radial it is farthest at one of its ends.
        const Length away = std::max(earth::distance(aid, place_on(leg, stretch.from)),
                                     earth::distance(aid, place_on(leg, stretch.to)));
        const Length spread = radio::cross_track_spread(away, error);
        const Length protects = radio::protected_half_width(kind, criteria, away).primary;
        const double left = share_left(spread, protects);
        if (left < margin_.width) {
            margin_.width = left;
            margin_.width_at = fmt::format("{:.1f} of {:.1f} NM off track at {:.1f} NM from {}, {}",
                                           spread.nautical_miles(), protects.nautical_miles(),
                                           away.nautical_miles(), in_.world[*id].ident, name_of(leg));
        }
    }

    void fix(const Leg& leg, const Leg* after) {
        const auto* at_fix = leg.ending ? std::get_if<procedure::AtFix>(&*leg.ending) : nullptr;
        const auto allowed = at_fix != nullptr ? detail::fix_allowance(leg, after) : std::nullopt;
        if (!allowed) {
            return;
        }
        const double left = share_left(at_fix->telling.along_error, *allowed);
        if (left < margin_.fix) {
            margin_.fix = left;
            margin_.fix_at = fmt::format("{} told within {:.2f} of {:.2f} NM, {}", at_fix->fix.ident,
                                         at_fix->telling.along_error.nautical_miles(),
                                         allowed->nautical_miles(), name_of(leg));
        }
    }

    const Circumstances& in_;
    const Flight& flight_;
    Margin margin_;
};

}  // namespace

double Margin::least() const {
    return std::min({reception, fix, width});
}

const std::string& Margin::tightest_at() const {
    const double tightest = least();
    return tightest == reception ? reception_at : tightest == fix ? fix_at : width_at;
}

Costs costs_of(const Circumstances& circumstances, const Flight& flight, const Compiled& compiled) {
    const std::vector<FlownStep> steps = flown_steps(circumstances, flight, compiled.track);
    Costs costs;
    base::Duration flown{0.0};
    for (const FlownStep& step : steps) {
        flown += step.missed ? base::Duration(0.0) : step.takes();
    }
    costs.time = compiled.track.time.value_or(flown);
    for (const Step& step : compiled.card.steps) {
        costs.work += work_of(step);
    }
    costs.work += turns_of(steps);
    costs.margin = Margins(circumstances, flight).result();
    return costs;
}

bool dominates(const Costs& a, const Costs& b) {
    const double left_a = a.margin.least();
    const double left_b = b.margin.least();
    return a.time <= b.time && a.work <= b.work && left_a >= left_b &&
           (a.time < b.time || a.work < b.work || left_a > left_b);
}

}  // namespace omniway::flight
