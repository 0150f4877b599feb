#include "earth/terrain.hpp"

#include <algorithm>
#include <cmath>
#include <condition_variable>
#include <list>
#include <mutex>
#include <utility>

#include "base/contract.hpp"
#include "earth/relief.hpp"

namespace omniway::earth {

namespace {

constexpr int quarters_round_the_earth = 1440;
constexpr int quarters_to_a_pole = 360;

// A place is meant to be on a node where it misses it by rounding only: a billionth of a 1 arc-second cell is 30 nanometres,
// and a longitude of 180 degrees is rounded by 1.4e-14 degrees, 1e-10 of such a cell.
constexpr double on_a_node = 1e-9;

// What is kept of a block: pointers given out share it.
struct Ground {
    TerrainTile tile;
    TileRelief relief;
};

std::size_t bytes_of(const Ground& ground) {
    return sizeof(Ground) + ground.tile.metres.size() * sizeof(std::int16_t) +
           ground.relief.cells.size() * sizeof(ReliefCell);
}

// Where a place lies within a tile along one axis: between node `below` and the next, `part` of the way.
struct Between {
    int below;
    double part;
};

Between between_nodes(double quarters_from_edge, int nodes_per_side) {
    const double nodes = quarters_from_edge * (nodes_per_side - 1);
    const double nearest = std::round(nodes);
    if (std::abs(nodes - nearest) < on_a_node) {
        return {static_cast<int>(nearest), 0.0};
    }
    return {static_cast<int>(std::floor(nodes)), nodes - std::floor(nodes)};
}

std::optional<double> bilinear(const TerrainTile& tile, Between row, Between column) {
    double sum_m = 0.0;
    for (const int up : {0, 1}) {
        for (const int right : {0, 1}) {
            const double weight =
                (up == 1 ? row.part : 1.0 - row.part) * (right == 1 ? column.part : 1.0 - column.part);
            if (weight == 0.0) {
                continue;  // this node has no say: on a node or a line between two its unknown neighbour does not matter
            }
            const std::int16_t node_m = tile.node(row.below + up, column.below + right);
            if (node_m == unknown_ground) {
                return std::nullopt;
            }
            sum_m += weight * node_m;
        }
    }
    return sum_m;
}

}  // namespace

TerrainBlock block_of(Position place) {
    const int south = static_cast<int>(std::floor(place.latitude_deg() * 4.0));
    const int west = static_cast<int>(std::floor(place.longitude_deg() * 4.0));
    return {std::min(south, quarters_to_a_pole - 1), west};
}

// The tiles at hand, under one lock; loading is done outside of it.
class Terrain::Memory {
public:
    Memory(std::vector<TerrainBlock> present, Load load, std::size_t bound_bytes, std::string checksum)
        : blocks_(std::move(present)),
          load_(std::move(load)),
          bound_bytes_(bound_bytes),
          checksum_(std::move(checksum)) {
        std::sort(blocks_.begin(), blocks_.end());
        blocks_.erase(std::unique(blocks_.begin(), blocks_.end()), blocks_.end());
        for (const TerrainBlock& block : blocks_) {
            OMNIWAY_EXPECTS(block.south_quarters >= -quarters_to_a_pole &&
                            block.south_quarters < quarters_to_a_pole);
            OMNIWAY_EXPECTS(block.west_quarters >= -quarters_round_the_earth / 2 &&
                            block.west_quarters < quarters_round_the_earth / 2);
        }
        places_.resize(blocks_.size());
    }

    const std::vector<TerrainBlock>& blocks() const { return blocks_; }
    const std::string& checksum() const { return checksum_; }

    std::shared_ptr<const Ground> ground(TerrainBlock block) {
        const auto found = std::lower_bound(blocks_.begin(), blocks_.end(), block);
        if (found == blocks_.end() || *found != block) {
            return nullptr;
        }
        const auto index = static_cast<std::size_t>(found - blocks_.begin());
        std::unique_lock lock(mutex_);
        loaded_.wait(lock, [&] { return places_[index].state != State::loading; });
        switch (places_[index].state) {
            case State::kept:
                recency_.splice(recency_.begin(), recency_, places_[index].recency);
                return places_[index].ground;
            case State::unreadable:
                return nullptr;
            default:
                return load(index, lock);
        }
    }

private:
    enum class State { absent, loading, kept, unreadable };
    struct Place {
        State state = State::absent;
        std::shared_ptr<const Ground> ground;
        std::list<std::size_t>::iterator recency;
    };

