#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

struct sqlite3;
struct sqlite3_stmt;

namespace omniway::store::detail {

/// A statement made ready once and run many times. Failures stick: after one, bind and step do nothing and ok() is false.
class Statement {
public:
    Statement(sqlite3* database, const std::string& sql);

    void bind(int index, double value);
    void bind(int index, std::int64_t value);
    /// The text must outlive the next step().
    void bind(int index, std::string_view value);
    /// The bytes must outlive the next step().
    void bind_bytes(int index, std::string_view value);
    void bind_null(int index);

    /// Runs to the next row: true if there is one.
    bool step();
    /// Runs a statement that gives no rows, and makes it ready for the next values.
    void run();

    bool is_null(int column) const;
    bool is_number(int column) const;
    bool is_integer(int column) const;
    bool is_text(int column) const;
    double real(int column) const;
    std::int64_t integer(int column) const;
    std::string_view text(int column) const;
    /// Nothing where the column holds something else.
    std::string_view bytes(int column) const;

    bool ok() const { return code_ == 0; }

private:
    struct Finish {
        void operator()(sqlite3_stmt* statement) const;
    };
    void note_null(int index, bool null);
    std::unique_ptr<sqlite3_stmt, Finish> statement_;
    int code_ = 0;
    std::vector<char> is_null_;  // by index: what is bound is NULL
};

/// A connection to a SQLite file, closed at the end of its life.
class Database {
public:
    /// `uri` as https://www.sqlite.org/uri.html describes.
    explicit Database(const std::string& uri, int flags);

    bool ok() const { return code_ == 0; }
    sqlite3* handle() const { return database_.get(); }

    /// True if all statements in `sql` succeeded.
    bool run(const std::string& sql);
    std::string last_message() const;
    /// ENOSPC, EDQUOT or EFBIG if that is why the last call failed, else 0.
    int want_of_room() const;

private:
    struct Close {
        void operator()(sqlite3* database) const;
    };
    std::unique_ptr<sqlite3, Close> database_;
    int code_ = 0;
};

/// A path as a SQLite URI with the given query ("mode=ro&immutable=1").
std::string uri_of(const std::string& path, std::string_view query);

}  // namespace omniway::store::detail
