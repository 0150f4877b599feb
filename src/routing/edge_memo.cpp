#include "routing/edge_memo.hpp"

#include <algorithm>
#include <array>
#include <mutex>
#include <unordered_map>
#include <vector>

#include <boost/container_hash/hash.hpp>

namespace omniway::routing {

namespace {

struct Key {
    std::uint32_t rules = 0;
    bool end = false;  // how its end is told
    double altitude_ft = 0.0;
    EdgeMemo::Edge edge;
    friend bool operator==(const Key&, const Key&) = default;
};

struct HashOfKey {
    static void add(std::size_t& hash, const navdata::Point& point) {
        boost::hash_combine(hash, point.index());
        boost::hash_combine(hash, std::visit([](auto id) { return id.index; }, point));
    }
    std::size_t operator()(const Key& key) const {
        std::size_t hash = key.rules;
        boost::hash_combine(hash, key.end);
        boost::hash_combine(hash, key.altitude_ft);
        if (const auto* airway = std::get_if<AirwayEdge>(&key.edge)) {
            boost::hash_combine(hash, airway->airway);
            boost::hash_combine(hash, airway->index);
            boost::hash_combine(hash, airway->forward);
        } else {
            const auto& direct = std::get<DirectEdge>(key.edge);
            add(hash, direct.from);
            add(hash, direct.to);
            boost::hash_combine(hash, direct.dead_reckoning.metres());
        }
        return hash;
    }
};

struct Value {
    EdgeMemo::Leg leg;
    EdgeMemo::Told told;
};

// Two ages: full, the young become the old and what was old is forgotten; what is found among the old is young again.
class Shard {
public:
    std::optional<Value> find(const Key& key, std::size_t bound) {
        const std::lock_guard lock(guard_);
        if (const auto young = young_.find(key); young != young_.end()) {
            return young->second;
        }
        const auto old = old_.find(key);
        if (old == old_.end()) {
            return std::nullopt;
        }
        Value value = old->second;
        old_.erase(old);
        put(key, value, bound);
        return value;
    }
    Value keep(const Key& key, Value value, std::size_t bound) {
        const std::lock_guard lock(guard_);
        if (const auto young = young_.find(key); young != young_.end()) {
            return young->second;  // another thread was first
        }
        put(key, value, bound);
        return value;
    }
    std::size_t size() const {
        const std::lock_guard lock(guard_);
        return young_.size() + old_.size();
    }

private:
    void put(const Key& key, const Value& value, std::size_t bound) {
        if (young_.size() >= std::max<std::size_t>(bound / 2, 1)) {
            old_ = std::move(young_);
            young_.clear();
        }
        young_.emplace(key, value);
    }
    mutable std::mutex guard_;
    std::unordered_map<Key, Value, HashOfKey> young_;
    std::unordered_map<Key, Value, HashOfKey> old_;
};

struct Rules {
    cockpit::Equipment aboard;
    base::Length dead_reckoning_distance;
    base::Duration dead_reckoning_time;
    std::optional<base::Altitude> off_airway_minimum;
    base::Length obstacle_allowance;
    radio::Criteria criteria;
    radio::ReceptionMode mode;
    const radio::Horizons* horizons;
    const earth::Terrain* terrain;
    friend bool operator==(const Rules&, const Rules&) = default;
};

constexpr std::size_t shard_count = 16;
constexpr std::size_t most_rules = 256;

}  // namespace

struct EdgeMemo::Memory {
    std::size_t bound_of_shard = 0;
    std::array<Shard, shard_count> shards;
    std::mutex guard;
    std::vector<Rules> rules;

    Shard& shard_of(const Key& key) { return shards[HashOfKey()(key) % shard_count]; }
    Value value(const Key& key, const std::function<Value()>& judge) {
        Shard& shard = shard_of(key);
        if (auto known = shard.find(key, bound_of_shard)) {
            return *known;
        }
        return shard.keep(key, judge(), bound_of_shard);  // judged outside the lock
    }
};

EdgeMemo::EdgeMemo(std::size_t bound) : memory_(std::make_unique<Memory>()) {
    memory_->bound_of_shard = std::max<std::size_t>(bound / shard_count, 2);
}
EdgeMemo::EdgeMemo(EdgeMemo&&) noexcept = default;
EdgeMemo& EdgeMemo::operator=(EdgeMemo&&) noexcept = default;
EdgeMemo::~EdgeMemo() = default;

std::optional<std::uint32_t> EdgeMemo::rules(const cockpit::Equipment& aboard,
                                             const flight::Settings& settings, const radio::Ground& ground) {
    const Rules asked{aboard,
                      settings.dead_reckoning_distance,
                      settings.dead_reckoning_time,
                      settings.off_airway_minimum,
                      settings.obstacle_allowance,
                      settings.criteria,
                      ground.mode,
                      ground.horizons,
                      ground.terrain};
    const std::lock_guard lock(memory_->guard);
    auto& known = memory_->rules;
    const auto found = std::find(known.begin(), known.end(), asked);
    if (found != known.end()) {
        return static_cast<std::uint32_t>(found - known.begin());
    }
    if (known.size() == most_rules) {
        return std::nullopt;
    }
    known.push_back(asked);
    return static_cast<std::uint32_t>(known.size() - 1);
}

EdgeMemo::Leg EdgeMemo::leg(std::uint32_t rules, const Edge& edge, base::Altitude altitude,
                            const std::function<flight::LegOrReason()>& judge) {
    return memory_
        ->value({rules, false, altitude.feet(), edge},
                [&] {
                    return Value{std::make_shared<const flight::LegOrReason>(judge()), nullptr};
                })
        .leg;
}

EdgeMemo::Told EdgeMemo::told(std::uint32_t rules, const Edge& edge, base::Altitude altitude,
                              const std::function<std::optional<fixing::Telling>()>& judge) {
    return memory_
        ->value({rules, true, altitude.feet(), edge},
                [&] {
                    return Value{nullptr, std::make_shared<const std::optional<fixing::Telling>>(judge())};
                })
        .told;
}

std::size_t EdgeMemo::size() const {
    std::size_t all = 0;
    for (const Shard& shard : memory_->shards) {
        all += shard.size();
    }
    return all;
}

}  // namespace omniway::routing
