#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace omniway::base {

/// Text from outside as it may stand in a message: between single quotes, printable, of one line, and not too
/// long.
///   Model     control characters and bytes that are not UTF-8 become '?'; what is cut off is told by "...".
///   Domain    any bytes.
///   Accuracy  printable text of at most `longest` bytes is shown as it is.
///   Cost      linear in what is shown.
///   Fails     never.
///   Source    RFC 3629 (UTF-8).
std::string in_quotes(std::string_view text, std::size_t longest = 40);

}  // namespace omniway::base
