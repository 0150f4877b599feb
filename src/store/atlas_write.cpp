#include <sqlite3.h>
#include <sys/stat.h>

#include <algorithm>
#include <cerrno>
#include <map>
#include <utility>

#include "base/contract.hpp"
#include "navdata/station.hpp"
#include "store/atlas.hpp"
#include "store/detail/checksum.hpp"
#include "store/detail/columns.hpp"
#include "store/detail/database.hpp"
#include "store/detail/replacement.hpp"
#include "store/detail/schema.hpp"
#include "store/detail/terrain_table.hpp"

namespace omniway::store {

namespace {

using detail::Database;
using detail::Put;
using detail::Statement;
using detail::Table;

std::string insertion(const Table& table, const std::string& list, std::size_t rows) {
    std::string row = "(?";
    for (const char letter : list) {
        if (letter == ',') {
            row += ",?";
        }
    }
    row += ')';
    std::string sql = std::string("INSERT INTO ").append(table.name).append(" (" + list + ") VALUES " + row);
    for (std::size_t i = 1; i < rows; ++i) {
        sql += ',' + row;
    }
    return sql;
}

// How far the whole import is, told and asked every thousand rows or so: a few milliseconds.
class Pace {
public:
    Pace(const base::Progress& progress, std::size_t rows)
        : progress_(progress), rows_(std::max(rows, std::size_t{1})) {}

    void begin(std::string_view stage) { stage_ = stage; }
    // True while the work should go on.
    bool rows(std::size_t number) {
        done_ += number;
        if (done_ >= next_told_) {
            next_told_ = done_ + 1024;
            progress_.at(stage_, share());
            stopped_ = stopped_ || progress_.cancelled();
        }
        return !stopped_;
    }
    // Rows are about two thirds of the work; indices, checksum and flushing the rest.
    double share() const {
        return 0.7 * static_cast<double>(std::min(done_, rows_)) / static_cast<double>(rows_);
    }
    bool stopped() const { return stopped_; }

private:
    const base::Progress& progress_;
    std::size_t rows_;
    std::size_t done_ = 0;
    std::size_t next_told_ = 0;
    std::string_view stage_;
    bool stopped_ = false;
};

// Each run of a statement makes and gives back a cursor and a row's buffer (Debian's SQLite has no lookaside memory), so several
// rows go into one. What a station binds is made on the way and does not live until the others are bound.
template <class T>
constexpr std::size_t rows_at_once = std::is_same_v<T, navdata::Station> ? 1 : 64;

// One table being filled: keys count up from 0, so the key of a row is its place in the list. What is added must live until
// the end of the filling.
template <class T>
class Filling {
public:
    Filling(const Database& database, const Table& table, Pace& pace)
        : table_(table),
          pace_(pace),
          one_(database.handle(), insertion(table, detail::column_list<T>(table), 1)),
          several_(database.handle(), insertion(table, detail::column_list<T>(table), rows_at_once<T>)) {}

    std::int64_t next() const { return next_; }
    // True while the work should go on.
    bool add(const T& value, detail::Standing standing = {}) {
        standing.key = next_++;
        waiting_.emplace_back(&value, standing);
        return waiting_.size() < rows_at_once<T> || write(several_, waiting_.size());
    }
    // Writes what is left; true if all went well.
    bool finish() { return waiting_.empty() || write(one_, 1); }

private:
    bool write(Statement& statement, std::size_t rows) {
        for (auto row = waiting_.begin(); row != waiting_.end();) {
            Put put(statement);
            for (std::size_t i = 0; i < rows; ++i, ++row) {
                detail::columns(put, table_, row->second);
                detail::columns(put, *row->first);
            }
            statement.run();
            if (!pace_.rows(rows) || !statement.ok()) {
                return false;
            }
        }
        waiting_.clear();
        return true;
    }

