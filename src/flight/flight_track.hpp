#pragma once

#include <optional>
#include <string>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "earth/magnetic_model.hpp"
#include "flight/flight.hpp"
#include "flight/needle_sense.hpp"
#include "navdata/snapshot.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::flight {

/// What one step of the card is on the earth: from where to where, by what, and what it costs.
struct TrackStep {
    int number = 0;
    std::size_t leg = 0;  // the last that belongs to it, of the flight's or of its missed approach
    Phase phase = Phase::en_route;
    std::string via;
    procedure::Guidance guidance;
    std::string from;
    std::string to;
    earth::Position start;
    earth::Position finish;
    base::Length length;
    bool along_runway = false;                     // the first of a departure, before any turn
    base::TrueBearing track;                       // at the start
    base::MagneticBearing course;                  // the same by today's variation there
    std::optional<base::MagneticBearing> heading;  // wind-corrected; none where no heading holds the course
    base::Variation variation;
    std::optional<base::Radial>
        course_set;  // on the receiver, by the station's own zero; of a localizer its front course
    NeedleSense needle = NeedleSense::toward_the_line;
    base::Speed true_airspeed;
    std::optional<base::Speed> groundspeed;
    std::optional<base::Duration> time;
    base::Mass fuel;
    base::Altitude altitude;                       // at its end
    std::optional<base::Altitude> lowest;          // flown along it; of the missed approach not said
    bool level_at_end = false;                     // a climb to the level of what follows ends with it
    LegMinimum minimum;                            // the highest along the step
    std::optional<base::Altitude> minimum_at_end;  // where the last part of the step has a lower one
    std::string minimum_at_end_from;               // the point from which it holds
    std::optional<procedure::Ending> ending;  // none: the next step's guidance takes over at a changeover
    std::optional<base::Duration> timed_from_final_fix;  // where only the clock ends it
};

/// Where an ILS ends: at a decision altitude that the user gave, on the glideslope.
struct DecisionPoint {
    base::Altitude altitude;
    base::Length before_threshold;
    std::optional<base::Duration> from_final_fix;
};

/// The final on the earth: the glideslope's check at the final fix or the angle down, and the time from the final fix.
struct FinalApproach {
    int first_step = 0;  // after the final fix
    int last_step = 0;   // ends at the missed approach point or the decision altitude
    procedure::FinalSegment segment;
    std::optional<base::Speed> groundspeed;  // in this wind
    std::optional<base::Duration> time;      // from the final fix to the missed approach point
    std::optional<base::VerticalSpeed> descent_rate;
    std::vector<procedure::TimeAtSpeed> times;  // for 60 to 180 kt
    std::optional<DecisionPoint> decision;      // none where no decision altitude was given
};

/// The top of descent with the step during which it comes.
struct DescentEvent {
    int step = 0;
    TopOfDescent top;
};

/// The beginning of a climb to another level, with the step during which it comes.
struct ClimbEvent {
    int step = 0;
    LevelChange change;
};

/// The geometry a card is made from, keyed by the number of its step; the card itself (flight/card.hpp) holds only what paper can.
///   Model     a step for each stretch of guidance; points on a straight line under one aid are passed without a step. Speeds
///             and fuel midway of the step, in the wind there; in parts where a top lies in it, its airspeed then the mean.
///   Domain    flights of the same snapshot and aircraft.
///   Accuracy  headings by the World Magnetic Model (earth/magnetic_model.hpp); courses to set by the station's own
///             declination.
///   Cost      some ten microseconds a step.
///   Fails     never: a step whose course no heading holds has no heading, groundspeed or time.
///   Source    design section 2.
struct FlightTrack {
    std::vector<TrackStep> steps;
    std::vector<TrackStep> missed;
    std::string begins_at =
        "take-off";  // or the place in the air where it is taken up: what a first clock counts from
    std::vector<ClimbEvent> climbs;
    std::optional<DescentEvent> descent;
    std::optional<FinalApproach> final_approach;
    base::Length length;
    std::optional<base::Duration> time;
    base::Mass fuel;         // from take-off to the missed approach point
    base::Mass fuel_needed;  // with taxi, reserve and, where one is given, what the alternate asks
};

/// How the needle is followed of what guides: other than toward the line only on a localizer.
NeedleSense needle_sense(const cockpit::Equipment& aboard, const procedure::Guidance& guidance);

FlightTrack track_of(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
                     const earth::MagneticModel& model, earth::DecimalYear today,
                     const weather::WindsAloft& winds, const Flight& flight);

}  // namespace omniway::flight
