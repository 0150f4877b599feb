#pragma once

#include <CLI/CLI.hpp>

#include "app/plan_flight.hpp"

namespace omniway::cli::detail {

/// The options that say with what, in what wind and by what rules a flight is asked about: the same for every command that plans or
/// judges one.
void add_flight_words(CLI::App& command, app::PlanQuestion& question);

/// The options that say by which runways and which approach, and what of a way is wanted or not: the same for a plan and a route that is
/// judged.
void add_way_words(CLI::App& command, app::PlanQuestion& question);

}  // namespace omniway::cli::detail
