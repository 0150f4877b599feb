#include "writers/qr_code.hpp"

#include <cstdint>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <zbar.h>

namespace omniway::writers {

namespace {

constexpr std::size_t dots = 4;  // to a module

/// What another library's camera would see: every block character two modules, one above the other.
struct Picture {
    std::size_t width = 0;
    std::vector<std::uint8_t> grey;
};

Picture seen(const std::string& drawn) {
    std::vector<std::vector<bool>> rows;
    std::vector<bool> upper;
    std::vector<bool> lower;
    for (std::size_t i = 0; i < drawn.size();) {
        const auto is = [&](std::string_view what) { return drawn.compare(i, what.size(), what) == 0; };
        if (drawn[i] == '\x1b') {
            i = drawn.find('m', i) + 1;
        } else if (drawn[i] == '\n') {
            rows.push_back(upper);
            rows.push_back(lower);
            upper.clear();
            lower.clear();
            ++i;
        } else {
            upper.push_back(is("█") || is("▀"));
            lower.push_back(is("█") || is("▄"));
            i += drawn[i] == ' ' ? 1 : 3;
        }
    }
    Picture picture;
    picture.width = rows.empty() ? 0 : rows.front().size() * dots;
    for (const std::vector<bool>& row : rows) {
        for (std::size_t line = 0; line < dots; ++line) {
            for (const bool dark : row) {
                picture.grey.insert(picture.grey.end(), dots, dark ? 0 : 255);
            }
        }
    }
    return picture;
}

std::vector<std::string> read(const Picture& picture) {
    zbar::ImageScanner scanner;
    scanner.set_config(zbar::ZBAR_NONE, zbar::ZBAR_CFG_ENABLE, 0);
    scanner.set_config(zbar::ZBAR_QRCODE, zbar::ZBAR_CFG_ENABLE, 1);
    zbar::Image image(static_cast<unsigned>(picture.width),
                      static_cast<unsigned>(picture.grey.size() / picture.width), "Y800", picture.grey.data(),
                      picture.grey.size());
    scanner.scan(image);
    std::vector<std::string> texts;
    for (auto symbol = image.symbol_begin(); symbol != image.symbol_end(); ++symbol) {
        texts.push_back(symbol->get_data());
    }
    return texts;
}

}  // namespace

// Read back by libzbar, which shares no code with what draws it.
TEST(TruthQrCode, IsReadBackByAnotherLibrary) {
    for (const std::string text :
         {"http://192.0.2.17:8640/?token=0123456789abcdef0123456789abcdef", "http://[2001:db8::1]:8640/"}) {
        EXPECT_EQ(read(seen(qr_code(text))), std::vector{text});
    }
}

TEST(CaseQrCode, WhatIsTooLongForOneIsNone) {
    EXPECT_EQ(qr_code(std::string(3000, 'x')), "");
}

}  // namespace omniway::writers
