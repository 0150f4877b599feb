// What stands by itself: aids that belong to no airport, and the minimum sector altitudes of all airports.

#include "building.hpp"

namespace omniway::demo_region {

// Today's variation is 6 to 9 degrees east; XMR, XRG, XKE, XBN and XTE were last aligned long ago.
void Country::stations() {
    vhf({"XRG", "XORIGAN", 11520, "VTHW", Place::degrees(41.051, -169.152), 100, 6865, '2', ""});
    vhf({"XOL", "XOLVANE", 11280, "VTHW", Place::degrees(39.741, -170.553), 70, 618, '2', ""});
    vhf({"XBN", "XUBENNA", 11670, "V LW", Place::degrees(41.487, -168.043), 100, 742, '1', ""});
    vhf({"XTA", "XATALIN", 11710, " DLW", Place::degrees(40.858, -170.918), 70, 1180, '1', ""});

    // Trap: a VOR and its DME 1.2 miles apart on one ident and frequency (N in column 32).
    const Place xebban = Place::degrees(40.220, -170.250);
    vhf({"XEB", "XEBBAN", 11370, "VDHWN", xebban, 70, 390, '2', "", reached(xebban, 40.0, 1.2)});
    // Trap: a VOR of the low class and a lone DME of the high class beside it, each with its own ident.
    vhf({"XLO", "XEGLAND", 10840, "V TW", Place::degrees(39.338, -171.884), 70, 560, '0', ""});
    vhf({"XGI", "XAGILLA HEAD", 11730, " DHW", Place::degrees(39.270, -171.940), 70, 1436, '2', ""});
    // Trap: a TACAN gives distance only to a civil receiver.
    vhf({"XTK", "XATUKA", 11410, " THW", Place::degrees(40.700, -170.800), 70, 292, '7', ""});
    // On summits.
    vhf({"XEV", "XEVRIN", 11450, "V HW", Place::degrees(41.250, -169.620), 70, 6616, '2', ""});
    vhf({"XTE", "XUTHEEN", 11480, "VTLW", Place::degrees(40.580, -169.250), 100, 6316, '1', ""});
    vhf({"XUM", "XUMARL", 11550, "VDLW", Place::degrees(40.980, -168.500), 80, 4216, '1', ""});
    vhf({"XHU", "XOLT", 11600, "VTLW", Place::degrees(40.450, -170.000), 70, 2616, '1', ""});
    vhf({"XOD", "XADROW HILLS", 11640, "V LW", Place::degrees(40.260, -168.380), 80, 3616, '1', ""});
    vhf({"XIN", "XINNICK", 10880, " DTW", Place::degrees(40.420, -167.750), 80, 2216, '0', ""});
    vhf({"XSH", "XALDUR NORTH", 11770, " DLW", Place::degrees(41.450, -169.800), 70, 5216, '1', ""});
    vhf({"XEN", "XENNET", 11020, "VDTW", Place::degrees(42.460, -169.250), 70, 2316, '0', ""});
    vhf({"XPA", "XAPRA", 10820, "VTTW", Place::degrees(41.365, -165.985), 80, 2606, '0', ""});
    vhf({"XSK", "XUSK", 11620, "V HW", Place::degrees(38.610, -169.760), 70, 1766, '2', ""});

    beacon({"XGA", "XAGILLA", 3260, "H  W", Place::degrees(39.391, -171.861), ""});
    beacon({"XCO", "XICORA", 2740, "H  W", Place::degrees(39.842, -170.062), ""});
    beacon({"XBR", "XIBRAND", 2290, "H MW", Place::degrees(41.529, -168.181), ""});
    // Trap: a beacon with the ident of a VORTAC on the same island.
    beacon({"XUR", "XURLIN", 3920, "H HW", Place::degrees(41.930, -171.570), ""}, "NDB/XUR");
}

void Country::safe_altitudes() {
    records_.safe_altitudes = {
        {"XMRA", "XMR", {{180, 300, 2600}, {300, 180, 1800}}},
        {"XDOV", "XDV", {{340, 180, 3900}, {180, 340, 1800}}},
        {"XKEL", "XKE", {{80, 180, 6600}, {180, 260, 5300}, {260, 80, 5900}}},
        {"XNOR", "XNR", {{180, 180, 3300}}},
        {"XSUL", "XSL", {{180, 180, 2800}}},
        {"XPIR", "XPI", {{180, 180, 4000}}},
        {"XGIL", "XGIL/RW28", {{180, 180, 2500}}},
        {"XEDD", "XED", {{180, 180, 6300}}},
        {"XALD", "XAL", {{180, 180, 5400}}},
        {"XICO", "XIC", {{180, 180, 3600}}},
        {"XADR", "XAD", {{180, 180, 4600}}},
        {"XORR", "XORR/RW24", {{180, 180, 3200}}},
        {"XURL", "XUR", {{180, 180, 2000}}},
        {"XOMB", "XOB", {{180, 180, 2000}}},
    };
}

}  // namespace omniway::demo_region
