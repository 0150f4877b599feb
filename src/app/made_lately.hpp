#pragma once

#include <cstddef>
#include <exception>
#include <future>
#include <list>
#include <memory>
#include <mutex>
#include <string>
#include <utility>

namespace omniway::app {

/// What was made last, for whoever asks for the same again or meanwhile.
///   Model     one thing a key; who asks while it is being made waits for it and makes none. It is kept until others have come in its place, for as
///             long as it says it is worth keeping (`worth_keeping`).
///   Domain    any number of threads; `most` things, under keys of half a megabyte at most: under a longer one each is made anew. Whatever makes
///             one must not ask for the same key.
///   Accuracy  the same thing.
///   Cost      a lock and `most` comparisons.
///   Fails     as `make`, of which every one that waits gets the exception.
///   Source    design section 2, idea 5: pure functions over one immutable snapshot.
template <class Thing>
class MadeLately {
public:
    explicit MadeLately(std::size_t most) : most_(most) {}

    template <class Make, class WorthKeeping>
    std::shared_ptr<const Thing> of(const std::string& key, const Make& make,
                                    const WorthKeeping& worth_keeping) {
        constexpr std::size_t longest_key = std::size_t{512} << 10U;
        if (key.size() > longest_key) {
            return std::make_shared<const Thing>(make());
        }
        std::promise<std::shared_ptr<const Thing>> promise;
        {
            const std::shared_future<std::shared_ptr<const Thing>> known = known_or_promised(key, promise);
            if (known.valid()) {
                return known.get();
            }
        }
        std::shared_ptr<const Thing> made;
        try {
            made = std::make_shared<const Thing>(make());
        } catch (...) {
            promise.set_exception(std::current_exception());
            forget(key);
            throw;
        }
        promise.set_value(made);
        if (!worth_keeping(*made)) {
            forget(key);
        }
        return made;
    }

private:
    using Promised = std::shared_future<std::shared_ptr<const Thing>>;

    // What is known; not valid: it is now promised.
    Promised known_or_promised(const std::string& key, std::promise<std::shared_ptr<const Thing>>& promise) {
        const std::lock_guard lock(mutex_);
        for (auto each = things_.begin(); each != things_.end(); ++each) {
            if (each->first == key) {
                things_.splice(things_.begin(), things_, each);
                return things_.front().second;
            }
        }
        things_.emplace_front(key, promise.get_future().share());
        if (things_.size() > most_) {
            things_.pop_back();
        }
        return {};
    }
    void forget(const std::string& key) {
        const std::lock_guard lock(mutex_);
        things_.remove_if([&](const auto& each) { return each.first == key; });
    }

    std::mutex mutex_;
    std::size_t most_;
    std::list<std::pair<std::string, Promised>> things_;  // the one asked for last first
};

}  // namespace omniway::app
