#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

#include "base/result.hpp"
#include "rehearsal/errors.hpp"
#include "rehearsal/pilot.hpp"

namespace omniway::readers {

/// What a file says of a rehearsal: how wrong the world is, and how well the pilot flies.
struct ErrorsAndSkill {
    rehearsal::Errors errors;
    rehearsal::Skill skill;
};

/// The errors of a rehearsal as a person writes them in a TOML file.
///   Model     the keys of docs/errors-file.md, units in their names, each one standard deviation; a key that is not there is no such error. A table
///             [skill] holds the pilot's; a key that is not there is as the pilot is else.
///   Domain    TOML 1.0, at most 1 MiB.
///   Accuracy  numbers as written.
///   Cost      a millisecond.
///   Fails     errors_file.not_toml, errors_file.unknown_key, errors_file.wrong_type, errors_file.out_of_range, each with
///             file:line:column; all that can be found are given, except that a file which is not TOML yields its first fault only.
///   Source    docs/errors-file.md; TOML 1.0 as read by toml++.
tl::expected<ErrorsAndSkill, std::vector<base::Error>> read_errors(std::string_view text,
                                                                   const std::string& file_name);

/// The same from a file on disk; read.file_* where it cannot be read.
tl::expected<ErrorsAndSkill, std::vector<base::Error>> read_errors_file(const std::string& file);

}  // namespace omniway::readers
