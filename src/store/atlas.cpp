#include "store/atlas.hpp"

#include <fcntl.h>
#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <functional>
#include <map>
#include <mutex>
#include <optional>
#include <system_error>
#include <utility>

#include "base/contract.hpp"
#include "base/parallel.hpp"
#include "navdata/snapshot.hpp"
#include "store/detail/checksum.hpp"
#include "store/detail/columns.hpp"
#include "store/detail/database.hpp"
#include "store/detail/schema.hpp"
#include "store/detail/terrain_table.hpp"

namespace omniway::store {

namespace {

using detail::Database;
using detail::Standing;
using detail::Statement;
using detail::Table;
using detail::Take;

constexpr const char* remedy = "import again: omniway import FILE... --out PATH";

base::Error damaged(const std::string& path, const std::string& how) {
    return {"atlas.damaged", "the atlas is damaged (" + how + "); " + remedy, path};
}

struct FileIdentity {
    dev_t device = 0;
    ino_t inode = 0;
    off_t size = 0;
    timespec changed = {};
    bool same_file(const FileIdentity& other) const { return device == other.device && inode == other.inode; }
    bool unchanged(const FileIdentity& other) const {
        return same_file(other) && size == other.size && changed.tv_sec == other.changed.tv_sec &&
               changed.tv_nsec == other.changed.tv_nsec;
    }
};

FileIdentity identity_of(const struct stat& status) {
    return {status.st_dev, status.st_ino, status.st_size, status.st_mtim};
}

std::string among(const std::vector<std::string>& airports) {
    std::string text = " WHERE airport IN (";
    for (std::size_t i = 0; i < airports.size(); ++i) {
        text += i == 0 ? "?" : ", ?";
    }
    return text + ")";
}

// The records are read in so many parts at once, each by a connection of its own.
constexpr std::size_t parts_of_records = 3;

// Far above what any table holds, far below where sums would overflow.
constexpr std::int64_t most_rows = std::int64_t{1} << 40;

// Reads one table after another; the first trouble ends it all.
class Reading {
public:
    explicit Reading(const Database& database) : database_(database) {}

    // Which rows of a table: all, or those a condition (" WHERE ...") with its values picks.
    struct Choice {
        std::string condition = {};
        std::vector<std::string> bound = {};
    };

    // Reads each row, in order of the key, into the place that place(standing) gives; where that is none, it has said why.
    template <class T, class Place>
    void each(const Table& table, const Choice& choice, Place place) {
        if (!trouble_.empty()) {
            return;
        }
        Statement statement(database_.handle(), "SELECT " + detail::column_list<T>(table) + " FROM " +
                                                    std::string(table.name) + choice.condition +
                                                    " ORDER BY " + std::string(table.name) + "_id");
        for (std::size_t i = 0; i < choice.bound.size(); ++i) {
            statement.bind(static_cast<int>(i + 1), std::string_view(choice.bound[i]));
        }
        while (trouble_.empty() && statement.step()) {
            read_row<T>(statement, table, place);
        }
        if (!statement.ok()) {
            trouble_ = std::string(table.name) + ": " + database_.last_message();
        }
    }

    template <class T>
    void list(const Table& table, const Choice& choice, std::vector<T>& into) {
        make_room(table, choice, into);
        each<T>(table, choice, [&into](const Standing&) { return &into.emplace_back(); });
    }

    // A list whose members have parts in a second table.
    template <class T, class Part>
    void list_with_parts(const Table& table, const Table& part_table, const Choice& choice,
                         std::vector<T>& into, std::vector<Part> T::*parts) {
        std::vector<Standing> standings;
        make_room(table, choice, into);
        make_room(table, choice, standings);
        each<T>(table, choice, [&](const Standing& standing) {
            standings.push_back(standing);
            return &into.emplace_back();
        });
        each_part<Part>(table, part_table, standings, [&](std::size_t whole, const Standing&) {
            return &(into[whole].*parts).emplace_back();
        });
    }

