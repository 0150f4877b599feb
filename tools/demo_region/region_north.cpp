// The north: the island of Xenora, and the northern coast.

#include <utility>
#include <vector>

#include "building.hpp"
#include "leg_words.hpp"

namespace omniway::demo_region {

void Country::fields_north() {
    const Place xenora = Place::degrees(42.323, -169.341);
    airport("XNOR", "XENORA", xenora, 52, 70, 'Y', 'H', 'C');
    strip({"XNOR", xenora, 117.0, "RW11", "RW29", 6200, 150, 52, 41});
    const Runway& rw11 = runway("XNOR", "RW11");
    vhf({"XNR", "XENORA", 10860, "VDLW", reached(rw11.threshold, 300.0, 5.0), 70, 96, '1', ""});
    const Runway& rw29 = runway("XNOR", "RW29");
    constexpr long final_ft = 1700;
    beacon({"XN", "XENVA", 2060, "HOLW",
            reached(rw29.threshold, rw29.true_deg + 180.0, miles_at(rw29, final_ft)), "XNOR"});
    // Trap: the legs along this one code rho distances, yet it has no DME record.
    localizer("IXNR", "XNOR", "RW29", '1', 10890, 950, "XN");

    const Place xalden = Place::degrees(41.630, -169.300);
    airport("XALD", "XALDEN", xalden, 122, 70, 'Y', 'H', 'C');
    strip({"XALD", xalden, 98.0, "RW09", "RW27", 6000, 100, 110, 122});
    const Runway& rw27 = runway("XALD", "RW27");
    constexpr long xalden_final_ft = 1900;
    vhf({"XAL", "XALDEN", 11590, "V LW", reached(rw27.threshold, 98.0, miles_at(rw27, xalden_final_ft)), 70,
         190, '1', ""});
    // Trap: the localizer leads in at an angle of 2.5 degrees.
    localizer("IXAL", "XALD", "RW27", '1', 11150, 900, "", {2.5, 0.5, 1.7});
    localizer_dme("IXAL", "XALDEN", 130);

    // Trap: an airport with a runway and no procedure at all.
    const Place xibrand = Place::degrees(41.526, -168.204);
    airport("XBRE", "XIBRAND", xibrand, 118, 80, 'N', 'H', 'C');
    strip({"XBRE", xibrand, 79.0, "RW07", "RW25", 3600, 75, 118, 96});
}

void Country::xenora() {
    const std::string here = "XNOR";
    const Runway& rw29 = runway(here, "RW29");
    const Runway& rw11 = runway(here, "RW11");
    constexpr long final_29_ft = 1700;
    terminal_fix(here, "XUNOR", on_arc(here, "RW29", "XNR", xenora_arc_nm));
    const long hold_inbound = back(radial_tenths("XNR", "XYLEN"));
    const std::vector<Leg> missed = {climb(rw29.bearing_tenths, 600), direct("XNR", "VY  ", ' ', 2500),
                                     hold("XNR", "VE  ", "HM", 1200, 'L', 2500)};
    // The final fix is a locator: an ADF tells it. From V21 an arc leads to the localizer; a turn back at XNR from V21 to the
    // locator would be more than 120 degrees (trade-facts 8.4).
    const auto entries = [&] {
        return std::vector<Branch>{
            {'A', "XIMBA", {initial("XIMBA", "XNR", 3000), arc("XUNOR", "XNR", 'L', 2300)}},
            {'A',
             "XNR",
             {overhead("XNR", 'V'), straight("XN", "N   ", 2500),
              procedure_turn("XN", 'N', "IXNR", back(rw29.bearing_tenths), 'R', 2300)}},
        };
    };
    Procedure ils{here, "I29", "XNR", "NS", '0', entries()};
    ils.branches.push_back(
        {'I', "",
         joined({final_intercept(marked(start("XUNOR", "IXNR"), "E  I"), 'J', 2300, final_29_ft),
                 with_angle(final_intercept(along("XN", "N  F", "IXNR", 'H', final_29_ft), 'H', final_29_ft,
                                            final_29_ft)),
                 to_runway(here, "RW29", "IXNR")},
                missed)});
    records_.procedures.push_back(std::move(ils));
    Procedure loc{here, "L29", "XNR", "NS", '0', entries()};
    loc.branches.push_back(
        {'L', "",
         joined({at_or_above(marked(start("XUNOR", "IXNR"), "E  I"), 2300),
                 along("XN", "N  F", "IXNR", '+', final_29_ft), to_runway(here, "RW29", "IXNR")},
                missed)});
    records_.procedures.push_back(std::move(loc));

    const long final_11 = radial_tenths("XNR", "XNOR/RW11");
    Procedure vor{here, "S11", "XNR", "NS", '0', {}};
    vor.branches = {{'A', "XNR", {procedure_turn("XNR", 'V', "XNR", back(final_11), 'R', 2200)}},
                    {'S',
                     "",
                     {at_or_above(marked(start("XNR", "XNR"), "V  F"), 1700), to_runway(here, "RW11", "XNR"),
                      climb(rw11.bearing_tenths, 500), direct("XNR", "VY  ", 'R', 2500),
                      hold("XNR", "VE  ", "HM", hold_inbound, 'R', 2500)}}};
    records_.procedures.push_back(std::move(vor));

    departure(here, "XIMBA1",
              {{'1',
                "RW11",
                {until_altitude("CA", rw11.bearing_tenths, 600),
                 until_radial("CR", 1600, "XNR", (radial_tenths("XNR", "XIMBA") + 3400) % 3600),
                 outbound("XIMBA", "XNR", 3000)}},
               {'1',
                "RW29",
                {until_altitude("CA", rw29.bearing_tenths, 600), direct("XNR", "VY  ", ' ', 1500),
                 along("XIMBA", "E   ", "XNR", '+', 3000)}},
               {'3', "XYLEN", {start("XIMBA", "XNR"), along("XYLEN", "EE  ", "XNR", '+', 4500)}}});
    // It ends at the initial fix of I29 and L29.
    arrival(
        here, "XYLEN1",
        {{'1', "XRG", {at_or_above(overhead("XRG", 'V'), 9500), along("XOMBA", "E   ", "XRG", '+', 9500)}},
         {'2',
          "ALL",
          {start("XOMBA", "XNR"), along("XYLEN", "E   ", "XNR", '+', 6000),
           along("XIMBA", "EE  ", "XNR", '+', 3000)}}});
}

// The northern coast. Trap: the localizer is offset. Trap: the step-down of S27 is told by a radial of a second VOR.
void Country::xalden() {
    const std::string here = "XALD";
    const Runway& rw27 = runway(here, "RW27");
    const Runway& rw09 = runway(here, "RW09");
    constexpr long final_ft = 1900;
    const double final_nm = miles_at(rw27, final_ft);
    const long localizer_course = localizer_named("IXAL").course_tenths;
    terminal_fix(here, "XIDED", on_localizer("IXAL", 11.0));
    terminal_fix(here, "XAZAN", on_localizer("IXAL", final_nm));
    terminal_fix(here, "XIDOR", toward("XAL", "XALD/RW27", final_nm - 2.2));
    const long inbound = radial_tenths("XAL", "XALD/RW27");
    const std::vector<Leg> missed = {climb(rw27.bearing_tenths, 700), direct("XAL", "VY  ", 'R', 3000),
                                     hold("XAL", "VE  ", "HM", inbound, 'R', 3000)};
    const auto entries = [&] {
        Leg hold_in_lieu = hold("XIDED", "EE A", "HF", localizer_course, 'L', 2500);
        hold_in_lieu.navaid = "IXAL";
        return std::vector<Branch>{
            {'A', "XAL", {overhead("XAL", 'V'), straight("XIDED", "EY  ", 3000), hold_in_lieu}}};
    };
    Procedure ils{here, "I27", "XAL", "NS", '0', entries()};
    ils.branches.push_back(
        {'I', "",
         joined({final_intercept(marked(start("XIDED", "IXAL"), "E  I"), 'J', 2500, final_ft),
                 with_angle(
                     final_intercept(along("XAZAN", "E  F", "IXAL", 'H', final_ft), 'H', final_ft, final_ft)),
                 to_runway(here, "RW27", "IXAL")},
                missed)});
    records_.procedures.push_back(std::move(ils));
    Procedure loc{here, "L27", "XAL", "DS", '0', entries()};
    loc.branches.push_back(
        {'L', "",
         joined({at_or_above(marked(start("XIDED", "IXAL"), "E  I"), 2500),
                 along("XAZAN", "E  F", "IXAL", '+', final_ft), to_runway(here, "RW27", "IXAL")},
                missed)});
    records_.procedures.push_back(std::move(loc));
    Procedure vor{here, "S27", "XAL", "NS", '0', {}};
    vor.branches = {
        {'A', "XAL", {procedure_turn("XAL", 'V', "XAL", back(inbound), 'L', 2500)}},
        {'S', "",
         joined({at_or_above(marked(start("XAL", "XAL"), "V  F"), final_ft),
                 with_angle(along("XIDOR", "E S ", "XAL", '+', 860)), to_runway(here, "RW27", "XAL")},
                missed)}};
    records_.procedures.push_back(std::move(vor));

    departure(
        here, "XELAS1",
        {{'1', "RW09", {until_altitude("VA", rw09.bearing_tenths, 600), direct("XAL", "VY  ", ' ', 1500)}},
         {'3', "XELAS", {overhead("XAL", 'V'), along("XELAS", "EE  ", "XAL", '+', 3000)}}});
    arrival(here, "XUMAT1",
            {{'1',
              "XED",
              {at_or_above(overhead("XED", 'V'), 7500), along("XIRAS", "E   ", "XED", '+', 7500),
               along("XUMAT", "E   ", "XED", '+', 7500)}},
             {'2', "ALL", {start("XUMAT", "XAL"), along("XAL", "VE  ", "XAL", '+', 3000)}}});
}

}  // namespace omniway::demo_region
