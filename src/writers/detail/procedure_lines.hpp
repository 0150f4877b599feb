#pragma once

#include <string>
#include <vector>

#include "plan/procedure_report.hpp"
#include "writers/detail/drawing.hpp"

namespace omniway::writers::detail {

/// Kinds of line in a picture of a procedure: what guides decides the pattern, never a colour.
enum class LinePattern { radial, beacon, localizer, arc, heading };
LinePattern pattern_of(const procedure::Guidance& guidance);
std::string_view words_of(LinePattern pattern);

/// A line of a leg in its pattern: two strokes for a localizer, thin and broken in the missed approach.
void draw_leg(Drawing& drawing, const std::vector<Point>& points, LinePattern pattern, bool missed,
              const std::string& id, const std::string& title);

/// One leg that is drawn, with its name in the picture: legs that several ways share are drawn once.
struct DrawnLeg {
    const plan::ReportedWay* way = nullptr;
    const plan::ReportedLeg* leg = nullptr;
    std::string id;
};
std::vector<DrawnLeg> drawn_legs(const plan::ProcedureReport& report);

/// What stands in the picture for a leg: "030 CF BIRCH".
std::string leg_label(const plan::ReportedLeg& leg);

/// Draws the plan into a box, or the profile of one way.
Drawing procedure_plan(const navdata::Snapshot& world, const plan::ProcedureReport& report, const Box& box);
Drawing procedure_profile(const navdata::Snapshot& world, const plan::ProcedureReport& report,
                          const plan::ReportedWay& way, const Box& box);

}  // namespace omniway::writers::detail
