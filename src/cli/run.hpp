#pragma once

#include <ostream>
#include <stop_token>
#include <string>
#include <vector>

namespace omniway::cli {

/// The process around a command: everything it may look at or write to.
struct Surroundings {
    std::ostream& out;
    std::ostream& err;
    bool err_is_terminal = false;
    std::string share_folder;         // share/omniway beside the program
    std::stop_token stop = {};        // asked to stop: long work ends, nothing half-written stays
    std::string raster_program = {};  // omniway-raster, beside the program
};

/// Runs one command line (without the program's name) and returns the exit status: 0 flyable, flyable if, or done; 1 not
/// flyable, or a file that is not whole; 2 bad input; 3 cancelled.
///   Model     a thin skin over app: reads arguments, calls one function, prints.
///   Domain    any words.
///   Accuracy  as printed.
///   Cost      the command.
///   Fails     by its exit status, with a sentence on err.
///   Source    docs/errors.md.
int run(const std::vector<std::string>& arguments, const Surroundings& surroundings);

}  // namespace omniway::cli
