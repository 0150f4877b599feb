#include "app/search.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdint>
#include <tuple>

#include <fmt/format.h>

#include "app/detail/check_range.hpp"
#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"

namespace omniway::app {

using base::Error;
using Faults = std::vector<Error>;

namespace {

constexpr std::size_t longest_words = 40;
constexpr double most_found = 50;

std::string in_capitals(std::string_view text) {
    std::string capitals(text);
    std::transform(capitals.begin(), capitals.end(), capitals.begin(),
                   [](char c) { return static_cast<char>(std::toupper(static_cast<unsigned char>(c))); });
    return capitals;
}

std::string without_blanks_around(const std::string& text) {
    const std::size_t first = text.find_first_not_of(' ');
    return first == std::string::npos ? std::string()
                                      : text.substr(first, text.find_last_not_of(' ') - first + 1);
}

bool has_word_beginning(const std::string& name, const std::string& words) {
    for (std::size_t at = name.find(words); at != std::string::npos; at = name.find(words, at + 1)) {
        if (at == 0 || std::isalnum(static_cast<unsigned char>(name[at - 1])) == 0) {
            return true;
        }
    }
    return false;
}

enum class Match : std::uint8_t { ident, begins_ident, begins_word_of_name };

struct Hit {
    Match match = Match::ident;
    int kind = 0;
    std::string ident;
    navdata::RecordId record;
    auto order() const { return std::tuple(match, kind, std::string_view(ident)); }
};

class Searcher {
public:
    Searcher(const navdata::Snapshot& world, std::string words) : world_(world), words_(std::move(words)) {}

    std::vector<navdata::RecordId> found(std::size_t most) {
        look(world_.airports(), 0, [](std::uint32_t i) { return navdata::AirportId{i}; });
        look(world_.stations(), 1, [](std::uint32_t i) { return navdata::StationId{i}; });
        look(world_.fixes(), 2, [](std::uint32_t i) { return navdata::FixId{i}; });
        look_at_airways();
        std::stable_sort(hits_.begin(), hits_.end(),
                         [](const Hit& a, const Hit& b) { return a.order() < b.order(); });
        only_near_ = hits_.empty();
        if (only_near_) {
            look_nearby();
        }
        std::vector<navdata::RecordId> records;
        for (std::size_t i = 0; i < std::min(most, hits_.size()); ++i) {
            records.push_back(hits_[i].record);
        }
        return records;
    }

    bool only_near() const { return only_near_; }

private:
    void take(const std::string& ident, const std::string& name, int kind, const navdata::RecordId& record) {
        const std::string capitals = in_capitals(ident);
        if (capitals == words_) {
            hits_.push_back({Match::ident, kind, ident, record});
        } else if (capitals.starts_with(words_)) {
            hits_.push_back({Match::begins_ident, kind, ident, record});
        } else if (has_word_beginning(in_capitals(name), words_)) {
            hits_.push_back({Match::begins_word_of_name, kind, ident, record});
        }
    }
    template <class Things, class MakeId>
    void look(const Things& things, int kind, MakeId id) {
        for (std::uint32_t i = 0; i < things.size(); ++i) {
            take(things[i].ident, things[i].name, kind, id(i));
        }
    }
    // An airway that is cut into parts is found once.
    void look_at_airways() {
        std::string last;
        for (std::uint32_t i = 0; i < world_.airways().size(); ++i) {
            const std::string& designator = world_.airways()[i].designator;
            if (designator != last) {
                take(designator, "", 3, navdata::AirwayId{i});
            }
            last = designator;
        }
    }
    void look_nearby() {
        const std::vector<std::string> idents = world_.idents();
        for (const std::string& near : base::near_matches(words_, idents, 6)) {
            for (const navdata::Point& point : world_.named(near)) {
                if (!std::holds_alternative<navdata::RunwayId>(point)) {
                    std::visit([&](auto id) { hits_.push_back({Match::ident, 0, near, id}); }, point);
                }
            }
        }
    }

    const navdata::Snapshot& world_;
    std::string words_;
    std::vector<Hit> hits_;
    bool only_near_ = false;
};

}  // namespace

tl::expected<Searched, Faults> search(const std::string& atlas, const Shipped& shipped,
                                      const SearchQuestion& question) {
    Faults faults;
    detail::check_range(faults, question.most, 1, most_found, "number of answers", "", "most");
    const std::string words = in_capitals(without_blanks_around(question.words));
    if (words.empty() || words.size() > longest_words) {
        faults.push_back(
            {"app.search_words",
             fmt::format("{} is nothing to look for: 1 to {} characters of an ident or a name",
                         base::in_quotes(question.words.substr(0, longest_words)), longest_words),
             "words"});
    }
    if (!faults.empty()) {
        return tl::unexpected(faults);
    }
    auto opened = open_world(atlas, shipped, {});
    if (!opened) {
        return tl::unexpected(Faults{opened.error()});
    }
    Searched searched;
    Searcher searcher(*opened->snapshot, words);
    searched.found = searcher.found(static_cast<std::size_t>(question.most));
    searched.only_near = searcher.only_near();
    searched.world = std::move(*opened);
    return searched;
}

}  // namespace omniway::app
