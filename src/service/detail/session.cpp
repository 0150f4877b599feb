#include "service/detail/session.hpp"

#include <sys/socket.h>

#include <algorithm>
#include <atomic>
#include <ctime>
#include <utility>

#include <fmt/chrono.h>
#include <fmt/format.h>
#include <boost/asio/buffer.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/buffers_to_string.hpp>
#include <boost/beast/http/chunk_encode.hpp>
#include <boost/beast/http/empty_body.hpp>
#include <boost/beast/http/read.hpp>
#include <boost/beast/http/write.hpp>
#include <nlohmann/json.hpp>

#include "base/in_quotes.hpp"

namespace omniway::service::detail {

namespace http = boost::beast::http;
namespace net = boost::asio;

namespace {

constexpr std::int64_t milliseconds_between_events = 100;
constexpr std::size_t longest_target = 4096;

// Nothing on the page comes from elsewhere, nothing is written into its text, and no other page may show it in a frame.
constexpr const char* content_policy =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; "
    "connect-src 'self'; manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'";

template <class Message>
void add_common_fields(Message& message) {
    message.set(http::field::date,
                fmt::format("{:%a, %d %b %Y %H:%M:%S} GMT", fmt::gmtime(std::time(nullptr))));
    message.set("Content-Security-Policy", content_policy);
    message.set("X-Content-Type-Options", "nosniff");
    message.set("Referrer-Policy", "no-referrer");
    message.set("Cross-Origin-Resource-Policy", "same-origin");
    message.set("Cross-Origin-Opener-Policy", "same-origin");
}

std::string text_of(boost::beast::string_view view) {
    return {view.data(), view.size()};
}

// A text of several lines is one event of several `data` lines, which whoever reads it joins again.
std::string event_of(std::string_view name, std::string_view data) {
    std::string event = fmt::format("event: {}\n", name);
    for (std::size_t begin = 0; begin <= data.size();) {
        const std::size_t end = std::min(data.find('\n', begin), data.size());
        event += fmt::format("data: {}\n", data.substr(begin, end - begin));
        begin = end + 1;
    }
    return event + "\n";
}

std::string progress_event(const std::string& stage, double share) {
    const nlohmann::ordered_json json{{"stage", stage}, {"share", share}};
    return event_of("progress", json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace));
}

std::string allowed_at(std::string_view path) {
    std::string allowed;
    for (const Route& route : routes()) {
        if (route.path == path) {
            allowed += fmt::format("{}{}", allowed.empty() ? "" : ", ",
                                   route.method == "GET" ? std::string_view("GET, HEAD") : route.method);
        }
    }
    return allowed;
}

const Route* route_of(std::string_view method, std::string_view path) {
    const auto all = routes();
    const auto found = std::find_if(all.begin(), all.end(), [&](const Route& route) {
        return route.path == path && (route.method == method || (method == "HEAD" && route.method == "GET"));
    });
    return found == all.end() ? nullptr : &*found;
}

Refusal refusal(unsigned status, const char* code, const std::string& message, const char* where = "") {
    return {status, message, {{code, message, where}}};
}

bool is_json(std::string_view type) {
    const std::string_view name = type.substr(0, type.find_first_of("; "));
    constexpr std::string_view json = "application/json";
    return std::equal(name.begin(), name.end(), json.begin(), json.end(),
                      [](char a, char b) { return (a >= 'A' && a <= 'Z' ? a - 'A' + 'a' : a) == b; });
}

}  // namespace

Session::Session(net::ip::tcp::socket socket, Hall& hall)
    : stream_(std::move(socket)), buffer_(hall.limits.header_bytes + hall.limits.body_bytes), hall_(hall) {
    hall_.sessions.insert(this);
}

Session::~Session() {
    hall_.sessions.erase(this);
}

void Session::stop() {
    if (!answering_) {
        close();
    }
}

void Session::cancel() {
    giving_up_.request_stop();
}

void Session::close() {
    Code ignored;
    stream_.socket().close(ignored);
}

// Reading.

void Session::read() {
    if (hall_.stopping) {
        close();
        return;
    }
    answering_ = streaming_ = writing_event_ = last_event_ = head_only_ = false;
    body_unread_ = true;
    keep_alive_ = false;
    next_event_.reset();
    asked_ = {};
    giving_up_ = std::stop_source();
    parser_.emplace();
    parser_->header_limit(static_cast<std::uint32_t>(hall_.limits.header_bytes));
    parser_->body_limit(hall_.limits.body_bytes);
    stream_.expires_after(hall_.limits.header_time);
    http::async_read_header(stream_, buffer_, *parser_,
                            [self = shared_from_this()](Code code, std::size_t) { self->on_header(code); });
}

