#pragma once

#include <map>
#include <memory>
#include <string>

#include "base/result.hpp"

namespace omniway::app {

/// Where the files lie that a question names: on the disk, or as texts that came with the question.
///   Model     made without texts, names are paths. Made with texts, even with none, a name stands for the text given under it and for nothing
///             else: no name then reaches a file.
///   Domain    any bytes.
///   Accuracy  exact.
///   Cost      copies share the texts.
///   Fails     not_given(): app.file_not_given.
///   Source    none.
class FilesGiven {
public:
    FilesGiven() = default;
    explicit FilesGiven(std::map<std::string, std::string> texts)
        : texts_(std::make_shared<const std::map<std::string, std::string>>(std::move(texts))) {}

    bool on_disk() const { return texts_ == nullptr; }
    bool has(const std::string& name) const;
    /// None: no text came under that name, or files lie on the disk.
    const std::string* text(const std::string& name) const;
    static base::Error not_given(const std::string& name);

private:
    std::shared_ptr<const std::map<std::string, std::string>> texts_;
};

/// What a reader makes of a file: `of_text(text)` where files are given as texts, `of_disk(name)` where names are paths, and where nothing
/// was given under that name `refusal(error)`.
template <class OfText, class OfDisk, class Refusal>
auto read_given(const FilesGiven& files, const std::string& name, const OfText& of_text,
                const OfDisk& of_disk, const Refusal& refusal) -> decltype(of_disk(name)) {
    if (files.on_disk()) {
        return of_disk(name);
    }
    if (const std::string* text = files.text(name)) {
        return of_text(*text);
    }
    return refusal(FilesGiven::not_given(name));
}

}  // namespace omniway::app
