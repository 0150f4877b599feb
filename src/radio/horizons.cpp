#include <algorithm>
#include <bit>
#include <cmath>
#include <future>
#include <list>
#include <map>
#include <mutex>

#include <fmt/format.h>

#include "earth/terrain.hpp"
#include "radio/horizon.hpp"

namespace omniway::radio {

namespace {

/// All that a horizon depends on, and the version of how it is made.
std::string key_of(const earth::Terrain& terrain, const Antenna& antenna, base::Length radius) {
    constexpr int version = 1;
    const auto bits = [](double v) { return std::bit_cast<std::uint64_t>(v + 0.0); };  // + 0: one zero
    return fmt::format("{}/{}/{:016x}{:016x}{:016x}/{:016x}", version, terrain.checksum(),
                       bits(antenna.position.latitude_deg()), bits(antenna.position.longitude_deg()),
                       bits(antenna.altitude.metres()), bits(radius.metres()));
}

}  // namespace

/// What is at hand, the longest unused last; a horizon being made is there as a promise.
class Horizons::Memory {
public:
    Memory(earth::Terrain terrain, HorizonKeeper keeper, std::size_t bound_bytes)
        : terrain_(std::move(terrain)), keeper_(std::move(keeper)), bound_bytes_(bound_bytes) {}

    std::shared_ptr<const Horizon> of(const Antenna& antenna, base::Length radius) {
        const std::string key = key_of(terrain_, antenna, radius);
        std::promise<std::shared_ptr<const Horizon>> promise;
        std::shared_future<std::shared_ptr<const Horizon>> future;
        {
            const std::lock_guard lock(mutex_);
            if (const auto found = entries_.find(key); found != entries_.end()) {
                order_.splice(order_.begin(), order_, found->second.place);
                future = found->second.horizon;
            } else {
                order_.push_front(key);
                entries_.emplace(key, Entry{promise.get_future().share(), order_.begin(), 0});
            }
        }
        return future.valid() ? future.get() : make(key, antenna, radius, promise);
    }

private:
    struct Entry {
        std::shared_future<std::shared_ptr<const Horizon>> horizon;
        std::list<std::string>::iterator place;
        std::size_t bytes;  // zero while it is being made
    };

    std::shared_ptr<const Horizon> make(const std::string& key, const Antenna& antenna, base::Length radius,
                                        std::promise<std::shared_ptr<const Horizon>>& promise) {
        try {
            auto horizon = std::make_shared<const Horizon>(kept_or_new(key, antenna, radius));
            promise.set_value(horizon);
            remember(key, horizon->size_bytes());
            return horizon;
        } catch (...) {
            promise.set_exception(std::current_exception());
            forget(key);
            throw;
        }
    }

    Horizon kept_or_new(const std::string& key, const Antenna& antenna, base::Length radius) const {
        if (keeper_.load) {
            if (const auto bytes = keeper_.load(key)) {
                auto kept = Horizon::from_bytes(*bytes);
                if (kept && kept->antenna().position == antenna.position) {
                    return *std::move(kept);
                }
            }
        }
        Horizon made = horizon_of(terrain_, antenna, radius, {});
        if (keeper_.save) {
            keeper_.save(key, made.to_bytes());
        }
        return made;
    }

    void remember(const std::string& key, std::size_t bytes) {
        const std::lock_guard lock(mutex_);
        entries_.at(key).bytes = bytes;
        held_bytes_ += bytes;
        // From the longest unused on; one that is being made, and the newest, stay.
        for (auto place = order_.end(); held_bytes_ > bound_bytes_ && place != order_.begin();) {
            --place;
            const auto entry = entries_.find(*place);
            if (entry->second.bytes == 0 || *place == key) {
                continue;
            }
            held_bytes_ -= entry->second.bytes;
            entries_.erase(entry);
            place = order_.erase(place);
        }
    }

    void forget(const std::string& key) {
        const std::lock_guard lock(mutex_);
        const auto entry = entries_.find(key);
        order_.erase(entry->second.place);
        entries_.erase(entry);
    }

    earth::Terrain terrain_;
    HorizonKeeper keeper_;
    std::size_t bound_bytes_;
    std::mutex mutex_;
    std::list<std::string> order_;
    std::map<std::string, Entry> entries_;
    std::size_t held_bytes_ = 0;
};

Horizons::Horizons(earth::Terrain terrain, HorizonKeeper keeper, std::size_t bound_bytes)
    : memory_(std::make_unique<Memory>(std::move(terrain), std::move(keeper), bound_bytes)) {}

Horizons::~Horizons() = default;

std::shared_ptr<const Horizon> Horizons::of(const Antenna& antenna, base::Length radius) const {
    return memory_->of(antenna, radius);
}

}  // namespace omniway::radio
