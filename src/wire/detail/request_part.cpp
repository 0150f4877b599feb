#include "wire/detail/request_part.hpp"

#include "plan/wording.hpp"

namespace omniway::wire::detail {

namespace {

Json points_json(const navdata::Snapshot& world, const std::vector<navdata::Point>& points) {
    Json list = Json::array();
    for (const navdata::Point& point : points) {
        list.push_back({{"ident", world.ident(point)}, {"place", place(world.position(point))}});
    }
    return list;
}

Json constraints_json(const navdata::Snapshot& world, const routing::Constraints& asked) {
    Json areas = Json::array();
    for (const routing::Circle& circle : asked.avoid_areas) {
        areas.push_back({{"name", circle.name},
                         {"centre", place(circle.centre)},
                         {"radius_nm", thousandths(circle.radius.nautical_miles())}});
    }
    return {{"via", points_json(world, asked.via)},           {"avoid", points_json(world, asked.avoid)},
            {"avoid_airways", asked.avoid_airways},           {"avoid_areas", std::move(areas)},
            {"highest_altitude_msl_ft", feet(asked.highest)}, {"no_ndb", asked.no_beacon},
            {"no_dead_reckoning", asked.no_dead_reckoning}};
}

Json runway_json(const navdata::Snapshot& world, const std::optional<navdata::RunwayId>& runway) {
    return runway ? Json(world[*runway].ident) : Json(nullptr);
}

Json text_json(const std::optional<std::string>& text) {
    return text ? Json(*text) : Json(nullptr);
}

}  // namespace

Json request_part(const navdata::Snapshot& world, const plan::Request& request) {
    return {{"departure_runway", runway_json(world, request.departure_runway)},
            {"landing_runway", runway_json(world, request.landing_runway)},
            {"departure", text_json(request.departure)},
            {"arrival", text_json(request.arrival)},
            {"approach", text_json(request.approach)},
            {"approach_transition", text_json(request.approach_transition)},
            {"altitude_msl_ft", feet(request.cruise)},
            {"constraints", constraints_json(world, request.constraints)},
            {"says", plan::asked_text(world, request)}};
}

}  // namespace omniway::wire::detail
