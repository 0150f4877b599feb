#include "service/detail/page_reply.hpp"

#include <algorithm>
#include <string>

#include "service/page_file.hpp"

namespace omniway::service::detail {

namespace {

constexpr std::string_view not_built =
    "<!doctype html>\n<html lang=\"en\">\n<head><meta "
    "charset=\"utf-8\"><title>omniway</title></head>\n<body>\n"
    "<h1>omniway</h1>\n<p>The service runs, and its questions are answered under /v1/. This program was "
    "built without the page: "
    "build web/ and then the program again.</p>\n</body>\n</html>\n";

// "gzip;q=0" refuses it.
bool takes_gzip(std::string_view accepted) {
    while (!accepted.empty()) {
        const std::string_view one = accepted.substr(0, accepted.find(','));
        accepted.remove_prefix(std::min(accepted.size(), one.size() + 1));
        const bool named = one.find("gzip") != std::string_view::npos;
        const std::size_t weight = one.find("q=0");
        const bool refused = weight != std::string_view::npos &&
                             one.find_first_of("123456789", weight + 2) == std::string_view::npos;
        if (named) {
            return !refused;
        }
    }
    return false;
}

}  // namespace

std::optional<Reply> page_reply(const PageAsked& asked) {
    const std::string_view path = asked.path == "/" ? std::string_view("/index.html") : asked.path;
    const auto files = page_files();
    const auto file =
        std::find_if(files.begin(), files.end(), [&](const PageFile& each) { return each.path == path; });
    if (file == files.end()) {
        return asked.path == "/"
                   ? std::optional(Reply{200, "text/html; charset=utf-8", std::string(not_built)})
                   : std::nullopt;
    }
    const bool compressed = !file->gzip.empty() && takes_gzip(asked.accept_encoding);
    const std::string tag = "\"" + std::string(file->tag) + (compressed ? "-gz\"" : "\"");
    Reply reply{200, std::string(file->type), {}, {{"ETag", tag}}};
    // What the build names by its bytes never changes under that name.
    reply.fields.emplace_back(
        "Cache-Control", path.starts_with("/assets/") ? "public, max-age=31536000, immutable" : "no-cache");
    if (!file->gzip.empty()) {
        reply.fields.emplace_back("Vary", "Accept-Encoding");
    }
    if (asked.if_none_match.find(tag) != std::string_view::npos || asked.if_none_match == "*") {
        reply.status = 304;
        return reply;
    }
    if (compressed) {
        reply.fields.emplace_back("Content-Encoding", "gzip");
    }
    reply.body = std::string(compressed ? file->gzip : file->bytes);
    return reply;
}

}  // namespace omniway::service::detail
