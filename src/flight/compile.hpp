#pragma once

#include <vector>

#include "base/quantity.hpp"
#include "flight/card.hpp"
#include "flight/circumstances.hpp"
#include "flight/flight_track.hpp"
#include "flight/radio_schedule.hpp"

namespace omniway::flight {

/// A flight made ready to be judged, printed, shown and flown.
struct Compiled {
    FlightTrack track;
    RadioQuestion radios;
    RadioAnswer schedule;
    Card card;  // where there is no schedule its radios and work are empty
    /// When each piece of work of each step is done, from lining up; the steps of the missed approach follow on the others.
    std::vector<std::vector<base::Duration>> work_at;
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
