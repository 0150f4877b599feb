#pragma once

#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

#include "base/result.hpp"
#include "procedure/minima.hpp"

namespace omniway::readers {

/// Approach minima that a person has read from charts, from a CSV file (docs/minima-file.md).
///   Model     RFC 4180 (readers/csv.hpp) with a header row. Columns in any order: airport, procedure, category, landing, kind and
///             altitude_ft, and as many as wanted of visibility_sm, visibility_m, rvr_ft, with_fix and remark. A row that cannot be
///             used is a diagnostic with its place and the others are used: a minimum that is missing is asked for, so that
///             leaving a row out is safe. Of two rows of one minimum the higher is used.
///   Domain    altitudes -1,500 to 20,000 ft; visibility 0 to 10 SM or 0 to 16,000 m, runway visual range 0 to 6,500 ft; one of the
///             three in a row at most; at most 20,000 rows and 4 MB.
///   Accuracy  as written.
///   Cost      one pass; rows are compared with those of the same approach.
///   Fails     of the file as a whole read.column_missing, read.column_unknown, read.no_records, read.file_missing, read.not_a_file,
///             read.file_too_large, read.file_unreadable, read.file_empty, read.too_many_minima; of a row read.wrong_field_count,
///             read.value_missing, read.not_a_number, read.out_of_range, read.unknown_letter, read.two_visibilities,
///             read.duplicate_record, read.quote_not_closed, read.text_after_quote.
///   Source    RFC 4180; what a minimum is of: 14 CFR 97.3.
tl::expected<base::Loaded<std::vector<procedure::MinimumRow>>, std::vector<base::Error>> read_minima(
    std::string_view bytes, const std::string& name);
tl::expected<base::Loaded<std::vector<procedure::MinimumRow>>, std::vector<base::Error>> read_minima_file(
    const std::string& path);

/// What was read as a plan takes it: each diagnostic a finding that warns, with its place.
procedure::Minima minima_of(base::Loaded<std::vector<procedure::MinimumRow>> loaded);

}  // namespace omniway::readers
