#include "app/write_file.hpp"

#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>

#include <fmt/format.h>

namespace omniway::app {

base::Result<void> write_file(const std::string& path, std::string_view bytes) {
    const auto refused = [&](int reason) {
        return base::failure(
            "app.not_writable",
            fmt::format("the file cannot be written ({}): name another", std::strerror(reason)), path);
    };
    std::error_code none;
    if (std::filesystem::is_directory(path, none)) {
        return refused(EISDIR);
    }
    const std::string beside = fmt::format("{}.{}.part", path, ::getpid());
    const auto close = [](std::FILE* file) { std::fclose(file); };
    std::unique_ptr<std::FILE, decltype(close)> file(std::fopen(beside.c_str(), "wbx"), close);
    if (!file) {
        return refused(errno);
    }
    bool whole = std::fwrite(bytes.data(), 1, bytes.size(), file.get()) == bytes.size() &&
                 std::fflush(file.get()) == 0 && ::fsync(::fileno(file.get())) == 0;
    int reason = errno;
    file.reset();
    if (whole && std::rename(beside.c_str(), path.c_str()) != 0) {
        reason = errno;
        whole = false;
    }
    if (!whole) {
        std::filesystem::remove(beside, none);
        return refused(reason);
    }
    return {};
}

}  // namespace omniway::app
