#pragma once

#include <string>

#include "fixing/belief.hpp"
#include "plan/position_report.hpp"
#include "plan/what_now.hpp"

namespace omniway::writers {

/// What to do now, and the world of that: with the procedures of the airports near there. None: not asked for, or no place.
struct NowPage {
    const plan::WhatNow* now = nullptr;
    const navdata::Snapshot* world = nullptr;
};

/// Where the aircraft is, as text for a cockpit: the best place in a line, how sure, what else may be, what looks wrong, what to tune next, what to do
/// now.
///   Model     at most 96 columns.
///   Domain    a report on that question.
///   Accuracy  as printed: places to a hundredth of a minute, distances to a tenth of a mile.
///   Cost      some strings.
///   Fails     never.
///   Source    design section 1.
std::string find_text(const fixing::BeliefQuestion& question, const plan::PositionSetting& setting,
                      const plan::PositionReport& report, const NowPage& now = {});

}  // namespace omniway::writers
