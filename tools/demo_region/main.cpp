// omniway-demo-region: writes the invented country of Xaravel as ARINC 424-18 text. See docs/demo-region.md.

#include <charconv>
#include <exception>
#include <fstream>
#include <string>
#include <string_view>
#include <system_error>

#include <fmt/format.h>

#include "records.hpp"

namespace {

constexpr std::string_view usage =
    "usage: omniway-demo-region --out FILE [--shift-longitude DEGREES]\n"
    "  --out FILE                 where to write the rows\n"
    "  --shift-longitude DEGREES  moves the whole region east by whole degrees, -359 to 359; courses, "
    "declinations and\n"
    "                             variations stay as they are\n";

int refuse(std::string_view sentence) {
    fmt::print(stderr, "omniway-demo-region: {}\n{}", sentence, usage);
    return 2;
}

}  // namespace

int main(int count, char** words) {
    std::string out;
    int moved_east_deg = 0;
    for (int i = 1; i < count; ++i) {
        const std::string_view word = words[i];
        if (word == "--help") {
            fmt::print("{}", usage);
            return 0;
        }
        if (word != "--out" && word != "--shift-longitude") {
            return refuse(fmt::format("'{}' is no option", word));
        }
        if (i + 1 == count) {
            return refuse(fmt::format("{} needs a value", word));
        }
        const std::string_view value = words[++i];
        if (word == "--out") {
            out = value;
            continue;
        }
        const auto [end, fault] = std::from_chars(value.data(), value.data() + value.size(), moved_east_deg);
        if (fault != std::errc() || end != value.data() + value.size() || moved_east_deg < -359 ||
            moved_east_deg > 359) {
            return refuse(fmt::format(
                "--shift-longitude '{}' is not a whole number of degrees from -359 to 359", value));
        }
    }
    if (out.empty()) {
        return refuse("--out is missing");
    }
    try {
        const std::string text =
            omniway::demo_region::region_text(omniway::demo_region::country_records(), moved_east_deg);
        std::ofstream file(out, std::ios::binary | std::ios::trunc);
        file << text;
        file.close();
        if (!file) {
            fmt::print(stderr, "omniway-demo-region: {} cannot be written\n", out);
            return 2;
        }
    } catch (const std::exception& fault) {
        fmt::print(stderr, "omniway-demo-region: {}\n", fault.what());
        return 1;
    }
    return 0;
}
