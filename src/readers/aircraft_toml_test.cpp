#include "readers/aircraft_toml.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::readers {

using cockpit::AdfIndicator;
using cockpit::CourseIndicator;
using cockpit::DmeControl;
using testing::HasSubstr;

namespace {

std::string contents(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    EXPECT_TRUE(stream) << file;
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

aircraft::Aircraft shipped(const std::string& name) {
    const AircraftOrFaults read = read_aircraft_file("data/aircraft/" + name + ".toml");
    if (!read) {
        for (const base::Error& error : read.error()) {
            ADD_FAILURE() << base::to_text(error);
        }
        return {};
    }
    return *read;
}

/// The trainer's file with the first `from` replaced by `to`.
std::string trainer_with(const std::string& from, const std::string& to) {
    std::string text = contents("data/aircraft/trainer.toml");
    const std::size_t at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    return text.replace(at, from.size(), to);
}

std::vector<base::Error> faults_of(const std::string& text) {
    const AircraftOrFaults read = read_aircraft(text, "mine.toml");
    return read ? std::vector<base::Error>() : read.error();
}

/// "# expect aircraft.unknown_key 7:1 did you mean ceiling_ft?": what a broken file says of itself.
struct Expected {
    std::string code;
    std::string place;
    std::string words;
};

std::vector<Expected> expected_of(const std::string& text) {
    std::vector<Expected> expected;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        constexpr std::string_view mark = "# expect ";
        if (line.starts_with(mark)) {
            std::istringstream words(line.substr(mark.size()));
            Expected one;
            words >> one.code >> one.place >> std::ws;
            std::getline(words, one.words);
            expected.push_back(one);
        }
    }
    return expected;
}

}  // namespace

TEST(CaseAircraftFile, EveryBrokenFileIsRefusedWithAllItsFaultsInTheirPlaces) {
    int files = 0;
    for (const auto& entry : std::filesystem::directory_iterator("tests/broken")) {
        const std::string name = entry.path().filename().string();
        if (!name.starts_with("aircraft-")) {
            continue;
        }
        ++files;
        const std::vector<Expected> expected = expected_of(contents(entry.path()));
        ASSERT_FALSE(expected.empty()) << name << " says nothing of what is wrong with it";
        const AircraftOrFaults read = read_aircraft_file(entry.path());
        ASSERT_FALSE(read) << name << " was read";
        std::string all;
        for (const base::Error& error : read.error()) {
            all += base::to_text(error) + "\n";
        }
        ASSERT_EQ(read.error().size(), expected.size()) << name << ":\n" << all;
        for (std::size_t i = 0; i < expected.size(); ++i) {
            EXPECT_EQ(read.error()[i].code, expected[i].code) << name << ":\n" << all;
            EXPECT_EQ(read.error()[i].where, entry.path().string() + ":" + expected[i].place) << all;
            EXPECT_THAT(read.error()[i].message, HasSubstr(expected[i].words)) << name;
        }
    }
    EXPECT_GE(files, 20);
}

TEST(CaseAircraftFile, TheShippedTrainerHasOneCdiAndNoDme) {
    const aircraft::Aircraft trainer = shipped("trainer");
    const cockpit::Equipment expected{.receivers = {{CourseIndicator::cdi, true, false}},
                                      .dme = std::nullopt,
                                      .adf = std::nullopt,
                                      .marker_receiver = true};
    EXPECT_EQ(trainer.equipment, expected);
    EXPECT_NEAR(aircraft::true_airspeed_cruise(trainer.performance, base::Altitude::feet(5000)).knots(), 95.0,
                1e-9);
    EXPECT_EQ(aircraft::letter(aircraft::approach_category(trainer.performance.approach_speed)), 'A');
}

TEST(CaseAircraftFile, TheShippedSingleHasAnHsiWithGlideslopeADmeWithHoldAndAnAdf) {
    const aircraft::Aircraft single = shipped("single");
    const cockpit::Equipment expected{
        .receivers = {{CourseIndicator::hsi, true, true}, {CourseIndicator::cdi, true, false}},
        .dme = DmeControl::follows_receiver_with_hold,
        .adf = AdfIndicator::movable_card,
        .marker_receiver = true};
    EXPECT_EQ(single.equipment, expected);
    EXPECT_NEAR(aircraft::true_airspeed_cruise(single.performance, base::Altitude::feet(6000)).knots(), 149.0,
                1e-9);
}

