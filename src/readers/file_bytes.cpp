#include "readers/file_bytes.hpp"

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>
#include <system_error>

#include <fmt/format.h>

namespace omniway::readers {

base::Result<std::string> file_bytes(const std::string& path, std::uintmax_t largest, std::string_view what) {
    std::error_code problem;
    const auto status = std::filesystem::status(path, problem);
    if (status.type() == std::filesystem::file_type::not_found) {
        return base::failure("read.file_missing", "there is no such file; check its name and folder", path);
    }
    if (!std::filesystem::is_regular_file(status)) {
        return base::failure("read.not_a_file", fmt::format("this is no plain file; name {}", what), path);
    }
    return plain_file_bytes(path, largest);
}

base::Result<std::string> plain_file_bytes(const std::string& path, std::uintmax_t largest) {
    std::error_code problem;
    const std::uintmax_t size = std::filesystem::file_size(path, problem);
    if (!problem && size > largest) {
        return base::failure("read.file_too_large",
                             fmt::format("the file has {} bytes; at most {} are read", size, largest), path);
    }
    const auto close = [](std::FILE* file) { std::fclose(file); };
    const std::unique_ptr<std::FILE, decltype(close)> file(std::fopen(path.c_str(), "rb"), close);
    std::string bytes;
    if (file && !problem) {
        bytes.resize(static_cast<std::size_t>(size));
        bytes.resize(std::fread(bytes.data(), 1, bytes.size(), file.get()));
    }
    if (!file || problem || std::ferror(file.get()) != 0) {
        return base::failure(
            "read.file_unreadable",
            fmt::format("the file cannot be read: {}", problem ? problem.message() : std::strerror(errno)),
            path);
    }
    return bytes;
}

}  // namespace omniway::readers
