// The airways and their fixes.

#include <utility>
#include <vector>

#include "building.hpp"
#include "leg_words.hpp"

namespace omniway::demo_region {

void Country::en_route_fixes() {
    // V12, over the range.
    fix("XOBAN", toward("XMR", "XRG", arc_nm));
    fix("XODEL", toward("XMR", "XRG", 27.0));
    fix("XEMIR", toward("XMR", "XRG", 62.0));
    fix("XULVE", toward("XRG", "XDV", 38.0));
    fix("XATOR", toward("XDV", "XRG", arc_nm));
    // V14, round the southern end of the range.
    fix("XALBO", toward("XMR", "XOL", arc_nm));
    fix("XIBEN", toward("XOL", "XKE", 24.0));
    fix("XOTHA", toward("XKE", "XOL", 38.0));
    fix("XERNA", toward("XKE", "XDV", 31.0));
    fix("XUVIN", toward("XDV", "XKE", 16.0));
    // V21, V30, V33, V45.
    fix("XIMBA", toward("XNR", "XRG", xenora_arc_nm));
    fix("XYLEN", toward("XNR", "XRG", 34.0));
    fix("XOMBA", toward("XRG", "XNR", 30.0));
    fix("XIVRA", toward("XRG", "XBN", 32.0));
    fix("XINTA", toward("XDV", "XPI", arc_nm));
    fix("XAPOL", toward("XPI", "XDV", 21.0));
    fix("XEFIR", toward("XNR", "XBN", 37.0));
    fix("XELDA", toward("XDV", "XBN", arc_nm));
    // J5.
    fix("XUMBO", toward("XMR", "XRG", 48.0), "R", " H");
    fix("XIKEL", toward("XRG", "XPI", 52.0), "R", " H");
    fix("XORAN", toward("XPI", "XRG", 44.0), "R", " H");
    // A9 and R4, by beacons.
    fix("XUSTA", toward("XCO", "XSL", 36.0));
    fix("XARUM", toward("XGA", "XCO", 41.0));
    // T301 and Q72, by area navigation: on no radial of anything but the stations they join.
    fix("XWENI", toward("XMR", "XDV", 24.0), "W", "RL");
    fix("XWOLA", reached(toward("XMR", "XDV", 98.0), 352.0, 1.2), "W", "RL");
    fix("XWARO", reached(toward("XMR", "XPI", 120.0), 170.0, 2.5), "W", "RH");
    // The north-western coast and the island of Xurlin.
    fix("XIFOV", toward("XMR", "XED", 25.0));
    fix("XADUD", toward("XMR", "XED", 50.0));
    fix("XIRAS", toward("XED", "XAL", 9.0));
    fix("XUMAT", toward("XED", "XAL", 42.0));
    fix("XAGUB", toward("XUR", "XNR", 32.0));
    fix("XUROB", toward("XUR", "XNR", 64.0));
    fix("XEBUG", toward("XUR", "XED", 31.0));
    fix("XIMES", toward("XUR", "XED", 49.0));
    fix("XARIS", toward("XMR", "XUR", 25.0));
    fix("XEDUT", toward("XMR", "XUR", 62.0));
    // The northern coast. XELAS is told by a radial of XRG, which is not heard below its own height; XARAT is a bend.
    fix("XELAS", reached(at("XAL").place, 88.0, 15.0));
    fix("XARAT", reached(at("XAL").place, 88.0, 30.0));
    fix("XINUR", toward("XBN", "XPI", 30.0));
    fix("XUMEM", toward("XBN", "XPI", 65.0));
    fix("XENOB", toward("XNR", "XAL", 23.0));
    fix("XAVUT", toward("XAL", "XRG", 20.0));
    // The south, from the capital round to the eastern city.
    fix("XILIT", toward("XMR", "XEB", 18.0));
    fix("XOROD", toward("XEB", "XIC", 15.0));
    fix("XAKOV", toward("XOL", "XIC", 20.0));
    fix("XABIV", toward("XIC", "XAD", 27.0));
    fix("XUSOL", toward("XIC", "XAD", 54.0));
    fix("XOSIB", toward("XIC", "XKE", 20.0));
    fix("XOLET", toward("XIC", "XKE", 44.0));
    fix("XANAK", toward("XAD", "XDV", 26.0));
    fix("XITOM", toward("XAD", "XDV", 40.0));
    fix("XOGED", toward("XKE", "XAD", 14.0));
    fix("XEFEV", toward("XKE", "XAD", 30.0));
    fix("XEBOT", toward("XEB", "XHU", 9.0));
    fix("XEKIB", toward("XUM", "XDV", 16.0));
    fix("XEMUM", toward("XUM", "XDV", 45.0));
    // Over the southern sea.
    fix("XURIG", toward("XAD", "XOB", 30.0));
    fix("XURAR", toward("XOB", "XPI", arc_nm));
    fix("XUMON", toward("XPI", "XOB", 40.0));
    fix("XODOV", toward("XPI", "XOB", 92.0));
    fix("XENED", toward("XIC", "XSK", 40.0));
    fix("XAZET", toward("XIC", "XSK", 62.0));
    fix("XOFIM", toward("XSL", "XOM", 40.0));
    fix("XULOD", toward("XSL", "XOM", 77.0));
    // High airways.
    fix("XONID", toward("XUR", "XRG", 60.0), "R", " H");
    fix("XEDIL", toward("XRG", "XOB", 45.0), "R", " H");
    fix("XOZES", toward("XRG", "XOB", 90.0), "R", " H");
    fix("XETUB", toward("XOL", "XRG", 52.0), "R", " H");
    fix("XUKAL", toward("XSK", "XOB", 60.0), "R", " H");
    fix("XEPUS", toward("XOB", "XPI", 66.0), "R", " H");
    fix("XISET", toward("XUR", "XMR", 50.0), "R", " H");
    fix("XEVEN", toward("XMR", "XOL", 20.0), "R", " H");
    fix("XITAB", toward("XEV", "XPI", 60.0), "R", " H");
    fix("XINIK", toward("XEV", "XPI", 110.0), "R", " H");
    // And between them.
    fix("XAVED", toward("XMR", "XED", 38.0));
    fix("XUKUD", toward("XED", "XAL", 24.0));
    fix("XAKAG", toward("XUR", "XNR", 48.0));
    fix("XUZED", toward("XMR", "XUR", 43.0));
    fix("XIZAR", toward("XNR", "XAL", 35.0));
    fix("XIREB", toward("XBN", "XPI", 47.0));
    fix("XEKOS", toward("XBN", "XPI", 80.0));
    fix("XOSOS", toward("XIC", "XAD", 40.0));
    fix("XEBAV", toward("XIC", "XKE", 32.0));
    fix("XANEG", toward("XAD", "XDV", 13.0));
    fix("XEBIK", toward("XKE", "XAD", 22.0));
    fix("XIFAM", toward("XUM", "XDV", 31.0));
    fix("XUSEK", toward("XAD", "XOB", 45.0));
    fix("XUVAD", toward("XPI", "XOB", 18.0));
    fix("XITUV", toward("XPI", "XOB", 66.0));
    fix("XAZUV", toward("XIC", "XSK", 20.0));
    fix("XEDAB", toward("XSL", "XOM", 58.0));
    fix("XESID", toward("XOL", "XIC", 30.0));
    fix("XASAV", toward("XUR", "XRG", 30.0), "R", " H");
    fix("XIBOD", toward("XSK", "XOB", 95.0), "R", " H");
    fix("XUPAV", toward("XOB", "XPI", 100.0), "R", " H");
    fix("XAZIK", toward("XUR", "XMR", 78.0), "R", " H");
    fix("XEGOR", toward("XOL", "XRG", 78.0), "R", " H");
    fix("XATEV", toward("XEV", "XPI", 30.0), "R", " H");
    fix("XUGID", toward("XEV", "XPI", 140.0), "R", " H");
    // By area navigation.
    fix("XWUBI", reached(toward("XUR", "XAL", 50.0), 180.0, 2.0), "W", "RL");
    fix("XWEDO", reached(toward("XIC", "XDV", 40.0), 337.0, 1.5), "W", "RL");
    fix("XWOTE", reached(toward("XIC", "XDV", 95.0), 157.0, 1.5), "W", "RL");
    fix("XWAFU", reached(toward("XDV", "XPI", 30.0), 20.0, 2.0), "W", "RL");
    fix("XWIRE", reached(toward("XUR", "XPI", 90.0), 15.0, 3.0), "W", "RH");
    fix("XWUNA", reached(toward("XUR", "XPI", 180.0), 195.0, 3.0), "W", "RH");
    fix("XWOMI", reached(toward("XMR", "XOB", 70.0), 30.0, 2.0), "W", "RH");
    fix("XWESU", reached(toward("XMR", "XOB", 130.0), 210.0, 2.0), "W", "RH");
    fix("XWAPO", reached(toward("XOL", "XPI", 110.0), 155.0, 2.0), "W", "RH");
}

void Country::airways() {
    // Trap: a directional minimum. Eastward, off the mountains, XULVE to XATOR is 6,000 ft; westward, toward them, 9,000 ft.
    records_.airways.push_back({"V12",
                                'O',
                                'L',
                                ' ',
                                {{"XMR", 3000},
                                 {"XOBAN", 4500},
                                 {"XODEL", 7000},
                                 {"XEMIR", 10000},
                                 {"XRG", 10000},
                                 {"XULVE", 6000, 9000},
                                 {"XATOR", 4000},
                                 {"XDV"}}});
    records_.airways.push_back({"V14",
                                'O',
                                'L',
                                ' ',
                                {{"XMR", 3000},
                                 {"XALBO", 3000},
                                 {"XOL", 4000},
                                 {"XIBEN", 5500},
                                 {"XOTHA", 7500},
                                 {"XKE", 6500},
                                 {"XERNA", 4500, 6000},
                                 {"XUVIN", 3500},
                                 {"XDV"}}});
    records_.airways.push_back(
        {"V21",
         'O',
         'L',
         ' ',
         {{"XNR", 3000}, {"XIMBA", 3000}, {"XYLEN", 9000, 6000}, {"XOMBA", 9500}, {"XRG", 9000}, {"XKE"}}});
    records_.airways.push_back({"V30", 'O', 'L', ' ', {{"XRG", 9000}, {"XIVRA", 5500, 9000}, {"XBN"}}});
    // An upper limit that keeps high cruising off: 9,000 ft.
    records_.airways.push_back(
        {"V33",
         'O',
         'L',
         ' ',
         {{"XDV", 3000, 0, 9000}, {"XINTA", 3000, 0, 9000}, {"XAPOL", 3500, 0, 9000}, {"XPI"}}});
    // Trap: a one-way airway, from the northern island to the eastern city and not back.
    records_.airways.push_back(
        {"V45", 'O', 'L', 'F', {{"XNR", 4000}, {"XEFIR", 4000}, {"XBN", 4500}, {"XELDA", 3000}, {"XDV"}}});
    records_.airways.push_back({"J5",
                                'O',
                                'H',
                                ' ',
                                {{"XMR", 18000, 0, 45000},
                                 {"XUMBO", 18000, 0, 45000},
                                 {"XRG", 18000, 0, 45000},
                                 {"XIKEL", 18000, 0, 45000},
                                 {"XORAN", 18000, 0, 45000},
                                 {"XPI"}}});
    records_.airways.push_back(
        {"A9", 'O', 'L', ' ', {{"XIBEN", 4000}, {"XCO", 4000}, {"XUSTA", 3000}, {"XSL"}}});
    records_.airways.push_back({"R4", 'O', 'L', ' ', {{"XGA", 3000}, {"XARUM", 3000}, {"XCO"}}});
    // The north-western coast. A crossing altitude is needed at XIRAS eastbound: the North shoulder rises behind it.
    airway("V16", 'O', 'L', {{"XMR", 3000}, {"XIFOV", 3000}, {"XAVED", 3000}, {"XADUD", 3000}, {"XED"}});
    airway("V18", 'O', 'L', {{"XED", 3000}, {"XIRAS", 7500}, {"XUKUD", 7500}, {"XUMAT", 3000}, {"XAL"}});
    // Over open sea.
    airway("V20", 'O', 'L', {{"XUR", 5000}, {"XAGUB", 5000}, {"XAKAG", 5000}, {"XUROB", 3000}, {"XNR"}});
    airway("V22", 'O', 'L', {{"XUR", 4000}, {"XEBUG", 4000}, {"XIMES", 3000}, {"XED"}});
    // A maximum altitude.
    airway("V41", 'O', 'L',
           {{"XMR", 3000},
            {"XARIS", 5000, 0, 12000},
            {"XUZED", 5000, 0, 12000},
            {"XEDUT", 5000, 0, 12000},
            {"XUR"}});
    // The northern coast. Trap: a dog-leg at XARAT, where the two radials meet.
    airway("V37", 'O', 'L', {{"XNR", 3000}, {"XENOB", 3000}, {"XIZAR", 3000}, {"XAL"}});
    airway("V38", 'O', 'L', {{"XAL", 3000}, {"XAVUT", 9000}, {"XRG"}});
    airway("V39", 'O', 'L', {{"XAL", 3000}, {"XELAS", 3000}, {"XARAT", 3000}, {"XBN"}});
    // Trap: a minimum altitude that is published as not known.
    airway("V47", 'O', 'L',
           {{"XBN", 3000},
            {"XINUR", not_known_ft},
            {"XIREB", not_known_ft},
            {"XUMEM", 3000},
            {"XEKOS", 3000},
            {"XPI"}});
    // The south.
    airway("V24", 'O', 'L', {{"XOL", 3000}, {"XAKOV", 3000}, {"XESID", 3000}, {"XIC"}});
    airway("V25", 'O', 'L', {{"XIC", 3000}, {"XABIV", 3000}, {"XOSOS", 3000}, {"XUSOL", 3500}, {"XAD"}});
    airway("V26", 'O', 'L', {{"XIC", 3000}, {"XOSIB", 6500}, {"XEBAV", 6500}, {"XOLET", 6500}, {"XKE"}});
    airway("V28", 'O', 'L', {{"XAD", 3500}, {"XANEG", 3500}, {"XANAK", 3000}, {"XITOM", 3000}, {"XDV"}});
    airway("V29", 'O', 'L', {{"XMR", 3000}, {"XILIT", 3000}, {"XEB", 3000}, {"XOROD", 3000}, {"XIC"}});
    airway("V31", 'O', 'L', {{"XKE", 6500}, {"XOGED", 6000}, {"XEBIK", 6000}, {"XEFEV", 3000}, {"XAD"}});
    airway("V53", 'O', 'L', {{"XEB", 4000}, {"XEBOT", 4000}, {"XHU"}});
    airway("V54", 'O', 'L', {{"XUM", 6500}, {"XEKIB", 3500}, {"XIFAM", 3500}, {"XEMUM", 3000}, {"XDV"}});
    // Over the southern sea. Trap: V50 has its minimum altitudes for the signal alone.
    airway("V35", 'O', 'L', {{"XAD", 3000}, {"XURIG", 3000}, {"XUSEK", 3000}, {"XOB"}});
    airway("V50", 'O', 'L',
           {{"XPI", 3000},
            {"XUVAD", 3000},
            {"XUMON", 8000},
            {"XITUV", 8000},
            {"XODOV", 5000},
            {"XURAR", 3000},
            {"XOB"}});
    airway("V52", 'O', 'L', {{"XIC", 3000}, {"XAZUV", 3000}, {"XENED", 4000}, {"XAZET", 4000}, {"XSK"}});
    airway("B1", 'O', 'L', {{"XSL", 3000}, {"XOFIM", 3000}, {"XEDAB", 3000}, {"XULOD", 3000}, {"XOM"}});
    // High.
    constexpr long low = 18000;
    constexpr long top = 45000;
    airway("J7", 'O', 'H',
           {{"XUR", low, 0, top},
            {"XASAV", low, 0, top},
            {"XONID", low, 0, top},
            {"XRG", low, 0, top},
            {"XEDIL", low, 0, top},
            {"XOZES", low, 0, top},
            {"XOB"}});
    airway("J9", 'O', 'H', {{"XOL", low, 0, top}, {"XETUB", low, 0, top}, {"XEGOR", low, 0, top}, {"XRG"}});
    airway("J11", 'O', 'H',
           {{"XSK", low, 0, top},
            {"XUKAL", low, 0, top},
            {"XIBOD", low, 0, top},
            {"XOB", low, 0, top},
            {"XEPUS", low, 0, top},
            {"XUPAV", low, 0, top},
            {"XPI"}});
    airway("J13", 'O', 'H',
           {{"XUR", low, 0, top},
            {"XISET", low, 0, top},
            {"XAZIK", low, 0, top},
            {"XMR", low, 0, top},
            {"XEVEN", low, 0, top},
            {"XOL"}});
    airway("J15", 'O', 'H',
           {{"XEV", low, 0, top},
            {"XATEV", low, 0, top},
            {"XITAB", low, 0, top},
            {"XINIK", low, 0, top},
            {"XUGID", low, 0, top},
            {"XPI"}});
}

void Country::rnav_airways() {
    // Trap: an RNAV airway that is the short cut between the capital and the eastern city, and lower than V12 too.
    records_.airways.push_back(
        {"T301",
         'R',
         'L',
         ' ',
         {{"XMR", 3000, 0, 17500}, {"XWENI", 9000, 0, 17500}, {"XWOLA", 8000, 0, 17500}, {"XDV"}}});
    records_.airways.push_back(
        {"Q72", 'R', 'H', ' ', {{"XMR", 18000, 0, 45000}, {"XWARO", 18000, 0, 45000}, {"XPI"}}});
    airway("T303", 'R', 'L', {{"XUR", 3000, 0, 17500}, {"XWUBI", 7500, 0, 17500}, {"XAL"}});
    // Trap: the letter says area navigation, the route type O says official: the letter counts.
    airway("T305", 'O', 'L',
           {{"XIC", 4000, 0, 17500}, {"XWEDO", 4000, 0, 17500}, {"XWOTE", 3500, 0, 17500}, {"XDV"}});
    airway("T307", 'R', 'L', {{"XDV", 3000, 0, 17500}, {"XWAFU", 3500, 0, 17500}, {"XPI"}});
    airway("Q74", 'R', 'H',
           {{"XUR", 18000, 0, 45000}, {"XWIRE", 18000, 0, 45000}, {"XWUNA", 18000, 0, 45000}, {"XPI"}});
    airway("Q76", 'R', 'H',
           {{"XMR", 18000, 0, 45000}, {"XWOMI", 18000, 0, 45000}, {"XWESU", 18000, 0, 45000}, {"XOB"}});
    airway("Y12", 'R', 'H', {{"XOL", 18000, 0, 45000}, {"XWAPO", 18000, 0, 45000}, {"XPI"}});
}

}  // namespace omniway::demo_region
