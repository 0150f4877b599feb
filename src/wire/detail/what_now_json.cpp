#include "wire/detail/what_now_json.hpp"

#include <array>
#include <cmath>
#include <string_view>

#include "plan/step_wording.hpp"
#include "wire/detail/flight_in_the_air.hpp"
#include "wire/detail/steps.hpp"

namespace omniway::wire::detail {

namespace {

std::string_view word_of(plan::SafeBy by) {
    constexpr std::array<std::string_view, 3> words = {"sector", "grid", "ground"};
    return words[static_cast<std::size_t>(by)];
}

Json safe_json(const plan::SafeAltitude& safe) {
    Json json{{"by", safe.by ? Json(word_of(*safe.by)) : Json(nullptr)},
              {"altitude_msl_ft", feet(safe.altitude)},
              {"at_least_msl_ft", feet(safe.at_least)},
              {"above_ft", safe.above ? Json(std::round(safe.above->feet())) : Json(nullptr)},
              {"looked_at", Json::array()}};
    for (const plan::SafeCandidate& each : safe.looked_at) {
        json["looked_at"].push_back({{"by", word_of(each.by)},
                                     {"altitude_msl_ft", feet(each.altitude)},
                                     {"covers", each.covers},
                                     {"says", each.says}});
    }
    return json;
}

Json heard_json(const plan::HeardThere& heard) {
    return {{"altitude_msl_ft", feet(heard.altitude)},
            {"heard", heard.here.heard()},
            {"heard_share", thousandths(heard.share)},
            {"says", radio::to_text(heard.here)}};
}

Json set_json(const std::optional<plan::AidToSet>& set) {
    if (!set) {
        return nullptr;
    }
    return {{"set", plan::set_text(set->set)},
            {"aid", aid_json(set->aid)},
            {"course_deg", set->course ? Json(std::round(set->course->degrees())) : Json(nullptr)}};
}

Json bearing_json(const std::optional<base::MagneticBearing>& bearing) {
    return bearing ? Json(hundredths(bearing->degrees())) : Json(nullptr);
}

Json back_json(const std::optional<plan::BackToCard>& back) {
    if (!back) {
        return nullptr;
    }
    constexpr std::array<std::string_view, 3> ways = {"on_it", "intercept", "direct"};
    Json json{{"step", back->step},
              {"via", back->via},
              {"from", back->from},
              {"to", back->to},
              {"by", ways[static_cast<std::size_t>(back->by)]},
              {"direct_to", back->direct_to},
              {"heading_magnetic_deg", bearing_json(back->heading)},
              {"track_magnetic_deg", hundredths(back->track.degrees())},
              {"turn_right_deg", back->turn ? Json(tenths(back->turn->degrees())) : Json(nullptr)},
              {"cut_deg", tenths(back->cut.degrees())},
              {"distance_nm", thousandths(back->distance.nautical_miles())},
              {"time_min", back->time ? Json(hundredths(base::in_minutes(*back->time))) : Json(nullptr)},
              {"then_magnetic_deg", hundredths(back->then.degrees())},
              {"off_nm", thousandths(back->off.nautical_miles())},
              {"minimum_msl_ft", feet(back->minimum.altitude)},
              {"set", set_json(back->set)},
              {"heard", Json::array()},
              {"findings", findings_json(back->findings)}};
    for (const plan::HeardThere& heard : back->heard) {
        json["heard"].push_back(heard_json(heard));
    }
    return json;
}

}  // namespace

Json what_now_json(const navdata::Snapshot& world, const plan::WhatNow& now) {
    Json json{{"sure_enough", now.sure.enough},
              {"safe_altitude", safe_json(now.safe)},
              {"climb_first", now.climb_first},
              {"go_on_at_msl_ft", feet(now.go_on_at)},
              {"back_to_card", back_json(now.back)},
              {"airports", Json::array()},
              {"first_heard", now.first_heard ? heard_json(*now.first_heard) : Json(nullptr)},
              {"refused", Json::array()},
              {"not_looked_at", now.land.not_looked_at},
              {"findings", findings_json(now.findings)}};
    for (const plan::Diversion& each : now.land.ranked) {
        json["airports"].push_back(diversion_json(world, each));
    }
    for (const plan::DiversionRefused& each : now.land.refused) {
        json["refused"].push_back(diversion_refused_json(world, each));
    }
    return json;
}

}  // namespace omniway::wire::detail
