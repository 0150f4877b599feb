#pragma once

#include <string>
#include <utility>
#include <vector>

#include "app/world.hpp"
#include "navdata/record_id.hpp"

namespace omniway::app {

/// What was found under a name, and the world that it is of.
struct Found {
    World world;
    std::vector<navdata::RecordId> records;
};

/// Everything of that ident: stations, fixes, airways and airports; a procedure or runway as AIRPORT/IDENT, e.g. XALA/I27,
/// XALA/RW27.
///   Model     as recorded; nothing is judged.
///   Domain    idents of the atlas, upper case.
///   Accuracy  as published.
///   Cost      one opening of the atlas.
///   Fails     app.unknown_ident with near matches.
///   Source    design section 5.
base::Result<Found> show(const std::string& atlas, const Shipped& shipped, const std::string& ident);

/// One thing with its figures as a person reads them, label and value, with the lines it was read from.
struct Shown {
    std::string title;
    std::vector<std::pair<std::string, std::string>> figures;
};
Shown shown(const navdata::Snapshot& world, const navdata::RecordId& record);

}  // namespace omniway::app
