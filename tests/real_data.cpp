#include "tests/real_data.hpp"

#include <cstdlib>
#include <stdexcept>
#include <string_view>

namespace omniway::testing {

std::filesystem::path source_folder() {
    for (std::filesystem::path folder = std::filesystem::current_path();; folder = folder.parent_path()) {
        if (std::filesystem::exists(folder / "CMakePresets.json")) {
            return folder;
        }
        if (folder == folder.parent_path()) {
            throw std::runtime_error(
                "run the tests in the repository or below: no CMakePresets.json upwards of " +
                std::filesystem::current_path().string());
        }
    }
}

std::optional<std::filesystem::path> real_data_folder() {
    const char* named = std::getenv("OMNIWAY_REAL_DATA");
    const bool is_named = named != nullptr && *named != '\0';
    const std::filesystem::path folder =
        is_named ? std::filesystem::path(named) : source_folder() / OMNIWAY_REAL_DATA_DEFAULT;
    if (!std::filesystem::is_directory(folder)) {
        return std::nullopt;
    }
    return folder.lexically_normal();
}

bool real_data_required() {
    const char* required = std::getenv("OMNIWAY_REQUIRE_REAL_DATA");
    return required != nullptr && std::string_view(required) == "1";
}

}  // namespace omniway::testing
