// Good files spoiled at random, always the same ones: whatever a reader is given, it never crashes, and what it does not use it
// reports once, with code and place. The sanitizers watch the same test.

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <random>
#include <set>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "readers/aircraft_toml.hpp"
#include "readers/minima_csv.hpp"
#include "readers/navigation_files.hpp"

namespace omniway::readers {

namespace {

ReadSetting setting() {
    return {std::chrono::sys_days(std::chrono::year(2026) / 11 / 25),
            [](earth::Position, earth::DecimalYear) {
                return base::Variation::east(base::Angle::degrees(12.5));
            }};
}

std::string contents(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    EXPECT_TRUE(stream) << file;
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::string line;
    for (const char c : text) {
        line += c;
        if (c == '\n') {
            lines.push_back(line);
            line.clear();
        }
    }
    if (!line.empty()) {
        lines.push_back(line);
    }
    return lines;
}

// Spoils text in the ways of bad copies, bad exports and bad typing. The bytes it puts in are those that readers branch on.
class Spoiler {
public:
    explicit Spoiler(std::uint64_t seed) : random_(seed) {}

    std::string spoil(const std::string& good) {
        std::vector<std::string> lines = lines_of(good);
        for (std::size_t i = 0, changes = 1 + below(4); i < changes; ++i) {
            change(lines);
        }
        std::string text;
        for (const std::string& line : lines) {
            text += line;
        }
        if (below(20) == 0) {
            text.resize(below(text.size() + 1));
        }
        return text;
    }

private:
    std::size_t below(std::size_t n) { return n == 0 ? 0 : random_() % n; }

    char any_byte() {
        static const std::string telling =
            " 0123456789NSEWABCDEFGHIJKLMOPQRTUVXYZ+-.,\"'=[]#\t\r\n\x7f\x80\xe9\xff";
        return below(4) == 0 ? static_cast<char>(1 + below(255)) : telling[below(telling.size())];
    }

    void change(std::vector<std::string>& lines) {
        if (lines.empty()) {
            return;
        }
        std::string& line = lines[below(lines.size())];
        const std::string other = lines[below(lines.size())];
        const std::size_t at = below(line.size());
        const std::size_t length = below(12);
        switch (below(10)) {
            case 0:
            case 1:
            case 2:
                if (!line.empty()) {
                    line[at] = any_byte();
                }
                break;
            case 3:
                line.insert(at, 1, any_byte());
                break;
            case 4:
                line.erase(at, length);
                break;
            case 5:  // a field of another row
                line.replace(at, std::min(length, line.size() - at),
                             at < other.size() ? other.substr(at, length) : other);
                break;
            case 6:
                line.replace(at, std::min(length, line.size() - at), length, any_byte());
                break;
            case 7:
                lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(below(lines.size())), other);
                break;
            case 8:
                lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(below(lines.size())));
                break;
            default:
                std::swap(lines[below(lines.size())], lines[below(lines.size())]);
        }
    }

    std::mt19937_64 random_;
};

bool has_code_and_place(const base::Error& error, const std::string& file) {
    return error.code.find('.') != std::string::npos && !error.message.empty() &&
           error.where.compare(0, file.size(), file) == 0;
}

struct Tally {
    std::size_t refused_whole = 0;
    std::size_t rows = 0;
    std::size_t used = 0;
    std::set<std::string> codes;
};

// Every row used or reported exactly once, every report with code and place.
void expect_account(const std::vector<NamedBytes>& files, Tally& tally) {
    const auto read = read_navigation_bytes(files, setting(), {});
    if (!read) {
        ++tally.refused_whole;
        tally.codes.insert(read.error().code);
        EXPECT_TRUE(std::any_of(files.begin(), files.end(), [&](const NamedBytes& file) {
            return has_code_and_place(read.error(), file.name);
        })) << base::to_text(read.error());
        return;
    }
    std::map<std::string, std::size_t> reported;
    std::set<std::string> places;
    for (const base::Error& error : read->diagnostics) {
        EXPECT_TRUE(std::any_of(files.begin(), files.end(), [&](const NamedBytes& file) {
            return has_code_and_place(error, file.name + ':');
        })) << base::to_text(error);
        if (is_remark(error)) {
            continue;
        }
        tally.codes.insert(error.code);
        ++reported[error.code];
        EXPECT_TRUE(places.insert(error.where.substr(0, error.where.rfind(':'))).second)
            << "reported twice: " << base::to_text(error);
    }
    const ReadCounts counts = read->counts();
    EXPECT_EQ(counts.rows, counts.used + counts.not_used_in_all());
    for (const auto& [code, number] : counts.not_used) {
        EXPECT_EQ(reported[code], number) << code;
        reported.erase(code);
    }
    EXPECT_TRUE(reported.empty());
    tally.rows += counts.rows;
    tally.used += counts.used;
}

