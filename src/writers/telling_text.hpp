#pragma once

#include <string>

#include "navdata/snapshot.hpp"
#include "plan/fix_report.hpp"

namespace omniway::writers {

/// How a fix can be told, for people to read: line by line, best way first, with what was refused and why.
///   Model     one block for each line on which the fix is reached; errors and areas in nautical miles.
///   Domain    a report of the same snapshot.
///   Accuracy  as printed: a hundredth of a mile, a degree.
///   Cost      a string.
///   Fails     never.
///   Source    docs/methods/fixes.md.
std::string telling_text(const navdata::Snapshot& world, const plan::FixReport& report);

}  // namespace omniway::writers
