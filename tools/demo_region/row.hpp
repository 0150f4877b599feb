#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace omniway::demo_region {

/// One record of 132 columns, blank until written to.
///   Model     columns are 1-based and inclusive, as the standard counts them.
///   Domain    text that exactly fills or, with `put`, is no longer than its columns; anything else is a mistake of the generator.
///   Accuracy  exact.
///   Cost      132 bytes.
///   Fails     throws std::logic_error where a text does not fit or stands on another.
///   Source    trade-facts 13.
class Row {
public:
    static constexpr std::size_t length = 132;

    Row();

    /// Left-justified in the columns from first to last.
    Row& put(std::size_t first, std::size_t last, std::string_view text);
    /// Zero-filled to the left.
    Row& number(std::size_t first, std::size_t last, long value);

    const std::string& text() const { return text_; }

private:
    std::string text_;
};

}  // namespace omniway::demo_region
