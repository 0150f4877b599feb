#include "readers/reading.hpp"

#include <fmt/format.h>

#define XXH_INLINE_ALL
#include <xxhash.h>

namespace omniway::readers {

std::size_t ReadCounts::not_used_in_all() const {
    std::size_t sum = 0;
    for (const auto& [reason, number] : not_used) {
        sum += number;
    }
    return sum;
}

ReadCounts& ReadCounts::operator+=(const ReadCounts& other) {
    rows += other.rows;
    used += other.used;
    remarks += other.remarks;
    for (const auto& [reason, number] : other.not_used) {
        not_used[reason] += number;
    }
    return *this;
}

bool is_remark(const base::Error& diagnostic) {
    return diagnostic.code.starts_with("remark.");
}

std::string checksum_of(std::string_view bytes) {
    XXH128_canonical_t canonical;
    XXH128_canonicalFromHash(&canonical, XXH3_128bits(bytes.data(), bytes.size()));
    std::string text;
    for (const unsigned char byte : canonical.digest) {
        text += fmt::format("{:02x}", byte);
    }
    return text;
}

std::string utf8_from_latin_1(std::string_view text) {
    std::string utf8;
    utf8.reserve(text.size());
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (byte < 0x80) {
            utf8 += c;
        } else {
            utf8 += static_cast<char>(0xC0U | (byte >> 6U));
            utf8 += static_cast<char>(0x80U | (byte & 0x3FU));
        }
    }
    return utf8;
}

}  // namespace omniway::readers
