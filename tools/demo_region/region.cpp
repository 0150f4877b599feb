// The invented country of Xaravel: where everything stands and what is published. Places are worked out here from bearings
// and distances, then rounded; rows.cpp computes every coded figure back from the rounded places.

#include <cmath>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "country.hpp"
#include "place.hpp"
#include "records.hpp"

namespace omniway::demo_region {

namespace {

constexpr double feet_per_nautical_mile = 1852.0 / 0.3048;
constexpr double degree = 0.017453292519943295;
constexpr double arc_nm = 12.0;         // radius of the DME arcs
constexpr double xenora_arc_nm = 15.0;  // but of this one, outside the locator

/// What a runway is built from. The two ends are named by the direction of landing.
struct Strip {
    std::string airport;
    Place middle;
    double true_deg;  // of the end named first
    std::string first;
    std::string second;
    long length_ft;
    long width_ft;
    long first_elevation_ft;
    long second_elevation_ft;
};

class Country {
public:
    Records build() {
        airports();
        stations();
        localizers();
        en_route_fixes();
        airways();
        xamarra();
        xandovel();
        xekellin();
        xenora();
        xusulo();
        xapiren();
        xagilla();
        safe_altitudes();
        return std::move(records_);
    }

private:
    // Small words for what follows.

    const Point& at(const std::string& key) const {
        const auto found = records_.points.find(key);
        if (found == records_.points.end()) {
            throw std::logic_error(fmt::format("no point is called '{}' yet", key));
        }
        return found->second;
    }

    void name(const std::string& key, Point point) {
        if (!records_.points.emplace(key, std::move(point)).second) {
            throw std::logic_error(fmt::format("'{}' is named twice", key));
        }
    }

    const Runway& runway(const std::string& airport, const std::string& ident) const {
        for (const Runway& found : records_.runways) {
            if (found.airport == airport && found.ident == ident) {
                return found;
            }
        }
        throw std::logic_error(fmt::format("{} has no runway {}", airport, ident));
    }

    Runway& runway(const std::string& airport, const std::string& ident) {
        return const_cast<Runway&>(std::as_const(*this).runway(airport, ident));
    }

    int variation_of(const std::string& airport) const { return at(airport).declination_tenths; }

    /// The place on a station's radial, in its own degrees.
    Place on_radial(const std::string& station, double radial_deg, double distance_nm) const {
        const Point& s = at(station);
        return reached(s.place, radial_deg + s.declination_tenths / 10.0, distance_nm);
    }

    double radial_to(const std::string& station, Place place) const {
        return around(between(at(station).place, place).leaving_deg - at(station).declination_tenths / 10.0);
    }

    /// On the straight line from one point toward another.
    Place toward(const std::string& from, const std::string& to, double distance_nm) const {
        return reached(at(from).place, between(at(from).place, at(to).place).leaving_deg, distance_nm);
    }

    /// On the extended centreline, out from the threshold: on the line from the localizer's antenna, or from the far end.
    Place before_threshold(const std::string& airport, const std::string& ident, double distance_nm) const {
        const Runway& end = runway(airport, ident);
        return reached(end.threshold, end.true_deg + 180.0, distance_nm);
    }

    /// How far out a glide path of three degrees is at an altitude.
    double miles_at(const Runway& end, long altitude_ft) const {
        const double climb = static_cast<double>(altitude_ft - end.elevation_ft - end.crossing_height_ft);
        return climb / (feet_per_nautical_mile * std::tan(3.0 * degree));
    }

    /// Where a line out from a threshold meets the DME arc of a station: by halving.
    Place on_arc(const std::string& airport, const std::string& ident, const std::string& station,
                 double radius_nm = arc_nm) const {
        double near_nm = 4.0;
        double far_nm = 20.0;
        for (int i = 0; i < 60; ++i) {
            const double half_nm = (near_nm + far_nm) / 2.0;
            const Place place = before_threshold(airport, ident, half_nm);
            (between(at(station).place, place).distance_nm < radius_nm ? near_nm : far_nm) = half_nm;
        }
        return before_threshold(airport, ident, near_nm);
    }

    void fix(const std::string& ident, Place place, const std::string& type = "R",
             const std::string& usage = " L") {
        records_.fixes.push_back({ident, "", place, type, usage});
        name(ident, {ident, "EA", "", place, variation_tenths(place)});
    }

    void terminal_fix(const std::string& airport, const std::string& ident, Place place,
                      const std::string& type = "R") {
        records_.fixes.push_back({ident, airport, place, type, type == "W" ? "R" : ""});
        name(ident, {ident, "PC", airport, place, variation_tenths(place)});
    }

