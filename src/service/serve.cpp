#include "service/serve.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <memory>
#include <thread>

#include <fmt/format.h>
#include <boost/asio/ip/address.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/steady_timer.hpp>

#include "app/flight_views.hpp"
#include "app/world_memo.hpp"
#include "base/in_quotes.hpp"
#include "service/detail/session.hpp"

namespace omniway::service {

namespace {

namespace net = boost::asio;
using boost::system::error_code;
using detail::Hall;
using detail::Session;

constexpr std::chrono::milliseconds between_looks{50};
// Of worlds that are kept, by their atlases' files: one pair of airports each, and the one of a place in the air.
constexpr std::size_t bytes_of_worlds = std::size_t{64} << 20U;
constexpr std::size_t most_flights = 32;  // planned, and viewed, that are kept for what is asked of them next
constexpr unsigned most_threads = 8;      // that compute; each question uses as many again where it can

// Takes connections in until the service is stopped, and then waits for those that are being answered.
class Door {
public:
    Door(Hall& hall, net::ip::tcp::acceptor acceptor, std::stop_token stop)
        : hall_(hall), acceptor_(std::move(acceptor)), look_(hall.context), stop_(std::move(stop)) {}

    void open() {
        accept();
        look();
        hall_.context.run();
    }

private:
    void accept() {
        acceptor_.async_accept([this](error_code code, net::ip::tcp::socket socket) {
            if (hall_.stopping) {
                return;
            }
            if (code) {
                waiting_ = true;  // no descriptor is left: when one is, at the next look
                return;
            }
            if (hall_.sessions.size() < hall_.limits.connections) {
                error_code ignored;
                socket.set_option(net::ip::tcp::no_delay(true), ignored);
                std::make_shared<Session>(std::move(socket), hall_)->read();
            }
            accept();
        });
    }

    // A signal may only set a flag, so the flag is looked at.
    void look() {
        look_.expires_after(between_looks);
        look_.async_wait([this](error_code) {
            if (!hall_.stopping && stop_.stop_requested()) {
                begin_to_stop();
            }
            if (hall_.stopping && is_done()) {
                hall_.context.stop();
                return;
            }
            if (std::exchange(waiting_, false)) {
                accept();
            }
            look();
        });
    }

    void begin_to_stop() {
        hall_.stopping = true;
        began_ = std::chrono::steady_clock::now();
        error_code ignored;
        acceptor_.close(ignored);
        // Closing one may end it, and so take it out of the set.
        const std::vector<Session*> all(hall_.sessions.begin(), hall_.sessions.end());
        for (Session* session : all) {
            session->stop();
        }
    }

    bool is_done() {
        const auto passed = std::chrono::steady_clock::now() - began_;
        if (passed > hall_.limits.finish_time && !cancelled_) {
            cancelled_ = true;
            for (Session* session : hall_.sessions) {
                session->cancel();
            }
        }
        return hall_.sessions.empty() || passed > hall_.limits.finish_time + hall_.limits.cancel_time;
    }

    Hall& hall_;
    net::ip::tcp::acceptor acceptor_;
    net::steady_timer look_;
    std::stop_token stop_;
    bool waiting_ = false;
    bool cancelled_ = false;
    std::chrono::steady_clock::time_point began_;
};

std::string in_url(const net::ip::address& address) {
    return address.is_v6() ? "[" + address.to_string() + "]" : address.to_string();
}

base::Result<net::ip::tcp::endpoint> endpoint_of(const ServeQuestion& question) {
    constexpr double greatest_port = 65535;
    if (!(question.port >= 0 && question.port <= greatest_port &&
          question.port == std::floor(question.port))) {
        return base::failure(
            "app.out_of_range",
            fmt::format("port {:g}: allowed are whole numbers from 0 (any that is free) to 65535",
                        question.port),
            "--port");
    }
    error_code wrong;
    const auto address = net::ip::make_address(question.address, wrong);
    if (wrong || address.is_unspecified() || address.is_multicast()) {
        return base::failure(
            "serve.address",
            fmt::format("{} is no address of one network interface, as 127.0.0.1 or 192.168.1.20",
                        base::in_quotes(question.address)),
            "--address");
    }
    if (!address.is_loopback() && !question.allow_network) {
        return base::failure(
            "serve.network_not_allowed",
            fmt::format(
                "{} can be reached from other machines: add --allow-network, and who opens the address that "
                "is then printed may ask",
                question.address),
            "--address");
    }
    return net::ip::tcp::endpoint(address, static_cast<unsigned short>(question.port));
}

base::Result<net::ip::tcp::acceptor> listening_at(net::io_context& context,
                                                  const net::ip::tcp::endpoint& endpoint) {
    net::ip::tcp::acceptor acceptor(context);
    error_code wrong;
    acceptor.open(endpoint.protocol(), wrong);
    if (!wrong) {
        acceptor.set_option(net::socket_base::reuse_address(true), wrong);
        acceptor.bind(endpoint, wrong);
    }
    if (!wrong) {
        acceptor.listen(net::socket_base::max_listen_connections, wrong);
    }
    if (wrong == net::error::address_in_use) {
        return base::failure(
            "serve.port_taken",
            fmt::format("port {} of {} is taken by another program: end that, or give --port with "
                        "another, 0 for any that is free",
                        endpoint.port(), endpoint.address().to_string()),
            "--port");
    }
    if (wrong) {
        return base::failure("serve.not_listening",
                             fmt::format("cannot listen at {}, port {}: {}", endpoint.address().to_string(),
                                         endpoint.port(), wrong.message()),
                             "--address");
    }
    return acceptor;
}

}  // namespace

base::Result<void> serve(const ServeQuestion& question,
                         const std::function<void(const std::string& address)>& listening,
                         std::stop_token stop) {
    const auto endpoint = endpoint_of(question);
    if (!endpoint) {
        return tl::unexpected<base::Error>(endpoint.error());
    }
    detail::Library library{question.atlas, question.shipped, question.version, {}};
    library.shipped.worlds = std::make_shared<app::WorldMemo>(bytes_of_worlds);
    library.shipped.flights_viewed = std::make_shared<app::FlightsViewed>(most_flights);
    library.planned = std::make_shared<decltype(library.planned)::element_type>(most_flights);
    const std::size_t threads = std::clamp(std::thread::hardware_concurrency(), 1U, most_threads);
    Hall hall(library, threads);
    auto acceptor = listening_at(hall.context, *endpoint);
    if (!acceptor) {
        return tl::unexpected<base::Error>(acceptor.error());
    }
    const auto bound = acceptor->local_endpoint();
    hall.gate.emplace(in_url(bound.address()), bound.port(), !bound.address().is_loopback());
    listening(hall.gate->url());
    Door(hall, std::move(*acceptor), std::move(stop)).open();
    return {};
}

}  // namespace omniway::service
