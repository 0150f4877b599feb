#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

#include "aircraft/aircraft.hpp"
#include "base/result.hpp"

namespace omniway::readers {

/// An aircraft, or everything that is wrong with its description, in the order of the file; never an empty
/// list.
using AircraftOrFaults = tl::expected<aircraft::Aircraft, std::vector<base::Error>>;

/// An aircraft as its owner describes it in a TOML file.
///   Model     the keys of docs/aircraft-file.md; units stand in the names of the keys; what is not known is
///             refused.
///   Domain    TOML 1.0, at most 1 MiB.
///   Accuracy  numbers as written.
///   Cost      a millisecond.
///   Fails     aircraft.not_toml, aircraft.unknown_key, aircraft.missing_key, aircraft.wrong_type,
///             aircraft.out_of_range, aircraft.unknown_word, aircraft.contradiction, each with
///             file:line:column; all that can be found are given, except that a file which is not TOML yields
///             its first fault only. A missing key has the place of its table.
///   Source    docs/aircraft-file.md; TOML 1.0 as read by toml++.
AircraftOrFaults read_aircraft(std::string_view text, const std::string& file_name);

/// The same from a file on disk; aircraft.unreadable where it cannot be read or is larger than 1 MiB.
AircraftOrFaults read_aircraft_file(const std::filesystem::path& file);

}  // namespace omniway::readers
