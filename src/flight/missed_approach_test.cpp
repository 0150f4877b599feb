#include "flight/missed_approach.hpp"

#include <cmath>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "flight/en_route.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_terrain.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;
using base::TrueBearing;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::At;
using omniway::testing::Sketch;
using omniway::testing::station_of;
using ::testing::HasSubstr;

namespace {

constexpr Aboard two_receivers{.receivers = 2};
constexpr Aboard one_receiver{.receivers = 1};
constexpr Aboard beacon_alone{.receivers = 1, .adf = true};

struct Asked {
    Aboard aboard = two_receivers;
    Settings settings = {};
    weather::Wind wind = {};
    double altitude_ft = 300.0;
    std::string tuned = {};
};

// A missed approach eastward over the origin, at a field at sea level.
OwnMissedOrReason ask(const Sketch& sketch, const Asked& asked, const radio::Ground& ground = {}) {
    const auto world = sketch.world();
    MissedStart start;
    start.approach = "XAAA NDB RW09";
    start.name = "RW09";
    start.place = sketch.at({0, 0});
    start.track = TrueBearing::degrees(90.0);
    start.altitude = Altitude::feet(asked.altitude_ft);
    start.published = Altitude::feet(2500.0);
    start.receiver_to_spare = asked.aboard.receivers > 1;
    if (!asked.tuned.empty()) {
        start.tuned = station_of(world, asked.tuned);
    }
    return own_missed_approach(world, ground, aircraft_with(asked.aboard), asked.settings, asked.wind, start);
}

Sketch with_vor(At place) {
    Sketch sketch;
    sketch.vor("VVV", place);
    return sketch;
}

}  // namespace

TEST(CaseOwnMissed, StraightAheadThenDirectToTheVorAndAHoldOverIt) {
    const auto found = ask(with_vor({10, 8}), {});
    ASSERT_TRUE(found.own);
    const OwnMissed& own = *found.own;
    ASSERT_EQ(own.legs.size(), 3U);
    EXPECT_TRUE(std::holds_alternative<procedure::OnHeading>(own.legs[0].stretches[0].guidance));
    EXPECT_TRUE(std::holds_alternative<procedure::AtAltitude>(*own.legs[0].ending));
    EXPECT_TRUE(std::holds_alternative<procedure::OnRadial>(own.legs[1].stretches[0].guidance));
    EXPECT_TRUE(std::holds_alternative<procedure::AtHold>(*own.legs[2].ending));
    EXPECT_FALSE(own.legs[0].published);
    // Nothing gives a minimum: what the published one ends at stands in, and is told to.
    EXPECT_FALSE(own.holds_at_known);
    EXPECT_NEAR(own.holds_at.feet(), 2500.0, 1e-6);
}

// No turn below 400 ft above the field: AIM 5-2-9, from memory (trade-facts 21).
RC_GTEST_PROP(LawOwnMissed, NoTurnBelow400FeetNorALongerHeadingThanDeadReckoningAllows, ()) {
    Asked asked;
    asked.altitude_ft = *rc::gen::inRange(50, 1200);
    asked.wind = {TrueBearing::degrees(*rc::gen::inRange(0, 360)),
                  base::Speed::knots(*rc::gen::inRange(0, 40))};
    const At place{static_cast<double>(*rc::gen::inRange(-25, 26)),
                   static_cast<double>(*rc::gen::inRange(-25, 26))};
    const Sketch sketch = with_vor(place);
    const auto found = ask(sketch, asked);
    RC_CLASSIFY(found.own.has_value(), "found");
    RC_ASSERT(found.own.has_value() == found.refused.empty());
    if (found.own) {
        const OwnMissed& own = *found.own;
        RC_ASSERT(own.turns_at >= Altitude::feet(400.0));
        RC_ASSERT(own.turns_at + Length::feet(1.0) > Altitude::feet(asked.altitude_ft));
        // A missed approach that begins high enough has no heading before the turn.
        const bool has_heading = own.legs.size() == 3U;
        const Length first = own.legs.front().length;
        const bool short_enough = first <= Length::nautical_miles(10.0) + Length::metres(1.0);
        RC_ASSERT((has_heading ? short_enough : own.legs.size() == 2U));
        for (std::size_t i = 1; i < own.legs.size(); ++i) {
            RC_ASSERT(earth::distance(own.legs[i - 1].finish, own.legs[i].start) < Length::metres(1.0));
        }
        RC_ASSERT(earth::distance(own.legs.back().finish, sketch.place("VVV")) < Length::metres(1.0));
        for (std::size_t i = 1; i < own.profile.size(); ++i) {
            RC_ASSERT(own.profile[i].along >= own.profile[i - 1].along);
            RC_ASSERT(own.profile[i].altitude + Length::feet(1.0) > own.profile[i - 1].altitude);
        }
    }
}

