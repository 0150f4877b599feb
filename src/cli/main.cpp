#include <unistd.h>

#include <csignal>
#include <exception>
#include <filesystem>
#include <iostream>
#include <stop_token>
#include <string>
#include <vector>

#include "base/contract.hpp"
#include "cli/run.hpp"

namespace {

// A signal handler may only touch what is ready for it: the request itself is one atomic store inside a stop state that is
// allocated before any signal can come. Waiting for it is done by polling, never by callbacks.
std::stop_source stopping;

extern "C" void interrupt(int) {
    stopping.request_stop();
}

}  // namespace

int main(int argc, char** argv) {
    std::signal(SIGINT, interrupt);
    std::signal(SIGTERM, interrupt);
    // A write beyond the allowed size of a file then fails like one to a full disk, which is told and cleaned up after.
    std::signal(SIGXFSZ, SIG_IGN);
    try {
        std::error_code none;
        const std::filesystem::path program = std::filesystem::read_symlink("/proc/self/exe", none);
        // Installed as bin/omniway with share/omniway beside bin; in a build tree share stands beside the program itself.
        std::filesystem::path share = program.parent_path() / "share" / "omniway";
        if (!std::filesystem::exists(share, none)) {
            share = program.parent_path().parent_path() / "share" / "omniway";
        }
        const std::vector<std::string> arguments(argv + 1, argv + argc);
        return omniway::cli::run(arguments,
                                 {std::cout, std::cerr, isatty(STDERR_FILENO) == 1, share.string(),
                                  stopping.get_token(), (program.parent_path() / "omniway-raster").string()});
    } catch (const omniway::base::ContractViolation& bug) {
        std::cerr << "omniway: a fault of ours, not of your data: " << bug.what() << "\n";
        return 70;
    } catch (const std::exception& broken) {
        std::cerr << "omniway: " << broken.what() << "\n";
        return 70;
    }
}
