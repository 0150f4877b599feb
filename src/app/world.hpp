#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "earth/magnetic_model.hpp"
#include "earth/terrain.hpp"
#include "navdata/snapshot.hpp"
#include "radio/error_budget.hpp"
#include "radio/ground.hpp"
#include "radio/horizon.hpp"
#include "store/ground.hpp"
#include "store/horizon_cache.hpp"

namespace omniway::app {

class WorldMemo;
class FlightsViewed;

/// Where what comes with omniway lies: the folder share/omniway beside the program.
struct Shipped {
    std::string folder;
    std::string raster_program = {};                          // omniway-raster, beside the program
    std::shared_ptr<WorldMemo> worlds = nullptr;              // none: each question opens its own
    std::shared_ptr<FlightsViewed> flights_viewed = nullptr;  // none: each view makes its own
    std::string magnetic() const { return folder + "/magnetic"; }
    std::string aircraft() const { return folder + "/aircraft"; }
    std::string demo_atlas() const { return folder + "/demo.atlas"; }
};

/// What is wanted of the world for one question.
struct Wanted {
    std::vector<std::string> airports;  // whose procedures and frequencies are needed
    bool everything = false;
    std::vector<std::string> without;  // idents of stations out of service
    std::string without_where = "--without";
};

/// The loaded world that every question is asked of: one immutable snapshot and the magnetic model.
///   Model     opened from one atlas; stations named out of service are left out before anything is resolved, so that they
///             cannot appear in any answer.
///   Domain    an atlas made by this version.
///   Accuracy  as the atlas.
///   Cost      a tenth of a second for a continent without its procedures (docs/benchmarks.md); terrain is loaded as it is asked for.
///   Fails     atlas.* (store/atlas.hpp), earth.magnetic_model_unreadable, app.unknown_ident for a station named out of service
///             that does not exist.
///   Source    design sections 4 and 5.
struct World {
    std::shared_ptr<const navdata::Snapshot> snapshot;
    std::shared_ptr<const earth::MagneticModel> model;
    std::shared_ptr<const earth::Terrain> terrain;       // empty where the atlas has none
    std::shared_ptr<const radio::Horizons> horizons;     // over it, made as they are asked for
    std::shared_ptr<store::HorizonCache> horizon_cache;  // where they outlive the process
    std::shared_ptr<const store::DamagedTiles>
        damaged_tiles;  // grows while the terrain is read: to be told after an answer
    std::string atlas;
    std::vector<base::Error> diagnostics;
};

base::Result<World> open_world(const std::string& atlas, const Shipped& shipped, const Wanted& wanted);

/// What went wrong beside an answer while it was made, to be told after it: tiles of the terrain that proved damaged and count as
/// ground that is not known, horizons that could not be kept for the next time.
std::vector<base::Error> troubles(const World& world);

/// What stands between stations and aircraft in this world, by the mode asked for; none: terrain where the atlas has it, else the
/// horizon. It refers to the world, which has to outlive it. parse_reception() reads "volume", "horizon" or "terrain", else
/// app.unknown_reception.
base::Result<radio::ReceptionMode> parse_reception(const std::string& text, std::string where);

/// Reads "terps" or "pans-ops", else app.unknown_word.
base::Result<radio::Criteria> parse_criteria(const std::string& text, std::string where);

radio::Ground ground_of(const World& world, std::optional<radio::ReceptionMode> asked);

/// The airport of that ident, or app.unknown_ident with near matches.
base::Result<navdata::AirportId> find_airport(const navdata::Snapshot& world, const std::string& ident,
                                              const std::string& where);

}  // namespace omniway::app
