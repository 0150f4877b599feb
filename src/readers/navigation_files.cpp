#include "readers/navigation_files.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <deque>
#include <filesystem>
#include <future>
#include <iterator>
#include <optional>
#include <set>
#include <system_error>
#include <thread>
#include <utility>

#include <fmt/format.h>

#include "readers/airac.hpp"
#include "readers/arinc424.hpp"
#include "readers/file_bytes.hpp"

namespace omniway::readers {

namespace {

constexpr std::uintmax_t largest_file_bytes = std::uintmax_t{1} << 30U;
constexpr std::string_view what_is_read =
    "give an ARINC 424-18 text file (as the FAA's CIFP), or navaids.csv, airports.csv, runways.csv or "
    "airport-frequencies.csv of OurAirports";

base::Result<std::string> contents(const std::string& path) {
    std::error_code problem;
    const auto status = std::filesystem::status(path, problem);
    if (status.type() == std::filesystem::file_type::not_found) {
        return base::failure("read.file_missing", "there is no such file; check its name and folder", path);
    }
    if (!std::filesystem::is_regular_file(status)) {
        return base::failure(
            "read.not_a_file",
            std::filesystem::is_directory(status)
                ? "this is a folder; name the files in it"
                : fmt::format("this is no plain file that can be read{}{}; {}", problem ? ": " : "",
                              problem ? problem.message() : "", what_is_read),
            path);
    }
    return plain_file_bytes(path, largest_file_bytes);
}

/// What tells at a glance that a file is of no use.
std::optional<base::Error> fault_of(std::string_view bytes, const std::string& name) {
    if (bytes.empty()) {
        return base::Error{"read.file_empty", fmt::format("the file is empty; {}", what_is_read), name};
    }
    const std::size_t zero = bytes.find('\0');
    if (zero != std::string_view::npos) {
        return base::Error{
            "read.file_binary",
            fmt::format("the file is binary (a zero at byte {}); unpack it if it is an archive, and {}",
                        zero + 1, what_is_read),
            name};
    }
    return std::nullopt;
}

std::size_t number_of_records(const navdata::Records& records) {
    return records.stations.size() + records.fixes.size() + records.airway_rows.size() +
           records.airports.size() + records.runways.size() + records.communications.size() +
           records.markers.size() + records.procedures.size() + records.sector_altitudes.size() +
           records.grid_minimums.size();
}

void shift_sources(navdata::Records& records, std::uint32_t by) {
    const auto shift = [by](navdata::Origin& origin) { origin.source.index += by; };
    for (navdata::Station& station : records.stations) {
        std::for_each(station.origins.begin(), station.origins.end(), shift);
    }
    for (navdata::Airport& airport : records.airports) {
        std::for_each(airport.origins.begin(), airport.origins.end(), shift);
    }
    for (navdata::Runway& runway : records.runways) {
        shift(runway.origin);
    }
    for (navdata::Communication& communication : records.communications) {
        shift(communication.origin);
    }
}

template <class Thing>
void append(std::vector<Thing>& to, std::vector<Thing>& from) {
    if (to.empty()) {
        to = std::move(from);
    } else {
        to.insert(to.end(), std::make_move_iterator(from.begin()), std::make_move_iterator(from.end()));
    }
}

/// The tables of OurAirports that belong together: one of each kind at most.
struct TableSet {
    navdata::Records records;
    std::set<OurAirportsTable> tables;
    std::map<std::string, std::string, std::less<>> location_indicators;
    std::vector<std::size_t> files;  // of each source, its place among the files given
};

/// One file as it was read, before anything is known of the others.
struct FileReading {
    std::string name;
    std::size_t size_bytes = 0;
    std::string checksum;
    std::optional<base::Error> fault;
    std::optional<OurAirportsTable> table;  // none for ARINC 424
    OurAirportsReading reading;
};

FileReading read_bytes(const std::string& name, std::string_view bytes, const ReadSetting& setting,
                       const base::Progress& progress) {
    FileReading file;
    file.name = name;
    file.size_bytes = bytes.size();
    file.fault = fault_of(bytes, name);
    if (file.fault) {
        return file;
    }
    file.checksum = checksum_of(bytes);
    navdata::Source source;
    source.file = name;
    source.reference_year = decimal_year(setting.today);
    source.checksum = file.checksum;
    if (looks_like_arinc424(bytes)) {
        static_cast<Reading&>(file.reading) = read_arinc424(bytes, std::move(source), progress);
        return file;
    }
    file.table = ourairports_table(bytes);
    if (!file.table) {
        file.fault = base::Error{
            "read.file_not_recognised",
            fmt::format("nothing in the first rows is navigation data in a known form; {}", what_is_read),
            name};
        return file;
    }
    source.validity = fmt::format("as of {}", to_text(setting.today));
    auto reading = read_ourairports(bytes, std::move(source), setting.variation_at, progress);
    if (reading) {
        file.reading = std::move(*reading);
    } else {
        file.fault = std::move(reading.error());
    }
    return file;
}

FileReading read_file(const std::string& path, const ReadSetting& setting, const base::Progress& progress) {
    const base::Result<std::string> bytes = contents(path);
    if (bytes) {
        return read_bytes(path, *bytes, setting, progress);
    }
    FileReading file;
    file.name = path;
    file.fault = bytes.error();
    return file;
}

/// Joins the files, which are given to it in their order.
class NavigationFilesReader {
public:
    NavigationFilesReader(const ReadSetting& setting, const base::Progress& progress, std::size_t number)
        : setting_(setting), progress_(progress), number_(number) {}

