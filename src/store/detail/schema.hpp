#pragma once

#include <cstdint>
#include <string_view>

namespace omniway::store::detail {

/// "OmWy": SQLite's application id, bytes 68 to 71 of the file, most significant first.
constexpr std::int32_t application_id = 0x4F6D5779;

/// SQLite's user version, bytes 60 to 63. Raised by every change of a table; a file of another version is not read.
constexpr std::int32_t schema_version = 3;

/// The tables, as docs/atlas.md describes them.
extern const std::string_view tables_sql;

/// The tables of terrain, made behind all that the navigation checksum covers, and only where there is terrain.
extern const std::string_view terrain_tables_sql;

/// The indices, made when the tables are full because that is faster.
extern const std::string_view indices_sql;

}  // namespace omniway::store::detail