    // Airports and runways: thresholds about the prevailing westerly and the lie of the land.

    void airport(const std::string& ident, const std::string& called, Place place, long elevation_ft,
                 int variation, char ifr, char surface, char usage) {
        records_.airports.push_back({ident, called, place, elevation_ft, variation, ifr, 0, surface, usage});
        name(ident, {ident, "PA", "", place, variation});
    }

    void strip(const Strip& strip) {
        const double half_nm = static_cast<double>(strip.length_ft) / feet_per_nautical_mile / 2.0;
        const Place first = reached(strip.middle, strip.true_deg + 180.0, half_nm);
        const Place second = reached(strip.middle, strip.true_deg, half_nm);
        end(strip, strip.first, first, second, strip.first_elevation_ft);
        end(strip, strip.second, second, first, strip.second_elevation_ft);
        for (Airport& found : records_.airports) {
            if (found.ident == strip.airport) {
                found.longest_ft = std::max(found.longest_ft, strip.length_ft);
            }
        }
    }

    void end(const Strip& strip, const std::string& ident, Place threshold, Place far, long elevation_ft) {
        const double true_deg = between(threshold, far).leaving_deg;
        const long bearing = tenths_of_bearing(true_deg - variation_of(strip.airport) / 10.0);
        constexpr long visual_crossing_height_ft = 45;
        records_.runways.push_back({strip.airport, ident, strip.length_ft, strip.width_ft, bearing, threshold,
                                    elevation_ft, visual_crossing_height_ft, "", ' ', true_deg});
        name(strip.airport + "/" + ident,
             {ident, "PG", strip.airport, threshold, variation_of(strip.airport)});
    }

    void airports() {
        airport("XMRA", "XAMARRA CAPITAL", Place::degrees(40.338, -171.032), 92, 70, 'Y', 'H', 'C');
        strip({"XMRA", Place::degrees(40.338, -171.032), 99.0, "RW09", "RW27", 10200, 150, 71, 92});
        strip({"XMRA", Place::degrees(40.346, -171.018), 159.0, "RW15", "RW33", 6500, 150, 78, 85});
        airport("XDOV", "XANDOVEL", Place::degrees(40.768, -167.128), 141, 80, 'Y', 'H', 'C');
        strip({"XDOV", Place::degrees(40.768, -167.128), 80.0, "RW07", "RW25", 8800, 150, 141, 112});
        airport("XKEL", "XEKELLIN BASIN", Place::degrees(40.503, -168.832), 2486, 80, 'Y', 'H', 'C');
        strip({"XKEL", Place::degrees(40.503, -168.832), 138.0, "RW13", "RW31", 6800, 100, 2486, 2461});
        airport("XNOR", "XENORA", Place::degrees(42.323, -169.341), 52, 70, 'Y', 'H', 'C');
        strip({"XNOR", Place::degrees(42.323, -169.341), 117.0, "RW11", "RW29", 6200, 150, 52, 41});
        airport("XSUL", "XUSULO", Place::degrees(38.702, -169.708), 37, 70, 'Y', 'H', 'C');
        strip({"XSUL", Place::degrees(38.702, -169.708), 85.0, "RW08", "RW26", 5000, 75, 37, 24});
        airport("XPIR", "XAPIREN", Place::degrees(41.248, -165.948), 214, 80, 'Y', 'H', 'C');
        strip({"XPIR", Place::degrees(41.248, -165.948), 68.0, "RW06", "RW24", 5800, 100, 214, 188});
        airport("XGIL", "XAGILLA", Place::degrees(39.368, -171.928), 61, 70, 'Y', 'H', 'C');
        strip({"XGIL", Place::degrees(39.368, -171.928), 105.0, "RW10", "RW28", 5200, 75, 61, 48});
        // Trap: an airport with a runway and no procedure at all.
        airport("XBRE", "XIBRAND", Place::degrees(41.526, -168.204), 118, 80, 'N', 'H', 'C');
        strip({"XBRE", Place::degrees(41.526, -168.204), 79.0, "RW07", "RW25", 3600, 75, 118, 96});
    }

    // Stations. Today's variation is 6 to 9 degrees east; XMR, XRG, XKE and XBN were last aligned long ago.

    void vhf(const VhfStation& station) {
        records_.vhf_stations.push_back(station);
        name(station.ident, {station.ident, "D ", "", station.place, station.declination_tenths});
    }

    void beacon(const Beacon& beacon) {
        records_.beacons.push_back(beacon);
        name(beacon.ident, {beacon.ident, beacon.airport.empty() ? "DB" : "PN", beacon.airport, beacon.place,
                            variation_tenths(beacon.place) / 10 * 10});
    }