    /// How the reading of the next file tells how far the whole is.
    base::Progress stage() const {
        base::Progress stage = progress_;
        if (progress_.report) {
            stage.report = [this](std::string_view what, double share) { tell(what, share); };
        }
        return stage;
    }
    void tell(std::string_view what, double share) const {
        progress_.at(what,
                     (static_cast<double>(result_.files.size()) + share) / static_cast<double>(number_));
    }

    std::optional<base::Error> add(FileReading file) {
        if (const auto before = known_checksums_.find(file.checksum); before != known_checksums_.end()) {
            skip(file, result_.files[before->second]);
            return std::nullopt;
        }
        if (file.fault) {
            return std::move(file.fault);
        }
        known_checksums_.emplace(file.checksum, result_.files.size());
        return keep(std::move(file));
    }

    base::Result<NavigationFiles> finish() {
        rename_airports();
        std::vector<navdata::Records> readings = std::move(arinc_);
        leave_out_what_has_no_airport(readings);
        for (TableSet& set : sets_) {
            readings.push_back(std::move(set.records));
        }
        Merged merged = merge(std::move(readings));
        if (number_of_records(merged.records) == 0) {
            const base::Error& last = result_.diagnostics.back();
            return base::failure(
                "read.no_records",
                fmt::format("no record is left; the last reason is at {}: {}", last.where, last.message),
                result_.files.front().source.file);
        }
        result_.value = std::move(merged.records);
        result_.choices = std::move(merged.choices);
        return std::move(result_);
    }

private:
    void skip(const FileReading& file, const FileAccount& first) {
        FileAccount account;
        account.source.file = file.name;
        account.source.reference_year = decimal_year(setting_.today);
        account.source.checksum = file.checksum;
        account.size_bytes = file.size_bytes;
        account.counts.rows = first.counts.rows;
        account.counts.not_used["read.same_file_again"] = account.counts.rows;
        result_.diagnostics.push_back(
            {"read.same_file_again",
             fmt::format("the file is byte for byte {}, and none of its {} rows is used again",
                         first.source.file, account.counts.rows),
             file.name + ":1:1"});
        result_.files.push_back(std::move(account));
    }

