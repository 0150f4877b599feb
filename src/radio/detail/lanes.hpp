#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "radio/detail/octant.hpp"

namespace omniway::radio::detail {

/// Eight numbers side by side, for any machine; octant_avx2.cpp has the same as one register. The sweep is written once
/// on these names.
struct PortableLanes {
    struct Number {
        float of[8];
    };
    struct Index {
        std::int32_t of[8];
    };

    template <class F>
    static Number each(F f) {
        Number result;
        for (int lane = 0; lane < 8; ++lane) {
            result.of[lane] = f(lane);
        }
        return result;
    }
    static Number all(float v) {
        return each([&](int) { return v; });
    }
    static Number from(const float* eight) {
        return each([&](int lane) { return eight[lane]; });
    }
    static void store(float* eight, const Number& v) { std::copy_n(v.of, 8, eight); }
    static Number add(const Number& a, const Number& b) {
        return each([&](int lane) { return a.of[lane] + b.of[lane]; });
    }
    static Number subtract(const Number& a, const Number& b) {
        return each([&](int lane) { return a.of[lane] - b.of[lane]; });
    }
    static Number multiply(const Number& a, const Number& b) {
        return each([&](int lane) { return a.of[lane] * b.of[lane]; });
    }
    static Number divide(const Number& a, const Number& b) {
        return each([&](int lane) { return a.of[lane] / b.of[lane]; });
    }
    static Number square_root(const Number& v) {
        return each([&](int lane) { return std::sqrt(v.of[lane]); });
    }
    /// The second where either is not a number.
    static Number larger(const Number& a, const Number& b) {
        return each([&](int lane) { return a.of[lane] > b.of[lane] ? a.of[lane] : b.of[lane]; });
    }
    static Number smaller(const Number& a, const Number& b) {
        return each([&](int lane) { return a.of[lane] < b.of[lane] ? a.of[lane] : b.of[lane]; });
    }
    /// `yes` where a > b, else `no`.
    static Number where_larger(const Number& a, const Number& b, const Number& yes, const Number& no) {
        return each([&](int lane) { return a.of[lane] > b.of[lane] ? yes.of[lane] : no.of[lane]; });
    }
    static Index whole(const Number& v) {
        Index result;
        for (int lane = 0; lane < 8; ++lane) {
            result.of[lane] = static_cast<std::int32_t>(v.of[lane]);
        }
        return result;
    }
    static Number number(const Index& v) {
        return each([&](int lane) { return static_cast<float>(v.of[lane]); });
    }
    static Number pick(const Number& from, const Index& index) {
        return each([&](int lane) { return from.of[index.of[lane]]; });
    }
    static Number pick_next(const Number& from, const Index& index) {
        return each([&](int lane) { return from.of[index.of[lane] + 1]; });
    }
    static Number count() {
        return each([](int lane) { return static_cast<float>(lane); });
    }
    /// Nodes aside: the low ones, and those one farther.
    struct Pair {
        Number low;
        Number high;
    };
    /// The grid as an octant sees it.
    class Reader {
    public:
        explicit Reader(const Octant& octant) : octant_(octant) {}

        Pair at(int ahead, const Index& aside) const { return anywhere(ahead, aside); }
        Pair anywhere(int ahead, const Index& aside) const {
            const float* line = octant_.ground_m + octant_.offset(ahead, 0);
            return {each([&](int lane) { return line[aside.of[lane] * octant_.aside_stride]; }),
                    each([&](int lane) { return line[(aside.of[lane] + 1) * octant_.aside_stride]; })};
        }
        void look_forward(int, float) const {}
        void write(int ahead, int begin, int end, const Number& seen_m) const {
            write_one_by_one(octant_, ahead, begin, std::min(end - begin + 1, 8), seen_m.of);
        }

    private:
        const Octant& octant_;
    };
};

}  // namespace omniway::radio::detail
