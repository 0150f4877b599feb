#include "plan/position_report.hpp"

#include <gtest/gtest.h>

namespace omniway::plan {
namespace {

using base::Length;
using earth::Position;

// On the equator a degree of longitude is 60.1077 NM (6 378 137 m x pi / 180 / 1852), which is a geodesic; beside it a degree of latitude is 59.7053 NM
// (110 574 m: WGS 84, a (1 - e2) x pi / 180).
constexpr double degree_east_nm = 60.1077;
constexpr double degree_north_nm = 59.7053;

// East along the equator for a degree and north for a third of one.
CardWay way() {
    const Length corner = Length::nautical_miles(degree_east_nm);
    const Length end = corner + Length::nautical_miles(degree_north_nm / 3.0);
    return {{Position::degrees(0.0, 10.0), Position::degrees(0.0, 10.5), Position::degrees(0.0, 11.0),
             Position::degrees(1.0 / 3.0, 11.0)},
            {Length(), corner / 2.0, corner, end},
            {{1, "XONE", corner * 0.25}, {2, "XTWO", corner}, {3, "XEND", end}}};
}

void expect(const AgainstCard& found, int step, double aside_right_nm, double to_end_nm) {
    EXPECT_EQ(found.step, step);
    EXPECT_NEAR(found.aside.nautical_miles(), aside_right_nm, 0.001);
    EXPECT_NEAR(found.to_end.nautical_miles(), to_end_nm, 0.001);
}

fixing::Suspicion suspicion(fixing::Wrong wrong, std::optional<std::size_t> reading) {
    return {wrong, reading, 0.1, std::nullopt, std::nullopt};
}

}  // namespace

TEST(CasePositionReport, APlaceLiesAbeamAStepAndAsideOfIt) {
    expect(against_card(way(), Position::degrees(0.0, 10.1)), 1, 0.0, 0.15 * degree_east_nm);
    expect(against_card(way(), Position::degrees(-0.02, 10.6)), 2, 0.02 * degree_north_nm,
           0.4 * degree_east_nm);
    expect(against_card(way(), Position::degrees(0.02, 10.6)), 2, -0.02 * degree_north_nm,
           0.4 * degree_east_nm);
    expect(against_card(way(), Position::degrees(0.2, 11.05)), 3, 0.05 * degree_east_nm,
           (1.0 / 3.0 - 0.2) * degree_north_nm);
}

TEST(CasePositionReport, BeforeTheBeginningAndPastTheEndItIsTheDistanceToThem) {
    expect(against_card(way(), Position::degrees(0.0, 9.9)), 1, 0.1 * degree_east_nm, 0.25 * degree_east_nm);
    expect(against_card(way(), Position::degrees(0.4, 11.0)), 3, (0.4 - 1.0 / 3.0) * degree_north_nm, 0.0);
}

TEST(CasePositionReport, ATimeOfTheDayIsToldWhereOneIsKnown) {
    PositionSetting setting;
    EXPECT_EQ(read_at_text(setting, base::Duration(0.0)), "now");
    EXPECT_EQ(read_at_text(setting, base::minutes(6.0)), "6 min ago");
    setting.now = base::minutes(4.0);
    EXPECT_EQ(read_at_text(setting, base::Duration(0.0)), "00:04Z");
    EXPECT_EQ(read_at_text(setting, base::minutes(6.0)), "23:58Z");
}

TEST(CasePositionReport, WhatMayBeWrongIsNamed) {
    const auto world = navdata::Snapshot::build({}).value;
    const std::vector<fixing::Reading> readings{
        {fixing::RadialRead{{}, base::Radial::degrees(123.0)}, base::Duration(0.0), "XAB radial 123"},
        {fixing::BearingRead{{}, base::MagneticBearing::degrees(45.0)}, base::Duration(0.0),
         "bearing 045 to XNB"}};
    using fixing::Wrong;
    EXPECT_EQ(suspicion_text(world, readings, suspicion(Wrong::reciprocal, 0)),
              "TO for FROM: XAB radial 123 is radial 303");
    EXPECT_EQ(suspicion_text(world, readings, suspicion(Wrong::reciprocal, 1)),
              "the tail of the pointer for its head: bearing 045 to XNB");
    fixing::Suspicion off = suspicion(Wrong::heading_off, std::nullopt);
    off.by = base::Angle::degrees(-19.6);
    EXPECT_EQ(suspicion_text(world, readings, off),
              "the heading indicator is off: it shows 20 degrees too little");
}

}  // namespace omniway::plan