// Retuning the only receiver takes 40 s and does not begin below 500 ft (design section 3, Radios): from 300 ft the drawn twin's
// climb (1,500 ft a minute at sea level, less above) takes 8 s to 500 ft, and 40 s more bring it to about 1,460.
TEST(CaseOwnMissed, TheOnlyReceiverIsRetunedBeforeTheTurn) {
    const Sketch sketch = with_vor({10, 8}).vor("FIN", {-12, 0});
    const auto with_spare = ask(sketch, {.aboard = two_receivers, .tuned = "FIN"});
    const auto without = ask(sketch, {.aboard = one_receiver, .tuned = "FIN"});
    ASSERT_TRUE(with_spare.own);
    ASSERT_TRUE(without.own);
    EXPECT_NEAR(with_spare.own->turns_at.feet(), 400.0, 1e-6);
    // Back to FIN there is nothing to retune.
    if (without.own->station == station_of(sketch.world(), "FIN")) {
        EXPECT_NEAR(without.own->turns_at.feet(), 400.0, 1e-6);
    } else {
        EXPECT_GE(without.own->turns_at.feet(), 1400.0);
        EXPECT_LE(without.own->turns_at.feet(), 1600.0);
    }
    Sketch far = with_vor({10, 8});
    far.vor("FIN", {-39, 0}, {.service = ServiceClass::terminal});  // not heard beyond 25 NM
    const auto retuned = ask(far, {.aboard = one_receiver, .tuned = "FIN"});
    ASSERT_TRUE(retuned.own);
    EXPECT_GE(retuned.own->turns_at.feet(), 1400.0);
    EXPECT_LE(retuned.own->turns_at.feet(), 1600.0);
}

TEST(CaseOwnMissed, ABeaconNeedsAnAdf) {
    Sketch sketch;
    sketch.ndb("BBB", {8, 3});
    const auto without = ask(sketch, {.aboard = two_receivers});
    EXPECT_FALSE(without.own);
    ASSERT_FALSE(without.refused.empty());
    EXPECT_EQ(without.refused.front().code, "missed.no_own_navigation");
    EXPECT_THAT(without.refused.front().text, HasSubstr("ADF"));
    EXPECT_TRUE(ask(sketch, {.aboard = beacon_alone}).own);
}

TEST(CaseOwnMissed, WithoutAnyAidNearNothingIsFound) {
    const auto found = ask(with_vor({60, 0}), {});
    EXPECT_FALSE(found.own);
    EXPECT_THAT(found.refused.front().text, HasSubstr("no VOR or NDB stands within 40 NM"));
}

TEST(CaseOwnMissed, TheMinimumThatIsGivenIsReachedInTheHold) {
    Asked asked;
    asked.settings.off_airway_minimum = Altitude::feet(6000.0);
    const auto found = ask(with_vor({6, 2}), asked);
    ASSERT_TRUE(found.own);
    EXPECT_TRUE(found.own->holds_at_known);
    const auto& hold = std::get<procedure::AtHold>(*found.own->legs.back().ending);
    ASSERT_TRUE(hold.altitude);
    EXPECT_NEAR(hold.altitude->feet(), 6000.0, 1e-6);
}

