#pragma once

// The rows of an atlas (docs/atlas.md) for the checker of cards: SQLite directly, nothing of src/. Units become the trade's.

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "lines_on_earth.hpp"

namespace independent {

struct Distance {
    Place place;
    double elevation_ft{};
    double bias_nm{};
};

struct Aid {
    std::string ident;
    std::string family;  // vor, tacan, ndb, localizer, none
    std::string kind;    // "VOR/DME", "ILS", ... as the trade names it
    std::string airport;
    std::string service;  // class of its azimuth
    double frequency{};   // MHz, an NDB's in kHz
    std::optional<Place> azimuth;
    std::optional<Distance> dme;
    double declination{};
    std::optional<double> localizer_course;
    bool glideslope{};
    std::optional<double> glideslope_angle_deg, glideslope_crossing_ft;
    std::string runway;  // of a localizer
    Place site() const { return azimuth ? *azimuth : dme->place; }
};

struct AirwayRow {
    std::string point;
    bool ends{};
    std::string type, direction;
    std::optional<double> minimum_ft, backward_ft, maximum_ft;
    bool minimum_unknown{}, backward_unknown{};
};

struct CodedLeg {
    std::string procedure_kind, procedure, route_type, transition;
    int branch{}, sequence{};
    std::string terminator, fix, recommended, turn, rule, description;
    std::optional<double> altitude_1_ft, altitude_2_ft, course_deg;
    bool course_is_true{};
};

struct Runway {
    Place threshold;
    std::optional<double> elevation_ft;
};

struct AtlasRows {
    std::vector<Aid> aids;
    std::multimap<std::string, Place> points;               // by ident: fixes and azimuth aids
    std::map<std::string, std::vector<AirwayRow>> airways;  // by area and designator
    std::map<std::string, Place> airports;
    std::map<std::string, double> elevations_ft;               // of airports
    std::map<std::string, Runway> runways;                     // "XMRA/RW27"
    std::map<std::string, std::vector<CodedLeg>> legs;         // by airport
    std::map<std::string, std::set<std::string>> frequencies;  // by airport: "TWR 118.300"
};

AtlasRows read_atlas(const std::string& file);

}  // namespace independent
