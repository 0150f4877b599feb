#pragma once

#include <cstddef>
#include <deque>
#include <mutex>
#include <optional>
#include <string>
#include <utility>

#include "app/world.hpp"

namespace omniway::app {

/// An atlas as its file is now: another one where it was imported anew. None where it is no file.
std::optional<std::string> atlas_stamp(const std::string& atlas);

/// The worlds that were asked of last, for whoever asks many questions of one atlas: its terrain and horizons are then read once.
///   Model     a world stands under the atlas, as its file is now, and all that was wanted of it; an atlas that was imported anew is another. All of one
///             atlas share its ground: what grows there while they are asked (tiles, horizons) has bounds and locks of its own.
///   Domain    any number of threads; so many worlds as `most_bytes` hold, each reckoned as its atlas's file is large, four at least and
///             32 at most: the one not asked for longest goes first.
///   Accuracy  answers are the same as of a world opened for each.
///   Cost      a lock and some comparisons.
///   Fails     never.
///   Source    design section 2, idea 5: one immutable snapshot.
class WorldMemo {
public:
    explicit WorldMemo(std::size_t most_bytes) : most_bytes_(most_bytes) {}

    std::optional<World> find(const std::string& key);
    /// Any world of the same atlas.
    std::optional<World> of_same_atlas(const std::string& key);
    void keep(std::string key, World world);

    /// Under which a world stands; none where the atlas is no file.
    static std::optional<std::string> key_of(const std::string& atlas, const Wanted& wanted);

private:
    std::mutex mutex_;
    std::size_t most_bytes_;
    std::deque<std::pair<std::string, World>> worlds_;  // the one asked for last first
};

}  // namespace omniway::app
