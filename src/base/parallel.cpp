#include "base/parallel.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace omniway::base {

void parallel_for(std::size_t count, const std::function<void(std::size_t)>& piece, unsigned threads) {
    const std::size_t processors = threads == 0 ? std::max(std::thread::hardware_concurrency(), 1U) : threads;
    std::atomic<std::size_t> next = 0;
    std::atomic<bool> broken = false;
    std::mutex guard;
    std::exception_ptr first;
    std::size_t first_at = count;
    const auto work = [&] {
        while (!broken) {
            const std::size_t at = next++;
            if (at >= count) {
                return;
            }
            try {
                piece(at);
            } catch (...) {
                const std::lock_guard lock(guard);
                broken = true;
                if (at < first_at) {
                    first_at = at;
                    first = std::current_exception();
                }
            }
        }
    };
    {
        std::vector<std::jthread> others;
        for (std::size_t i = 1; i < std::min(processors, count); ++i) {
            others.emplace_back(work);
        }
        work();
    }
    if (first) {
        std::rethrow_exception(first);
    }
}

}  // namespace omniway::base