TEST(CaseAircraftFile, TheShippedTwinAndJetHaveADmeOfTheirOwnAndAnRmi) {
    for (const char* name : {"twin", "jet"}) {
        const aircraft::Aircraft aircraft = shipped(name);
        EXPECT_EQ(aircraft.equipment.dme, DmeControl::own_control) << name;
        EXPECT_EQ(aircraft.equipment.adf, AdfIndicator::rmi) << name;
        ASSERT_EQ(aircraft.equipment.receivers.size(), 2U) << name;
        EXPECT_EQ(aircraft.equipment.receivers[0].indicator, CourseIndicator::hsi) << name;
        EXPECT_TRUE(aircraft.equipment.has_glideslope()) << name;
    }
    EXPECT_EQ(shipped("jet").equipment.receivers[1].indicator, CourseIndicator::hsi);
    EXPECT_NEAR(shipped("twin").performance.service_ceiling.feet(), 25000.0, 1e-9);
    EXPECT_NEAR(shipped("jet").performance.service_ceiling.feet(), 35000.0, 1e-9);
}

TEST(CaseAircraftFile, EveryShippedAircraftCanClimbToItsCeilingAndComeDown) {
    for (const char* name : {"trainer", "single", "twin", "jet"}) {
        const aircraft::Aircraft aircraft = shipped(name);
        const base::Altitude ceiling = aircraft.performance.service_ceiling;
        const aircraft::Passage up = climb_between(aircraft.performance, base::Altitude::feet(0), ceiling);
        const aircraft::Passage down =
            descent_between(aircraft.performance, ceiling, base::Altitude::feet(0));
        EXPECT_GT(base::in_minutes(up.time), 5.0) << name;
        EXPECT_LT(base::in_minutes(up.time), 60.0) << name;
        EXPECT_LT(aircraft.fuel.taxi + up.fuel + down.fuel + reserve_fuel(aircraft, ceiling),
                  aircraft.fuel.usable)
            << name;
    }
}

TEST(CaseAircraftFile, EachFigureGoesWhereItsKeySays) {
    const aircraft::Aircraft trainer = shipped("trainer");
    EXPECT_EQ(trainer.name, "Quillet 90 trainer");
    EXPECT_NEAR(trainer.performance.service_ceiling.feet(), 12500.0, 1e-9);
    EXPECT_NEAR(trainer.performance.climb.airspeed.knots(), 68.0, 1e-9);
    EXPECT_NEAR(trainer.performance.climb.rate_at_sea_level.feet_per_minute(), 650.0, 1e-9);
    EXPECT_NEAR(trainer.performance.climb.rate_at_ceiling.feet_per_minute(), 100.0, 1e-9);
    EXPECT_NEAR(trainer.performance.climb.fuel_flow.pounds_per_hour(), 48.0, 1e-9);
    EXPECT_FALSE(trainer.performance.climb.mach_limit);
    EXPECT_NEAR(fuel_flow_cruise(trainer.performance, base::Altitude::feet(0)).pounds_per_hour(), 36.0, 1e-9);
    EXPECT_NEAR(trainer.performance.descent.airspeed.knots(), 85.0, 1e-9);
    EXPECT_NEAR(trainer.performance.descent.rate.feet_per_minute(), 500.0, 1e-9);
    EXPECT_NEAR(trainer.performance.descent.fuel_flow.pounds_per_hour(), 30.0, 1e-9);
    EXPECT_NEAR(trainer.performance.approach_speed.knots(), 60.0, 1e-9);
    EXPECT_NEAR(trainer.fuel.usable.pounds(), 135.0, 1e-9);
    EXPECT_NEAR(trainer.fuel.taxi.pounds(), 6.0, 1e-9);
    EXPECT_NEAR(base::in_minutes(trainer.fuel.reserve), 45.0, 1e-9);
    EXPECT_NEAR(trainer.runway_need.take_off.feet(), 1800.0, 1e-9);
    EXPECT_NEAR(trainer.runway_need.landing.feet(), 1600.0, 1e-9);
    EXPECT_NEAR(trainer.wind_limits.crosswind.knots(), 12.0, 1e-9);
    EXPECT_NEAR(trainer.wind_limits.tailwind.knots(), 5.0, 1e-9);
    EXPECT_NEAR(shipped("jet").performance.climb.mach_limit.value().number(), 0.70, 1e-12);
    EXPECT_NEAR(shipped("jet").performance.descent.mach_limit.value().number(), 0.72, 1e-12);
}

