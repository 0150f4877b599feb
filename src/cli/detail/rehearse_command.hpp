#pragma once

#include <optional>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include "app/rehearse_flight.hpp"
#include "cli/detail/hear_command.hpp"

namespace omniway::cli::detail {

/// `omniway rehearse FROM TO|CARD`: a flight flown many times by needle alone, or one of these flights again.
class RehearseCommand {
public:
    explicit RehearseCommand(CommandHost host) : host_(std::move(host)) {}

    /// Adds it to the program's words; the caller adds what all commands have. `typed` are the words as they were typed.
    CLI::App* declare(CLI::App& app, std::optional<std::string>& date, const std::vector<std::string>& typed);

private:
    void run();
    bool is_understood();
    void tell(const app::Rehearsed& rehearsed);
    bool write_track(const app::Rehearsed& rehearsed);

    CommandHost host_;
    app::RehearseQuestion question_;
    std::vector<std::string> typed_;
    std::optional<std::string> gpx_;
    CLI::App* command_ = nullptr;
};

}  // namespace omniway::cli::detail