    void stations() {
        // On the centreline of runway 15/33 of the capital, beyond its south-eastern end.
        const Runway& rw33 = runway("XMRA", "RW33");
        vhf({"XMR", "XAMARRA", 11340, "VTHW", reached(rw33.threshold, 159.0, 0.9), 90, 88, '2', ""});
        // On the airport at its eastern end, off the centreline by what the final approach of runway 07 needs.
        const Runway& rw25 = runway("XDOV", "RW25");
        vhf({"XDV", "XANDOVEL", 11080, "VDLW", reached(rw25.threshold, 62.0, 0.35), 80, 121, '1', ""});
        vhf({"XRG", "XORIGAN", 11520, "VTHW", Place::degrees(41.051, -169.152), 100, 6865, '2', ""});
        vhf({"XKE", "XEKELLIN", 11140, "V LW", reached(at("XKEL").place, 97.0, 7.4), 90, 3890, '1', ""});
        const Runway& rw11 = runway("XNOR", "RW11");
        vhf({"XNR", "XENORA", 10860, "VDLW", reached(rw11.threshold, 300.0, 5.0), 70, 96, '1', ""});
        const Runway& rw06 = runway("XPIR", "RW06");
        vhf({"XPI", "XAPIREN", 11460, "VTHW", reached(rw06.threshold, 248.0, 0.6), 80, 246, '2', ""});
        vhf({"XOL", "XOLVANE", 11280, "VTHW", Place::degrees(39.741, -170.553), 70, 618, '2', ""});
        vhf({"XBN", "XUBENNA", 11670, "V LW", Place::degrees(41.487, -168.043), 100, 742, '1', ""});
        vhf({"XTA", "XATALIN", 11710, " DLW", Place::degrees(40.858, -170.918), 70, 1180, '1', ""});

        beacon({"XGA", "XAGILLA", 3260, "H  W", Place::degrees(39.391, -171.861), ""});
        beacon({"XCO", "XICORA", 2740, "H  W", Place::degrees(39.842, -170.062), ""});
        const Runway& rw26 = runway("XSUL", "RW26");
        beacon({"XSL", "XUSULO", 3580, "H  W", reached(rw26.threshold, rw26.true_deg + 180.0, 4.6), ""});
        beacon({"XBR", "XIBRAND", 2290, "H MW", Place::degrees(41.529, -168.181), ""});
        const Runway& rw29 = runway("XNOR", "RW29");
        constexpr long final_ft = 1700;
        beacon({"XN", "XENVA", 2060, "HOLW",
                reached(rw29.threshold, rw29.true_deg + 180.0, miles_at(rw29, final_ft)), "XNOR"});
    }

    void localizer(const std::string& ident, const std::string& airport_ident,
                   const std::string& runway_ident, char category, long frequency_10khz, long beyond_end_ft,
                   const std::string& locator) {
        Runway& end = runway(airport_ident, runway_ident);
        const double antenna_nm = static_cast<double>(end.length_ft + beyond_end_ft) / feet_per_nautical_mile;
        const Place antenna = reached(end.threshold, end.true_deg, antenna_nm);
        const double width_deg =
            2.0 * std::atan(350.0 / static_cast<double>(end.length_ft + beyond_end_ft)) / degree;
        Localizer made{ident,
                       airport_ident,
                       category,
                       frequency_10khz,
                       runway_ident,
                       antenna,
                       end.bearing_tenths,
                       variation_of(airport_ident),
                       beyond_end_ft,
                       std::lround(width_deg * 100.0),
                       {},
                       0,
                       0,
                       0,
                       locator};
        if (category != '0') {
            constexpr long crossing_height_ft = 52;
            constexpr double beside_ft = 400.0;
            constexpr long inside_ft = 1000;
            const Place abeam =
                reached(end.threshold, end.true_deg, static_cast<double>(inside_ft) / feet_per_nautical_mile);
            made.glideslope = reached(abeam, end.true_deg + 90.0, beside_ft / feet_per_nautical_mile);
            made.glideslope_ft_from_threshold = inside_ft;
            made.crossing_height_ft = crossing_height_ft;
            made.glideslope_elevation_ft = end.elevation_ft;
            end.crossing_height_ft = crossing_height_ft;
        }
        end.localizer = ident;
        end.category = category;
        name(ident, {ident, "PI", airport_ident, antenna, made.declination_tenths, true, made.course_tenths});
        records_.localizers.push_back(std::move(made));
    }

