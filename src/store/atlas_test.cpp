#include "store/atlas.hpp"

#include <fcntl.h>
#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <map>
#include <random>
#include <thread>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "store/detail/checksum.hpp"
#include "store/detail/columns.hpp"
#include "store/detail/database.hpp"
#include "store/detail/random_records.hpp"
#include "store/detail/schema.hpp"
#include "store/detail/test_folder.hpp"

namespace omniway::store {

namespace {

namespace fs = std::filesystem;
using detail::bytes_of;
using detail::difference;
using detail::Folder;
using detail::RandomRecords;
using detail::write_bytes;

std::string code_of(const base::Result<Atlas>& opened) {
    return opened ? "opened" : opened.error().code;
}

base::Result<navdata::Records> everything_in(const std::string& path) {
    return Atlas::open(path).and_then(
        [](const Atlas& atlas) { return atlas.records({.everything = true, .airports = {}}); });
}

std::string message_of(const base::Result<WriteReport>& written) {
    return written ? "written" : base::to_text(written.error());
}

// Runs SQL in another program's way, as somebody with a SQLite shell would.
bool run_sql(const std::string& path, const std::string& sql) {
    sqlite3* database = nullptr;
    const bool done = sqlite3_open(path.c_str(), &database) == SQLITE_OK &&
                      sqlite3_exec(database, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK;
    sqlite3_close(database);
    return done;
}

// One byte of a file exchanged.
class Flipped {
public:
    Flipped(std::string path, std::uint64_t offset, unsigned char mask)
        : path_(std::move(path)), offset_(offset), mask_(mask) {
        flip();
    }
    Flipped(const Flipped&) = delete;
    Flipped& operator=(const Flipped&) = delete;
    ~Flipped() { flip(); }

private:
    void flip() {
        std::fstream file(path_, std::ios::binary | std::ios::in | std::ios::out);
        file.seekg(static_cast<std::streamoff>(offset_));
        const int byte = file.get();
        file.seekp(static_cast<std::streamoff>(offset_));
        file.put(static_cast<char>(byte ^ mask_));
    }
    std::string path_;
    std::uint64_t offset_;
    unsigned char mask_;
};

std::int64_t integer_of(const std::string& path, const std::string& sql) {
    const detail::Database database(detail::uri_of(path, "mode=ro"), detail::Database::For::reading);
    detail::Statement statement(database.handle(), sql);
    return statement.step() ? statement.value(0).integer() : -1;
}

// Stores the checksum that fits the file as it is now: what a careless or hostile program could do too.
void sign_again(const std::string& path) {
    const auto pages = static_cast<std::uint32_t>(integer_of(path, "PRAGMA page_count"));
    const auto left_out = static_cast<std::uint32_t>(
        integer_of(path, "SELECT rootpage FROM sqlite_schema WHERE name = 'navigation_checksum'"));
    const int file = open(path.c_str(), O_RDONLY);
    const std::string value = detail::checksum_of_pages(file, 4096, pages, left_out);
    close(file);
    run_sql(path,
            "UPDATE navigation_checksum SET pages = " + std::to_string(pages) + ", value = '" + value + "'");
}

navdata::Station vor_at(const std::string& ident, earth::Position position) {
    navdata::Station station;
    station.ident = ident;
    station.region = "XX";
    station.name = "TALUS BAY";
    station.frequency = base::Frequency::megahertz(113.7);
    station.azimuth = navdata::VorAzimuth{position, base::Declination::east(base::Angle::degrees(9.0)),
                                          navdata::DeclinationFrom::record, navdata::ServiceClass::high};
    return station;
}

navdata::PointName point_named(navdata::PointKind kind, const std::string& ident,
                               const std::string& airport = "") {
    return {kind, ident, "XX", airport};
}

// Two airports with an approach, a frequency and a sector altitude each, a station and a fix.
navdata::Records two_airports() {
    navdata::Records records;
    records.sources.push_back(
        {"island.txt", "ARINC 424-18", "2513", "25 DEC 2025", 2025.98, "0123456789abcdef"});
    records.stations.push_back(vor_at("XTB", earth::Position::degrees(40.5, -170.25)));
    records.fixes.push_back({"XALFA", "XX", "", "", "W", earth::Position::degrees(41.0, -170.0), {}});
    for (const std::string airport : {"XXAA", "XXBB"}) {
        records.airports.push_back(
            {airport, "XX", "FIELD " + airport, earth::Position::degrees(40.0, -171.0), {}, {}, {}});
        records.communications.push_back({airport, "TWR", "TOWER", base::Frequency::megahertz(118.3), {}});
        navdata::Leg leg;
        leg.sequence = 10;
        leg.fix = point_named(navdata::PointKind::fix, "XALFA");
        leg.recommended = point_named(navdata::PointKind::vhf_station, "XTB");
        navdata::Leg second = leg;
        second.sequence = 20;
        second.terminator = navdata::PathTerminator::CF;
        second.fix = point_named(navdata::PointKind::runway, "RW04", airport);
        records.procedures.push_back(
            {airport, "XX", navdata::ProcedureKind::approach, "V04", "", {{'V', "", {leg, second}}}});
        records.sector_altitudes.push_back(
            {airport,
             point_named(navdata::PointKind::vhf_station, "XTB"),
             {{{}, {}, base::Altitude::feet(4'200), base::Length::nautical_miles(25)}},
             {}});
    }
    return records;
}

}  // namespace

RC_GTEST_PROP(LawAtlas, WhatIsReadBackEqualsWhatWasWrittenToTheLastBit, (std::uint64_t seed)) {
    const Folder folder;
    const std::string path = folder / "atlas";
    const navdata::Records written = RandomRecords(seed).make(12);
    RC_ASSERT(message_of(write_atlas(written, path, {})) == "written");
    const auto read = everything_in(path);
    RC_ASSERT(read.has_value());
    RC_ASSERT(difference(written, *read) == "");
}

RC_GTEST_PROP(LawAtlas, ProceduresOfNamedAirportsAreThoseOfTheWholeInTheSameOrder, (std::uint64_t seed)) {
    const Folder folder;
    const std::string path = folder / "atlas";
    navdata::Records expected = RandomRecords(seed).make(12);
    RC_ASSERT(write_atlas(expected, path, {}).has_value());
    const auto atlas = Atlas::open(path);
    RC_ASSERT(atlas.has_value());
    const auto read = atlas->records({.everything = false, .airports = {"A1", "A3", "A1", "nowhere"}});
    RC_ASSERT(read.has_value());
    const auto not_wanted = [](const auto& thing) { return thing.airport != "A1" && thing.airport != "A3"; };
    std::erase_if(expected.procedures, not_wanted);
    std::erase_if(expected.communications, not_wanted);
    std::erase_if(expected.sector_altitudes, not_wanted);
    RC_ASSERT(difference(expected, *read) == "");
}

RC_GTEST_PROP(LawAtlas, TheSameRecordsMakeTheSameBytes, (std::uint64_t seed)) {
    const Folder folder;
    const navdata::Records records = RandomRecords(seed).make(12);
    const auto first = write_atlas(records, folder / "first", {});
    const auto second = write_atlas(records, folder / "second", {});
    RC_ASSERT(first.has_value() && second.has_value());
    RC_ASSERT(first->checksum == second->checksum);
    RC_ASSERT(bytes_of(folder / "first") == bytes_of(folder / "second"));
}

TEST(LawAtlas, AnEmptyWorldIsAnAtlasToo) {
    const Folder folder;
    ASSERT_EQ(message_of(write_atlas({}, folder / "atlas", {})), "written");
    const auto read = everything_in(folder / "atlas");
    ASSERT_TRUE(read);
    EXPECT_EQ(difference({}, *read), "");
}

// SQLite stores a whole number in a REAL column as an integer, which has no sign at zero (datatype3.html, 2). Stated in
// docs/atlas.md; no field means anything else by -0 than by 0.
TEST(LawAtlas, TheSignOfAZeroIsTheOneThingNotKept) {
    const Folder folder;
    navdata::Records records;
    records.fixes.push_back({"XZERO", "XX", "", "", "W", earth::Position::degrees(-0.0, 12.5), {}});
    ASSERT_EQ(message_of(write_atlas(records, folder / "atlas", {})), "written");
    const auto read = everything_in(folder / "atlas");
    ASSERT_TRUE(read);
    EXPECT_EQ(read->fixes.at(0).position.latitude_deg(), 0.0);
    EXPECT_FALSE(std::signbit(read->fixes.at(0).position.latitude_deg()));
}

TEST(LawAtlas, SaysWhatItHoldsAndWhereFrom) {
    const Folder folder;
    const navdata::Records records = two_airports();
    const auto written = write_atlas(records, folder / "atlas", {});
    ASSERT_TRUE(written);
    const auto info = Atlas::open(folder / "atlas").and_then([](const Atlas& atlas) { return atlas.info(); });
    ASSERT_TRUE(info);
    EXPECT_EQ(info->counts, written->counts);
    EXPECT_EQ(info->counts.front(), (KindCount{"VOR", 1}));
    EXPECT_NE(std::find(info->counts.begin(), info->counts.end(), KindCount{"procedure legs", 4}),
              info->counts.end());
    EXPECT_EQ(info->sources, records.sources);
    EXPECT_EQ(info->checksum, written->checksum);
    EXPECT_EQ(info->size_bytes, fs::file_size(folder / "atlas"));
    EXPECT_EQ(info->schema_version, detail::schema_version);
    struct stat status = {};
    ASSERT_EQ(stat((folder / "atlas").c_str(), &status), 0);
    EXPECT_EQ(info->made_at.time_since_epoch().count(), status.st_mtim.tv_sec);
}

TEST(LawAtlas, VerifyingNamesEveryNameThatPointsNowhere) {
    const Folder folder;
    navdata::Records records = two_airports();
    records.runways.push_back({"XXAA",
                               "RW04",
                               base::Length::metres(1500),
                               {},
                               {},
                               earth::Position::degrees(40.0, -171.0),
                               {},
                               {},
                               {},
                               "IXAA",
                               {}});
    ASSERT_EQ(message_of(write_atlas(records, folder / "atlas", {})), "written");
    const auto report =
        Atlas::open(folder / "atlas").and_then([](const Atlas& atlas) { return atlas.verify(); });
    ASSERT_TRUE(report);
    EXPECT_TRUE(report->whole()) << report->problems.front();
    // 1 runway, 2 frequencies, 2 procedures and 2 sector altitudes name an airport; the runway a localizer; 4 legs a fix and an
    // aid each; 2 sector altitudes a centre.
    EXPECT_EQ(report->names_checked, 1U + 2U + 2U + 2U + 1U + 8U + 2U);
    std::vector<std::string> unresolved;
    for (const UnresolvedName& name : report->unresolved) {
        unresolved.push_back(name.from + " " + name.name.ident + " " + name.name.airport + " " +
                             std::to_string(name.records));
    }
    EXPECT_EQ(unresolved, (std::vector<std::string>{"procedure legs RW04 XXBB 1", "runways IXAA XXAA 1"}));
}

TEST(CaseAtlas, APathMayHoldCharactersThatMeanSomethingToSqlite) {
    const Folder folder;
    const std::string path = folder / "an atlas?mode=memory#100%25 \xc3\xa9";
    ASSERT_EQ(message_of(write_atlas(two_airports(), path, {})), "written");
    EXPECT_TRUE(fs::exists(path));
    const auto read = everything_in(path);
    ASSERT_TRUE(read) << base::to_text(read.error());
    EXPECT_EQ(difference(two_airports(), *read), "");
}

TEST(CaseAtlas, OnlyAnAtlasIsOpened) {
    const Folder folder;
    write_bytes(folder / "empty", "");
    write_bytes(folder / "text", "HDR01FAACIFP18      001P01432\n");
    write_bytes(folder / "short", "SQLite");
    write_bytes(folder / "magic-and-noise", std::string("SQLite format 3\0", 16) + std::string(4080, '\x5a'));
    ASSERT_TRUE(
        run_sql(folder / "other", "PRAGMA application_id = 1196437808; CREATE TABLE fix (ident TEXT)"));
    ASSERT_TRUE(run_sql(folder / "plain", "CREATE TABLE fix (ident TEXT)"));
    fs::create_directory(folder / "folder");
    ASSERT_EQ(mkfifo((folder / "pipe").c_str(), 0600), 0);
    const std::map<std::string, std::string> expected = {
        {"absent", "atlas.missing"},          {"empty", "atlas.foreign"},  {"text", "atlas.foreign"},
        {"short", "atlas.damaged"},           {"other", "atlas.foreign"},  {"plain", "atlas.foreign"},
        {"magic-and-noise", "atlas.foreign"}, {"folder", "atlas.foreign"}, {"pipe", "atlas.foreign"},
        {"text/inside", "atlas.missing"},
    };
    for (const auto& [name, code] : expected) {
        const auto opened = Atlas::open(folder / name);
        ASSERT_EQ(code_of(opened), code) << name;
        EXPECT_EQ(opened.error().where, folder / name);
        EXPECT_NE(opened.error().message.find("omniway import FILE... --out PATH"), std::string::npos)
            << opened.error().message;
    }
}

TEST(CaseAtlas, AnotherSchemaVersionIsRefusedByItsAge) {
    const Folder folder;
    const std::string path = folder / "atlas";
    ASSERT_TRUE(write_atlas(two_airports(), path, {}));
    ASSERT_TRUE(run_sql(path, "PRAGMA user_version = " + std::to_string(detail::schema_version - 1)));
    EXPECT_EQ(code_of(Atlas::open(path)), "atlas.older_schema");
    ASSERT_TRUE(run_sql(path, "PRAGMA user_version = " + std::to_string(detail::schema_version + 1)));
    EXPECT_EQ(code_of(Atlas::open(path)), "atlas.newer_schema");
    ASSERT_TRUE(run_sql(path, "PRAGMA user_version = " + std::to_string(detail::schema_version)));
    EXPECT_EQ(code_of(Atlas::open(path)), "opened");
}

TEST(CaseAtlas, AValueChangedByHandIsRefused) {
    const Folder folder;
    const std::string path = folder / "atlas";
    ASSERT_TRUE(write_atlas(two_airports(), path, {}));
    ASSERT_TRUE(run_sql(path, "UPDATE station SET frequency_hz = 113800000.0"));
    EXPECT_EQ(code_of(Atlas::open(path)), "atlas.damaged");
}

// A fitting checksum does not make values good: what no atlas of ours holds is refused when it is read, with its place.
TEST(CaseAtlas, AValueThatCannotBeIsRefusedEvenUnderAFittingChecksum) {
    const std::map<std::string, std::string> changes = {
        {"UPDATE fix SET latitude_deg = 91.5", "fix 0: latitude_deg"},
        {"UPDATE procedure_leg SET terminator = 'ZZ' WHERE procedure_leg_id = 2",
         "procedure_leg 2: terminator holds \"ZZ\""},
        {"UPDATE procedure_leg SET sequence = -1 WHERE procedure_leg_id = 1",
         "procedure_leg 1: sequence holds \"-1\""},
        {"UPDATE procedure_branch SET route_type = ''", "procedure_branch 0: route_type holds \"\""},
        {"DELETE FROM procedure_branch WHERE procedure_branch_id = 1",
         "procedure 1: has 0 of its 1 rows in procedure_branch"},
        {"UPDATE procedure SET first_procedure_branch_id = 1 WHERE procedure_id = 0",
         "procedure_branch 1: is no part of the row it should be part of"},
        {"UPDATE procedure_branch SET procedure_leg_count = 9223372036854775807",
         "procedure_branch 0: its parts cannot be where it says"},
        {"UPDATE station SET declination_east_rad = NULL", "station 0: declination_east_rad holds \"\""},
        {"UPDATE station SET azimuth = 'none'", "station 0: dme_latitude_deg holds \"\""},
        {"UPDATE station SET frequency_hz = 9e999", "station 0: frequency_hz holds \"Inf\""},
        {"ALTER TABLE fix DROP COLUMN latitude_deg; ALTER TABLE fix ADD COLUMN latitude_deg TEXT",
         "fix 0: latitude_deg holds \"\""},
        {"DROP TABLE grid_minimum", "grid_minimum: no such table"},
    };
    for (const auto& [change, place] : changes) {
        const Folder folder;
        const std::string path = folder / "atlas";
        ASSERT_TRUE(write_atlas(two_airports(), path, {}));
        ASSERT_TRUE(run_sql(path, change)) << change;
        sign_again(path);
        const auto read = everything_in(path);
        ASSERT_FALSE(read) << change;
        EXPECT_EQ(read.error().code, "atlas.damaged") << change;
        EXPECT_NE(read.error().message.find(place), std::string::npos) << read.error().message;
        const auto report = Atlas::open(path).and_then([](const Atlas& atlas) { return atlas.verify(); });
        ASSERT_TRUE(report);
        EXPECT_FALSE(report->whole()) << change;
    }
}

TEST(LawAtlas, CutAnywhereItIsRefused) {
    const Folder folder;
    ASSERT_TRUE(write_atlas(RandomRecords(5).make(40), folder / "atlas", {}));
    const std::string whole = bytes_of(folder / "atlas");
    std::vector<std::size_t> lengths = {whole.size() / 2, whole.size() - 1};
    for (std::size_t length = 0; length < 130; ++length) {
        lengths.push_back(length);
    }
    for (std::size_t length = 130; length < whole.size(); length += 997) {
        lengths.push_back(length);
    }
    std::map<std::string, int> codes;
    for (const std::size_t length : lengths) {
        write_bytes(folder / "cut", whole.substr(0, length));
        const std::string code = code_of(Atlas::open(folder / "cut"));
        ++codes[code];
        EXPECT_EQ(code, length == 0 ? "atlas.foreign" : "atlas.damaged")
            << length << " of " << whole.size() << " bytes";
    }
    RecordProperty("lengths_tried", static_cast<int>(lengths.size()));
}

// Refused, or harmless: only the bytes that the checksum leaves out on purpose may change unnoticed, and then nothing that is
// read changes with them.
TEST(LawAtlas, OneByteChangedAnywhereIsRefusedOrChangesNothing) {
    const Folder folder;
    const std::string path = folder / "atlas";
    const navdata::Records records = RandomRecords(6).make(40);
    ASSERT_TRUE(write_atlas(records, path, {}));
    const std::uint64_t size = fs::file_size(path);
    const auto left_out = static_cast<std::uint64_t>(
        integer_of(path, "SELECT rootpage FROM sqlite_schema WHERE name = 'navigation_checksum'"));
    const auto in_left_out_page = [&](std::uint64_t offset) { return offset / 4096 + 1 == left_out; };
    const auto not_summed = [&](std::uint64_t offset) {
        return (offset >= 24 && offset < 28) || (offset >= 92 && offset < 100) || in_left_out_page(offset);
    };
    std::mt19937_64 random(11);
    std::vector<std::uint64_t> offsets;
    for (std::uint64_t offset = 0; offset < 120; ++offset) {  // the header and what follows it
        offsets.push_back(offset);
    }
    for (std::uint64_t offset = 0; offset < 4096;
         offset += offset < 16 || offset > 4000 ? 1 : 7) {  // the page left out
        offsets.push_back((left_out - 1) * 4096 + offset);
    }
    for (int i = 0; i < 2000; ++i) {
        offsets.push_back(random() % size);
    }
    std::map<std::string, int> codes;
    for (const std::uint64_t offset : offsets) {
        const auto mask = static_cast<unsigned char>(1U << (random() % 8));
        const Flipped flipped(path, offset, mask);
        const auto atlas = Atlas::open(path);
        ++codes[code_of(atlas)];
        if (atlas) {
            EXPECT_TRUE(not_summed(offset)) << "byte " << offset;
            const auto read = atlas->records({.everything = true, .airports = {}});
            ASSERT_TRUE(read) << "byte " << offset << ": " << base::to_text(read.error());
            EXPECT_EQ(difference(records, *read), "") << "byte " << offset;
        }
    }
    std::string counts;
    for (const auto& [code, number] : codes) {
        counts += code + " " + std::to_string(number) + "  ";
    }
    std::cout << offsets.size() << " bytes changed, one at a time: " << counts << "\n";
    EXPECT_GT(codes["atlas.damaged"], 2000);
    EXPECT_EQ(code_of(Atlas::open(path)), "opened");
}

TEST(CaseAtlas, OneThatAnImportReplacesGoesOnWithTheOldContent) {
    const Folder folder;
    const std::string path = folder / "atlas";
    ASSERT_TRUE(write_atlas(two_airports(), path, {}));
    const auto old = Atlas::open(path);
    ASSERT_TRUE(old);
    ASSERT_TRUE(write_atlas({}, path, {}));
    const auto read = old->records({.everything = true, .airports = {}});
    ASSERT_TRUE(read);
    EXPECT_EQ(difference(two_airports(), *read), "");
    const auto anew = everything_in(path);
    ASSERT_TRUE(anew);
    EXPECT_EQ(difference({}, *anew), "");
}

TEST(CaseAtlas, OneThatIsOverwrittenInPlaceWhileOpenIsRefused) {
    const Folder folder;
    const std::string path = folder / "atlas";
    ASSERT_TRUE(write_atlas(two_airports(), path, {}));
    ASSERT_TRUE(write_atlas({}, folder / "other", {}));
    const auto atlas = Atlas::open(path);
    ASSERT_TRUE(atlas);
    write_bytes(path, bytes_of(folder / "other"));
    const auto read = atlas->records({.everything = true, .airports = {}});
    ASSERT_FALSE(read);
    EXPECT_EQ(read.error().code, "atlas.changed");
    EXPECT_EQ(atlas->verify().error().code, "atlas.changed");
}

TEST(LawAtlas, ManyThreadsReadTheSameRecordsFromOne) {
    const Folder folder;
    const std::string path = folder / "atlas";
    const navdata::Records written = RandomRecords(6).make(200);
    ASSERT_TRUE(write_atlas(written, path, {}));
    const auto atlas = Atlas::open(path);
    ASSERT_TRUE(atlas);
    std::array<std::string, 12> differences;
    std::vector<std::thread> threads;
    for (std::string& each : differences) {
        threads.emplace_back([&] {
            const auto read = atlas->records({.everything = true, .airports = {}});
            const auto told = atlas->info();
            each = read && told ? difference(written, *read) : "not read";
        });
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
    for (const std::string& each : differences) {
        EXPECT_EQ(each, "");
    }
}

TEST(LawAtlas, TheWordsForPathTerminatorsAreTheTradesOwn) {
    const auto& words = detail::Words<navdata::PathTerminator>::list;
    for (std::size_t i = 0; i < words.size(); ++i) {
        EXPECT_EQ(words[i], navdata::to_text(static_cast<navdata::PathTerminator>(i)));
    }
}

// docs/atlas.md is what others write their queries by: each table with its columns, their types and whether they may be NULL.
TEST(LawAtlas, ItsDocumentNamesEveryTableAndColumnAsTheyAre) {
    const Folder folder;
    Ground no_tiles;
    no_tiles.next = [] { return std::optional<GroundPiece>(); };
    ASSERT_TRUE(write_atlas({}, folder / "atlas", {}, no_tiles));
    const detail::Database database(detail::uri_of(folder / "atlas", "mode=ro"),
                                    detail::Database::For::reading);
    detail::Statement statement(
        database.handle(),
        "SELECT t.name, c.name, c.type || iif(c.\"notnull\" OR c.pk, '', ' or NULL') FROM sqlite_schema AS "
        "t, "
        "pragma_table_info(t.name) AS c WHERE t.type = 'table' ORDER BY t.name, c.cid");
    std::vector<std::string> in_the_file;
    while (statement.step()) {
        in_the_file.push_back(std::string(statement.value(0).text()) + " | `" +
                              std::string(statement.value(1).text()) + "` | " +
                              std::string(statement.value(2).text()));
    }
    std::map<std::string, std::vector<std::string>> tables;
    std::ifstream document("docs/atlas.md");
    std::string table;
    for (std::string line; std::getline(document, line);) {
        if (line.starts_with("### `")) {
            table = line.substr(5, line.rfind('`') - 5);
        } else if (!table.empty() && line.starts_with("| `")) {
            const auto second = line.find(" | ");
            const auto third = line.find(" | ", second + 3);
            ASSERT_GT(line.size(), third + 5) << "no meaning: " << line;
            tables[table].push_back(table + " | " + line.substr(2, third - 2));
        }
    }
    std::vector<std::string> in_the_document;
    for (const auto& [name, rows] : tables) {
        in_the_document.insert(in_the_document.end(), rows.begin(), rows.end());
    }
    EXPECT_GT(in_the_document.size(), 150U);
    EXPECT_EQ(in_the_document, in_the_file);
}

}  // namespace omniway::store
