#include "store/detail/database.hpp"

#include <cerrno>

namespace omniway::store::detail {

void Statement::Finish::operator()(sqlite3_stmt* statement) const {
    sqlite3_finalize(statement);
}

Statement::Statement(sqlite3* database, const std::string& sql) {
    sqlite3_stmt* made = nullptr;
    code_ = sqlite3_prepare_v2(database, sql.data(), static_cast<int>(sql.size()), &made, nullptr);
    statement_.reset(made);
}

void Statement::bind(int index, double value) {
    if (ok()) {
        code_ = sqlite3_bind_double(statement_.get(), index, value);
        note_null(index, false);
    }
}

void Statement::bind(int index, std::int64_t value) {
    if (ok()) {
        code_ = sqlite3_bind_int64(statement_.get(), index, value);
        note_null(index, false);
    }
}

void Statement::bind(int index, std::string_view value) {
    if (ok()) {
        // An empty view may have no data at all, which SQLite would take for NULL. No destructor: the caller keeps the text.
        const char* data = value.empty() ? "" : value.data();
        code_ = sqlite3_bind_text(statement_.get(), index, data, static_cast<int>(value.size()), nullptr);
        note_null(index, false);
    }
}

void Statement::bind_bytes(int index, std::string_view value) {
    if (ok()) {
        code_ =
            sqlite3_bind_blob(statement_.get(), index, value.data(), static_cast<int>(value.size()), nullptr);
        note_null(index, false);
    }
}

void Statement::bind_null(int index) {
    const auto place = static_cast<std::size_t>(index);
    // Bindings last from row to row and most optional columns are empty most of the time.
    if (ok() && (place >= is_null_.size() || !is_null_[place])) {
        code_ = sqlite3_bind_null(statement_.get(), index);
        note_null(index, true);
    }
}

void Statement::note_null(int index, bool null) {
    const auto place = static_cast<std::size_t>(index);
    if (place >= is_null_.size()) {
        is_null_.resize(place + 1, 0);
    }
    is_null_[place] = null ? 1 : 0;
}

bool Statement::step() {
    if (!ok()) {
        return false;
    }
    const int result = sqlite3_step(statement_.get());
    if (result == SQLITE_ROW) {
        return true;
    }
    if (result != SQLITE_DONE) {
        code_ = result;
    }
    return false;
}

void Statement::run() {
    step();
    if (ok()) {
        code_ = sqlite3_reset(statement_.get());
    }
}

void Database::Close::operator()(sqlite3* database) const {
    sqlite3_close(database);
}

Database::Database(const std::string& uri, For what) {
    const int access = what == For::reading ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE;
    sqlite3* made = nullptr;
    code_ = sqlite3_open_v2(uri.c_str(), &made, access | SQLITE_OPEN_URI | SQLITE_OPEN_NOMUTEX, nullptr);
    database_.reset(made);
}

bool Database::run(const std::string& sql) {
    return sqlite3_exec(database_.get(), sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK;
}

std::string Database::last_message() const {
    return sqlite3_errmsg(database_.get());
}

int Database::want_of_room() const {
    // SQLite calls only ENOSPC "full"; a quota and a limit on the size of files are input/output errors to it.
    int cause = 0;
    sqlite3_file_control(database_.get(), "main", SQLITE_FCNTL_LAST_ERRNO, &cause);
    if (cause == ENOSPC || cause == EDQUOT || cause == EFBIG) {
        return cause;
    }
    return sqlite3_errcode(database_.get()) == SQLITE_FULL ? ENOSPC : 0;
}

std::string uri_of(const std::string& path, std::string_view query) {
    constexpr std::string_view digits = "0123456789ABCDEF";
    std::string uri = "file:";
    // "file:relative" and "file:/absolute" are both understood; "//" at the beginning would be read as an authority.
    if (path.starts_with("//")) {
        uri += "//";
    }
    for (const char letter : path) {
        const bool plain = (letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z') ||
                           (letter >= '0' && letter <= '9') || letter == '/' || letter == '.' ||
                           letter == '-' || letter == '_';
        if (plain) {
            uri += letter;
        } else {
            const auto byte = static_cast<unsigned char>(letter);
            uri += '%';
            uri += digits[byte >> 4U];
            uri += digits[byte & 15U];
        }
    }
    return uri.append("?").append(query);
}

}  // namespace omniway::store::detail