TEST(CaseAircraftFile, AKeyWithItsUnitLeftOffIsAnsweredWithTheWholeKey) {
    const std::vector<base::Error> faults = faults_of(trainer_with("ceiling_ft", "ceiling"));
    ASSERT_EQ(faults.size(), 1U);
    EXPECT_EQ(faults[0].code, "aircraft.unknown_key");
    EXPECT_EQ(faults[0].where, "mine.toml:5:1");
    EXPECT_THAT(faults[0].message, HasSubstr("did you mean ceiling_ft?"));
}

TEST(CaseAircraftFile, WhatIsNeitherANumberNorFiniteIsOutOfRange) {
    for (const char* value : {"nan", "inf", "-inf", "-1", "1e300", "9223372036854775807"}) {
        const std::vector<base::Error> faults =
            faults_of(trainer_with("ceiling_ft = 12500", std::string("ceiling_ft = ") + value));
        ASSERT_EQ(faults.size(), 1U) << value;
        EXPECT_EQ(faults[0].code, "aircraft.out_of_range") << value;
        EXPECT_THAT(faults[0].message, HasSubstr("1000 to 60000 ft")) << value;
        EXPECT_EQ(faults[0].where, "mine.toml:5:14") << value;
    }
}

TEST(CaseAircraftFile, AnAircraftWithoutReceiversIsStillAnAircraft) {
    const std::string text = contents("data/aircraft/trainer.toml");
    const AircraftOrFaults read = read_aircraft(text.substr(0, text.find("[[receiver]]")), "mine.toml");
    ASSERT_TRUE(read);
    EXPECT_TRUE(read->equipment.receivers.empty());
}

TEST(CaseAircraftFile, MissingFoldersAndHugeFilesAreUnreadable) {
    const AircraftOrFaults missing = read_aircraft_file("data/aircraft/no-such-aircraft.toml");
    ASSERT_FALSE(missing);
    EXPECT_EQ(missing.error().at(0).code, "aircraft.unreadable");
    EXPECT_EQ(missing.error().at(0).where, "data/aircraft/no-such-aircraft.toml");
    EXPECT_THAT(missing.error().at(0).message, HasSubstr("no such file"));
    const AircraftOrFaults folder = read_aircraft_file("data/aircraft");
    ASSERT_FALSE(folder);
    EXPECT_THAT(folder.error().at(0).message, HasSubstr("folder"));

    const std::filesystem::path huge =
        std::filesystem::path(testing::TempDir()) / "omniway-huge-aircraft.toml";
    std::ofstream(huge) << std::string((1U << 20U) + 1U, '#');
    const AircraftOrFaults large = read_aircraft_file(huge);
    std::filesystem::remove(huge);
    ASSERT_FALSE(large);
    EXPECT_THAT(large.error().at(0).message, HasSubstr("1 MiB"));
}

TEST(CaseAircraftFile, TheGuideNamesEveryKeyOfTheShippedFiles) {
    const std::string guide = contents("docs/aircraft-file.md");
    int keys = 0;
    for (const char* name : {"trainer", "single", "twin", "jet"}) {
        std::istringstream lines(contents(std::string("data/aircraft/") + name + ".toml"));
        for (std::string line; std::getline(lines, line);) {
            const std::size_t equals = line.find(" = ");
            if (line.starts_with('#') || equals == std::string::npos) {
                continue;
            }
            ++keys;
            const std::string key = line.substr(0, equals);
            EXPECT_TRUE(guide.find("`" + key + "`") != std::string::npos ||
                        guide.find("\n" + key + " = ") != std::string::npos)
                << key;
        }
    }
    EXPECT_GT(keys, 80);
}

// Any byte or three changed in a good file: it is read, or refused with at least one fault, each with its place.
RC_GTEST_PROP(LawAircraftFile, ADamagedFileIsReadOrRefusedInFull, ()) {
    std::string text = contents("data/aircraft/single.toml");
    const int slips = *rc::gen::inRange(1, 4);
    for (int i = 0; i < slips; ++i) {
        text[*rc::gen::inRange<std::size_t>(0, text.size())] = *rc::gen::arbitrary<char>();
    }
    if (*rc::gen::arbitrary<bool>()) {
        text.resize(*rc::gen::inRange<std::size_t>(0, text.size()));
    }
    const AircraftOrFaults read = read_aircraft(text, "mine.toml");
    if (!read) {
        RC_ASSERT(!read.error().empty());
        for (const base::Error& error : read.error()) {
            RC_ASSERT(error.where.starts_with("mine.toml:"));
            RC_ASSERT(!error.message.empty());
        }
    }
}

}  // namespace omniway::readers
