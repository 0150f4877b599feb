#include "store/atlas_place.hpp"

#include <sys/stat.h>

#include <cerrno>
#include <filesystem>
#include <system_error>
#include <vector>

namespace omniway::store {

namespace {

bool is_set(const std::optional<std::string>& variable) {
    return variable.has_value() && !variable->empty();
}

std::string within(const std::string& folder, const std::string& rest) {
    return folder.ends_with('/') ? folder + rest : folder + "/" + rest;
}

}  // namespace

base::Result<std::string> default_atlas_path(const Environment& environment) {
    if (is_set(environment.omniway_atlas)) {
        return *environment.omniway_atlas;
    }
    // "All paths set in these environment variables must be absolute. If an implementation encounters a relative path in
    // any of these variables it should consider the path invalid and ignore it."
    if (is_set(environment.xdg_data_home) && environment.xdg_data_home->starts_with('/')) {
        return within(*environment.xdg_data_home, "omniway/atlas");
    }
    if (is_set(environment.home)) {
        return within(*environment.home, ".local/share/omniway/atlas");
    }
    return base::failure(
        "atlas.no_place",
        "no place for the atlas is known: give --atlas PATH, or set OMNIWAY_ATLAS, XDG_DATA_HOME or HOME",
        "environment");
}

base::Result<std::string> atlas_path(const std::optional<std::string>& given,
                                     const Environment& environment) {
    if (!given) {
        return default_atlas_path(environment);
    }
    if (given->empty()) {
        return base::failure("atlas.no_place", "the path given for the atlas is empty: name a file",
                             "--atlas");
    }
    return *given;
}

base::Result<void> make_folder_for(const std::string& path) {
    namespace fs = std::filesystem;
    std::vector<fs::path> missing;
    std::error_code failed;
    for (fs::path folder = fs::path(path).parent_path(); !folder.empty() && !fs::exists(folder, failed);
         folder = folder.parent_path()) {
        missing.push_back(folder);
    }
    for (auto folder = missing.rbegin(); folder != missing.rend(); ++folder) {
        // 0700 as the specification says; another process may have made it in the meantime.
        if (mkdir(folder->c_str(), S_IRWXU) != 0 && errno != EEXIST) {
            const std::string reason = std::generic_category().message(errno);
            return base::failure("atlas.folder_missing",
                                 "the folder \"" + folder->string() + "\" is not there and cannot be made (" +
                                     reason + "): make it, or name another place with --out PATH",
                                 path);
        }
    }
    return {};
}

}  // namespace omniway::store