    /// The DME of a localizer stands with its antenna.
    void localizer_dme(const std::string& ident, const std::string& called, long elevation_ft) {
        for (const Localizer& found : records_.localizers) {
            if (found.ident == ident) {
                records_.vhf_stations.push_back({ident, called, found.frequency_10khz, " ITW", found.place,
                                                 found.declination_tenths, elevation_ft, '0', found.airport});
            }
        }
    }

    void localizers() {
        localizer("IXMR", "XMRA", "RW27", '1', 11030, 1000, "");
        localizer_dme("IXMR", "XAMARRA CAPITAL", 70);
        localizer("IXDV", "XDOV", "RW25", '1', 10950, 1000, "");
        localizer_dme("IXDV", "XANDOVEL", 145);
        // Trap: the legs along these two code rho distances, yet neither has a DME record.
        localizer("IXKE", "XKEL", "RW31", '0', 11170, 900, "");
        localizer("IXNR", "XNOR", "RW29", '1', 10890, 950, "XN");
    }

    // En-route fixes and airways.

    void en_route_fixes() {
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
    }

    void airways() {
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
        records_.airways.push_back({"V21",
                                    'O',
                                    'L',
                                    ' ',
                                    {{"XNR", 3000},
                                     {"XIMBA", 3000},
                                     {"XYLEN", 9000, 6000},
                                     {"XOMBA", 9500},
                                     {"XRG", 9000},
                                     {"XKE"}}});
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
            {"V45",
             'O',
             'L',
             'F',
             {{"XNR", 4000}, {"XEFIR", 4000}, {"XBN", 4500}, {"XELDA", 3000}, {"XDV"}}});
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
        // Trap: an RNAV airway that is the short cut between the capital and the eastern city, and lower than V12 too.
        records_.airways.push_back(
            {"T301",
             'R',
             'L',
             ' ',
             {{"XMR", 3000, 0, 17500}, {"XWENI", 9000, 0, 17500}, {"XWOLA", 8000, 0, 17500}, {"XDV"}}});
        records_.airways.push_back(
            {"Q72", 'R', 'H', ' ', {{"XMR", 18000, 0, 45000}, {"XWARO", 18000, 0, 45000}, {"XPI"}}});
    }

    // Legs, in the words of an approach plate.

    static Leg initial(const std::string& at_fix, const std::string& navaid, long altitude_ft) {
        Leg leg = start(at_fix, navaid);
        leg.description[3] = 'A';
        leg.altitude_rule = '+';
        leg.altitude_ft = altitude_ft;
        return leg;
    }
    static Leg start(const std::string& at_fix, const std::string& navaid) {
        Leg leg;
        leg.fix = at_fix;
        leg.description = "E   ";
        leg.path = "IF";
        leg.navaid = navaid;
        return leg;
    }
    /// From a station to begin with: no radial is needed to be there.
    static Leg overhead(const std::string& station, char letter) {
        Leg leg;
        leg.fix = station;
        leg.description = std::string(1, letter) + "   ";
        leg.path = "IF";
        return leg;
    }
    static Leg straight(const std::string& to, const std::string& description, long altitude_ft) {
        Leg leg;
        leg.fix = to;
        leg.description = description;
        leg.path = "TF";
        leg.altitude_rule = '+';
        leg.altitude_ft = altitude_ft;
        return leg;
    }
    static Leg arc(const std::string& to, const std::string& station, char turn, long altitude_ft) {
        Leg leg = straight(to, "EE B", altitude_ft);
        leg.path = "AF";
        leg.navaid = station;
        leg.turn = turn;
        leg.course = CourseFrom::navaid;
        leg.distance_tenths = 0;
        return leg;
    }
    static Leg along(const std::string& to, const std::string& description, const std::string& navaid,
                     char rule, long altitude_ft) {
        Leg leg;
        leg.fix = to;
        leg.description = description;
        leg.path = "CF";
        leg.navaid = navaid;
        leg.course = CourseFrom::navaid;
        leg.distance = true;
        leg.altitude_rule = rule;
        leg.altitude_ft = altitude_ft;
        return leg;
    }
    /// A 45/180 procedure turn. The coded course is the first turn's, 45 degrees off the outbound course on the side away from
    /// the 180 degree turn that follows (trade-facts 13.9).
    static Leg procedure_turn(const std::string& at_fix, char letter, const std::string& navaid,
                              long outbound_tenths, char turn, long altitude_ft) {
        Leg leg = start(at_fix, navaid);
        leg.description = std::string(1, letter) + "E A";
        leg.path = "PI";
        leg.turn = turn;
        leg.course = CourseFrom::given;
        leg.course_tenths = (outbound_tenths + (turn == 'R' ? 3150 : 450)) % 3600;
        leg.distance_tenths = 100;
        leg.altitude_rule = '+';
        leg.altitude_ft = altitude_ft;
        return leg;
    }
    static Leg hold(const std::string& at_fix, const std::string& description, const std::string& path,
                    long inbound_tenths, char turn, long altitude_ft) {
        Leg leg;
        leg.fix = at_fix;
        leg.description = description;
        leg.path = path;
        leg.turn = turn;
        leg.course = CourseFrom::given;
        leg.course_tenths = inbound_tenths;
        leg.time = "T010";
        leg.altitude_rule = '+';
        leg.altitude_ft = altitude_ft;
        return leg;
    }
    static Leg climb(long course_tenths, long altitude_ft) {
        Leg leg;
        leg.description = "  M ";
        leg.path = "CA";
        leg.course = CourseFrom::given;
        leg.course_tenths = course_tenths;
        leg.altitude_rule = '+';
        leg.altitude_ft = altitude_ft;
        return leg;
    }
    static Leg direct(const std::string& to, const std::string& description, char turn, long altitude_ft) {
        Leg leg = straight(to, description, altitude_ft);
        leg.path = "DF";
        leg.turn = turn;
        return leg;
    }

