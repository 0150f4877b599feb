#pragma once

#include <string>

namespace omniway::demo_region {

/// A place as the rows carry it: whole hundredths of an arc second, north and east positive.
///   Model     every coordinate is rounded to this first; all courses and distances are computed from the rounded place.
///   Domain    latitude -90 to 90 degrees, longitude above -180 to 180.
///   Accuracy  0.01 arc second, 0.3 m.
///   Cost      two integers.
///   Fails     never.
///   Source    trade-facts 13.1.
struct Place {
    long latitude = 0;
    long longitude = 0;

    static Place degrees(double latitude, double longitude);
    double latitude_deg() const;
    double longitude_deg() const;
    bool operator==(const Place&) const = default;
};

/// The geodesic between two places on WGS 84, with its azimuth where it leaves and where it arrives.
struct Line {
    double leaving_deg;
    double arriving_deg;
    double distance_nm;
};
Line between(Place from, Place to);

/// The place reached by leaving on a true azimuth.
Place reached(Place from, double true_deg, double distance_nm);

/// An angle within 0 up to but not including 360 degrees.
double around(double degrees);
/// The difference of two bearings within -180 to 180 degrees.
double apart(double to_deg, double from_deg);
/// Tenths, rounded to the nearest; of a bearing 0 to 3599.
long tenths(double value);
long tenths_of_bearing(double degrees);

/// "N38421448" and "W101282608", the longitude moved east by whole degrees (and round the antimeridian where it must).
std::string latitude_text(Place place);
std::string longitude_text(Place place, int moved_east_deg);

}  // namespace omniway::demo_region
