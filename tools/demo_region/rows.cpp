#include <algorithm>
#include <cmath>
#include <cstddef>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "country.hpp"
#include "place.hpp"
#include "records.hpp"
#include "row.hpp"

namespace omniway::demo_region {

namespace {

constexpr std::string_view area = "PAC";
constexpr std::string_view region = "XA";
constexpr std::string_view cycle = "2612";
constexpr std::string_view datum = "NAR";
constexpr std::string_view transition_ft = "18000";

std::string declination_text(int tenths_east) {
    return fmt::format("{}{:04}", tenths_east < 0 ? 'W' : 'E', std::abs(tenths_east));
}

/// The same direction as seen from a station or place, in tenths of its magnetic degrees.
long magnetic(double true_deg, int declination_tenths) {
    return tenths_of_bearing(true_deg - declination_tenths / 10.0);
}

long reciprocal(long course_tenths) {
    return (course_tenths + 1800) % 3600;
}

std::string without_airport(const std::string& key) {
    const std::size_t slash = key.find('/');
    return slash == std::string::npos ? key : key.substr(slash + 1);
}

class Writer {
public:
    Writer(const Records& records, int moved_east_deg) : records_(records), moved_(moved_east_deg) {}

    std::string text() {
        for (const VhfStation& station : records_.vhf_stations) {
            add(vhf_row(station));
        }
        for (const Beacon& beacon : records_.beacons) {
            add(beacon_row(beacon));
        }
        for (const Fix& fix : records_.fixes) {
            if (fix.airport.empty()) {
                add(fix_row(fix));
            }
        }
        for (const Airport& airport : records_.airports) {
            add_airport(airport);
        }
        for (const Airway& airway : records_.airways) {
            add_airway(airway);
        }
        for (int south = 37; south <= 43; ++south) {
            add(grid_row(south));
        }
        return header() + body_;
    }

private:
    const Point& point(const std::string& key) const {
        const auto found = records_.points.find(key);
        if (found == records_.points.end()) {
            throw std::logic_error(fmt::format("no point is called '{}'", key));
        }
        return found->second;
    }

    void add(Row row) {
        ++rows_;
        row.number(124, 128, rows_).put(129, 132, cycle);
        body_ += row.text();
        body_ += '\n';
    }

    /// Trade-facts 13.0. The time is that of the cycle, not of the clock, and the check sum of columns 125-132 is left out.
    std::string header() const {
        std::string all;
        Row first;
        first.put(1, 5, "HDR01")
            .put(6, 20, "XARAVELDEMO18")
            .put(21, 23, "001")
            .put(24, 24, "P")
            .put(25, 28, "0132");
        first.number(29, 35, rows_).put(36, 39, cycle).put(42, 52, "26-NOV-2026").put(53, 60, "00:00:00");
        first.put(63, 123, "INVENTED COUNTRY OF XARAVEL, NOT FOR NAVIGATION");
        all += first.text() + '\n';
        Row second;
        second.put(1, 5, "HDR02")
            .put(6, 123, "AN INVENTED REGION FOR TRAINING AND TESTS; NOTHING IN IT EXISTS");
        all += second.text() + '\n';
        return all;
    }

    void put_place(Row& row, std::size_t first, Place place) const {
        row.put(first, first + 8, latitude_text(place));
        row.put(first + 9, first + 18, longitude_text(place, moved_));
    }

    Row vhf_row(const VhfStation& station) const {
        Row row;
        row.put(1, 1, "S").put(2, 4, area).put(5, 5, "D");
        if (!station.airport.empty()) {
            row.put(7, 10, station.airport).put(11, 12, region);
        }
        row.put(14, 17, station.ident).put(20, 21, region).put(22, 22, "0");
        row.number(23, 27, station.frequency_10khz).put(28, 32, station.vhf_class);
        const bool vor = station.vhf_class[0] == 'V';
        const bool dme = station.vhf_class[1] != ' ';
        if (vor) {
            put_place(row, 33, station.place);
        }
        if (dme) {
            if (!vor) {
                row.put(52, 55, station.ident);
            }
            put_place(row, 56, station.distance_place.value_or(station.place));
            row.number(80, 84, station.elevation_ft);
        }
        row.put(75, 79, declination_text(station.declination_tenths));
        row.put(85, 85, std::string(1, station.merit)).put(91, 93, datum).put(94, 123, station.name);
        return row;
    }

