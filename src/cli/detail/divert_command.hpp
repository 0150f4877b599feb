#pragma once

#include <optional>
#include <string>

#include <CLI/CLI.hpp>

#include "app/divert_flight.hpp"
#include "cli/detail/hear_command.hpp"

namespace omniway::cli::detail {

/// `omniway divert`: from a point of a planned flight, or from a position.
class DivertCommand {
public:
    explicit DivertCommand(CommandHost host) : host_(std::move(host)) {}

    /// Adds it to the program's words; the caller adds what all commands have.
    CLI::App* declare(CLI::App& app, std::optional<std::string>& date);

private:
    void run();

    CommandHost host_;
    app::DivertQuestion question_;
};

}  // namespace omniway::cli::detail
