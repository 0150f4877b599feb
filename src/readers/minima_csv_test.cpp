#include "readers/minima_csv.hpp"

#include <filesystem>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/broken_samples.hpp"

namespace omniway::readers {

using aircraft::ApproachCategory;
using omniway::testing::expected_errors;
using omniway::testing::ExpectedError;
using procedure::Landing;
using procedure::MinimumKind;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

namespace {

const std::string head = "airport,procedure,category,landing,kind,altitude_ft";

base::Loaded<std::vector<procedure::MinimumRow>> good(const std::string& text) {
    auto read = read_minima(text, "m.csv");
    EXPECT_TRUE(read) << (read ? "" : base::to_text(read.error().front()));
    return read ? *read : base::Loaded<std::vector<procedure::MinimumRow>>{};
}

std::string visibility(const std::string& column, const std::string& value) {
    const auto read = good(head + "," + column + "\nXMRA,I27,C,straight-in,DA,292," + value + "\n");
    return read.value.size() == 1 && read.value[0].minimum.visibility
               ? to_text(*read.value[0].minimum.visibility)
               : "none";
}

}  // namespace

TEST(CaseMinimaFile, ARowSaysWhoseMinimumItIsAndWhatItIs) {
    const auto read = good(head + ",visibility_sm,with_fix,remark\n" +
                           "XMRA,L27,A B,straight-in,MDA,480,1,XAFIN,\"local altimeter, else 560\"\n");
    ASSERT_EQ(read.value.size(), 1U);
    EXPECT_THAT(read.diagnostics, IsEmpty());
    const procedure::MinimumRow& row = read.value.front();
    EXPECT_EQ(row.airport, "XMRA");
    EXPECT_EQ(row.procedure, "L27");
    EXPECT_EQ(row.categories, (std::vector{ApproachCategory::a, ApproachCategory::b}));
    EXPECT_EQ(row.minimum.kind, MinimumKind::minimum_descent_altitude);
    EXPECT_EQ(row.minimum.landing, Landing::straight_in);
    EXPECT_NEAR(row.minimum.altitude.feet(), 480.0, 1e-9);
    EXPECT_EQ(row.minimum.with_fix, "XAFIN");
    EXPECT_EQ(row.minimum.remark, "local altimeter, else 560");
    EXPECT_EQ(row.minimum.where, "m.csv:2");
}

TEST(CaseMinimaFile, ColumnsMayStandInAnyOrderAndNoCategoryMeansAll) {
    const auto read =
        good("altitude_ft,kind,landing,category,procedure,airport\n900,MDA,circling,,VDM-A,XKEL\n");
    ASSERT_EQ(read.value.size(), 1U);
    EXPECT_EQ(read.value.front().categories.size(), 5U);
    EXPECT_EQ(read.value.front().minimum.landing, Landing::circling);
}

// FAA charts give visibility in statute miles and eighths of them, or as runway visual range in feet; ICAO charts in metres.
TEST(CaseMinimaFile, VisibilityIsReadInEachUnitAsChartsPrintIt) {
    EXPECT_EQ(visibility("visibility_sm", "1/2"), "1/2 SM");
    EXPECT_EQ(visibility("visibility_sm", "1 1/4"), "1 1/4 SM");
    EXPECT_EQ(visibility("visibility_sm", "0.75"), "3/4 SM");
    EXPECT_EQ(visibility("visibility_sm", "2"), "2 SM");
    EXPECT_EQ(visibility("visibility_m", "800"), "800 m");
    EXPECT_EQ(visibility("rvr_ft", "2400"), "RVR 2400 ft");
    EXPECT_EQ(visibility("rvr_ft", ""), "none");
}

TEST(CaseMinimaFile, EachBrokenFileIsToldInItsPlaces) {
    const auto expected = expected_errors("tests/broken/minima-expected.txt");
    std::size_t files = 0;
    for (const auto& entry : std::filesystem::directory_iterator("tests/broken")) {
        const std::string name = entry.path().filename().string();
        if (!name.starts_with("minima-") || name == "minima-expected.txt") {
            continue;
        }
        SCOPED_TRACE(name);
        ++files;
        ASSERT_TRUE(expected.contains(name)) << "minima-expected.txt says nothing of it";
        const std::vector<ExpectedError>& wanted = expected.at(name);
        const auto read = read_minima_file(entry.path().string());
        const std::vector<base::Error> told = read ? read->diagnostics : read.error();
        std::string all;
        for (const base::Error& error : told) {
            all += base::to_text(error) + "\n";
        }
        ASSERT_EQ(told.size(), wanted.size()) << all;
        for (std::size_t i = 0; i < wanted.size(); ++i) {
            EXPECT_EQ(told[i].code, wanted[i].code) << all;
            EXPECT_EQ(told[i].where, wanted[i].place == "-" ? name : name + ":" + wanted[i].place) << all;
            EXPECT_THAT(told[i].message, HasSubstr(wanted[i].words));
        }
    }
    EXPECT_EQ(files, expected.size());
    EXPECT_GE(files, 8U);
}

TEST(CaseMinimaFile, ARowThatCannotBeUsedLeavesTheOthersInUse) {
    const auto read = good(head + "\nXMRA,I27,,straight-in,DA,99999\nXMRA,L27,,straight-in,MDA,480\n");
    ASSERT_EQ(read.value.size(), 1U);
    EXPECT_EQ(read.value.front().procedure, "L27");
    const procedure::Minima minima = minima_of(read);
    ASSERT_EQ(minima.findings().size(), 1U);
    EXPECT_EQ(minima.findings().front().code, "minima.row_not_used");
    EXPECT_EQ(minima.findings().front().grade, base::Grade::warns);
    EXPECT_EQ(minima.findings().front().about, "m.csv:2:26");
}

// A minimum too low kills, one too high costs a landing.
TEST(CaseMinimaFile, OfTwoRowsOfOneMinimumTheHigherIsUsed) {
    for (const bool higher_first : {true, false}) {
        const std::string high = "XMRA,I27,C,straight-in,DA,392\n";
        const std::string low = "XMRA,I27,,straight-in,DA,292\n";
        const auto read = good(head + "\n" + (higher_first ? high + low : low + high));
        ASSERT_EQ(read.diagnostics.size(), 1U);
        EXPECT_EQ(read.diagnostics.front().code, "read.duplicate_record");
        const procedure::Minima minima(read.value, {});
        const auto of = [&](ApproachCategory category) {
            return minima.find("XMRA", "I27", category, Landing::straight_in, {})->altitude.feet();
        };
        EXPECT_NEAR(of(ApproachCategory::c), 392.0, 1e-9);
        EXPECT_NEAR(of(ApproachCategory::b), 292.0, 1e-9);
    }
}

TEST(CaseMinimaFile, AFileThatIsNotThereOrNoFileIsRefused) {
    EXPECT_EQ(read_minima_file("tests/broken/no-such-file.csv").error().front().code, "read.file_missing");
    EXPECT_EQ(read_minima_file("tests/broken").error().front().code, "read.not_a_file");
    EXPECT_EQ(read_minima("", "m.csv").error().front().code, "read.file_empty");
    std::string many = head + "\n";
    for (int i = 0; i <= 20'000; ++i) {
        many += "XMRA,A" + std::to_string(i) + ",,circling,MDA,900\n";
    }
    EXPECT_EQ(read_minima(many, "m.csv").error().front().code, "read.too_many_minima");
}

}  // namespace omniway::readers
