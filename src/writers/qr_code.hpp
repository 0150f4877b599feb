#pragma once

#include <string>
#include <string_view>

namespace omniway::writers {

/// A text as a QR code of block characters, to be read off a screen by a tablet.
///   Model     the smallest code that holds it, error correction M, dark on light, two modules to a character one above the other, the quiet zone of
///             four modules about it. Colours are set and left (ECMA-48), so that it is dark on light on a dark screen too.
///   Domain    up to 2,331 bytes; UTF-8.
///   Accuracy  exact.
///   Cost      under a millisecond for an address.
///   Fails     never: what is too long gives an empty text.
///   Source    ISO/IEC 18004, by libqrencode; ECMA-48 for the colours.
std::string qr_code(std::string_view text);

}  // namespace omniway::writers
