#include "row.hpp"

#include <stdexcept>

#include <fmt/format.h>

namespace omniway::demo_region {

Row::Row() : text_(length, ' ') {}

Row& Row::put(std::size_t first, std::size_t last, std::string_view text) {
    if (first < 1 || last > length || text.size() > last - first + 1) {
        throw std::logic_error(fmt::format("'{}' does not fit columns {}-{}", text, first, last));
    }
    if (text_.find_first_not_of(' ', first - 1) <= last - 1) {
        throw std::logic_error(fmt::format("columns {}-{} of '{}' are taken", first, last, text_));
    }
    text_.replace(first - 1, text.size(), text);
    return *this;
}

Row& Row::number(std::size_t first, std::size_t last, long value) {
    const std::size_t width = last - first + 1;
    const std::string digits =
        value < 0 ? fmt::format("-{:0{}}", -value, width - 1) : fmt::format("{:0{}}", value, width);
    return put(first, last, digits);
}

}  // namespace omniway::demo_region
