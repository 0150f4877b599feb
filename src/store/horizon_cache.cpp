#include "store/horizon_cache.hpp"

#include <sqlite3.h>

#include <chrono>
#include <filesystem>
#include <map>
#include <mutex>
#include <string_view>
#include <system_error>
#include <utility>

#define XXH_INLINE_ALL
#include <fmt/format.h>
#include <xxhash.h>

namespace omniway::store {

namespace {

// Raised by every change of the tables. When a horizon was used last stands beside it and not in its row, which would be written
// whole each time it is read: half a megabyte.
constexpr std::string_view tables_sql =
    "DROP TABLE IF EXISTS horizon_1;"
    "CREATE TABLE IF NOT EXISTS horizon_2 (key TEXT PRIMARY KEY, checksum INTEGER NOT NULL, bytes BLOB NOT "
    "NULL);"
    "CREATE TABLE IF NOT EXISTS horizon_2_used (key TEXT PRIMARY KEY, used_ns INTEGER NOT NULL) WITHOUT "
    "ROWID";

std::int64_t checksum_of(std::span<const std::byte> bytes) {
    return static_cast<std::int64_t>(XXH3_64bits(bytes.data(), bytes.size()));
}

std::int64_t now_ns() {
    return std::chrono::duration_cast<std::chrono::nanoseconds>(
               std::chrono::system_clock::now().time_since_epoch())
        .count();
}

struct Close {
    void operator()(sqlite3* database) const { sqlite3_close_v2(database); }
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
};
using Database = std::unique_ptr<sqlite3, Close>;
using Statement = std::unique_ptr<sqlite3_stmt, Close>;

Statement prepared(sqlite3* database, std::string_view sql) {
    sqlite3_stmt* statement = nullptr;
    sqlite3_prepare_v2(database, sql.data(), static_cast<int>(sql.size()), &statement, nullptr);
    return Statement(statement);
}

void bind(sqlite3_stmt* statement, int place, const std::string& text) {
    sqlite3_bind_text(statement, place, text.data(), static_cast<int>(text.size()), SQLITE_STATIC);
}

/// Whether a result means that the file itself is of no use, not that it is busy or out of reach.
bool means_damaged(int result) {
    return (result & 0xFF) == SQLITE_CORRUPT || (result & 0xFF) == SQLITE_NOTADB ||
           (result & 0xFF) == SQLITE_ERROR;
}

}  // namespace

class HorizonCache::File {
public:
    File(std::string path, std::size_t bound_bytes) : path_(std::move(path)), bound_bytes_(bound_bytes) {}
    File(const File&) = delete;
    File& operator=(const File&) = delete;
    ~File() {
        if (!used_ns_.empty() && run("BEGIN IMMEDIATE")) {
            write_uses();
            run("COMMIT");
        }
    }

    std::optional<std::vector<std::byte>> load(const std::string& key) {
        const std::lock_guard lock(mutex_);
        if (!open()) {
            return std::nullopt;
        }
        const Statement query =
            prepared(database_.get(), "SELECT bytes, checksum FROM horizon_2 WHERE key = ?1");
        bind(query.get(), 1, key);
        const int result = sqlite3_step(query.get());
        if (result != SQLITE_ROW) {
            if (means_damaged(result)) {
                make_anew();
            }
            return std::nullopt;
        }
        const auto* begin = static_cast<const std::byte*>(sqlite3_column_blob(query.get(), 0));
        std::vector<std::byte> bytes(begin, begin + sqlite3_column_bytes(query.get(), 0));
        if (sqlite3_column_type(query.get(), 0) != SQLITE_BLOB ||
            sqlite3_column_int64(query.get(), 1) != checksum_of(bytes)) {
            return std::nullopt;
        }
        if (may_write_) {
            used_ns_[key] = now_ns();
        }
        return bytes;
    }

    void save(const std::string& key, std::span<const std::byte> bytes) {
        const std::lock_guard lock(mutex_);
        if (bytes.size() > bound_bytes_) {
            return;
        }
        if (!open() || !may_write_) {
            say_not_kept("it cannot be written");
            return;
        }
        used_ns_[key] = now_ns();
        for (const bool again : {false, true}) {
            const int result = insert(key, bytes);
            if (result == SQLITE_DONE) {
                drop_longest_unused();
                return;
            }
            if (again || !means_damaged(result) || !make_anew()) {
                say_not_kept(sqlite3_errstr(result));
                return;
            }
        }
    }

    std::vector<base::Error> diagnostics() const {
        const std::lock_guard lock(mutex_);
        return diagnostics_;
    }

private:
    // With its use, and in one step: what has none would never be dropped.
    int insert(const std::string& key, std::span<const std::byte> bytes) {
        if (!run("BEGIN IMMEDIATE")) {
            return sqlite3_errcode(database_.get());
        }
        write_uses();
        const Statement row = prepared(
            database_.get(), "INSERT OR REPLACE INTO horizon_2 (key, bytes, checksum) VALUES (?1, ?2, ?3)");
        bind(row.get(), 1, key);
        sqlite3_bind_blob64(row.get(), 2, bytes.data(), bytes.size(), SQLITE_STATIC);
        sqlite3_bind_int64(row.get(), 3, checksum_of(bytes));
        int result = sqlite3_step(row.get());
        sqlite3_reset(row.get());
        if (result == SQLITE_DONE && !run("COMMIT")) {
            result = sqlite3_errcode(database_.get());
        }
        if (result == SQLITE_DONE) {
            used_ns_.clear();
        } else {
            run("ROLLBACK");
        }
        return result;
    }