    // The same for the parts of each whole, in order: place(which of the wholes, standing of the part).
    template <class Part, class Place>
    void each_part(const Table& table, const Table& part_table, const std::vector<Standing>& wholes,
                   Place place) {
        for (std::size_t begin = 0; begin < wholes.size() && trouble_.empty();) {
            // Wholes whose parts follow each other are read in one go: all of them, where all is asked for.
            std::size_t end = begin + 1;
            while (end < wholes.size() &&
                   wholes[end].first_part == wholes[end - 1].first_part + wholes[end - 1].parts) {
                ++end;
            }
            const std::int64_t last = wholes[end - 1].first_part + wholes[end - 1].parts - 1;
            const std::string key = std::string(part_table.name) + "_id";
            std::size_t whole = begin;
            std::int64_t taken = 0;
            const auto pass_full_ones = [&] {
                while (whole < end && taken == wholes[whole].parts) {
                    ++whole;
                    taken = 0;
                }
            };
            each<Part>(part_table,
                       {" WHERE " + key + " BETWEEN " + std::to_string(wholes[begin].first_part) + " AND " +
                            std::to_string(last),
                        {}},
                       [&](const Standing& standing) -> Part* {
                           pass_full_ones();
                           if (whole == end || standing.parent != wholes[whole].key ||
                               standing.key != wholes[whole].first_part + taken) {
                               say(part_table, standing.key, "is no part of the row it should be part of");
                               return nullptr;
                           }
                           ++taken;
                           return place(whole, standing);
                       });
            pass_full_ones();
            if (trouble_.empty() && whole != end) {
                say(table, wholes[whole].key,
                    "has " + std::to_string(taken) + " of its " + std::to_string(wholes[whole].parts) +
                        " rows in " + std::string(part_table.name));
            }
            begin = end;
        }
    }

    const std::string& trouble() const { return trouble_; }

private:
    template <class T, class Place>
    void read_row(const Statement& statement, const Table& table, Place place) {
        Standing standing;
        Take take(statement);
        detail::columns(take, table, standing);
        T* value = nullptr;
        if (take.trouble().empty()) {
            if (std::min(standing.first_part, standing.parts) < 0 ||
                std::max(standing.first_part, standing.parts) > most_rows) {
                say(table, standing.key, "its parts cannot be where it says");
                return;
            }
            value = place(standing);
        }
        if (value != nullptr) {
            detail::columns(take, *value);
        }
        if (!take.trouble().empty()) {
            say(table, standing.key, take.trouble());
        }
    }

    // Room for all of a table, keys being counted from 0; only a hint, as a key may be anything.
    template <class T>
    void make_room(const Table& table, const Choice& choice, std::vector<T>& into) const {
        if (choice.condition.empty()) {
            const std::string name(table.name);
            Statement last(database_.handle(), "SELECT max(" + name + "_id) FROM " + name);
            const std::int64_t rows = last.step() ? last.value(0).integer() + 1 : 0;
            into.reserve(static_cast<std::size_t>(std::clamp<std::int64_t>(rows, 0, 1'000'000)));
        }
    }

    void say(const Table& table, std::int64_t key, const std::string& what) {
        trouble_ = std::string(table.name) + " " + std::to_string(key) + ": " + what;
    }
    const Database& database_;
    std::string trouble_;
};

void read_procedures(Reading& reading, const Reading::Choice& choice, std::vector<navdata::Procedure>& into) {
    std::vector<Standing> procedures;
    reading.each<navdata::Procedure>(detail::procedure_table, choice, [&](const Standing& standing) {
        procedures.push_back(standing);
        return &into.emplace_back();
    });
    std::vector<Standing> branches;
    std::vector<std::pair<std::size_t, std::size_t>> places;  // procedure, branch within it
    reading.each_part<navdata::Branch>(detail::procedure_table, detail::branch_table, procedures,
                                       [&](std::size_t procedure, const Standing& standing) {
                                           branches.push_back(standing);
                                           places.emplace_back(procedure, into[procedure].branches.size());
                                           return &into[procedure].branches.emplace_back();
                                       });
    reading.each_part<navdata::Leg>(detail::branch_table, detail::leg_table, branches,
                                    [&](std::size_t place, const Standing&) {
                                        const auto [procedure, branch] = places[place];
                                        return &into[procedure].branches[branch].legs.emplace_back();
                                    });
}

std::string as_text(const Database& database, const std::string& sql) {
    Statement statement(database.handle(), sql);
    return statement.step() ? std::string(statement.value(0).text()) : std::string();
}

std::int64_t as_integer(const Database& database, const std::string& sql) {
    Statement statement(database.handle(), sql);
    return statement.step() ? statement.value(0).integer() : 0;
}

std::vector<std::string> rows_of(const Database& database, const std::string& sql) {
    std::vector<std::string> rows;
    Statement statement(database.handle(), sql);
    while (statement.step()) {
        rows.emplace_back(statement.value(0).text());
    }
    if (!statement.ok()) {
        rows.push_back(database.last_message());
    }
    return rows;
}

std::string words_of(earth::TerrainBlock block) {
    return "the terrain tile from " +
           earth::to_text(earth::Position::degrees(block.south_quarters / 4.0, block.west_quarters / 4.0));
}

// Holds every name by which one record points to another against what is there, as planning would resolve it.
class NameCheck {
public:
    explicit NameCheck(const navdata::Records& records)
        : snapshot_(navdata::Snapshot::build(records).value) {}

