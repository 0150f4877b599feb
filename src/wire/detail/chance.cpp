#include "wire/detail/chance.hpp"

#include <cmath>

namespace omniway::wire::detail {

namespace {

// One in a million flights is still seen.
double millionths(double value) {
    return std::round(value * 1e6) / 1e6;
}

}  // namespace

Json chance_json(const rehearsal::Chance& chance) {
    return {{"of", chance.of},
            {"did", chance.did},
            {"did_share", chance.of == 0 ? Json(nullptr) : Json(millionths(chance.share()))},
            {"low_share", millionths(chance.low())},
            {"high_share", millionths(chance.high())}};
}

}  // namespace omniway::wire::detail
