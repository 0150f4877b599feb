#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "fixing/belief.hpp"
#include "plan/position_report.hpp"
#include "plan/what_now.hpp"

namespace omniway::wire {

/// What was asked and found of a position.
struct PositionTold {
    const fixing::BeliefQuestion& question;
    const plan::PositionSetting& setting;
    const plan::PositionReport& report;
    // What to do now, and the world of that: with the procedures of the airports near there. None: not asked for, or no place.
    const plan::WhatNow* now = nullptr;
    const navdata::Snapshot* now_world = nullptr;
};

/// Where the aircraft is, as JSON, as api/find.schema.json describes it.
///   Model     one document, keys in a fixed order.
///   Domain    a report on that question.
///   Accuracy  as rounded.
///   Cost      some milliseconds.
///   Fails     never.
///   Source    RFC 8259; api/find.schema.json.
std::string find_json(const PositionTold& told);

/// The same in one line, with the number of the line of the batch that asked; and what was wrong with such a line.
std::string find_line_json(std::size_t line, const PositionTold& told);
std::string errors_line_json(std::size_t line, const std::vector<base::Error>& errors);

}  // namespace omniway::wire
