#include "store/atlas.hpp"

#include <fcntl.h>
#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <map>
#include <optional>
#include <system_error>
#include <utility>

#include "navdata/snapshot.hpp"
#include "store/detail/checksum.hpp"
#include "store/detail/columns.hpp"
#include "store/detail/database.hpp"
#include "store/detail/schema.hpp"

namespace omniway::store {

namespace {

using detail::Database;
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

// What a bound list of airports turns into: "IN (?, ?)".
std::string among(std::size_t number) {
    std::string text = " IN (";
    for (std::size_t i = 0; i < number; ++i) {
        text += i == 0 ? "?" : ", ?";
    }
    return text + ")";
}

// Reads rows of one query after another; the first trouble ends it all.
class Reading {
public:
    explicit Reading(const Database& database) : database_(database) {}

    // Calls use(key, parent, value) for each row of the table, in order of its key. `condition` begins with " WHERE ".
    template <class T, class Use>
    void each(const Table& table, const std::string& condition, const std::vector<std::string>& bound,
              Use use) {
        if (!trouble_.empty()) {
            return;
        }
        const std::string sql = "SELECT " + detail::column_list<T>(table) + " FROM " +
                                std::string(table.name) + condition + " ORDER BY " + std::string(table.name) +
                                "_id";
        Statement statement(database_.handle(), sql);
        for (std::size_t i = 0; i < bound.size(); ++i) {
            statement.bind(static_cast<int>(i + 1), std::string_view(bound[i]));
        }
        while (statement.step()) {
            std::int64_t key = 0;
            std::int64_t parent = 0;
            T value{};
            Take take(statement);
            take("", key);
            if (!table.parent.empty()) {
                take("", parent);
            }
            detail::columns(take, value);
            if (!take.trouble().empty()) {
                trouble_ = std::string(table.name) + " " + std::to_string(key) + ": " + take.trouble();
                return;
            }
            use(key, parent, std::move(value));
        }
        if (!statement.ok()) {
            trouble_ = std::string(table.name) + ": " + database_.last_message();
        }
    }

    template <class T>
    void list(const Table& table, const std::string& condition, const std::vector<std::string>& bound,
              std::vector<T>& into) {
        each<T>(table, condition, bound,
                [&into](std::int64_t, std::int64_t, T&& value) { into.push_back(std::move(value)); });
    }

