#include "cli/detail/serve_command.hpp"

#include "writers/qr_code.hpp"

namespace omniway::cli::detail {

CLI::App* ServeCommand::declare(CLI::App& app, std::string version) {
    question_.version = std::move(version);
    CLI::App* command =
        app.add_subcommand("serve", "Serve the page, and every question over HTTP, on this machine");
    command->footer(
        "Example: omniway serve --port 8640; docs/serve.md says what is asked how, and who may ask.");
    command->add_option("--port", question_.port, "Port to listen at (else 8640); 0: any that is free");
    command->add_option("--address", question_.address,
                        "Address of the interface to listen at (else 127.0.0.1: this machine alone)");
    command->add_flag(
        "--allow-network", question_.allow_network,
        "Let --address be one that other machines reach: who opens the address that is printed may ask");
    command->callback([this] { run(); });
    return command;
}

void ServeCommand::run() {
    const auto path = host_.atlas_path();
    if (!path) {
        return;
    }
    question_.atlas = *path;
    question_.shipped = host_.shipped;
    const auto served = service::serve(
        question_,
        [this](const std::string& address) {
            host_.around.out << "omniway: listening at " << address << "\n";
            // For a tablet: a token is not typed.
            if (question_.allow_network) {
                host_.around.out << writers::qr_code(address);
            }
            host_.around.out << std::flush;
        },
        host_.around.stop);
    if (!served) {
        host_.refuse({served.error()});
    }
}

}  // namespace omniway::cli::detail
