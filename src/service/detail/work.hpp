#pragma once

#include <condition_variable>
#include <cstddef>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

namespace omniway::service::detail {

/// Computes a few things at a time, and keeps a few more waiting.
///   Model     so many threads and one queue, first come first served.
///   Domain    jobs that do not throw.
///   Accuracy  every job that is taken is done once.
///   Cost      a lock a job.
///   Fails     take(): false where as many wait as may.
///   Source    common practice, no source.
class Work {
public:
    Work(std::size_t threads, std::size_t most_waiting);
    Work(const Work&) = delete;
    Work& operator=(const Work&) = delete;
    /// Does what was taken, and ends.
    ~Work();

    bool take(std::function<void()> job);

private:
    void run();

    std::mutex mutex_;
    std::condition_variable changed_;
    std::deque<std::function<void()>> waiting_;
    std::size_t most_waiting_;
    bool ending_ = false;
    std::vector<std::thread> threads_;
};

}  // namespace omniway::service::detail
