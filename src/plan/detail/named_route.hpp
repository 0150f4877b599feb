#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "base/altitude.hpp"
#include "base/finding.hpp"
#include "base/result.hpp"
#include "earth/magnetic_model.hpp"
#include "navdata/snapshot.hpp"
#include "plan/hand_made.hpp"
#include "procedure/path.hpp"

namespace omniway::plan::detail {

// A segment of an airway, flown as coded or the other way.
struct Hop {
    const navdata::Airway* airway = nullptr;
    std::size_t index = 0;
    bool forward = true;
};

// From the point before to a point: direct, or along an airway.
struct NamedSection {
    procedure::PlacedFix from;
    procedure::PlacedFix to;
    std::vector<Hop> hops;    // of a conventional airway
    std::string area_airway;  // the RNAV airway that was named
    std::vector<procedure::PlacedFix>
        along_direct;                     // what it leads over, its last the section's end; else only `to`
    std::optional<base::Altitude> level;  // by the last change of level; none: the first of the flight
};

// What the words name: where a departure and an arrival of that name stand, and what leads from point to point between.
struct NamedRoute {
    std::optional<std::string> sid;
    std::optional<std::string> star;
    std::size_t star_before = 0;  // so many sections are flown before it
    std::optional<procedure::PlacedFix> first;
    std::vector<NamedSection> sections;
    std::optional<base::Altitude> cruise;
    std::optional<base::Altitude> last_level;  // behind the last section; none: the first of the flight
    std::vector<base::Finding> said;
};

/// "VOR/DME", "NDB", else "fix".
std::string kind_text(const navdata::Snapshot& world, const navdata::Point& point);

/// Gives every word of a route its meaning in the snapshot, or says of each that has none why and what would do (plan/hand_made.hpp).
tl::expected<NamedRoute, std::vector<base::Error>> name_route(const navdata::Snapshot& world,
                                                              const earth::MagneticModel& model,
                                                              const HandMadeRequest& request);

}  // namespace omniway::plan::detail
