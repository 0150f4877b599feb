#include "radio/error_budget.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/contract.hpp"

namespace omniway::radio {

using base::Angle;
using base::Length;

namespace {

Angle root_of_squares(Angle a, Angle b, Angle c, Angle d) {
    const auto square = [](Angle part) { return part.radians() * part.radians(); };
    return Angle::radians(std::sqrt(square(a) + square(b) + square(c) + square(d)));
}

struct Tolerance {
    double tracking_deg;
    double crossing_deg;
};

Tolerance terps_tolerance(AidKind aid) {
    switch (aid) {
        case AidKind::vor:
            return {4.5, 3.6};
        case AidKind::ndb:
            return {5.0, 5.0};
        case AidKind::localizer:
        case AidKind::distance:
            break;
    }
    return {1.0, 0.5};
}

Tolerance pans_ops_tolerance(AidKind aid) {
    switch (aid) {
        case AidKind::vor:
            return {5.2, 4.5};
        case AidKind::ndb:
            return {6.9, 6.2};
        case AidKind::localizer:
        case AidKind::distance:
            break;
    }
    return {2.4, 1.4};
}

/// A strip of constant width until the splay from the aid is wider.
struct Strip {
    double half_width_nm;
    double splay_deg;
};
struct Strips {
    Strip primary;
    Strip total;
};

constexpr Strips terps_vor = {{4.0, 4.5}, {6.0, 6.7}};
constexpr Strips terps_ndb = {{4.34, 5.0}, {8.68, 7.5}};
constexpr Strips pans_ops_vor = {{5.0, 5.7}, {10.0, 9.1}};
constexpr Strips pans_ops_ndb = {{5.0, 7.95}, {10.0, 13.0}};

const Strips& strips(AidKind aid, Criteria criteria) {
    if (criteria == Criteria::terps) {
        return aid == AidKind::vor ? terps_vor : terps_ndb;
    }
    return aid == AidKind::vor ? pans_ops_vor : pans_ops_ndb;
}

Length width_at(const Strip& strip, Length from_aid) {
    return std::max(Length::nautical_miles(strip.half_width_nm),
                    cross_track_spread(from_aid, Angle::degrees(strip.splay_deg)));
}

struct Containing {
    double near_nm;  // A
    double far_nm;   // B
};

Containing containing(Containment share) {
    switch (share) {
        case Containment::percent_95:
        case Containment::percent_96:
            return {4.0, 6.0};
        case Containment::percent_97:
            return {4.5, 6.5};
        case Containment::percent_98:
            return {5.0, 6.5};
        case Containment::percent_99:
            return {5.5, 7.0};
        case Containment::percent_99_5:
            break;
    }
    return {6.0, 8.5};
}

}  // namespace

Angle BearingBudget::crossing() const {
    return root_of_squares(ground, receiver, monitor, Angle());
}

Angle BearingBudget::tracking() const {
    return root_of_squares(ground, receiver, monitor, flight_technical);
}

std::optional<BearingBudget> bearing_budget(AidKind aid, Criteria criteria, Phase phase) {
    if (criteria == Criteria::terps) {
        return std::nullopt;
    }
    const bool en_route = phase == Phase::en_route;
    switch (aid) {
        case AidKind::vor:
            return BearingBudget{.ground = Angle::degrees(3.5),
                                 .receiver = Angle::degrees(2.7),
                                 .flight_technical = Angle::degrees(en_route ? 3.5 : 2.5),
                                 .monitor = Angle::degrees(1.0)};
        case AidKind::ndb:
            return BearingBudget{.ground = Angle::degrees(3.0),
                                 .receiver = Angle::degrees(5.4),
                                 .flight_technical = Angle::degrees(en_route ? 5.0 : 3.0),
                                 .monitor = Angle()};
        case AidKind::localizer:
            return BearingBudget{.ground = Angle::degrees(1.0),
                                 .receiver = Angle::degrees(1.0),
                                 .flight_technical = Angle::degrees(2.0),
                                 .monitor = Angle()};
        case AidKind::distance:
            break;
    }
    return std::nullopt;
}

Angle bearing_tolerance(AidKind aid, Line line, Criteria criteria) {
    OMNIWAY_EXPECTS(aid != AidKind::distance);
    const Tolerance both = criteria == Criteria::terps ? terps_tolerance(aid) : pans_ops_tolerance(aid);
    return Angle::degrees(line == Line::tracking ? both.tracking_deg : both.crossing_deg);
}

// Both criteria print the same figure today.
Length dme_tolerance(Length slant_range, Criteria) {
    return Length::nautical_miles(0.25) + slant_range * 0.0125;
}

Length older_dme_tolerance(Length slant_range) {
    return std::max(Length::nautical_miles(0.5), slant_range * 0.03);
}

CrossingError crossing_error(const CrossingLine& line) {
    OMNIWAY_EXPECTS(line.crossing > Angle() && line.crossing <= Angle::degrees(90.0 + 1e-9));
    const Length beside = line.range * base::sin(line.tolerance);
    const Angle narrow = line.crossing - line.tolerance;
    return {.near = beside / base::sin(line.crossing + line.tolerance),
            .far = narrow > Angle() ? beside / base::sin(narrow)
                                    : Length::metres(std::numeric_limits<double>::infinity())};
}

Length cross_track_spread(Length from_aid, Angle tolerance) {
    return from_aid * base::tan(tolerance);
}

ProtectedHalfWidth protected_half_width(AidKind aid, Criteria criteria, Length from_aid) {
    OMNIWAY_EXPECTS(aid == AidKind::vor || aid == AidKind::ndb);
    const Strips& both = strips(aid, criteria);
    return {.primary = width_at(both.primary, from_aid), .total = width_at(both.total, from_aid)};
}

Length containment_half_width(Containment share, Length from_vor) {
    const Containing both = containing(share);
    const double grown = std::max(0.0, (from_vor.nautical_miles() - 25.0) / 50.0);
    return Length::nautical_miles(both.near_nm + (both.far_nm - both.near_nm) * grown);
}

}  // namespace omniway::radio
