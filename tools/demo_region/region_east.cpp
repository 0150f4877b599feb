// The east: the eastern city, its northern neighbour, and the island of Xapiren.

#include <utility>
#include <vector>

#include "building.hpp"
#include "leg_words.hpp"

namespace omniway::demo_region {

void Country::fields_east() {
    const Place xandovel = Place::degrees(40.768, -167.128);
    airport("XDOV", "XANDOVEL", xandovel, 141, 80, 'Y', 'H', 'C');
    strip({"XDOV", xandovel, 80.0, "RW07", "RW25", 8800, 150, 141, 112});
    // On the airport at its eastern end, off the centreline by what the final approach of runway 07 needs.
    const Runway& rw25 = runway("XDOV", "RW25");
    vhf({"XDV", "XANDOVEL", 11080, "VDLW", reached(rw25.threshold, 62.0, 0.35), 80, 121, '1', ""});
    localizer("IXDV", "XDOV", "RW25", '1', 10950, 1000, "");
    localizer_dme("IXDV", "XANDOVEL", 145);

    const Place xapiren = Place::degrees(41.248, -165.948);
    airport("XPIR", "XAPIREN", xapiren, 214, 80, 'Y', 'H', 'C');
    strip({"XPIR", xapiren, 68.0, "RW06", "RW24", 5800, 100, 214, 188});
    const Runway& rw06 = runway("XPIR", "RW06");
    vhf({"XPI", "XAPIREN", 11460, "VTHW", reached(rw06.threshold, 248.0, 0.6), 80, 246, '2', ""});

    const Place xorrel = Place::degrees(41.060, -167.420);
    airport("XORR", "XORREL", xorrel, 30, 80, 'Y', 'H', 'C');
    strip({"XORR", xorrel, 70.0, "RW06", "RW24", 4200, 75, 30, 24});
    // Trap: no ILS but an LDA, 12 degrees off the runway and without a glideslope.
    localizer("IXOR", "XORR", "RW24", 'A', 10910, 0, "XO", {12.0, 0.8, 1.7});
    localizer_dme("IXOR", "XORREL", 44);
    constexpr double final_nm = 4.9;
    beacon({"XO", "XOVRA", 3480, "HOLW", on_localizer("IXOR", final_nm), "XORR"});
}

void Country::xandovel() {
    const std::string here = "XDOV";
    const Runway& rw25 = runway(here, "RW25");
    const Runway& rw07 = runway(here, "RW07");
    constexpr long final_25_ft = 1800;
    terminal_fix(here, "XELUN", on_arc(here, "RW25", "XDV"));
    terminal_fix(here, "XODAR", before_threshold(here, "RW25", miles_at(rw25, final_25_ft)));
    const long hold_inbound = tenths_of_bearing(radial_to("XDV", at("XELUN").place) + 180.0);
    const std::vector<Leg> missed = {climb(rw25.bearing_tenths, 900), direct("XDV", "VY  ", 'R', 4000),
                                     hold("XDV", "VE  ", "HM", hold_inbound, 'R', 4000)};
    const auto entries = [&](const std::string& localizer_ident) {
        return std::vector<Branch>{
            {'A',
             "XDV",
             {overhead("XDV", 'V'), straight("XODAR", "E   ", 3000),
              procedure_turn("XODAR", 'E', localizer_ident, back(rw25.bearing_tenths), 'R', 2600)}},
            {'A', "XELDA", {initial("XELDA", "XDV", 3000), arc("XELUN", "XDV", 'R', 2600)}},
            {'A', "XINTA", {initial("XINTA", "XDV", 3000), arc("XELUN", "XDV", 'R', 2600)}},
        };
    };
    Procedure ils{here, "I25", "XDV", "NS", '0', entries("IXDV")};
    ils.branches.push_back(
        {'I', "",
         joined({final_intercept(marked(start("XELUN", "IXDV"), "E  I"), 'J', 2600, final_25_ft),
                 with_angle(final_intercept(along("XODAR", "E  F", "IXDV", 'H', final_25_ft), 'H',
                                            final_25_ft, final_25_ft)),
                 to_runway(here, "RW25", "IXDV")},
                missed)});
    records_.procedures.push_back(std::move(ils));

    Procedure loc{here, "L25", "XDV", "DS", '0', entries("IXDV")};
    loc.branches.push_back(
        {'L', "",
         joined({at_or_above(marked(start("XELUN", "IXDV"), "E  I"), 2600),
                 along("XODAR", "E  F", "IXDV", '+', final_25_ft), to_runway(here, "RW25", "IXDV")},
                missed)});
    records_.procedures.push_back(std::move(loc));

    // Straight in from the west along the last radial of V14, whose fix XUVIN is the initial fix; from V12 by an arc.
    const double inbound_deg = radial_to("XDV", at("XKE").place);
    const double to_threshold_nm = between(at("XDV").place, rw07.threshold).distance_nm;
    terminal_fix(here, "XIRUM", on_radial("XDV", inbound_deg, arc_nm));
    terminal_fix(here, "XEGUL", on_radial("XDV", inbound_deg, to_threshold_nm + miles_at(rw07, 1900)));
    terminal_fix(here, "XAMIP", on_radial("XDV", inbound_deg, to_threshold_nm));
    Procedure vor_dme{here, "D07", "XDV", " S", '0', {}};
    vor_dme.branches = {
        {'A', "XATOR", {initial("XATOR", "XDV", 4000), arc("XIRUM", "XDV", 'L', 3500)}},
        {'A', "XUVIN", {initial("XUVIN", "XDV", 3500), along("XIRUM", "EE B", "XDV", '+', 3500)}},
        {'D',
         "",
         {at_or_above(marked(start("XIRUM", "XDV"), "E  I"), 3500), along("XEGUL", "E  F", "XDV", '+', 1900),
          to_point("XAMIP", "XDV", rw07.elevation_ft + rw07.crossing_height_ft, -300),
          climb(rw07.bearing_tenths, 700), direct("XDV", "VY  ", 'L', 4000),
          hold("XDV", "VE  ", "HM", hold_inbound, 'R', 4000)}}};
    records_.procedures.push_back(std::move(vor_dme));
}

void Country::xapiren() {
    const std::string here = "XPIR";
    const Runway& rw24 = runway(here, "RW24");
    const double final_deg = radial_to("XPI", rw24.threshold);
    const double to_threshold_nm = between(at("XPI").place, rw24.threshold).distance_nm;
    terminal_fix(here, "XIGAN", on_radial("XPI", final_deg, arc_nm));
    terminal_fix(here, "XUPRA", on_radial("XPI", final_deg, to_threshold_nm + 5.1));
    // Trap: the initial fix has no row of its own. Only the leg tells where it is: 318 degrees and 12 miles of XPI.
    name("XIVOK", {"XIVOK", "EA", "", on_radial("XPI", 318.0, arc_nm), 0, false});
    const long hold_inbound = radial_tenths("XPI", "XIGAN");
    Procedure vor_dme{here, "D24", "XPI", " S", '0', {}};
    Leg out = straight("XIVOK", "E  A", 4500);
    out.navaid = "XPI";
    vor_dme.branches = {
        {'A', "XIVOK", {initial("XIVOK", "XPI", 4500), arc("XIGAN", "XPI", 'R', 4000)}},
        {'A', "XPI", {overhead("XPI", 'V'), out, arc("XIGAN", "XPI", 'R', 4000)}},
        {'D',
         "",
         {at_or_above(marked(start("XIGAN", "XPI"), "E  I"), 4000), along("XUPRA", "E  F", "XPI", '+', 1900),
          to_runway(here, "RW24", "XPI"), climb(rw24.bearing_tenths, 1000), direct("XPI", "VY  ", 'L', 4500),
          hold("XPI", "VE  ", "HM", back(hold_inbound), 'L', 4500)}}};
    records_.procedures.push_back(std::move(vor_dme));

    departure(
        here, "XAPOL1",
        {{'1', "RW24", {until_altitude("CA", rw24.bearing_tenths, 800), outbound("XAPOL", "XPI", 3500)}},
         {'3', "XINTA", {start("XAPOL", "XPI"), along("XINTA", "EE  ", "XPI", '+', 3500)}}});
    arrival(
        here, "XAPOL1",
        {{'1', "XINTA", {at_or_above(start("XINTA", "XDV"), 3500), along("XAPOL", "E   ", "XDV", '+', 3500)}},
         {'2', "ALL", {start("XAPOL", "XPI"), along("XPI", "VE  ", "XPI", '+', 4500)}}});
}

void Country::xandovel_ways() {
    const std::string here = "XDOV";
    const Runway& rw25 = runway(here, "RW25");
    const Runway& rw07 = runway(here, "RW07");
    departure(
        here, "XULVE1",
        {{'1',
          "RW25",
          {until_distance("VD", rw25.bearing_tenths, "XDV", 50), direct("XDV", "VY  ", 'R', 2500)}},
         {'1', "RW07", {until_altitude("VA", rw07.bearing_tenths, 600), direct("XDV", "VY  ", 'L', 1500)}},
         {'3',
          "XULVE",
          {overhead("XDV", 'V'), along("XATOR", "E   ", "XDV", '+', 4000),
           along("XULVE", "EE  ", "XDV", '+', 9000)}}});
    departure(here, "XINTA1",
              {{'1',
                "RW07",
                {until_altitude("CA", rw07.bearing_tenths, 600), until_intercept("CI", 400, 'L'),
                 outbound("XINTA", "XDV", 3000)}},
               {'3', "XAPOL", {start("XINTA", "XDV"), along("XAPOL", "EE  ", "XDV", '+', 3000)}}});
    departure(here, "XWOTE1",
              {{'4',
                "RW25",
                {until_altitude("CA", rw25.bearing_tenths, 800), direct("XWOTE", "EE  ", 'L', 4000)}}});
    // It ends at the initial fix of I25 and L25.
    arrival(
        here, "XELDA1",
        {{'1', "XEFIR", {at_or_above(start("XEFIR", "XNR"), 4000), along("XBN", "V   ", "XBN", '+', 4000)}},
         {'2', "ALL", {overhead("XBN", 'V'), along("XELDA", "EE  ", "XDV", '+', 4500)}}});
    arrival(
        here, "XITOM1",
        {{'1', "XAD", {at_or_above(overhead("XAD", 'V'), 3500), along("XANAK", "E   ", "XAD", '+', 3500)}},
         {'2',
          "ALL",
          {start("XANAK", "XDV"), along("XITOM", "E   ", "XDV", '+', 3000),
           marked(from_fix("XITOM", 'E', "FM", "XDV", back(radial_tenths("XDV", "XITOM")), 0, 3000),
                  "EE  ")}}});
}

// The northern neighbour of the eastern city. Trap: an LDA without a glideslope, to circle or to land 12 degrees off.
void Country::xorrel() {
    const std::string here = "XORR";
    const Runway& rw24 = runway(here, "RW24");
    const Runway& rw06 = runway(here, "RW06");
    terminal_fix(here, "XUZUN", on_localizer("IXOR", 10.5));
    terminal_fix(here, "XUFUG", on_localizer("IXOR", 0.8));
    constexpr long final_ft = 1650;
    Procedure lda{here, "X24", "XORR/RW24", "DS", '0', {}};
    lda.branches = {
        {'A',
         "XDV",
         {overhead("XDV", 'V'), straight("XUZUN", "E   ", 3000), along("XO", "N   ", "IXOR", '+', 2500),
          procedure_turn("XO", 'N', "IXOR", back(localizer_named("IXOR").course_tenths), 'R', 2300)}},
        {'X',
         "",
         {at_or_above(marked(start("XUZUN", "IXOR"), "E  I"), 2300),
          along("XO", "N  F", "IXOR", '+', final_ft), to_point("XUFUG", "IXOR", 330, -300),
          climb(rw24.bearing_tenths, 700), direct("XDV", "VY  ", 'L', 4000),
          hold("XDV", "VE  ", "HM", back(radial_tenths("XDV", "XINTA")), 'R', 4000)}}};
    records_.procedures.push_back(std::move(lda));

    departure(here, "XORRE1",
              {{'1',
                "RW06",
                {until_altitude("CA", rw06.bearing_tenths, 500),
                 until_radial("CR", rw06.bearing_tenths, "XDV",
                              tenths_of_bearing(radial_to("XDV", before_threshold(here, "RW24", 5.0)))),
                 direct("XDV", "VE  ", 'R', 3000)}}});
    arrival(
        here, "XIVRA1",
        {{'1', "XRG", {at_or_above(overhead("XRG", 'V'), 9000), along("XIVRA", "E   ", "XRG", '+', 9000)}},
         {'2',
          "ALL",
          {start("XIVRA", "XBN"), along("XBN", "V   ", "XBN", '+', 5500),
           along("XELDA", "E   ", "XDV", '+', 4500), along("XDV", "VE  ", "XDV", '+', 3000)}}});
}

}  // namespace omniway::demo_region