    // A change of the file for each use would take longer than reading what is used.
    void write_uses() {
        const Statement use =
            prepared(database_.get(), "INSERT OR REPLACE INTO horizon_2_used (key, used_ns) VALUES (?1, ?2)");
        for (const auto& [key, used_ns] : used_ns_) {
            bind(use.get(), 1, key);
            sqlite3_bind_int64(use.get(), 2, used_ns);
            sqlite3_step(use.get());
            sqlite3_reset(use.get());
        }
    }

    bool run(const char* sql) {
        return sqlite3_exec(database_.get(), sql, nullptr, nullptr, nullptr) == SQLITE_OK;
    }

    bool open() {
        if (!tried_) {
            tried_ = true;
            if (!open_or_create() && !make_anew()) {
                say_not_kept("it cannot be opened");
            }
        }
        return database_ != nullptr;
    }

    bool open_or_create() {
        sqlite3* opened = nullptr;
        const int result =
            sqlite3_open_v2(path_.c_str(), &opened, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, nullptr);
        database_.reset(opened);
        if (result != SQLITE_OK) {
            database_.reset();
            return false;
        }
        sqlite3_busy_timeout(opened, 5000);
        may_write_ = sqlite3_db_readonly(opened, "main") == 0;
        // Lost power may lose the file: every entry has its checksum, and the whole is safe to lose.
        // Pages of four times SQLite's own: an entry is read page by page, half a megabyte of it.
        sqlite3_exec(opened, "PRAGMA synchronous = OFF; PRAGMA page_size = 16384; PRAGMA auto_vacuum = FULL",
                     nullptr, nullptr, nullptr);
        const int made = sqlite3_exec(opened, std::string(tables_sql).c_str(), nullptr, nullptr, nullptr);
        if (made == SQLITE_OK) {
            return true;
        }
        if ((made & 0xFF) == SQLITE_READONLY || (made & 0xFF) == SQLITE_CANTOPEN) {
            may_write_ = false;
            return static_cast<bool>(prepared(opened, "SELECT 1 FROM horizon_2"));
        }
        database_.reset();
        return false;
    }

    /// Another process that has the old file open goes on with it, unseen.
    bool make_anew() {
        database_.reset();
        std::error_code failed;
        if (!std::filesystem::is_regular_file(path_, failed)) {
            return false;
        }
        for (const char* ending : {"", "-journal"}) {
            std::filesystem::remove(path_ + ending, failed);
        }
        return open_or_create();
    }

    void drop_longest_unused() {
        const auto held = [&] {
            const Statement sum = prepared(database_.get(), "SELECT total(length(bytes)) FROM horizon_2");
            return sqlite3_step(sum.get()) == SQLITE_ROW ? sqlite3_column_double(sum.get(), 0) : 0.0;
        };
        while (held() > static_cast<double>(bound_bytes_)) {
            for (const char* table : {"horizon_2", "horizon_2_used"}) {
                const Statement drop =
                    prepared(database_.get(),
                             fmt::format("DELETE FROM {} WHERE key = "
                                         "(SELECT key FROM horizon_2_used ORDER BY used_ns, key LIMIT 1)",
                                         table));
                if (sqlite3_step(drop.get()) != SQLITE_DONE) {
                    return;
                }
            }
            if (sqlite3_changes(database_.get()) == 0) {
                return;
            }
        }
    }

    void say_not_kept(std::string_view why) {
        if (diagnostics_.empty()) {
            diagnostics_.push_back(
                {"cache.not_kept",
                 fmt::format("station horizons are not kept for the next time ({}); they are made anew", why),
                 path_});
        }
    }

    std::string path_;
    std::size_t bound_bytes_;
    mutable std::mutex mutex_;
    bool tried_ = false;
    bool may_write_ = false;
    Database database_;
    std::map<std::string, std::int64_t>
        used_ns_;  // when each was used last, where that is not in the file yet
    std::vector<base::Error> diagnostics_;
};

HorizonCache::HorizonCache(const std::string& atlas_path, std::size_t bound_bytes)
    : file_(std::make_unique<File>(atlas_path + ".horizons", bound_bytes)) {}
HorizonCache::HorizonCache(HorizonCache&&) noexcept = default;
HorizonCache& HorizonCache::operator=(HorizonCache&&) noexcept = default;
HorizonCache::~HorizonCache() = default;

std::optional<std::vector<std::byte>> HorizonCache::load(const std::string& key) {
    return file_->load(key);
}

void HorizonCache::save(const std::string& key, std::span<const std::byte> bytes) {
    file_->save(key, bytes);
}

std::vector<base::Error> HorizonCache::diagnostics() const {
    return file_->diagnostics();
}

}  // namespace omniway::store
