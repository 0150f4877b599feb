#pragma once

#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "base/result.hpp"
#include "cockpit/equipment.hpp"
#include "flight/card.hpp"
#include "navdata/snapshot.hpp"
#include "rehearsal/failures.hpp"

namespace omniway::app::detail {

/// What is to fail as a person types it: WHAT, WHAT@STEP or WHAT@MINUTESmin. WHAT is a station by its ident, or NAV1, NAV2, DME, ADF, glideslope,
/// heading-indicator in any capitals; an instrument's name comes before a station's.
///   Fails     app.unknown_ident (with near matches; or what is not aboard, by name), app.fail_form, app.out_of_range (a step that the card has not,
///             a minute outside 0 to 1440).
tl::expected<rehearsal::Failures, std::vector<base::Error>> failures_asked(
    const std::vector<std::string>& asked, const navdata::Snapshot& world, const cockpit::Equipment& aboard,
    const flight::Card& card);

}  // namespace omniway::app::detail
