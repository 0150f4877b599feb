#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <vector>

#include "routing/front.hpp"
#include "routing/search.hpp"

namespace omniway::routing {

/// The search of routing/search.hpp for one question asked at several altitudes, and again with what the judge refused: what was drawn and
/// judged for one is there for the next.
///   Model     a search backward from the entries, over edges that are not judged, bounds what is still to go (detail/least_to_go.hpp); as
///             search() says otherwise, to the same ways.
///   Domain    one question; one thread. What it is given by reference must outlive it, but for the question. Of the question the fields cruise, climb, groundspeed, forbidden, compared and at_most_nm are not
///             looked at.
///   Accuracy  as search().
///   Cost      as search(), less for each time after the first.
///   Fails     as search().
///   Source    as search().
class WaySearch {
public:
    WaySearch(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
              const flight::Settings& settings, Question question, const std::vector<Level>& levels,
              const Network& network, EdgeMemo& memo);
    WaySearch(WaySearch&&) noexcept;
    WaySearch& operator=(WaySearch&&) noexcept;
    ~WaySearch();

    struct Asked {
        std::vector<ForbiddenPair> forbidden;
        base::Length compared;             // as Question::compared
        std::optional<double> at_most_nm;  // as Question::at_most_nm
    };
    /// At one of the levels, by its place among them.
    Answer at(std::size_t level, const Asked& asked);

private:
    struct Drawn;
    std::unique_ptr<Drawn> drawn_;
};

}  // namespace omniway::routing