    /// The runway as missed approach point, at the height of the glide path over its threshold.
    Leg to_runway(const std::string& airport_ident, const std::string& runway_ident,
                  const std::string& navaid) const {
        const Runway& end = runway(airport_ident, runway_ident);
        Leg leg = along(airport_ident + "/" + runway_ident, "GY M", navaid, ' ',
                        end.elevation_ft + end.crossing_height_ft);
        leg.angle_hundredths = -300;
        return leg;
    }
    Leg to_point(const std::string& fix_ident, const std::string& navaid, long altitude_ft,
                 long angle) const {
        Leg leg = along(fix_ident, "EY M", navaid, ' ', altitude_ft);
        leg.angle_hundredths = angle;
        return leg;
    }
    static Leg final_intercept(Leg leg, char rule, long altitude_ft, long glide_path_ft) {
        leg.altitude_rule = rule;
        leg.altitude_ft = altitude_ft;
        leg.altitude_2_ft = glide_path_ft;
        return leg;
    }
    static Leg at_or_above(Leg leg, long altitude_ft) {
        leg.altitude_rule = '+';
        leg.altitude_ft = altitude_ft;
        return leg;
    }
    static Leg with_angle(Leg leg) {
        leg.angle_hundredths = -300;
        return leg;
    }
    Leg marked(Leg leg, const std::string& description) const {
        leg.description = description;
        return leg;
    }

    long radial_tenths(const std::string& station, const std::string& to) const {
        return tenths_of_bearing(radial_to(station, at(to).place));
    }
    static long back(long course_tenths) { return (course_tenths + 1800) % 3600; }

    // The capital, on the windward coast.

    void xamarra() {
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
        Approach ils{here, "I27", "XMR", "NS", '0', entries("IXMR")};
        ils.branches.push_back(
            {'I', "",
             joined({final_intercept(marked(start("XIPAL", "IXMR"), "E  I"), 'J', 3000, final_27_ft),
                     with_angle(final_intercept(along("XUDER", "E  F", "IXMR", 'H', final_27_ft), 'H',
                                                final_27_ft, final_27_ft)),
                     to_runway(here, "RW27", "IXMR")},
                    missed_27)});
        records_.approaches.push_back(std::move(ils));

        Approach loc{here, "L27", "XMR", "DS", '0', entries("IXMR")};
        loc.branches.push_back(
            {'L', "",
             joined({at_or_above(marked(start("XIPAL", "IXMR"), "E  I"), 3000),
                     along("XUDER", "E  F", "IXMR", '+', final_27_ft),
                     with_angle(along("XAFIN", "E S ", "IXMR", '+', 940)), to_runway(here, "RW27", "IXMR")},
                    missed_27)});
        records_.approaches.push_back(std::move(loc));

        // The back course, from the sea; the needle works in reverse.
        const long back_course = back(at("IXMR").localizer_course_tenths);
        Approach back_course_09{here, "B09", "XMR", "DS", '0', {}};
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
        records_.approaches.push_back(std::move(back_course_09));

        Approach vor_dme{here, "D15", "XMR", " S", '0', {}};
        vor_dme.branches = {{'A', "XOBAN", {initial("XOBAN", "XMR", 4000), arc("XEVAR", "XMR", 'L', 3000)}},
                            {'D',
                             "",
                             {at_or_above(marked(start("XEVAR", "XMR"), "E  I"), 3000),
                              along("XOPIL", "E  F", "XMR", '+', 1700), to_runway(here, "RW15", "XMR"),
                              climb(rw15.bearing_tenths, 800), direct("XMR", "VY  ", 'R', 3000),
                              hold("XMR", "VE  ", "HM", 900, 'R', 3000)}}};
        records_.approaches.push_back(std::move(vor_dme));

        terminal_fix(here, "XWIMA", before_threshold(here, "RW27", 11.5), "W");
        terminal_fix(here, "XWUDE", before_threshold(here, "RW27", miles_at(rw27, 1800)), "W");
        terminal_fix(here, "XWAKO", reached(rw09.threshold, 279.0, 12.0), "W");
        records_.approaches.push_back(area_navigation(
            here, "R27", "RW27", {"XWENI", "XWIMA", "XWUDE", "XWAKO"}, {4000, 3000, 1800, 3000}, 700));
    }

