#include "procedure/dme_arc.hpp"

#include <array>
#include <cmath>

#include "base/contract.hpp"

namespace omniway::procedure {

using base::Angle;
using base::Length;
using base::Speed;
using base::TrueBearing;

namespace {

struct Share {
    double turn_deg = 0.0;
    double share = 0.0;
};
// Trade-facts 5; 60 and 30 degrees from memory there.
constexpr std::array<Share, 9> shares = {{{0.0, 0.0},
                                          {30.0, 1.0 / 6.0},
                                          {45.0, 1.0 / 3.0},
                                          {60.0, 1.0 / 2.0},
                                          {90.0, 1.0},
                                          {120.0, 1.5},
                                          {135.0, 5.0 / 3.0},
                                          {150.0, 11.0 / 6.0},
                                          {180.0, 2.0}}};

}  // namespace

Length lead_by_rule(Speed groundspeed, TurnRule rule) {
    return Length::nautical_miles(groundspeed.knots() * (rule == TurnRule::standard_rate ? 0.005 : 0.01));
}

double lead_share_by_rule(Angle turn) {
    const double degrees = turn.degrees();
    OMNIWAY_EXPECTS(degrees >= 0.0 && degrees <= 180.0 + 1e-9);
    for (std::size_t i = 1; i < shares.size(); ++i) {
        const Share& low = shares[i - 1];
        const Share& high = shares[i];
        if (degrees <= high.turn_deg) {
            const double part = (degrees - low.turn_deg) / (high.turn_deg - low.turn_deg);
            return low.share + part * (high.share - low.share);
        }
    }
    return shares.back().share;
}

Angle lead_radials_by_rule(Length turn_radius, Length arc) {
    OMNIWAY_EXPECTS(arc > Length());
    return Angle::degrees(60.0 * (turn_radius / arc));
}

Angle lead_radials_by_rule(Length turn_radius, Length arc, RadialFlown flown) {
    const Angle lead = lead_radials_by_rule(turn_radius, arc);
    const double more = flown == RadialFlown::inbound ? lead.degrees() : -lead.degrees();
    return lead * ((90.0 + more) / 90.0);
}

// The turn's circle touches the radial a radius from it, and the arc from outside (flying inbound) or inside (outbound):
// its centre stands arc + r, or arc - r, from the station.
std::optional<Length> lead_onto_arc(Length turn_radius, Length arc, RadialFlown flown) {
    const double r = turn_radius / arc;
    if (flown == RadialFlown::inbound) {
        return arc * (std::sqrt(1.0 + 2.0 * r) - 1.0);
    }
    return r <= 0.5 ? std::optional(arc * (1.0 - std::sqrt(1.0 - 2.0 * r))) : std::nullopt;
}

// Off the arc, inbound turns to the station's side: the centre stands arc - r from it; outbound arc + r.
std::optional<Angle> lead_off_arc(Length turn_radius, Length arc, RadialFlown flown) {
    const double r = turn_radius / arc;
    const double sine = flown == RadialFlown::inbound ? r / (1.0 - r) : r / (1.0 + r);
    return r < 1.0 && sine <= 1.0 ? std::optional(Angle::radians(std::asin(sine))) : std::nullopt;
}

std::optional<TrueBearing> lead_bearing_off_arc(TrueBearing wanted, ArcFlown way, RadialFlown flown,
                                                Length turn_radius, Length arc) {
    const auto lead = lead_off_arc(turn_radius, arc, flown);
    if (!lead) {
        return std::nullopt;
    }
    return way == ArcFlown::clockwise ? wanted - *lead : wanted + *lead;
}

Length along_arc(Angle radials, Length arc) {
    return Length::metres(arc.metres() * radials.radians());
}

}  // namespace omniway::procedure
