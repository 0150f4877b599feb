#pragma once

#include <cstdint>
#include <functional>
#include <stop_token>
#include <string>

#include "app/world.hpp"
#include "base/result.hpp"

namespace omniway::service {

/// Where and of what the service is asked.
struct ServeQuestion {
    std::string address = "127.0.0.1";
    double port = 8640;  // 0: any that is free
    bool allow_network = false;
    std::string atlas;
    app::Shipped shipped;
    std::string version;
};

/// Serves the page and the questions of api/openapi.yaml over HTTP until it is asked to stop.
///   Model     one thread moves bytes, so that a slow client delays nobody; others compute, a few at a time, from a bounded queue. Host and Origin
///             are checked; no answer is for another site; no name from outside reaches a file. On any address but a loopback one everything asks
///             for a token.
///   Domain    HTTP/1.1; one address.
///   Accuracy  as app/.
///   Cost      as the questions; bodies up to 4 MiB.
///   Fails     serve.address, serve.network_not_allowed, serve.port_taken, serve.not_listening, app.out_of_range. Once it listens, never: what is
///             wrong with a request is its answer.
///   Source    RFC 9110, RFC 9112 (HTTP); RFC 9457 (problem details); docs/serve.md.
base::Result<void> serve(const ServeQuestion& question,
                         const std::function<void(const std::string& address)>& listening,
                         std::stop_token stop);

}  // namespace omniway::service
