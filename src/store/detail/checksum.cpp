#include "store/detail/checksum.hpp"

#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstring>
#include <string_view>
#include <vector>

#define XXH_INLINE_ALL
#include <xxhash.h>

namespace omniway::store::detail {

namespace {

constexpr std::string_view magic("SQLite format 3\0", 16);
constexpr std::size_t header_size = 100;

// Reads until `size` bytes are there or the file ends; how many there were.
std::size_t read_at(int file, unsigned char* into, std::size_t size, std::uint64_t offset) {
    std::size_t done = 0;
    while (done < size) {
        const ssize_t got = pread(file, into + done, size - done, static_cast<off_t>(offset + done));
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got <= 0) {
            break;
        }
        done += static_cast<std::size_t>(got);
    }
    return done;
}

std::uint32_t big_endian(const unsigned char* bytes) {
    return (std::uint32_t{bytes[0]} << 24U) | (std::uint32_t{bytes[1]} << 16U) |
           (std::uint32_t{bytes[2]} << 8U) | std::uint32_t{bytes[3]};
}

std::string hexadecimal(const XXH128_canonical_t& value) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string text;
    for (const unsigned char byte : value.digest) {
        text += digits[byte >> 4U];
        text += digits[byte & 15U];
    }
    return text;
}

}  // namespace

HeaderReading read_header(int file) {
    std::array<unsigned char, header_size> bytes{};
    const std::size_t size = read_at(file, bytes.data(), bytes.size(), 0);
    if (size == 0) {
        return {HeaderFault::empty, {}};
    }
    if (std::memcmp(bytes.data(), magic.data(), std::min(size, magic.size())) != 0) {
        return {HeaderFault::not_sqlite, {}};
    }
    if (size < bytes.size()) {
        return {HeaderFault::cut, {}};
    }
    Header header;
    header.page_size = (std::uint32_t{bytes[16]} << 8U) | std::uint32_t{bytes[17]};
    if (header.page_size == 1) {
        header.page_size = 65536;
    }
    header.pages = big_endian(&bytes[28]);
    header.user_version = static_cast<std::int32_t>(big_endian(&bytes[60]));
    header.application_id = static_cast<std::int32_t>(big_endian(&bytes[68]));
    return {HeaderFault::none, header};
}

std::string checksum_of_pages(int file, std::uint32_t page_size, std::uint32_t pages,
                              std::uint32_t left_out) {
    XXH3_state_t state;
    XXH3_128bits_reset(&state);
    // 256 KiB at a time stays in the second-level cache between reading and hashing.
    const std::uint32_t at_once = std::max(1U, (1U << 18U) / std::max(page_size, 1U));
    std::vector<unsigned char> buffer(std::size_t{at_once} * page_size);
    for (std::uint32_t first = 1; first <= pages; first += at_once) {
        const std::uint32_t number = std::min(at_once, pages - first + 1);
        const std::size_t wanted = std::size_t{number} * page_size;
        if (read_at(file, buffer.data(), wanted, std::uint64_t{first - 1} * page_size) != wanted) {
            return {};
        }
        if (first == 1) {
            std::fill(&buffer[24], &buffer[28], static_cast<unsigned char>(0));
            std::fill(&buffer[92], &buffer[100], static_cast<unsigned char>(0));
        }
        if (left_out >= first && left_out < first + number) {
            const std::size_t before = std::size_t{left_out - first} * page_size;
            XXH3_128bits_update(&state, buffer.data(), before);
            XXH3_128bits_update(&state, buffer.data() + before + page_size, wanted - before - page_size);
        } else {
            XXH3_128bits_update(&state, buffer.data(), wanted);
        }
    }
    XXH128_canonical_t canonical;
    XXH128_canonicalFromHash(&canonical, XXH3_128bits_digest(&state));
    return hexadecimal(canonical);
}

}  // namespace omniway::store::detail
