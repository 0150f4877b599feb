#include "cli/detail/nav_log_command.hpp"

#include <chrono>

#include <fmt/format.h>

#include "wire/nav_log_json.hpp"
#include "writers/nav_log_text.hpp"

namespace omniway::cli::detail {

CLI::App* NavLogCommand::declare(CLI::App& app) {
    CLI::App* command = app.add_subcommand(
        "navlog", "Nav log of a planned flight: winds, headings, times and fuel, row by row, and as flown");
    command->footer(
        "Examples: omniway navlog XDOV XMRA --wind 270/15 --winds \"6000 280/30, 12000 290/45\" --depart "
        "14:00Z --alternate XHAL;\n"
        "omniway navlog XDOV XMRA --depart 14:00Z --alternate none --over XOBAN=14:31");
    command->add_option("--depart", asked_.depart,
                        "Take-off, UTC: 14:00Z or 2026-11-26T14:00Z (else elapsed times only)");
    command->add_option(
        "--alternate", asked_.alternate,
        "Airport to go on to, or none where ceiling and visibility ask for none (14 CFR 91.169)");
    command
        ->add_option("--over", asked_.over,
                     "Time over a point, UTC, perhaps with the drift seen: XOBAN=14:07, XOBAN=14:07/4R (may "
                     "be repeated, as flown)")
        ->allow_extra_args(false);
    command->add_option("--csv", csv_, "Write the rows to this file as comma-separated values");
    command->callback([this] { run(); });
    return command;
}

// The date of the take-off is that of the flight: given once, or twice alike.
bool NavLogCommand::date_is_settled() {
    const auto time = asked_.depart ? base::parse_clock_time(*asked_.depart, "--depart") : base::ClockTime{};
    if (!time) {
        host_.refuse({time.error()});
        return false;
    }
    if (time->day) {
        const std::string written = asked_.depart->substr(0, asked_.depart->find('T'));
        if (date_ && *date_ != written) {
            host_.refuse({{"cli.two_dates",
                           fmt::format("--date says {} and --depart {}: give one of them", *date_, written),
                           "--depart"}});
            return false;
        }
        date_ = written;
    }
    return true;
}

void NavLogCommand::run() {
    const auto atlas = date_is_settled() ? host_.atlas_on(question_.today) : std::nullopt;
    if (!atlas) {
        return;
    }
    const auto date = date_ ? base::parse_clock_time(*date_ + "T00:00Z", "--date") : base::ClockTime{};
    asked_.day = date && date->day ? *date->day
                                   : std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now());
    const auto logged = app::nav_log(*atlas, host_.shipped, question_, asked_);
    if (!logged) {
        host_.refuse(logged.error());
        return;
    }
    if (csv_ && !write_csv(*logged)) {
        return;
    }
    const app::Planned& planned = logged->planned;
    const navdata::Snapshot& world = *planned.world.snapshot;
    if (host_.json) {
        std::optional<wire::AlternateTold> alternate;
        if (planned.alternate) {
            alternate = {world[planned.alternate->airport].ident, &planned.alternate->answer};
        }
        host_.around.out << wire::nav_log_json(world, planned.request, planned.answer, logged->log, alternate)
                         << "\n";
    } else {
        host_.around.out << writers::nav_log_text(world, planned.request, planned.answer, logged->log,
                                                  asked_.alternate.value_or("not said"));
    }
    host_.tell_troubles(planned.world);
    host_.status = planned.answer.verdict == base::Verdict::not_flyable ? 1 : 0;
}

bool NavLogCommand::write_csv(const app::NavLogged& logged) {
    return !logged.log || host_.write(*csv_, writers::nav_log_csv(*logged.log));
}

}  // namespace omniway::cli::detail
