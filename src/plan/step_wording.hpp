#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "flight/card.hpp"

namespace omniway::plan {

/// How a card says each of its parts: what guides, what ends it, heights, radios, work, check, what to expect.
///   Model     short clauses of the trade without a full stop; courses as three figures (north is 360), readings to a tenth,
///             times as minutes and seconds. Frequency, ident and Morse stand wherever something is tuned; elsewhere an aid is
///             named by its ident.
///   Domain    cards as flight/step.hpp rounds them; in one card an ident with its kind names one aid.
///   Accuracy  different parts never read the same (step_wording_test.cpp).
///   Cost      a string.
///   Fails     never.
///   Source    phraseology as in FAA-H-8083-15 and AIM; common practice, no source.
std::string guidance_text(const flight::StepGuidance& guidance);
std::string end_text(const flight::StepEnd& end);
std::string heights_text(const flight::StepHeights& heights);
std::string work_text(const flight::StepWork& work);
std::string check_text(const flight::StepCheck& check);
std::string notice_text(const flight::Notice& notice);
/// Its figures in a line; the notices are apart.
std::string expected_text(const flight::StepExpected& expected);
std::string return_text(const flight::ImmediateReturn& back);

/// A line for each set, with all that its knobs show: "NAV1  guides  VOR/DME XDV 113.40 -..- -.. ...-  course 071". No lines
/// where the radios are not known.
std::vector<std::string> radios_lines(const flight::StepRadios& radios);
/// The same in short, for a glance at whether all stands as it should: "NAV1 guides XDV 113.40 course 071", "DME XDV by NAV1".
std::vector<std::string> radios_in_short(const flight::StepRadios& radios);

/// "VOR/DME XDV 113.40 -..- -.. ...-": what is tuned and what is heard.
std::string tuning_text(const flight::NamedAid& aid);
/// "NAV1", "DME", "ADF".
std::string set_text(const flight::RadioSet& set);
std::string_view to_text(flight::ReceiverRole role);

}  // namespace omniway::plan
