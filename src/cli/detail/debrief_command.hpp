#pragma once

#include <CLI/CLI.hpp>

#include "app/debrief_flight.hpp"
#include "cli/detail/hear_command.hpp"

namespace omniway::cli::detail {

/// `omniway debrief CARD TRACK`: a flown track laid against the card it was flown by.
class DebriefCommand {
public:
    explicit DebriefCommand(CommandHost host) : host_(std::move(host)) {}

    /// Adds it to the program's words; the caller adds what all commands have.
    CLI::App* declare(CLI::App& app);

private:
    void run();
    void tell(const app::Debriefed& debriefed);

    CommandHost host_;
    app::DebriefQuestion question_;
    CLI::App* command_ = nullptr;
};

}  // namespace omniway::cli::detail