    TableSet& set_without(OurAirportsTable table) {
        const auto found = std::find_if(sets_.begin(), sets_.end(),
                                        [&](const TableSet& set) { return !set.tables.contains(table); });
        TableSet& set = found != sets_.end() ? *found : sets_.emplace_back();
        set.tables.insert(table);
        return set;
    }

    std::optional<base::Error> keep(FileReading file) {
        OurAirportsReading& reading = file.reading;
        const std::string& name = file.name;
        if (progress_.cancelled()) {
            return base::Error{"read.cancelled", "reading was cancelled; nothing of it is used", name};
        }
        if (number_of_records(reading.value) == 0) {
            std::string why;
            for (const base::Error& diagnostic : reading.diagnostics) {
                if (!is_remark(diagnostic)) {
                    why =
                        fmt::format("; the first reason is at {}: {}", diagnostic.where, diagnostic.message);
                    break;
                }
            }
            return base::Error{"read.no_records",
                               fmt::format("none of its {} rows can be used{}", reading.counts.rows, why),
                               name};
        }
        const std::size_t place = result_.files.size();
        result_.files.push_back({reading.value.sources.front(), file.size_bytes, reading.counts});
        append(result_.diagnostics, reading.diagnostics);
        if (!file.table) {
            arinc_.push_back(std::move(reading.value));
            return std::nullopt;
        }
        TableSet& set = set_without(*file.table);
        navdata::Records& records = set.records;
        shift_sources(reading.value, static_cast<std::uint32_t>(records.sources.size()));
        append(records.sources, reading.value.sources);
        append(records.stations, reading.value.stations);
        append(records.airports, reading.value.airports);
        append(records.runways, reading.value.runways);
        append(records.communications, reading.value.communications);
        set.location_indicators.merge(reading.location_indicators);
        set.files.push_back(place);
        return std::nullopt;
    }

    /// Idents that OurAirports made up give way to the ICAO location indicator, in every table.
    void rename_airports() {
        std::map<std::string, std::string, std::less<>> indicators;
        std::set<std::string, std::less<>> taken;
        for (const navdata::Records& records : arinc_) {
            for (const navdata::Airport& airport : records.airports) {
                taken.insert(airport.ident);
            }
        }
        for (TableSet& set : sets_) {
            indicators.merge(set.location_indicators);
        }
        // An indicator that an ARINC airport bears is left to it, unless it is the same airport: merge() tells by place.
        for (TableSet& set : sets_) {
            const auto rename = [&](std::string& ident) {
                if (const auto found = indicators.find(ident);
                    found != indicators.end() && !taken.contains(ident)) {
                    ident = found->second;
                }
            };
            for (navdata::Station& station : set.records.stations) {
                rename(station.airport);
            }
            for (navdata::Airport& airport : set.records.airports) {
                rename(airport.ident);
            }
            for (navdata::Runway& runway : set.records.runways) {
                rename(runway.airport);
            }
            for (navdata::Communication& communication : set.records.communications) {
                rename(communication.airport);
            }
        }
    }

    void leave_out_what_has_no_airport(const std::vector<navdata::Records>& arinc) {
        std::set<std::string, std::less<>> airports;
        const auto collect = [&](const navdata::Records& records) {
            for (const navdata::Airport& airport : records.airports) {
                airports.insert(airport.ident);
            }
        };
        std::for_each(arinc.begin(), arinc.end(), collect);
        std::for_each(sets_.begin(), sets_.end(), [&](const TableSet& set) { collect(set.records); });
        for (TableSet& set : sets_) {
            std::pair<std::uint32_t, std::uint32_t> last = {0, 0};
            const auto orphan = [&](const auto& thing) {
                if (airports.contains(thing.airport)) {
                    return false;
                }
                // Both ends of a runway stand on one row, next to each other.
                const std::pair row = {thing.origin.source.index, thing.origin.line};
                if (row != last) {
                    last = row;
                    FileAccount& account = result_.files[set.files[thing.origin.source.index]];
                    account.counts.used -= 1;
                    account.counts.not_used["read.airport_unknown"] += 1;
                    result_.diagnostics.push_back(
                        {"read.airport_unknown",
                         fmt::format("the airport {} is in none of the files given", thing.airport),
                         fmt::format("{}:{}:1", account.source.file, thing.origin.line)});
                }
                return true;
            };
            std::erase_if(set.records.runways, orphan);
            std::erase_if(set.records.communications, orphan);
        }
    }

