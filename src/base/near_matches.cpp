#include "base/near_matches.hpp"

#include <algorithm>
#include <compare>
#include <iterator>
#include <utility>

namespace omniway::base {

namespace {

char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

// The letters of a word, in order.
std::string letters(std::string_view word) {
    std::string all;
    std::transform(word.begin(), word.end(), std::back_inserter(all), lower);
    std::sort(all.begin(), all.end());
    return all;
}

/// How near a known word is; of words as near, one of the same letters comes first.
struct Near {
    std::size_t distance = 0;
    bool other_letters = false;
    std::string word;

    auto operator<=>(const Near&) const = default;
};

}  // namespace

std::size_t edit_distance(std::string_view a, std::string_view b) {
    // Three rows of the table: this letter of a, the one before, and the one before that (for a swap).
    std::vector<std::size_t> before_last(b.size() + 1);
    std::vector<std::size_t> last(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) {
        last[j] = j;
    }
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const bool same = lower(a[i - 1]) == lower(b[j - 1]);
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (same ? 0U : 1U)});
            const bool swapped =
                i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]);
            if (swapped) {
                row[j] = std::min(row[j], before_last[j - 2] + 1);
            }
        }
        std::swap(before_last, last);
        std::swap(last, row);
    }
    return last[b.size()];
}

std::vector<std::string> near_matches(std::string_view word, std::span<const std::string> known,
                                      std::size_t at_most) {
    if (word.size() < 2) {
        return {};
    }
    const std::size_t farthest = std::max<std::size_t>(1, word.size() / 3);
    std::vector<Near> near;
    for (const std::string& candidate : known) {
        const std::size_t longer = std::max(word.size(), candidate.size());
        const std::size_t shorter = std::min(word.size(), candidate.size());
        if (longer - shorter > farthest) {
            continue;
        }
        const std::size_t distance = edit_distance(word, candidate);
        if (distance <= farthest) {
            near.push_back({distance, letters(word) != letters(candidate), candidate});
        }
    }
    std::sort(near.begin(), near.end());
    near.erase(std::unique(near.begin(), near.end()), near.end());
    std::vector<std::string> answer;
    for (std::size_t i = 0; i < near.size() && i < at_most; ++i) {
        const std::size_t best = near.front().distance;
        if (near[i].distance > (best == 0 ? 0 : best + 1)) {
            break;
        }
        answer.push_back(std::move(near[i].word));
    }
    return answer;
}

std::string did_you_mean(std::span<const std::string> matches) {
    std::string text;
    for (std::size_t i = 0; i < matches.size(); ++i) {
        text += i == 0 ? "did you mean " : (i + 1 == matches.size() ? " or " : ", ");
        text += matches[i];
    }
    return text.empty() ? text : text + "?";
}

}  // namespace omniway::base
