#include "cli/detail/losses_command.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "app/station_losses.hpp"
#include "wire/losses_json.hpp"
#include "writers/losses_text.hpp"

namespace omniway::cli::detail {

namespace {

constexpr int cancelled = 3;
constexpr std::size_t line_width = 60;

}  // namespace

base::Progress progress_of(const Surroundings& around) {
    base::Progress progress;
    if (around.err_is_terminal) {
        progress.report = [&around](std::string_view stage, double share) {
            around.err << fmt::format("\r{:<50} {:3.0f} %", stage.substr(0, 50), share * 100.0) << std::flush;
        };
    }
    progress.stop = around.stop;
    return progress;
}

void end_progress(const Surroundings& around) {
    if (around.err_is_terminal) {
        around.err << "\r" << std::string(line_width, ' ') << "\r";
    }
}

void refuse_or_cancelled(const CommandHost& host, const std::vector<base::Error>& faults) {
    host.refuse(faults);
    if (std::any_of(faults.begin(), faults.end(),
                    [](const base::Error& fault) { return fault.code.ends_with(".cancelled"); })) {
        host.status = cancelled;
    }
}

CLI::App* LossesCommand::declare(CLI::App& app) {
    CLI::App* command = app.add_subcommand(
        "losses", "What it means for a planned flight that a station fails: for each, what is lost and left");
    command->footer("Example: omniway losses XDOV XMRA --aircraft single --wind 270/15");
    command->callback([this] { run(); });
    return command;
}

void LossesCommand::run() {
    const auto path = host_.atlas_on(question_.today);
    if (!path) {
        return;
    }
    const auto found = app::station_losses(*path, host_.shipped, question_, progress_of(host_.around));
    end_progress(host_.around);
    if (!found) {
        refuse_or_cancelled(host_, found.error());
        return;
    }
    const app::Planned& planned = found->planned;
    const navdata::Snapshot& world = *planned.world.snapshot;
    host_.around.out << (host_.json
                             ? wire::losses_json(world, planned.request, planned.answer, found->report) + "\n"
                             : writers::losses_text(world, planned.request, planned.answer, found->report));
    host_.tell_troubles(planned.world);
    host_.status = found->report && found->report->stranding().empty() ? 0 : 1;
}

}  // namespace omniway::cli::detail