    std::shared_ptr<const Ground> load(std::size_t index, std::unique_lock<std::mutex>& lock) {
        Place& place = places_[index];
        place.state = State::loading;
        lock.unlock();
        std::shared_ptr<const Ground> ground;
        try {
            if (auto given = load_(blocks_[index])) {
                const auto side = static_cast<std::size_t>(std::max(given->nodes_per_side, 0));
                OMNIWAY_EXPECTS(side >= 2 && given->metres.size() == side * side);
                TileRelief relief = relief_of(*given);
                ground = std::make_shared<const Ground>(Ground{std::move(*given), std::move(relief)});
            }
        } catch (...) {
            lock.lock();
            place.state = State::absent;
            loaded_.notify_all();
            throw;
        }
        lock.lock();
        place.state = State::unreadable;
        if (ground) {
            keep(index, ground);
        }
        loaded_.notify_all();
        return ground;
    }

    void keep(std::size_t index, std::shared_ptr<const Ground> ground) {
        Place& place = places_[index];
        kept_bytes_ += bytes_of(*ground);
        place.ground = std::move(ground);
        place.state = State::kept;
        place.recency = recency_.insert(recency_.begin(), index);
        while (kept_bytes_ > bound_bytes_) {
            Place& longest_unused = places_[recency_.back()];
            kept_bytes_ -= bytes_of(*longest_unused.ground);
            longest_unused.ground = nullptr;
            longest_unused.state = State::absent;
            recency_.pop_back();
        }
    }

    std::vector<TerrainBlock> blocks_;
    Load load_;
    std::size_t bound_bytes_;
    std::string checksum_;
    std::mutex mutex_;
    std::condition_variable loaded_;
    std::vector<Place> places_;       // one for each block
    std::list<std::size_t> recency_;  // the kept ones, the last used first
    std::size_t kept_bytes_ = 0;
};

Terrain::Terrain() : Terrain({}, {}) {}

Terrain::Terrain(std::vector<TerrainBlock> present, Load load, std::size_t bound_bytes, std::string checksum)
    : memory_(
          std::make_shared<Memory>(std::move(present), std::move(load), bound_bytes, std::move(checksum))) {}

const std::vector<TerrainBlock>& Terrain::blocks() const {
    return memory_->blocks();
}

std::shared_ptr<const TerrainTile> Terrain::tile(TerrainBlock block) const {
    const auto ground = memory_->ground(block);
    return ground ? std::shared_ptr<const TerrainTile>(ground, &ground->tile) : nullptr;
}

std::shared_ptr<const TileRelief> Terrain::relief(TerrainBlock block) const {
    const auto ground = memory_->ground(block);
    return ground ? std::shared_ptr<const TileRelief>(ground, &ground->relief) : nullptr;
}

const std::string& Terrain::checksum() const {
    return memory_->checksum();
}

std::optional<base::Altitude> Terrain::elevation(Position place) const {
    const double north_quarters = place.latitude_deg() * 4.0;
    const double east_quarters = place.longitude_deg() * 4.0;
    const TerrainBlock own = block_of(place);
    // On a line between two blocks the one south or west of it knows the ground as well, by the edge that they share.
    const bool on_south_edge = north_quarters == own.south_quarters;
    const bool on_west_edge = east_quarters == own.west_quarters;
    for (const int south : {0, 1}) {
        for (const int west : {0, 1}) {
            if ((south == 1 && !on_south_edge) || (west == 1 && !on_west_edge)) {
                continue;
            }
            TerrainBlock block{own.south_quarters - south, own.west_quarters - west};
            if (block.west_quarters < -quarters_round_the_earth / 2) {
                block.west_quarters += quarters_round_the_earth;
            }
            const auto at_hand = tile(block);
            const auto height_m =
                at_hand
                    ? bilinear(
                          *at_hand,
                          between_nodes(north_quarters - own.south_quarters + south, at_hand->nodes_per_side),
                          between_nodes(east_quarters - own.west_quarters + west, at_hand->nodes_per_side))
                    : std::nullopt;
            if (height_m) {
                return base::Altitude::metres(*height_m);
            }
        }
    }
    return std::nullopt;
}

}  // namespace omniway::earth
