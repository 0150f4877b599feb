#include "service/detail/message.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "base/in_quotes.hpp"

namespace omniway::service::detail {

namespace {

using Json = nlohmann::ordered_json;

// Which status a fault has, by how its code begins; the first that fits.
struct StatusOf {
    std::string_view code;
    unsigned status;
};
constexpr std::array<StatusOf, 9> statuses{{
    {"service.no_flight", 422},
    {"service.busy", 503},
    {"service.fault", 500},
    {"service.", 400},
    {"app.cancelled", 503},
    {"atlas.", 503},
    {"earth.", 503},
    {"app.unknown_ident", 404},
    {"", 422},
}};

std::string_view title_of(unsigned status) {
    switch (status) {
        case 400:
            return "The request is not understood";
        case 401:
            return "A token is asked for";
        case 403:
            return "Requests from there are not answered";
        case 404:
            return "There is no such thing";
        case 405:
            return "That cannot be done there";
        case 413:
            return "The request is too large";
        case 415:
            return "JSON is expected";
        case 422:
            return "The question cannot be answered as it is asked";
        case 431:
            return "The header is too large";
        case 503:
            return "The service cannot answer now";
        default:
            return "A fault of the service";
    }
}

int digit(char c) {
    return c >= '0' && c <= '9'   ? c - '0'
           : c >= 'a' && c <= 'f' ? c - 'a' + 10
           : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                  : -1;
}

std::optional<std::string> decoded(std::string_view text) {
    constexpr int base = 16;
    std::string plain;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] != '%') {
            plain += text[i] == '+' ? ' ' : text[i];
            continue;
        }
        const int high = i + 2 < text.size() ? digit(text[i + 1]) : -1;
        const int low = i + 2 < text.size() ? digit(text[i + 2]) : -1;
        if (high < 0 || low < 0) {
            return std::nullopt;
        }
        plain += static_cast<char>(high * base + low);
        i += 2;
    }
    // JSON holds UTF-8 alone: what its writer refuses is refused here.
    try {
        static_cast<void>(Json(plain).dump());
    } catch (const Json::exception&) {
        return std::nullopt;
    }
    return plain;
}

}  // namespace

Refusal refusal_of(std::vector<base::Error> errors) {
    const std::string code = errors.empty() ? "" : errors.front().code;
    const auto* const found = std::find_if(statuses.begin(), statuses.end(),
                                           [&](const StatusOf& each) { return code.starts_with(each.code); });
    std::string detail = errors.empty() ? "" : errors.front().message;
    return {found->status, std::move(detail), std::move(errors)};
}

std::string problem_json(const Refusal& refusal, const std::string& instance) {
    Json json{{"type", "about:blank"},    {"title", title_of(refusal.status)},
              {"status", refusal.status}, {"detail", refusal.detail},
              {"instance", instance},     {"errors", Json::array()}};
    for (const base::Error& error : refusal.errors) {
        json["errors"].push_back({{"code", error.code}, {"message", error.message}, {"where", error.where}});
    }
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

Reply problem(const Refusal& refusal, const std::string& instance) {
    return {refusal.status, "application/problem+json", problem_json(refusal, instance)};
}

base::Result<std::vector<std::pair<std::string, std::string>>> parse_query(std::string_view query) {
    std::vector<std::pair<std::string, std::string>> read;
    while (!query.empty()) {
        const std::string_view part = query.substr(0, query.find('&'));
        query.remove_prefix(std::min(query.size(), part.size() + 1));
        const std::size_t equals = std::min(part.find('='), part.size());
        const auto name = decoded(part.substr(0, equals));
        const auto value = decoded(part.substr(std::min(part.size(), equals + 1)));
        if (!name || !value) {
            return base::failure("service.query",
                                 fmt::format("{} is badly escaped, or no UTF-8; write name=value, each other "
                                             "byte as %XX",
                                             base::in_quotes(part)),
                                 "?");
        }
        if (!part.empty()) {
            read.emplace_back(*name, *value);
        }
    }
    return read;
}

}  // namespace omniway::service::detail
