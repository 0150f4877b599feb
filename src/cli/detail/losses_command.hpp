#pragma once

#include <CLI/CLI.hpp>

#include "app/plan_flight.hpp"
#include "base/progress.hpp"
#include "cli/detail/hear_command.hpp"

namespace omniway::cli::detail {

/// What is told on a terminal while work goes on, and how it is cancelled.
base::Progress progress_of(const Surroundings& around);
/// Takes what was told off the terminal.
void end_progress(const Surroundings& around);
/// Refuses; cancelled has an exit status of its own.
void refuse_or_cancelled(const CommandHost& host, const std::vector<base::Error>& faults);

/// `omniway losses FROM TO`: its words beside those that plan the flight, which the caller adds, as what all commands have.
class LossesCommand {
public:
    LossesCommand(CommandHost host, app::PlanQuestion& question)
        : host_(std::move(host)), question_(question) {}

    CLI::App* declare(CLI::App& app);

private:
    void run();

    CommandHost host_;
    app::PlanQuestion& question_;
};

}  // namespace omniway::cli::detail
