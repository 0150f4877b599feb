#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace omniway::base {

/// How much a finding weighs: a flight with one that blocks is not flyable, with one that asks it is "flyable if".
enum class Grade { blocks, asks, warns, notes };

std::string_view to_text(Grade grade);

/// A named reason with its figures: why something was refused, what is missing, what to watch.
///   Model     code names the rule ("guidance.not_received"); about names what it concerns; text carries the figures;
///             remedy, where one is known, is the smallest change that would lift it.
///   Domain    any.
///   Accuracy  exact.
///   Cost      four strings.
///   Fails     never.
///   Source    design section 3.
struct Finding {
    Grade grade = Grade::notes;
    std::string code;
    std::string about;
    std::string text;
    std::string remedy;
    std::optional<int> step = std::nullopt;  // of the card, where it belongs to one

    friend bool operator==(const Finding&, const Finding&) = default;
};

/// Worst first; findings of one grade keep the order in which they were made.
void rank(std::vector<Finding>& findings);

enum class Verdict { flyable, flyable_if, not_flyable };

std::string_view to_text(Verdict verdict);

/// Unknown is never zero and never "flyable": one that blocks decides, else one that asks.
Verdict verdict_of(const std::vector<Finding>& findings);

}  // namespace omniway::base
