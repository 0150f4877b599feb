#include "service/detail/gate.hpp"

#include <algorithm>
#include <array>
#include <random>

#include <fmt/format.h>

#include "base/in_quotes.hpp"

namespace omniway::service::detail {

namespace {

constexpr unsigned port_of_http = 80;
constexpr std::string_view cookie_name = "omniway";

std::string lower(std::string_view text) {
    std::string small(text);
    std::transform(small.begin(), small.end(), small.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return small;
}

bool is_same_secret(std::string_view a, std::string_view b) {
    unsigned difference = a.size() == b.size() ? 0U : 1U;
    for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i) {
        difference |= static_cast<unsigned char>(a[i]) ^ static_cast<unsigned char>(b[i]);
    }
    return difference == 0U;
}

// The value of our cookie among those that are sent: "a=1; omniway=2".
std::string_view our_cookie(std::string_view cookies) {
    while (!cookies.empty()) {
        std::string_view one = cookies.substr(0, cookies.find(';'));
        cookies.remove_prefix(std::min(cookies.size(), one.size() + 1));
        one.remove_prefix(std::min(one.size(), one.find_first_not_of(' ')));
        if (one.starts_with(cookie_name) && one.substr(cookie_name.size()).starts_with('=')) {
            return one.substr(cookie_name.size() + 1);
        }
    }
    return {};
}

Refusal refusal(unsigned status, const char* code, std::string message, const char* where) {
    return {status, message, {{code, message, where}}};
}

}  // namespace

std::string random_secret() {
    constexpr int words = 4;
    std::random_device source;
    std::string text;
    for (int i = 0; i < words; ++i) {
        text += fmt::format("{:08x}", source());
    }
    return text;
}

Gate::Gate(std::string address, unsigned port, bool with_token)
    : address_(std::move(address)),
      port_(port),
      loopback_only_(!with_token),
      token_(with_token ? random_secret() : ""),
      session_(with_token ? random_secret() : "") {}

std::string Gate::url() const {
    return fmt::format("http://{}:{}/{}", address_, port_, token_.empty() ? "" : "?token=" + token_);
}

bool Gate::is_here(std::string_view authority) const {
    const std::string asked = lower(authority);
    const std::array<std::string, 4> names{address_, "127.0.0.1", "localhost", "[::1]"};
    const std::size_t allowed = loopback_only_ ? names.size() : 1;
    return std::any_of(
        names.begin(), names.begin() + static_cast<std::ptrdiff_t>(allowed), [&](const std::string& name) {
            return asked == fmt::format("{}:{}", name, port_) || (port_ == port_of_http && asked == name);
        });
}

std::optional<Refusal> Gate::refuses(const Comes& comes) const {
    if (!is_here(comes.host)) {
        return refusal(403, "service.host",
                       fmt::format("the host {} is not this service, which is {}:{}",
                                   base::in_quotes(comes.host), address_, port_),
                       "Host");
    }
    constexpr std::string_view scheme = "http://";
    if (!comes.origin.empty() &&
        !(comes.origin.starts_with(scheme) && is_here(comes.origin.substr(scheme.size())))) {
        return refusal(403, "service.origin",
                       fmt::format("the page of {} may ask nothing here", base::in_quotes(comes.origin)),
                       "Origin");
    }
    const bool known = session_.empty() || is_same_secret(our_cookie(comes.cookie), session_);
    const bool enters = !token_.empty() && is_same_secret(comes.token, token_);
    if (!known && !enters) {
        return refusal(401, "service.token",
                       "open the address that was printed where the service was started; it is good once",
                       "Cookie");
    }
    return std::nullopt;
}

std::optional<std::string> Gate::cookie_for(std::string_view token) {
    if (token_.empty() || !is_same_secret(token, token_)) {
        return std::nullopt;
    }
    token_.clear();
    return fmt::format("{}={}; Path=/; HttpOnly; SameSite=Strict", cookie_name, session_);
}

}  // namespace omniway::service::detail
