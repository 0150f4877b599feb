#pragma once

#include <vector>

#include "base/finding.hpp"
#include "flight/flight_track.hpp"
#include "wire/detail/parts.hpp"

namespace omniway::wire::detail {

/// What plans and procedures say of a step in the same words: what guides it, what ends it, what was found.
Json finding_json(const base::Finding& finding);
Json findings_json(const std::vector<base::Finding>& findings);
/// The same where each says of which step it is, or null.
Json finding_at_step(const base::Finding& finding);
Json findings_at_steps(const std::vector<base::Finding>& findings);
Json guidance_json(const navdata::Snapshot& world, const flight::TrackStep& step);
Json ending_json(const navdata::Snapshot& world, const flight::TrackStep& step);
/// One step of the flight track.
Json step_json(const navdata::Snapshot& world, const flight::TrackStep& step);

}  // namespace omniway::wire::detail
