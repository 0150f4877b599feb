#include "bench/run_program.hpp"

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>

namespace omniway::bench {

ProgramRun run_program(std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), OMNIWAY_PROGRAM);
    std::vector<char*> words;
    for (std::string& argument : arguments) {
        words.push_back(argument.data());
    }
    words.push_back(nullptr);
    const auto begin = std::chrono::steady_clock::now();
    const pid_t child = fork();
    if (child == 0) {
        const int nothing = open("/dev/null", O_WRONLY);
        dup2(nothing, STDOUT_FILENO);
        dup2(nothing, STDERR_FILENO);
        execv(words.front(), words.data());
        _exit(127);
    }
    int status = 0;
    rusage used = {};
    wait4(child, &status, 0, &used);
    const std::chrono::duration<double, std::milli> taken = std::chrono::steady_clock::now() - begin;
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, taken.count(),
            static_cast<double>(used.ru_maxrss) * 1024.0 / 1e6};
}

}  // namespace omniway::bench
