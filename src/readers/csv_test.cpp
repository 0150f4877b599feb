#include "readers/csv.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::readers {

using ::testing::ElementsAre;

namespace {

std::vector<std::vector<std::string>> records_of(std::string_view text) {
    std::vector<std::vector<std::string>> records;
    CsvReader reader(text);
    CsvReader::Record record;
    while (reader.next(record)) {
        EXPECT_EQ(record.fault, CsvReader::Fault::none);
        std::vector<std::string> fields;
        for (const CsvField& field : record.fields) {
            fields.emplace_back(field.text);
        }
        records.push_back(fields);
    }
    return records;
}

std::string quoted(const std::string& text) {
    std::string field = "\"";
    for (const char c : text) {
        field += c;
        if (c == '"') {
            field += c;
        }
    }
    return field + '"';
}

}  // namespace

// The examples of RFC 4180, section 2, rules 1 to 7.
TEST(TruthCsv, ReadsTheExamplesOfRfc4180) {
    const std::vector<std::string> abc = {"aaa", "bbb", "ccc"};
    const std::vector<std::string> xyz = {"zzz", "yyy", "xxx"};
    EXPECT_THAT(records_of("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"), ElementsAre(abc, xyz));
    EXPECT_THAT(records_of("aaa,bbb,ccc\r\nzzz,yyy,xxx"), ElementsAre(abc, xyz));
    EXPECT_THAT(records_of("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx"), ElementsAre(abc, xyz));
    EXPECT_THAT(records_of("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx"),
                ElementsAre(ElementsAre("aaa", "b\r\nbb", "ccc"), xyz));
    EXPECT_THAT(records_of("\"aaa\",\"b\"\"bb\",\"ccc\""), ElementsAre(ElementsAre("aaa", "b\"bb", "ccc")));
}

TEST(CaseCsv, EmptyFieldsCountAndBlanksBelongToTheirField) {
    EXPECT_THAT(records_of(",,\n a , b\n"), ElementsAre(ElementsAre("", "", ""), ElementsAre(" a ", " b")));
    EXPECT_THAT(records_of("\"\",x,\"\"\"\"\n"), ElementsAre(ElementsAre("", "x", "\"")));
    EXPECT_THAT(records_of("\n\na\n\n"), ElementsAre(ElementsAre("a")));
    EXPECT_TRUE(records_of("").empty());
    EXPECT_TRUE(records_of("\xEF\xBB\xBF").empty());
}

TEST(CaseCsv, PlacesAreLineAndByteOfTheirFirstCharacter) {
    CsvReader reader("a,\"b\nc\",d\n\ne,f");
    CsvReader::Record record;
    ASSERT_TRUE(reader.next(record));
    EXPECT_EQ(record.fields[1].line, 1U);
    EXPECT_EQ(record.fields[1].column, 3U);
    EXPECT_EQ(record.fields[2].line, 2U);
    EXPECT_EQ(record.fields[2].column, 4U);
    ASSERT_TRUE(reader.next(record));
    EXPECT_EQ(record.line, 4U);
    EXPECT_EQ(record.fields[1].column, 3U);
}

TEST(CaseCsv, AQuoteThatIsNeverClosedCostsOneLineOnly) {
    CsvReader reader("a,\"b,c\nd,e,f\n");
    CsvReader::Record record;
    ASSERT_TRUE(reader.next(record));
    EXPECT_EQ(record.fault, CsvReader::Fault::quote_not_closed);
    EXPECT_EQ(record.fault_line, 1U);
    EXPECT_EQ(record.fault_column, 3U);
    ASSERT_TRUE(reader.next(record));
    EXPECT_EQ(record.fault, CsvReader::Fault::none);
    EXPECT_EQ(record.fields.size(), 3U);
    EXPECT_EQ(record.line, 2U);
    EXPECT_FALSE(reader.next(record));
}

TEST(CaseCsv, TextAfterAClosingQuoteIsToldWhereItBegins) {
    CsvReader reader("a,\"b\"x,c\nd\n");
    CsvReader::Record record;
    ASSERT_TRUE(reader.next(record));
    EXPECT_EQ(record.fault, CsvReader::Fault::text_after_quote);
    EXPECT_EQ(record.fault_column, 6U);
    ASSERT_TRUE(reader.next(record));
    EXPECT_EQ(record.fields[0].text, "d");
}

// Found by mutation_test.cpp: the slip was told as one of the later row, which was read well.
TEST(CaseCsv, AQuoteThatOnlyALaterRowClosesIsToldWhereItWasOpened) {
    CsvReader reader("1,\"Half\n2,\"Whole\",3\n");
    CsvReader::Record record;
    ASSERT_TRUE(reader.next(record));
    EXPECT_EQ(record.fault, CsvReader::Fault::quote_not_closed);
    EXPECT_EQ(record.fault_line, 1U);
    EXPECT_EQ(record.fault_column, 3U);
    ASSERT_TRUE(reader.next(record));
    EXPECT_EQ(record.fault, CsvReader::Fault::none);
    EXPECT_EQ(record.line, 2U);
    EXPECT_EQ(record.fields.at(1).text, "Whole");
}

RC_GTEST_PROP(LawCsv, WhatIsWrittenByRfc4180IsReadBack, ()) {
    // At least one field a record, none of them a lone empty one, which is an empty line and no record.
    const auto character = rc::gen::element(',', '"', '\n', '\r', 'a', ' ', '\xC3');
    const auto field = rc::gen::container<std::string>(character);
    const auto record = rc::gen::nonEmpty(rc::gen::container<std::vector<std::string>>(field));
    const auto records = *rc::gen::container<std::vector<std::vector<std::string>>>(record);
    std::string text;
    for (const std::vector<std::string>& fields : records) {
        for (std::size_t i = 0; i < fields.size(); ++i) {
            text += (i == 0 ? "" : ",") + quoted(fields[i]);
        }
        text += "\r\n";
    }
    RC_ASSERT(records_of(text) == records);
}

RC_GTEST_PROP(LawCsv, AnyBytesAreReadToTheEndAndEachRecordLiesBehindTheOneBefore, ()) {
    const auto character = rc::gen::element(',', '"', '\n', '\r', 'a');
    const auto text = *rc::gen::container<std::string>(character);
    CsvReader reader(text);
    CsvReader::Record record;
    std::uint32_t line = 0;
    std::size_t records = 0;
    while (reader.next(record)) {
        RC_ASSERT(record.line > line);
        line = record.line;
        RC_ASSERT(++records <= text.size());
    }
    RC_ASSERT(reader.offset() == text.size());
}

}  // namespace omniway::readers
