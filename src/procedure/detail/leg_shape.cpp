#include "procedure/detail/leg_shape.hpp"

#include "earth/geodesic.hpp"
#include "earth/same_place.hpp"

namespace omniway::procedure::detail {

using base::Length;
using base::TrueBearing;
using navdata::Leg;
using navdata::PathTerminator;

namespace {

// A leg that ends in vectors is drawn as far as it can be shown: common practice, no source.
constexpr Length shown_of_vectors = Length::nautical_miles(3.0);

std::optional<navdata::StationId> station_named(const navdata::Snapshot& world,
                                                const std::optional<navdata::PointName>& name) {
    const auto point = name ? world.resolve(*name) : std::nullopt;
    if (point) {
        if (const auto* id = std::get_if<navdata::StationId>(&*point)) {
            return *id;
        }
    }
    return std::nullopt;
}

Until until_of(const navdata::Snapshot& world, const PlacedLeg& placed) {
    const Leg& leg = *placed.coded;
    const auto aid = station_named(world, leg.recommended);
    switch (leg.terminator) {
        case PathTerminator::CA:
        case PathTerminator::VA:
        case PathTerminator::FA:
            return leg.altitude_1 ? Until(UntilAltitude{*leg.altitude_1})
                                  : Until(UntilUnknown{Fallback::ending_not_coded});
        case PathTerminator::CD:
        case PathTerminator::VD:
        case PathTerminator::FD:
            return aid && world[*aid].dme && leg.distance ? Until(UntilShown{*aid, *leg.distance})
                                                          : Until(UntilUnknown{Fallback::aid_unknown});
        case PathTerminator::CR:
        case PathTerminator::VR: {
            const auto bearing = bearing_from_aid(world, leg);
            return bearing ? Until(UntilBearing{navdata::site(world[*aid]), *bearing})
                           : Until(UntilUnknown{Fallback::aid_unknown});
        }
        case PathTerminator::CI:
        case PathTerminator::VI:
            return UntilIntercept{};
        case PathTerminator::FC:
            return UntilLength{leg.distance.value_or(shown_of_vectors)};
        default:
            return UntilLength{shown_of_vectors};
    }
}

bool by_heading(PathTerminator terminator) {
    switch (terminator) {
        case PathTerminator::VA:
        case PathTerminator::VD:
        case PathTerminator::VI:
        case PathTerminator::VM:
        case PathTerminator::VR:
            return true;
        default:
            return false;
    }
}

LegShape line_to(const PlacedLeg& placed) {
    const bool localizer = std::holds_alternative<OnLocalizer>(placed.guidance);
    if (earth::distance(placed.start, placed.finish) < earth::same_place) {
        return DirectTo{placed.finish};
    }
    return LineTo{{placed.finish, earth::geodesic(placed.start, placed.finish).arrival}, localizer};
}

LegShape round_of(const navdata::Snapshot& world, const PlacedLeg& placed) {
    const Leg& leg = *placed.coded;
    const bool right = leg.turn == navdata::Turn::right;
    if (leg.terminator == PathTerminator::AF) {
        const auto aid = station_named(world, leg.recommended);
        if (!aid || !leg.rho) {
            return Unplaced{placed.start, placed.finish, Fallback::aid_unknown};
        }
        const navdata::Station& station = world[*aid];
        const earth::Position centre = station.dme ? station.dme->position : navdata::site(station);
        return Round{{centre, *leg.rho, right}, placed.finish};
    }
    const auto centre = leg.centre ? world.resolve(*leg.centre) : std::nullopt;
    if (!centre) {
        return Unplaced{placed.start, placed.finish, Fallback::aid_unknown};
    }
    const earth::Position middle = world.position(*centre);
    return Round{{middle, earth::distance(middle, placed.finish), right}, placed.finish};
}

LegShape holding_of(const PlacedLeg& placed) {
    const Leg& leg = *placed.coded;
    Holding hold{placed.start,
                 placed.track,
                 leg.turn == navdata::Turn::left ? navdata::Turn::left : navdata::Turn::right,
                 std::nullopt,
                 std::nullopt,
                 leg.terminator != PathTerminator::HF};
    if (leg.distance && *leg.distance > Length()) {
        hold.leg = *leg.distance;
    } else if (leg.time && *leg.time > base::Duration(0.0)) {
        hold.leg = *leg.time;
    }
    if (leg.terminator == PathTerminator::HA) {
        hold.until = leg.altitude_1;
    }
    return hold;
}

}  // namespace

LegShape shape_of(const navdata::Snapshot& world, const PlacedLeg& placed) {
    const Leg& leg = *placed.coded;
    switch (leg.terminator) {
        case PathTerminator::IF:
            // Behind a procedure turn it is flown to (path.cpp).
            return placed.length > Length() ? line_to(placed) : LegShape(BeginsAt{placed.finish});
        case PathTerminator::TF:
        case PathTerminator::CF:
            return line_to(placed);
        case PathTerminator::DF:
            return DirectTo{placed.finish};
        case PathTerminator::FA:
        case PathTerminator::FC:
        case PathTerminator::FD:
        case PathTerminator::FM:
            return LineFrom{{placed.start, placed.track},
                            until_of(world, placed),
                            std::holds_alternative<OnLocalizer>(placed.guidance)};
        case PathTerminator::AF:
        case PathTerminator::RF:
            return round_of(world, placed);
        case PathTerminator::PI:
            return Reversed{{placed.start, placed.track.reciprocal(), std::nullopt, leg.turn,
                             leg.distance.value_or(Length::nautical_miles(10.0))}};
        case PathTerminator::HA:
        case PathTerminator::HF:
        case PathTerminator::HM:
            return holding_of(placed);
        default:
            return CourseOn{placed.track, by_heading(leg.terminator), until_of(world, placed)};
    }
}

std::optional<earth::Position> end_fix(const LegShape& shape) {
    if (const auto* line = std::get_if<LineTo>(&shape)) {
        return line->line.through;
    }
    if (const auto* direct = std::get_if<DirectTo>(&shape)) {
        return direct->fix;
    }
    if (const auto* round = std::get_if<Round>(&shape)) {
        return round->fix;
    }
    if (const auto* hold = std::get_if<Holding>(&shape)) {
        return hold->fix;
    }
    if (const auto* begins = std::get_if<BeginsAt>(&shape)) {
        return begins->fix;
    }
    return std::nullopt;
}

bool ends_overhead(const navdata::Snapshot& world, const PlacedLeg& placed) {
    if (placed.coded->is_flown_over() || placed.coded->is_missed_approach_point()) {
        return true;
    }
    if (const auto* at_fix = std::get_if<AtFix>(&placed.ending)) {
        return std::holds_alternative<fixing::Overhead>(at_fix->telling.way);
    }
    const auto* station =
        placed.to && placed.to->point ? std::get_if<navdata::StationId>(&*placed.to->point) : nullptr;
    return station != nullptr &&
           (navdata::vor(world[*station]) != nullptr || navdata::ndb(world[*station]) != nullptr);
}

}  // namespace omniway::procedure::detail
