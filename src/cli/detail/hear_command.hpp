#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include "app/hear.hpp"
#include "app/hear_map.hpp"
#include "app/write_file.hpp"
#include "base/result.hpp"
#include "cli/run.hpp"

namespace omniway::cli::detail {

/// What a command needs of the program around it.
struct CommandHost {
    const Surroundings& around;
    const app::Shipped& shipped;
    bool& json;
    int& status;
    std::function<std::optional<std::string>()> atlas_path;    // none: refused already
    std::function<std::optional<earth::DecimalYear>()> today;  // the same
    std::function<void(const std::vector<base::Error>&)> refuse;
    std::function<void(const app::World&)> tell_troubles;

    /// Writes a file; false: refused already.
    bool write(const std::string& path, std::string_view bytes) const {
        const auto written = app::write_file(path, bytes);
        if (!written) {
            refuse({written.error()});
        }
        return written.has_value();
    }
    /// A document to a file, or here where the path is "-".
    bool give(const std::string& path, const std::string& document) const {
        if (path != "-") {
            return write(path, document + "\n");
        }
        around.out << document << "\n";
        return true;
    }

    /// The atlas, and the day into `day`: what every question begins with. None: refused already.
    std::optional<std::string> atlas_on(earth::DecimalYear& day) const {
        auto path = atlas_path();
        const auto known = path ? today() : std::nullopt;
        if (!known) {
            return std::nullopt;
        }
        day = *known;
        return path;
    }
};

/// `omniway hear`: along a way, at places, or as a map.
class HearCommand {
public:
    explicit HearCommand(CommandHost host) : host_(std::move(host)) {}

    /// Adds it to the program's words; the caller adds what all commands have.
    CLI::App* declare(CLI::App& app, std::optional<std::string>& date);

private:
    void hear();
    void along(const std::string& atlas);
    void points(const std::string& atlas);
    void map(const std::string& atlas);
    bool is_understood();

    CommandHost host_;
    app::HearAlongQuestion along_;
    app::HearPointsQuestion points_;
    app::HearMapQuestion map_;
    bool with_map_ = false;
    std::optional<std::string> svg_;
};

}  // namespace omniway::cli::detail
