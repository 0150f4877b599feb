#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "navdata/procedure.hpp"

namespace omniway::procedure::detail {

using LegList = std::vector<const navdata::Leg*>;

/// What SIDs and STARs have in common: parts that join, and rows that may be missing.
///   Model     a branch whose sequence numbers go by tens is whole where none is left out from 010 on: so every one of the 330
///             SID and STAR rows of the complete FAA airport is numbered.
///   Domain    branches of a SID or STAR.
///   Accuracy  exact.
///   Cost      linear.
///   Fails     never.
///   Source    trade-facts 13.9.
std::optional<std::uint32_t> missing_sequence(const navdata::Branch& branch);

/// "RW09", "RW09B" (each of its parallels), "ALL" or nothing: whether a part named so is flown from that runway.
bool serves_runway(std::string_view transition, std::string_view runway);

/// The second part behind the first: the fix that opens it is dropped where the first ends there.
LegList joined(LegList first, const LegList& second);
LegList legs_of(const navdata::Branch& branch);

bool ends_in_vectors(navdata::PathTerminator terminator);

/// Why a SID or STAR of these route types is not flown by ground aids: empty where some part may be.
std::string not_conventional(const navdata::Procedure& procedure);

}  // namespace omniway::procedure::detail