    Row beacon_row(const Beacon& beacon) const {
        Row row;
        row.put(1, 1, "S").put(2, 4, area);
        if (beacon.airport.empty()) {
            row.put(5, 6, "DB");
        } else {
            row.put(5, 6, "PN").put(7, 10, beacon.airport).put(11, 12, region);
        }
        row.put(14, 17, beacon.ident).put(20, 21, region).put(22, 22, "0");
        row.number(23, 27, beacon.frequency_100hz).put(28, 32, beacon.beacon_class);
        put_place(row, 33, beacon.place);
        row.put(75, 79, declination_text(variation_tenths(beacon.place) / 10 * 10));
        row.put(91, 93, datum).put(94, 123, beacon.name);
        return row;
    }

    Row fix_row(const Fix& fix) const {
        Row row;
        row.put(1, 1, "S").put(2, 4, area);
        if (fix.airport.empty()) {
            row.put(5, 6, "EA").put(7, 10, "ENRT");
        } else {
            row.put(5, 5, "P").put(7, 10, fix.airport).put(11, 12, region).put(13, 13, "C");
        }
        row.put(14, 18, fix.ident).put(20, 21, region).put(22, 22, "0");
        row.put(27, 29, fix.type).put(30, 31, fix.usage);
        put_place(row, 33, fix.place);
        row.put(75, 79, declination_text(variation_tenths(fix.place)));
        row.put(85, 87, datum).put(99, 123, fix.ident);
        return row;
    }

    Row airport_part(const std::string& airport, char subsection) const {
        Row row;
        row.put(1, 1, "S").put(2, 4, area).put(5, 5, "P").put(7, 10, airport).put(11, 12, region);
        row.put(13, 13, std::string(1, subsection));
        return row;
    }

    void add_airport(const Airport& airport) {
        add(airport_row(airport));
        for (const Fix& fix : records_.fixes) {
            if (fix.airport == airport.ident) {
                add(fix_row(fix));
            }
        }
        for (const char subsection : {'D', 'E', 'F'}) {
            for (const Procedure& procedure : records_.procedures) {
                if (procedure.airport == airport.ident && procedure.subsection == subsection) {
                    add_procedure(procedure);
                }
            }
        }
        for (const Runway& runway : records_.runways) {
            if (runway.airport == airport.ident) {
                add(runway_row(runway));
            }
        }
        for (const Localizer& localizer : records_.localizers) {
            if (localizer.airport == airport.ident) {
                add(localizer_row(localizer));
            }
        }
        for (const Marker& marker : records_.markers) {
            if (marker.airport == airport.ident) {
                add(marker_row(marker));
            }
        }
        for (const SafeAltitudes& safe : records_.safe_altitudes) {
            if (safe.airport == airport.ident) {
                add(safe_altitude_row(safe));
            }
        }
    }

    Row airport_row(const Airport& airport) const {
        Row row = airport_part(airport.ident, 'A');
        row.put(22, 22, "0").number(28, 30, airport.longest_ft / 100);
        row.put(31, 31, std::string(1, airport.ifr)).put(32, 32, std::string(1, airport.surface));
        put_place(row, 33, airport.place);
        row.put(52, 56, declination_text(airport.variation_tenths)).number(57, 61, airport.elevation_ft);
        row.put(71, 75, transition_ft).put(76, 80, transition_ft).put(81, 81, std::string(1, airport.usage));
        row.put(86, 86, "M").put(87, 89, datum).put(94, 123, airport.name);
        return row;
    }

    Row runway_row(const Runway& runway) const {
        Row row = airport_part(runway.airport, 'G');
        row.put(14, 18, runway.ident).put(22, 22, "0").number(23, 27, runway.length_ft);
        row.number(28, 31, runway.bearing_tenths);
        put_place(row, 33, runway.threshold);
        row.number(67, 71, runway.elevation_ft).put(72, 75, "0000").number(76, 77, runway.crossing_height_ft);
        row.number(78, 80, runway.width_ft).put(81, 81, runway.category == '1' ? "I" : "D");
        row.put(82, 85, runway.localizer).put(86, 86, std::string(1, runway.category));
        return row;
    }

