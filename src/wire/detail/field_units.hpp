#pragma once

#include <array>
#include <string_view>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/finding.hpp"
#include "base/quantity.hpp"
#include "cockpit/equipment.hpp"
#include "earth/magnetic_model.hpp"
#include "flight/step.hpp"
#include "procedure/minima.hpp"
#include "radio/error_budget.hpp"
#include "radio/ground.hpp"

namespace omniway::wire::detail {

/// How a quantity stands on the wire: its unit, how finely, and in what range it is believed.
template <class Value>
struct Unit {
    double (*get)(const Value&);
    Value (*make)(double);
    double per;  // steps in one unit: 1 for whole ones, 10 for tenths
    double low;
    double high;
    std::string_view name;
};

namespace units {

template <class North>
constexpr Unit<base::Bearing<North>> bearing{[](const base::Bearing<North>& v) { return v.degrees(); },
                                             [](double v) { return base::Bearing<North>::degrees(v); },
                                             1,
                                             0,
                                             360,
                                             "degrees"};
constexpr Unit<base::Angle> pointer{[](const base::Angle& v) { return v.degrees(); },
                                    [](double v) { return base::Angle::degrees(v); },
                                    1,
                                    0,
                                    360,
                                    "degrees"};
constexpr Unit<base::Angle> tolerance{pointer.get, pointer.make, 10, 0, 90, "degrees"};
constexpr Unit<base::Length> reading{[](const base::Length& v) { return v.nautical_miles(); },
                                     [](double v) { return base::Length::nautical_miles(v); },
                                     10,
                                     0,
                                     400,
                                     "NM"};
constexpr Unit<base::Length> bias{reading.get, reading.make, 10, -25, 25, "NM"};
constexpr Unit<base::Length> distance{reading.get, reading.make, 10, 0, 12000, "NM"};
constexpr Unit<base::Length> height{[](const base::Length& v) { return v.feet(); },
                                    [](double v) { return base::Length::feet(v); },
                                    1,
                                    0,
                                    10000,
                                    "ft"};
constexpr Unit<base::Altitude> altitude{[](const base::Altitude& v) { return v.feet(); },
                                        [](double v) { return base::Altitude::feet(v); },
                                        1,
                                        -2000,
                                        60000,
                                        "ft"};
constexpr Unit<base::Duration> time{[](const base::Duration& v) { return v.count(); },
                                    [](double v) { return base::Duration(v); },
                                    1,
                                    0,
                                    360000,
                                    "s"};
constexpr Unit<base::Duration> slack{time.get, time.make, 1, -360000, 360000, "s"};
constexpr Unit<base::Speed> speed{[](const base::Speed& v) { return v.knots(); },
                                  [](double v) { return base::Speed::knots(v); },
                                  1,
                                  0,
                                  1500,
                                  "kt"};
constexpr Unit<base::Speed> wind{speed.get, speed.make, 1, 0, 250, "kt"};
constexpr Unit<base::VerticalSpeed> rate{[](const base::VerticalSpeed& v) { return v.feet_per_minute(); },
                                         [](double v) { return base::VerticalSpeed::feet_per_minute(v); },
                                         1,
                                         -20000,
                                         20000,
                                         "ft/min"};
constexpr Unit<base::Mass> fuel{[](const base::Mass& v) { return v.pounds(); },
                                [](double v) { return base::Mass::pounds(v); },
                                1,
                                0,
                                1000000,
                                "lb"};
constexpr Unit<base::Frequency> megahertz{[](const base::Frequency& v) { return v.megahertz(); },
                                          [](double v) { return base::Frequency::megahertz(v); },
                                          1000,
                                          0.1,
                                          1300,
                                          "MHz"};
constexpr Unit<base::Frequency> kilohertz{[](const base::Frequency& v) { return v.kilohertz(); },
                                          [](double v) { return base::Frequency::kilohertz(v); },
                                          10,
                                          100,
                                          2000,
                                          "kHz"};

// What a person asks for is kept to a thousandth of its unit.
constexpr Unit<base::Length> asked_distance{reading.get, reading.make, 1000, 0, 400, "NM"};
constexpr Unit<base::Duration> asked_time{time.get, time.make, 1000, 0, 36000, "s"};
constexpr Unit<earth::DecimalYear> year{[](const earth::DecimalYear& v) { return v.value; },
                                        [](double v) { return earth::DecimalYear{v}; },
                                        1000,
                                        1900,
                                        2101,
                                        ""};
// To some 11 m: enough to tell points of one name apart.
constexpr Unit<double> latitude{
    [](const double& v) { return v; }, [](double v) { return v; }, 1e4, -90, 90, "degrees"};
constexpr Unit<double> longitude{latitude.get, latitude.make, 1e4, -180, 180, "degrees"};

}  // namespace units

/// What a text may be: printable, in UTF-8, of at most 1,000 bytes; an ident as transmitted; a kind of station by its name.
enum class TextForm { printable, station_ident, station_kind };

constexpr int most_steps = 1000;

/// A word on the wire and what it stands for.
template <class Value>
struct Word {
    std::string_view word;
    Value value;
};

namespace words {

constexpr auto to_or_from = std::to_array<Word<bool>>({{"to", true}, {"from", false}});
constexpr auto clockwise = std::to_array<Word<bool>>({{"clockwise", true}, {"anticlockwise", false}});
constexpr auto adf =
    std::to_array<Word<cockpit::AdfIndicator>>({{"fixed_card", cockpit::AdfIndicator::fixed_card},
                                                {"movable_card", cockpit::AdfIndicator::movable_card},
                                                {"rmi", cockpit::AdfIndicator::rmi}});
constexpr auto needle = std::to_array<Word<flight::NeedleSense>>(
    {{"toward_the_line", flight::NeedleSense::toward_the_line},
     {"away_from_the_line", flight::NeedleSense::away_from_the_line},
     {"righted_by_the_front_course", flight::NeedleSense::righted_by_the_front_course}});
constexpr auto turn = std::to_array<Word<navdata::Turn>>({{"left", navdata::Turn::left},
                                                          {"right", navdata::Turn::right},
                                                          {"either", navdata::Turn::either},
                                                          {"unspecified", navdata::Turn::unspecified}});
constexpr auto entry =
    std::to_array<Word<procedure::HoldEntry>>({{"direct", procedure::HoldEntry::direct},
                                               {"parallel", procedure::HoldEntry::parallel},
                                               {"teardrop", procedure::HoldEntry::offset}});
constexpr auto vertical =
    std::to_array<Word<flight::Vertical>>({{"climb", flight::Vertical::climb},
                                           {"level", flight::Vertical::level},
                                           {"descend", flight::Vertical::descend},
                                           {"on_glideslope", flight::Vertical::on_glideslope}});
constexpr auto role = std::to_array<Word<flight::ReceiverRole>>({{"guides", flight::ReceiverRole::guides},
                                                                 {"tells", flight::ReceiverRole::tells},
                                                                 {"checks", flight::ReceiverRole::checks},
                                                                 {"waits", flight::ReceiverRole::waits}});
constexpr auto distance_from =
    std::to_array<Word<flight::DistanceFrom>>({{"own_channel", flight::DistanceFrom::own_channel},
                                               {"receiver", flight::DistanceFrom::receiver},
                                               {"held", flight::DistanceFrom::held}});
constexpr auto set = std::to_array<Word<flight::SetKind>>(
    {{"receiver", flight::SetKind::receiver}, {"dme", flight::SetKind::dme}, {"adf", flight::SetKind::adf}});
constexpr auto phase = std::to_array<Word<flight::Phase>>({{"departure", flight::Phase::departure},
                                                           {"en route", flight::Phase::en_route},
                                                           {"arrival", flight::Phase::arrival},
                                                           {"approach", flight::Phase::approach},
                                                           {"missed approach", flight::Phase::missed}});
constexpr auto grade = std::to_array<Word<base::Grade>>({{"blocks", base::Grade::blocks},
                                                         {"asks", base::Grade::asks},
                                                         {"warns", base::Grade::warns},
                                                         {"notes", base::Grade::notes}});
constexpr auto verdict = std::to_array<Word<base::Verdict>>({{"flyable", base::Verdict::flyable},
                                                             {"flyable if", base::Verdict::flyable_if},
                                                             {"not flyable", base::Verdict::not_flyable}});
constexpr auto landing = std::to_array<Word<procedure::Landing>>(
    {{"straight-in", procedure::Landing::straight_in}, {"circling", procedure::Landing::circling}});
constexpr auto minimum_kind =
    std::to_array<Word<procedure::MinimumKind>>({{"DA", procedure::MinimumKind::decision_altitude},
                                                 {"MDA", procedure::MinimumKind::minimum_descent_altitude}});
constexpr auto course_indicator = std::to_array<Word<cockpit::CourseIndicator>>(
    {{"cdi", cockpit::CourseIndicator::cdi}, {"hsi", cockpit::CourseIndicator::hsi}});
constexpr auto dme_control = std::to_array<Word<cockpit::DmeControl>>(
    {{"own_control", cockpit::DmeControl::own_control},
     {"follows_receiver", cockpit::DmeControl::follows_receiver},
     {"follows_receiver_with_hold", cockpit::DmeControl::follows_receiver_with_hold}});
constexpr auto reception =
    std::to_array<Word<radio::ReceptionMode>>({{"volume", radio::ReceptionMode::volume},
                                               {"horizon", radio::ReceptionMode::horizon},
                                               {"terrain", radio::ReceptionMode::terrain}});
constexpr auto criteria = std::to_array<Word<radio::Criteria>>(
    {{"terps", radio::Criteria::terps}, {"pans-ops", radio::Criteria::pans_ops}});

}  // namespace words

}  // namespace omniway::wire::detail
