#include "service/page_file.hpp"

#include <algorithm>

namespace omniway::service {

std::string_view card_page_file() {
    const auto files = page_files();
    const auto file = std::find_if(files.begin(), files.end(),
                                   [](const PageFile& each) { return each.path == "/card-page.html"; });
    return file == files.end() ? std::string_view() : file->bytes;
}

}  // namespace omniway::service
