#pragma once

#include <optional>
#include <variant>

#include "base/altitude.hpp"
#include "procedure/course_reversal.hpp"
#include "procedure/flown.hpp"
#include "procedure/holding.hpp"
#include "procedure/path.hpp"
#include "procedure/turning.hpp"

namespace omniway::procedure::detail {

/// What ends a leg that ends at no fix.
struct UntilAltitude {
    base::Altitude altitude;
};
struct UntilShown {
    navdata::StationId station;
    base::Length shown;  // slant range
};
struct UntilBearing {
    earth::Position aid;
    base::TrueBearing bearing;  // from it
};
struct UntilIntercept {};
struct UntilLength {
    base::Length length;
};
struct UntilUnknown {
    Fallback why;
};
using Until =
    std::variant<UntilAltitude, UntilShown, UntilBearing, UntilIntercept, UntilLength, UntilUnknown>;

/// What a placed leg is over the ground, apart from who flies it.
struct BeginsAt {  // IF
    earth::Position fix;
};
struct LineTo {  // TF, CF
    Line line;   // through its fix
    bool onto_localizer = false;
};
struct DirectTo {  // DF
    earth::Position fix;
};
struct LineFrom {  // FA, FC, FD, FM
    Line line;     // through its fix
    Until until;
    bool onto_localizer = false;
};
struct CourseOn {  // CA, CD, CI, CR; VA, VD, VI, VR, VM by heading
    base::TrueBearing direction;
    bool is_heading = false;
    Until until;
};
struct Round {  // AF, RF
    Circle circle;
    earth::Position fix;
};
struct Reversed {  // PI
    ProcedureTurn turn;
};
struct Holding {  // HA, HF, HM
    earth::Position fix;
    base::TrueBearing inbound;
    navdata::Turn side = navdata::Turn::right;
    std::optional<std::variant<base::Duration, base::Length>> leg;  // none: by altitude
    std::optional<base::Altitude> until;                            // HA
    bool circuits = false;                                          // goes on after its entry
};
struct Unplaced {  // drawn straight from its start to its end
    earth::Position start;
    earth::Position finish;
    Fallback why;
};
using LegShape =
    std::variant<BeginsAt, LineTo, DirectTo, LineFrom, CourseOn, Round, Reversed, Holding, Unplaced>;

LegShape shape_of(const navdata::Snapshot& world, const PlacedLeg& leg);

/// The fix a leg ends at, if it ends at one.
std::optional<earth::Position> end_fix(const LegShape& shape);

/// Whether the end of a leg is flown over: coded so, told by station passage, the missed approach point, or an aid itself.
bool ends_overhead(const navdata::Snapshot& world, const PlacedLeg& leg);

}  // namespace omniway::procedure::detail
