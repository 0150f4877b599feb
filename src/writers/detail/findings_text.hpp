#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "base/finding.hpp"

namespace omniway::writers::detail {

/// Text broken at its blanks so that no line passes `width` columns; lines after the first are indented.
std::string wrapped(const std::string& text, std::size_t width, const std::string& indent);

/// A finding in a line: its weight, perhaps its step, what it is about, the figures, and what would help.
std::string finding_text(const base::Finding& finding, bool with_step);

/// Findings as they are ranked, three of each weight unless `everything`, the rest counted.
std::string findings_text(const std::vector<base::Finding>& findings, bool everything);

}  // namespace omniway::writers::detail
