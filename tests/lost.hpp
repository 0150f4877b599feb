#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "fixing/belief.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"

namespace omniway::testing {

inline const VorDrawn far_reaching{.service = navdata::ServiceClass::high,
                                   .dme = navdata::ServiceClass::high};

/// A drawn world, and what an instrument without error would show of it: by geodesics, which the belief does not use.
///   Source    none: it is drawn.
class Lost {
public:
    static constexpr earth::DecimalYear today{2026.0};
    Sketch sketch;
    radio::Ground ground{.mode = radio::ReceptionMode::volume};
    double altitude_ft = 8000.0;
    fixing::ReadingErrors errors = fixing::ReadingErrors::of(radio::Criteria::terps);
    std::vector<fixing::Reading> readings;
    std::vector<fixing::HeadingFlown> flown;
    fixing::AirMoved air;
    std::optional<fixing::LastKnown> last_known;

    explicit Lost(earth::Position origin = earth::Position::degrees(40.0, -170.0)) : sketch(origin) {}

    void build() { world_.emplace(sketch.world()); }
    const navdata::Snapshot& world() const { return *world_; }
    navdata::StationId id(const std::string& ident) const { return station_of(*world_, ident); }
    earth::Position at(At place) const { return sketch.at(place); }

    double radial_deg(const std::string& ident, earth::Position from) const {
        const auto* vor = navdata::vor((*world_)[id(ident)]);
        return base::to_radial(earth::bearing(vor->position, from), vor->declination).degrees();
    }
    double slant_nm(const std::string& ident, earth::Position from) const {
        const navdata::Station& station = (*world_)[id(ident)];
        const auto antenna = radio::antenna_of(station, radio::Part::distance, nullptr);
        return radio::slant_range(earth::distance(antenna.position, from),
                                  {base::Altitude::feet(altitude_ft), antenna.altitude})
            .nautical_miles();
    }
    double bearing_deg(const std::string& ident, earth::Position from) const {
        const auto variation = magnetic_model().variation(from, today);
        return base::to_magnetic(earth::bearing(from, navdata::site((*world_)[id(ident)])), variation)
            .degrees();
    }

    void radial(const std::string& ident, double deg, double before_s = 0.0) {
        readings.push_back(
            {fixing::RadialRead{{id(ident)}, base::Radial::degrees(deg)}, base::Duration(before_s), ident});
    }
    void distance(const std::string& ident, double nm, double before_s = 0.0) {
        readings.push_back({fixing::DistanceRead{{id(ident)}, base::Length::nautical_miles(nm)},
                            base::Duration(before_s), ident + " DME"});
    }
    void bearing(const std::string& ident, double deg, bool by_heading = false, double before_s = 0.0) {
        readings.push_back({fixing::BearingRead{{id(ident)}, base::MagneticBearing::degrees(deg), by_heading},
                            base::Duration(before_s), ident});
    }

    fixing::BeliefQuestion question() const {
        return {*world_, ground, magnetic_model(), today, readings, base::Altitude::feet(altitude_ft),
                flown,   air,    last_known,       {},    errors,   1};
    }
    std::variant<fixing::Belief, fixing::Contradiction> asked() const { return fixing::believe(question()); }
    fixing::Belief believed() const {
        auto answer = asked();
        const auto* no = std::get_if<fixing::Contradiction>(&answer);
        EXPECT_EQ(no, nullptr) << no->why;
        return std::get<fixing::Belief>(std::move(answer));
    }

private:
    std::optional<navdata::Snapshot> world_;
};

/// Two lines of a degree, by distance and crossing angle, and the ellipse of one deviation.
///   Source    the table of trade-facts 16, [computed] there by the closed form.
struct TwoLines {
    double first_nm;
    double second_nm;
    double crossing_deg;
    double major_nm;
    double minor_nm;
};
inline constexpr TwoLines two_lines_of_a_degree[] = {{30, 30, 90, 0.524, 0.524},
                                                     {30, 30, 45, 0.967, 0.401},
                                                     {30, 30, 30, 1.430, 0.383},
                                                     {40, 20, 60, 0.836, 0.337}};

/// Only what is normal.
inline fixing::ReadingErrors without_blunders(double vor_deg) {
    fixing::ReadingErrors errors = fixing::ReadingErrors::of(radio::Criteria::terps);
    errors.vor = base::Angle::degrees(vor_deg);
    errors.reciprocal = 0.0;
    errors.nothing = 0.0;
    errors.heading_is_off = 0.0;
    return errors;
}

}  // namespace omniway::testing
