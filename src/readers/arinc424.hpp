#pragma once

#include <string_view>

#include "base/progress.hpp"
#include "navdata/provenance.hpp"
#include "readers/reading.hpp"

namespace omniway::readers {

/// Navigation data as ARINC 424-18 text, in the form in which the FAA publishes its CIFP.
///   Model     airports PA, runways PG, VHF navaids D, NDBs DB and PN, localizers PI, their markers PM, waypoints EA and PC, airways ER, SIDs PD,
///             STARs PE, approaches PF, minimum sector altitudes PS, grid minimums AS; primary records only. An ILS/DME becomes the
///             distance part of the localizer of its airport and ident. A far end is the threshold of the reciprocal runway.
///             A leg that cannot be used takes its branch with it, and the whole procedure where that branch is not a transition
///             of an approach: a procedure with a hole would be flown. Nothing else is rebuilt, nothing is judged.
///   Domain    rows of 132 bytes in latin-1, ended by LF or CRLF; trailing blanks beyond are allowed. Of `source` only the name
///             is looked at; format, cycle, validity, year and checksum are filled in: from the header HDR01, else from the newest
///             cycle on the rows, with a remark.
///   Accuracy  as published; names become UTF-8.
///   Cost      about half a microsecond a row; docs/import.md has figures.
///   Fails     never as a whole: each row not used has its diagnostic (read.*) at file:line:column; remark.* is about used rows.
///   Source    ARINC 424-18 as told in trade-facts 13.
Reading read_arinc424(std::string_view bytes, navdata::Source source, const base::Progress& progress);

/// Whether bytes look like ARINC 424 text: among the first rows one is a header or a record of 132 columns.
bool looks_like_arinc424(std::string_view bytes);

}  // namespace omniway::readers
