#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/result.hpp"

namespace omniway::store {

/// Station horizons kept from one process to the next, in one file beside the atlas: ATLAS.horizons.
///   Model     bytes by key, both opaque here; the key names all that the bytes depend on. Each entry has its checksum. The file
///             is safe to lose: what cannot be read is as if it had never been kept, and a file that is no cache or is
///             damaged is made anew. When the bound is passed, the longest unused entries go.
///   Domain    any key. Any number of threads and processes at once.
///   Accuracy  what load() gives is what save() was given, or nothing.
///   Cost      a query and a hash, about 1 ms a megabyte; nothing is opened before the first question.
///   Fails     never: where nothing can be kept (a folder that may not be written) it says so once, in diagnostics(), as
///             cache.not_kept, and the work goes on.
///   Source    SQLite 3.40 file format; docs/atlas.md, "The cache beside it".
class HorizonCache {
public:
    static constexpr std::size_t default_bound_bytes = std::size_t{512} << 20U;

    explicit HorizonCache(const std::string& atlas_path, std::size_t bound_bytes = default_bound_bytes);
    HorizonCache(HorizonCache&&) noexcept;
    HorizonCache& operator=(HorizonCache&&) noexcept;
    ~HorizonCache();

    std::optional<std::vector<std::byte>> load(const std::string& key);
    void save(const std::string& key, std::span<const std::byte> bytes);
    std::vector<base::Error> diagnostics() const;

private:
    class File;
    std::unique_ptr<File> file_;
};

}  // namespace omniway::store