void print(const char* what, std::size_t files, const Tally& tally) {
    std::printf("%s: %zu spoiled files, %zu refused whole; %zu rows, %zu used; %zu codes\n", what, files,
                tally.refused_whole, tally.rows, tally.used, tally.codes.size());
}

}  // namespace

TEST(LawMutation, EveryRowOfSpoiledArincTextIsUsedOrReportedOnce) {
    std::string good;
    for (const std::string& line : lines_of(contents("tests/reference/faa_cifp_rows.txt"))) {
        good += line.starts_with('#') ? "" : line;
    }
    Spoiler spoiler(20261125);
    Tally tally;
    constexpr std::size_t files = 3000;
    for (std::size_t i = 0; i < files && !HasFailure(); ++i) {
        const std::string bad = spoiler.spoil(good);
        SCOPED_TRACE(i);
        expect_account({{"rows.txt", bad}}, tally);
    }
    print("ARINC 424", files, tally);
    EXPECT_GE(tally.codes.size(), 10U);
    EXPECT_GT(tally.used, tally.rows / 2);
}

TEST(LawMutation, EveryRowOfSpoiledTablesIsUsedOrReportedOnce) {
    const std::vector<std::pair<std::string, std::string>> good = {
        {"navaids.csv",
         "id,filename,ident,name,type,frequency_khz,latitude_deg,longitude_deg,elevation_ft,iso_country,"
         "dme_frequency_khz,dme_channel,dme_latitude_deg,dme_longitude_deg,dme_elevation_ft,"
         "slaved_variation_deg,magnetic_variation_deg,usageType,power,associated_airport\n"
         "1,a,XAA,\"Invented, "
         "one\",VOR-DME,113400,40.5,-168.5,120,XX,113400,081X,40.5,-168.5,120,9.1,8.2,BOTH,"
         "HIGH,XAAA\n"
         "2,b,XBB,\"Of \"\"old\"\"\",NDB,326,41.5,-169.5,,XX,,,,,,,8.0,LO,MEDIUM,\n"
         "3,c,XCC,Third,DME,112300,-41.5,179.5,,XX,112300,070X,,,,,8.0,LO,LOW,\n"
         "4,d,XDD,Fourth,TACAN,115200,0,0,10,XX,115200,099X,,,,1,-8.0,LO,LOW,\n"},
        {"airports.csv",
         "id,ident,type,name,latitude_deg,longitude_deg,elevation_ft,gps_code\n"
         "1,XAAA,medium_airport,\"Invented, old\",40.5,-168.5,120,\n"
         "2,XBBB,small_airport,Other,41.5,-169.5,1200,XBBB\n"},
        {"runways.csv",
         "id,airport_ident,length_ft,closed,le_ident,le_latitude_deg,le_longitude_deg,le_elevation_ft,"
         "le_heading_degT,le_displaced_threshold_ft,he_ident,he_latitude_deg,he_longitude_deg,"
         "he_elevation_ft,he_heading_degT,he_displaced_threshold_ft\n"
         "1,XAAA,8000,0,09,40.5,-168.52,120,98.1,,27,40.49,-168.48,118,278.1,300\n"
         "2,XBBB,5000,1,18L,,,,180,,36R,,,,,\n"},
        {"frequencies.csv",
         "id,airport_ident,type,description,frequency_mhz\n1,XAAA,TWR,Tower,118.1\n2,XBBB,ATIS,,128.25\n"}};
    Spoiler spoiler(20261126);
    Tally tally;
    constexpr std::size_t files = 2000;
    for (std::size_t i = 0; i < files && !HasFailure(); ++i) {
        std::vector<std::string> bytes;
        std::vector<NamedBytes> named;
        for (const auto& [name, text] : good) {
            // A spoiled header refuses the whole table, so most are spared.
            const std::size_t header = i % 16 == 0 ? 0 : text.find('\n') + 1;
            const bool spoiled = i % good.size() == bytes.size() || i % 7 == 0;
            bytes.push_back(spoiled ? text.substr(0, header) + spoiler.spoil(text.substr(header)) : text);
        }
        for (std::size_t table = 0; table < good.size(); ++table) {
            named.push_back({good[table].first, bytes[table]});
        }
        SCOPED_TRACE(i);
        expect_account(named, tally);
    }
    print("OurAirports", files, tally);
    EXPECT_GE(tally.codes.size(), 10U);
    EXPECT_GT(tally.used, tally.rows / 2);
}

