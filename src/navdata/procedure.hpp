#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "navdata/point_name.hpp"
#include "navdata/provenance.hpp"
#include "navdata/turn.hpp"

namespace omniway::navdata {

/// The 23 ways a coded leg is flown and ends. Source: ARINC 424-18 section 5.21 (trade-facts 11.1).
enum class PathTerminator {
    IF,
    TF,
    CF,
    DF,
    FA,
    FC,
    FD,
    FM,
    CA,
    CD,
    CI,
    CR,
    VA,
    VD,
    VI,
    VM,
    VR,
    AF,
    RF,
    PI,
    HA,
    HF,
    HM
};

/// How altitudes 1 and 2 of a leg bind. Source: ARINC 424-18 section 5.29 (trade-facts 13.9).
enum class AltitudeRule {
    none,
    at,
    at_or_above,
    at_or_below,
    between,                 // altitude 1 the higher
    at_or_above_second,      // C
    glideslope_at,           // G, I: at altitude 1; altitude 2 is the glideslope's
    glideslope_at_or_above,  // H, J
    step_down                // V, X, Y: as at_or_above with a coded angle
};

/// A course of a leg as coded: against the recommended aid's zero, or true where the row says so.
struct CodedCourse {
    double degrees = 0.0;
    bool is_true = false;
    friend bool operator==(const CodedCourse&, const CodedCourse&) = default;
};

/// One coded leg, as published.
///   Model     the columns of its row; nothing is resolved, rebuilt or judged here.
///   Domain    theta and rho are from the recommended aid; course is magnetic unless said; distance or time, never both.
///   Accuracy  0.1 degree, 0.1 NM (arc radius 0.001 NM), 0.1 min, 1 ft, 0.01 degree of vertical angle, as coded.
///   Cost      about 300 bytes.
///   Fails     never.
///   Source    ARINC 424-18 SID/STAR/approach record (trade-facts 13.9).
struct Leg {
    std::uint32_t sequence = 0;
    PathTerminator terminator = PathTerminator::IF;
    std::optional<PointName> fix;
    std::optional<PointName> recommended;
    std::optional<PointName> centre;  // of an RF
    std::optional<CodedCourse> theta;
    std::optional<base::Length> rho;
    std::optional<CodedCourse> course;
    std::optional<base::Length> distance;
    std::optional<base::Duration> time;
    std::optional<base::Length> arc_radius;
    Turn turn = Turn::unspecified;
    AltitudeRule altitude_rule = AltitudeRule::none;
    std::optional<base::Altitude> altitude_1;
    std::optional<base::Altitude> altitude_2;
    std::optional<base::Speed> speed_limit;
    std::optional<base::Angle> vertical_angle;
    std::string description;  // columns 40-43, four characters
    Origin origin;

    bool is_initial_approach_fix() const;       // column 43 A, C, D
    bool is_final_approach_course_fix() const;  // column 43 I
    bool is_final_approach_fix() const;         // column 43 F
    bool is_missed_approach_point() const;      // column 43 M
    bool begins_missed_approach() const;        // column 42 M
    bool is_flown_over() const;                 // column 41 B or Y
    friend bool operator==(const Leg&, const Leg&) = default;
};

enum class ProcedureKind { departure, arrival, approach };

/// One branch of a procedure: a transition, or the part all transitions share.
struct Branch {
    char route_type = ' ';   // column 20
    std::string transition;  // columns 21-25, empty for an approach's own part
    std::vector<Leg> legs;   // in ascending sequence
    friend bool operator==(const Branch&, const Branch&) = default;
};

/// A published procedure of one airport with all its branches.
struct Procedure {
    std::string airport;
    std::string region;
    ProcedureKind kind = ProcedureKind::approach;
    std::string ident;       // "I22L", "VDM-A"
    std::string qualifiers;  // columns 119-120 of its first own row
    std::vector<Branch> branches;
    friend bool operator==(const Procedure&, const Procedure&) = default;
};

std::string to_text(PathTerminator terminator);
std::optional<PathTerminator> path_terminator(const std::string& code);

/// "ILS or LOC", "VOR/DME", "RNAV (GPS)" ... for an approach's route type letter (trade-facts 13.9).
std::string approach_type_text(char route_type);

/// Whether a route type letter names an approach flown by ground aids: B D I L N Q S U V X. TACAN (T) is not: its azimuth
/// needs a receiver no cockpit here has. Source: trade-facts 13.9.
bool is_conventional_approach_type(char route_type);

/// Whether a branch of a SID or STAR is flown without area navigation, radar vectors or a flight management system: its runway, common and enroute
/// parts are types 1, 2 and 3.
bool is_conventional_terminal_type(char route_type);

}  // namespace omniway::navdata
