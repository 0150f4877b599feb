#pragma once

#include <sqlite3.h>

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace omniway::store::detail {

/// What a column holds of the row on which a statement stands: valid until the next step.
class Value {
public:
    explicit Value(sqlite3_value* value) : value_(value) {}

    bool is_null() const { return type() == SQLITE_NULL; }
    bool is_number() const { return type() == SQLITE_FLOAT || type() == SQLITE_INTEGER; }
    bool is_integer() const { return type() == SQLITE_INTEGER; }
    bool is_text() const { return type() == SQLITE_TEXT; }
    double real() const { return sqlite3_value_double(value_); }
    std::int64_t integer() const { return sqlite3_value_int64(value_); }
    std::string_view text() const { return view(sqlite3_value_text(value_)); }
    /// Nothing where the column holds something else.
    std::string_view bytes() const {
        return type() == SQLITE_BLOB ? view(sqlite3_value_blob(value_)) : std::string_view();
    }

private:
    int type() const { return sqlite3_value_type(value_); }
    std::string_view view(const void* data) const {
        if (data == nullptr) {
            return {};
        }
        return {static_cast<const char*>(data), static_cast<std::size_t>(sqlite3_value_bytes(value_))};
    }
    sqlite3_value* value_;
};

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

    Value value(int column) const { return Value(sqlite3_column_value(statement_.get(), column)); }

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

/// A connection to a SQLite file, closed at the end of its life. One thread at a time: a lock of SQLite's own about each value of
/// each row took a quarter of an atlas's reading.
class Database {
public:
    enum class For { reading, writing };
    /// `uri` as https://www.sqlite.org/uri.html describes.
    Database(const std::string& uri, For what);

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