    Row localizer_row(const Localizer& localizer) const {
        Row row = airport_part(localizer.airport, 'I');
        row.put(14, 17, localizer.ident).put(18, 18, std::string(1, localizer.category)).put(22, 22, "0");
        row.number(23, 27, localizer.frequency_10khz).put(28, 32, localizer.runway);
        put_place(row, 33, localizer.place);
        row.number(52, 55, localizer.course_tenths).number(75, 78, localizer.beyond_end_ft);
        row.number(84, 87, localizer.width_hundredths);
        row.put(91, 95, declination_text(localizer.declination_tenths));
        if (localizer.glideslope) {
            put_place(row, 56, *localizer.glideslope);
            row.number(80, 83, localizer.glideslope_ft_from_threshold).put(88, 90, "300");
            row.number(96, 97, localizer.crossing_height_ft)
                .number(98, 102, localizer.glideslope_elevation_ft);
        }
        if (!localizer.locator.empty()) {
            row.put(103, 106, localizer.locator).put(107, 108, region).put(109, 110, "PN");
        }
        return row;
    }

    Row marker_row(const Marker& marker) const {
        Row row = airport_part(marker.airport, 'M');
        row.put(14, 17, marker.localizer).put(18, 20, marker.type).put(22, 22, "0");
        row.put(28, 32, marker.runway).number(52, 55, marker.minor_axis_tenths);
        put_place(row, 33, marker.place);
        for (const Beacon& beacon : records_.beacons) {
            if (beacon.ident == marker.locator && beacon.airport == marker.airport) {
                row.number(23, 27, beacon.frequency_100hz).put(75, 79, beacon.beacon_class);
                put_place(row, 56, beacon.place);
                row.put(85, 88, beacon.ident);
            }
        }
        row.put(91, 95, declination_text(variation_tenths(marker.place)));
        return row;
    }

    Row safe_altitude_row(const SafeAltitudes& safe) const {
        Row row = airport_part(safe.airport, 'S');
        row.put(14, 18, without_airport(safe.centre))
            .put(19, 20, region)
            .put(21, 22, point(safe.centre).section);
        row.put(39, 39, "0").put(120, 120, "M");
        std::size_t at = 43;
        for (const SafeSector& sector : safe.sectors) {
            row.number(at, at + 2, sector.from_deg).number(at + 3, at + 5, sector.to_deg);
            row.number(at + 6, at + 8, sector.altitude_ft / 100).number(at + 9, at + 10, 25);
            at += 11;
        }
        return row;
    }

    /// Minimum off-route altitudes. A cell without land has one where land is within 60 NM, so that a flight along the coast finds it.
    Row grid_row(int south_deg) const {
        constexpr int westmost_deg = -180;
        int shown_deg = westmost_deg + moved_;
        shown_deg = shown_deg >= 180 ? shown_deg - 360 : shown_deg < -180 ? shown_deg + 360 : shown_deg;
        Row row;
        row.put(1, 1, "S").put(5, 6, "AS").put(14, 16, fmt::format("N{:02}", south_deg));
        row.put(17, 20, fmt::format("{}{:03}", shown_deg < 0 ? 'W' : 'E', std::abs(shown_deg)));
        for (int cell = 0; cell < 30; ++cell) {
            const std::size_t at = 31 + 3 * static_cast<std::size_t>(cell);
            const int west_deg = westmost_deg + cell;
            constexpr double near_nm = 60.0;
            if (!land_near(south_deg, west_deg, near_nm)) {
                row.put(at, at + 2, "UNK");
                continue;
            }
            row.number(at, at + 2, grid_minimum(south_deg, west_deg).altitude_ft / 100);
        }
        return row;
    }

    // Airways, trade-facts 13.7.

    static bool is_station(const Point& p) { return p.section == "D " || p.section == "DB"; }

    /// The declination by which the leg behind point i is coded: that of the nearer of the stations behind and ahead; on an
    /// RNAV route the variation of the place.
    int leg_declination(const Airway& airway, std::size_t i) const {
        const Point& from = point(airway.points[i].point);
        const Point& to = point(airway.points[i + 1].point);
        if (airway.route_type == 'R') {
            return variation_tenths(from.place);
        }
        const Point* behind = nullptr;
        for (std::size_t k = i + 1; k-- > 0 && behind == nullptr;) {
            behind = is_station(point(airway.points[k].point)) ? &point(airway.points[k].point) : nullptr;
        }
        const Point* ahead = nullptr;
        for (std::size_t k = i + 1; k < airway.points.size() && ahead == nullptr; ++k) {
            ahead = is_station(point(airway.points[k].point)) ? &point(airway.points[k].point) : nullptr;
        }
        if (behind == nullptr || ahead == nullptr) {
            return (behind == nullptr ? ahead : behind)->declination_tenths;
        }
        const double to_behind = between(from.place, behind->place).distance_nm;
        const double to_ahead = between(to.place, ahead->place).distance_nm;
        return to_behind <= to_ahead ? behind->declination_tenths : ahead->declination_tenths;
    }

