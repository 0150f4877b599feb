#include "leg_words.hpp"

namespace omniway::demo_region {

Leg initial(const std::string& at_fix, const std::string& navaid, long altitude_ft) {
    Leg leg = start(at_fix, navaid);
    leg.description[3] = 'A';
    leg.altitude_rule = '+';
    leg.altitude_ft = altitude_ft;
    return leg;
}

Leg start(const std::string& at_fix, const std::string& navaid) {
    Leg leg;
    leg.fix = at_fix;
    leg.description = "E   ";
    leg.path = "IF";
    leg.navaid = navaid;
    return leg;
}

/// From a station to begin with: no radial is needed to be there.
Leg overhead(const std::string& station, char letter) {
    Leg leg;
    leg.fix = station;
    leg.description = std::string(1, letter) + "   ";
    leg.path = "IF";
    return leg;
}

Leg straight(const std::string& to, const std::string& description, long altitude_ft) {
    Leg leg;
    leg.fix = to;
    leg.description = description;
    leg.path = "TF";
    leg.altitude_rule = '+';
    leg.altitude_ft = altitude_ft;
    return leg;
}

Leg arc(const std::string& to, const std::string& station, char turn, long altitude_ft) {
    Leg leg = straight(to, "EE B", altitude_ft);
    leg.path = "AF";
    leg.navaid = station;
    leg.turn = turn;
    leg.course = CourseFrom::navaid;
    leg.distance_tenths = 0;
    return leg;
}

Leg along(const std::string& to, const std::string& description, const std::string& navaid, char rule,
          long altitude_ft) {
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
Leg procedure_turn(const std::string& at_fix, char letter, const std::string& navaid, long outbound_tenths,
                   char turn, long altitude_ft) {
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

Leg hold(const std::string& at_fix, const std::string& description, const std::string& path,
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

Leg climb(long course_tenths, long altitude_ft) {
    Leg leg;
    leg.description = "  M ";
    leg.path = "CA";
    leg.course = CourseFrom::given;
    leg.course_tenths = course_tenths;
    leg.altitude_rule = '+';
    leg.altitude_ft = altitude_ft;
    return leg;
}

Leg direct(const std::string& to, const std::string& description, char turn, long altitude_ft) {
    Leg leg = straight(to, description, altitude_ft);
    leg.path = "DF";
    leg.turn = turn;
    return leg;
}

Leg final_intercept(Leg leg, char rule, long altitude_ft, long glide_path_ft) {
    leg.altitude_rule = rule;
    leg.altitude_ft = altitude_ft;
    leg.altitude_2_ft = glide_path_ft;
    return leg;
}

Leg at_or_above(Leg leg, long altitude_ft) {
    leg.altitude_rule = '+';
    leg.altitude_ft = altitude_ft;
    return leg;
}

Leg with_angle(Leg leg) {
    leg.angle_hundredths = -300;
    return leg;
}

Leg marked(Leg leg, const std::string& description) {
    leg.description = description;
    return leg;
}

std::vector<Leg> joined(std::vector<Leg> first, const std::vector<Leg>& second) {
    first.insert(first.end(), second.begin(), second.end());
    return first;
}

long back(long course_tenths) {
    return (course_tenths + 1800) % 3600;
}

Leg turning(Leg leg, char turn) {
    leg.turn = turn;
    return leg;
}

Leg outbound(const std::string& to, const std::string& navaid, long altitude_ft) {
    Leg leg = straight(to, "E   ", altitude_ft);
    leg.path = "CF";
    leg.navaid = navaid;
    leg.course = CourseFrom::radial;
    return leg;
}

Leg constant_radius(const std::string& to, const std::string& centre, char turn, long altitude_ft) {
    Leg leg = straight(to, "E   ", altitude_ft);
    leg.path = "RF";
    leg.centre = centre;
    leg.turn = turn;
    return leg;
}

Leg track(const std::string& to, long altitude_ft) {
    Leg leg = straight(to, "E   ", altitude_ft);
    leg.course = CourseFrom::local;
    leg.distance = true;
    return leg;
}

Leg from_fix(const std::string& at_fix, char letter, const std::string& path, const std::string& navaid,
             long course_tenths, long distance_tenths, long altitude_ft) {
    Leg leg = start(at_fix, navaid);
    leg.description[0] = letter;
    leg.path = path;
    leg.course = CourseFrom::given;
    leg.course_tenths = course_tenths;
    leg.distance_tenths = distance_tenths;
    leg.altitude_rule = '+';
    leg.altitude_ft = altitude_ft;
    return leg;
}

Leg until_altitude(const std::string& path, long course_tenths, long altitude_ft) {
    Leg leg = climb(course_tenths, altitude_ft);
    leg.description = "    ";
    leg.path = path;
    return leg;
}

Leg until_distance(const std::string& path, long course_tenths, const std::string& navaid,
                   long distance_tenths) {
    Leg leg;
    leg.description = "    ";
    leg.path = path;
    leg.navaid = navaid;
    leg.course = CourseFrom::given;
    leg.course_tenths = course_tenths;
    leg.distance_tenths = distance_tenths;
    return leg;
}

Leg until_radial(const std::string& path, long course_tenths, const std::string& navaid, long radial_tenths) {
    Leg leg = until_distance(path, course_tenths, navaid, 0);
    leg.theta_tenths = radial_tenths;
    return leg;
}

Leg until_intercept(const std::string& path, long course_tenths, char turn) {
    Leg leg = until_distance(path, course_tenths, "", 0);
    leg.turn = turn;
    return leg;
}

Leg vectors(long course_tenths) {
    return until_intercept("VM", course_tenths, ' ');
}

}  // namespace omniway::demo_region
