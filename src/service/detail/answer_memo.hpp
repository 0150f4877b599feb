#pragma once

#include <chrono>
#include <cstddef>
#include <list>
#include <mutex>
#include <optional>
#include <string>
#include <utility>

namespace omniway::service::detail {

/// The answers that were given last: whoever asks the same of the same atlas is not made to wait for it again.
///   Model     an answer stands under all that it comes from: path, query, body, the atlas as its file is now, and the quarter of an hour: a question without a
///             date is of today, and a day begins at a quarter of an hour everywhere.
///   Domain    any number of threads; `most_bytes` together, the one not asked for longest goes first. What was refused is not kept.
///   Accuracy  byte for byte.
///   Cost      a lock and a search among some hundred texts.
///   Fails     never.
///   Source    design section 2, idea 5: pure functions over one immutable snapshot.
class AnswerMemo {
public:
    explicit AnswerMemo(std::size_t most_bytes) : most_bytes_(most_bytes) {}

    std::optional<std::string> find(const std::string& key);
    void keep(std::string key, std::string answer);

    /// Under which an answer stands; none where the atlas is no file.
    static std::optional<std::string> key_of(const std::string& question, const std::string& atlas,
                                             std::chrono::system_clock::time_point now);

private:
    std::mutex mutex_;
    std::size_t most_bytes_;
    std::size_t bytes_ = 0;
    std::list<std::pair<std::string, std::string>> answers_;  // the one asked for last first
};

}  // namespace omniway::service::detail
