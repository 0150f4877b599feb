#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace omniway::base {

/// How many slips of the pen lie between two words: a letter wrong, missing, too many, or two neighbours
/// swapped.
///   Model     restricted Damerau-Levenshtein distance (no letter is touched twice); A to Z are one with a to
///             z.
///   Domain    any bytes.
///   Accuracy  exact.
///   Cost      length times length.
///   Fails     never.
///   Source    Damerau, "A technique for computer detection and correction of spelling errors", CACM 7
///             (1964).
std::size_t edit_distance(std::string_view a, std::string_view b);

/// The known words a mistyped word may have been meant as, nearest first, of as near ones those of the same letters first, then in order of the
/// alphabet.
///   Model     edit_distance at most a third of the word's length, one at the least, and at most one more
///             than the nearest has; a word that differs in capitals alone is the only answer; nothing for
///             fewer than two letters.
///   Domain    any bytes; at most `at_most` answers, each once.
///   Accuracy  exact.
///   Cost      linear in the known words; those of a length too different are passed over.
///   Fails     an empty answer: nothing is near.
///   Source    that most mistyped words are one slip away is Damerau's finding (80 %); the third is common
///             practice, no source.
std::vector<std::string> near_matches(std::string_view word, std::span<const std::string> known,
                                      std::size_t at_most = 3);

/// "did you mean A?", "did you mean A, B or C?"; empty where nothing is near.
std::string did_you_mean(std::span<const std::string> matches);

}  // namespace omniway::base
