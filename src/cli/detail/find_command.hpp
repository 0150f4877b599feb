#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include "app/find_batch.hpp"
#include "cli/detail/hear_command.hpp"

namespace omniway::cli::detail {

/// `omniway find`: where the aircraft is by what was read, once or for each line of a batch.
class FindCommand {
public:
    explicit FindCommand(CommandHost host) : host_(std::move(host)) {}

    /// Adds it to the program's words; the caller adds what all commands have.
    CLI::App* declare(CLI::App& app, std::optional<std::string>& date);

    /// The words as they can be told from options: "--vor" "-..- .- -...=123" becomes one word, as Morse and places begin like options.
    static std::vector<std::string> joined(const std::vector<std::string>& typed);

private:
    void run();
    void run_batch(const app::Finder& finder);
    std::optional<std::string> batch_text();
    void answer(const app::PositionFound& found);

    CommandHost host_;
    std::map<std::string, std::vector<std::string>> words_;
    app::FindQuestion question_;
    std::optional<std::string> batch_;
};

}  // namespace omniway::cli::detail
