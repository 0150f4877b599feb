#include "app/world_memo.hpp"

#include <sys/stat.h>

#include <algorithm>

#include <fmt/format.h>

namespace omniway::app {

namespace {

constexpr std::size_t fewest_worlds = 4;
constexpr std::size_t most_worlds = 32;

// A key begins with the line of its atlas.
std::string_view atlas_in(std::string_view key) {
    return key.substr(0, key.find('\n'));
}

std::size_t size_of(const std::string& atlas) {
    struct stat file {};
    return ::stat(atlas.c_str(), &file) == 0 ? static_cast<std::size_t>(file.st_size) : 0;
}

}  // namespace

std::optional<World> WorldMemo::find(const std::string& key) {
    const std::lock_guard lock(mutex_);
    const auto found =
        std::find_if(worlds_.begin(), worlds_.end(), [&](const auto& each) { return each.first == key; });
    if (found == worlds_.end()) {
        return std::nullopt;
    }
    std::rotate(worlds_.begin(), found, std::next(found));
    return worlds_.front().second;
}

std::optional<World> WorldMemo::of_same_atlas(const std::string& key) {
    const std::lock_guard lock(mutex_);
    const auto found = std::find_if(worlds_.begin(), worlds_.end(),
                                    [&](const auto& each) { return atlas_in(each.first) == atlas_in(key); });
    return found == worlds_.end() ? std::nullopt : std::optional(found->second);
}

void WorldMemo::keep(std::string key, World world) {
    const std::size_t held = most_bytes_ / std::max(size_of(world.atlas), std::size_t{1});
    const std::size_t most = std::clamp(held, fewest_worlds, most_worlds);
    const std::lock_guard lock(mutex_);
    std::erase_if(worlds_, [&](const auto& each) { return each.first == key; });
    worlds_.emplace_front(std::move(key), std::move(world));
    if (worlds_.size() > most) {
        worlds_.resize(most);
    }
}

std::optional<std::string> atlas_stamp(const std::string& atlas) {
    struct stat file {};
    if (::stat(atlas.c_str(), &file) != 0) {
        return std::nullopt;
    }
    return fmt::format("{} {} {} {} {}.{}", atlas, file.st_dev, file.st_ino, file.st_size,
                       file.st_mtim.tv_sec, file.st_mtim.tv_nsec);
}

std::optional<std::string> WorldMemo::key_of(const std::string& atlas, const Wanted& wanted) {
    const auto stamp = atlas_stamp(atlas);
    if (!stamp) {
        return std::nullopt;
    }
    std::string key = fmt::format("{}\n{}\n", *stamp, wanted.everything);
    for (const auto* idents : {&wanted.airports, &wanted.without}) {
        for (const std::string& ident : *idents) {
            key += fmt::format("{}:{} ", ident.size(), ident);  // no ident runs into the next
        }
        key += "\n";
    }
    return key;
}

}  // namespace omniway::app
