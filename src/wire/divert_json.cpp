#include "wire/divert_json.hpp"

#include "wire/detail/flight_in_the_air.hpp"
#include "wire/detail/steps.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

using detail::Json;

std::string divert_json(const navdata::Snapshot& world, const DiversionTold& told) {
    Json json{{"schema_version", schema_version},
              {"kind", "divert"},
              {"caution", detail::caution},
              {"aircraft", told.request.aircraft.name},
              {"wind", weather::to_text(told.request.winds.surface())},
              {"winds_aloft", detail::winds_aloft_json(told.request.winds)},
              {"date_decimal_year", detail::thousandths(told.request.today.value)},
              {"reception", detail::reception_json(told.reception, told.terrain_known)},
              {"planned_route", told.planned ? Json(*told.planned) : Json(nullptr)},
              {"findings", detail::findings_json(told.no_flight)},
              {"at", told.diversions ? detail::in_flight_json(told.diversions->from) : Json(nullptr)},
              {"airports", Json::array()},
              {"refused", Json::array()},
              {"not_looked_at", told.diversions ? Json(told.diversions->not_looked_at) : Json(nullptr)}};
    if (told.diversions) {
        for (const plan::Diversion& each : told.diversions->ranked) {
            json["airports"].push_back(detail::diversion_json(world, each));
        }
        for (const plan::DiversionRefused& each : told.diversions->refused) {
            json["refused"].push_back(detail::diversion_refused_json(world, each));
        }
    }
    json["sources"] = detail::sources_json(world.sources());
    return json.dump(2);
}

}  // namespace omniway::wire
