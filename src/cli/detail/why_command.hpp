#pragma once

#include <optional>
#include <string>

#include <CLI/CLI.hpp>

#include "app/why_route.hpp"
#include "cli/detail/hear_command.hpp"

namespace omniway::cli::detail {

/// `omniway why FROM TO "ROUTE"`: a route that a person named beside those that are offered.
class WhyCommand {
public:
    explicit WhyCommand(CommandHost host) : host_(std::move(host)) {}

    /// Adds it to the program's words; the caller adds what all commands have.
    CLI::App* declare(CLI::App& app, std::optional<std::string>& date);

private:
    void why();

    CommandHost host_;
    app::JudgeQuestion question_;
    CLI::App* command_ = nullptr;
    bool everything_ = false;
};

}  // namespace omniway::cli::detail
