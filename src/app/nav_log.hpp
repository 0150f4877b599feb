#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "app/plan_flight.hpp"
#include "plan/nav_log.hpp"

namespace omniway::app {

/// What a person types to have a nav log, beside what plans the flight.
struct NavLogQuestion {
    std::optional<std::string> depart;     // "14:00Z": the take-off
    std::optional<std::string> alternate;  // an airport, or "none" where the weather asks for none
    std::vector<std::string> over;         // "XOBAN=14:07", "XOBAN=14:07/4R": in the order flown
    std::chrono::sys_days day;             // of the flight, where a time has no date
};

struct NavLogged {
    Planned planned;                  // its findings and verdict with those of the log
    std::optional<plan::NavLog> log;  // none: there is no flight
};

/// Plans the flight, and from its destination that to the alternate; keeps the log, forecast or as far as it was flown.
///   Model     a time without a date is the first at or after the moment before it, so that midnight may pass; one that would be
///             more than twelve hours later lies before it instead. The alternate is planned as a flight of its own, in the same winds.
///   Domain    passages in the order flown, each over a point of the log or over the departure (the take-off as it was).
///   Accuracy  as plan/nav_log.hpp.
///   Cost      as a plan, twice with an alternate.
///   Fails     as plan_flight; app.passage_form, app.unknown_passage, app.passage_order, app.passage_implausible, base.clock_*.
///   Source    none: how times are typed is this project's own.
tl::expected<NavLogged, std::vector<base::Error>> nav_log(const std::string& atlas, const Shipped& shipped,
                                                          const PlanQuestion& question,
                                                          const NavLogQuestion& asked);

}  // namespace omniway::app
