#pragma once

#include <cstddef>
#include <cstdint>

namespace omniway::base {

/// What a row of random numbers begins with: the same seed, the same row.
struct Seed {
    std::uint64_t value = 0;
};

/// A row of random numbers that is the same on every machine and with every library.
///   Model     SplitMix64: a counter in steps of the golden ratio, mixed.
///   Domain    between(): finite bounds; below(): at least 1.
///   Accuracy  between() in steps of a 2^-53 part of the way; below() favours no number by more than n / 2^64.
///   Cost      about a nanosecond a number, eight bytes.
///   Fails     never.
///   Source    Steele, Lea, Flood, Fast splittable pseudorandom number generators, OOPSLA 2014.
class Random {
public:
    explicit Random(Seed seed) : state_(seed.value) {}

    std::uint64_t bits() { return mixed(state_ += 0x9e3779b97f4a7c15U); }
    double between(double from, double to) {
        return from + (to - from) * (static_cast<double>(bits() >> 11U) * 0x1p-53);
    }
    std::size_t below(std::size_t n) { return bits() % n; }
    bool with_chance(double chance) { return between(0.0, 1.0) < chance; }

    /// One number of its own for each counter, without a row.
    static std::uint64_t mixed(std::uint64_t z) {
        z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9U;
        z = (z ^ (z >> 27U)) * 0x94d049bb133111ebU;
        return z ^ (z >> 31U);
    }

private:
    std::uint64_t state_;
};

}  // namespace omniway::base
