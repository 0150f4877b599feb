#pragma once

#include <optional>
#include <string>

#include <CLI/CLI.hpp>

#include "app/nav_log.hpp"
#include "cli/detail/hear_command.hpp"

namespace omniway::cli::detail {

/// `omniway navlog FROM TO`: its words beside those that plan the flight, which the caller adds, as what all commands have.
class NavLogCommand {
public:
    NavLogCommand(CommandHost host, app::PlanQuestion& question, std::optional<std::string>& date)
        : host_(std::move(host)), question_(question), date_(date) {}

    CLI::App* declare(CLI::App& app);

private:
    void run();
    bool date_is_settled();
    bool write_csv(const app::NavLogged& logged);

    CommandHost host_;
    app::PlanQuestion& question_;
    std::optional<std::string>& date_;
    app::NavLogQuestion asked_;
    std::optional<std::string> csv_;
};

}  // namespace omniway::cli::detail
