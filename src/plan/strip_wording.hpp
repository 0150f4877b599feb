#pragma once

#include <string>
#include <string_view>

#include "flight/strip.hpp"
#include "navdata/station.hpp"

namespace omniway::plan {

/// How a strip says things, on paper, in pictures and on the wire alike.
///   Model     phrases without a full stop; words of the wire are one word with underscores.
///   Domain    any strip.
///   Accuracy  as printed.
///   Cost      a string.
///   Fails     never.
///   Source    common practice, no source.
std::string mode_text(radio::ReceptionMode mode);

/// "radial", "bearing", "course", "DME", "slope": what that part of the station gives.
std::string part_text(const navdata::Station& station, radio::Part part);

/// "alive from the start; dead: beyond its service volume".
std::string ends_text(const radio::HeardInterval& heard);

/// A reason in two words at most, to stand beside the end of a bar.
std::string_view short_reason(radio::Silence silence);

/// The words of docs/json.md.
std::string_view word_of(radio::Silence silence);
std::string_view word_of(radio::Part part);
std::string_view word_of(radio::ReceptionMode mode);

}  // namespace omniway::plan