TEST(LawMutation, ASpoiledAircraftFileIsReadOrRefusedWithCodesAndPlaces) {
    std::vector<std::string> good;
    for (const auto& entry : std::filesystem::directory_iterator("data/aircraft")) {
        good.push_back(entry.path().string());
    }
    std::sort(good.begin(), good.end());
    ASSERT_GE(good.size(), 4U);
    std::transform(good.begin(), good.end(), good.begin(),
                   [](const std::string& file) { return contents(file); });
    Spoiler spoiler(20261127);
    std::size_t read = 0;
    std::set<std::string> codes;
    constexpr std::size_t files = 3000;
    for (std::size_t i = 0; i < files && !HasFailure(); ++i) {
        const auto aircraft = read_aircraft(spoiler.spoil(good[i % good.size()]), "bad.toml");
        SCOPED_TRACE(i);
        if (aircraft) {
            ++read;
            continue;
        }
        EXPECT_FALSE(aircraft.error().empty());
        for (const base::Error& error : aircraft.error()) {
            EXPECT_TRUE(has_code_and_place(error, "bad.toml:")) << base::to_text(error);
            codes.insert(error.code);
        }
    }
    std::printf("aircraft: %zu spoiled files, %zu still good, %zu codes\n", files, read, codes.size());
    EXPECT_GE(codes.size(), 6U);
    EXPECT_GT(read, files / 20);
    EXPECT_LT(read, files);
}

TEST(LawMutation, ASpoiledFileOfMinimaIsReadAndItsRowsToldWithCodesAndPlaces) {
    const std::string header =
        "airport,procedure,category,landing,kind,altitude_ft,visibility_sm,visibility_m,rvr_ft,with_fix,"
        "remark\n";
    const std::string rows =
        "XMRA,I27,,straight-in,DA,292,1/2,,,,\nXMRA,L27,A B,straight-in,MDA,560,1,,,,\n"
        "XMRA,L27,A B,straight-in,MDA,480,,800,,XAFIN,\nXMRA,L27,C,circling,MDA,700,,,2400,,\"a, "
        "\"\"b\"\"\"\n";
    Spoiler spoiler(20261128);
    std::size_t used = 0;
    std::set<std::string> codes;
    constexpr std::size_t files = 3000;
    for (std::size_t i = 0; i < files && !HasFailure(); ++i) {
        SCOPED_TRACE(i);
        const auto read =
            read_minima(i % 16 == 0 ? spoiler.spoil(header + rows) : header + spoiler.spoil(rows), "bad.csv");
        used += read ? read->value.size() : 0;
        for (const base::Error& error : read ? read->diagnostics : read.error()) {
            if (error.code != "read.file_empty") {  // of the file as a whole
                EXPECT_TRUE(has_code_and_place(error, "bad.csv:")) << base::to_text(error);
            }
            codes.insert(error.code);
        }
        if (read) {
            for (const procedure::MinimumRow& row : read->value) {
                EXPECT_GE(row.minimum.altitude.feet(), -1501.0);
                EXPECT_LE(row.minimum.altitude.feet(), 20001.0);
                EXPECT_FALSE(row.categories.empty());
            }
        }
    }
    std::printf("minima: %zu spoiled files, %zu rows used, %zu codes\n", files, used, codes.size());
    EXPECT_GE(codes.size(), 8U);
    EXPECT_GT(used, files);
}

}  // namespace omniway::readers
