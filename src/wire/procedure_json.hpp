#pragma once

#include <string>
#include <vector>

#include "navdata/snapshot.hpp"
#include "plan/procedure_report.hpp"

namespace omniway::wire {

/// A procedure as flown, as JSON after api/procedure.schema.json: units stand in the names, the track of each leg is a list of places.
///   Model     one entry a way, one a leg; what is not coded or not known is null.
///   Domain    reports of `world`.
///   Accuracy  as rounded (0.001 NM, 0.01 degree, 0.1 s, 1 ft, a centimetre); a chord of the track leaves it by at most 30 m.
///   Cost      about a millisecond.
///   Fails     never.
///   Source    RFC 8259; api/procedure.schema.json.
std::string procedure_json(const navdata::Snapshot& world, const plan::ProcedureReport& report);

/// Every procedure of an airport, one line a way without its legs, after api/procedures.schema.json.
std::string procedures_json(const navdata::Snapshot& world, navdata::AirportId airport,
                            const plan::ProcedureRequest& request,
                            const std::vector<plan::ProcedureReport>& reports);

}  // namespace omniway::wire
