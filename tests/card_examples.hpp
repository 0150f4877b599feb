#pragma once

#include <utility>
#include <vector>

#include "flight/card.hpp"

namespace omniway::testing {

using namespace base::literals;

inline flight::NamedAid vor_dme(std::string ident = "XDV", double mhz = 113.4) {
    return {std::move(ident), "VOR/DME", base::Frequency::megahertz(mhz)};
}
inline flight::NamedAid beacon() {
    return {"XAB", "NDB", base::Frequency::kilohertz(365.5)};
}
inline flight::NamedAid instrument_landing_system() {
    return {"IXDV", "ILS/DME", base::Frequency::megahertz(110.3)};
}
inline base::Radial radial(double degrees) {
    return base::Radial::degrees(degrees);
}
inline base::MagneticBearing magnetic(double degrees) {
    return base::MagneticBearing::degrees(degrees);
}
inline base::Angle degrees(double degrees) {
    return base::Angle::degrees(degrees);
}
inline base::Altitude feet(double feet) {
    return base::Altitude::feet(feet);
}
inline base::Duration seconds(double seconds) {
    return base::Duration(seconds);
}

/// One of every kind of guidance, each field given and none as it is by default.
inline std::vector<flight::StepGuidance> every_guidance() {
    return {flight::FollowRadial{vor_dme(), true, radial(71)},
            flight::FollowBearing{beacon(), true, magnetic(212), cockpit::AdfIndicator::movable_card,
                                  degrees(209)},
            flight::FollowLocalizer{instrument_landing_system(), radial(272), true, true, true,
                                    flight::NeedleSense::righted_by_the_front_course},
            flight::FollowArc{vor_dme(), 12.3_nm, true, radial(180), radial(251)},
            flight::FlyHeading{magnetic(268), magnetic(263), true},
            flight::FlyHold{"XOBAN", vor_dme(), magnetic(272), navdata::Turn::left,
                            procedure::HoldEntry::offset, magnetic(88), seconds(67), 9.4_nm},
            flight::ReverseCourse{"XOBAN", instrument_landing_system(), magnetic(92), magnetic(47),
                                  magnetic(227), navdata::Turn::left, 10.0_nm}};
}

inline std::vector<flight::StepEnd> every_end() {
    return {flight::StationPassage{beacon(), true},
            flight::ReadingReached{vor_dme(), 22.8_nm, true},
            flight::RadialCentres{vor_dme("XHU", 115.25), radial(143)},
            flight::BearingReached{beacon(), magnetic(310), cockpit::AdfIndicator::rmi, degrees(310)},
            flight::LocalizerCentres{instrument_landing_system()},
            flight::NeedleAlive{vor_dme()},
            flight::AltitudeReached{feet(3400)},
            flight::TimeOut{seconds(95), "XOBAN"},
            flight::ChangeOver{vor_dme("XHU", 115.25), vor_dme(), 31.2_nm, seconds(702), "over XDV"},
            flight::GlideslopeCentres{feet(2100)},
            flight::Minimums{feet(292)},
            flight::EstablishedInbound{},
            flight::HeldUntil{feet(5000)}};
}

inline std::vector<flight::StepCheck> every_check() {
    return {flight::ReadingCheck{vor_dme(), 17.2_nm, 0.6_nm},
            flight::RadialCheck{vor_dme(), radial(301), degrees(4.3)},
            flight::BearingCheck{beacon(), magnetic(12), degrees(5), cockpit::AdfIndicator::rmi, degrees(12)},
            flight::GlideslopeCheck{feet(1830), 100_ft}};
}

inline std::vector<flight::Notice> every_notice() {
    return {
        flight::ZoneOverhead{vor_dme(), seconds(38), 1.3_nm},
        flight::NeedleDeceives{instrument_landing_system(), flight::NeedleSense::righted_by_the_front_course},
        flight::BiasedReading{instrument_landing_system(), 0.9_nm},
        flight::SlantRange{vor_dme(), 0.4_nm},
        flight::NoFlag{beacon()},
        flight::LocalizerWithoutToFrom{instrument_landing_system()}};
}

inline std::vector<flight::StepWork> every_work() {
    using flight::RadioSet;
    using flight::SetKind;
    return {flight::Tune{RadioSet{SetKind::receiver, 2},
                         vor_dme("XHU", 115.25),
                         {1, "over XDV"},
                         {2, "22.8 DME XHU"},
                         seconds(41)},
            flight::Preselect{RadioSet{SetKind::receiver, 2}, instrument_landing_system()},
            flight::SetCourse{2, radial(143), {1, "over XDV"}},
            flight::SelectDistance{flight::DistanceFrom::held, 2, vor_dme(), {2, "22.8 DME XHU"}},
            flight::GuideBy{2, vor_dme("XHU", 115.25)},
            flight::HoldHeadingWhileTuning{vor_dme("XHU", 115.25), seconds(45)},
            flight::StartClock{},
            flight::LeaveAltitude{"leave 8,000 ft at 22.0 DME XHU"},
            flight::Call{"TWR", "Dover Tower", base::Frequency::megahertz(118.305)}};
}

inline flight::StepRadios radios_of_every_kind() {
    return {{{1, flight::ReceiverRole::guides, vor_dme(), vor_dme("XHU", 115.25), radial(71)},
             {2, flight::ReceiverRole::checks, vor_dme("XHU", 115.25), std::nullopt, radial(143)}},
            flight::DistanceStands{flight::DistanceFrom::held, 2, vor_dme("XHU", 115.25)},
            flight::AdfStands{beacon(), magnetic(263)}};
}

/// A card in which every kind of guidance, end, check, notice and work stands at least once, each field given and none as it is by
/// default. It makes no sense as a flight.
inline flight::Card card_of_every_kind() {
    flight::Card card;
    card.lined_up = radios_of_every_kind();
    card.before_take_off = {flight::Call{"ATIS", "Dover Information", base::Frequency::megahertz(127.85)},
                            flight::StartClock{}};
    card.immediate_return = flight::ImmediateReturn{
        "ILS RW27 via XOBAN", instrument_landing_system(), radial(272), {flight::SetKind::receiver, 2}, true};
    const auto guidance = every_guidance();
    const auto ends = every_end();
    const auto checks = every_check();
    for (std::size_t i = 0; i < ends.size(); ++i) {
        flight::Step step;
        step.number = static_cast<int>(i) + 1;
        step.phase = static_cast<flight::Phase>(i % 5);
        step.via = "V14";
        step.from = "XDV";
        step.to = "XHU";
        step.guidance = guidance[i % guidance.size()];
        step.end = ends[i];
        step.heights = {static_cast<flight::Vertical>(i % 4),
                        feet(8000),
                        i % 3 == 2 ? std::optional(feet(5500)) : std::nullopt,
                        i % 4 == 3 ? "XHU" : "",
                        feet(7000),
                        feet(9000),
                        feet(5200),
                        "MEA",
                        base::VerticalSpeed::feet_per_minute(-480)};
        step.radios = radios_of_every_kind();
        step.work = every_work();
        step.check = checks[i % checks.size()];
        step.expected = {magnetic(268), magnetic(263), base::Speed::knots(128), base::Speed::knots(119),
                         34.2_nm,       seconds(1034), base::Mass::pounds(31),  every_notice()};
        (i < 10 ? card.steps : card.missed).push_back(step);
    }
    card.distance = 231.7_nm;
    card.time = seconds(6604);
    card.fuel = base::Mass::pounds(231);
    card.fuel_needed = base::Mass::pounds(343);
    return card;
}

}  // namespace omniway::testing
