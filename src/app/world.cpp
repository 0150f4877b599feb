#include "app/world.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "app/world_memo.hpp"
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

// What every world of an atlas shares: all but its snapshot.
base::Result<World> ground_of_atlas(const store::Atlas& opened, const std::string& atlas,
                                    const Shipped& shipped) {
    auto model = earth::MagneticModel::load(shipped.magnetic());
    if (!model) {
        return tl::unexpected(model.error());
    }
    World world;
    const auto damaged_tiles = std::make_shared<store::DamagedTiles>();
    auto terrain = opened.terrain(damaged_tiles);
    if (!terrain) {
        return tl::unexpected(terrain.error());
    }
    world.model = std::make_shared<const earth::MagneticModel>(std::move(*model));
    world.terrain = std::make_shared<const earth::Terrain>(std::move(*terrain));
    world.damaged_tiles = damaged_tiles;
    world.horizon_cache = std::make_shared<store::HorizonCache>(atlas);
    world.horizons = std::make_shared<const radio::Horizons>(
        *world.terrain,
        radio::HorizonKeeper{
            [cache = world.horizon_cache](const std::string& key) { return cache->load(key); },
            [cache = world.horizon_cache](const std::string& key, std::span<const std::byte> bytes) {
                cache->save(key, bytes);
            }});
    world.atlas = atlas;
    return world;
}

// `beside`: another world of the same atlas.
base::Result<World> opened_world(const std::string& atlas, const Shipped& shipped, const Wanted& wanted,
                                 std::optional<World> beside) {
    const auto opened = store::Atlas::open(atlas);
    if (!opened) {
        return tl::unexpected(opened.error());
    }
    base::Result<World> world =
        beside ? base::Result<World>(std::move(*beside)) : ground_of_atlas(*opened, atlas, shipped);
    if (!world) {
        return world;
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
            return unknown("station", ident, idents_of(records->stations), wanted.without_where);
        }
    }
    auto built = navdata::Snapshot::build(std::move(*records));
    world->snapshot = std::make_shared<const navdata::Snapshot>(std::move(built.value));
    world->diagnostics = std::move(built.diagnostics);
    return world;
}

}  // namespace

base::Result<World> open_world(const std::string& atlas, const Shipped& shipped, const Wanted& wanted) {
    const auto key = shipped.worlds ? WorldMemo::key_of(atlas, wanted) : std::nullopt;
    if (auto known = key ? shipped.worlds->find(*key) : std::nullopt) {
        return *known;
    }
    auto opened =
        opened_world(atlas, shipped, wanted, key ? shipped.worlds->of_same_atlas(*key) : std::nullopt);
    if (opened && key) {
        shipped.worlds->keep(*key, *opened);
    }
    return opened;
}

std::vector<base::Error> troubles(const World& world) {
    std::vector<base::Error> all = world.damaged_tiles->all();
    const auto not_kept = world.horizon_cache->diagnostics();
    all.insert(all.end(), not_kept.begin(), not_kept.end());
    return all;
}

base::Result<radio::ReceptionMode> parse_reception(const std::string& text, std::string where) {
    if (text == "volume") {
        return radio::ReceptionMode::volume;
    }
    if (text == "horizon") {
        return radio::ReceptionMode::horizon;
    }
    if (text == "terrain") {
        return radio::ReceptionMode::terrain;
    }
    return base::failure(
        "app.unknown_reception",
        fmt::format("reception {} is none of volume, horizon and terrain", base::in_quotes(text)),
        std::move(where));
}

base::Result<radio::Criteria> parse_criteria(const std::string& text, std::string where) {
    if (text == "terps") {
        return radio::Criteria::terps;
    }
    if (text == "pans-ops") {
        return radio::Criteria::pans_ops;
    }
    return base::failure(
        "app.unknown_word",
        fmt::format("the criteria {} are not known; allowed: terps, pans-ops", base::in_quotes(text)),
        std::move(where));
}

radio::Ground ground_of(const World& world, std::optional<radio::ReceptionMode> asked) {
    const bool known = !world.terrain->empty();
    return {.mode = asked.value_or(known ? radio::ReceptionMode::terrain : radio::ReceptionMode::horizon),
            .horizons = world.horizons.get(),
            .terrain = known ? world.terrain.get() : nullptr};
}

base::Result<navdata::AirportId> find_airport(const navdata::Snapshot& world, const std::string& ident,
                                              const std::string& where) {
    if (const auto found = world.airport(ident)) {
        return *found;
    }
    return unknown("airport", ident, idents_of(world.airports()), where);
}

}  // namespace omniway::app
