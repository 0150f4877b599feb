#include "app/raster_program.hpp"

#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstring>
#include <span>
#include <string_view>
#include <system_error>
#include <thread>
#include <utility>

#include <fmt/format.h>

#include "base/contract.hpp"

namespace omniway::app {

namespace {

constexpr int poll_ms = 100;
constexpr std::chrono::seconds patience(2);

base::Error cancelled() {
    return {"read.cancelled", "reading was cancelled; nothing of it is used", "omniway-raster"};
}

base::Error missing(const std::string& program, int cause) {
    return {"raster.program_missing",
            "the program that opens rasters cannot be started (" + std::generic_category().message(cause) +
                "): it belongs beside omniway; install omniway again, or build it again",
            program};
}

// "code TAB place TAB message", as the program says what is wrong.
std::optional<base::Error> error_in(std::string_view line) {
    line = line.substr(0, line.find('\n'));
    const auto first = line.find('\t');
    const auto second = first == std::string_view::npos ? first : line.find('\t', first + 1);
    if (second == std::string_view::npos) {
        return std::nullopt;
    }
    const std::string_view code = line.substr(0, first);
    const bool known = (code.starts_with("raster.") || code.starts_with("read.")) &&
                       std::all_of(code.begin(), code.end(),
                                   [](char c) { return (c >= 'a' && c <= 'z') || c == '_' || c == '.'; });
    if (!known) {
        return std::nullopt;
    }
    return base::Error{std::string(code), std::string(line.substr(second + 1)),
                       std::string(line.substr(first + 1, second - first - 1))};
}

class Descriptor {
public:
    explicit Descriptor(int number = -1) : number_(number) {}
    Descriptor(Descriptor&& other) noexcept : number_(std::exchange(other.number_, -1)) {}
    Descriptor& operator=(Descriptor&& other) noexcept {
        std::swap(number_, other.number_);
        return *this;
    }
    ~Descriptor() { reset(); }
    void reset() {
        if (number_ >= 0) {
            close(number_);
        }
        number_ = -1;
    }
    int number() const { return number_; }

private:
    int number_;
};

// The program while it runs: a stream in, a stream out, and what it says of itself.
class Process {
public:
    base::Result<void> start(const std::string& program, std::vector<std::string> words) {
        program_ = program;
        std::array<int, 2> in{};
        std::array<int, 2> out{};
        // A socket, because writing to a pipe whose reader is gone is a signal and not an error.
        if (socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, in.data()) != 0) {
            return tl::unexpected(missing(program, errno));
        }
        to_it_ = Descriptor(in[0]);
        const Descriptor its_input(in[1]);
        if (pipe2(out.data(), O_CLOEXEC) != 0) {
            return tl::unexpected(missing(program, errno));
        }
        from_it_ = Descriptor(out[0]);
        const Descriptor its_output(out[1]);
        said_ = Descriptor(memfd_create("omniway-raster", MFD_CLOEXEC));
        if (said_.number() < 0) {
            return tl::unexpected(missing(program, errno));
        }
        fcntl(from_it_.number(), F_SETPIPE_SZ,
              1 << 20);  // fewer turns; refused where the system bounds it lower
        words.insert(words.begin(), program);
        std::vector<char*> arguments;
        for (std::string& word : words) {
            arguments.push_back(word.data());
        }
        arguments.push_back(nullptr);
        posix_spawn_file_actions_t actions;
        posix_spawn_file_actions_init(&actions);
        posix_spawn_file_actions_adddup2(&actions, its_input.number(), STDIN_FILENO);
        posix_spawn_file_actions_adddup2(&actions, its_output.number(), STDOUT_FILENO);
        posix_spawn_file_actions_adddup2(&actions, said_.number(), STDERR_FILENO);
        posix_spawnattr_t attributes;
        posix_spawnattr_init(&attributes);
        sigset_t defaults;
        sigemptyset(&defaults);
        for (const int signal : {SIGINT, SIGTERM, SIGPIPE}) {
            sigaddset(&defaults, signal);
        }
        posix_spawnattr_setsigdefault(&attributes, &defaults);
        posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGDEF);
        const int cause =
            posix_spawn(&process_, program.c_str(), &actions, &attributes, arguments.data(), environ);
        posix_spawnattr_destroy(&attributes);
        posix_spawn_file_actions_destroy(&actions);
        if (cause != 0) {
            process_ = -1;
            return tl::unexpected(missing(program, cause));
        }
        return {};
    }

