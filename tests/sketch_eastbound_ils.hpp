#pragma once

#include "navdata/procedure.hpp"
#include "tests/sketch.hpp"

namespace omniway::testing {

/// An eastbound ILS at (140, 0) begun over the VOR INI behind it; XDEP at the origin.
inline void draw_eastbound_ils(Sketch& sketch) {
    sketch.airport("XDEP", {0, 0}).runway("XDEP", 9, {0, 0});
    // East of the origin true north leans: a line drawn eastward runs 091.8 there, and so does the localizer.
    sketch.airport("XARR", {140, 0}).runway("XARR", 9, {140, 0});
    sketch.ils("XARR", "RW09", "IXR", {.dme = true, .offset_deg = 1.83});
    const VorDrawn terminal{.service = navdata::ServiceClass::terminal,
                            .dme = navdata::ServiceClass::terminal};
    sketch.vor("INI", {126, 0}, terminal).vor("MIS", {155, 0}, terminal).fix("FINAA", {135, 0});
    navdata::PointName threshold{navdata::PointKind::runway, "RW09", "XX", "XARR"};
    navdata::Leg last =
        sketch.leg(navdata::PathTerminator::CF, "",
                   {.recommended = "IXR", .course_deg = 90.0, .altitude_ft = 50.0, .description = "GY M"});
    last.fix = threshold;
    sketch.approach(
        "XARR", "I09", 'I',
        {sketch.leg(navdata::PathTerminator::IF, "INI", {.altitude_ft = 3000.0, .description = "V  A"}),
         sketch.leg(navdata::PathTerminator::CF, "FINAA",
                    {.recommended = "IXR", .course_deg = 90.0, .altitude_ft = 1800.0, .description = "E  F"}),
         last,
         sketch.leg(navdata::PathTerminator::CA, "",
                    {.course_deg = 90.0, .altitude_ft = 800.0, .description = "  M "}),
         sketch.leg(navdata::PathTerminator::DF, "MIS", {.altitude_ft = 3000.0}),
         sketch.leg(navdata::PathTerminator::HM, "MIS",
                    {.recommended = "MIS", .course_deg = 270.0, .turn = navdata::Turn::right})});
}

}  // namespace omniway::testing
