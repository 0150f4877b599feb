#pragma once

#include <string>
#include <vector>

#include "navdata/snapshot.hpp"
#include "plan/procedure_report.hpp"

namespace omniway::writers {

/// A procedure as an aircraft flies it, for people to read: a block for each way through it, three lines a leg.
///   Model     legs in the order flown: what is coded, what guides, what ends it, heights, needs, and why it cannot be flown.
///   Domain    a report of the same snapshot.
///   Accuracy  as printed: a tenth of a mile, a second, a degree.
///   Cost      a string.
///   Fails     never.
///   Source    docs/methods/show-procedure.md.
std::string procedure_text(const navdata::Snapshot& world, const plan::ProcedureReport& report);

/// One line for each way through each procedure: flyable, or the first reason why not.
std::string procedures_text(const navdata::Snapshot& world,
                            const std::vector<plan::ProcedureReport>& reports);

}  // namespace omniway::writers
