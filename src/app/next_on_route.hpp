#pragma once

#include <map>
#include <string>
#include <vector>

#include "app/files_given.hpp"
#include "app/world.hpp"
#include "plan/next_on_route.hpp"

namespace omniway::app {

/// What a person who builds a route by hand asks: what may stand behind the point named.
struct NextQuestion {
    std::string from;
    std::string to;
    std::string at;                   // empty: the route has no point yet
    std::string aircraft = "single";  // one that is shipped, or a file among `files`
    FilesGiven files{std::map<std::string, std::string>()};
};

/// What may, and the world it is of.
///   Model     plan/next_on_route.hpp.
///   Domain    airports of the atlas.
///   Accuracy  as plan/next_on_route.hpp.
///   Cost      opening the atlas.
///   Fails     with every fault found: app.unknown_ident, app.unknown_aircraft, aircraft.*, atlas.*.
///   Source    design section 6.
struct Next {
    World world;
    NextQuestion question;
    plan::NextOnRoute next;
};
tl::expected<Next, std::vector<base::Error>> next_on_route(const std::string& atlas, const Shipped& shipped,
                                                           const NextQuestion& question);

}  // namespace omniway::app
