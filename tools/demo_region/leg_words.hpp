#pragma once

#include <string>
#include <vector>

#include "records.hpp"

namespace omniway::demo_region {

/// Legs in the words of a chart.
///   Model     each gives one coded leg; courses by navaid are computed when the rows are written.
///   Domain    altitudes in feet, courses and radials in tenths of a degree, distances in tenths of a mile.
///   Accuracy  as coded.
///   Cost      one struct.
///   Fails     never.
///   Source    trade-facts 11.1, 13.8, 13.9.
long back(long course_tenths);
std::vector<Leg> joined(std::vector<Leg> first, const std::vector<Leg>& second);

// To a fix.
Leg start(const std::string& at_fix, const std::string& navaid);
Leg initial(const std::string& at_fix, const std::string& navaid, long altitude_ft);
/// From a station to begin with: no radial is needed to be there.
Leg overhead(const std::string& station, char letter);
Leg straight(const std::string& to, const std::string& description, long altitude_ft);
Leg direct(const std::string& to, const std::string& description, char turn, long altitude_ft);
/// Along a radial or localizer from the fix before.
Leg along(const std::string& to, const std::string& description, const std::string& navaid, char rule,
          long altitude_ft);
/// Out on the navaid's radial, from wherever it was joined.
Leg outbound(const std::string& to, const std::string& navaid, long altitude_ft);
Leg arc(const std::string& to, const std::string& station, char turn, long altitude_ft);
Leg constant_radius(const std::string& to, const std::string& centre, char turn, long altitude_ft);
/// By area navigation.
Leg track(const std::string& to, long altitude_ft);

// From a fix, or round it.
/// A 45/180 procedure turn. The coded course is the first turn's, 45 degrees off the outbound course on the side away from
/// the 180 degree turn that follows (trade-facts 13.9).
Leg procedure_turn(const std::string& at_fix, char letter, const std::string& navaid, long outbound_tenths,
                   char turn, long altitude_ft);
Leg hold(const std::string& at_fix, const std::string& description, const std::string& path,
         long inbound_tenths, char turn, long altitude_ft);
/// FA, FC, FD or FM; the distance is a length (FC) or a DME reading (FD).
Leg from_fix(const std::string& at_fix, char letter, const std::string& path, const std::string& navaid,
             long course_tenths, long distance_tenths, long altitude_ft);

// On a course (C) or heading (V) from wherever the leg before ended.
Leg climb(long course_tenths, long altitude_ft);
Leg until_altitude(const std::string& path, long course_tenths, long altitude_ft);
Leg until_distance(const std::string& path, long course_tenths, const std::string& navaid,
                   long distance_tenths);
Leg until_radial(const std::string& path, long course_tenths, const std::string& navaid, long radial_tenths);
Leg until_intercept(const std::string& path, long course_tenths, char turn);
Leg vectors(long course_tenths);

// Changed a little.
Leg final_intercept(Leg leg, char rule, long altitude_ft, long glide_path_ft);
Leg at_or_above(Leg leg, long altitude_ft);
Leg with_angle(Leg leg);
Leg marked(Leg leg, const std::string& description);
Leg turning(Leg leg, char turn);

}  // namespace omniway::demo_region
