#include "writers/qr_code.hpp"

#include <memory>

#include <qrencode.h>

namespace omniway::writers {

namespace {

constexpr int quiet = 4;
constexpr std::string_view dark_on_light = "\x1b[30;107m";
constexpr std::string_view as_before = "\x1b[0m";

}  // namespace

std::string qr_code(std::string_view text) {
    const std::unique_ptr<QRcode, void (*)(QRcode*)> code(
        QRcode_encodeString8bit(std::string(text).c_str(), 0, QR_ECLEVEL_M), QRcode_free);
    if (!code) {
        return {};
    }
    const auto dark = [&code](int row, int column) {
        const bool inside = row >= 0 && column >= 0 && row < code->width && column < code->width;
        return inside && (code->data[row * code->width + column] & 1) != 0;
    };
    std::string drawn;
    for (int row = -quiet; row < code->width + quiet; row += 2) {
        drawn += dark_on_light;
        for (int column = -quiet; column < code->width + quiet; ++column) {
            const bool upper = dark(row, column);
            const bool lower = dark(row + 1, column);
            drawn += upper && lower ? "█" : upper ? "▀" : lower ? "▄" : " ";
        }
        drawn += as_before;
        drawn += '\n';
    }
    return drawn;
}

}  // namespace omniway::writers
