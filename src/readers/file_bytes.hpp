#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "base/result.hpp"

namespace omniway::readers {

/// All bytes of a plain file that a person wrote.
///   Model     read at once into memory.
///   Domain    plain files up to `largest` bytes; `what` ends the sentence of a refusal: "a CSV file of points".
///   Accuracy  exact.
///   Cost      the file's size.
///   Fails     read.file_missing, read.not_a_file, read.file_too_large, read.file_unreadable, at the path.
///   Source    none.
base::Result<std::string> file_bytes(const std::string& path, std::uintmax_t largest, std::string_view what);

/// The same of a file that is known to be a plain one: its size held against `largest`, and its bytes.
base::Result<std::string> plain_file_bytes(const std::string& path, std::uintmax_t largest);

}  // namespace omniway::readers
