#include "flight/radial_turn.hpp"

#include <vector>

#include <fmt/format.h>

#include "aircraft/performance.hpp"
#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "fixing/telling.hpp"
#include "flight/en_route.hpp"
#include "flight/radial_fix.hpp"
#include "procedure/reversal_rules.hpp"

namespace omniway::flight {

using base::Angle;
using base::Finding;
using base::Grade;
using base::Length;
using navdata::StationId;
using procedure::PlacedFix;

namespace {

class RadialTurn {
public:
    RadialTurn(const Circumstances& day, const RadialTurnQuestion& question)
        : day_(day), world_(day.world), question_(question) {}

    LegsOrReason result() const {
        if (!std::holds_alternative<procedure::OnRadial>(question_.onto) &&
            !std::holds_alternative<procedure::OnBeacon>(question_.onto)) {
            return refused("no_place", "neither a radial nor a bearing leads on");
        }
        std::optional<LegsOrReason> why;
        for (const PlacedFix& place : places()) {
            LegsOrReason made = over(place);
            if (!made.legs.empty()) {
                return made;
            }
            why = std::move(made);  // the last stands on the line ahead in any case
        }
        return why ? *why : refused("no_place", "no place on both lines");
    }

private:
    LegsOrReason refused(const char* code, std::string text) const {
        return {{},
                Finding{Grade::blocks, std::string("turn.") + code,
                        fmt::format("by radials from {} to {}", question_.from.ident, question_.to.ident),
                        std::move(text), ""}};
    }

    // The aid behind is named first: its own DME tells the place while it guides.
    std::vector<PlacedFix> places() const {
        std::vector<PlacedFix> all;
        const StationId ahead = *procedure::station_of(question_.onto);
        const earth::Position crossing =
            earth::destination(question_.to.position, back_from_end(ahead), question_.before);
        const auto* behind = question_.from.point ? std::get_if<StationId>(&*question_.from.point) : nullptr;
        if (behind != nullptr && navdata::vor(world_[*behind]) != nullptr && world_[*behind].dme &&
            day_.aircraft.equipment.dme) {
            add(all, *behind, crossing);
        }
        add(all, ahead, crossing);
        return all;
    }

    void add(std::vector<PlacedFix>& all, StationId aid, earth::Position crossing) const {
        if (auto place = nearest_radial_fix(world_, day_.model, day_.today, aid, crossing)) {
            all.push_back(std::move(*place));
        }
    }

    base::TrueBearing back_from_end(StationId aid) const {
        const earth::Geodesic from_aid = earth::geodesic(navdata::site(world_[aid]), question_.to.position);
        const auto* radial = std::get_if<procedure::OnRadial>(&question_.onto);
        const auto* beacon = std::get_if<procedure::OnBeacon>(&question_.onto);
        const bool toward = radial != nullptr ? radial->toward : beacon != nullptr && beacon->toward;
        if (from_aid.distance > Length::nautical_miles(0.05)) {
            return toward ? from_aid.arrival : from_aid.arrival.reciprocal();
        }
        const base::TrueBearing course =
            radial != nullptr ? base::to_true(radial->course, navdata::vor(world_[aid])->declination)
                              : beacon->track;
        return course.reciprocal();
    }

    base::Speed groundspeed(base::TrueBearing track) const {
        const base::Speed airspeed =
            aircraft::true_airspeed_cruise(day_.aircraft.performance, question_.altitude);
        const auto held = aircraft::hold_course(track, airspeed, day_.winds.at(question_.altitude));
        return held ? held->groundspeed : base::Speed::knots(1.0);
    }

    LegOrReason direct(const PlacedFix& from, const PlacedFix& to) const {
        return direct_leg(world_, day_.ground, day_.aircraft.equipment, day_.settings, from, to,
                          question_.altitude, groundspeed(earth::bearing(from.position, to.position)));
    }

    LegsOrReason over(const PlacedFix& place) const {
        const Leg out = straight_leg(question_.from, place);
        const Leg on = straight_leg(place, question_.to);
        if (!procedure::guidance_along(world_, *procedure::station_of(question_.onto), place.position,
                                       question_.to.position)) {
            return refused("no_place", fmt::format("{} does not lie on the line that leads to {}",
                                                   place.ident, question_.to.ident));
        }
        if (abs(on.track - out.arrival) > procedure::largest_turn_at_fix ||
            (question_.arriving && abs(out.track - *question_.arriving) > procedure::largest_turn_at_fix)) {
            return refused("too_great", fmt::format("over {} more than {:.0f} degrees are turned",
                                                    place.ident, procedure::largest_turn_at_fix.degrees()));
        }
        LegOrReason first = direct(question_.from, place);
        if (!first.leg) {
            return {{}, first.refused};
        }
        const auto told = telling(*first.leg);
        if (!told) {
            return refused("not_told",
                           fmt::format("{} cannot be told on the line that leads to it", place.ident));
        }
        first.leg->ending = procedure::AtFix{place, *told};
        LegOrReason second = direct(place, question_.to);
        if (!second.leg) {
            return {{}, second.refused};
        }
        return {{std::move(*first.leg), std::move(*second.leg)}, std::nullopt};
    }

    std::optional<fixing::Telling> telling(const Leg& leg) const {
        fixing::FixQuestion asked;
        asked.fix = leg.finish;
        asked.altitude = question_.altitude;
        asked.track = leg.arrival;
        asked.guided_by = procedure::station_of(leg.stretches.back().guidance);
        asked.criteria = day_.settings.criteria;
        const auto found = fixing::tellings(world_, day_.ground, day_.aircraft.equipment, asked);
        return found.ways.empty() ? std::nullopt : std::optional(found.ways.front());
    }

    const Circumstances& day_;
    const navdata::Snapshot& world_;
    const RadialTurnQuestion& question_;
};

}  // namespace

LegsOrReason radial_turn_legs(const Circumstances& circumstances, const RadialTurnQuestion& question) {
    return RadialTurn(circumstances, question).result();
}

}  // namespace omniway::flight
