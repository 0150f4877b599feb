#include "readers/navigation_files.hpp"

#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/broken_samples.hpp"
#include "tests/real_data.hpp"

namespace omniway::readers {

using omniway::testing::expected_errors;
using omniway::testing::ExpectedError;
using ::testing::HasSubstr;

namespace {

const std::string broken = "tests/broken/";

/// A variation that no place has, so that its use shows.
ReadSetting setting() {
    return {std::chrono::sys_days(std::chrono::year(2026) / 11 / 25),
            [](earth::Position, earth::DecimalYear) {
                return base::Variation::east(base::Angle::degrees(12.5));
            }};
}

base::Result<NavigationFiles> read(const std::vector<NamedBytes>& files) {
    return read_navigation_bytes(files, setting(), {});
}

std::string contents(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    EXPECT_TRUE(stream) << file;
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

std::string published_rows() {
    std::string rows;
    std::ifstream stream("tests/reference/faa_cifp_rows.txt");
    for (std::string line; std::getline(stream, line);) {
        if (!line.starts_with('#')) {
            rows += line + '\n';
        }
    }
    return rows;
}

const std::string airports_head = "id,ident,type,name,latitude_deg,longitude_deg,elevation_ft,gps_code\n";
const std::string runways_head =
    "id,airport_ident,length_ft,closed,le_ident,le_latitude_deg,le_longitude_deg,le_elevation_ft,le_heading_"
    "degT,"
    "le_displaced_threshold_ft,he_ident,he_latitude_deg,he_longitude_deg,he_elevation_ft,he_heading_degT,"
    "he_displaced_threshold_ft\n";
const std::string frequencies_head = "id,airport_ident,type,description,frequency_mhz\n";

void expect_error(const base::Error& error, const ExpectedError& expected, const std::string& path) {
    EXPECT_EQ(error.code, expected.code) << base::to_text(error);
    EXPECT_EQ(error.where, expected.place == "-" ? path : path + ':' + expected.place)
        << base::to_text(error);
    EXPECT_THAT(error.message, HasSubstr(expected.words));
}

}  // namespace

TEST(CaseNavigationFiles, EachBrokenFileIsRefusedInItsPlaceAndNothingElseOfItIs) {
    const auto expected = expected_errors(broken + "navigation-expected.txt");
    std::set<std::string> seen;
    for (const auto& entry : std::filesystem::directory_iterator(broken)) {
        const std::string name = entry.path().filename().string();
        if (!name.starts_with("navigation-") || name == "navigation-expected.txt") {
            continue;
        }
        SCOPED_TRACE(name);
        seen.insert(name);
        ASSERT_TRUE(expected.contains(name)) << "navigation-expected.txt says nothing of it";
        const std::vector<ExpectedError>& wanted = expected.at(name);
        const std::string path = broken + name;
        const auto files = read_navigation_files({path}, setting(), {});
        if (!files) {
            ASSERT_EQ(wanted.size(), 1U) << base::to_text(files.error());
            ExpectedError whole = wanted.front();
            expect_error(files.error(), whole, path);
            continue;
        }
        std::vector<base::Error> faults;
        for (const base::Error& diagnostic : files->diagnostics) {
            if (!is_remark(diagnostic)) {
                faults.push_back(diagnostic);
            }
        }
        ASSERT_EQ(faults.size(), wanted.size());
        for (std::size_t i = 0; i < wanted.size(); ++i) {
            expect_error(faults[i], wanted[i], path);
        }
        const ReadCounts counts = files->counts();
        EXPECT_EQ(counts.not_used_in_all(), wanted.size());
        EXPECT_EQ(counts.used + wanted.size(), counts.rows);
    }
    EXPECT_EQ(seen.size(), expected.size());
    EXPECT_GE(seen.size(), 20U);
}

TEST(CaseNavigationFiles, AMissingFileAFolderAndADeviceAreRefusedAsThat) {
    const auto refused = [](const std::string& path) {
        const auto files = read_navigation_files({path}, setting(), {});
        EXPECT_FALSE(files) << path;
        return files ? base::Error() : files.error();
    };
    EXPECT_EQ(refused(broken + "no-such-file.txt").code, "read.file_missing");
    EXPECT_EQ(refused("no-such-folder/no-such-file.txt").where, "no-such-folder/no-such-file.txt");
    EXPECT_EQ(refused(broken).code, "read.not_a_file");
    EXPECT_THAT(refused(broken).message, HasSubstr("folder"));
    EXPECT_EQ(refused("/dev/null").code, "read.not_a_file");
    EXPECT_EQ(read_navigation_files({}, setting(), {}).error().code, "read.no_files");
}

TEST(CaseNavigationFiles, OneUselessFileAmongGoodOnesRefusesTheImportByItsName) {
    const auto files = read({{"good.txt", published_rows()}, {"prose.txt", "Dear pilot\n"}});
    ASSERT_FALSE(files);
    EXPECT_EQ(files.error().where, "prose.txt");
}

TEST(CaseNavigationFiles, FilesAreToldByTheirContentNotByTheirNames) {
    const std::string airports = airports_head + "1,XAAA,medium_airport,Invented,40.5,-168.5,120,\n";
    const auto files = read({{"airports.csv", published_rows()}, {"cifp.txt", airports}});
    ASSERT_TRUE(files) << base::to_text(files.error());
    EXPECT_EQ(files->files[0].source.format, "ARINC 424-18");
    EXPECT_EQ(files->files[1].source.format, "OurAirports CSV");
    EXPECT_EQ(files->files[1].source.validity, "as of 2026-11-25");
    EXPECT_EQ(files->value.sources.size(), 2U);
    // 25 November is day 328 of 365, counted from 0.
    EXPECT_NEAR(files->files[1].source.reference_year, 2026.0 + 328.0 / 365.0, 1e-9);
}

TEST(CaseNavigationFiles, AByteOrderMarkAndWindowsLineEndsAreTolerated) {
    const std::string airports =
        "\xEF\xBB\xBFid,ident,type,name,latitude_deg,longitude_deg,elevation_ft,gps_code\r\n"
        "1,XAAA,medium_airport,\"Invented, old\",40.5,-168.5,120,\r\n";
    const auto files = read({{"a.csv", airports}});
    ASSERT_TRUE(files) << base::to_text(files.error());
    EXPECT_EQ(files->value.airports.at(0).name, "Invented, old");
}

TEST(CaseNavigationFiles, TheSameFileTwiceIsReadOnce) {
    const std::string rows = published_rows();
    const auto files = read({{"one.txt", rows}, {"two.txt", rows}});
    ASSERT_TRUE(files);
    EXPECT_EQ(files->counts().rows, 64U);
    EXPECT_EQ(files->counts().not_used.at("read.same_file_again"), 32U);
    EXPECT_EQ(files->value.sources.size(), 1U);
    EXPECT_TRUE(files->choices.empty());
}

TEST(CaseNavigationFiles, RunwaysAndFrequenciesOfAnAirportInNoFileAreReportedOncePerRow) {
    const auto files =
        read({{"a.csv", airports_head + "1,XAAA,medium_airport,Invented,40.5,-168.5,120,\n"},
              {"r.csv", runways_head + "1,XAAA,8000,0,09,,,,,,27,,,,,\n2,XZZZ,8000,0,09,,,,,,27,,,,,\n"},
              {"f.csv", frequencies_head + "1,XAAA,TWR,Tower,118.1\n2,XZZZ,TWR,Tower,118.1\n"}});
    ASSERT_TRUE(files);
    EXPECT_EQ(files->value.runways.size(), 2U);
    EXPECT_EQ(files->value.communications.size(), 1U);
    EXPECT_EQ(files->counts().not_used.at("read.airport_unknown"), 2U);
    EXPECT_EQ(files->files[1].counts.used, 1U);
    std::vector<std::string> places;
    for (const base::Error& error : files->diagnostics) {
        places.push_back(error.where);
    }
    EXPECT_THAT(places, ::testing::UnorderedElementsAre("r.csv:3:1", "f.csv:3:1"));
}

TEST(CaseNavigationFiles, AnAirportIsKnownByItsIcaoLocationIndicatorWhereItHasOne) {
    const auto files =
        read({{"a.csv", airports_head + "1,XX-0005,medium_airport,Invented,40.5,-168.5,120,XKST\n"
                                        "2,XX-0006,small_airport,Local,40.6,-168.5,120,X12\n"},
              {"r.csv", runways_head + "1,XX-0005,8000,0,09,,,,,,27,,,,,\n"},
              {"f.csv", frequencies_head + "1,XX-0005,TWR,Tower,118.1\n"}});
    ASSERT_TRUE(files);
    EXPECT_EQ(files->value.airports.at(0).ident, "XKST");
    EXPECT_EQ(files->value.airports.at(1).ident, "XX-0006");
    EXPECT_EQ(files->value.runways.at(0).airport, "XKST");
    EXPECT_EQ(files->value.communications.at(0).airport, "XKST");
}

TEST(CaseNavigationFiles, AnIndicatorThatTwoAirportsClaimIsGivenToNeither) {
    const auto files =
        read({{"a.csv", airports_head + "1,XX-0005,medium_airport,Invented,40.5,-168.5,120,XKST\n"
                                        "2,XKST,small_airport,Other,45.6,-168.5,120,\n"}});
    ASSERT_TRUE(files);
    EXPECT_EQ(files->value.airports.at(0).ident, "XX-0005");
    EXPECT_EQ(files->value.airports.at(1).ident, "XKST");
}

TEST(CaseNavigationFiles, ProgressNeverGoesBackAndACancelledReadingGivesNothing) {
    std::vector<double> shares;
    base::Progress progress;
    progress.report = [&](std::string_view, double share) { shares.push_back(share); };
    const std::string airports = airports_head + "1,XAAA,medium_airport,Invented,40.5,-168.5,120,\n";
    const std::vector<NamedBytes> files = {{"rows.txt", published_rows()}, {"a.csv", airports}};
    EXPECT_FALSE(shares.size() > 0);
    const std::string rows = published_rows();
    ASSERT_TRUE(read_navigation_bytes({{"rows.txt", rows}, {"a.csv", airports}}, setting(), progress));
    EXPECT_GE(shares.size(), 2U);
    EXPECT_TRUE(std::is_sorted(shares.begin(), shares.end()));
    std::stop_source stop;
    stop.request_stop();
    progress.stop = stop.get_token();
    const auto cancelled =
        read_navigation_bytes({{"rows.txt", rows}, {"a.csv", airports}}, setting(), progress);
    ASSERT_FALSE(cancelled);
    EXPECT_EQ(cancelled.error().code, "read.cancelled");
}

namespace {

/// What a reading told and what came of it, as text.
std::string account_of(const base::Result<NavigationFiles>& read, const std::vector<std::string>& told) {
    std::string account = fmt::format("{}\n", fmt::join(told, "\n"));
    if (!read) {
        return account + base::to_text(read.error());
    }
    for (const base::Error& diagnostic : read->diagnostics) {
        account += base::to_text(diagnostic) + '\n';
    }
    for (const MergeChoice& choice : read->choices) {
        account += to_text(choice) + '\n';
    }
    for (const FileAccount& file : read->files) {
        account += fmt::format("{} {} {} {}\n", file.source.file, file.source.checksum, file.counts.rows,
                               file.counts.used);
    }
    for (const navdata::Station& station : read->value.stations) {
        account +=
            fmt::format("{} {} {}\n", station.ident, station.region, station.origins.front().source.index);
    }
    for (const navdata::Procedure& procedure : read->value.procedures) {
        account += fmt::format("{} {} {}\n", procedure.airport, procedure.ident, procedure.branches.size());
    }
    return account;
}

/// The account of a reading that is stopped when it tells of its progress for the given time, counted from 1; 0 is never.
template <class Read>
std::string account_when_stopped_at(std::size_t time, Read read) {
    std::vector<std::string> told;
    std::stop_source stop;
    base::Progress progress;
    progress.stop = stop.get_token();
    progress.report = [&](std::string_view what, double share) {
        told.push_back(fmt::format("{} {}", what, share));
        if (told.size() == time) {
            stop.request_stop();
        }
    };
    const auto files = read(progress);
    return account_of(files, told);
}

}  // namespace

TEST(LawNavigationFiles, FilesReadAtOnceGiveWhatTheyGiveOneAfterTheOther) {
    const std::filesystem::path folder =
        std::filesystem::temp_directory_path() / fmt::format("omniway-files-{}", getpid());
    std::filesystem::create_directory(folder);
    const std::string rows = published_rows();
    std::vector<std::string> contents;
    for (int file = 0; file < 24; ++file) {
        // Some alike, some of their own, of very different sizes, and now and then a table.
        std::string own = file % 5 == 3
                              ? airports_head + "1,XAAA,medium_airport,Invented,40.5,-168.5,120,\n"
                              : rows.substr(0, rows.size() / static_cast<std::size_t>(1 + file % 4));
        contents.push_back(own + (file % 3 == 0 ? "a row of no kind\n" : ""));
    }
    const std::string useless = "none of it is navigation data\n";
    for (const std::size_t useless_at : {contents.size(), std::size_t{17}, std::size_t{2}}) {
        std::vector<std::string> paths;
        std::vector<NamedBytes> named;
        for (std::size_t i = 0; i < contents.size(); ++i) {
            const std::string& bytes = i == useless_at ? useless : contents[i];
            paths.push_back((folder / fmt::format("{}.txt", i)).string());
            std::ofstream(paths.back(), std::ios::binary) << bytes;
            named.push_back({paths.back(), bytes});
        }
        for (std::size_t time = 0; time < 20; ++time) {
            EXPECT_EQ(account_when_stopped_at(time,
                                              [&](const base::Progress& progress) {
                                                  return read_navigation_files(paths, setting(), progress);
                                              }),
                      account_when_stopped_at(time,
                                              [&](const base::Progress& progress) {
                                                  return read_navigation_bytes(named, setting(), progress);
                                              }))
                << "stopped at " << time << ", useless at " << useless_at;
        }
    }
    std::filesystem::remove_all(folder);
}

namespace {

std::vector<std::string> real_files(const std::filesystem::path& folder) {
    std::vector<std::string> files;
    for (const char* name : {"cifp/faa_cifp_2101_part.txt", "cifp/faa_cifp_KJFK_complete_2002-03.txt",
                             "ourairports/navaids.csv", "ourairports/airports_medium_large_only.csv",
                             "ourairports/runways.csv", "ourairports/airport-frequencies.csv"}) {
        files.push_back((folder / name).string());
    }
    return files;
}

}  // namespace

TEST(TruthNavigationFilesRealData, EveryRowOfAllFilesIsUsedOrReported) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const auto files = read_navigation_files(real_files(folder), setting(), {});
    ASSERT_TRUE(files) << base::to_text(files.error());
    // Lines of each file, less the header row of a table; none of these tables has a line end within quotes.
    for (const FileAccount& file : files->files) {
        const std::string bytes = contents(file.source.file);
        auto lines = static_cast<std::size_t>(std::count(bytes.begin(), bytes.end(), '\n'));
        if (bytes.back() != '\n') {
            ++lines;
        }
        const std::size_t header = file.source.format == "OurAirports CSV" ? 1 : 0;
        EXPECT_EQ(file.counts.rows, lines - header) << file.source.file;
        EXPECT_EQ(file.counts.used + file.counts.not_used_in_all(), file.counts.rows) << file.source.file;
        std::printf("%s: %zu rows, %zu used\n", file.source.file.c_str(), file.counts.rows, file.counts.used);
        for (const auto& [reason, number] : file.counts.not_used) {
            std::printf("  %s %zu\n", reason.c_str(), number);
        }
    }
    const ReadCounts counts = files->counts();
    std::size_t reported = 0;
    std::set<std::string> rows;
    for (const base::Error& diagnostic : files->diagnostics) {
        if (!is_remark(diagnostic)) {
            ++reported;
            rows.insert(diagnostic.where.substr(0, diagnostic.where.rfind(':')));
        }
    }
    EXPECT_EQ(reported, counts.not_used_in_all());
    EXPECT_EQ(rows.size(), reported) << "a row is reported twice";
}

// Paired in a separate script by ident, frequency (the DME of a beacon by its channel) and place: the part of the FAA's data
// and OurAirports have 86 VHF aids and 30 beacons in common.
TEST(TruthNavigationFilesRealData, AnAidThatBothSourcesHaveStandsOnce) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const auto files = read_navigation_files(
        {(folder / "cifp/faa_cifp_2101_part.txt").string(), (folder / "ourairports/navaids.csv").string()},
        setting(), {});
    ASSERT_TRUE(files) << base::to_text(files.error());
    std::size_t vhf = 0;
    std::size_t beacons = 0;
    for (const navdata::Station& station : files->value.stations) {
        const bool both = std::any_of(station.origins.begin(), station.origins.end(),
                                      [](const navdata::Origin& o) { return o.source.index == 0; }) &&
                          std::any_of(station.origins.begin(), station.origins.end(),
                                      [](const navdata::Origin& o) { return o.source.index == 1; });
        vhf += both && ndb(station) == nullptr ? 1 : 0;
        beacons += both && ndb(station) != nullptr ? 1 : 0;
    }
    std::printf("in both sources: %zu VHF aids, %zu beacons; %zu choices\n", vhf, beacons,
                files->choices.size());
    EXPECT_EQ(vhf, 86U);
    EXPECT_EQ(beacons, 30U);
    const auto& stations = files->value.stations;
    // There are several ALB in the world; near Albany there is one.
    const earth::Position albany = earth::Position::degrees(42.747, -73.803);
    EXPECT_EQ(std::count_if(stations.begin(), stations.end(),
                            [&](const navdata::Station& s) {
                                return s.ident == "ALB" && ndb(s) == nullptr &&
                                       earth::distance(site(s), albany) < base::Length::nautical_miles(5);
                            }),
              1);
}

}  // namespace omniway::readers
