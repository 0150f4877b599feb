#pragma once

#include <cstdint>
#include <string>

#include "base/result.hpp"

namespace omniway::store::detail {

/// What is needed to read pages of a SQLite file without SQLite.
struct Header {
    std::uint32_t page_size = 0;
    std::uint32_t pages = 0;  // as the header says
    std::int32_t application_id = 0;
    std::int32_t user_version = 0;
};

enum class HeaderFault { none, empty, not_sqlite, cut };
struct HeaderReading {
    HeaderFault fault = HeaderFault::none;
    Header header;
};

/// Reads the first 100 bytes of an open file. Source: SQLite "Database File Format", 1.3.
HeaderReading read_header(int file);

/// XXH3 (128 bits, seed 0, 32 hexadecimal digits) over pages 1 to `pages` in order, without page `left_out`, and
/// with bytes 24-27 and 92-99 of the file taken as zero: the change counter, its copy and SQLite's own version, which
/// storing the checksum itself would change and which say nothing about the content.
/// Nothing if the file ends before or cannot be read.
std::string checksum_of_pages(int file, std::uint32_t page_size, std::uint32_t pages, std::uint32_t left_out);

}  // namespace omniway::store::detail
