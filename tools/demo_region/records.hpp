#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "place.hpp"

namespace omniway::demo_region {

/// What the country publishes, in the units of its charts; rows.cpp turns it into columns and computes every coded course,
/// distance, theta and rho from the places as rounded.
///   Model     one struct for each kind of record of ARINC 424-18 that is written.
///   Domain    the demo region.
///   Accuracy  as coded: tenths of a degree and of a mile.
///   Cost      some hundred small structs.
///   Fails     rows.cpp throws std::logic_error for a name that nothing has.
///   Source    invented; layout by trade-facts 13.

/// Anything a leg can name.
struct Point {
    std::string ident;
    std::string section;  // "D ", "DB", "EA", "PA", "PC", "PG", "PI", "PN"
    std::string airport;  // of terminal points
    Place place;
    int declination_tenths = 0;        // of a station; elsewhere the variation there
    bool recorded = true;              // false: legs name it, yet it has no row of its own
    long localizer_course_tenths = 0;  // of a localizer's front course
};

struct VhfStation {
    std::string ident;
    std::string name;
    long frequency_10khz;
    std::string vhf_class;  // columns 28-32
    Place place;
    int declination_tenths;
    long elevation_ft;
    char merit;                                // column 85
    std::string airport;                       // of the DME of a localizer
    std::optional<Place> distance_place = {};  // of a DME that stands apart
};

struct Beacon {
    std::string ident;
    std::string name;
    long frequency_100hz;
    std::string beacon_class;  // columns 28-32
    Place place;
    std::string airport;  // empty: en route
};

struct Localizer {
    std::string ident;
    std::string airport;
    char category;  // column 18
    long frequency_10khz;
    std::string runway;
    Place place;
    long course_tenths;
    int declination_tenths;
    long beyond_end_ft;
    long width_hundredths;
    std::optional<Place> glideslope;
    long glideslope_ft_from_threshold = 0;
    long crossing_height_ft = 0;
    long glideslope_elevation_ft = 0;
    std::string locator;  // a supporting NDB at the airport
};

struct Marker {
    std::string localizer;
    std::string airport;
    std::string type;  // columns 18-20
    std::string runway;
    Place place;
    long minor_axis_tenths;
    std::string locator;  // that stands there
};

struct Runway {
    std::string airport;
    std::string ident;
    long length_ft;
    long width_ft;
    long bearing_tenths;
    Place threshold;
    long elevation_ft;
    long crossing_height_ft;
    std::string localizer;
    char category = ' ';
    double true_deg = 0.0;  // along the runway from this threshold
};

struct Airport {
    std::string ident;
    std::string name;
    Place place;
    long elevation_ft;
    int variation_tenths;
    char ifr;  // column 31
    long longest_ft;
    char surface;  // column 32
    char usage;    // column 81
};

struct Fix {
    std::string ident;
    std::string airport;  // empty: en route
    Place place;
    std::string type;   // columns 27-29
    std::string usage;  // columns 30-31
};

/// Published as UNKNN.
inline constexpr long not_known_ft = -1;

struct AirwayPoint {
    std::string point;
    long minimum_ft = 0;           // to the next point; 0 at the last, or not_known_ft
    long minimum_backward_ft = 0;  // 0: the same both ways
    long maximum_ft = 0;           // 0: none published
};

struct Airway {
    std::string designator;
    char route_type;       // O conventional, R RNAV
    char level;            // H or L
    char direction = ' ';  // F: only as listed
    std::vector<AirwayPoint> points;
};

/// How a leg's course is found: by its navaid along the line from the fix before; the navaid's radial out to the fix; the line from
/// the fix before in degrees of the day; as it stands.
enum class CourseFrom { nothing, navaid, radial, local, given };

struct Leg {
    std::string fix;          // point key; empty: none
    std::string description;  // columns 40-43
    std::string path;         // path terminator
    std::string navaid;       // recommended; empty: none
    char turn = ' ';
    bool turn_valid = false;
    CourseFrom course = CourseFrom::nothing;
    long course_tenths = 0;            // of CourseFrom::given
    std::string time;                  // "T010"; empty: distance where `distance` is set
    bool distance = false;             // from the fix before
    long distance_tenths = 0;          // set: as it stands
    std::optional<long> theta_tenths;  // of a leg without a fix: the radial it ends at
    std::string centre;                // of an RF
    long speed_limit_kt = 0;           // 0: none
    char altitude_rule = ' ';
    std::optional<long> altitude_ft;
    std::optional<long> altitude_2_ft;
    std::optional<long> angle_hundredths;
};

struct Branch {
    char route_type;
    std::string transition;
    std::vector<Leg> legs;
    int first_sequence = 10;
};

/// An approach, a departure (SID) or an arrival (STAR).
struct Procedure {
    std::string airport;
    std::string ident;
    std::string sector_centre;  // point key of the MSA, coded on the final approach fix
    std::string qualifiers;     // columns 119-120
    char satellite = '0';       // column 117
    std::vector<Branch> branches;
    char subsection = 'F';  // D departure, E arrival, F approach
};

struct SafeSector {
    int from_deg;
    int to_deg;
    long altitude_ft;
};

struct SafeAltitudes {
    std::string airport;
    std::string centre;
    std::vector<SafeSector> sectors;
};

struct Records {
    std::map<std::string, Point> points;  // by key: the ident; runways "XMRA/RW27"
    std::vector<VhfStation> vhf_stations;
    std::vector<Beacon> beacons;
    std::vector<Localizer> localizers;
    std::vector<Marker> markers;
    std::vector<Airport> airports;
    std::vector<Runway> runways;
    std::vector<Fix> fixes;
    std::vector<Airway> airways;
    std::vector<Procedure> procedures;
    std::vector<SafeAltitudes> safe_altitudes;
};

/// The whole country.
Records country_records();

/// The rows, each ended by a line feed, the whole country moved east by whole degrees; courses, declinations and
/// variations stay as they are.
std::string region_text(const Records& records, int moved_east_deg);

}  // namespace omniway::demo_region
