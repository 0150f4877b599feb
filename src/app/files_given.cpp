#include "app/files_given.hpp"

#include <filesystem>

#include <fmt/format.h>

#include "base/in_quotes.hpp"

namespace omniway::app {

bool FilesGiven::has(const std::string& name) const {
    std::error_code none;
    return on_disk() ? std::filesystem::exists(name, none) : text(name) != nullptr;
}

const std::string* FilesGiven::text(const std::string& name) const {
    if (on_disk()) {
        return nullptr;
    }
    const auto found = texts_->find(name);
    return found == texts_->end() ? nullptr : &found->second;
}

base::Error FilesGiven::not_given(const std::string& name) {
    return {
        "app.file_not_given",
        fmt::format("{} is no text that came with the question, and no file is read for one from outside: "
                    "send the text itself",
                    base::in_quotes(name)),
        ""};
}

}  // namespace omniway::app
