#pragma once

#include <string>
#include <vector>

#include "navdata/records.hpp"

namespace omniway::readers {

/// One choice between two records of the same thing: what it is, which record was taken, which was not, and why.
struct MergeChoice {
    std::string what;     // "VOR/DME BOS"
    std::string chosen;   // "faa.txt:811"
    std::string dropped;  // "navaids.csv:2044"; empty where a record stands alone and that is worth telling
    std::string why;
    friend bool operator==(const MergeChoice&, const MergeChoice&) = default;
};

/// "VOR/DME BOS: faa.txt:811 is used, navaids.csv:2044 is not: ...", as a person reads it.
std::string to_text(const MergeChoice& choice);

struct Merged {
    navdata::Records records;
    std::vector<MergeChoice> choices;
};

/// Several readings as one: every thing once, from its strongest source.
///   Model     ARINC 424 before others, a newer cycle before an older, else in the order given. The same aid: same ident, kinds that can
///             be one (VOR, TACAN and DME of one channel; NDBs; a localizer and its DME), frequencies less than half a channel apart,
///             sites within 3 NM; or the same key in two ARINC files. The stronger record stands as a whole and keeps both
///             origins; only a lone DME and the localizer of its ident become one. The same airport: same ident within 3 NM; what the
///             stronger record leaves empty is filled from the other; one farther away is dropped with its runways and
///             frequencies. Runways: by ident; ends that only a weaker source has are added, unless they are a stronger one's
///             under an older number; empty fields are filled where geometry bears them out. Fixes, markers, airways, procedures,
///             sector altitudes and grid cells as wholes, by name.
///   Domain    each reading's records agree with its sources; readings with several sources are of one format.
///   Accuracy  nothing is averaged.
///   Cost      hash look-ups; one geodesic for each pair of one ident.
///   Fails     never; every choice is told.
///   Source    none: common practice.
Merged merge(std::vector<navdata::Records> readings);

}  // namespace omniway::readers
