#pragma once

#include <optional>
#include <string_view>

#include "service/detail/message.hpp"

namespace omniway::service::detail {

/// What a request for a file of the page says it has and takes.
struct PageAsked {
    std::string_view path;
    std::string_view if_none_match;
    std::string_view accept_encoding;
};

/// The file of the page, 304 where the browser has it, or none where there is no such file. "/" is "/index.html", and where the page was not built a
/// short page that says how to build it.
std::optional<Reply> page_reply(const PageAsked& asked);

}  // namespace omniway::service::detail
