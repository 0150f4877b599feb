#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "app/find_position.hpp"

namespace omniway::app {

/// A line of a batch that asks for something: its words, or what is wrong with it.
struct BatchLine {
    std::size_t number = 0;  // from 1
    tl::expected<std::vector<FindWord>, std::vector<base::Error>> words;
};

/// The lines of a batch: one case each, in the words of the command line.
///   Model     words are parted by blanks; quotes, single or double, keep blanks (of Morse, of winds) together; what follows a # at the beginning
///             of a word is a comment; lines without a word are passed over. --option WORD and --option=WORD are the same.
///   Domain    any bytes; lines of up to 4,096 of them.
///   Accuracy  as written.
///   Cost      linear.
///   Fails     line by line, at name:line:column, columns in bytes from 1: app.find_batch_form, app.find_option, app.find_twice.
///   Source    none: this project's own.
std::vector<BatchLine> batch_lines(std::string_view text, const std::string& name);

/// One answer of a batch, in the order of its lines.
using TellAnswer =
    std::function<void(std::size_t line, tl::expected<PositionFound, std::vector<base::Error>> answer)>;

/// How a batch went.
struct BatchDone {
    std::size_t good = 0;    // a place was found
    std::size_t cannot = 0;  // the readings contradict each other
    std::size_t bad = 0;     // was not understood
    bool cancelled = false;
};

/// Asks each line of a batch of one opened atlas; a line that is wrong does not stop it.
///   Model     what stands on the command line holds for every line; the line comes after it.
///   Domain    as batch_lines() and Finder::find().
///   Accuracy  as Finder::find().
///   Cost      as Finder::find(), line by line.
///   Fails     never: errors are answers.
///   Source    none.
BatchDone find_batch(const Finder& finder, const FindQuestion& question, const std::vector<BatchLine>& lines,
                     const TellAnswer& tell, const base::Progress& progress);

}  // namespace omniway::app