std::string Session::field(http::field name) const {
    return text_of(parser_->get()[name]);
}

void Session::on_header(Code code) {
    if (code) {
        refuse_unread(code);
        return;
    }
    const auto& head = parser_->get();
    asked_.method = text_of(head.method_string());
    const std::string target = text_of(head.target());
    asked_.path = target.substr(0, target.find('?'));
    head_only_ = head.method() == http::verb::head;
    if (target.size() > longest_target || !target.starts_with('/')) {
        refuse(
            refusal(400, "service.target",
                    fmt::format("a target begins with a stroke and has at most {} bytes", longest_target)));
        return;
    }
    if (target.size() > asked_.path.size()) {
        auto query = parse_query(std::string_view(target).substr(asked_.path.size() + 1));
        if (!query) {
            refuse(refusal_of({query.error()}));
            return;
        }
        asked_.query = std::move(*query);
    }
    if (is_let_in()) {
        read_body();
    }
}

// Whether the header alone is a reason not to read on.
bool Session::is_let_in() {
    const auto hosts = parser_->get().count(http::field::host);
    const std::string host = field(http::field::host);
    const std::string origin = field(http::field::origin);
    const std::string cookie = field(http::field::cookie);
    std::string token;
    if (asked_.path == "/" && asked_.method == "GET" && asked_.query.size() == 1 &&
        asked_.query.front().first == "token") {
        token = asked_.query.front().second;
    }
    if (const auto refused =
            hall_.gate->refuses({hosts == 1 ? host : std::string_view(), origin, cookie, token})) {
        refuse(*refused);
        return false;
    }
    if (auto entered = hall_.gate->cookie_for(token)) {
        // The address without the token: it is good no more, and nobody's history needs it.
        reply({303, "text/plain", "", {{"Location", "/"}, {"Set-Cookie", *entered}}});
        return false;
    }
    const bool reads = asked_.method == "GET" || asked_.method == "HEAD";
    const Route* route = route_of(asked_.method, asked_.path);
    if (route == nullptr) {
        std::string allowed = allowed_at(asked_.path);
        const bool of_page = allowed.empty() && page_reply({asked_.path, {}, {}}).has_value();
        allowed = of_page ? "GET, HEAD" : allowed;
        if (allowed.empty()) {
            refuse(refusal(404, "service.path",
                           fmt::format("there is nothing at {}; api/openapi.yaml lists what there is",
                                       base::in_quotes(asked_.path))));
            return false;
        }
        if (!of_page || !reads) {
            Reply answer =
                problem(refusal(405, "service.method",
                                fmt::format("{} cannot be done at {}: {} can", base::in_quotes(asked_.method),
                                            base::in_quotes(asked_.path), allowed)),
                        asked_.path);
            answer.fields.emplace_back("Allow", allowed);
            reply(std::move(answer));
            return false;
        }
    } else if (route->method == "POST" && !is_json(field(http::field::content_type))) {
        refuse(refusal(415, "service.content_type",
                       fmt::format("the body is {}: application/json is expected",
                                   base::in_quotes(field(http::field::content_type))),
                       "Content-Type"));
        return false;
    }
    return true;
}

void Session::read_body() {
    stream_.expires_after(hall_.limits.body_time);
    const auto read_on = [self = shared_from_this()] {
        http::async_read(self->stream_, self->buffer_, *self->parser_,
                         [self](Code code, std::size_t) { self->on_body(code); });
    };
    if (!parser_->is_done() && field(http::field::expect) == "100-continue") {
        static constexpr std::string_view go_on = "HTTP/1.1 100 Continue\r\n\r\n";
        net::async_write(stream_, net::buffer(go_on.data(), go_on.size()),
                         [self = shared_from_this(), read_on](Code code, std::size_t) {
                             code ? self->close() : read_on();
                         });
        return;
    }
    read_on();
}

void Session::on_body(Code code) {
    if (code) {
        refuse_unread(code);
        return;
    }
    body_unread_ = false;
    keep_alive_ = parser_->get().keep_alive();
    asked_.body = std::move(parser_->get().body());
    answering_ = true;
    begin();
}

void Session::refuse_unread(Code code) {
    if (code == http::error::body_limit) {
        refuse(refusal(413, "service.body_size",
                       fmt::format("the body is larger than {} bytes", hall_.limits.body_bytes)));
    } else if (code == http::error::header_limit) {
        refuse(refusal(431, "service.header_size",
                       fmt::format("the header is larger than {} bytes", hall_.limits.header_bytes)));
    } else if (code == http::error::end_of_stream || code == http::error::partial_message ||
               code.category() != Code(http::error::bad_method).category()) {
        close();  // the client left, or its time is over
    } else {
        refuse(refusal(400, "service.http", fmt::format("this is no HTTP/1.1: {}", code.message())));
    }
}

