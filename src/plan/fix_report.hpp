#pragma once

#include <optional>
#include <string>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "earth/magnetic_model.hpp"
#include "fixing/catalogue.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"

namespace omniway::plan {

/// What is asked about telling a fix.
struct FixRequest {
    navdata::Point point;
    std::optional<base::Altitude> altitude;  // else the airway's minimum there, else 5,000 ft
    std::optional<base::MagneticBearing>
        track;  // else along the airways through it, else along every line heard
    radio::Criteria criteria = radio::Criteria::terps;
    fixing::FixUse use = fixing::FixUse::en_route;
    std::optional<aircraft::Aircraft> aircraft;
    earth::DecimalYear today;
};

/// One line on which the fix is reached, and how it is told there.
struct ReachedOn {
    std::vector<std::string> airways;  // designators; empty where it is no airway
    std::string from;                  // ident of the point before, where there is one
    base::TrueBearing track;           // on arriving
    base::MagneticBearing course;
    base::Altitude altitude;
    fixing::FixQuestion question;
    fixing::Catalogue catalogue;
    std::vector<std::optional<fixing::Obstacle>>
        lacks;                        // of the aircraft, way by way; empty where none is named
    std::optional<std::size_t> used;  // the way that a plan takes with that aircraft
};

/// The lowest altitude at which two lines of VORs or NDBs cross well at a fix, and whose they are.
struct TwoGoodLines {
    base::Altitude altitude;
    bool ground_known = true;
    navdata::StationId one;
    navdata::StationId other;
    base::Angle crossing;
};

struct FixReport {
    FixRequest request;
    std::optional<TwoGoodLines> two_lines;  // none: at no altitude
    std::vector<ReachedOn> lines;
};

/// Every way in which a fix can be told, on every line on which it is reached.
///   Model     by airway: the aid behind or ahead on it whose line the segment lies on guides, the nearer of two (as midway between
///             them would have it); on a given track: every aid whose line is within 3 degrees of it, else nothing guides; without
///             either: every aid heard there guides in turn, inbound. Of area-navigation airways none is followed.
///   Domain    a fix or a station of `world`.
///   Accuracy  as fixing/catalogue.hpp.
///   Cost      a fraction of a millisecond for each line.
///   Fails     "no" is a report without lines, or lines without ways.
///   Source    design section 3, Guidance and Fixes; 3 degrees: common practice, no source.
FixReport fix_report(const navdata::Snapshot& world, const radio::Ground& ground,
                     const earth::MagneticModel& model, FixRequest request);

/// "on V1 from ALDER, course 093, by VOR/DME ALA", as report and page head a line.
std::string line_text(const navdata::Snapshot& world, const ReachedOn& line);

/// "a second receiver", "a DME with a tuning of its own": what a way needs beside what guides; empty where nothing more.
std::string needs_text(const fixing::Needs& needs);

}  // namespace omniway::plan
