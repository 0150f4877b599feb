#include "app/world.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"
#include "store/atlas.hpp"

namespace omniway::app {

namespace {

template <class Things>
std::vector<std::string> idents_of(const Things& things) {
    std::vector<std::string> idents;
    for (const auto& thing : things) {
        idents.push_back(thing.ident);
    }
    return idents;
}

tl::unexpected<base::Error> unknown(const std::string& what, const std::string& ident,
                                    const std::vector<std::string>& known, const std::string& where) {
    const std::string near = base::did_you_mean(base::near_matches(ident, known));
    return base::failure(
        "app.unknown_ident",
        fmt::format("no {} {} in the atlas{}", what, base::in_quotes(ident),
                    near.empty() ? std::string(": import the data that holds it") : ": " + near),
        where);
}

}  // namespace

base::Result<World> open_world(const std::string& atlas, const Shipped& shipped, const Wanted& wanted) {
    auto model = earth::MagneticModel::load(shipped.magnetic());
    if (!model) {
        return tl::unexpected(model.error());
    }
    const auto opened = store::Atlas::open(atlas);
    if (!opened) {
        return tl::unexpected(opened.error());
    }
    auto records = opened->records({wanted.everything, wanted.airports});
    if (!records) {
        return tl::unexpected(records.error());
    }
    for (const std::string& ident : wanted.without) {
        bool found = false;
        for (navdata::Station& station : records->stations) {
            if (station.ident == ident) {
                station.out_of_service = found = true;
            }
        }
        if (!found) {
            return unknown("station", ident, idents_of(records->stations), "--without");
        }
    }
    auto built = navdata::Snapshot::build(std::move(*records));
    World world;
    world.snapshot = std::make_shared<const navdata::Snapshot>(std::move(built.value));
    world.model = std::make_shared<const earth::MagneticModel>(std::move(*model));
    world.atlas = atlas;
    world.diagnostics = std::move(built.diagnostics);
    return world;
}

base::Result<navdata::AirportId> find_airport(const navdata::Snapshot& world, const std::string& ident,
                                              const std::string& where) {
    if (const auto found = world.airport(ident)) {
        return *found;
    }
    return unknown("airport", ident, idents_of(world.airports()), where);
}

}  // namespace omniway::app
