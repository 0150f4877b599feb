#include "service/detail/work.hpp"

namespace omniway::service::detail {

Work::Work(std::size_t threads, std::size_t most_waiting) : most_waiting_(most_waiting) {
    for (std::size_t i = 0; i < threads; ++i) {
        threads_.emplace_back([this] { run(); });
    }
}

Work::~Work() {
    {
        const std::lock_guard lock(mutex_);
        ending_ = true;
    }
    changed_.notify_all();
    for (std::thread& thread : threads_) {
        thread.join();
    }
}

bool Work::take(std::function<void()> job) {
    {
        const std::lock_guard lock(mutex_);
        if (waiting_.size() >= most_waiting_) {
            return false;
        }
        waiting_.push_back(std::move(job));
    }
    changed_.notify_one();
    return true;
}

void Work::run() {
    while (true) {
        std::function<void()> job;
        {
            std::unique_lock lock(mutex_);
            changed_.wait(lock, [this] { return ending_ || !waiting_.empty(); });
            if (waiting_.empty()) {
                return;
            }
            job = std::move(waiting_.front());
            waiting_.pop_front();
        }
        job();
    }
}

}  // namespace omniway::service::detail