// Answering.

void Session::begin() {
    if (const Route* route = route_of(asked_.method, asked_.path)) {
        compute(*route);
        return;
    }
    const std::string has = field(http::field::if_none_match);
    const std::string takes = field(http::field::accept_encoding);
    reply(page_reply({asked_.path, has, takes}).value_or(Reply{404, "text/plain", ""}));
}

// What is streamed is of progress too, which an answer that is known has none of.
Answer Session::answer_known_or_found(const Route& route, const base::Progress& progress) {
    std::string question(route.path);
    for (const auto& [name, value] : asked_.query) {
        question += fmt::format("\n{}:{} {}:{}", name.size(), name, value.size(), value);
    }
    question += "\n" + asked_.body;
    const auto key =
        route.streams ? std::nullopt
                      : AnswerMemo::key_of(question, hall_.library.atlas, std::chrono::system_clock::now());
    if (key) {
        if (auto known = hall_.answers.find(*key)) {
            return std::move(*known);
        }
    }
    Answer answer = answer_of(route, hall_.library, asked_, progress);
    if (key && answer) {
        hall_.answers.keep(*key, *answer);
    }
    return answer;
}

void Session::compute(const Route& route) {
    stream_.expires_never();
    const bool streams = route.streams;
    // The last hold on the session is let go by the thread that moves bytes, never by the one that computes.
    auto job = [self = shared_from_this(), &route, streams, stop = giving_up_.get_token()]() mutable {
        Answer answer = tl::unexpected(refusal(503, "app.cancelled", "nobody waits for the answer any more"));
        if (!stop.stop_requested()) {
            base::Progress progress{{}, stop};
            std::atomic<std::int64_t> told_at{-milliseconds_between_events};
            const auto began = std::chrono::steady_clock::now();
            if (streams) {
                progress.report = [&](std::string_view stage, double share) {
                    const std::int64_t now = std::chrono::duration_cast<std::chrono::milliseconds>(
                                                 std::chrono::steady_clock::now() - began)
                                                 .count();
                    std::int64_t before = told_at.load();
                    if (now - before >= milliseconds_between_events &&
                        told_at.compare_exchange_strong(before, now)) {
                        net::post(self->hall_.context,
                                  [self, stage = std::string(stage), share] { self->told(stage, share); });
                    }
                };
            }
            answer = self->answer_known_or_found(route, progress);
        }
        net::io_context& context = self->hall_.context;
        net::post(context, [self = std::move(self), answer = std::move(answer)] { self->answered(answer); });
    };
    if (!hall_.work.take(std::move(job))) {
        Reply busy = problem(
            refusal(503, "service.busy",
                    fmt::format("{} questions wait already: ask again in a second", hall_.limits.waiting)),
            asked_.path);
        busy.fields.emplace_back("Retry-After", "1");
        reply(std::move(busy));
        return;
    }
    watch();
}

// A client that closes its connection waits for no answer.
void Session::watch() {
    const std::uint64_t watched = ++watching_;
    stream_.socket().async_wait(
        net::ip::tcp::socket::wait_read, [self = shared_from_this(), watched](Code code) {
            if (code || watched != self->watching_) {
                return;
            }
            char one = 0;
            const auto got = ::recv(self->stream_.socket().native_handle(), &one, 1, MSG_PEEK | MSG_DONTWAIT);
            if (got == 0 || (got < 0 && errno != EAGAIN && errno != EWOULDBLOCK)) {
                self->giving_up_.request_stop();
            }
        });
}

void Session::told(const std::string& stage, double share) {
    if (giving_up_.stop_requested() || last_event_) {
        return;
    }
    begin_stream();
    send_event(progress_event(stage, share), false);
}

void Session::answered(const Answer& answer) {
    ++watching_;
    const bool gone = giving_up_.stop_requested() && !hall_.stopping;
    if (gone) {
        close();
        return;
    }
    const Route* route = route_of(asked_.method, asked_.path);
    if (route->streams && (streaming_ || answer)) {
        begin_stream();
        send_event(answer ? event_of("answer", *answer)
                          : event_of("problem", problem_json(answer.error(), asked_.path)),
                   true);
        return;
    }
    Code ignored;
    stream_.socket().cancel(ignored);  // the watch
    if (!answer) {
        refuse(answer.error());
        return;
    }
    Reply whole{200, std::string(route->type), *answer, {{"Cache-Control", "no-store"}}};
    if (!route->download.empty()) {
        whole.fields.emplace_back("Content-Disposition",
                                  fmt::format("attachment; filename=\"{}\"", route->download));
    }
    reply(std::move(whole));
}

