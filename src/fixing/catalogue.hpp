#pragma once

#include <optional>
#include <vector>

#include "cockpit/equipment.hpp"
#include "fixing/telling.hpp"
#include "fixing/tolerance_area.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"

namespace omniway::fixing {

/// What a way of telling asks of the panel, beside the receiver that guides.
struct Needs {
    bool receiver = false;   // a VHF navigation receiver that does not guide
    bool localizer = false;  // and that takes localizers
    bool dme = false;
    bool free_dme = false;  // on another station than the one that guides
    bool adf = false;       // that does not guide
    friend bool operator==(const Needs&, const Needs&) = default;
};

/// What holds the aircraft on its line while a fix is told: it decides what of the panel is still free.
enum class GuidedBy { nothing, vhf_receiver, adf };
GuidedBy guided_by(const navdata::Snapshot& world, const FixQuestion& question);

/// What of the needs the panel lacks; none where it has all.
std::optional<Obstacle> lack(const cockpit::Equipment& aboard, GuidedBy guide, const Needs& needs);

/// A way of telling a fix with what it needs aboard and where the aircraft may be that uses it.
struct CataloguedWay {
    Telling telling;
    Needs needs;
    std::optional<ToleranceArea> area;  // none where nothing guides: nothing bounds it across the track
};

struct Catalogue {
    std::vector<CataloguedWay> ways;  // best first
    std::vector<Refusal> refused;
};

/// Every way of telling a fix, whatever is aboard: the guiding line with a radial, bearing, localizer or distance of every
/// station that is recorded near, or overhead; each with its tolerance area, and every other station with what forbids it.
///   Model     as tellings(), with no panel asked: every way of tellings() is in it, with the same figures. The area is the
///             overlap of the tolerance of tracking the line that guides (of its arc, on an arc) and of crossing the other.
///             No marker is named: where a localizer guides of which none is recorded that is said.
///   Domain    as tellings(); `every_way` and equipment are of no effect.
///   Accuracy  as tellings() and tolerance_area().
///   Cost      some tens of geodesics, and about ten for each area.
///   Fails     "no" is an empty list of ways, with what was refused.
///   Source    as tellings().
Catalogue catalogue(const navdata::Snapshot& world, const radio::Ground& ground, const FixQuestion& question);

}  // namespace omniway::fixing