    void add_airway(const Airway& airway) {
        long inbound = -1;
        for (std::size_t i = 0; i < airway.points.size(); ++i) {
            const AirwayPoint& here = airway.points[i];
            const Point& p = point(here.point);
            const bool last = i + 1 == airway.points.size();
            Row row;
            row.put(1, 1, "S").put(2, 4, area).put(5, 6, "ER").put(14, 18, airway.designator);
            row.number(26, 29, 100 + 10 * static_cast<long>(i)).put(30, 34, p.ident).put(35, 36, region);
            row.put(37, 38, p.section).put(39, 39, "0");
            row.put(40, 40, p.section == "D " ? "V" : p.section == "DB" ? "N" : "E");
            row.put(41, 41, last ? "E" : "").put(45, 45, std::string(1, airway.route_type));
            row.put(46, 46, std::string(1, airway.level)).put(47, 47, std::string(1, airway.direction));
            if (inbound >= 0) {
                row.number(79, 82, inbound);
            }
            if (!last) {
                const Point& next = point(airway.points[i + 1].point);
                const Line line = between(p.place, next.place);
                const int along = leg_declination(airway, i);
                const auto own = [&](const Point& q) { return is_station(q) ? q.declination_tenths : along; };
                row.number(71, 74, magnetic(line.leaving_deg, own(p)));
                row.number(75, 78, tenths(line.distance_nm));
                inbound = magnetic(line.arriving_deg, own(next));
                put_minimum(row, 84, here.minimum_ft);
                if (here.minimum_backward_ft != 0) {
                    put_minimum(row, 89, here.minimum_backward_ft);
                }
                if (here.maximum_ft != 0) {
                    row.number(94, 98, here.maximum_ft);
                }
            }
            add(row);
        }
    }

    static void put_minimum(Row& row, std::size_t first, long altitude_ft) {
        if (altitude_ft == not_known_ft) {
            row.put(first, first + 4, "UNKNN");
        } else {
            row.number(first, first + 4, altitude_ft);
        }
    }

    // Departures, arrivals and approaches, trade-facts 13.9.

    void add_procedure(const Procedure& procedure) {
        for (const Branch& branch : procedure.branches) {
            std::optional<Place> before;
            int sequence = branch.first_sequence;
            for (const Leg& leg : branch.legs) {
                add(leg_row(procedure, branch, leg, sequence, before));
                sequence += 10;
                if (!leg.fix.empty()) {
                    before = point(leg.fix).place;
                }
            }
        }
    }

    Row leg_row(const Procedure& procedure, const Branch& branch, const Leg& leg, int sequence,
                const std::optional<Place>& before) const {
        Row row = airport_part(procedure.airport, procedure.subsection);
        row.put(14, 19, procedure.ident).put(20, 20, std::string(1, branch.route_type));
        row.put(21, 25, branch.transition).number(27, 29, sequence).put(39, 39, "0");
        row.put(40, 43, leg.description).put(44, 44, std::string(1, leg.turn)).put(48, 49, leg.path);
        row.put(50, 50, leg.turn_valid ? "Y" : "");
        if (!leg.fix.empty()) {
            const Point& fix = point(leg.fix);
            row.put(30, 34, fix.ident).put(35, 36, region).put(37, 38, fix.section);
        }
        if (!leg.navaid.empty()) {
            put_navaid(row, leg);
        }
        put_course(row, leg, before);
        if (!leg.centre.empty()) {
            put_arc(row, leg, before.value());
        }
        if (leg.speed_limit_kt != 0) {
            row.number(100, 102, leg.speed_limit_kt);
        }
        row.put(83, 83, std::string(1, leg.altitude_rule));
        if (leg.altitude_ft) {
            row.number(85, 89, *leg.altitude_ft);
        }
        if (leg.altitude_2_ft) {
            row.number(90, 94, *leg.altitude_2_ft);
        }
        if (sequence == branch.first_sequence) {
            row.put(95, 99, transition_ft);
        }
        if (leg.angle_hundredths) {
            // A final approach without a descent angle is coded 000.
            *leg.angle_hundredths == 0 ? row.put(104, 106, "000")
                                       : row.number(103, 106, *leg.angle_hundredths);
        }
        const bool final_fix = leg.description.size() == 4 && leg.description[3] == 'F';
        if (final_fix && !procedure.sector_centre.empty()) {
            const Point& centre = point(procedure.sector_centre);
            row.put(107, 111, centre.ident).put(113, 114, region).put(115, 116, centre.section);
        }
        row.put(117, 117, std::string(1, procedure.satellite)).put(119, 120, procedure.qualifiers);
        return row;
    }

