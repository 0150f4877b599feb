#include "rehearsal/errors.hpp"

#include <cmath>

namespace omniway::rehearsal {

using base::Angle;
using base::Length;
using base::Speed;

namespace {

// Budgets are 95 % bounds, two standard deviations.
Angle sd_of(double degrees_95) {
    return Angle::degrees(degrees_95 / 2.0);
}

double without(double whole_deg, double part_deg) {
    return std::sqrt(whole_deg * whole_deg - part_deg * part_deg);
}

}  // namespace

Errors no_errors() {
    return {};
}

Errors nominal_errors(radio::Criteria criteria) {
    const auto vor =
        *radio::bearing_budget(radio::AidKind::vor, radio::Criteria::pans_ops, radio::Phase::procedure);
    const auto ndb =
        *radio::bearing_budget(radio::AidKind::ndb, radio::Criteria::pans_ops, radio::Phase::procedure);
    const auto total = [&](radio::AidKind aid, radio::Line line) {
        return radio::bearing_tolerance(aid, line, criteria).degrees();
    };
    const double crossing = total(radio::AidKind::vor, radio::Line::crossing);
    const double tracking = total(radio::AidKind::vor, radio::Line::tracking);
    const double ground_share =
        std::hypot(vor.ground.degrees(), vor.monitor.degrees()) / vor.crossing().degrees();
    const double receiver_share = vor.receiver.degrees() / vor.crossing().degrees();
    const double beacon = total(radio::AidKind::ndb, radio::Line::crossing);
    Errors errors;
    errors.vor_station = sd_of(crossing * ground_share);
    errors.vor_receiver = sd_of(crossing * receiver_share);
    errors.wander = sd_of(without(tracking, crossing));
    errors.ndb_station = sd_of(beacon * ndb.ground.degrees() / ndb.crossing().degrees());
    errors.adf = sd_of(beacon * ndb.receiver.degrees() / ndb.crossing().degrees());
    errors.localizer = sd_of(total(radio::AidKind::localizer, radio::Line::crossing));
    errors.dme_fixed = Length::nautical_miles(0.25) / 2.0;
    errors.dme_share = 0.0125 / 2.0;
    errors.wind = Speed::knots(5.0);
    errors.gusts = Speed::knots(2.0);
    errors.heading_drift = Angle::degrees(6.0);
    errors.compass = Angle::degrees(1.5);
    errors.altimeter = Length::feet(40.0);
    errors.airspeed_share = 0.02;
    return errors;
}

}  // namespace omniway::rehearsal