    Process() = default;
    Process(const Process&) = delete;
    Process& operator=(const Process&) = delete;
    ~Process() { stop(); }

    base::Result<std::size_t> read(std::span<char> room, const base::Progress& progress) {
        while (true) {
            if (progress.cancelled()) {
                return tl::unexpected(cancelled());
            }
            pollfd waiting{from_it_.number(), POLLIN, 0};
            if (poll(&waiting, 1, poll_ms) <= 0) {
                continue;
            }
            const ssize_t got = ::read(from_it_.number(), room.data(), room.size());
            if (got >= 0) {
                return static_cast<std::size_t>(got);
            }
            if (errno != EINTR && errno != EAGAIN) {
                return base::failure("raster.program_failed",
                                     "the pipe from the raster program cannot be read (" +
                                         std::generic_category().message(errno) + "): import again",
                                     program_);
            }
        }
    }

    // False where the program no longer listens: why, its end tells.
    base::Result<bool> write(std::string_view bytes, const base::Progress& progress) {
        while (!bytes.empty()) {
            if (progress.cancelled()) {
                return tl::unexpected(cancelled());
            }
            pollfd waiting{to_it_.number(), POLLOUT, 0};
            if (poll(&waiting, 1, poll_ms) <= 0) {
                continue;
            }
            const ssize_t sent =
                send(to_it_.number(), bytes.data(), bytes.size(), MSG_NOSIGNAL | MSG_DONTWAIT);
            if (sent < 0 && errno != EINTR && errno != EAGAIN) {
                return false;
            }
            bytes.remove_prefix(static_cast<std::size_t>(std::max<ssize_t>(sent, 0)));
        }
        return true;
    }
    void no_more() { to_it_.reset(); }

    // Waits for its end; what was wrong, if anything was.
    std::optional<base::Error> end(const base::Progress& progress) {
        while (process_ > 0) {
            if (progress.cancelled()) {
                stop();
                return cancelled();
            }
            if (waitpid(process_, &status_, WNOHANG) == process_) {
                process_ = -1;
            } else {
                std::this_thread::sleep_for(std::chrono::milliseconds(1));
            }
        }
        const std::string said = words();
        if (WIFEXITED(status_) && WEXITSTATUS(status_) == 0) {
            return std::nullopt;
        }
        if (WIFEXITED(status_)) {
            if (auto error = error_in(said)) {
                return error;
            }
            return base::Error{
                "raster.program_failed",
                fmt::format("the raster program ended with status {} and says \"{}\": a raster may be "
                            "broken or hostile, leave it out; or install omniway again",
                            WEXITSTATUS(status_), said.substr(0, std::min(said.find('\n'), said.size()))),
                program_};
        }
        return base::Error{
            "raster.program_failed",
            fmt::format("the raster program was ended by signal {} ({}): a raster may be broken or hostile; "
                        "import them one by one and leave that one out",
                        WTERMSIG(status_), strsignal(WTERMSIG(status_))),
            program_};
    }

