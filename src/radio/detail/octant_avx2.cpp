#if defined(__x86_64__)

#include <immintrin.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

#include "radio/detail/octant.hpp"

// Only what is defined below this line may use the instructions; nothing of it is instantiated elsewhere.
#pragma GCC push_options
#pragma GCC target("avx2")

#include "radio/detail/ray_bundle.hpp"

namespace omniway::radio::detail {

namespace {

/// The names of lanes.hpp as one register each.
struct Avx2Lanes {
    using Number = __m256;
    using Index = __m256i;

    static Number all(float v) { return _mm256_set1_ps(v); }
    static Number from(const float* eight) { return _mm256_loadu_ps(eight); }
    static void store(float* eight, Number v) { _mm256_storeu_ps(eight, v); }
    static Number add(Number a, Number b) { return _mm256_add_ps(a, b); }
    static Number subtract(Number a, Number b) { return _mm256_sub_ps(a, b); }
    static Number multiply(Number a, Number b) { return _mm256_mul_ps(a, b); }
    static Number divide(Number a, Number b) { return _mm256_div_ps(a, b); }
    static Number square_root(Number v) { return _mm256_sqrt_ps(v); }
    static Number larger(Number a, Number b) { return _mm256_max_ps(a, b); }
    static Number smaller(Number a, Number b) { return _mm256_min_ps(a, b); }
    static Number where_larger(Number a, Number b, Number yes, Number no) {
        return _mm256_blendv_ps(no, yes, _mm256_cmp_ps(a, b, _CMP_GT_OQ));
    }
    static Index whole(Number v) { return _mm256_cvttps_epi32(v); }
    static Number number(Index v) { return _mm256_cvtepi32_ps(v); }
    static Number pick(Number from, Index index) { return _mm256_permutevar8x32_ps(from, index); }
    static Number pick_next(Number from, Index index) {
        return _mm256_permutevar8x32_ps(from, _mm256_add_epi32(index, _mm256_set1_epi32(1)));
    }
    static Number count() { return _mm256_setr_ps(0, 1, 2, 3, 4, 5, 6, 7); }

    struct Pair {
        Number low;
        Number high;
    };

    /// The grid as an octant sees it. Neighbouring rays are at most a node apart, so nine nodes in a row hold all that
    /// they need: two loads where the row lies so in memory, and where it lies across, eight lines are turned at once.
    class Reader {
    public:
        explicit Reader(const Octant& octant) : octant_(octant) {}

        Pair at(int ahead, Index aside) {
            const std::int32_t first = _mm_cvtsi128_si32(_mm256_castsi256_si128(aside));
            const Index from_first = _mm256_sub_epi32(aside, _mm256_set1_epi32(first));
            const bool in_grid = first + 8 <= octant_.most_aside;
            if (octant_.aside_stride == 1 && in_grid) {
                const float* nodes = octant_.ground_m + octant_.offset(ahead, first);
                return {pick(from(nodes), from_first), pick(from(nodes + 1), from_first)};
            }
            if (octant_.aside_stride == -1 && in_grid) {
                const float* nodes = octant_.ground_m + octant_.offset(ahead, first) - 7;
                const Index backward = _mm256_sub_epi32(_mm256_set1_epi32(7), from_first);
                return {pick(from(nodes), backward), pick(from(nodes - 1), backward)};
            }
            if (ahead >= turned_from_ + 8) {
                turn(ahead, first);
            }
            if (turned_) {
                const float* nodes = line_[ahead - turned_from_] + (first - turned_first_);
                return {pick(from(nodes), from_first), pick(from(nodes + 1), from_first)};
            }
            return anywhere(ahead, aside);
        }

        Pair anywhere(int ahead, Index aside) const {
            const Index at = _mm256_mullo_epi32(aside, _mm256_set1_epi32(octant_.aside_stride));
            const Index next = _mm256_add_epi32(at, _mm256_set1_epi32(octant_.aside_stride));
            const float* line = octant_.ground_m + octant_.offset(ahead, 0);
            return {_mm256_i32gather_ps(line, at, 4), _mm256_i32gather_ps(line, next, 4)};
        }

        /// Asks for the memory that will be met some nodes on: each row lies in a page of its own, which no machine foresees.
        void look_forward(int ahead, float aside_by_ahead) const {
            constexpr int forward = 8;
            if (octant_.ahead_stride != 1 && octant_.ahead_stride != -1) {
                fetch(ahead + forward,
                      static_cast<int>(static_cast<float>(ahead + forward) * aside_by_ahead));
            } else if (ahead == turned_from_) {
                const int aside = static_cast<int>(static_cast<float>(ahead + 2 * forward) * aside_by_ahead);
                for (int k = 0; k < 8; ++k) {
                    fetch(ahead + 2 * forward, aside + k);
                }
            }
        }