// Writing.

void Session::refuse(const Refusal& refused) {
    Reply answer = problem(refused, asked_.path);
    if (refused.status == 401) {
        answer.fields.emplace_back("WWW-Authenticate", "Cookie");
    }
    answer.fields.emplace_back("Cache-Control", "no-store");
    reply(std::move(answer));
}

void Session::reply(Reply answer) {
    answering_ = true;
    keep_alive_ = keep_alive_ && !body_unread_ && !hall_.stopping;
    const auto fill = [&](auto& message) {
        message.result(answer.status);
        message.version(11);
        add_common_fields(message);
        if (answer.status != 304) {
            message.set(http::field::content_type, answer.type);
        }
        for (const auto& [name, value] : answer.fields) {
            message.insert(name, value);
        }
        message.keep_alive(keep_alive_);
    };
    if (head_only_ || answer.status == 304) {
        auto message = std::make_shared<http::response<http::empty_body>>();
        fill(*message);
        if (answer.status != 304) {
            message->content_length(answer.body.size());
        }
        write(std::move(message));
        return;
    }
    auto message = std::make_shared<http::response<http::string_body>>();
    fill(*message);
    message->body() = std::move(answer.body);
    message->prepare_payload();
    write(std::move(message));
}

template <class Message>
void Session::write(std::shared_ptr<Message> message) {
    stream_.expires_after(hall_.limits.write_time);
    http::async_write(stream_, *message, [self = shared_from_this(), message](Code code, std::size_t) {
        self->after_write(code);
    });
}

void Session::after_write(Code code) {
    if (code) {
        close();
    } else if (keep_alive_) {
        read();
    } else if (body_unread_) {
        end_after_reading_on();
    } else {
        Code ignored;
        stream_.socket().shutdown(net::ip::tcp::socket::shutdown_both, ignored);
        close();
    }
}

// To close while bytes are unread resets the connection, and the answer may be lost on its way (RFC 9112, 9.6).
void Session::end_after_reading_on() {
    Code ignored;
    stream_.socket().shutdown(net::ip::tcp::socket::shutdown_send, ignored);
    constexpr std::size_t piece = std::size_t{64} << 10U;
    discarded_.resize(piece);
    stream_.expires_after(hall_.limits.linger_time);
    auto read_on = [self = shared_from_this()](auto& again) -> void {
        self->stream_.async_read_some(
            net::buffer(self->discarded_),
            [self, again](Code code, std::size_t) mutable { code ? self->close() : again(again); });
    };
    read_on(read_on);
}

void Session::begin_stream() {
    if (streaming_) {
        return;
    }
    streaming_ = true;
    const bool chunked = parser_->get().version() >= 11;
    keep_alive_ = keep_alive_ && chunked;
    http::response<http::empty_body> head;
    head.version(11);
    head.result(http::status::ok);
    add_common_fields(head);
    head.set(http::field::content_type, "text/event-stream");
    head.set(http::field::cache_control, "no-store");
    head.keep_alive(keep_alive_);
    if (chunked) {
        head.chunked(true);
    }
    std::string text = fmt::format("HTTP/1.1 {} {}\r\n", head.result_int(), text_of(head.reason()));
    for (const auto& each : head) {
        text += fmt::format("{}: {}\r\n", text_of(each.name_string()), text_of(each.value()));
    }
    event_ = text + "\r\n";
}

// One event is written at a time; of the progress that comes meanwhile the latest is told next.
void Session::send_event(std::string event, bool last) {
    if (parser_->get().version() >= 11) {
        event = fmt::format("{:x}\r\n{}\r\n", event.size(), event) + (last ? "0\r\n\r\n" : "");
    }
    last_event_ = last_event_ || last;
    if (writing_event_) {
        next_event_ = std::move(event);
        return;
    }
    event_ += event;
    write_event();
}

void Session::write_event() {
    writing_event_ = true;
    stream_.expires_after(hall_.limits.write_time);
    net::async_write(stream_, net::buffer(event_),
                     [self = shared_from_this()](Code code, std::size_t) { self->after_event(code); });
}

void Session::after_event(Code code) {
    writing_event_ = false;
    event_.clear();
    if (code) {
        giving_up_.request_stop();
        close();
    } else if (next_event_) {
        event_ = std::exchange(next_event_, std::nullopt).value();
        write_event();
    } else if (last_event_) {
        Code ignored;
        stream_.socket().cancel(ignored);  // the watch
        after_write(code);
    } else {
        stream_.expires_never();
    }
}

}  // namespace omniway::service::detail
