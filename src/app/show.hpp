#pragma once

#include <string>
#include <utility>
#include <vector>

#include "app/world.hpp"

namespace omniway::app {

/// One thing of the atlas with its figures, in the order in which they are read: label and value.
struct Shown {
    std::string kind;  // "station", "fix", "airway", "airport", "procedure"
    std::string title;
    std::vector<std::pair<std::string, std::string>> figures;
};

/// Everything of that ident: stations, fixes, airways, airports with their runways, and procedures (as AIRPORT/IDENT, e.g.
/// XALA/I27).
///   Model     as recorded, with where it was read; nothing is judged.
///   Domain    idents of the atlas, upper case.
///   Accuracy  as published.
///   Cost      one opening of the atlas.
///   Fails     app.unknown_ident with near matches.
///   Source    design section 5.
base::Result<std::vector<Shown>> show(const std::string& atlas, const Shipped& shipped,
                                      const std::string& ident);

}  // namespace omniway::app
