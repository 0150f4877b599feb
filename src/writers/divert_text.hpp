#pragma once

#include <optional>
#include <string>
#include <vector>

#include "navdata/snapshot.hpp"
#include "plan/diversion.hpp"

namespace omniway::writers {

/// Where one can land from a place in the air, as text: each airport with its figures, the first thing to do on the radios and the
/// way; then why nearer ones were refused.
///   Model     at most 100 columns.
///   Domain    diversions of the same snapshot; none where there is no flight to be left, with why.
///   Accuracy  as printed.
///   Cost      some strings.
///   Fails     never.
///   Source    design section 3.
std::string divert_text(const navdata::Snapshot& world, const plan::Request& request,
                        const std::optional<std::string>& planned,
                        const std::vector<base::Finding>& no_flight,
                        const std::optional<plan::Diversions>& found, const std::string& reception);

}  // namespace omniway::writers