    void point(const std::string& from, const navdata::PointName& name) {
        ++checked_;
        if (!snapshot_.resolve(name)) {
            ++missing_[{from, name}];
        }
    }
    void point(const std::string& from, const std::optional<navdata::PointName>& name) {
        if (name) {
            point(from, *name);
        }
    }
    // Empty names point nowhere.
    void airport(const std::string& from, const std::string& ident) {
        if (!ident.empty()) {
            ++checked_;
            if (!snapshot_.airport(ident)) {
                ++missing_[{from, {navdata::PointKind::airport, ident, "", ""}}];
            }
        }
    }
    void localizer(const std::string& from, const std::string& airport, const std::string& ident) {
        if (!ident.empty()) {
            ++checked_;
            if (!snapshot_.localizer_of(airport, ident)) {
                ++missing_[{from, {navdata::PointKind::localizer, ident, "", airport}}];
            }
        }
    }
    void say(VerifyReport& report) const {
        report.names_checked = checked_;
        for (const auto& [from_and_name, number] : missing_) {
            report.unresolved.push_back({from_and_name.first, from_and_name.second, number});
        }
    }

private:
    navdata::Snapshot snapshot_;
    std::size_t checked_ = 0;
    std::map<std::pair<std::string, navdata::PointName>, std::size_t> missing_;
};

void check_names(const navdata::Records& records, VerifyReport& report) {
    NameCheck names(records);
    for (const navdata::Station& station : records.stations) {
        names.airport("stations", station.airport);
    }
    for (const navdata::Fix& fix : records.fixes) {
        names.airport("fixes", fix.airport);
    }
    for (const navdata::AirwayRow& row : records.airway_rows) {
        names.point("airway rows", row.point);
    }
    for (const navdata::Runway& runway : records.runways) {
        names.airport("runways", runway.airport);
        names.localizer("runways", runway.airport, runway.localizer);
    }
    for (const navdata::Communication& communication : records.communications) {
        names.airport("communications", communication.airport);
    }
    for (const navdata::Marker& marker : records.markers) {
        names.airport("markers", marker.airport);
        names.localizer("markers", marker.airport, marker.localizer);
    }
    for (const navdata::Procedure& procedure : records.procedures) {
        names.airport("procedures", procedure.airport);
        for (const navdata::Branch& branch : procedure.branches) {
            for (const navdata::Leg& leg : branch.legs) {
                names.point("procedure legs", leg.fix);
                names.point("procedure legs", leg.recommended);
                names.point("procedure legs", leg.centre);
            }
        }
    }
    for (const navdata::MinimumSectorAltitude& minimum : records.sector_altitudes) {
        names.airport("sector altitudes", minimum.airport);
        names.point("sector altitudes", minimum.centre);
    }
    names.say(report);
}

base::Result<void> check_header(const detail::HeaderReading& reading, const std::string& path) {
    const auto foreign = [&](const std::string& what) {
        return base::failure("atlas.foreign",
                             "this is not an atlas: " + what +
                                 "; name an atlas, or make one: " + "omniway import FILE... --out PATH",
                             path);
    };
    switch (reading.fault) {
        case detail::HeaderFault::empty:
            return foreign("the file is empty");
        case detail::HeaderFault::not_sqlite:
            return foreign("it does not begin as a SQLite file does");
        case detail::HeaderFault::cut:
            return tl::unexpected(damaged(path, "it ends within its first 100 bytes"));
        case detail::HeaderFault::none:
            break;
    }
    const detail::Header& header = reading.header;
    if (header.application_id != detail::application_id) {
        return foreign("a SQLite file of another program (application id " +
                       std::to_string(header.application_id) + ", not " +
                       std::to_string(detail::application_id) + ")");
    }
    const std::string versions = "schema version " + std::to_string(header.user_version) +
                                 ", this omniway reads " + std::to_string(detail::schema_version);
    if (header.user_version < detail::schema_version) {
        return base::failure("atlas.older_schema",
                             "the atlas was made by an older omniway (" + versions + "); " + remedy, path);
    }
    if (header.user_version > detail::schema_version) {
        return base::failure(
            "atlas.newer_schema",
            "the atlas was made by a newer omniway (" + versions + "); use that one, or " + remedy, path);
    }
    return {};
}

}  // namespace

struct Atlas::File {
    std::string path;
    int descriptor = -1;
    FileIdentity identity;
    std::chrono::sys_seconds made_at;
    std::array<std::unique_ptr<Database>, parts_of_records> databases;  // all of the same file
    std::uint32_t page_size = 0;
    std::uint32_t pages = 0;  // those the checksum covers
    std::uint32_t left_out = 0;
    std::string checksum;  // as stored
    std::mutex reading;    // callers take turns at the databases; unpacking is done outside of it

