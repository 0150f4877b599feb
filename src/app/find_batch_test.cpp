#include "app/find_batch.hpp"

#include <fstream>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "tests/broken_samples.hpp"

namespace omniway::app {
namespace {

// "3: --vor|XAB=123|cases:3:7 ...", or the code and place of what is wrong.
std::string told(const BatchLine& line) {
    std::string text = std::to_string(line.number) + ":";
    if (!line.words) {
        for (const base::Error& error : line.words.error()) {
            text += " " + error.code + " " + error.where;
        }
        return text;
    }
    for (const FindWord& word : *line.words) {
        text += " " + word.option + "|" + word.text + "|" + word.where;
    }
    return text;
}

std::vector<std::string> told(std::string_view text) {
    std::vector<std::string> all;
    for (const BatchLine& line : batch_lines(text, "cases")) {
        all.push_back(told(line));
    }
    return all;
}

using Lines = std::vector<std::string>;

}  // namespace

TEST(CaseFindBatch, EachLineIsACaseInTheWordsOfTheCommandLine) {
    EXPECT_EQ(told("--vor XAB=123 --altitude 6000\n"),
              (Lines{"1: --vor|XAB=123|cases:1:7 --altitude|6000|cases:1:26"}));
    EXPECT_EQ(told("--vor=XAB=123\t--dme  XAB=2"),
              (Lines{"1: --vor|XAB=123|cases:1:7 --dme|XAB=2|cases:1:22"}));
    EXPECT_EQ(told("--vor '-..- .- -...=123@14:07' --ndb \".- -...\"=R020\r\n"),
              (Lines{"1: --vor|-..- .- -...=123@14:07|cases:1:7 --ndb|.- -...=R020|cases:1:38"}));
    EXPECT_EQ(told("--last -12.5,170"), (Lines{"1: --last|-12.5,170|cases:1:8"}));
}

TEST(CaseFindBatch, CommentsAndBlankLinesArePassedOverAndCounted) {
    EXPECT_EQ(told("# all of it\n\n  \r\n  # too\n--over XAB # here\n--over XCD#E\n"),
              (Lines{"5: --over|XAB|cases:5:8", "6: --over|XCD#E|cases:6:8"}));
    EXPECT_EQ(told(""), Lines{});
}

TEST(CaseFindBatch, AWrongLineSaysWhereAndTheOthersGoOn) {
    EXPECT_EQ(told("--over XAB\n  --vro XAB=3\n--over XCD"),
              (Lines{"1: --over|XAB|cases:1:8", "2: app.find_option cases:2:3", "3: --over|XCD|cases:3:8"}));
    EXPECT_EQ(told("--vor"), (Lines{"1: app.find_batch_form cases:1:1"}));
    EXPECT_EQ(told("--vor --dme XAB=3"), (Lines{"1: app.find_batch_form cases:1:1"}));
    EXPECT_EQ(told("XAB=123"), (Lines{"1: app.find_batch_form cases:1:1"}));
    EXPECT_EQ(told("--over XAB \"--vor\" XAB=3"), (Lines{"1: app.find_batch_form cases:1:12"}));
    EXPECT_EQ(told("--vor 'XAB=123"), (Lines{"1: app.find_batch_form cases:1:7"}));
    EXPECT_EQ(told("--altitude 5000 --altitude 6000"), (Lines{"1: app.find_twice cases:1:28"}));
    EXPECT_EQ(told("--card flight.json"), (Lines{"1: app.find_option cases:1:1"}));
    EXPECT_EQ(told("--over X" + std::string(5000, 'X')), (Lines{"1: app.find_batch_form cases:1:4097"}));
}

TEST(CaseFindBatch, AMistypedOptionHasItsNearMatch) {
    const auto lines = batch_lines("--altitud 5000", "cases");
    EXPECT_NE(lines.at(0).words.error().at(0).message.find("did you mean --altitude?"), std::string::npos);
}

// Files of tests/broken that are no good as a batch, with what is said of each line (find-expected.txt); what only an atlas can tell is asked
// by tests/command/find_test.py.
TEST(CaseFindBatch, EachBrokenBatchSaysWhatIsWrongAndWhere) {
    const auto expected = omniway::testing::expected_errors("tests/broken/find-expected.txt");
    ASSERT_FALSE(expected.empty());
    for (const auto& [file, errors] : expected) {
        std::ifstream stream("tests/broken/" + file, std::ios::binary);
        ASSERT_TRUE(stream) << file;
        const std::string text(std::istreambuf_iterator<char>(stream), {});
        std::vector<base::Error> found;
        for (const BatchLine& line : batch_lines(text, "")) {
            if (!line.words) {
                found.insert(found.end(), line.words.error().begin(), line.words.error().end());
            }
        }
        ASSERT_EQ(found.size(), errors.size()) << file;
        for (std::size_t i = 0; i < errors.size(); ++i) {
            EXPECT_EQ(found[i].code, errors[i].code) << file;
            EXPECT_EQ(found[i].where, ":" + errors[i].place) << file;
            EXPECT_NE(found[i].message.find(errors[i].words), std::string::npos)
                << file << ": " << found[i].message;
        }
    }
}

RC_GTEST_PROP(LawFindBatch, AnyBytesAreReadOrRefusedWithTheirLine, (const std::string& bytes)) {
    for (const BatchLine& line : batch_lines(bytes + "\n--vor " + bytes, "cases")) {
        RC_ASSERT(line.number >= 1);
        if (!line.words) {
            for (const base::Error& error : line.words.error()) {
                RC_ASSERT(error.where.starts_with("cases:" + std::to_string(line.number) + ":"));
            }
        }
    }
}

}  // namespace omniway::app
