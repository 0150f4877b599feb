#pragma once

#include <string>
#include <vector>

#include "place.hpp"
#include "records.hpp"

namespace omniway::demo_region {

inline constexpr double feet_per_nautical_mile = 1852.0 / 0.3048;
inline constexpr double degree = 0.017453292519943295;
inline constexpr double arc_nm = 12.0;         // radius of the DME arcs
inline constexpr double xenora_arc_nm = 15.0;  // but of this one, outside the locator

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

/// Where the line of a localizer leaves the runway's: turned off it, crossing it before the threshold, the antenna so far from
/// the crossing.
struct Offset {
    double turned_deg;
    double crossing_nm;
    double antenna_nm;
};

/// The invented country while it is built. Places are worked out from bearings and distances, then rounded; rows.cpp computes every
/// coded figure back from the rounded places.
///   Model     stations.cpp has what stands by itself, en_route.cpp the airways; each airport stands in one file by its part of the
///             country, region_*.cpp: its field (runways, own aids) and its procedures, which come after the airways.
///   Domain    the demo region.
///   Accuracy  places to 0.01 arc second.
///   Cost      some thousand geodesics.
///   Fails     throws std::logic_error where a name is missing or stands twice.
///   Source    invented.
class Country {
public:
    Records build();

private:
    // Words: what is there already.
    const Point& at(const std::string& key) const;
    void name(const std::string& key, Point point);
    const Runway& runway(const std::string& airport, const std::string& ident) const;
    Runway& runway(const std::string& airport, const std::string& ident);
    const Localizer& localizer_named(const std::string& ident) const;
    int variation_of(const std::string& airport) const;

    // Words: places. A radial is in the station's own degrees.
    Place on_radial(const std::string& station, double radial_deg, double distance_nm) const;
    double radial_to(const std::string& station, Place place) const;
    long radial_tenths(const std::string& station, const std::string& to) const;
    /// On the straight line from one point toward another.
    Place toward(const std::string& from, const std::string& to, double distance_nm) const;
    /// On the extended centreline, out from the threshold.
    Place before_threshold(const std::string& airport, const std::string& ident, double distance_nm) const;
    /// On the front course of a localizer, so far from its antenna as the threshold is and so much more.
    Place on_localizer(const std::string& ident, double distance_nm) const;
    /// How far out a glide path of three degrees is at an altitude.
    double miles_at(const Runway& end, long altitude_ft) const;
    /// Where a line out from a threshold meets the DME arc of a station.
    Place on_arc(const std::string& airport, const std::string& ident, const std::string& station,
                 double radius_nm = arc_nm) const;

    // Words: records.
    void fix(const std::string& ident, Place place, const std::string& type = "R",
             const std::string& usage = " L");
    void terminal_fix(const std::string& airport, const std::string& ident, Place place,
                      const std::string& type = "R");
    void airport(const std::string& ident, const std::string& called, Place place, long elevation_ft,
                 int variation, char ifr, char surface, char usage);
    void strip(const Strip& strip);
    void end(const Strip& strip, const std::string& ident, Place threshold, Place far, long elevation_ft);
    void vhf(const VhfStation& station);
    void beacon(const Beacon& beacon, const std::string& key = "");
    void localizer(const std::string& ident, const std::string& airport_ident,
                   const std::string& runway_ident, char category, long frequency_10khz, long beyond_end_ft,
                   const std::string& locator, const Offset& offset = {});
    void localizer_dme(const std::string& ident, const std::string& called, long elevation_ft);
    void markers();
    void airway(const std::string& designator, char route_type, char level, std::vector<AirwayPoint> points,
                char direction = ' ');
    void departure(const std::string& airport_ident, const std::string& ident, std::vector<Branch> branches);
    void arrival(const std::string& airport_ident, const std::string& ident, std::vector<Branch> branches);

    // Words: legs that need a place.
    Leg to_runway(const std::string& airport_ident, const std::string& runway_ident,
                  const std::string& navaid) const;
    Leg to_point(const std::string& fix_ident, const std::string& navaid, long altitude_ft, long angle) const;
    Procedure area_navigation(const std::string& airport_ident, const std::string& ident,
                              const std::string& runway_ident, const std::vector<std::string>& fixes,
                              const std::vector<long>& altitudes_ft, long climb_ft) const;

    // The country.
    void stations();
    void en_route_fixes();
    void airways();
    void rnav_airways();
    void fields_west();
    void fields_middle();
    void fields_north();
    void fields_east();
    void fields_south();
    void xamarra();
    void xamarra_ways();
    void xagilla();
    void xeddow();
    void xurlin();
    void xekellin();
    void xicora();
    void xenora();
    void xalden();
    void xandovel();
    void xandovel_ways();
    void xapiren();
    void xorrel();
    void xusulo();
    void xadrow();
    void xomber();
    void safe_altitudes();

    Records records_;
};

}  // namespace omniway::demo_region
