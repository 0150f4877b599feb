// Rules of the radio floors against what is really published: the files tell both sides of each.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "cockpit/pairing.hpp"
#include "radio/frequency_check.hpp"
#include "radio/indication.hpp"
#include "readers/arinc424.hpp"
#include "readers/csv.hpp"
#include "tests/real_data.hpp"

namespace omniway::readers {

namespace {

std::string contents(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    std::stringstream text;
    text << stream.rdbuf();
    return text.str();
}

using Row = std::map<std::string, std::string>;

std::vector<Row> rows_of(const std::string& bytes) {
    CsvReader reader(bytes);
    CsvReader::Record record;
    std::vector<std::string> names;
    std::vector<Row> rows;
    while (reader.next(record)) {
        if (names.empty()) {
            for (const CsvField& field : record.fields) {
                names.emplace_back(field.text);
            }
            continue;
        }
        Row row;
        for (std::size_t i = 0; i < std::min(names.size(), record.fields.size()); ++i) {
            row[names[i]] = std::string(record.fields[i].text);
        }
        rows.push_back(row);
    }
    return rows;
}

}  // namespace

// OurAirports gives the frequency in kilohertz and the channel as written by the states, each in its own column. A separate script found
// 4,071 rows that have both and agree, and nine that do not (a digit lost, a channel of another frequency).
TEST(TruthPairingRealData, TheChannelsThatStatesPublishAreThoseOfTheirFrequencies) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const std::string bytes = contents(folder / "ourairports/navaids.csv");
    std::size_t agree = 0;
    std::size_t differ = 0;
    for (const Row& row : rows_of(bytes)) {
        const std::string& written = row.at("dme_channel");
        if (written.empty()) {
            continue;
        }
        const std::string& khz = row.at("dme_frequency_khz");
        const auto frequency = base::Frequency::kilohertz(khz.empty() ? 0.0 : std::stod(khz));
        const auto paired = cockpit::paired_channel(frequency);
        const auto channel = paired ? paired : cockpit::stand_in_channel(frequency);
        const bool same =
            channel && fmt::format("{:03}{}", channel->number,
                                   channel->code == cockpit::PulseCode::x ? 'X' : 'Y') == written;
        agree += same ? 1 : 0;
        differ += same ? 0 : 1;
    }
    std::printf("channels of OurAirports: %zu agree, %zu differ\n", agree, differ);
    EXPECT_EQ(agree, 4071U);
    EXPECT_EQ(differ, 9U);
}

// The FAA publishes each localizer's width in its own columns (51-54, ARINC 424-18 5.51); the rule of 700 ft at the threshold is tried on
// the places of aerial and threshold in the same file. LDA and SDF are not tailored so.
TEST(TruthIndicationRealData, TheWidthOfALocalizerIsSevenHundredFeetAtItsThreshold) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    std::size_t tried = 0;
    std::size_t close = 0;
    double worst_deg = 0.0;
    for (const char* name : {"faa_cifp_2101_part.txt", "faa_cifp_KJFK_complete_2002-03.txt"}) {
        const navdata::Records records = read_arinc424(contents(folder / "cifp" / name), {}, {}).value;
        for (const navdata::Station& station : records.stations) {
            const auto* azimuth = navdata::localizer(station);
            if (azimuth == nullptr || !azimuth->width ||
                navdata::kind_of(*azimuth) != navdata::LocalizerKind::aligned) {
                continue;
            }
            const auto runway = std::find_if(
                records.runways.begin(), records.runways.end(), [&](const navdata::Runway& each) {
                    return each.airport == station.airport && each.ident == azimuth->runway && each.threshold;
                });
            if (runway == records.runways.end()) {
                continue;
            }
            navdata::LocalizerAzimuth without = *azimuth;
            without.width = std::nullopt;
            const double off_deg =
                (radio::localizer_width(without, runway->threshold).whole - *azimuth->width).degrees();
            ++tried;
            close += std::abs(off_deg) <= 0.15 ? 1 : 0;
            worst_deg = std::max(worst_deg, std::abs(off_deg));
            if (std::abs(off_deg) > 0.15) {
                std::printf("  %s %s published %.2f, by its place %+.2f\n", station.airport.c_str(),
                            station.ident.c_str(), azimuth->width->degrees(), off_deg);
            }
        }
    }
    std::printf("localizer widths: %zu of %zu within 0.15 degrees, the worst %.2f off\n", close, tried,
                worst_deg);
    EXPECT_EQ(tried, 71U);
    EXPECT_GE(close, 64U);
}

// What the FAA publishes can be flown, so every station of its file stands on a frequency of its kind.
TEST(TruthFrequencyCheckRealData, EveryStationOfTheFaaStandsOnAFrequencyOfItsKind) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    std::size_t stations = 0;
    for (const char* name : {"faa_cifp_2101_part.txt", "faa_cifp_KJFK_complete_2002-03.txt"}) {
        const navdata::Records records = read_arinc424(contents(folder / "cifp" / name), {}, {}).value;
        for (const navdata::Station& station : records.stations) {
            ++stations;
            EXPECT_EQ(radio::frequency_fault(station), std::nullopt)
                << station.airport << ' ' << station.ident;
        }
    }
    EXPECT_GT(stations, 250U);
}

}  // namespace omniway::readers
