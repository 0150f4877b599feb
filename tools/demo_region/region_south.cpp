// The south: the island of Xusulo, the south-eastern coast, and the island of Xomber.

#include <utility>
#include <vector>

#include "building.hpp"
#include "leg_words.hpp"

namespace omniway::demo_region {

void Country::fields_south() {
    const Place xusulo = Place::degrees(38.702, -169.708);
    airport("XSUL", "XUSULO", xusulo, 37, 70, 'Y', 'H', 'C');
    strip({"XSUL", xusulo, 85.0, "RW08", "RW26", 5000, 75, 37, 24});
    const Runway& rw26 = runway("XSUL", "RW26");
    beacon({"XSL", "XUSULO", 3580, "H  W", reached(rw26.threshold, rw26.true_deg + 180.0, 4.6), ""});

    const Place xadrow = Place::degrees(40.160, -167.980);
    airport("XADR", "XADROW", xadrow, 46, 80, 'Y', 'H', 'C');
    strip({"XADR", xadrow, 88.0, "RW08", "RW26", 5200, 100, 46, 40});
    vhf({"XAD", "XADROW", 11440, "VDLW", reached(runway("XADR", "RW08").threshold, 270.0, 0.8), 80, 70, '1',
         ""});
    localizer("IXAD", "XADR", "RW26", '0', 11090, 900, "");
    localizer_dme("IXAD", "XADROW", 60);

    const Place xomber = Place::degrees(39.300, -167.300);
    airport("XOMB", "XOMBER", xomber, 72, 80, 'Y', 'H', 'C');
    strip({"XOMB", xomber, 92.0, "RW08", "RW26", 5000, 75, 60, 72});
    const Runway& rw08 = runway("XOMB", "RW08");
    vhf({"XOB", "XOMBER", 11390, "VTHW", reached(rw08.threshold, 274.0, 0.7), 80, 80, '2', ""});
    beacon({"XOM", "XOMBER", 3740, "H HW", reached(rw08.threshold, 268.0, 1.1), ""});
}

void Country::xusulo() {
    const std::string here = "XSUL";
    const Runway& rw26 = runway(here, "RW26");
    const long inbound = tenths_of_bearing(radial_to("XSL", rw26.threshold));
    Procedure ndb{here, "N26", "XSL", " S", '0', {}};
    ndb.branches = {{'A', "XSL", {procedure_turn("XSL", 'N', "XSL", back(inbound), 'L', 2200)}},
                    {'N',
                     "",
                     {at_or_above(marked(start("XSL", "XSL"), "N  F"), 1500), to_runway(here, "RW26", "XSL"),
                      climb(rw26.bearing_tenths, 700), direct("XSL", "NY  ", 'R', 2200),
                      hold("XSL", "NE  ", "HM", inbound, 'R', 2200)}}};
    records_.procedures.push_back(std::move(ndb));

    departure(here, "XUSTA1",
              {{'1',
                "RW26",
                {until_altitude("CA", rw26.bearing_tenths, 700), direct("XSL", "NY  ", 'R', 1500),
                 outbound("XUSTA", "XSL", 3000)}}});
    arrival(here, "XUSTA1",
            {{'2',
              "XCO",
              {at_or_above(overhead("XCO", 'N'), 4000), along("XUSTA", "E   ", "XCO", '+', 4000),
               along("XSL", "NE  ", "XSL", '+', 2500)}}});
}

// The south-eastern coast. Trap: the hold in lieu of a procedure turn of D26 is entered on the reciprocal of its inbound course.
void Country::xadrow() {
    const std::string here = "XADR";
    const Runway& rw26 = runway(here, "RW26");
    const Runway& rw08 = runway(here, "RW08");
    constexpr long final_ft = 1700;
    const double final_nm = miles_at(rw26, final_ft);
    const double final_deg = radial_to("XAD", rw26.threshold);
    const double to_threshold_nm = between(at("XAD").place, rw26.threshold).distance_nm;
    terminal_fix(here, "XAPAM", on_radial("XAD", final_deg, 11.0));
    terminal_fix(here, "XUPUR", on_radial("XAD", final_deg, to_threshold_nm + final_nm));
    terminal_fix(here, "XUNUB", before_threshold(here, "RW26", final_nm));
    terminal_fix(here, "XANIT", before_threshold(here, "RW26", 10.5));
    // Trap: a left hold whose inbound leg leads away from the aid.
    const double away_deg = radial_to("XAD", at("XURIG").place);
    terminal_fix(here, "XURUK", on_radial("XAD", away_deg, 10.0));
    const long away = tenths_of_bearing(away_deg);
    const std::vector<Leg> holding = {direct("XAD", "VY  ", 'L', 2500),
                                      along("XURUK", "E   ", "XAD", '+', 3000),
                                      hold("XURUK", "EE  ", "HM", away, 'L', 3000)};
    Leg hold_in_lieu = hold("XAPAM", "EE A", "HF", back(radial_tenths("XAD", "XAPAM")), 'R', 2300);
    hold_in_lieu.navaid = "XAD";
    Procedure vor_dme{here, "D26", "XAD", " S", '0', {}};
    vor_dme.branches = {
        {'A', "XAD", {overhead("XAD", 'V'), along("XAPAM", "EY  ", "XAD", '+', 2500), hold_in_lieu}},
        {'D', "",
         joined({at_or_above(marked(start("XAPAM", "XAD"), "E  I"), 2300),
                 along("XUPUR", "E  F", "XAD", '+', final_ft), to_runway(here, "RW26", "XAD"),
                 climb(rw26.bearing_tenths, 700)},
                holding)}};
    records_.procedures.push_back(std::move(vor_dme));
    Procedure loc{here, "L26", "XAD", "DS", '0', {}};
    Leg to_distance = until_distance("CD", rw26.bearing_tenths, "XAD", 30);
    to_distance.description = "  M ";
    loc.branches = {
        {'A',
         "XAD",
         {overhead("XAD", 'V'), straight("XUNUB", "E   ", 2500),
          procedure_turn("XUNUB", 'E', "IXAD", back(rw26.bearing_tenths), 'L', 2300)}},
        {'L', "",
         joined({at_or_above(marked(start("XANIT", "IXAD"), "E  I"), 2300),
                 along("XUNUB", "E  F", "IXAD", '+', final_ft), to_runway(here, "RW26", "IXAD"), to_distance},
                holding)}};
    records_.procedures.push_back(std::move(loc));

    departure(here, "XURIG1",
              {{'1',
                "RW08",
                {until_altitude("VA", rw08.bearing_tenths, 500),
                 until_radial("VR", 1700, "XAD", (away + 3500) % 3600), outbound("XURIG", "XAD", 3000)}},
               {'1',
                "RW26",
                {until_altitude("CA", rw26.bearing_tenths, 500), direct("XAD", "VY  ", 'L', 1000),
                 along("XURIG", "E   ", "XAD", '+', 3000)}}});
    arrival(
        here, "XEFEV1",
        {{'1', "XKE", {at_or_above(overhead("XKE", 'V'), 6500), along("XOGED", "E   ", "XKE", '+', 6500)}},
         {'2',
          "ALL",
          {start("XOGED", "XAD"), along("XEFEV", "E   ", "XAD", '+', 6000),
           along("XAD", "VE  ", "XAD", '+', 3000)}}});
}

// The south-eastern island, in the open ocean.
void Country::xomber() {
    const std::string here = "XOMB";
    const Runway& rw26 = runway(here, "RW26");
    const Runway& rw08 = runway(here, "RW08");
    constexpr long final_ft = 1700;
    const double final_nm = miles_at(rw26, final_ft);
    // By beacon and the DME of XOB; out for a length, back by a base turn.
    const double beacon_deg = radial_to("XOM", rw26.threshold);
    const double beacon_nm = between(at("XOM").place, rw26.threshold).distance_nm;
    terminal_fix(here, "XIPER", on_radial("XOM", beacon_deg, 9.0));
    terminal_fix(here, "XEMAN", on_radial("XOM", beacon_deg, beacon_nm + final_nm));
    const long bearing = tenths_of_bearing(beacon_deg);
    Procedure ndb_dme{here, "Q26", "XOB", "DS", '0', {}};
    ndb_dme.branches = {
        {'A',
         "XOM",
         {marked(from_fix("XOM", 'N', "FC", "XOM", (bearing + 180) % 3600, 110, 2300), "N  A"),
          until_intercept("CI", (back(bearing) + 3150) % 3600, 'L'),
          marked(along("XIPER", "", "XOM", '+', 2300), "EE B")}},
        {'Q',
         "",
         {at_or_above(marked(start("XIPER", "XOM"), "E  I"), 2300),
          along("XEMAN", "E  F", "XOM", '+', final_ft), to_runway(here, "RW26", "XOM"),
          climb(rw26.bearing_tenths, 600), direct("XOM", "NY  ", 'L', 2300),
          hold("XOM", "NE  ", "HM", back(bearing), 'R', 2300)}}};
    records_.procedures.push_back(std::move(ndb_dme));

    const double final_deg = radial_to("XOB", rw26.threshold);
    const double to_threshold_nm = between(at("XOB").place, rw26.threshold).distance_nm;
    terminal_fix(here, "XOLAV", on_radial("XOB", final_deg, arc_nm));
    terminal_fix(here, "XIVAG", on_radial("XOB", final_deg, to_threshold_nm + final_nm));
    Procedure vor_dme{here, "D26", "XOB", " S", '0', {}};
    vor_dme.branches = {{'A', "XURAR", {initial("XURAR", "XOB", 3000), arc("XOLAV", "XOB", 'R', 2500)}},
                        {'D',
                         "",
                         {at_or_above(marked(start("XOLAV", "XOB"), "E  I"), 2500),
                          along("XIVAG", "E  F", "XOB", '+', final_ft), to_runway(here, "RW26", "XOB"),
                          climb(rw26.bearing_tenths, 600), direct("XOB", "VY  ", 'R', 2500),
                          hold("XOB", "VE  ", "HM", back(radial_tenths("XOB", "XURAR")), 'R', 2500)}}};
    records_.procedures.push_back(std::move(vor_dme));

    // By area navigation round a turn of constant radius.
    const Place intermediate = before_threshold(here, "RW08", 9.0);
    constexpr double radius_nm = 3.0;
    const Place centre = reached(intermediate, rw08.true_deg + 90.0, radius_nm);
    terminal_fix(here, "XWIGE", reached(centre, rw08.true_deg + 180.0, radius_nm), "W");
    terminal_fix(here, "XWUKO", intermediate, "W");
    terminal_fix(here, "XWOBA", before_threshold(here, "RW08", miles_at(rw08, final_ft)), "W");
    terminal_fix(here, "XWETU", reached(rw08.threshold, rw08.true_deg, 10.0), "W");
    terminal_fix(here, "XWADI", centre, "W");
    Procedure area = area_navigation(here, "R08", "RW08", {"XWIGE", "XWUKO", "XWOBA", "XWETU"},
                                     {2300, 2300, 1700, 2300}, 600);
    area.branches.front().legs.back() = marked(constant_radius("XWUKO", "XWADI", 'R', 2300), "EE B");
    records_.procedures.push_back(std::move(area));

    departure(here, "XODOV1",
              {{'1',
                "RW26",
                {until_altitude("CA", rw26.bearing_tenths, 500), direct("XOB", "VY  ", 'R', 1000),
                 along("XURAR", "E   ", "XOB", '+', 3000)}},
               {'3', "XODOV", {start("XURAR", "XOB"), along("XODOV", "EE  ", "XOB", '+', 5000)}}});
    // It ends at the initial fix of D26.
    arrival(here, "XURAR1",
            {{'1',
              "XPI",
              {at_or_above(overhead("XPI", 'V'), 8000), along("XUMON", "E   ", "XPI", '+', 8000),
               along("XODOV", "E   ", "XPI", '+', 8000)}},
             {'2', "ALL", {start("XODOV", "XOB"), along("XURAR", "EE  ", "XOB", '+', 5000)}}});
}

}  // namespace omniway::demo_region
