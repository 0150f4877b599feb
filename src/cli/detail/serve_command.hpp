#pragma once

#include <string>

#include <CLI/CLI.hpp>

#include "cli/detail/hear_command.hpp"
#include "service/serve.hpp"

namespace omniway::cli::detail {

/// `omniway serve`: the page and the questions over HTTP, until it is asked to stop.
class ServeCommand {
public:
    explicit ServeCommand(CommandHost host) : host_(std::move(host)) {}

    /// Adds it to the program's words; the caller adds what all commands have.
    CLI::App* declare(CLI::App& app, std::string version);

private:
    void run();

    CommandHost host_;
    service::ServeQuestion question_;
};

}  // namespace omniway::cli::detail