        /// Whole registers where the row lies in memory as the lanes do; what is written past the end belongs to the rays
        /// that are swept next.
        void write(int ahead, int begin, int end, Number seen_m) const {
            const int count = std::min(end - begin + 1, 8);
            if (octant_.aside_stride == 1 &&
                begin + 7 <= octant_.cells_aside[static_cast<std::size_t>(ahead)]) {
                const std::ptrdiff_t at = octant_.offset(ahead, begin);
                store(octant_.lowest_m + at, larger(from(octant_.ground_m + at), seen_m));
                return;
            }
            if (octant_.aside_stride == -1 &&
                begin + 7 <= octant_.cells_aside[static_cast<std::size_t>(ahead)]) {
                const std::ptrdiff_t at = octant_.offset(ahead, begin) - 7;
                const Number backward = pick(seen_m, _mm256_setr_epi32(7, 6, 5, 4, 3, 2, 1, 0));
                store(octant_.lowest_m + at, larger(from(octant_.ground_m + at), backward));
                return;
            }
            alignas(32) float one_by_one_m[8];
            if (turned_ && begin >= turned_first_ && begin + 8 <= turned_first_ + 24) {
                const Number own_m = from(line_[ahead - turned_from_] + (begin - turned_first_));
                _mm256_store_ps(one_by_one_m, larger(own_m, seen_m));
                float* lowest_m = octant_.lowest_m + octant_.offset(ahead, begin);
                for (int cell = 0; cell < count; ++cell) {
                    *lowest_m = one_by_one_m[cell];
                    lowest_m += octant_.aside_stride;
                }
                return;
            }
            _mm256_store_ps(one_by_one_m, seen_m);
            write_one_by_one(octant_, ahead, begin, count, one_by_one_m);
        }

    private:
        void fetch(int ahead, int aside) const {
            if (ahead >= static_cast<int>(octant_.cells_aside.size()) || aside > octant_.most_aside) {
                return;
            }
            const std::ptrdiff_t at = octant_.offset(ahead, aside);
            __builtin_prefetch(octant_.ground_m + at);
            __builtin_prefetch(octant_.lowest_m + at, 1);
        }

        /// Eight lines from `ahead` on, 24 nodes each from `first` on: over eight nodes ahead a ray moves at most eight aside.
        void turn(int ahead, int first) {
            turned_from_ = ahead;
            turned_first_ = first;
            turned_ =
                first + 24 <= octant_.most_aside && ahead + 7 < static_cast<int>(octant_.cells_aside.size());
            if (!turned_) {
                return;
            }
            const bool backward = octant_.ahead_stride < 0;
            const float* nodes = octant_.ground_m + octant_.offset(ahead, first) - (backward ? 7 : 0);
            for (int block = 0; block < 3; ++block) {
                turn_eight(nodes + static_cast<std::ptrdiff_t>(8 * block) * octant_.aside_stride, 8 * block,
                           backward);
            }
        }

        void turn_eight(const float* nodes, int to, bool backward) {
            Number row[8];
            for (int k = 0; k < 8; ++k) {
                row[k] = from(nodes + static_cast<std::ptrdiff_t>(k) * octant_.aside_stride);
            }
            Number pairs[8];
            for (int k = 0; k < 4; ++k) {
                pairs[2 * k] = _mm256_unpacklo_ps(row[2 * k], row[2 * k + 1]);
                pairs[2 * k + 1] = _mm256_unpackhi_ps(row[2 * k], row[2 * k + 1]);
            }
            Number
                fours[8];  // columns 0 and 4, 1 and 5, 2 and 6, 3 and 7: of rows 0 to 3, then of rows 4 to 7
            for (int half = 0; half < 2; ++half) {
                const Number* p = pairs + 4 * half;
                fours[4 * half] = _mm256_shuffle_ps(p[0], p[2], 0x44);
                fours[4 * half + 1] = _mm256_shuffle_ps(p[0], p[2], 0xEE);
                fours[4 * half + 2] = _mm256_shuffle_ps(p[1], p[3], 0x44);
                fours[4 * half + 3] = _mm256_shuffle_ps(p[1], p[3], 0xEE);
            }
            for (int k = 0; k < 4; ++k) {
                store(line_[backward ? 7 - k : k] + to, _mm256_permute2f128_ps(fours[k], fours[k + 4], 0x20));
                store(line_[backward ? 3 - k : k + 4] + to,
                      _mm256_permute2f128_ps(fours[k], fours[k + 4], 0x31));
            }
        }

        const Octant& octant_;
        int turned_from_ = -8;
        int turned_first_ = 0;
        bool turned_ = false;
        alignas(32) float line_[8][32];
    };
};

}  // namespace

[[gnu::flatten]] void sweep_rays_avx2(const Octant& octant, const SweepTerms& terms, int first) {
    sweep_outward<Avx2Lanes>(octant, terms, first);
}

}  // namespace omniway::radio::detail

#pragma GCC pop_options

#endif
