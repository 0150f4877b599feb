#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "service/detail/message.hpp"

namespace omniway::service::detail {

/// What a request says of where it comes from; empty where it says nothing.
struct Comes {
    std::string_view host;
    std::string_view origin;
    std::string_view cookie;
    std::string_view token;  // in the query of "/"
};

/// Who is let in.
///   Model     Host must name this service, so that a name that leads here by a foreign name server is refused; Origin, where it is sent, must be this
///             service too. With a token nobody comes in without: the one in the address that was printed is good once, and then the cookie
///             that was set for it is.
///   Domain    any bytes.
///   Accuracy  exact; secrets are compared in a time that does not depend on where they differ.
///   Cost      some comparisons.
///   Fails     as answers: service.host, service.origin, service.token.
///   Source    RFC 9110, 7.2 (Host); RFC 6454, 7 (Origin); RFC 6265, 4.1.2 (cookies; SameSite as its successor draft has it).
class Gate {
public:
    /// `address` as in a URL: "127.0.0.1", "[::1]".
    Gate(std::string address, unsigned port, bool with_token);

    /// Why a request is not let in; none: it is.
    std::optional<Refusal> refuses(const Comes& comes) const;
    /// The cookie to be set where the token of the address was given, which then is good no more.
    std::optional<std::string> cookie_for(std::string_view token);
    /// The address to be opened in a browser, with the token where there is one.
    std::string url() const;

private:
    bool is_here(std::string_view authority) const;

    std::string address_;
    unsigned port_;
    bool loopback_only_;
    std::string token_;    // empty: none, or it was used
    std::string session_;  // what the cookie holds; empty: no token is asked for
};

/// 128 random bits as 32 hexadecimal digits.
std::string random_secret();

}  // namespace omniway::service::detail