    File() = default;
    File(const File&) = delete;
    File& operator=(const File&) = delete;
    ~File() {
        databases = {};
        if (descriptor >= 0) {
            close(descriptor);
        }
    }

    // An import renames, so an opened file never changes; but somebody may copy another file over it.
    base::Result<void> still_the_same() const {
        struct stat status = {};
        if (fstat(descriptor, &status) != 0 || !identity_of(status).unchanged(identity)) {
            return base::failure("atlas.changed",
                                 "the atlas was overwritten in place while it was open; open it again, and "
                                 "let imports replace it",
                                 path);
        }
        return {};
    }

    base::Result<void> open_file() {
        // Without O_NONBLOCK, opening a pipe would wait for somebody to write into it.
        descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
        struct stat status = {};
        if (descriptor < 0 || fstat(descriptor, &status) != 0) {
            const int cause = errno;
            const std::string reason = std::generic_category().message(cause);
            if (cause == ENOENT || cause == ENOTDIR) {
                return base::failure(
                    "atlas.missing",
                    "there is no atlas here; make one: omniway import FILE... --out PATH, or name one with "
                    "--atlas PATH",
                    path);
            }
            return base::failure("atlas.unreadable",
                                 "the atlas cannot be read (" + reason +
                                     "); change its permissions or name another with --atlas PATH",
                                 path);
        }
        if (!S_ISREG(status.st_mode)) {
            return base::failure("atlas.foreign",
                                 std::string("this is not an atlas: ") +
                                     (S_ISDIR(status.st_mode) ? "it is a folder" : "it is no ordinary file") +
                                     "; name an atlas, or make one: omniway import FILE... --out PATH",
                                 path);
        }
        identity = identity_of(status);
        made_at = std::chrono::sys_seconds(std::chrono::seconds(status.st_mtim.tv_sec));
        return {};
    }

    const Database& database() const { return *databases.front(); }

