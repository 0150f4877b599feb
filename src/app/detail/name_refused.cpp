#include "app/detail/name_refused.hpp"

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"

namespace omniway::app::detail {

base::Error name_refused(const navdata::Snapshot& world, const std::string& ident,
                         std::span<const earth::Position> places, const std::string& where) {
    if (places.empty()) {
        const std::string near = base::did_you_mean(base::near_matches(ident, world.idents()));
        return {"app.unknown_ident",
                fmt::format("nothing named {} in the atlas: {}", base::in_quotes(ident),
                            near.empty() ? "import the data that holds it" : near),
                where};
    }
    std::string each;
    for (const earth::Position place : places) {
        each += fmt::format("{}{:.4f},{:.4f}", each.empty() ? "" : " or ", place.latitude_deg(),
                            place.longitude_deg());
    }
    return {"app.ambiguous_ident",
            fmt::format("{} places are named {}: give one as {}", places.size(), ident, each), where};
}

}  // namespace omniway::app::detail
