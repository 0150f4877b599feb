#pragma once

#include <string>

#include "navdata/snapshot.hpp"
#include "plan/procedure_report.hpp"

namespace omniway::writers {

/// A procedure as an aircraft flies it, drawn: the plan on top, the profile of one way under it, a table of the legs beside them.
///   Model     plan in the azimuthal equidistant projection about its middle, true north up; black lines with a pattern by kind of
///             guidance, thin and broken in the missed approach; symbols in the shapes of ICAO Annex 4. The profile is of the first
///             way of the report; reversals and holds take no room in it.
///   Domain    reports of the same snapshot, up to some hundred miles across.
///   Accuracy  a tenth of a pixel; scale true from the middle, within 0.1 % at 100 NM.
///   Cost      some milliseconds; the same bytes for the same report.
///   Fails     never.
///   Source    SVG 1.1; ICAO Annex 4, appendix 2 (shapes of symbols); docs/methods/show-procedure.md.
std::string procedure_svg(const navdata::Snapshot& world, const plan::ProcedureReport& report);

}  // namespace omniway::writers