// A wall of 9,000 ft stands 5 NM to the north, between the airport and one VOR; the other lies over the sea to the south.
TEST(CaseOwnMissed, ItClimbsAwayFromGroundThatItCannotClear) {
    Sketch sketch;
    sketch.vor("NNN", {4, 14}).vor("SSS", {4, -20});
    const double wall_deg = 40.0 + 5.0 / 60.0;
    const omniway::testing::DrawnGround drawn(
        earth::Position::degrees(40.0, -170.0), 4, [&](double lat, double) {
            return std::optional(lat > wall_deg && lat < wall_deg + 0.05 ? 2743.0 : 0.0);
        });
    // By volume, so that the wall does not silence the VOR behind it: the ground itself is what forbids the climb.
    const radio::Ground ground = drawn.ground(radio::ReceptionMode::volume);
    const auto found = ask(sketch, {}, ground);
    ASSERT_TRUE(found.own);
    EXPECT_EQ(found.own->station, station_of(sketch.world(), "SSS"));
    EXPECT_TRUE(climb_over_ground(&drawn.terrain, found.own->legs, found.own->profile).ground_known);
    EXPECT_FALSE(climb_over_ground(&drawn.terrain, found.own->legs, found.own->profile).below);
    const auto flat = ask(sketch, {});
    ASSERT_TRUE(flat.own);
    EXPECT_EQ(flat.own->station, station_of(sketch.world(), "NNN"));
}

namespace {

// What a missed approach is guided by, leg by leg: a heading up to an altitude, or a VOR.
struct Drawn {
    std::string station;        // empty: a heading
    double climbs_to_ft = 0.0;  // of a heading
};

std::optional<base::Finding> retunes(const Aboard& aboard, const std::vector<Drawn>& legs) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "ILS");
    sketch.vor("VVV", {10, 0}).ndb("BBB", {12, 0});
    const auto world = sketch.world();
    std::vector<procedure::PlacedLeg> placed;
    for (const Drawn& leg : legs) {
        procedure::PlacedLeg made;
        made.length = Length::nautical_miles(5.0);
        if (leg.station.empty()) {
            made.guidance = procedure::OnHeading{TrueBearing::degrees(90.0)};
            made.ending = procedure::AtAltitude{Altitude::feet(leg.climbs_to_ft)};
        } else if (leg.station == "BBB") {
            made.guidance = procedure::OnBeacon{station_of(world, "BBB"), true, TrueBearing::degrees(90.0)};
        } else if (leg.station == "ILS") {
            made.guidance = procedure::OnLocalizer{station_of(world, "ILS"), false, false};
        } else {
            made.guidance =
                procedure::OnRadial{station_of(world, leg.station), true, base::Radial::degrees(90.0)};
        }
        placed.push_back(made);
    }
    return retunes_only_receiver(world, aircraft_with(aboard), placed, station_of(world, "ILS"),
                                 Altitude::feet(200.0), "XAAA ILS RW09, missed");
}

}  // namespace

// Tuning and identifying a VOR takes 40 s (design section 3). At 1,500 ft a minute, less above, 300 ft are climbed in 12 s and 1,300
// ft in 54 s.
TEST(CaseMissedRetune, TheOnlyReceiverIsNotTakenFromWhatGuides) {
    const auto at_once = retunes(one_receiver, {{"ILS"}, {"VVV"}});
    ASSERT_TRUE(at_once);
    EXPECT_EQ(at_once->code, "missed.retunes_only_receiver");
    EXPECT_THAT(at_once->text, HasSubstr("from ILS to VVV with 0 s"));
    EXPECT_TRUE(retunes(one_receiver, {{"", 500.0}, {"VVV"}}));
    EXPECT_FALSE(retunes(one_receiver, {{"", 1500.0}, {"VVV"}}));
    EXPECT_FALSE(retunes(one_receiver, {{"ILS"}}));
    EXPECT_FALSE(retunes(two_receivers, {{"ILS"}, {"VVV"}}));
    EXPECT_FALSE(retunes(beacon_alone, {{"BBB"}, {"VVV"}}));
}

}  // namespace omniway::flight