    void orphan(const Table& table, std::int64_t key) {
        if (trouble_.empty()) {
            trouble_ = std::string(table.name) + " " + std::to_string(key) + " belongs to no row";
        }
    }
    const std::string& trouble() const { return trouble_; }

private:
    const Database& database_;
    std::string trouble_;
};

// Finds rows by key while both parents and children come in ascending order of the parent's key.
class Keys {
public:
    void add(std::int64_t key) { keys_.push_back(key); }
    // The place of that key in the list, or nothing.
    std::optional<std::size_t> place(std::int64_t key) const {
        const auto found = std::lower_bound(keys_.begin(), keys_.end(), key);
        if (found == keys_.end() || *found != key) {
            return std::nullopt;
        }
        return static_cast<std::size_t>(found - keys_.begin());
    }

private:
    std::vector<std::int64_t> keys_;
};

template <class T, class Child>
void list_with_children(Reading& reading, const Table& table, const Table& child_table,
                        const std::string& condition, const std::string& child_condition,
                        const std::vector<std::string>& bound, std::vector<T>& into,
                        std::vector<Child> T::*children) {
    Keys keys;
    reading.each<T>(table, condition, bound, [&](std::int64_t key, std::int64_t, T&& value) {
        keys.add(key);
        into.push_back(std::move(value));
    });
    reading.each<Child>(child_table, child_condition, bound,
                        [&](std::int64_t key, std::int64_t parent, Child&& value) {
                            if (const auto place = keys.place(parent)) {
                                (into[*place].*children).push_back(std::move(value));
                            } else {
                                reading.orphan(child_table, key);
                            }
                        });
}

void read_procedures(Reading& reading, const std::string& condition, const std::vector<std::string>& bound,
                     std::vector<navdata::Procedure>& into) {
    std::string branch_condition;
    std::string leg_condition;
    if (!condition.empty()) {
        branch_condition = " WHERE procedure_id IN (SELECT procedure_id FROM procedure" + condition + ")";
        leg_condition = " WHERE procedure_branch_id IN (SELECT procedure_branch_id FROM procedure_branch" +
                        branch_condition + ")";
    }
    Keys keys;
    reading.each<navdata::Procedure>(detail::procedure_table, condition, bound,
                                     [&](std::int64_t key, std::int64_t, navdata::Procedure&& value) {
                                         keys.add(key);
                                         into.push_back(std::move(value));
                                     });
    Keys branch_keys;
    std::vector<std::pair<std::size_t, std::size_t>> branch_places;  // procedure, branch within it
    reading.each<navdata::Branch>(detail::branch_table, branch_condition, bound,
                                  [&](std::int64_t key, std::int64_t parent, navdata::Branch&& value) {
                                      if (const auto place = keys.place(parent)) {
                                          branch_keys.add(key);
                                          branch_places.emplace_back(*place, into[*place].branches.size());
                                          into[*place].branches.push_back(std::move(value));
                                      } else {
                                          reading.orphan(detail::branch_table, key);
                                      }
                                  });
    reading.each<navdata::Leg>(detail::leg_table, leg_condition, bound,
                               [&](std::int64_t key, std::int64_t parent, navdata::Leg&& value) {
                                   if (const auto place = branch_keys.place(parent)) {
                                       const auto [procedure, branch] = branch_places[*place];
                                       into[procedure].branches[branch].legs.push_back(std::move(value));
                                   } else {
                                       reading.orphan(detail::leg_table, key);
                                   }
                               });
}

std::string as_text(const Database& database, const std::string& sql) {
    Statement statement(database.handle(), sql);
    return statement.step() ? std::string(statement.text(0)) : std::string();
}

std::int64_t as_integer(const Database& database, const std::string& sql) {
    Statement statement(database.handle(), sql);
    return statement.step() ? statement.integer(0) : 0;
}

std::vector<std::string> rows_of(const Database& database, const std::string& sql) {
    std::vector<std::string> rows;
    Statement statement(database.handle(), sql);
    while (statement.step()) {
        rows.emplace_back(statement.text(0));
    }
    if (!statement.ok()) {
        rows.push_back(database.last_message());
    }
    return rows;
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
    std::unique_ptr<Database> database;
    std::uint32_t page_size = 0;
    std::uint32_t pages = 0;  // those the checksum covers
    std::uint32_t left_out = 0;
    std::string checksum;  // as stored

    File() = default;
    File(const File&) = delete;
    File& operator=(const File&) = delete;
    ~File() {
        database.reset();
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

    // True if SQLite opened the very file that the descriptor reads.
    base::Result<bool> open_database() {
        database =
            std::make_unique<Database>(detail::uri_of(path, "mode=ro&immutable=1"), SQLITE_OPEN_READONLY);
        if (!database->ok()) {
            return tl::unexpected(damaged(path, "SQLite: " + database->last_message()));
        }
        // The file may come from anywhere: nothing in its schema is to be run.
        sqlite3_db_config(database->handle(), SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
        sqlite3_db_config(database->handle(), SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
        struct stat status = {};
        return stat(path.c_str(), &status) == 0 && identity_of(status).same_file(identity);
    }

    base::Result<void> check_content(const detail::Header& header) {
        page_size = header.page_size;
        pages = static_cast<std::uint32_t>(as_integer(*database, "SELECT pages FROM navigation_checksum"));
        checksum = as_text(*database, "SELECT value FROM navigation_checksum WHERE algorithm = 'XXH3-128'");
        left_out = static_cast<std::uint32_t>(
            as_integer(*database, "SELECT rootpage FROM sqlite_schema WHERE name = 'navigation_checksum'"));
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

Atlas::Atlas(std::unique_ptr<File> file) : file_(std::move(file)) {}
Atlas::Atlas(Atlas&&) noexcept = default;
Atlas& Atlas::operator=(Atlas&&) noexcept = default;
Atlas::~Atlas() = default;

base::Result<Atlas> Atlas::open(const std::string& path) {
    // An import may replace the file between our opening it and SQLite's: then both are opened again. Imports take far
    // longer than this, so a few attempts are plenty.
    for (int attempt = 0; attempt < 10; ++attempt) {
        auto file = std::make_unique<File>();
        file->path = path;
        if (auto opened = file->open_file(); !opened) {
            return tl::unexpected(opened.error());
        }
        const detail::HeaderReading reading = detail::read_header(file->descriptor);
        if (auto checked = check_header(reading, path); !checked) {
            return tl::unexpected(checked.error());
        }
        const auto same = file->open_database();
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
    navdata::Records records;
    Reading reading(*file_->database);
    reading.list(detail::source_table, "", {}, records.sources);
    list_with_children(reading, detail::station_table, detail::station_origin_table, "", "", {},
                       records.stations, &navdata::Station::origins);
    reading.list(detail::fix_table, "", {}, records.fixes);
    reading.list(detail::airway_row_table, "", {}, records.airway_rows);
    list_with_children(reading, detail::airport_table, detail::airport_origin_table, "", "", {},
                       records.airports, &navdata::Airport::origins);
    reading.list(detail::runway_table, "", {}, records.runways);
    reading.list(detail::grid_minimum_table, "", {}, records.grid_minimums);
    if (want.everything || !want.airports.empty()) {
        const std::string condition = want.everything ? "" : " WHERE airport" + among(want.airports.size());
        const std::vector<std::string> bound = want.everything ? std::vector<std::string>() : want.airports;
        const std::string sector_condition =
            want.everything ? ""
                            : " WHERE sector_altitude_id IN (SELECT sector_altitude_id FROM sector_altitude" +
                                  condition + ")";
        reading.list(detail::communication_table, condition, bound, records.communications);
        read_procedures(reading, condition, bound, records.procedures);
        list_with_children(reading, detail::sector_altitude_table, detail::safe_sector_table, condition,
                           sector_condition, bound, records.sector_altitudes,
                           &navdata::MinimumSectorAltitude::sectors);
    }
    if (auto same = file_->still_the_same(); !same) {
        return tl::unexpected(same.error());
    }
    if (!reading.trouble().empty()) {
        return tl::unexpected(damaged(file_->path, reading.trouble()));
    }
    return records;
}

base::Result<Summary> Atlas::info() const {
    const auto all = records(Want{.everything = true, .airports = {}});
    if (!all) {
        return tl::unexpected(all.error());
    }
    return Summary{file_->path,     detail::schema_version,
                   file_->checksum, static_cast<std::uint64_t>(file_->identity.size),
                   file_->made_at,  count_by_kind(*all),
                   all->sources};
}

base::Result<VerifyReport> Atlas::verify() const {
    VerifyReport report;
    for (const std::string& row : rows_of(*file_->database, "PRAGMA integrity_check")) {
        if (row != "ok") {
            report.problems.push_back("SQLite: " + row);
        }
    }
    for (const std::string& row :
         rows_of(*file_->database,
                 "SELECT \"table\" || ' ' || rowid || ' names a row of ' || parent || ' that is not there' "
                 "FROM pragma_foreign_key_check")) {
        report.problems.push_back(row);
    }
    if (detail::checksum_of_pages(file_->descriptor, file_->page_size, file_->pages, file_->left_out) !=
        file_->checksum) {
        report.problems.emplace_back("the checksum of the navigation tables does not match");
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

}  // namespace omniway::store
