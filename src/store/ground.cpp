#include "store/ground.hpp"

#include <utility>

namespace omniway::store {

void DamagedTiles::add(base::Error error) {
    const std::lock_guard lock(mutex_);
    errors_.push_back(std::move(error));
}

std::vector<base::Error> DamagedTiles::all() const {
    const std::lock_guard lock(mutex_);
    return errors_;
}

}  // namespace omniway::store
