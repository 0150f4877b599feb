#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <memory>
#include <optional>
#include <set>
#include <stop_token>
#include <string>

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http/message.hpp>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/string_body.hpp>

#include "service/detail/answer_memo.hpp"
#include "service/detail/gate.hpp"
#include "service/detail/message.hpp"
#include "service/detail/page_reply.hpp"
#include "service/detail/routes.hpp"
#include "service/detail/work.hpp"

namespace omniway::service::detail {

class Session;

/// For the answers that were given last: some fifty flights with all their pictures.
constexpr std::size_t bytes_of_answers = std::size_t{96} << 20U;

/// How much of anybody's time and memory one client may take.
struct Limits {
    std::size_t header_bytes = std::size_t{16} << 10U;
    std::size_t body_bytes = std::size_t{4} << 20U;
    std::size_t connections = 512;
    std::size_t waiting = 128;             // questions beside those that are computed
    std::chrono::seconds header_time{20};  // from the first moment a request may come to its header's end
    std::chrono::seconds body_time{30};    // and to the end of its body
    std::chrono::seconds write_time{30};   // for an answer, or an event
    std::chrono::seconds linger_time{2};   // to read on what is not wanted, so that an answer is not lost
    std::chrono::seconds finish_time{10};  // for what is being answered when the service is stopped
    std::chrono::seconds cancel_time{5};   // and then for what was cancelled
};

/// What all connections share; touched by the thread that moves bytes alone, but for what has a lock of its own.
struct Hall {
    Hall(const Library& asked, std::size_t threads) : library(asked), work(threads, limits.waiting) {}

    const Library& library;
    AnswerMemo answers{bytes_of_answers};
    std::optional<Gate> gate = {};  // made once the port is known
    Limits limits = {};
    bool stopping = false;
    std::set<Session*> sessions = {};
    // Goes before the set that its connections stand in, and after the threads that post to it.
    boost::asio::io_context context{1};
    Work work;
};

/// One connection: requests one after another.
///   Model     the header is judged before the body is read; the answer is computed elsewhere, and given up where the client goes away.
///   Domain    HTTP/1.0 and 1.1.
///   Accuracy  as RFC 9112.
///   Cost      its buffers: a header and a body at most.
///   Fails     never: what is wrong is answered, or the connection ends.
///   Source    RFC 9112; server-sent events: HTML Living Standard, 9.2.
class Session : public std::enable_shared_from_this<Session> {
public:
    Session(boost::asio::ip::tcp::socket socket, Hall& hall);
    Session(const Session&) = delete;
    Session& operator=(const Session&) = delete;
    ~Session();

    void read();
    /// The service is stopped: ends where nothing is being answered.
    void stop();
    /// Gives up what is being computed.
    void cancel();

private:
    using Code = boost::beast::error_code;
    using Parser = boost::beast::http::request_parser<boost::beast::http::string_body>;

    void on_header(Code code);
    bool is_let_in();
    void read_body();
    void on_body(Code code);
    void refuse_unread(Code code);
    void begin();
    std::string field(boost::beast::http::field name) const;

    Answer answer_known_or_found(const Route& route, const base::Progress& progress);
    void compute(const Route& route);
    void watch();
    void told(const std::string& stage, double share);
    void answered(const Answer& answer);

    void reply(Reply reply);
    void refuse(const Refusal& refusal);
    template <class Message>
    void write(std::shared_ptr<Message> message);
    void after_write(Code code);
    void end_after_reading_on();
    void close();

    void begin_stream();
    void send_event(std::string event, bool last);
    void write_event();
    void after_event(Code code);

    boost::beast::tcp_stream stream_;
    boost::beast::flat_buffer buffer_;
    std::optional<Parser> parser_;
    Hall& hall_;
    Asked asked_;
    bool keep_alive_ = false;
    bool answering_ = false;  // from the end of a request to the end of its answer
    bool head_only_ = false;
    bool body_unread_ = false;

    std::stop_source giving_up_;
    std::uint64_t watching_ = 0;  // which request is watched
    bool streaming_ = false;
    bool writing_event_ = false;
    bool last_event_ = false;
    std::string event_;                      // that is being written
    std::optional<std::string> next_event_;  // progress that is told when that is done, or the answer
    std::string discarded_;
};

}  // namespace omniway::service::detail
