// The west: the capital, the north-western coast, and the islands of Xagilla and Xurlin.

#include <utility>
#include <vector>

#include "building.hpp"
#include "leg_words.hpp"

namespace omniway::demo_region {

void Country::fields_west() {
    const Place xamarra = Place::degrees(40.338, -171.032);
    airport("XMRA", "XAMARRA CAPITAL", xamarra, 92, 70, 'Y', 'H', 'C');
    strip({"XMRA", xamarra, 99.0, "RW09", "RW27", 10200, 150, 71, 92});
    strip({"XMRA", Place::degrees(40.346, -171.018), 159.0, "RW15", "RW33", 6500, 150, 78, 85});
    // On the centreline of runway 15/33 of the capital, beyond its south-eastern end.
    const Runway& rw33 = runway("XMRA", "RW33");
    vhf({"XMR", "XAMARRA", 11340, "VTHW", reached(rw33.threshold, 159.0, 0.9), 90, 88, '2', ""});
    localizer("IXMR", "XMRA", "RW27", '1', 11030, 1000, "");
    localizer_dme("IXMR", "XAMARRA CAPITAL", 70);

    const Place xeddow = Place::degrees(41.360, -170.240);
    airport("XEDD", "XEDDOW", xeddow, 126, 70, 'Y', 'H', 'C');
    strip({"XEDD", xeddow, 104.0, "RW10", "RW28", 4800, 75, 96, 126});
    const Runway& rw10 = runway("XEDD", "RW10");
    constexpr long xeddow_final_ft = 1700;
    vhf({"XED", "XEDDOW", 11230, "V LW", reached(rw10.threshold, 285.5, miles_at(rw10, xeddow_final_ft)), 70,
         60, '1', ""});
    // Trap: distance from a DME of another class that stands apart from the VOR, with an ident of its own.
    vhf({"XEW", "XEDDOW HEAD", 11750, " DHW", Place::degrees(41.410, -170.210), 70, 140, '2', ""});

    const Place xagilla = Place::degrees(39.368, -171.928);
    airport("XGIL", "XAGILLA", xagilla, 61, 70, 'Y', 'H', 'C');
    strip({"XGIL", xagilla, 105.0, "RW10", "RW28", 5200, 75, 61, 48});

    const Place xurlin = Place::degrees(41.950, -171.500);
    airport("XURL", "XURLIN", xurlin, 60, 70, 'Y', 'H', 'C');
    strip({"XURL", xurlin, 98.0, "RW09", "RW27", 5600, 100, 48, 60});
    const Runway& rw09 = runway("XURL", "RW09");
    // Trap: XUR and XOB share a frequency, 250 NM apart.
    vhf({"XUR", "XURLIN", 11390, "VTHW", reached(rw09.threshold, 278.0, 0.8), 70, 66, '2', ""});
    localizer("IXUR", "XURL", "RW27", 'L', 10850, 0, "", {6.0, 0.7, 2.3});
    localizer_dme("IXUR", "XURLIN", 64);
}

void Country::xamarra() {
    const std::string here = "XMRA";
    const Runway& rw27 = runway(here, "RW27");
    const Runway& rw09 = runway(here, "RW09");
    const Runway& rw15 = runway(here, "RW15");
    constexpr long final_27_ft = 1900;
    terminal_fix(here, "XIPAL", on_arc(here, "RW27", "XMR"));
    terminal_fix(here, "XUDER", before_threshold(here, "RW27", miles_at(rw27, final_27_ft)));
    terminal_fix(here, "XAFIN", before_threshold(here, "RW27", 2.5));
    terminal_fix(here, "XOVEK", on_arc(here, "RW09", "XMR"));
    terminal_fix(here, "XAKUL", before_threshold(here, "RW09", 5.0));
    const double final_15_deg = radial_to("XMR", rw15.threshold);
    const double to_threshold_nm = between(at("XMR").place, rw15.threshold).distance_nm;
    terminal_fix(here, "XEVAR", on_radial("XMR", final_15_deg, arc_nm));
    terminal_fix(here, "XOPIL", on_radial("XMR", final_15_deg, to_threshold_nm + 5.0));

    // Missed approaches come back over the sea to hold west of the VORTAC.
    const std::vector<Leg> missed_27 = {climb(rw27.bearing_tenths, 700), direct("XMR", "VY  ", 'L', 3000),
                                        hold("XMR", "VE  ", "HM", 900, 'R', 3000)};

    // An approach whose initial fixes are airway fixes: XOBAN on V12 and XALBO on V14 begin its arcs.
    const auto entries = [&](const std::string& localizer_ident) {
        return std::vector<Branch>{
            {'A', "XALBO", {initial("XALBO", "XMR", 3000), arc("XIPAL", "XMR", 'L', 3000)}},
            {'A',
             "XMR",
             {overhead("XMR", 'V'), straight("XUDER", "E   ", 3000),
              procedure_turn("XUDER", 'E', localizer_ident, back(rw27.bearing_tenths), 'L', 2700)}},
            {'A', "XOBAN", {initial("XOBAN", "XMR", 4000), arc("XIPAL", "XMR", 'R', 3000)}},
        };
    };
    Procedure ils{here, "I27", "XMR", "NS", '0', entries("IXMR")};
    ils.branches.push_back(
        {'I', "",
         joined({final_intercept(marked(start("XIPAL", "IXMR"), "E  I"), 'J', 3000, final_27_ft),
                 with_angle(final_intercept(along("XUDER", "E  F", "IXMR", 'H', final_27_ft), 'H',
                                            final_27_ft, final_27_ft)),
                 to_runway(here, "RW27", "IXMR")},
                missed_27)});
    records_.procedures.push_back(std::move(ils));

    Procedure loc{here, "L27", "XMR", "DS", '0', entries("IXMR")};
    loc.branches.push_back(
        {'L', "",
         joined({at_or_above(marked(start("XIPAL", "IXMR"), "E  I"), 3000),
                 along("XUDER", "E  F", "IXMR", '+', final_27_ft),
                 with_angle(along("XAFIN", "E S ", "IXMR", '+', 940)), to_runway(here, "RW27", "IXMR")},
                missed_27)});
    records_.procedures.push_back(std::move(loc));

    // The back course, from the sea; the needle works in reverse.
    const long back_course = back(at("IXMR").localizer_course_tenths);
    Procedure back_course_09{here, "B09", "XMR", "DS", '0', {}};
    back_course_09.branches = {
        {'A', "XEVAR", {initial("XEVAR", "XMR", 3000), arc("XOVEK", "XMR", 'L', 2500)}},
        {'A',
         "XMR",
         {overhead("XMR", 'V'), straight("XAKUL", "E   ", 2500),
          procedure_turn("XAKUL", 'E', "IXMR", back(back_course), 'R', 2500)}},
        {'B',
         "",
         {at_or_above(marked(start("XOVEK", "IXMR"), "E  I"), 2500),
          along("XAKUL", "E  F", "IXMR", '+', 1700), to_runway(here, "RW09", "IXMR"),
          climb(rw09.bearing_tenths, 900), direct("XMR", "VY  ", 'R', 3000),
          hold("XMR", "VE  ", "HM", 900, 'R', 3000)}}};
    records_.procedures.push_back(std::move(back_course_09));

    Procedure vor_dme{here, "D15", "XMR", " S", '0', {}};
    vor_dme.branches = {
        {'A', "XOBAN", {initial("XOBAN", "XMR", 4000), arc("XEVAR", "XMR", 'L', 3000)}},
        {'D',
         "",
         {at_or_above(marked(start("XEVAR", "XMR"), "E  I"), 3000), along("XOPIL", "E  F", "XMR", '+', 1700),
          to_runway(here, "RW15", "XMR"), climb(rw15.bearing_tenths, 800), direct("XMR", "VY  ", 'R', 3000),
          hold("XMR", "VE  ", "HM", 900, 'R', 3000)}}};
    records_.procedures.push_back(std::move(vor_dme));

    terminal_fix(here, "XWIMA", before_threshold(here, "RW27", 11.5), "W");
    terminal_fix(here, "XWUDE", before_threshold(here, "RW27", miles_at(rw27, 1800)), "W");
    terminal_fix(here, "XWAKO", reached(rw09.threshold, 279.0, 12.0), "W");
    records_.procedures.push_back(area_navigation(here, "R27", "RW27", {"XWENI", "XWIMA", "XWUDE", "XWAKO"},
                                                  {4000, 3000, 1800, 3000}, 700));
}

void Country::xagilla() {
    const std::string here = "XGIL";
    const Runway& rw28 = runway(here, "RW28");
    const Place intermediate = before_threshold(here, "RW28", 11.0);
    terminal_fix(here, "XWELU", intermediate, "W");
    terminal_fix(here, "XWILO", reached(intermediate, rw28.true_deg + 90.0, 5.0), "W");
    terminal_fix(here, "XWAGA", before_threshold(here, "RW28", miles_at(rw28, 1700)), "W");
    terminal_fix(here, "XWORA", reached(rw28.threshold, rw28.true_deg, 10.0), "W");
    records_.procedures.push_back(area_navigation(here, "R28", "RW28", {"XWILO", "XWELU", "XWAGA", "XWORA"},
                                                  {2500, 2500, 1700, 2500}, 600));

    terminal_fix(here, "XWIFO", reached(rw28.threshold, rw28.true_deg, 8.0), "W");
    departure(here, "XWIFO1",
              {{'4',
                "RW28",
                {until_altitude("CA", rw28.bearing_tenths, 600), direct("XWIFO", "E   ", ' ', 2500),
                 marked(track("XWELU", 3000), "EE  ")}}});
}

// The north-western coast. Trap: its only approach leads in from the sea, to the runway with the prevailing westerly behind.
void Country::xeddow() {
    const std::string here = "XEDD";
    const Runway& rw10 = runway(here, "RW10");
    const Runway& rw28 = runway(here, "RW28");
    const long inbound = radial_tenths("XED", "XEDD/RW10");
    const long hold_inbound = back(radial_tenths("XED", "XIMES"));
    Procedure vor{here, "S10", "XED", "NS", '0', {}};
    vor.branches = {{'A', "XED", {procedure_turn("XED", 'V', "XED", back(inbound), 'L', 2200)}},
                    {'S',
                     "",
                     {at_or_above(marked(start("XED", "XED"), "V  F"), 1700), to_runway(here, "RW10", "XED"),
                      climb(rw10.bearing_tenths, 600), direct("XED", "VY  ", 'L', 3000),
                      hold("XED", "VE  ", "HM", hold_inbound, 'R', 3000)}}};
    records_.procedures.push_back(std::move(vor));

    departure(here, "XIMES1",
              {{'1',
                "RW28",
                {until_altitude("VA", rw28.bearing_tenths, 600), until_intercept("VI", 2600, ' '),
                 outbound("XIMES", "XED", 3000)}},
               {'3', "XEBUG", {start("XIMES", "XED"), along("XEBUG", "EE  ", "XED", '+', 4000)}}});
    arrival(
        here, "XEBUG1",
        {{'1', "XUR", {at_or_above(overhead("XUR", 'V'), 4000), along("XEBUG", "E   ", "XUR", '+', 4000)}},
         {'2',
          "ALL",
          {start("XEBUG", "XED"), along("XIMES", "E   ", "XED", '+', 4000),
           along("XED", "VE  ", "XED", '+', 3000)}}});
}

// The north-western island. Trap: an LDA with a glideslope, 6 degrees off the runway.
void Country::xurlin() {
    const std::string here = "XURL";
    const Runway& rw27 = runway(here, "RW27");
    const Runway& rw09 = runway(here, "RW09");
    constexpr long final_ft = 1700;
    const double final_nm = miles_at(rw27, final_ft);
    terminal_fix(here, "XUPEB", on_localizer("IXUR", 11.0));
    terminal_fix(here, "XAVAS", on_localizer("IXUR", final_nm));
    terminal_fix(here, "XEMEK", on_localizer("IXUR", 0.7));
    const long course = localizer_named("IXUR").course_tenths;
    const long hold_inbound = back(radial_tenths("XUR", "XAGUB"));
    const std::vector<Leg> missed = {climb(rw27.bearing_tenths, 700), direct("XUR", "VY  ", 'L', 2500),
                                     hold("XUR", "VE  ", "HM", hold_inbound, 'R', 2500)};
    Leg hold_in_lieu = hold("XUPEB", "EE A", "HF", course, 'R', 2300);
    hold_in_lieu.navaid = "IXUR";
    Procedure lda{here, "X27", "XUR", "NS", '0', {}};
    lda.branches = {{'A', "XUR", {overhead("XUR", 'V'), straight("XUPEB", "EY  ", 2500), hold_in_lieu}},
                    {'X', "",
                     joined({final_intercept(marked(start("XUPEB", "IXUR"), "E  I"), 'J', 2300, final_ft),
                             with_angle(final_intercept(along("XAVAS", "E  F", "IXUR", 'H', final_ft), 'H',
                                                        final_ft, final_ft)),
                             to_point("XEMEK", "IXUR", 330, -300)},
                            missed)}};
    records_.procedures.push_back(std::move(lda));

    // A base turn: out on a radial to a reading of the DME, back on another.
    const double final_deg = radial_to("XUR", rw27.threshold);
    const double to_threshold_nm = between(at("XUR").place, rw27.threshold).distance_nm;
    terminal_fix(here, "XUGUM", on_radial("XUR", final_deg, 9.0));
    terminal_fix(here, "XIPOG", on_radial("XUR", final_deg, to_threshold_nm + final_nm));
    const long final_radial = tenths_of_bearing(final_deg);
    Procedure vor_dme{here, "D27", "XUR", " S", '0', {}};
    vor_dme.branches = {
        {'A',
         "XUR",
         {marked(from_fix("XUR", 'V', "FD", "XUR", (final_radial + 180) % 3600, 120, 2300), "V  A"),
          until_intercept("CI", (back(final_radial) + 3150) % 3600, 'L'),
          marked(along("XUGUM", "", "XUR", '+', 2300), "EE B")}},
        {'D', "",
         joined({at_or_above(marked(start("XUGUM", "XUR"), "E  I"), 2300),
                 along("XIPOG", "E  F", "XUR", '+', final_ft), to_runway(here, "RW27", "XUR")},
                missed)}};
    records_.procedures.push_back(std::move(vor_dme));

    departure(here, "XAGUB1",
              {{'1',
                "RW09",
                {until_altitude("CA", rw09.bearing_tenths, 500), until_intercept("VI", 600, 'L'),
                 outbound("XAGUB", "XUR", 3000)}},
               {'1',
                "RW27",
                {until_altitude("CA", rw27.bearing_tenths, 500), direct("XUR", "VY  ", 'R', 1000),
                 along("XAGUB", "E   ", "XUR", '+', 3000)}}});
    arrival(here, "XEDUT1",
            {{'1',
              "XMR",
              {at_or_above(overhead("XMR", 'V'), 3000), along("XARIS", "E   ", "XMR", '+', 3000),
               along("XEDUT", "E   ", "XMR", '+', 5000)}},
             {'2', "ALL", {start("XEDUT", "XUR"), along("XUR", "VE  ", "XUR", '+', 2500)}}});
}

// The ways out of the capital and into it. Traps: a departure by vectors only, an arrival that ends in vectors.
void Country::xamarra_ways() {
    const std::string here = "XMRA";
    const Runway& rw27 = runway(here, "RW27");
    const Runway& rw09 = runway(here, "RW09");
    const Runway& rw15 = runway(here, "RW15");
    departure(here, "XODEL1",
              {{'1',
                "RW09",
                {until_altitude("VA", rw09.bearing_tenths, 600), until_intercept("VI", 450, 'L'),
                 outbound("XOBAN", "XMR", 3000)}},
               {'1',
                "RW27",
                {until_altitude("CA", rw27.bearing_tenths, 700), direct("XMR", "VY  ", 'L', 1500),
                 along("XOBAN", "E   ", "XMR", '+', 3000)}},
               {'3',
                "XEMIR",
                {start("XOBAN", "XMR"), along("XODEL", "E   ", "XMR", '+', 5500),
                 along("XEMIR", "EE  ", "XMR", '+', 9000)}}});
    departure(
        here, "XALBO1",
        {{'1',
          "RW27",
          {until_distance("CD", rw27.bearing_tenths, "XMR", 50), direct("XMR", "VY  ", 'L', 2000),
           along("XALBO", "E   ", "XMR", '+', 3000)}},
         {'1', "RW15", {until_altitude("CA", rw15.bearing_tenths, 800), outbound("XALBO", "XMR", 3000)}}});
    departure(here, "XAMAR1",
              {{'T', "RW09", {until_altitude("VA", rw09.bearing_tenths, 600), vectors(1300)}},
               {'T', "RW27", {until_altitude("VA", rw27.bearing_tenths, 700), vectors(2300)}}});
    departure(
        here, "XWENI1",
        {{'4', "RW09", {until_altitude("CA", rw09.bearing_tenths, 600), direct("XWENI", "E   ", ' ', 3000)}},
         {'6', "XWOLA", {start("XWENI", ""), marked(track("XWOLA", 9000), "EE  ")}}});
    // It ends at the initial fix of I27, L27 and D15.
    arrival(
        here, "XEMIR1",
        {{'1', "XRG", {at_or_above(overhead("XRG", 'V'), 10000), along("XEMIR", "E   ", "XRG", '+', 10000)}},
         {'2',
          "ALL",
          {start("XEMIR", "XMR"), along("XODEL", "E   ", "XMR", '+', 7000),
           along("XOBAN", "EE  ", "XMR", '+', 4500)}}});
    const long to_capital =
        tenths_of_bearing(between(at("XALBO").place, at(here).place).leaving_deg - variation_of(here) / 10.0);
    arrival(
        here, "XALBO1",
        {{'1', "XIBEN", {at_or_above(start("XIBEN", "XOL"), 4000), along("XOL", "V   ", "XOL", '+', 4000)}},
         {'2',
          "ALL",
          {overhead("XOL", 'V'), along("XALBO", "E   ", "XMR", '+', 3000),
           marked(from_fix("XALBO", 'E', "FM", "XMR", to_capital, 0, 3000), "EE  ")}}});
    arrival(here, "XWOLA1",
            {{'4', "XWOLA", {at_or_above(start("XWOLA", ""), 9000), track("XWENI", 9000)}},
             {'5', "ALL", {start("XWENI", ""), vectors(2700)}}});
}

}  // namespace omniway::demo_region
