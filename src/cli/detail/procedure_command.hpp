#pragma once

#include <optional>
#include <string>

#include <CLI/CLI.hpp>

#include "app/show_procedure.hpp"
#include "cli/detail/hear_command.hpp"

namespace omniway::cli::detail {

/// `omniway show AIRPORT PROCEDURE` and `omniway show AIRPORT --procedures`: the words that `show` has for them.
class ProcedureCommand {
public:
    explicit ProcedureCommand(CommandHost host) : host_(std::move(host)) {}

    /// Adds its own words to `show`; aircraft, criteria and reception are words of `show` already.
    void declare(CLI::App& show);
    /// Whether a procedure, or all of an airport, was asked for.
    bool is_asked() const { return procedure_.has_value() || all_; }
    /// The first of its own words that was given though no procedure is asked for; empty where none was.
    std::string stray() const;
    void show(const std::string& airport, const std::optional<std::string>& aircraft,
              const std::string& criteria, const std::optional<std::string>& reception);

private:
    void show_one(const app::ShownProcedures& shown);
    void show_all(const app::ShownProcedures& shown);

    CommandHost host_;
    app::ProcedureQuestion question_;
    std::optional<std::string> procedure_;
    std::optional<std::string> wind_;
    std::optional<std::string> reversal_;
    std::optional<std::string> svg_;
    bool all_ = false;
};

}  // namespace omniway::cli::detail
