#pragma once

#include <memory>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "earth/magnetic_model.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::app {

/// Where what comes with omniway lies: the folder share/omniway beside the program.
struct Shipped {
    std::string folder;
    std::string magnetic() const { return folder + "/magnetic"; }
    std::string aircraft() const { return folder + "/aircraft"; }
    std::string demo_atlas() const { return folder + "/demo.atlas"; }
};

/// What is wanted of the world for one question.
struct Wanted {
    std::vector<std::string> airports;  // whose procedures and frequencies are needed
    bool everything = false;
    std::vector<std::string> without;  // idents of stations out of service
};

/// The loaded world that every question is asked of: one immutable snapshot and the magnetic model.
///   Model     opened from one atlas; stations named out of service are left out before anything is resolved, so that they
///             cannot appear in any answer.
///   Domain    an atlas made by this version.
///   Accuracy  as the atlas.
///   Cost      some tens of milliseconds for a continent without its procedures.
///   Fails     atlas.* (store/atlas.hpp), earth.magnetic_model_unreadable, app.unknown_ident for a station named out of service
///             that does not exist.
///   Source    design sections 4 and 5.
struct World {
    std::shared_ptr<const navdata::Snapshot> snapshot;
    std::shared_ptr<const earth::MagneticModel> model;
    std::string atlas;
    std::vector<base::Error> diagnostics;
};

base::Result<World> open_world(const std::string& atlas, const Shipped& shipped, const Wanted& wanted);

/// The airport of that ident, or app.unknown_ident with near matches.
base::Result<navdata::AirportId> find_airport(const navdata::Snapshot& world, const std::string& ident,
                                              const std::string& where);

}  // namespace omniway::app