    // True if SQLite opened the very file that the descriptor reads.
    base::Result<bool> open_databases() {
        for (std::unique_ptr<Database>& each : databases) {
            each = std::make_unique<Database>(detail::uri_of(path, "mode=ro&immutable=1"),
                                              Database::For::reading);
            if (!each->ok()) {
                return tl::unexpected(damaged(path, "SQLite: " + each->last_message()));
            }
            // The file may come from anywhere: nothing in its schema is to be run.
            sqlite3_db_config(each->handle(), SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
            sqlite3_db_config(each->handle(), SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
        }
        struct stat status = {};
        return stat(path.c_str(), &status) == 0 && identity_of(status).same_file(identity);
    }

    base::Result<void> check_content(const detail::Header& header) {
        page_size = header.page_size;
        pages = static_cast<std::uint32_t>(as_integer(database(), "SELECT pages FROM navigation_checksum"));
        checksum = as_text(database(), "SELECT value FROM navigation_checksum WHERE algorithm = 'XXH3-128'");
        left_out = static_cast<std::uint32_t>(
            as_integer(database(), "SELECT rootpage FROM sqlite_schema WHERE name = 'navigation_checksum'"));
        if (checksum.empty() || left_out == 0) {
            return tl::unexpected(damaged(path, "its checksum cannot be read"));
        }
        if (static_cast<std::uint64_t>(identity.size) < std::uint64_t{page_size} * pages) {
            return tl::unexpected(damaged(path, "it is cut: " + std::to_string(identity.size) +
                                                    " bytes of at least " +
                                                    std::to_string(std::uint64_t{page_size} * pages)));
        }
        if (detail::checksum_of_pages(descriptor, page_size, pages, left_out) != checksum) {
            return tl::unexpected(damaged(path, "the checksum of its navigation tables does not match"));
        }
        return {};
    }
};

Atlas::Atlas(std::shared_ptr<File> file) : file_(std::move(file)) {}
Atlas::Atlas(Atlas&&) noexcept = default;
Atlas& Atlas::operator=(Atlas&&) noexcept = default;
Atlas::~Atlas() = default;

base::Result<Atlas> Atlas::open(const std::string& path) {
    // An import may replace the file between our opening it and SQLite's: then both are opened again. Imports take far
    // longer than this, so a few attempts are plenty.
    for (int attempt = 0; attempt < 10; ++attempt) {
        auto file = std::make_shared<File>();
        file->path = path;
        if (auto opened = file->open_file(); !opened) {
            return tl::unexpected(opened.error());
        }
        const detail::HeaderReading reading = detail::read_header(file->descriptor);
        if (auto checked = check_header(reading, path); !checked) {
            return tl::unexpected(checked.error());
        }
        const auto same = file->open_databases();
        if (!same) {
            return tl::unexpected(same.error());
        }
        if (!*same) {
            continue;
        }
        if (auto checked = file->check_content(reading.header); !checked) {
            return tl::unexpected(checked.error());
        }
        return Atlas(std::move(file));
    }
    return base::failure("atlas.changed",
                         "the atlas is being replaced again and again; try once the imports are over", path);
}

base::Result<navdata::Records> Atlas::records(const Want& want) const {
    const std::lock_guard lock(file_->reading);
    const bool airports_too = want.everything || !want.airports.empty();
    const Reading::Choice choice =
        want.everything ? Reading::Choice() : Reading::Choice{among(want.airports), want.airports};
    navdata::Records records;
    // The longest first where everything is asked for; the other two are about equal.
    const std::array<std::function<void(Reading&)>, parts_of_records> parts = {
        [&](Reading& reading) {
            if (airports_too) {
                read_procedures(reading, choice, records.procedures);
            }
        },
        [&](Reading& reading) {
            reading.list(detail::airway_row_table, {}, records.airway_rows);
            reading.list(detail::runway_table, {}, records.runways);
        },
        [&](Reading& reading) {
            reading.list(detail::source_table, {}, records.sources);
            reading.list_with_parts(detail::station_table, detail::station_origin_table, {}, records.stations,
                                    &navdata::Station::origins);
            reading.list(detail::fix_table, {}, records.fixes);
            reading.list_with_parts(detail::airport_table, detail::airport_origin_table, {}, records.airports,
                                    &navdata::Airport::origins);
            reading.list(detail::marker_table, {}, records.markers);
            reading.list(detail::grid_minimum_table, {}, records.grid_minimums);
            if (airports_too) {
                reading.list(detail::communication_table, choice, records.communications);
                reading.list_with_parts(detail::sector_altitude_table, detail::safe_sector_table, choice,
                                        records.sector_altitudes, &navdata::MinimumSectorAltitude::sectors);
            }
        }};
    std::array<std::string, parts_of_records> troubles;
    base::parallel_for(parts.size(), [&](std::size_t i) {
        Reading reading(*file_->databases[i]);
        parts[i](reading);
        troubles[i] = reading.trouble();
    });
    if (auto same = file_->still_the_same(); !same) {
        return tl::unexpected(same.error());
    }
    for (const std::string& trouble : troubles) {
        if (!trouble.empty()) {
            return tl::unexpected(damaged(file_->path, trouble));
        }
    }
    return records;
}

base::Result<Summary> Atlas::info() const {
    const auto all = records(Want{.everything = true, .airports = {}});
    if (!all) {
        return tl::unexpected(all.error());
    }
    const std::lock_guard lock(file_->reading);
    std::string trouble;
    const detail::TerrainTable table = detail::read_terrain_table(file_->database(), trouble);
    if (!trouble.empty()) {
        return tl::unexpected(damaged(file_->path, trouble));
    }
    const auto rings = as_integer(file_->database(), "SELECT count(*) FROM coastline");
    return Summary{file_->path,
                   detail::schema_version,
                   file_->checksum,
                   static_cast<std::uint64_t>(file_->identity.size),
                   file_->made_at,
                   count_by_kind(*all),
                   all->sources,
                   detail::summary_of(table),
                   static_cast<std::size_t>(rings)};
}

base::Result<VerifyReport> Atlas::verify() const {
    VerifyReport report;
    {
        const std::lock_guard lock(file_->reading);
        for (const std::string& row : rows_of(file_->database(), "PRAGMA integrity_check")) {
            if (row != "ok") {
                report.problems.push_back("SQLite: " + row);
            }
        }
        for (const std::string& row : rows_of(
                 file_->database(),
                 "SELECT \"table\" || ' ' || rowid || ' names a row of ' || parent || ' that is not there' "
                 "FROM pragma_foreign_key_check")) {
            report.problems.push_back(row);
        }
        if (detail::checksum_of_pages(file_->descriptor, file_->page_size, file_->pages, file_->left_out) !=
            file_->checksum) {
            report.problems.emplace_back("the checksum of the navigation tables does not match");
        }
        std::string trouble;
        const detail::TerrainTable table = detail::read_terrain_table(file_->database(), trouble);
        if (!trouble.empty()) {
            report.problems.push_back(trouble);
        }
        for (const detail::TileRow& row : table.rows) {
            ++report.tiles_read;
            const auto heights = detail::packed_heights(file_->database(), row, trouble);
            if (!heights || !detail::proved_tile(row, *heights, trouble)) {
                ++report.tiles_damaged;
                report.problems.push_back(words_of(row.block) + ": " + trouble);
            }
        }
    }
    const auto all = records(Want{.everything = true, .airports = {}});
    if (all) {
        check_names(*all, report);
    } else if (all.error().code == "atlas.damaged") {
        report.problems.push_back(all.error().message);
    } else {
        return tl::unexpected(all.error());
    }
    return report;
}

base::Result<std::vector<earth::CoastlineRing>> Atlas::coastline() const {
    const std::lock_guard lock(file_->reading);
    std::vector<earth::CoastlineRing> rings;
    Reading reading(file_->database());
    reading.list_with_parts(detail::coastline_table, detail::coastline_vertex_table, {}, rings,
                            &earth::CoastlineRing::vertices);
    if (auto same = file_->still_the_same(); !same) {
        return tl::unexpected(same.error());
    }
    if (!reading.trouble().empty()) {
        return tl::unexpected(damaged(file_->path, reading.trouble()));
    }
    return rings;
}

base::Result<earth::Terrain> Atlas::terrain(std::shared_ptr<DamagedTiles> damaged_tiles,
                                            std::size_t bound_bytes) const {
    OMNIWAY_EXPECTS(damaged_tiles != nullptr);
    std::string trouble;
    std::shared_ptr<const detail::TerrainTable> table;
    {
        const std::lock_guard lock(file_->reading);
        table = std::make_shared<const detail::TerrainTable>(
            detail::read_terrain_table(file_->database(), trouble));
    }
    if (!trouble.empty()) {
        return tl::unexpected(damaged(file_->path, trouble));
    }
    std::vector<earth::TerrainBlock> blocks;
    for (const detail::TileRow& row : table->rows) {
        blocks.push_back(row.block);
    }
    const auto load = [file = file_, table, damaged_tiles](earth::TerrainBlock block) {
        const auto row = std::lower_bound(
            table->rows.begin(), table->rows.end(), block,
            [](const detail::TileRow& each, earth::TerrainBlock wanted) { return each.block < wanted; });
        std::string why;
        std::optional<std::string> heights;
        base::Result<void> same;
        {
            const std::lock_guard lock(file->reading);
            heights = detail::packed_heights(file->database(), *row, why);
            same = file->still_the_same();
        }
        auto tile = heights ? detail::proved_tile(*row, *heights, why) : std::nullopt;
        if (!same) {
            damaged_tiles->add(same.error());
            tile.reset();
        } else if (!tile) {
            damaged_tiles->add(damaged(
                file->path, words_of(block) + ": " + why + ": its ground is taken as unknown, not as flat"));
        }
        return tile;
    };
    std::string checksum = table->checksum;
    return earth::Terrain(std::move(blocks), load, bound_bytes, std::move(checksum));
}

}  // namespace omniway::store
