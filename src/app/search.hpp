#pragma once

#include <string>
#include <vector>

#include "app/world.hpp"
#include "navdata/record_id.hpp"

namespace omniway::app {

/// What a person types to find something of which part of the ident or name is known.
struct SearchQuestion {
    std::string words;
    double most = 12;
};

/// What may have been meant, the likeliest first, and the world it is of.
///   Model     in this order: that ident; idents that begin so; names of which a word begins so; idents as near as a slip of the pen
///             (base/near_matches.hpp). Within one kind of match airports, stations, fixes, airways; then in the order of the alphabet. Capitals do
///             not matter.
///   Domain    1 to 40 characters; 1 to 50 answers.
///   Accuracy  exact.
///   Cost      opening the atlas, and linear in its idents and names.
///   Fails     app.out_of_range, app.search_words, atlas.*. That nothing is near is an answer.
///   Source    common practice, no source.
struct Searched {
    World world;
    std::vector<navdata::RecordId> found;
    bool only_near = false;  // nothing is named so: what was found is a slip of the pen away
};
tl::expected<Searched, std::vector<base::Error>> search(const std::string& atlas, const Shipped& shipped,
                                                        const SearchQuestion& question);

}  // namespace omniway::app