    /// Theta and rho are from the recommended aid to the fix; an arc's are its end and its radius, which is the same.
    void put_navaid(Row& row, const Leg& leg) const {
        const Point& navaid = point(leg.navaid);
        row.put(51, 54, navaid.ident).put(55, 56, region).put(79, 80, navaid.section);
        if (leg.fix.empty()) {
            if (leg.theta_tenths) {
                row.number(63, 66, *leg.theta_tenths);
            }
            return;
        }
        const Point& fix = point(leg.fix);
        if (fix.place == navaid.place) {
            row.put(63, 66, "0000").put(67, 70, "0000");
            return;
        }
        const Line line = between(navaid.place, fix.place);
        row.number(63, 66, magnetic(line.leaving_deg, navaid.declination_tenths));
        row.number(67, 70, tenths(line.distance_nm));
    }

    void put_course(Row& row, const Leg& leg, const std::optional<Place>& before) const {
        switch (leg.course) {
            case CourseFrom::nothing:
                break;
            case CourseFrom::given:
                row.number(71, 74, leg.course_tenths);
                break;
            case CourseFrom::radial: {
                const Point& navaid = point(leg.navaid);
                row.number(71, 74,
                           magnetic(between(navaid.place, point(leg.fix).place).leaving_deg,
                                    navaid.declination_tenths));
                break;
            }
            case CourseFrom::local: {
                const Line line = between(before.value(), point(leg.fix).place);
                row.number(71, 74, magnetic(line.arriving_deg, variation_tenths(point(leg.fix).place)));
                break;
            }
            case CourseFrom::navaid:
                row.number(71, 74,
                           leg.path == "AF" ? arc_start(leg, before.value())
                                            : course_by_navaid(leg, before.value()));
                break;
        }
        if (!leg.time.empty()) {
            row.put(75, 78, leg.time);
        } else if (leg.distance_tenths != 0) {
            row.number(75, 78, leg.distance_tenths);
        } else if (leg.distance) {
            row.number(75, 78, tenths(between(before.value(), point(leg.fix).place).distance_nm));
        }
    }

    /// A turn of constant radius: theta is the track into it, the course the track out of it, the distance its length.
    void put_arc(Row& row, const Leg& leg, Place before) const {
        const Point& centre = point(leg.centre);
        const Point& fix = point(leg.fix);
        const Line first = between(centre.place, before);
        const Line last = between(centre.place, fix.place);
        const double quarter = leg.turn == 'R' ? 90.0 : -90.0;
        const double round = around(leg.turn == 'R' ? last.leaving_deg - first.leaving_deg
                                                    : first.leaving_deg - last.leaving_deg);
        row.number(57, 62, std::lround(last.distance_nm * 1000.0));
        row.number(63, 66, magnetic(first.leaving_deg + quarter, variation_tenths(before)));
        row.number(71, 74, magnetic(last.leaving_deg + quarter, variation_tenths(fix.place)));
        row.number(75, 78, tenths(last.distance_nm * round * 0.017453292519943295));
        row.put(107, 111, centre.ident).put(113, 114, region).put(115, 116, centre.section);
    }

    long arc_start(const Leg& leg, Place before) const {
        const Point& navaid = point(leg.navaid);
        return magnetic(between(navaid.place, before).leaving_deg, navaid.declination_tenths);
    }

    /// Along a localizer its own course or the reciprocal; along a radial that radial, outbound or inbound.
    long course_by_navaid(const Leg& leg, Place before) const {
        const Point& navaid = point(leg.navaid);
        const Point& fix = point(leg.fix);
        const double flown_true = between(before, fix.place).arriving_deg;
        const long flown = magnetic(flown_true, navaid.declination_tenths);
        long line = navaid.localizer_course_tenths;
        if (navaid.section != "PI") {
            const Place far = fix.place == navaid.place ? before : fix.place;
            line = magnetic(between(navaid.place, far).leaving_deg, navaid.declination_tenths);
        }
        const bool along =
            std::abs(apart(static_cast<double>(flown) / 10.0, static_cast<double>(line) / 10.0)) < 90.0;
        return along ? line : reciprocal(line);
    }

    const Records& records_;
    int moved_;
    std::string body_;
    long rows_ = 0;
};

}  // namespace

std::string region_text(const Records& records, int moved_east_deg) {
    return Writer(records, moved_east_deg).text();
}

}  // namespace omniway::demo_region