    const ReadSetting& setting_;
    const base::Progress& progress_;
    std::size_t number_;
    NavigationFiles result_;
    std::map<std::string, std::size_t> known_checksums_;  // to the first file that has it
    std::vector<navdata::Records> arinc_;
    std::vector<TableSet> sets_;
};

/// What a reading told of its progress, to be told again when its turn comes.
using Told = std::vector<std::pair<std::string, double>>;

/// Reads files ahead on threads of their own and gives them back in order.
class ReadingAhead {
public:
    ReadingAhead(const std::vector<std::string>& paths, const ReadSetting& setting, std::stop_token stop)
        : paths_(paths), setting_(setting), stop_(std::move(stop)) {}

    std::pair<FileReading, Told> next() {
        // As many again as are being read may lie ready, so that a large file does not hold up the others.
        const std::size_t most = 2 * std::max(std::thread::hardware_concurrency(), 1U);
        for (; begun_ < paths_.size() && ahead_.size() < most; ++begun_) {
            ahead_.push_back(std::async(std::launch::async, [this, &path = paths_[begun_]] {
                Told told;
                const base::Progress progress{
                    [&told](std::string_view what, double share) { told.emplace_back(what, share); }, stop_};
                FileReading file = read_file(path, setting_, progress);
                return std::pair(std::move(file), std::move(told));
            }));
        }
        auto reading = ahead_.front().get();
        ahead_.pop_front();
        return reading;
    }

private:
    const std::vector<std::string>& paths_;
    const ReadSetting& setting_;
    std::stop_token stop_;
    std::size_t begun_ = 0;
    std::deque<std::future<std::pair<FileReading, Told>>> ahead_;
};

tl::unexpected<base::Error> no_files() {
    return base::failure("read.no_files", fmt::format("no file is given; {}", what_is_read));
}

}  // namespace

ReadCounts NavigationFiles::counts() const {
    ReadCounts sum;
    for (const FileAccount& file : files) {
        sum += file.counts;
    }
    return sum;
}

base::Result<NavigationFiles> read_navigation_files(const std::vector<std::string>& paths,
                                                    const ReadSetting& setting,
                                                    const base::Progress& progress) {
    if (paths.empty()) {
        return no_files();
    }
    NavigationFilesReader reader(setting, progress, paths.size());
    if (paths.size() == 1) {
        if (auto fault = reader.add(read_file(paths.front(), setting, reader.stage()))) {
            return tl::unexpected(std::move(*fault));
        }
        return reader.finish();
    }
    ReadingAhead ahead(paths, setting, progress.stop);
    for (std::size_t i = 0; i < paths.size(); ++i) {
        auto [file, told] = ahead.next();
        for (const auto& [what, share] : told) {
            reader.tell(what, share);
        }
        if (auto fault = reader.add(std::move(file))) {
            return tl::unexpected(std::move(*fault));
        }
    }
    return reader.finish();
}

base::Result<NavigationFiles> read_navigation_bytes(const std::vector<NamedBytes>& files,
                                                    const ReadSetting& setting,
                                                    const base::Progress& progress) {
    if (files.empty()) {
        return no_files();
    }
    NavigationFilesReader reader(setting, progress, files.size());
    for (const NamedBytes& file : files) {
        if (auto fault = reader.add(read_bytes(file.name, file.bytes, setting, reader.stage()))) {
            return tl::unexpected(std::move(*fault));
        }
    }
    return reader.finish();
}

}  // namespace omniway::readers
