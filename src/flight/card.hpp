#pragma once

#include <optional>
#include <string>
#include <vector>

#include "flight/circumstances.hpp"
#include "flight/flight_track.hpp"
#include "flight/radio_schedule.hpp"
#include "flight/step.hpp"

namespace omniway::flight {

/// An approach back to the field with the radios already set for it.
struct ImmediateReturn {
    std::string approach;  // "ILS RW25 via XOBAN"
    NamedAid aid;
    base::Radial course;
    RadioSet set;  // on which it stands when lined up
    bool in_standby = false;
    friend bool operator==(const ImmediateReturn&, const ImmediateReturn&) = default;
};

/// A flight as a program for a cockpit: what paper holds, from lining up to the runway, and the missed approach as a branch.
///   Model     steps in order; the missed approach is entered at the end of the last of `steps` and numbered on from it. The geometry
///             it was made from is the flight track, keyed by the same numbers.
///   Domain    one aircraft, one atlas.
///   Accuracy  as flight/step.hpp.
///   Cost      some tens of kilobytes.
///   Fails     never.
///   Source    design section 2, idea 2.
struct Card {
    StepRadios lined_up;                    // every knob before the take-off
    std::vector<StepWork> before_take_off;  // calls, the clock
    std::optional<ImmediateReturn> immediate_return;
    std::vector<Step> steps;
    std::vector<Step> missed;
    base::Length distance;
    std::optional<base::Duration> time;
    base::Mass fuel;         // from take-off to the missed approach point
    base::Mass fuel_needed;  // with taxi and reserve
    friend bool operator==(const Card&, const Card&) = default;
};

/// A flight made ready to be judged, printed, shown and flown.
struct Compiled {
    FlightTrack track;
    RadioQuestion radios;
    RadioAnswer schedule;
    Card card;  // where there is no schedule its radios and work are empty
};

/// Compiles a flight for the equipment aboard.
///   Model     flight/flight_track.hpp for the figures, flight/radio_needs.hpp and radio_schedule.hpp for the radios.
///   Domain    flights of the snapshot of the circumstances.
///   Accuracy  as those.
///   Cost      under 5 ms a flight (bench/card_bench.cpp).
///   Fails     never: an end that cannot be observed and a schedule that does not exist are findings of the judge.
///   Source    design sections 2 and 3.
Compiled compile(const Circumstances& circumstances, const Flight& flight);

}  // namespace omniway::flight