    Table table_;
    Pace& pace_;
    Statement one_;
    Statement several_;
    std::int64_t next_ = 0;
    std::vector<std::pair<const T*, detail::Standing>> waiting_;
};

template <class T>
bool fill(const Database& database, const Table& table, Pace& pace, const std::vector<T>& rows) {
    Filling<T> filling(database, table, pace);
    return std::all_of(rows.begin(), rows.end(), [&](const T& row) { return filling.add(row); }) &&
           filling.finish();
}

// A row whose parts have rows of their own in a second table.
template <class T, class Part, class AddPart>
bool add_with_parts(Filling<T>& filling, const T& row, const std::vector<Part>& parts,
                    std::int64_t first_part, std::int64_t parent, AddPart add_part) {
    const std::int64_t key = filling.next();
    return filling.add(row, {.parent = parent,
                             .first_part = first_part,
                             .parts = static_cast<std::int64_t>(parts.size())}) &&
           std::all_of(parts.begin(), parts.end(), [&](const Part& part) { return add_part(part, key); });
}

template <class T, class Part>
bool fill(const Database& database, const Table& table, const Table& part_table, Pace& pace,
          const std::vector<T>& rows, std::vector<Part> T::*parts) {
    Filling<T> filling(database, table, pace);
    Filling<Part> part_filling(database, part_table, pace);
    return std::all_of(rows.begin(), rows.end(),
                       [&](const T& row) {
                           return add_with_parts(filling, row, row.*parts, part_filling.next(), 0,
                                                 [&](const Part& part, std::int64_t key) {
                                                     return part_filling.add(part, {.parent = key});
                                                 });
                       }) &&
           filling.finish() && part_filling.finish();
}

bool fill_procedures(const Database& database, Pace& pace,
                     const std::vector<navdata::Procedure>& procedures) {
    Filling<navdata::Procedure> filling(database, detail::procedure_table, pace);
    Filling<navdata::Branch> branches(database, detail::branch_table, pace);
    Filling<navdata::Leg> legs(database, detail::leg_table, pace);
    const auto add_branch = [&](const navdata::Branch& branch, std::int64_t procedure) {
        return add_with_parts(
            branches, branch, branch.legs, legs.next(), procedure,
            [&](const navdata::Leg& leg, std::int64_t key) { return legs.add(leg, {.parent = key}); });
    };
    return std::all_of(procedures.begin(), procedures.end(),
                       [&](const navdata::Procedure& procedure) {
                           return add_with_parts(filling, procedure, procedure.branches, branches.next(), 0,
                                                 add_branch);
                       }) &&
           filling.finish() && branches.finish() && legs.finish();
}

bool fill_all(const Database& database, Pace& pace, const navdata::Records& records,
              const std::vector<earth::CoastlineRing>& coastline) {
    // Taken apart by name, so that a list added to the records does not compile until it has a table.
    const auto& [sources, stations, fixes, airway_rows, airports, runways, communications, markers,
                 procedures, sector_altitudes, grid_minimums] = records;
    const auto stage = [&pace](std::string_view name) {
        pace.begin(name);
        return true;
    };
    return stage("writing stations") && fill(database, detail::source_table, pace, sources) &&
           fill(database, detail::station_table, detail::station_origin_table, pace, stations,
                &navdata::Station::origins) &&
           stage("writing fixes") && fill(database, detail::fix_table, pace, fixes) &&
           stage("writing airways") && fill(database, detail::airway_row_table, pace, airway_rows) &&
           stage("writing airports") &&
           fill(database, detail::airport_table, detail::airport_origin_table, pace, airports,
                &navdata::Airport::origins) &&
           fill(database, detail::runway_table, pace, runways) &&
           fill(database, detail::communication_table, pace, communications) &&
           fill(database, detail::marker_table, pace, markers) && stage("writing procedures") &&
           fill_procedures(database, pace, procedures) && stage("writing minimum altitudes") &&
           fill(database, detail::sector_altitude_table, detail::safe_sector_table, pace, sector_altitudes,
                &navdata::MinimumSectorAltitude::sectors) &&
           fill(database, detail::grid_minimum_table, pace, grid_minimums) &&
           stage("writing the coastline") &&
           fill(database, detail::coastline_table, detail::coastline_vertex_table, pace, coastline,
                &earth::CoastlineRing::vertices);
}

std::size_t legs_in(const navdata::Records& records) {
    std::size_t number = 0;
    for (const navdata::Procedure& procedure : records.procedures) {
        for (const navdata::Branch& branch : procedure.branches) {
            number += branch.legs.size();
        }
    }
    return number;
}

// Enough to say how far the work is: sub-rows other than legs are few.
std::size_t rows_in(const navdata::Records& records, const std::vector<earth::CoastlineRing>& coastline) {
    std::size_t vertices = 0;
    for (const earth::CoastlineRing& ring : coastline) {
        vertices += ring.vertices.size();
    }
    return vertices + records.stations.size() * 2 + records.fixes.size() + records.airway_rows.size() +
           records.airports.size() * 2 + records.runways.size() + records.communications.size() +
           records.markers.size() + records.procedures.size() + legs_in(records) +
           records.sector_altitudes.size() * 2 + records.grid_minimums.size();
}

// The progress of a part of the work, which tells it as what it is of the whole.
base::Progress part_of(const base::Progress& whole, double from, double to) {
    base::Progress part = whole;
    if (whole.report) {
        part.report = [&whole, from, to](std::string_view stage, double share) {
            whole.report(stage, from + (to - from) * share);
        };
    }
    return part;
}

std::int64_t one_integer(const Database& database, const std::string& sql) {
    Statement statement(database.handle(), sql);
    return statement.step() ? statement.value(0).integer() : 0;
}

}  // namespace

std::vector<KindCount> count_by_kind(const navdata::Records& records) {
    std::map<std::string, std::size_t> stations;
    for (const navdata::Station& station : records.stations) {
        ++stations[navdata::kind_text(station)];
    }
    std::vector<KindCount> counts;
    for (const auto& [kind, number] : stations) {
        counts.push_back({kind, number});
    }
    counts.push_back({"fixes", records.fixes.size()});
    counts.push_back({"airway rows", records.airway_rows.size()});
    counts.push_back({"airports", records.airports.size()});
    counts.push_back({"runways", records.runways.size()});
    counts.push_back({"communications", records.communications.size()});
    counts.push_back({"markers", records.markers.size()});
    counts.push_back({"procedures", records.procedures.size()});
    counts.push_back({"procedure legs", legs_in(records)});
    counts.push_back({"sector altitudes", records.sector_altitudes.size()});
    counts.push_back({"grid minimums", records.grid_minimums.size()});
    return counts;
}

base::Result<WriteReport> write_atlas(const navdata::Records& records, const std::string& path,
                                      const base::Progress& whole_progress, const Ground& ground) {
    // Terrain, where there is any, is nearly all of the work.
    const bool with_terrain = static_cast<bool>(ground.next);
    const double share_of_records = with_terrain ? 0.1 : 1.0;
    const base::Progress progress = part_of(whole_progress, 0.0, share_of_records);
    OMNIWAY_EXPECTS(
        std::all_of(records.stations.begin(), records.stations.end(), [](const navdata::Station& station) {
            return station.dme || !std::holds_alternative<std::monostate>(station.azimuth);
        }));
    auto replacement = detail::Replacement::beside(path);
    if (!replacement) {
        return tl::unexpected(replacement.error());
    }
    const auto cancelled = [&] {
        return base::failure("atlas.cancelled",
                             "the import was stopped before its end; an old atlas stays as it was",
                             replacement->target());
    };
    std::string checksum;
    TerrainSummary terrain;
    {
        // Nobody else knows this file, and if building it fails it is thrown away: no locks, no journal, no flushing on the way.
        Database database(detail::uri_of(replacement->temporary(), "mode=rw&nolock=1"),
                          Database::For::writing);
        const auto failed = [&] {
            if (const int cause = database.want_of_room(); cause != 0) {
                return tl::unexpected(detail::write_error(cause, replacement->target()));
            }
            return base::failure(
                "atlas.write_failed",
                "the atlas cannot be written (" + database.last_message() + "); an old atlas stays as it was",
                replacement->target());
        };
        Pace pace(progress, rows_in(records, ground.coastline));
        if (!database.ok() ||
            !database.run(
                "PRAGMA page_size = 4096; PRAGMA auto_vacuum = NONE; PRAGMA journal_mode = OFF;"
                "PRAGMA synchronous = OFF; PRAGMA temp_store = MEMORY; PRAGMA cache_size = -32768; BEGIN;"
                "PRAGMA application_id = " +
                std::to_string(detail::application_id) +
                "; PRAGMA user_version = " + std::to_string(detail::schema_version) + ";") ||
            !database.run(std::string(detail::tables_sql)) ||
            !database.run("INSERT INTO navigation_checksum VALUES (0, 'XXH3-128', 0, "
                          "'00000000000000000000000000000000')")) {
            return failed();
        }
        if (!fill_all(database, pace, records, ground.coastline)) {
            return pace.stopped() ? cancelled() : failed();
        }
        progress.at("making indices", pace.share());
        if (progress.cancelled()) {
            return cancelled();
        }
        if (!database.run(std::string(detail::indices_sql)) || !database.run("COMMIT")) {
            return failed();
        }
        progress.at("taking the checksum", 0.85);
        if (progress.cancelled()) {
            return cancelled();
        }
        // What follows on later pages has checksums of its own.
        const auto pages = static_cast<std::uint32_t>(one_integer(database, "PRAGMA page_count"));
        if (with_terrain) {
            auto writing =
                detail::write_terrain(database, ground, part_of(whole_progress, share_of_records, 0.97));
            if (!writing) {
                return tl::unexpected(writing.error());
            }
            if (!writing->written) {
                return progress.cancelled() ? cancelled() : failed();
            }
            terrain = std::move(writing->summary);
        }
        const auto page_size = static_cast<std::uint32_t>(one_integer(database, "PRAGMA page_size"));
        const auto left_out = static_cast<std::uint32_t>(
            one_integer(database, "SELECT rootpage FROM sqlite_schema WHERE name = 'navigation_checksum'"));
        checksum = detail::checksum_of_pages(replacement->file(), page_size, pages, left_out);
        if (checksum.empty()) {
            return tl::unexpected(detail::write_error(EIO, replacement->target()));
        }
        if (!database.run("UPDATE navigation_checksum SET pages = " + std::to_string(pages) + ", value = '" +
                          checksum + "'")) {
            return failed();
        }
    }
    whole_progress.at("flushing to the disk", with_terrain ? 0.98 : 0.87);
    struct stat status = {};
    if (fstat(replacement->file(), &status) != 0) {
        return tl::unexpected(detail::write_error(errno, replacement->target()));
    }
    if (progress.cancelled()) {
        return cancelled();
    }
    if (auto committed = replacement->commit(); !committed) {
        return tl::unexpected(committed.error());
    }
    whole_progress.at("done", 1.0);
    return WriteReport{replacement->target(),
                       count_by_kind(records),
                       static_cast<std::uint64_t>(status.st_size),
                       checksum,
                       replacement->removed(),
                       std::move(terrain),
                       ground.coastline.size()};
}

}  // namespace omniway::store
