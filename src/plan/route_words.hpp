#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "base/finding.hpp"
#include "flight/flight_track.hpp"
#include "flight/route.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::plan {

/// At which word of a route by hand each step of its flight stands, so that what was found can be told where it was written.
///   Model     a step stands at the point that it leads to next: what is flown after a point, overhead it included, up to the one behind it. The
///             approach and its missed approach stand at the last word. A finding stands where its step does; one without a step
///             at the word that it names first.
///   Domain    the route that the flight was made of (plan/hand_made.hpp). Words are counted from 1 as the route is written, a change of level with its point.
///   Accuracy  exact in names; a point without a record is known by being within 0.1 NM.
///   Cost      steps by words.
///   Fails     never; "no" is an empty answer.
///   Source    none: how findings are told is this project's own.
class RouteWords {
public:
    RouteWords(const navdata::Snapshot& world, const flight::Route& route, const flight::FlightTrack& track);

    std::optional<int> of_step(int number) const;
    std::optional<int> of(const base::Finding& finding) const;

private:
    std::vector<std::string> words_;             // as written, the first is number 1
    std::vector<std::pair<int, int>> of_steps_;  // number of the step, number of the word
};

}  // namespace omniway::plan