    static std::vector<Leg> joined(std::vector<Leg> first, const std::vector<Leg>& second) {
        first.insert(first.end(), second.begin(), second.end());
        return first;
    }

    /// Initial, intermediate, final and missed approach fixes with their altitudes.
    Approach area_navigation(const std::string& airport_ident, const std::string& ident,
                             const std::string& runway_ident, const std::vector<std::string>& fixes,
                             const std::vector<long>& altitudes_ft, long climb_ft) const {
        const auto track = [](Leg leg) {
            leg.course = CourseFrom::local;
            leg.distance = true;
            return leg;
        };
        const Runway& end = runway(airport_ident, runway_ident);
        Leg entry = initial(fixes[0], "", altitudes_ft[0]);
        Leg intermediate = track(straight(fixes[1], "EE B", altitudes_ft[1]));
        Leg runway_leg = track(straight(airport_ident + "/" + runway_ident, "GY M", 0));
        runway_leg.altitude_rule = ' ';
        runway_leg.altitude_ft = end.elevation_ft + end.crossing_height_ft;
        runway_leg.angle_hundredths = -300;
        Approach made{airport_ident, ident, airport_ident + "/" + runway_ident, "PS", 'B', {}};
        made.branches = {
            {'A', fixes[0], {entry, intermediate}},
            {'R',
             "",
             {at_or_above(marked(start(fixes[1], ""), "E  I"), altitudes_ft[1]),
              track(straight(fixes[2], "E  F", altitudes_ft[2])), runway_leg,
              climb(end.bearing_tenths, climb_ft), direct(fixes[3], "EY  ", ' ', altitudes_ft[3]),
              hold(fixes[3], "EE  ", "HM", back(end.bearing_tenths), 'L', altitudes_ft[3])}}};
        return made;
    }

    // The eastern city, in the lee of the range: traffic comes over the mountains and lands into the wind from the sea.

    void xandovel() {
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
        Approach ils{here, "I25", "XDV", "NS", '0', entries("IXDV")};
        ils.branches.push_back(
            {'I', "",
             joined({final_intercept(marked(start("XELUN", "IXDV"), "E  I"), 'J', 2600, final_25_ft),
                     with_angle(final_intercept(along("XODAR", "E  F", "IXDV", 'H', final_25_ft), 'H',
                                                final_25_ft, final_25_ft)),
                     to_runway(here, "RW25", "IXDV")},
                    missed)});
        records_.approaches.push_back(std::move(ils));

        Approach loc{here, "L25", "XDV", "DS", '0', entries("IXDV")};
        loc.branches.push_back(
            {'L', "",
             joined({at_or_above(marked(start("XELUN", "IXDV"), "E  I"), 2600),
                     along("XODAR", "E  F", "IXDV", '+', final_25_ft), to_runway(here, "RW25", "IXDV")},
                    missed)});
        records_.approaches.push_back(std::move(loc));

        // Straight in from the west along the last radial of V14, whose fix XUVIN is the initial fix; from V12 by an arc.
        const double inbound_deg = radial_to("XDV", at("XKE").place);
        const double to_threshold_nm = between(at("XDV").place, rw07.threshold).distance_nm;
        terminal_fix(here, "XIRUM", on_radial("XDV", inbound_deg, arc_nm));
        terminal_fix(here, "XEGUL", on_radial("XDV", inbound_deg, to_threshold_nm + miles_at(rw07, 1900)));
        terminal_fix(here, "XAMIP", on_radial("XDV", inbound_deg, to_threshold_nm));
        Approach vor_dme{here, "D07", "XDV", " S", '0', {}};
        vor_dme.branches = {
            {'A', "XATOR", {initial("XATOR", "XDV", 4000), arc("XIRUM", "XDV", 'L', 3500)}},
            {'A', "XUVIN", {initial("XUVIN", "XDV", 3500), along("XIRUM", "EE B", "XDV", '+', 3500)}},
            {'D',
             "",
             {at_or_above(marked(start("XIRUM", "XDV"), "E  I"), 3500),
              along("XEGUL", "E  F", "XDV", '+', 1900),
              to_point("XAMIP", "XDV", rw07.elevation_ft + rw07.crossing_height_ft, -300),
              climb(rw07.bearing_tenths, 700), direct("XDV", "VY  ", 'L', 4000),
              hold("XDV", "VE  ", "HM", hold_inbound, 'R', 4000)}}};
        records_.approaches.push_back(std::move(vor_dme));
    }

