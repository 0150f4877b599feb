// The middle: the basin between the mountains, and the southern coast.

#include <utility>
#include <vector>

#include "building.hpp"
#include "leg_words.hpp"

namespace omniway::demo_region {

void Country::fields_middle() {
    const Place xekellin = Place::degrees(40.503, -168.832);
    airport("XKEL", "XEKELLIN BASIN", xekellin, 2486, 80, 'Y', 'H', 'C');
    strip({"XKEL", xekellin, 138.0, "RW13", "RW31", 6800, 100, 2486, 2461});
    vhf({"XKE", "XEKELLIN", 11140, "V LW", reached(at("XKEL").place, 97.0, 7.4), 90, 3890, '1', ""});
    // Trap: the legs along this one code rho distances, yet it has no DME record.
    localizer("IXKE", "XKEL", "RW31", '0', 11170, 900, "");

    const Place xicora = Place::degrees(39.930, -169.750);
    airport("XICO", "XICORA", xicora, 34, 70, 'Y', 'H', 'C');
    strip({"XICO", xicora, 96.0, "RW09", "RW27", 6400, 150, 28, 34});
    const Runway& rw09 = runway("XICO", "RW09");
    const Runway& rw27 = runway("XICO", "RW27");
    vhf({"XIC", "XICORA", 11260, "V LW", reached(rw27.threshold, 60.0, 0.9), 70, 50, '1', ""});
    constexpr long xicora_final_ft = 1700;
    beacon({"XI", "XISEL", 2170, "HOLW", reached(rw09.threshold, 276.0, miles_at(rw09, xicora_final_ft)),
            "XICO"});
    // Trap: two localizers at opposite ends on one frequency.
    localizer("IXIC", "XICO", "RW09", '1', 10990, 1000, "XI");
    localizer("IXIE", "XICO", "RW27", '1', 10990, 1000, "");
    localizer_dme("IXIE", "XICORA", 44);
}

void Country::xekellin() {
    const std::string here = "XKEL";
    const Runway& rw31 = runway(here, "RW31");
    constexpr long final_31_ft = 4100;
    terminal_fix(here, "XOGRI", before_threshold(here, "RW31", 9.5));
    terminal_fix(here, "XULAK", before_threshold(here, "RW31", miles_at(rw31, final_31_ft)));
    const long hold_inbound = back(radial_tenths("XKE", "XERNA"));
    // Both fixes on the localizer are crossed by radials of XKE: no DME, no glideslope, no beacon, two receivers. Entry by
    // a hold in lieu of a procedure turn.
    Procedure loc{here, "L31", "XKE", "NS", '0', {}};
    Leg hold_in_lieu = hold("XOGRI", "EE A", "HF", rw31.bearing_tenths, 'R', 5500);
    hold_in_lieu.navaid = "IXKE";
    loc.branches = {{'A', "XKE", {overhead("XKE", 'V'), straight("XOGRI", "EY  ", 6500), hold_in_lieu}},
                    {'L',
                     "",
                     {at_or_above(marked(start("XOGRI", "IXKE"), "E  I"), 5500),
                      along("XULAK", "E  F", "IXKE", '+', final_31_ft), to_runway(here, "RW31", "IXKE"),
                      climb(rw31.bearing_tenths, 3200), direct("XKE", "VY  ", 'R', 7500),
                      hold("XKE", "VE  ", "HM", hold_inbound, 'R', 7500)}}};
    records_.procedures.push_back(std::move(loc));

    // The final fix is the VOR itself; the missed approach point is found by time. One receiver is enough.
    const double field_deg = radial_to("XKE", at(here).place);
    terminal_fix(here, "XEKAM", on_radial("XKE", field_deg, 6.2));
    const long away = tenths_of_bearing(field_deg + 180.0);
    Procedure vor{here, "VOR-A", "XKE", "NC", '0', {}};
    vor.branches = {{'A', "XKE", {procedure_turn("XKE", 'V', "XKE", away, 'R', 6500)}},
                    {'V',
                     "",
                     {at_or_above(marked(start("XKE", "XKE"), "V  F"), 5700),
                      to_point("XEKAM", "XKE", 3760, 0), marked(direct("XKE", "VYM ", 'R', 7500), "VYM "),
                      hold("XKE", "VE  ", "HM", hold_inbound, 'R', 7500)}}};
    records_.procedures.push_back(std::move(vor));

    // Trap: a climb in the hold, and on along a radial to an altitude.
    const Runway& rw13 = runway(here, "RW13");
    departure(here, "XERNA1",
              {{'1',
                "RW13",
                {until_altitude("VA", rw13.bearing_tenths, 3300), direct("XKE", "VY  ", 'L', 4500),
                 hold("XKE", "V   ", "HA", hold_inbound, 'R', 6500),
                 from_fix("XKE", 'V', "FA", "XKE", radial_tenths("XKE", "XERNA"), 0, 7000),
                 outbound("XERNA", "XKE", 7000)}},
               {'3', "XUVIN", {start("XERNA", "XKE"), along("XUVIN", "EE  ", "XKE", '+', 7000)}}});
    arrival(
        here, "XOTHA1",
        {{'1', "XIBEN", {at_or_above(start("XIBEN", "XOL"), 5500), along("XOTHA", "E   ", "XOL", '+', 7500)}},
         {'2', "ALL", {start("XOTHA", "XKE"), along("XKE", "VE  ", "XKE", '+', 7500)}}});
}

// The southern coast. Traps: two localizers on one frequency; the missed approach of runway 27 needs an ADF; that of runway 09
// retunes the only receiver of who flies it on the localizer and the locator.
void Country::xicora() {
    const std::string here = "XICO";
    const Runway& rw09 = runway(here, "RW09");
    const Runway& rw27 = runway(here, "RW27");
    constexpr long final_ft = 1700;
    terminal_fix(here, "XOTAG", before_threshold(here, "RW09", 10.5));
    terminal_fix(here, "XEFAG", before_threshold(here, "RW27", miles_at(rw27, final_ft)));
    terminal_fix(here, "XUNET", before_threshold(here, "RW27", 10.5));
    const long hold_inbound = back(radial_tenths("XIC", "XABIV"));
    const std::vector<Leg> missed_09 = {climb(rw09.bearing_tenths, 600), direct("XIC", "VY  ", 'R', 3000),
                                        hold("XIC", "VE  ", "HM", hold_inbound, 'R', 3000)};
    const std::vector<Leg> missed_27 = {climb(rw27.bearing_tenths, 700), direct("XCO", "NY  ", 'L', 3000),
                                        hold("XCO", "NE  ", "HM", 900, 'R', 3000)};
    const auto entry_09 = [&](const std::string& localizer_ident) {
        return Branch{'A',
                      "XIC",
                      {overhead("XIC", 'V'), straight("XI", "N   ", 2500),
                       procedure_turn("XI", 'N', localizer_ident, back(rw09.bearing_tenths), 'R', 2300)}};
    };
    Procedure ils_09{here, "I09", "XIC", "NS", '0', {entry_09("IXIC")}};
    ils_09.branches.push_back(
        {'I', "",
         joined({final_intercept(marked(start("XOTAG", "IXIC"), "E  I"), 'J', 2300, final_ft),
                 with_angle(
                     final_intercept(along("XI", "N  F", "IXIC", 'H', final_ft), 'H', final_ft, final_ft)),
                 to_runway(here, "RW09", "IXIC")},
                missed_09)});
    records_.procedures.push_back(std::move(ils_09));
    Procedure loc_09{here, "L09", "XIC", "NS", '0', {entry_09("IXIC")}};
    loc_09.branches.push_back(
        {'L', "",
         joined({at_or_above(marked(start("XOTAG", "IXIC"), "E  I"), 2300),
                 along("XI", "N  F", "IXIC", '+', final_ft), to_runway(here, "RW09", "IXIC")},
                missed_09)});
    records_.procedures.push_back(std::move(loc_09));
    const long by_locator = tenths_of_bearing(radial_to("XI", rw09.threshold));
    Procedure ndb{here, "N09", "XIC", "NS", '0', {}};
    ndb.branches = {{'A', "XI", {procedure_turn("XI", 'N', "XI", back(by_locator), 'R', 2300)}},
                    {'N',
                     "",
                     {at_or_above(marked(start("XI", "XI"), "N  F"), final_ft), to_runway(here, "RW09", "XI"),
                      climb(rw09.bearing_tenths, 700), direct("XI", "NY  ", 'R', 2500),
                      hold("XI", "NE  ", "HM", by_locator, 'R', 2500)}}};
    records_.procedures.push_back(std::move(ndb));

    const auto entry_27 = [&] {
        return Branch{'A',
                      "XIC",
                      {overhead("XIC", 'V'), straight("XEFAG", "E   ", 2500),
                       procedure_turn("XEFAG", 'E', "IXIE", back(rw27.bearing_tenths), 'L', 2300)}};
    };
    Procedure ils_27{here, "I27", "XIC", "NS", '0', {entry_27()}};
    ils_27.branches.push_back(
        {'I', "",
         joined({final_intercept(marked(start("XUNET", "IXIE"), "E  I"), 'J', 2300, final_ft),
                 with_angle(
                     final_intercept(along("XEFAG", "E  F", "IXIE", 'H', final_ft), 'H', final_ft, final_ft)),
                 to_runway(here, "RW27", "IXIE")},
                missed_27)});
    records_.procedures.push_back(std::move(ils_27));
    Procedure loc_27{here, "L27", "XIC", "DS", '0', {entry_27()}};
    loc_27.branches.push_back(
        {'L', "",
         joined({at_or_above(marked(start("XUNET", "IXIE"), "E  I"), 2300),
                 along("XEFAG", "E  F", "IXIE", '+', final_ft), to_runway(here, "RW27", "IXIE")},
                missed_27)});
    records_.procedures.push_back(std::move(loc_27));

    departure(here, "XOSIB1",
              {{'1',
                "RW09",
                {until_altitude("CA", rw09.bearing_tenths, 500), until_intercept("CI", 100, 'L'),
                 outbound("XOSIB", "XIC", 3000)}},
               {'1',
                "RW27",
                {until_altitude("CA", rw27.bearing_tenths, 500), direct("XIC", "VY  ", 'R', 1500),
                 along("XOSIB", "E   ", "XIC", '+', 3000)}},
               {'3', "XOLET", {start("XOSIB", "XIC"), along("XOLET", "EE  ", "XIC", '+', 6500)}}});
    arrival(
        here, "XAKOV1",
        {{'1', "XOL", {at_or_above(overhead("XOL", 'V'), 3000), along("XAKOV", "E   ", "XOL", '+', 3000)}},
         {'2', "ALL", {start("XAKOV", "XIC"), along("XIC", "VE  ", "XIC", '+', 2500)}}});
}

}  // namespace omniway::demo_region
