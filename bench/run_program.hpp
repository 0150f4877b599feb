#pragma once

#include <string>
#include <vector>

namespace omniway::bench {

/// One run of `omniway` as a process, with what it prints thrown away.
///   Model     fork and exec; the time from before the one to after the end of the other.
///   Domain    OMNIWAY_PROGRAM names the program.
///   Accuracy  the kernel counts as the peak what a child has before it becomes another program too, which is what its parent has
///             (fs/exec.c, exec_mmap).
///   Cost      a process.
///   Fails     a program that cannot be run has the status 127, one that is stopped -1.
///   Source    -
struct ProgramRun {
    int status = -1;  // as a shell tells it
    double milliseconds = 0.0;
    double peak_megabytes = 0.0;
};
ProgramRun run_program(std::vector<std::string> arguments);

}  // namespace omniway::bench
