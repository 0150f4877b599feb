#include "wire/groundspeed_check_json.hpp"

#include "wire/detail/parts.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

namespace {

using detail::Json;

Json knots(base::Speed speed) {
    return detail::tenths(speed.knots());
}

Json check_json(const flight::GroundspeedCheck& check) {
    Json json{{"step", check.step},
              {"forecast_headwind_kt", knots(check.headwind)},
              {"from_s", detail::tenths(check.from.count())},
              {"until_s", Json::array()},
              {"groundspeed_kt", Json::array()},
              {"headwind_kt", Json::array()},
              {"next_time_s", Json::array()}};
    for (const flight::GroundspeedFound& row : check.found) {
        json["until_s"].push_back(detail::tenths(row.until.count()));
        json["groundspeed_kt"].push_back(knots(row.groundspeed));
        json["headwind_kt"].push_back(knots(row.headwind));
        json["next_time_s"].push_back(row.next ? Json(row.next->count()) : Json(nullptr));
    }
    return json;
}

}  // namespace

std::string groundspeed_check_json(std::span<const flight::GroundspeedCheck> checks) {
    Json json{{"schema_version", schema_version},
              {"kind", "groundspeed_check"},
              {"caution", detail::caution},
              {"steps", Json::array()}};
    for (const flight::GroundspeedCheck& check : checks) {
        json["steps"].push_back(check_json(check));
    }
    return json.dump();
}

}  // namespace omniway::wire
