#pragma once

#include <CLI/CLI.hpp>

#include "app/plan_flight.hpp"

namespace omniway::cli::detail {

/// The options that say with what, in what wind and by what rules a flight is asked about: the same for every command that plans or
/// judges one.
void add_flight_words(CLI::App& command, app::PlanQuestion& question);

}  // namespace omniway::cli::detail
