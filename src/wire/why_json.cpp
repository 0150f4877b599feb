#include "wire/why_json.hpp"

#include <cmath>

#include "flight/route.hpp"
#include "wire/detail/card_part.hpp"
#include "wire/detail/request_part.hpp"
#include "wire/detail/steps.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

using detail::Json;

namespace {

Json runs_json(const std::vector<plan::RunOfLegs>& runs) {
    Json list = Json::array();
    for (const plan::RunOfLegs& run : runs) {
        list.push_back({{"via", run.via},
                        {"from", run.from},
                        {"to", run.to},
                        {"distance_nm", detail::thousandths(run.length.nautical_miles())}});
    }
    return list;
}

Json offered_json(const plan::BesideOffered& offered) {
    return {{"route", offered.route},
            {"approach", offered.approach},
            {"cruise_altitude_msl_ft", std::round(offered.cruise.feet())},
            {"distance_nm", detail::thousandths(offered.distance.nautical_miles())},
            {"costs", detail::costs_json(offered.costs)},
            {"by_hand_is", plan::to_text(offered.standing)},
            {"by_hand_later_min", detail::hundredths(base::in_minutes(offered.later))},
            {"by_hand_more_work_points", detail::hundredths(offered.more_work)},
            {"by_hand_less_margin_share", detail::thousandths(offered.less_margin)},
            {"only_by_hand", runs_json(offered.only_by_hand)},
            {"only_offered", runs_json(offered.only_offered)}};
}

}  // namespace

std::string why_json(const navdata::Snapshot& world, const ExplainedWay& explained) {
    const plan::Request& request = explained.request.flight;
    const plan::Option& by_hand = explained.by_hand;
    const plan::Why& why = explained.why;
    Json json{{"schema_version", schema_version},
              {"kind", "why"},
              {"caution", detail::caution},
              {"from", world[request.from].ident},
              {"to", world[request.to].ident},
              {"route_given", flight::to_text(explained.request.route)},
              {"aircraft", request.aircraft.name},
              {"wind", weather::to_text(request.winds.surface())},
              {"winds_aloft", detail::winds_aloft_json(request.winds)},
              {"date_decimal_year", detail::thousandths(request.today.value)},
              {"request", detail::request_part(world, request)},
              {"reception", detail::reception_json(explained.reception, explained.terrain_known)},
              {"standing", plan::to_text(why.standing)},
              {"says", why.says},
              {"by_hand",
               {{"verdict", base::to_text(by_hand.verdict)},
                {"route", why.route},
                {"approach", by_hand.flight.approach},
                {"cruise_altitude_msl_ft", std::round(by_hand.flight.cruise.feet())},
                {"distance_nm", detail::thousandths(by_hand.compiled.track.length.nautical_miles())},
                {"costs", detail::costs_json(why.costs)}}},
              {"blocking", detail::findings_at_steps(why.blocking)},
              {"offered", Json::array()},
              {"better_in", why.better_in},
              {"nothing_offered", detail::findings_at_steps(why.nothing_offered)},
              {"would_unblock", why.would_unblock},
              {"sources", detail::sources_json(world.sources())}};
    for (const plan::BesideOffered& offered : why.offered) {
        json["offered"].push_back(offered_json(offered));
    }
    return json.dump(2);
}

}  // namespace omniway::wire
