#pragma once

#include <string>
#include <vector>

namespace omniway::app {

/// The command that flies one of the flights of a rehearsal again, but for the flight's number: the words as they were typed, without those
/// that have no say in how one flight goes, so that neither the threads nor the form of the answer show in it.
///   Model     words quoted as a POSIX shell takes each for one word.
///   Domain    the words after `omniway`.
///   Accuracy  exact.
///   Cost      linear.
///   Fails     never.
///   Source    POSIX.1-2017, Shell Command Language, 2.2.2 (single quotes).
std::string again_of(const std::vector<std::string>& typed);

}  // namespace omniway::app
