#pragma once

#include <variant>

#include "navdata/snapshot.hpp"

namespace omniway::navdata {

using AirwayId = base::Id<Airway>;
using ProcedureId = base::Id<Procedure>;

/// Which thing of a snapshot: of any kind that someone may ask for by its name.
///   Model     an airway is one of its continuous parts; a runway is one of its ends.
///   Domain    ids of one snapshot.
///   Accuracy  exact.
///   Cost      eight bytes.
///   Fails     never.
///   Source    docs/architecture.md.
using RecordId = std::variant<StationId, FixId, AirportId, RunwayId, AirwayId, ProcedureId>;

}  // namespace omniway::navdata
