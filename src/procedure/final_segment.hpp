#pragma once

#include <optional>
#include <span>
#include <vector>

#include "base/finding.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/path.hpp"
#include "procedure/vertical.hpp"

namespace omniway::procedure {

/// An altitude on the way down, by the DME reading that goes with it.
struct AdvisoryAltitude {
    base::Length shown;  // slant range
    base::Altitude altitude;
};
struct AdvisoryTable {
    navdata::StationId station;
    std::vector<AdvisoryAltitude> rows;
};

/// A fix after the final fix below whose altitude one may not go before passing it.
struct StepDown {
    PlacedFix fix;
    base::Length before_end;
    AltitudeWindow window;
    std::optional<fixing::Telling> telling;
};

/// The final segment of an approach in the vertical plane: from the final fix to the missed approach point.
///   Model     with a glideslope: its height at the fix beside the published one, and where it meets the coded intercept altitude.
///             Without: the coded vertical angle, aimed at the altitude coded with the missed approach point and level before it
///             comes down to the altitude of the fix, else the straight line between the two; never below a step-down before its
///             fix. Advisory altitudes stand at the DME reading of the fix and each whole mile less (or more, where the station
///             lies behind); they may lie below minima, which are the chart's.
///   Domain    the placed legs of a whole approach, in order.
///   Accuracy  distances geodesic; heights as vertical.hpp; readings slant range.
///   Cost      some microseconds a table row.
///   Fails     none where no leg is coded as the final fix or none as the missed approach point. Minima are never made up.
///   Source    trade-facts 7.3 (gradients, advisory altitudes), 11.2 (glideslope check at the final fix), 13.9.
struct FinalSegment {
    std::size_t fix_leg = 0;  // index of the leg that ends at the final fix
    std::size_t end_leg = 0;  // index of the leg that ends at the missed approach point
    PlacedFix final_fix;
    PlacedFix end;
    base::Length length;  // along the legs between them
    bool on_glideslope = false;
    bool timed = false;  // nothing tells the missed approach point: it is reached by time
    std::optional<GlidePath> glide_path;
    std::optional<base::Altitude> published_at_fix;   // of the glideslope, as coded
    std::optional<base::Altitude> glideslope_at_fix;  // as computed
    std::optional<base::Length>
        intercept_before_fix;          // of the coded intercept altitude; negative: after the fix
    std::optional<base::Angle> angle;  // of the glideslope, or coded; downward is positive
    std::optional<base::Altitude> altitude_at_fix;  // lowest allowed there
    std::optional<Gradient> gradient;               // descent, positive downward
    std::vector<StepDown> step_downs;
    std::optional<AdvisoryTable> advisory;

    /// Computed less published height of the glideslope at the final fix.
    std::optional<base::Length> glideslope_difference() const;
};

std::optional<FinalSegment> final_segment(const navdata::Snapshot& world, std::span<const PlacedLeg> legs,
                                          std::optional<navdata::StationId> localizer,
                                          std::optional<navdata::RunwayId> runway);

/// A glideslope whose computed height at the final fix is farther than this from the published one is warned of: what the records
/// of the fix, threshold and angle may be off by together (docs/methods/vertical.md).
inline constexpr base::Length glideslope_check_tolerance = base::Length::feet(100.0);

/// What the segment itself gives reason to warn of: the glideslope check, a final steeper than straight-in criteria allow.
std::vector<base::Finding> findings_of(const FinalSegment& segment, const std::string& about);

}  // namespace omniway::procedure
