#pragma once

#include <string>
#include <vector>

#include "base/result.hpp"

namespace omniway::store::detail {

/// An atlas file being built beside the one it will replace. Until commit() the old one is untouched; without commit() the
/// new one is removed.
class Replacement {
public:
    /// Follows links, checks that something may be written there, removes what killed imports left, and makes an empty
    /// temporary file, locked for as long as it is being built.
    static base::Result<Replacement> beside(const std::string& path);

    Replacement(Replacement&& other) noexcept;
    Replacement& operator=(Replacement&&) = delete;
    ~Replacement();

    int file() const { return file_; }
    const std::string& temporary() const { return temporary_; }
    const std::string& target() const { return target_; }
    const std::vector<std::string>& removed() const { return removed_; }

    /// Flushes the file to the disk and lets it take the place of the old one.
    base::Result<void> commit();

private:
    Replacement() = default;
    int file_ = -1;
    std::string temporary_;
    std::string target_;
    std::vector<std::string> removed_;
};

/// The error for a failed system call while writing.
base::Error write_error(int cause, const std::string& path);

}  // namespace omniway::store::detail
