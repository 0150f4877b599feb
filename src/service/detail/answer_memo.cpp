#include "service/detail/answer_memo.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "app/world_memo.hpp"

namespace omniway::service::detail {

std::optional<std::string> AnswerMemo::find(const std::string& key) {
    const std::lock_guard lock(mutex_);
    const auto found =
        std::find_if(answers_.begin(), answers_.end(), [&](const auto& each) { return each.first == key; });
    if (found == answers_.end()) {
        return std::nullopt;
    }
    answers_.splice(answers_.begin(), answers_, found);
    return found->second;
}

void AnswerMemo::keep(std::string key, std::string answer) {
    const std::lock_guard lock(mutex_);
    const auto size = [](const auto& each) { return each.first.size() + each.second.size(); };
    // Two that asked at once both have it.
    const bool known =
        std::any_of(answers_.begin(), answers_.end(), [&](const auto& each) { return each.first == key; });
    if (known || key.size() + answer.size() > most_bytes_) {
        return;
    }
    answers_.emplace_front(std::move(key), std::move(answer));
    bytes_ += size(answers_.front());
    while (bytes_ > most_bytes_) {
        bytes_ -= size(answers_.back());
        answers_.pop_back();
    }
}

std::optional<std::string> AnswerMemo::key_of(const std::string& question, const std::string& atlas,
                                              std::chrono::system_clock::time_point now) {
    const auto stamp = app::atlas_stamp(atlas);
    const auto quarters =
        std::chrono::duration_cast<std::chrono::minutes>(now.time_since_epoch()).count() / 15;
    return stamp ? std::optional(fmt::format("{} {}\n{}", *stamp, quarters, question)) : std::nullopt;
}

}  // namespace omniway::service::detail
