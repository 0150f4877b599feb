#pragma once

#include <span>
#include <string_view>

namespace omniway::service {

/// A file of the built page as it is carried in the program.
///   Model     the bytes as they were built, and the same compressed where that is shorter (else empty).
///   Domain    paths begin with a slash: "/index.html", "/assets/page-1a2b.js".
///   Accuracy  byte for byte.
///   Cost      no copy.
///   Fails     never.
///   Source    tools/embed_page.py; RFC 9110, 8.8.3 (entity tags).
struct PageFile {
    std::string_view path;
    std::string_view type;  // of its content
    std::string_view tag;   // of its bytes, without quotes
    std::string_view bytes;
    std::string_view gzip;
};

/// All of them, sorted by path; none where the page was not built.
std::span<const PageFile> page_files();

/// The page of a card without its flight (app/card_page.hpp); empty where the page was not built.
std::string_view card_page_file();

}  // namespace omniway::service
