#include "store/detail/replacement.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <string_view>
#include <system_error>
#include <utility>

#include "store/detail/checksum.hpp"
#include "store/detail/schema.hpp"

namespace omniway::store::detail {

namespace {

namespace fs = std::filesystem;

constexpr std::string_view suffix = ".importing";

class Descriptor {
public:
    explicit Descriptor(int number) : number_(number) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (number_ >= 0) {
            close(number_);
        }
    }
    int number() const { return number_; }

private:
    int number_;
};

std::string reason(int cause) {
    return std::generic_category().message(cause);
}

// The file that a path finally names. A link to nothing yet is followed too: the atlas is made where it points.
fs::path followed(const std::string& path) {
    fs::path target = path;
    std::error_code failed;
    // The kernel's own bound on links in a row (path_resolution(7)).
    for (int links = 0; links < 40 && fs::is_symlink(target, failed); ++links) {
        const fs::path next = fs::read_symlink(target, failed);
        if (failed) {
            break;
        }
        target = next.is_absolute() ? next : target.parent_path() / next;
    }
    return target;
}

bool all_digits(std::string_view text) {
    return !text.empty() &&
           std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

// ".NAME.PROCESS-NUMBER.importing"
std::string temporary_name(const std::string& name, long process, int number) {
    return "." + name + "." + std::to_string(process) + "-" + std::to_string(number) + std::string(suffix);
}

bool is_temporary_of(std::string_view name, const std::string& atlas) {
    const std::string prefix = "." + atlas + ".";
    if (!name.starts_with(prefix) || !name.ends_with(suffix) ||
        name.size() <= prefix.size() + suffix.size()) {
        return false;
    }
    name.remove_prefix(prefix.size());
    name.remove_suffix(suffix.size());
    const auto dash = name.find('-');
    return dash != std::string_view::npos && all_digits(name.substr(0, dash)) &&
           all_digits(name.substr(dash + 1));
}

// A lock dies with the process that holds it, whatever ended it: a temporary file that can be locked belongs to nobody.
std::vector<std::string> remove_leftovers(const fs::path& folder, const std::string& atlas) {
    std::vector<std::string> removed;
    std::error_code failed;
    for (fs::directory_iterator entry(folder, failed), end; !failed && entry != end;
         entry.increment(failed)) {
        if (!is_temporary_of(entry->path().filename().string(), atlas)) {
            continue;
        }
        const Descriptor file(open(entry->path().c_str(), O_RDWR | O_NOFOLLOW | O_CLOEXEC));
        if (file.number() >= 0 && flock(file.number(), LOCK_EX | LOCK_NB) == 0 &&
            unlink(entry->path().c_str()) == 0) {
            removed.push_back(entry->path().string());
        }
    }
    std::sort(removed.begin(), removed.end());
    return removed;
}

base::Result<void> check_target(const fs::path& target) {
    struct stat found = {};
    if (stat(target.c_str(), &found) != 0) {
        if (errno == ENOENT) {
            return {};
        }
        return tl::unexpected(write_error(errno, target.string()));
    }
    if (!S_ISREG(found.st_mode)) {
        return base::failure(
            "atlas.not_a_file",
            std::string(S_ISDIR(found.st_mode) ? "the atlas is to be written to a folder"
                                               : "the atlas is to be written to something that is no file") +
                ": name a file, --out PATH",
            target.string());
    }
    if (faccessat(AT_FDCWD, target.c_str(), W_OK, AT_EACCESS) != 0) {
        return base::failure("atlas.not_writable",
                             "the file there is write-protected (" + reason(errno) +
                                 "): change its permissions or name another place with --out PATH",
                             target.string());
    }
    const Descriptor file(open(target.c_str(), O_RDONLY | O_CLOEXEC));
    if (file.number() < 0) {
        return tl::unexpected(write_error(errno, target.string()));
    }
    const HeaderReading reading = read_header(file.number());
    const bool ours = reading.fault == HeaderFault::none && reading.header.application_id == application_id;
    if (!ours && reading.fault != HeaderFault::empty) {
        return base::failure(
            "atlas.not_replaced",
            "the file there is not an atlas and is left as it is: name another place with --out PATH, or "
            "remove the file first",
            target.string());
    }
    return {};
}

}  // namespace

base::Error write_error(int cause, const std::string& path) {
    if (cause == ENOSPC || cause == EDQUOT || cause == EFBIG) {
        return {"atlas.disk_full",
                "no room to write the atlas (" + reason(cause) +
                    "): free as much as the imported files take, or name another place "
                    "with --out "
                    "PATH; an old atlas stays as it was",
                path};
    }
    if (cause == ENOENT || cause == ENOTDIR) {
        return {"atlas.folder_missing",
                "the folder for the atlas is not there (" + reason(cause) +
                    "): make it, or name another with --out PATH",
                path};
    }
    if (cause == EACCES || cause == EROFS || cause == EPERM) {
        return {"atlas.not_writable",
                "the folder for the atlas cannot be written to (" + reason(cause) +
                    "): change its permissions or name another with --out PATH",
                path};
    }
    return {"atlas.write_failed",
            "the atlas cannot be written (" + reason(cause) +
                "): name another place with --out PATH; an old atlas stays as it was",
            path};
}

base::Result<Replacement> Replacement::beside(const std::string& path) {
    if (path.empty()) {
        return base::failure("atlas.no_place", "the path given for the atlas is empty: name a file", "--out");
    }
    const fs::path target = followed(path);
    if (auto allowed = check_target(target); !allowed) {
        return tl::unexpected(allowed.error());
    }
    const std::string name = target.filename().string();
    const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
    if (name.empty()) {  // "folder/" that is not there
        return tl::unexpected(write_error(ENOENT, path));
    }
    Replacement made;
    made.target_ = target.string();
    made.removed_ = remove_leftovers(folder, name);
    for (int number = 0;; ++number) {
        const std::string temporary = (folder / temporary_name(name, getpid(), number)).string();
        const int file = open(temporary.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (file < 0 && errno == EEXIST) {
            continue;
        }
        if (file < 0) {
            return tl::unexpected(write_error(errno, path));
        }
        // Between making and locking it, another import may have taken it for a leftover and removed it: then make another.
        struct stat status = {};
        if (flock(file, LOCK_EX) == 0 && fstat(file, &status) == 0 && status.st_nlink == 0) {
            close(file);
            continue;
        }
        made.file_ = file;
        made.temporary_ = temporary;
        return made;
    }
}

Replacement::Replacement(Replacement&& other) noexcept
    : file_(std::exchange(other.file_, -1)),
      temporary_(std::exchange(other.temporary_, {})),
      target_(std::move(other.target_)),
      removed_(std::move(other.removed_)) {}

Replacement::~Replacement() {
    if (!temporary_.empty()) {
        unlink(temporary_.c_str());
    }
    if (file_ >= 0) {
        close(file_);
    }
}

base::Result<void> Replacement::commit() {
    if (fsync(file_) != 0 || std::rename(temporary_.c_str(), target_.c_str()) != 0) {
        return tl::unexpected(write_error(errno, target_));
    }
    temporary_.clear();
    // The new name must be on the disk too. A file system that cannot flush a folder (EINVAL) has done what it can.
    const fs::path folder =
        fs::path(target_).has_parent_path() ? fs::path(target_).parent_path() : fs::path(".");
    const Descriptor opened(open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (opened.number() >= 0 && fsync(opened.number()) != 0 && errno != EINVAL) {
        return base::failure("atlas.write_failed",
                             "the new atlas is in place, but its folder could not be flushed to the disk (" +
                                 reason(errno) + "): import again",
                             target_);
    }
    return {};
}

}  // namespace omniway::store::detail
