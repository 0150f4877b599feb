#pragma once

#include <optional>
#include <string>

#include <CLI/CLI.hpp>

#include "app/judge_flight.hpp"
#include "cli/detail/hear_command.hpp"

namespace omniway::cli::detail {

/// `omniway judge FILE|"ROUTE"`: a route that a person named, or a card, judged.
class JudgeCommand {
public:
    explicit JudgeCommand(CommandHost host) : host_(std::move(host)) {}

    /// Adds it to the program's words; the caller adds what all commands have.
    CLI::App* declare(CLI::App& app, std::optional<std::string>& date);

private:
    void judge();
    bool write_card(const app::Judged& judged);

    CommandHost host_;
    app::JudgeQuestion question_;
    CLI::App* command_ = nullptr;
    std::optional<std::string> card_;
    bool why_ = false;
};

}  // namespace omniway::cli::detail