    // The basin between the mountains.

    void xekellin() {
        const std::string here = "XKEL";
        const Runway& rw31 = runway(here, "RW31");
        constexpr long final_31_ft = 4100;
        terminal_fix(here, "XOGRI", before_threshold(here, "RW31", 9.5));
        terminal_fix(here, "XULAK", before_threshold(here, "RW31", miles_at(rw31, final_31_ft)));
        const long hold_inbound = back(radial_tenths("XKE", "XERNA"));
        // Both fixes on the localizer are crossed by radials of XKE: no DME, no glideslope, no beacon, two receivers. Entry by
        // a hold in lieu of a procedure turn.
        Approach loc{here, "L31", "XKE", "NS", '0', {}};
        Leg hold_in_lieu = hold("XOGRI", "EE A", "HF", rw31.bearing_tenths, 'R', 5500);
        hold_in_lieu.navaid = "IXKE";
        loc.branches = {{'A', "XKE", {overhead("XKE", 'V'), straight("XOGRI", "EY  ", 6500), hold_in_lieu}},
                        {'L',
                         "",
                         {at_or_above(marked(start("XOGRI", "IXKE"), "E  I"), 5500),
                          along("XULAK", "E  F", "IXKE", '+', final_31_ft), to_runway(here, "RW31", "IXKE"),
                          climb(rw31.bearing_tenths, 3200), direct("XKE", "VY  ", 'R', 7500),
                          hold("XKE", "VE  ", "HM", hold_inbound, 'R', 7500)}}};
        records_.approaches.push_back(std::move(loc));

        // The final fix is the VOR itself; the missed approach point is found by time. One receiver is enough.
        const double field_deg = radial_to("XKE", at(here).place);
        terminal_fix(here, "XEKAM", on_radial("XKE", field_deg, 6.2));
        const long outbound = tenths_of_bearing(field_deg + 180.0);
        Approach vor{here, "VOR-A", "XKE", "NC", '0', {}};
        vor.branches = {{'A', "XKE", {procedure_turn("XKE", 'V', "XKE", outbound, 'R', 6500)}},
                        {'V',
                         "",
                         {at_or_above(marked(start("XKE", "XKE"), "V  F"), 5700),
                          to_point("XEKAM", "XKE", 3760, 0), marked(direct("XKE", "VYM ", 'R', 7500), "VYM "),
                          hold("XKE", "VE  ", "HM", hold_inbound, 'R', 7500)}}};
        records_.approaches.push_back(std::move(vor));
    }

    // The northern island.

    void xenora() {
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
        Approach ils{here, "I29", "XNR", "NS", '0', entries()};
        ils.branches.push_back(
            {'I', "",
             joined({final_intercept(marked(start("XUNOR", "IXNR"), "E  I"), 'J', 2300, final_29_ft),
                     with_angle(final_intercept(along("XN", "N  F", "IXNR", 'H', final_29_ft), 'H',
                                                final_29_ft, final_29_ft)),
                     to_runway(here, "RW29", "IXNR")},
                    missed)});
        records_.approaches.push_back(std::move(ils));
        Approach loc{here, "L29", "XNR", "NS", '0', entries()};
        loc.branches.push_back(
            {'L', "",
             joined({at_or_above(marked(start("XUNOR", "IXNR"), "E  I"), 2300),
                     along("XN", "N  F", "IXNR", '+', final_29_ft), to_runway(here, "RW29", "IXNR")},
                    missed)});
        records_.approaches.push_back(std::move(loc));

        const long final_11 = radial_tenths("XNR", "XNOR/RW11");
        Approach vor{here, "S11", "XNR", "NS", '0', {}};
        vor.branches = {
            {'A', "XNR", {procedure_turn("XNR", 'V', "XNR", back(final_11), 'R', 2200)}},
            {'S',
             "",
             {at_or_above(marked(start("XNR", "XNR"), "V  F"), 1700), to_runway(here, "RW11", "XNR"),
              climb(rw11.bearing_tenths, 500), direct("XNR", "VY  ", 'R', 2500),
              hold("XNR", "VE  ", "HM", hold_inbound, 'R', 2500)}}};
        records_.approaches.push_back(std::move(vor));
    }