    void stop() {
        if (process_ <= 0) {
            return;
        }
        from_it_.reset();
        to_it_.reset();
        kill(process_, SIGTERM);
        const auto begin = std::chrono::steady_clock::now();
        while (waitpid(process_, &status_, WNOHANG) == 0) {
            if (std::chrono::steady_clock::now() - begin > patience) {
                kill(process_, SIGKILL);
                waitpid(process_, &status_, 0);
                break;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds(2));
        }
        process_ = -1;
    }

private:
    std::string words() const {
        std::array<char, 4096> room{};
        const ssize_t got = pread(said_.number(), room.data(), room.size(), 0);
        return {room.data(), static_cast<std::size_t>(std::max<ssize_t>(got, 0))};
    }

    std::string program_;
    pid_t process_ = -1;
    int status_ = 0;
    Descriptor to_it_;
    Descriptor from_it_;
    Descriptor said_;
};

}  // namespace

struct RasterReading::Running {
    Process process;
    base::Progress progress;
    std::optional<readers::RasterBlocks> blocks;
    bool ended = false;

    // What the program itself says is wrong comes before what that did to the stream.
    base::Error reason(const base::Error& of_the_stream) {
        if (of_the_stream.code == "read.cancelled") {
            process.stop();
            return of_the_stream;
        }
        auto own = process.end(progress);
        return own ? std::move(*own) : of_the_stream;
    }
};

RasterReading::RasterReading(std::unique_ptr<Running> running) : running_(std::move(running)) {}
RasterReading::RasterReading(RasterReading&&) noexcept = default;
RasterReading& RasterReading::operator=(RasterReading&&) noexcept = default;
RasterReading::~RasterReading() = default;

base::Result<RasterReading> RasterReading::start(const std::string& program,
                                                 const std::vector<std::string>& files,
                                                 const base::Progress& progress) {
    auto running = std::make_unique<Running>();
    running->progress.stop = progress.stop;
    std::vector<std::string> words = {"read"};
    words.insert(words.end(), files.begin(), files.end());
    if (auto started = running->process.start(program, std::move(words)); !started) {
        return tl::unexpected(started.error());
    }
    auto blocks = readers::RasterBlocks::begin(
        [at = running.get()](std::span<char> room) { return at->process.read(room, at->progress); });
    if (!blocks) {
        return tl::unexpected(running->reason(blocks.error()));
    }
    running->blocks = std::move(*blocks);
    return RasterReading(std::move(running));
}

const std::vector<readers::RasterFacts>& RasterReading::rasters() const {
    return running_->blocks->rasters();
}

base::Result<std::optional<readers::RasterBlock>> RasterReading::next() {
    if (running_->ended) {
        return std::optional<readers::RasterBlock>();
    }
    auto block = running_->blocks->next();
    if (!block) {
        running_->ended = true;
        return tl::unexpected(running_->reason(block.error()));
    }
    if (!*block) {
        running_->ended = true;
        if (auto wrong = running_->process.end(running_->progress)) {
            return tl::unexpected(std::move(*wrong));
        }
    }
    return block;
}

base::Result<void> write_raster(const std::string& program, const std::string& path,
                                const writers::RasterHead& head, const RasterRow& row,
                                const base::Progress& progress) {
    Process process;
    if (auto started = process.start(program, {"write", path}); !started) {
        return started;
    }
    auto listens = process.write(writers::raster_head_line(head), progress);
    const int bands = static_cast<int>(head.bands.size());
    for (int band = 0; band < bands; ++band) {
        for (int y = 0; y < head.height && listens && *listens; ++y) {
            const std::vector<float> values = row(band, y);
            OMNIWAY_EXPECTS(values.size() == static_cast<std::size_t>(head.width));
            listens = process.write(
                {reinterpret_cast<const char*>(values.data()), values.size() * sizeof(float)}, progress);
            progress.at("writing the raster", (band + (y + 1.0) / head.height) / bands);
        }
    }
    if (!listens) {
        return tl::unexpected(listens.error());
    }
    process.no_more();
    if (auto wrong = process.end(progress)) {
        return tl::unexpected(std::move(*wrong));
    }
    return {};
}

}  // namespace omniway::app
