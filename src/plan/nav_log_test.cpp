#include "plan/nav_log.hpp"

#include <cmath>
#include <fstream>
#include <map>
#include <sstream>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/real_data.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Duration;
using base::Length;
using base::Mass;
using base::MassFlow;
using base::Speed;
using base::TrueBearing;
using omniway::testing::magnetic_model;
using weather::Wind;

namespace {

// Aircraft, winds and legs as tests/reference/nav_log.txt gives them.
aircraft::Aircraft worked_aircraft() {
    using weather::CalibratedAirspeed;
    aircraft::Aircraft all = testing::aircraft_with({});
    all.performance.climb = {.airspeed = CalibratedAirspeed::knots(100),
                             .mach_limit = std::nullopt,
                             .rate_at_sea_level = base::VerticalSpeed::feet_per_minute(1000),
                             .rate_at_ceiling = base::VerticalSpeed::feet_per_minute(100),
                             .fuel_flow = MassFlow::pounds_per_hour(90)};
    all.performance.cruise = {{Altitude::feet(8000), Speed::knots(150), MassFlow::pounds_per_hour(72)}};
    all.performance.descent = {.airspeed = CalibratedAirspeed::knots(130),
                               .mach_limit = std::nullopt,
                               .rate = base::VerticalSpeed::feet_per_minute(500),
                               .fuel_flow = MassFlow::pounds_per_hour(48)};
    all.performance.approach_speed = CalibratedAirspeed::knots(75);
    all.performance.service_ceiling = Altitude::feet(19000);
    all.fuel = {.usable = Mass::pounds(330), .taxi = Mass::pounds(10), .reserve = base::minutes(45)};
    return all;
}

weather::WindsAloft worked_winds() {
    const auto at = [](double feet, double from_deg, double knots) {
        return weather::WindAt{Altitude::feet(feet), {TrueBearing::degrees(from_deg), Speed::knots(knots)}};
    };
    return weather::WindsAloft({at(0, 240, 12), at(3000, 260, 22), at(6000, 270, 30), at(9000, 285, 38)});
}

struct LegDrawn {
    const char* to;
    double track_deg, length_nm, minimum_ft;
};
const std::vector<LegDrawn> worked_legs{{"XAP", 72, 30, 2000},  {"XBE", 118, 24, 2000},
                                        {"XCO", 164, 31, 2000}, {"XDU", 221, 27, 2000},
                                        {"XEL", 283, 38, 2000}, {"RW31", 309, 12, 600}};

struct Drawn {
    navdata::Snapshot world = testing::Sketch().world();
    aircraft::Aircraft aircraft = worked_aircraft();
    weather::WindsAloft winds = worked_winds();
    flight::Flight flight;
    flight::FlightTrack track;

    explicit Drawn(const std::vector<LegDrawn>& legs, weather::WindsAloft blowing)
        : winds(std::move(blowing)) {
        flight.cruise = Altitude::feet(8000);
        flight.alternate_fuel = Mass::pounds(31);
        earth::Position at = earth::Position::degrees(-36, -137);
        for (const LegDrawn& drawn : legs) {
            flight::Leg leg;
            leg.phase = &drawn == &legs.back() ? flight::Phase::approach : flight::Phase::en_route;
            leg.via = "direct";
            leg.start = at;
            leg.track = TrueBearing::degrees(drawn.track_deg);
            leg.length = Length::nautical_miles(drawn.length_nm);
            at = leg.finish = earth::destination(leg.start, leg.track, leg.length);
            leg.arrival = earth::bearing(leg.finish, leg.start).reciprocal();
            leg.to = procedure::PlacedFix{drawn.to, at, std::nullopt, false};
            leg.stretches = {{Length(), leg.length, procedure::OnHeading{leg.track}}};
            leg.minimum = {flight::MinimumFrom::given_by_user, Altitude::feet(drawn.minimum_ft)};
            leg.ending = procedure::AtIntercept{};
            flight.legs.push_back(leg);
        }
        flight.profile = flight::profile_of(flight, aircraft, Altitude(), Altitude(), winds);
        track = flight::track_of(world, aircraft, magnetic_model(), {2025.5}, winds, flight);
    }

