#include "building.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

#include <fmt/format.h>

#include "country.hpp"
#include "leg_words.hpp"

namespace omniway::demo_region {

const Point& Country::at(const std::string& key) const {
    const auto found = records_.points.find(key);
    if (found == records_.points.end()) {
        throw std::logic_error(fmt::format("no point is called '{}' yet", key));
    }
    return found->second;
}

void Country::name(const std::string& key, Point point) {
    if (!records_.points.emplace(key, std::move(point)).second) {
        throw std::logic_error(fmt::format("'{}' is named twice", key));
    }
}

const Runway& Country::runway(const std::string& airport, const std::string& ident) const {
    for (const Runway& found : records_.runways) {
        if (found.airport == airport && found.ident == ident) {
            return found;
        }
    }
    throw std::logic_error(fmt::format("{} has no runway {}", airport, ident));
}

Runway& Country::runway(const std::string& airport, const std::string& ident) {
    return const_cast<Runway&>(std::as_const(*this).runway(airport, ident));
}

/// The place on a station's radial, in its own degrees.
Place Country::on_radial(const std::string& station, double radial_deg, double distance_nm) const {
    const Point& s = at(station);
    return reached(s.place, radial_deg + s.declination_tenths / 10.0, distance_nm);
}

double Country::radial_to(const std::string& station, Place place) const {
    return around(between(at(station).place, place).leaving_deg - at(station).declination_tenths / 10.0);
}

/// On the straight line from one point toward another.
Place Country::toward(const std::string& from, const std::string& to, double distance_nm) const {
    return reached(at(from).place, between(at(from).place, at(to).place).leaving_deg, distance_nm);
}

/// On the extended centreline, out from the threshold: on the line from the localizer's antenna, or from the far end.
Place Country::before_threshold(const std::string& airport, const std::string& ident,
                                double distance_nm) const {
    const Runway& end = runway(airport, ident);
    return reached(end.threshold, end.true_deg + 180.0, distance_nm);
}

/// How far out a glide path of three degrees is at an altitude.
double Country::miles_at(const Runway& end, long altitude_ft) const {
    const double climb = static_cast<double>(altitude_ft - end.elevation_ft - end.crossing_height_ft);
    return climb / (feet_per_nautical_mile * std::tan(3.0 * degree));
}

/// Where a line out from a threshold meets the DME arc of a station: by halving.
Place Country::on_arc(const std::string& airport, const std::string& ident, const std::string& station,
                      double radius_nm) const {
    double near_nm = 4.0;
    double far_nm = 20.0;
    for (int i = 0; i < 60; ++i) {
        const double half_nm = (near_nm + far_nm) / 2.0;
        const Place place = before_threshold(airport, ident, half_nm);
        (between(at(station).place, place).distance_nm < radius_nm ? near_nm : far_nm) = half_nm;
    }
    return before_threshold(airport, ident, near_nm);
}

void Country::fix(const std::string& ident, Place place, const std::string& type, const std::string& usage) {
    records_.fixes.push_back({ident, "", place, type, usage});
    name(ident, {ident, "EA", "", place, variation_tenths(place)});
}

void Country::terminal_fix(const std::string& airport, const std::string& ident, Place place,
                           const std::string& type) {
    records_.fixes.push_back({ident, airport, place, type, type == "W" ? "R" : ""});
    name(ident, {ident, "PC", airport, place, variation_tenths(place)});
}

void Country::airport(const std::string& ident, const std::string& called, Place place, long elevation_ft,
                      int variation, char ifr, char surface, char usage) {
    records_.airports.push_back({ident, called, place, elevation_ft, variation, ifr, 0, surface, usage});
    name(ident, {ident, "PA", "", place, variation});
}

void Country::strip(const Strip& strip) {
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

void Country::end(const Strip& strip, const std::string& ident, Place threshold, Place far,
                  long elevation_ft) {
    const double true_deg = between(threshold, far).leaving_deg;
    const long bearing = tenths_of_bearing(true_deg - variation_of(strip.airport) / 10.0);
    constexpr long visual_crossing_height_ft = 45;
    records_.runways.push_back({strip.airport, ident, strip.length_ft, strip.width_ft, bearing, threshold,
                                elevation_ft, visual_crossing_height_ft, "", ' ', true_deg});
    name(strip.airport + "/" + ident, {ident, "PG", strip.airport, threshold, variation_of(strip.airport)});
}

void Country::vhf(const VhfStation& station) {
    records_.vhf_stations.push_back(station);
    name(station.ident, {station.ident, "D ", "", station.place, station.declination_tenths});
}

void Country::beacon(const Beacon& beacon, const std::string& key) {
    records_.beacons.push_back(beacon);
    name(key.empty() ? beacon.ident : key,
         {beacon.ident, beacon.airport.empty() ? "DB" : "PN", beacon.airport, beacon.place,
          variation_tenths(beacon.place) / 10 * 10});
}

void Country::localizer(const std::string& ident, const std::string& airport_ident,
                        const std::string& runway_ident, char category, long frequency_10khz,
                        long beyond_end_ft, const std::string& locator, const Offset& offset) {
    Runway& end = runway(airport_ident, runway_ident);
    const bool straight_in = offset.turned_deg == 0.0;
    const double course_deg = end.true_deg + offset.turned_deg;
    const double antenna_nm = static_cast<double>(end.length_ft + beyond_end_ft) / feet_per_nautical_mile;
    const Place antenna = straight_in
                              ? reached(end.threshold, end.true_deg, antenna_nm)
                              : reached(before_threshold(airport_ident, runway_ident, offset.crossing_nm),
                                        course_deg, offset.antenna_nm);
    // 700 ft at the threshold, yet never wider than 6 degrees.
    const double away_ft = between(end.threshold, antenna).distance_nm * feet_per_nautical_mile;
    const double width_deg = std::min(2.0 * std::atan(350.0 / away_ft) / degree, 6.0);
    Localizer made{
        ident,
        airport_ident,
        category,
        frequency_10khz,
        runway_ident,
        antenna,
        straight_in ? end.bearing_tenths : tenths_of_bearing(course_deg - variation_of(airport_ident) / 10.0),
        variation_of(airport_ident),
        beyond_end_ft,
        std::lround(width_deg * 100.0),
        {},
        0,
        0,
        0,
        locator};
    if (category != '0' && category != 'A') {
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

/// An outer and a middle marker before each end with a glide path, at the usual distances (ICAO Annex 10 Vol. I, 3.1.7.6); the outer
/// stands with the locator where there is one within its limits.
void Country::markers() {
    constexpr double outer_nm = 3.9;
    constexpr double outermost_nm = 6.0;
    constexpr double middle_nm = 1050.0 / 1852.0;
    for (const Localizer& of : records_.localizers) {
        if (!of.glideslope) {
            continue;
        }
        const Place threshold = runway(of.airport, of.runway).threshold;
        const bool with_locator =
            !of.locator.empty() && between(threshold, at(of.locator).place).distance_nm <= outermost_nm;
        const Place outer = with_locator ? at(of.locator).place : on_localizer(of.ident, outer_nm);
        const long axis =
            tenths_of_bearing(static_cast<double>(of.course_tenths + of.declination_tenths) / 10.0);
        records_.markers.push_back({of.ident, of.airport, with_locator ? "LOM" : " OM", of.runway, outer,
                                    axis, with_locator ? of.locator : std::string()});
        records_.markers.push_back(
            {of.ident, of.airport, " MM", of.runway, on_localizer(of.ident, middle_nm), axis, ""});
    }
}

/// The DME of a localizer stands with its antenna.
void Country::localizer_dme(const std::string& ident, const std::string& called, long elevation_ft) {
    for (const Localizer& found : records_.localizers) {
        if (found.ident == ident) {
            records_.vhf_stations.push_back({ident, called, found.frequency_10khz, " ITW", found.place,
                                             found.declination_tenths, elevation_ft, '0', found.airport});
        }
    }
}

/// The runway as missed approach point, at the height of the glide path over its threshold.
Leg Country::to_runway(const std::string& airport_ident, const std::string& runway_ident,
                       const std::string& navaid) const {
    const Runway& end = runway(airport_ident, runway_ident);
    Leg leg = along(airport_ident + "/" + runway_ident, "GY M", navaid, ' ',
                    end.elevation_ft + end.crossing_height_ft);
    leg.angle_hundredths = -300;
    return leg;
}

Leg Country::to_point(const std::string& fix_ident, const std::string& navaid, long altitude_ft,
                      long angle) const {
    Leg leg = along(fix_ident, "EY M", navaid, ' ', altitude_ft);
    leg.angle_hundredths = angle;
    return leg;
}

long Country::radial_tenths(const std::string& station, const std::string& to) const {
    return tenths_of_bearing(radial_to(station, at(to).place));
}

/// Initial, intermediate, final and missed approach fixes with their altitudes.
Procedure Country::area_navigation(const std::string& airport_ident, const std::string& ident,
                                   const std::string& runway_ident, const std::vector<std::string>& fixes,
                                   const std::vector<long>& altitudes_ft, long climb_ft) const {
    const auto flown = [](Leg leg) {
        leg.course = CourseFrom::local;
        leg.distance = true;
        return leg;
    };
    const Runway& end = runway(airport_ident, runway_ident);
    Leg entry = initial(fixes[0], "", altitudes_ft[0]);
    Leg intermediate = flown(straight(fixes[1], "EE B", altitudes_ft[1]));
    Leg runway_leg = flown(straight(airport_ident + "/" + runway_ident, "GY M", 0));
    runway_leg.altitude_rule = ' ';
    runway_leg.altitude_ft = end.elevation_ft + end.crossing_height_ft;
    runway_leg.angle_hundredths = -300;
    Procedure made{airport_ident, ident, airport_ident + "/" + runway_ident, "PS", 'B', {}};
    made.branches = {{'A', fixes[0], {entry, intermediate}},
                     {'R',
                      "",
                      {at_or_above(marked(start(fixes[1], ""), "E  I"), altitudes_ft[1]),
                       flown(straight(fixes[2], "E  F", altitudes_ft[2])), runway_leg,
                       climb(end.bearing_tenths, climb_ft), direct(fixes[3], "EY  ", ' ', altitudes_ft[3]),
                       hold(fixes[3], "EE  ", "HM", back(end.bearing_tenths), 'L', altitudes_ft[3])}}};
    return made;
}

int Country::variation_of(const std::string& airport) const {
    return at(airport).declination_tenths;
}

const Localizer& Country::localizer_named(const std::string& ident) const {
    for (const Localizer& found : records_.localizers) {
        if (found.ident == ident) {
            return found;
        }
    }
    throw std::logic_error(fmt::format("no localizer is called '{}' yet", ident));
}

Place Country::on_localizer(const std::string& ident, double distance_nm) const {
    const Localizer& found = localizer_named(ident);
    const double to_threshold_nm =
        between(found.place, runway(found.airport, found.runway).threshold).distance_nm;
    const double out_deg =
        static_cast<double>(found.course_tenths) / 10.0 + found.declination_tenths / 10.0 + 180.0;
    return reached(found.place, out_deg, to_threshold_nm + distance_nm);
}

void Country::airway(const std::string& designator, char route_type, char level,
                     std::vector<AirwayPoint> points, char direction) {
    records_.airways.push_back({designator, route_type, level, direction, std::move(points)});
}

void Country::departure(const std::string& airport_ident, const std::string& ident,
                        std::vector<Branch> branches) {
    records_.procedures.push_back({airport_ident, ident, "", "", ' ', std::move(branches), 'D'});
}

void Country::arrival(const std::string& airport_ident, const std::string& ident,
                      std::vector<Branch> branches) {
    records_.procedures.push_back({airport_ident, ident, "", "", ' ', std::move(branches), 'E'});
}

}  // namespace omniway::demo_region
