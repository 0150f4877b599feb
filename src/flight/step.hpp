#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "cockpit/equipment.hpp"
#include "flight/named_aid.hpp"
#include "flight/needle_sense.hpp"
#include "flight/phase.hpp"
#include "flight/radio_setting.hpp"
#include "navdata/turn.hpp"
#include "procedure/hold_entry.hpp"

namespace omniway::flight {

// What guides the aircraft along a step.

struct FollowRadial {
    NamedAid aid;
    bool toward = false;
    base::Radial course;  // as set: the radial outbound, its reciprocal inbound
    friend bool operator==(const FollowRadial&, const FollowRadial&) = default;
};
struct FollowBearing {  // of a beacon
    NamedAid aid;
    bool toward = false;
    base::MagneticBearing track;
    cockpit::AdfIndicator indicator = cockpit::AdfIndicator::fixed_card;
    /// What the pointer shows on the track with the drift allowed for: relative to the nose on a fixed card, else what stands
    /// under its head.
    base::Angle pointer;
    friend bool operator==(const FollowBearing&, const FollowBearing&) = default;
};
struct FollowLocalizer {
    NamedAid aid;
    base::Radial front_course;  // on an HSI set always, whichever way it is flown
    bool outbound = false;
    bool back_course = false;
    bool glideslope = false;
    NeedleSense needle = NeedleSense::toward_the_line;
    friend bool operator==(const FollowLocalizer&, const FollowLocalizer&) = default;
};
struct FollowArc {
    NamedAid aid;
    base::Length reading;
    bool clockwise = false;
    std::optional<base::Radial> from_radial;
    std::optional<base::Radial> to_radial;
    friend bool operator==(const FollowArc&, const FollowArc&) = default;
};
struct FlyHeading {
    base::MagneticBearing track;
    std::optional<base::MagneticBearing> heading;  // none where no heading holds the track in this wind
    bool along_runway = false;
    friend bool operator==(const FlyHeading&, const FlyHeading&) = default;
};
struct FlyHold {
    std::string fix;
    std::optional<NamedAid> aid;  // that guides inbound
    base::MagneticBearing inbound;
    navdata::Turn side = navdata::Turn::right;
    procedure::HoldEntry entry = procedure::HoldEntry::direct;
    base::MagneticBearing outbound_heading;
    std::optional<base::Duration> outbound_time;   // timed
    std::optional<base::Length> outbound_reading;  // by DME
    friend bool operator==(const FlyHold&, const FlyHold&) = default;
};
struct ReverseCourse {
    std::string fix;
    std::optional<NamedAid> aid;  // that guides outbound and inbound
    base::MagneticBearing outbound;
    base::MagneticBearing away;            // 45 degrees off
    base::MagneticBearing return_heading;  // back to the inbound course
    navdata::Turn back = navdata::Turn::right;
    base::Length within;  // of the fix
    friend bool operator==(const ReverseCourse&, const ReverseCourse&) = default;
};
using StepGuidance =
    std::variant<FollowRadial, FollowBearing, FollowLocalizer, FollowArc, FlyHeading, FlyHold, ReverseCourse>;

// What ends a step, observable with the instruments aboard.

struct StationPassage {  // the first full TO/FROM reversal, or a beacon's pointer past abeam
    NamedAid aid;
    bool pointer = false;
    friend bool operator==(const StationPassage&, const StationPassage&) = default;
};
struct ReadingReached {
    NamedAid aid;
    base::Length reading;  // slant range, less the bias of the station
    bool increasing = false;
    friend bool operator==(const ReadingReached&, const ReadingReached&) = default;
};
struct RadialCentres {
    NamedAid aid;
    base::Radial course;  // as set
    friend bool operator==(const RadialCentres&, const RadialCentres&) = default;
};
struct BearingReached {
    NamedAid aid;
    base::MagneticBearing to_station;
    cockpit::AdfIndicator indicator = cockpit::AdfIndicator::fixed_card;
    base::Angle pointer;  // as of FollowBearing
    friend bool operator==(const BearingReached&, const BearingReached&) = default;
};
struct LocalizerCentres {  // a second receiver's, crossing
    NamedAid aid;
    friend bool operator==(const LocalizerCentres&, const LocalizerCentres&) = default;
};
struct NeedleAlive {  // what guides next leaves full scale: turn on to it
    NamedAid aid;
    friend bool operator==(const NeedleAlive&, const NeedleAlive&) = default;
};
struct AltitudeReached {
    base::Altitude altitude;
    friend bool operator==(const AltitudeReached&, const AltitudeReached&) = default;
};
struct TimeOut {
    base::Duration time{0.0};
    std::string since;  // the fix or event from which it counts
    friend bool operator==(const TimeOut&, const TimeOut&) = default;
};
/// No fix: the other aid takes over. By DME where one can be read, else by time; either way nothing depends on its place to a mile.
struct ChangeOver {
    NamedAid to;
    std::optional<NamedAid> reading_of;
    std::optional<base::Length> reading;
    std::optional<base::Duration> time;
    std::string since;
    friend bool operator==(const ChangeOver&, const ChangeOver&) = default;
};
struct GlideslopeCentres {
    std::optional<base::Altitude> altitude;
    friend bool operator==(const GlideslopeCentres&, const GlideslopeCentres&) = default;
};
struct Minimums {                            // a decision altitude on the glideslope
    std::optional<base::Altitude> altitude;  // the chart's, where the user gives it
    friend bool operator==(const Minimums&, const Minimums&) = default;
};
struct EstablishedInbound {  // after a reversal or once round a hold
    friend bool operator==(const EstablishedInbound&, const EstablishedInbound&) = default;
};
struct HeldUntil {
    std::optional<base::Altitude> altitude;  // none: until cleared, or until one has decided
    friend bool operator==(const HeldUntil&, const HeldUntil&) = default;
};
using StepEnd = std::variant<StationPassage, ReadingReached, RadialCentres, BearingReached, LocalizerCentres,
                             NeedleAlive, AltitudeReached, TimeOut, ChangeOver, GlideslopeCentres, Minimums,
                             EstablishedInbound, HeldUntil>;

// How high.

enum class Vertical { climb, level, descend, on_glideslope };
struct StepHeights {
    Vertical vertical = Vertical::level;
    base::Altitude at_end;
    std::optional<base::Altitude> between;  // flown on the way where it is lower than both ends
    std::string level_at;                   // the fix at its end by which a climb is to be over; else empty
    std::optional<base::Altitude> at_or_above;  // coded at its end
    std::optional<base::Altitude> at_or_below;
    std::optional<base::Altitude> minimum;  // along it
    std::string minimum_from;               // "MEA", "ground 2,598 ft + 200 + 1,000"; of none, why
    std::optional<base::VerticalSpeed> rate;
    friend bool operator==(const StepHeights&, const StepHeights&) = default;
};

// One independent look at whether all is well, at the end of the step: by an aid that neither guides it nor ends it.

struct ReadingCheck {
    NamedAid aid;
    base::Length reading;
    base::Length tolerance;
    friend bool operator==(const ReadingCheck&, const ReadingCheck&) = default;
};
struct RadialCheck {
    NamedAid aid;
    base::Radial radial;  // FROM
    base::Angle tolerance;
    friend bool operator==(const RadialCheck&, const RadialCheck&) = default;
};
struct BearingCheck {
    NamedAid aid;
    base::MagneticBearing to_station;
    base::Angle tolerance;
    cockpit::AdfIndicator indicator = cockpit::AdfIndicator::fixed_card;
    base::Angle pointer;
    friend bool operator==(const BearingCheck&, const BearingCheck&) = default;
};
struct GlideslopeCheck {  // crossing the final fix on the glideslope
    base::Altitude altitude;
    base::Length tolerance;
    friend bool operator==(const GlideslopeCheck&, const GlideslopeCheck&) = default;
};
using StepCheck = std::variant<ReadingCheck, RadialCheck, BearingCheck, GlideslopeCheck>;

// What will be seen on the way that might deceive.

struct ZoneOverhead {  // TO/FROM and needle (or pointer) are of no use around the aid
    NamedAid aid;
    base::Duration about{0.0};
    std::optional<base::Length> least_reading;  // its DME reads no less: the height
    friend bool operator==(const ZoneOverhead&, const ZoneOverhead&) = default;
};
struct NeedleDeceives {  // fly away from it; or set the front course and fly toward it
    NamedAid aid;
    NeedleSense needle = NeedleSense::away_from_the_line;
    friend bool operator==(const NeedleDeceives&, const NeedleDeceives&) = default;
};
struct BiasedReading {  // an ILS/DME that reads zero at the threshold
    NamedAid aid;
    base::Length bias;
    friend bool operator==(const BiasedReading&, const BiasedReading&) = default;
};
struct SlantRange {  // the reading stands this much above the distance over the ground
    NamedAid aid;
    base::Length over_ground;
    friend bool operator==(const SlantRange&, const SlantRange&) = default;
};
struct NoFlag {  // an ADF shows none: listen to its ident all along
    NamedAid aid;
    friend bool operator==(const NoFlag&, const NoFlag&) = default;
};
struct LocalizerWithoutToFrom {
    NamedAid aid;
    friend bool operator==(const LocalizerWithoutToFrom&, const LocalizerWithoutToFrom&) = default;
};
using Notice =
    std::variant<ZoneOverhead, NeedleDeceives, BiasedReading, SlantRange, NoFlag, LocalizerWithoutToFrom>;

/// What to expect on the way: the heading and figures in this wind, and what might deceive.
struct StepExpected {
    base::MagneticBearing course;                  // over the ground at its start
    std::optional<base::MagneticBearing> heading;  // none where no heading holds the course
    base::Speed true_airspeed;
    std::optional<base::Speed> groundspeed;
    base::Length distance;
    std::optional<base::Duration> time;
    base::Mass fuel;
    std::vector<Notice> notices;
    friend bool operator==(const StepExpected&, const StepExpected&) = default;
};

/// One step of a card: what guides, what ends it, how high, how the radios stand, what is to be done on the way, one independent
/// check, and what to expect. It holds what paper can and nothing else.
///   Model     every figure is rounded to what a cockpit can read or set: whole degrees, tenths of a mile, seconds, feet, pounds
///             and knots; frequencies as published.
///   Domain    compiled by flight/card.hpp, or read from JSON by wire/card_json.hpp.
///   Accuracy  as rounded: equal after a way through JSON and back.
///   Cost      some kilobytes.
///   Fails     never.
///   Source    design section 2, idea 2.
struct Step {
    int number = 0;
    Phase phase = Phase::en_route;
    std::string via;   // "V14", "DCT", "ILS RW27 via XOBAN"
    std::string from;  // may be empty
    std::string to;    // the fix at its end, may be empty
    StepGuidance guidance;
    StepEnd end;
    StepHeights heights;
    StepRadios radios;           // as they stand when it begins
    std::vector<StepWork> work;  // in order
    std::optional<StepCheck> check;
    StepExpected expected;
    friend bool operator==(const Step&, const Step&) = default;
};

}  // namespace omniway::flight