    NavLog log(NavLogQuestion question = {AlternateAsked::given, "XALT", std::nullopt}) const {
        return nav_log(aircraft, magnetic_model(), {2025.5}, winds, flight, track, question);
    }
};

Drawn worked() {
    return Drawn(worked_legs, worked_winds());
}

base::Instant at_clock(double hours, double minutes) {
    return base::Instant(Duration(1'764'158'400.0 + hours * 3600.0 + minutes * 60.0));  // 2025-11-26T12:00Z
}

std::size_t row_to(const NavLog& log, const std::string& name) {
    for (std::size_t i = 0; i < log.rows.size(); ++i) {
        if (log.rows[i].to == name) {
            return i + 1;
        }
    }
    return 0;
}

double figure(const NavLogRow& row, const std::string& name) {
    const base::TrueBearing heading = base::to_true(row.heading.value(), row.variation);
    const std::map<std::string, double> all{{"altitude_ft", row.altitude.feet()},
                                            {"wind_from_true_deg", row.wind.from.degrees()},
                                            {"wind_kt", row.wind.speed.knots()},
                                            {"true_airspeed_kt", row.true_airspeed.knots()},
                                            {"track_true_deg", row.track.degrees()},
                                            {"correction_deg", row.correction.value().degrees()},
                                            {"heading_true_deg", heading.degrees()},
                                            {"heading_magnetic_deg", row.heading->degrees()},
                                            {"groundspeed_kt", row.groundspeed.value().knots()},
                                            {"distance_nm", row.distance.nautical_miles()},
                                            {"total_nm", row.total.nautical_miles()},
                                            {"remaining_nm", row.remaining.nautical_miles()},
                                            {"time_min", base::in_minutes(row.time.value())},
                                            {"elapsed_min", base::in_minutes(row.elapsed.value())},
                                            {"fuel_lb", row.fuel.pounds()},
                                            {"fuel_used_lb", row.fuel_used.pounds()},
                                            {"fuel_left_lb", row.fuel_left.pounds()}};
    return all.at(name);
}

double figure(const FuelTable& fuel, const std::string& name) {
    const std::map<std::string, double> all{{"taxi_lb", fuel.taxi.pounds()},
                                            {"trip_lb", fuel.trip.pounds()},
                                            {"alternate_lb", fuel.alternate.value().pounds()},
                                            {"reserve_lb", fuel.reserve.pounds()},
                                            {"needed_lb", fuel.needed.pounds()},
                                            {"extra_lb", fuel.extra.pounds()}};
    return all.at(name);
}

// "past_14_XDU_min": when XDU is reached, in minutes past 14:00Z.
double flown_figure(const NavLog& log, const std::string& name) {
    const WindFound& found = log.found.back();
    if (name == "groundspeed_made_kt") {
        return log.rows[found.rows_to - 1].groundspeed_made.value().knots();
    }
    if (name == "found_from_true_deg") {
        return found.wind.from.degrees();
    }
    if (name == "found_kt") {
        return found.wind.speed.knots();
    }
    const std::string point = name.substr(8, name.size() - 12);
    return base::in_minutes(log.rows.at(row_to(log, point) - 1).arriving.value() - at_clock(2, 0));
}

NavLog flown(std::optional<base::Angle> drift) {
    NavLog log = worked().log();
    const std::vector<Passage> passages{{row_to(log, "XBE"), at_clock(2, 30), std::nullopt},
                                        {row_to(log, "XCO"), at_clock(2, 44), drift}};
    return std::get<NavLog>(as_flown(std::move(log), passages));
}

}  // namespace

// tests/reference/nav_log.txt: every figure worked by hand, each with its formula and its tolerance.
TEST(TruthNavLog, EveryFigureAgreesWithTheLogWorkedByHand) {
    std::ifstream file(testing::source_folder() / "tests/reference/nav_log.txt");
    ASSERT_TRUE(file);
    const NavLog log = worked().log();
    const NavLog over = flown(std::nullopt);
    const NavLog drift = flown(base::Angle::degrees(-9.0));
    std::size_t checked = 0;
    for (std::string line; std::getline(file, line);) {
        if (line.empty() || line.front() == '#') {
            continue;
        }
        std::istringstream words(line);
        std::string row;
        std::string name;
        double value = 0.0;
        double tolerance = 0.0;
        ASSERT_TRUE(words >> row >> name >> value >> tolerance) << line;
        ++checked;
        if (row == "fuel") {
            EXPECT_NEAR(figure(log.fuel, name), value, tolerance) << line;
        } else if (row == "over" || row == "drift") {
            EXPECT_NEAR(flown_figure(row == "over" ? over : drift, name), value, tolerance) << line;
        } else {
            const std::size_t index = row_to(log, row);
            ASSERT_GT(index, 0U) << line;
            EXPECT_NEAR(figure(log.rows[index - 1], name), value, tolerance) << line;
        }
    }
    EXPECT_EQ(log.rows.size(), 8U);
    EXPECT_EQ(checked, 8U * 17U + 6U + 14U);
}

// The rule is "variation east, magnetic least" (trade-facts 15); the variation is the published one of the place.
TEST(TruthNavLog, MagneticIsTrueLessTheEasterlyVariation) {
    for (const NavLogRow& row : worked().log().rows) {
        EXPECT_NEAR(row.variation.east().degrees(), 20.28, 1.0);
        EXPECT_NEAR(
            (base::TrueBearing::degrees(row.course.degrees() + row.variation.east().degrees()) - row.track)
                .degrees(),
            0.0, 1e-9);
    }
}

TEST(CaseNavLog, AnAlternateThatIsNotSaidIsAskedFor) {
    const auto code = [](AlternateAsked asked, std::optional<Mass> fuel) {
        Drawn drawn = worked();
        drawn.flight.alternate_fuel = fuel;
        const NavLog log = drawn.log({asked, "XALT", std::nullopt});
        return log.findings.empty() ? std::string() : log.findings.front().code;
    };
    EXPECT_EQ(code(AlternateAsked::not_said, std::nullopt), "fuel.alternate_not_said");
    EXPECT_EQ(code(AlternateAsked::not_needed, std::nullopt), "");
    EXPECT_EQ(code(AlternateAsked::given, Mass::pounds(31)), "");
    EXPECT_EQ(code(AlternateAsked::given, std::nullopt), "fuel.alternate_not_reached");
}

TEST(CaseNavLog, WhereNoHeadingHoldsATrackTimesEndAndAreNotZero) {
    const Drawn storm(worked_legs, Wind{TrueBearing::degrees(28), Speed::knots(155)});
    const NavLog log = storm.log();
    EXPECT_FALSE(log.time);
    EXPECT_FALSE(log.rows.back().elapsed);
}

TEST(CaseNavLog, AWindNobodyBelievesIsRefused) {
    NavLog log = worked().log();
    const auto answer = as_flown(log, {{row_to(log, "XBE"), at_clock(2, 30), std::nullopt},
                                       {row_to(log, "XCO"), at_clock(2, 34), std::nullopt}});
    const auto* refused = std::get_if<ImplausiblePassage>(&answer);
    ASSERT_NE(refused, nullptr);
    EXPECT_EQ(refused->which, 1U);
    EXPECT_NEAR(refused->groundspeed.knots(), 465.0, 0.5);
}

// The take-off at 23:50Z: what is reached after 00:00 is of the next day.
TEST(CaseNavLog, MidnightPasses) {
    const base::Instant late(Duration(1'764'201'000.0));  // 2025-11-26T23:50Z
    const NavLog log = worked().log({AlternateAsked::not_needed, "", late});
    EXPECT_EQ(base::date_and_clock_text(log.rows.back().arriving.value()).substr(0, 14), "2025-11-27T01:");
}

TEST(CaseNavLog, AClimbInAHoldTakesItsTimeAtItsAirspeed) {
    Drawn drawn = worked();
    flight::TrackStep& step = drawn.track.steps[2];
    step.ending = procedure::AtHold{procedure::PlacedFix{"XCO", step.finish, std::nullopt, false},
                                    navdata::Turn::right, false, Altitude::feet(8000)};
    const NavLogRow row = drawn.log().rows[3];
    EXPECT_TRUE(row.hold);
    EXPECT_FALSE(row.heading);
    EXPECT_NEAR(base::in_minutes(*row.time), 31.0 / 150.0 * 60.0, 0.01);
}

namespace {

struct AnyLog {
    std::vector<LegDrawn> legs;
    Wind wind;
};

AnyLog any_log() {
    static const char* const names[] = {"XA", "XB", "XC", "XD", "XE", "XF", "XG"};
    AnyLog any;
    const int count = *rc::gen::inRange(2, 7);
    for (int i = 0; i < count; ++i) {
        any.legs.push_back({names[i], static_cast<double>(*rc::gen::inRange(0, 360)),
                            static_cast<double>(*rc::gen::inRange(10, 50)), i + 1 == count ? 600.0 : 2000.0});
    }
    any.wind = {TrueBearing::degrees(*rc::gen::inRange(0, 360)), Speed::knots(*rc::gen::inRange(0, 41))};
    return any;
}

}  // namespace

RC_GTEST_PROP(LawNavLog, TheRowsAddUpToTheTotals, ()) {
    const AnyLog any = any_log();
    const Drawn drawn(any.legs, any.wind);
    const NavLog log = drawn.log();
    Length distance;
    Duration time(0.0);
    Mass fuel;
    for (const NavLogRow& row : log.rows) {
        distance += row.distance;
        time += row.time.value();
        fuel += row.fuel;
    }
    RC_ASSERT(std::abs((distance - drawn.flight.length()).metres()) < 0.01);
    RC_ASSERT(std::abs((*log.time - time).count()) < 1e-6);
    RC_ASSERT(std::abs((log.fuel.trip - fuel).pounds()) < 1e-9);
    RC_ASSERT(std::abs((log.rows.back().fuel_used - fuel - log.fuel.taxi).pounds()) < 1e-9);
    RC_ASSERT(std::abs(log.rows.back().remaining.metres()) < 0.01);
    RC_ASSERT(std::abs((log.fuel.needed + log.fuel.extra - log.fuel.usable).pounds()) < 1e-9);
}

RC_GTEST_PROP(LawNavLog, WithoutWindTheGroundGoesByAtTheAirspeed, ()) {
    const NavLog log = Drawn(any_log().legs, Wind{}).log();
    for (const NavLogRow& row : log.rows) {
        RC_ASSERT(std::abs((*row.groundspeed - row.true_airspeed).knots()) < 1e-9);
        RC_ASSERT(std::abs(row.correction->degrees()) < 1e-9);
    }
}

RC_GTEST_PROP(LawNavLog, AWayAndItsWindTurnedRoundTakeTheSameTime, ()) {
    AnyLog any = any_log();
    const NavLog there = Drawn(any.legs, any.wind).log();
    for (LegDrawn& leg : any.legs) {
        leg.track_deg = std::fmod(leg.track_deg + 180.0, 360.0);
    }
    any.wind.from = any.wind.from.reciprocal();
    const NavLog back = Drawn(any.legs, any.wind).log();
    RC_ASSERT(there.rows.size() == back.rows.size());
    // The meridians turn the other way: within a quarter of a percent.
    RC_ASSERT(std::abs((*there.time / *back.time) - 1.0) < 0.0025);
}

RC_GTEST_PROP(LawNavLog, PassagesAsForecastFindTheWindThatWasForecast, ()) {
    const AnyLog any = any_log();
    const NavLog log = Drawn(any.legs, any.wind).log({AlternateAsked::not_needed, "", at_clock(0, 0)});
    std::vector<Passage> passages{{0, at_clock(0, 0), std::nullopt}};
    for (std::size_t i = 0; i < log.rows.size(); ++i) {
        if (*rc::gen::arbitrary<bool>()) {
            passages.push_back({i + 1, log.rows[i].arriving.value(), std::nullopt});
        }
    }
    const NavLog flown = std::get<NavLog>(as_flown(log, passages));
    for (const WindFound& found : flown.found) {
        RC_ASSERT(found.change.speed.knots() < 0.01);
    }
    RC_ASSERT(std::abs((flown.rows.back().arriving.value() - log.rows.back().arriving.value()).count()) <
              0.1);
}

// Four legs that turn all round, in 15 kt from 021: a wind along the line from end to end hardly changes the time.
TEST(CaseNavLog, OnAWayThatTurnsRoundAPassageOnTimeChangesNoWind) {
    const std::vector<LegDrawn> legs = {
        {"XA", 0, 13, 2000}, {"XB", 29, 10, 2000}, {"XC", 264, 24, 2000}, {"XD", 111, 15, 600}};
    const NavLog log = Drawn(legs, Wind{TrueBearing::degrees(21), Speed::knots(15)})
                           .log({AlternateAsked::not_needed, "", at_clock(0, 0)});
    ASSERT_EQ(log.rows.size(), 6U);
    const NavLog flown = std::get<NavLog>(as_flown(log, {{0, at_clock(0, 0), std::nullopt},
                                                         {4, log.rows[3].arriving.value(), std::nullopt},
                                                         {6, log.rows[5].arriving.value(), std::nullopt}}));
    for (const WindFound& found : flown.found) {
        EXPECT_LT(found.change.speed.knots(), 0.01) << found.rows_to;
    }
}

// One wind really blows, another was forecast. What was forecast across is kept; with the drift seen the whole wind is found.
RC_GTEST_PROP(LawNavLog, TimesAndDriftFindTheWindThatReallyBlows, ()) {
    const Wind real{TrueBearing::degrees(*rc::gen::inRange(0, 360)), Speed::knots(*rc::gen::inRange(0, 50))};
    const NavLog forecast = worked().log();
    NavLog truth = forecast;
    const std::size_t row = row_to(forecast, "XCO");
    const auto held =
        aircraft::hold_course(truth.rows[row - 1].track, truth.rows[row - 1].true_airspeed, real);
    RC_ASSERT(held.has_value());
    const Duration time = truth.rows[row - 1].distance / held->groundspeed;
    const NavLog flown =
        std::get<NavLog>(as_flown(forecast, {{row - 1, at_clock(2, 0), std::nullopt},
                                             {row, at_clock(2, 0) + time, -held->correction}}));
    const WindFound& found = flown.found.back();
    RC_ASSERT(found.across_found);
    const double apart_kt = std::hypot(found.wind.speed.knots() * base::cos(found.wind.from.from_north()) -
                                           real.speed.knots() * base::cos(real.from.from_north()),
                                       found.wind.speed.knots() * base::sin(found.wind.from.from_north()) -
                                           real.speed.knots() * base::sin(real.from.from_north()));
    RC_ASSERT(apart_kt < 0.05);
}

}  // namespace omniway::plan
