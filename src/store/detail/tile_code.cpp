#include "store/detail/tile_code.hpp"

#include <zlib.h>

#include <array>
#include <cstdint>
#include <vector>

#include "base/contract.hpp"

#define XXH_INLINE_ALL
#include <xxhash.h>

namespace omniway::store::detail {

namespace {

// 48 tiles of 3 arc-second mountains, 8.7 MB of heights, become an atlas of 3.6 MB.
constexpr int deflate_level = 4;

// A small difference either way becomes a small number: 0 -1 1 -2 2 ... become 0 1 2 3 4 ...
std::uint16_t folded(std::uint16_t difference) {
    return static_cast<std::uint16_t>((difference << 1U) ^ ((difference & 0x8000U) != 0 ? 0xFFFFU : 0U));
}

std::uint16_t unfolded(std::uint16_t number) {
    return static_cast<std::uint16_t>((number >> 1U) ^ ((number & 1U) != 0 ? 0xFFFFU : 0U));
}

std::string hexadecimal(const XXH128_hash_t& hash) {
    XXH128_canonical_t canonical;
    XXH128_canonicalFromHash(&canonical, hash);
    constexpr std::string_view digits = "0123456789abcdef";
    std::string text;
    for (const unsigned char byte : canonical.digest) {
        text += digits[byte >> 4U];
        text += digits[byte & 15U];
    }
    return text;
}

}  // namespace

std::string packed(const earth::TerrainTile& tile) {
    const std::size_t number = tile.metres.size();
    std::vector<unsigned char> planes(number * 2);
    std::uint16_t before = 0;
    for (std::size_t i = 0; i < number; ++i) {
        const auto height = static_cast<std::uint16_t>(tile.metres[i]);
        const std::uint16_t number_kept = folded(static_cast<std::uint16_t>(height - before));
        before = height;
        planes[i] = static_cast<unsigned char>(number_kept & 0xFFU);
        planes[number + i] = static_cast<unsigned char>(number_kept >> 8U);
    }
    uLongf size = compressBound(planes.size());
    std::string bytes(size, '\0');
    const int done =
        compress2(reinterpret_cast<Bytef*>(bytes.data()), &size, planes.data(), planes.size(), deflate_level);
    OMNIWAY_EXPECTS(done == Z_OK);  // the room is enough by compressBound()
    bytes.resize(size);
    return bytes;
}

std::optional<earth::TerrainTile> unpacked(std::string_view bytes, int nodes_per_side) {
    const auto side = static_cast<std::size_t>(nodes_per_side);
    const std::size_t number = side * side;
    std::vector<unsigned char> planes(number * 2);
    uLongf size = planes.size();
    const int done =
        uncompress(planes.data(), &size, reinterpret_cast<const Bytef*>(bytes.data()), bytes.size());
    if (done != Z_OK || size != planes.size()) {
        return std::nullopt;
    }
    earth::TerrainTile tile{.nodes_per_side = nodes_per_side, .metres = std::vector<std::int16_t>(number)};
    std::uint16_t height = 0;
    for (std::size_t i = 0; i < number; ++i) {
        const auto kept = static_cast<std::uint16_t>(planes[i] | (planes[number + i] << 8U));
        height = static_cast<std::uint16_t>(height + unfolded(kept));
        tile.metres[i] = static_cast<std::int16_t>(height);
    }
    return tile;
}

std::string checksum_of_tile(earth::TerrainBlock block, int nodes_per_side, std::string_view packed_heights) {
    const std::array<std::int32_t, 3> head = {block.south_quarters, block.west_quarters, nodes_per_side};
    XXH3_state_t state;
    XXH3_128bits_reset(&state);
    XXH3_128bits_update(&state, head.data(), sizeof(head));
    XXH3_128bits_update(&state, packed_heights.data(), packed_heights.size());
    return hexadecimal(XXH3_128bits_digest(&state));
}

std::string checksum_of_text(std::string_view text) {
    return hexadecimal(XXH3_128bits(text.data(), text.size()));
}

}  // namespace omniway::store::detail