    // The southern island: one beacon.

    void xusulo() {
        const std::string here = "XSUL";
        const Runway& rw26 = runway(here, "RW26");
        const long inbound = tenths_of_bearing(radial_to("XSL", rw26.threshold));
        Approach ndb{here, "N26", "XSL", " S", '0', {}};
        ndb.branches = {{'A', "XSL", {procedure_turn("XSL", 'N', "XSL", back(inbound), 'L', 2200)}},
                        {'N',
                         "",
                         {at_or_above(marked(start("XSL", "XSL"), "N  F"), 1500),
                          to_runway(here, "RW26", "XSL"), climb(rw26.bearing_tenths, 700),
                          direct("XSL", "NY  ", 'R', 2200), hold("XSL", "NE  ", "HM", inbound, 'R', 2200)}}};
        records_.approaches.push_back(std::move(ndb));
    }

    // The eastern island.

    void xapiren() {
        const std::string here = "XPIR";
        const Runway& rw24 = runway(here, "RW24");
        const double final_deg = radial_to("XPI", rw24.threshold);
        const double to_threshold_nm = between(at("XPI").place, rw24.threshold).distance_nm;
        terminal_fix(here, "XIGAN", on_radial("XPI", final_deg, arc_nm));
        terminal_fix(here, "XUPRA", on_radial("XPI", final_deg, to_threshold_nm + 5.1));
        // Trap: the initial fix has no row of its own. Only the leg tells where it is: 318 degrees and 12 miles of XPI.
        name("XIVOK", {"XIVOK", "EA", "", on_radial("XPI", 318.0, arc_nm), 0, false});
        const long hold_inbound = radial_tenths("XPI", "XIGAN");
        Approach vor_dme{here, "D24", "XPI", " S", '0', {}};
        Leg out = straight("XIVOK", "E  A", 4500);
        out.navaid = "XPI";
        vor_dme.branches = {{'A', "XIVOK", {initial("XIVOK", "XPI", 4500), arc("XIGAN", "XPI", 'R', 4000)}},
                            {'A', "XPI", {overhead("XPI", 'V'), out, arc("XIGAN", "XPI", 'R', 4000)}},
                            {'D',
                             "",
                             {at_or_above(marked(start("XIGAN", "XPI"), "E  I"), 4000),
                              along("XUPRA", "E  F", "XPI", '+', 1900), to_runway(here, "RW24", "XPI"),
                              climb(rw24.bearing_tenths, 1000), direct("XPI", "VY  ", 'L', 4500),
                              hold("XPI", "VE  ", "HM", back(hold_inbound), 'L', 4500)}}};
        records_.approaches.push_back(std::move(vor_dme));
    }

    // The western island. Trap: its only approach is by area navigation.

    void xagilla() {
        const std::string here = "XGIL";
        const Runway& rw28 = runway(here, "RW28");
        const Place intermediate = before_threshold(here, "RW28", 11.0);
        terminal_fix(here, "XWELU", intermediate, "W");
        terminal_fix(here, "XWILO", reached(intermediate, rw28.true_deg + 90.0, 5.0), "W");
        terminal_fix(here, "XWAGA", before_threshold(here, "RW28", miles_at(rw28, 1700)), "W");
        terminal_fix(here, "XWORA", reached(rw28.threshold, rw28.true_deg, 10.0), "W");
        records_.approaches.push_back(area_navigation(
            here, "R28", "RW28", {"XWILO", "XWELU", "XWAGA", "XWORA"}, {2500, 2500, 1700, 2500}, 600));
    }

    // Minimum sector altitudes; bearings are toward the centre.

    void safe_altitudes() {
        records_.safe_altitudes = {
            {"XMRA", "XMR", {{180, 300, 2600}, {300, 180, 1800}}},
            {"XDOV", "XDV", {{340, 180, 3900}, {180, 340, 1800}}},
            {"XKEL", "XKE", {{80, 180, 6600}, {180, 260, 5300}, {260, 80, 5900}}},
            {"XNOR", "XNR", {{180, 180, 3300}}},
            {"XSUL", "XSL", {{180, 180, 2800}}},
            {"XPIR", "XPI", {{180, 180, 4000}}},
            {"XGIL", "XGIL/RW28", {{180, 180, 2500}}},
        };
    }

    Records records_;
};

}  // namespace

Records country_records() {
    return Country().build();
}

}  // namespace omniway::demo_region
