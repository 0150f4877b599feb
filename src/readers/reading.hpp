#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <string_view>

#include "base/result.hpp"
#include "navdata/records.hpp"

namespace omniway::readers {

/// What became of every row of what was read: used, or not used for a reason.
///   Model     rows = used + the sum over the reasons, always; a remark is about a row that is used all the same.
///   Domain    a reason is the code of the row's diagnostic (docs/errors.md lists them).
///   Accuracy  exact.
///   Cost      a small map.
///   Fails     never.
///   Source    none: that every row is used or reported is a rule of this project.
struct ReadCounts {
    std::size_t rows = 0;
    std::size_t used = 0;
    std::map<std::string, std::size_t, std::less<>> not_used;
    std::size_t remarks = 0;

    std::size_t not_used_in_all() const;
    ReadCounts& operator+=(const ReadCounts& other);
    friend bool operator==(const ReadCounts&, const ReadCounts&) = default;
};

/// Navigation records together with all that was not used, each with its line, and the account of it.
struct Reading : base::Loaded<navdata::Records> {
    ReadCounts counts;
};

/// Whether a diagnostic is a remark on a row that was used, rather than the reason why one was not.
bool is_remark(const base::Error& diagnostic);

/// XXH3 (128 bits, seed 0) of bytes, as 32 hexadecimal digits: tells one file from another, no proof against intent.
std::string checksum_of(std::string_view bytes);

/// ISO 8859-1 (latin-1) as UTF-8: each byte is the character of its number.
std::string utf8_from_latin_1(std::string_view text);

}  // namespace omniway::readers
