#include "wire/debrief_json.hpp"

#include <cmath>

#include "wire/detail/parts.hpp"
#include "wire/detail/steps.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

using base::Angle;
using base::Duration;
using base::Length;
using debrief::Held;
using detail::hundredths;
using detail::Json;
using detail::tenths;
using detail::thousandths;

namespace {

// The unit ends the names.
Json held_json(const Held<double>& held, const std::string& unit) {
    return {{"mean" + unit, thousandths(held.mean)},
            {"within_95_percent" + unit, thousandths(held.within_95)},
            {"worst" + unit, thousandths(held.worst)}};
}

template <class Quantity, class Number>
Json held_json(const Held<Quantity>& held, const std::string& unit, Number number) {
    return held_json(Held<double>{number(held.mean), number(held.within_95), number(held.worst)}, unit);
}

template <class Value, class Write>
Json or_null(const std::optional<Value>& value, Write write) {
    return value ? Json(write(*value)) : Json(nullptr);
}

Json seconds(Duration time) {
    return tenths(time.count());
}

Json nautical_miles(Length length) {
    return thousandths(length.nautical_miles());
}

Json whole_feet(Length length) {
    return std::round(length.feet());
}

Json aid_json(const flight::NamedAid& aid) {
    return {{"ident", aid.ident}, {"kind", aid.kind}, {"frequency_khz", tenths(aid.frequency.kilohertz())}};
}

Json side_json(const debrief::SideFlown& side) {
    return {{"established_after_s", side.was_established ? seconds(side.established) : Json(nullptr)},
            {"overshot_nm", nautical_miles(side.overshot)},
            {"aside", held_json(side.aside, "_nm", [](Length value) { return value.nautical_miles(); })},
            {"aside_angle", or_null(side.degrees,
                                    [](const Held<Angle>& held) {
                                        return held_json(held, "_deg",
                                                         [](Angle value) { return value.degrees(); });
                                    })},
            {"needle_of_full_scale",
             or_null(side.of_full_scale, [](const Held<double>& held) { return held_json(held, "_share"); })},
            {"beyond_three_quarters_s", seconds(side.beyond_three_quarters)},
            {"glideslope_of_full_scale",
             or_null(side.glideslope_of_full_scale,
                     [](const Held<double>& held) { return held_json(held, "_share"); })},
            {"inside_primary_share", thousandths(side.inside_primary)},
            {"inside_total_share", thousandths(side.inside_total)},
            {"led_off_deg", tenths(side.led_off.degrees())},
            {"drifted_nm", nautical_miles(side.drifted)},
            {"arc", side.of_an_arc}};
}

Json heights_json(const debrief::HeightsFlown& heights) {
    return {{"lowest_msl_ft", detail::feet(heights.lowest)},
            {"highest_msl_ft", detail::feet(heights.highest)},
            {"at_end_msl_ft", detail::feet(heights.at_end)},
            {"at_end_off_ft", whole_feet(heights.at_end_off)},
            {"off_level", or_null(heights.off_level,
                                  [](const Held<Length>& held) {
                                      return held_json(held, "_ft",
                                                       [](Length value) { return value.feet(); });
                                  })},
            {"off_by_100_ft_s", seconds(heights.off_by_100_ft)},
            {"below_minimum_ft", whole_feet(heights.below_minimum)},
            {"below_minimum_s", seconds(heights.below_minimum_for)}};
}

Json needle_json(const cockpit::Needle& needle) {
    return {{"deflection_deg", hundredths(needle.deflection.degrees())},
            {"of_full_scale_share", thousandths(needle.of_full_scale())}};
}

std::string_view arrow(cockpit::ToFrom shown) {
    return shown == cockpit::ToFrom::to ? "TO" : shown == cockpit::ToFrom::from ? "FROM" : "neither";
}

// One shape for whatever an instrument shows: what it has not is null.
Json shown_json(const debrief::ShownAt& shown) {
    Json json{
        {"set", shown.set},
        {"aid", aid_json(shown.aid)},
        {"course_deg", or_null(shown.course, [](base::Radial course) { return tenths(course.degrees()); })},
        {"flag", false},
        {"needle", nullptr},
        {"to_from", nullptr},
        {"reading_nm", nullptr},
        {"from_the_nose_deg", nullptr}};
    if (std::holds_alternative<cockpit::NoSignal>(shown.shows) ||
        std::holds_alternative<cockpit::CannotTell>(shown.shows)) {
        json["flag"] = true;
    } else if (const auto* vor = std::get_if<cockpit::VorShown>(&shown.shows)) {
        json["needle"] = needle_json(vor->needle);
        json["to_from"] = arrow(vor->to_from);
    } else if (const auto* localizer = std::get_if<cockpit::LocalizerShown>(&shown.shows)) {
        json["needle"] = needle_json(localizer->needle);
    } else if (const auto* distance = std::get_if<cockpit::DistanceShown>(&shown.shows)) {
        json["reading_nm"] = tenths(distance->reading.nautical_miles());
    } else if (const auto* pointer = std::get_if<cockpit::PointerShown>(&shown.shows)) {
        json["from_the_nose_deg"] = tenths(pointer->relative.degrees());
    }
    return json;
}

// One shape for whatever ended the step: what it has not is null.
Json end_json(const debrief::EndShown& shown) {
    Json json{{"by", nullptr},       {"aid", nullptr},          {"meant_nm", nullptr},
              {"shown_nm", nullptr}, {"off_deg", nullptr},      {"meant_s", nullptr},
              {"taken_s", nullptr},  {"meant_msl_ft", nullptr}, {"shown_msl_ft", nullptr}};
    if (const auto* reading = std::get_if<debrief::ReadingEnd>(&shown)) {
        json["by"] = "reading";
        json["aid"] = aid_json(reading->aid);
        json["meant_nm"] = tenths(reading->meant.nautical_miles());
        json["shown_nm"] = hundredths(reading->shown.nautical_miles());
    } else if (const auto* line = std::get_if<debrief::LineEnd>(&shown)) {
        json["by"] = "line_of_position";
        json["aid"] = aid_json(line->aid);
        json["off_deg"] = hundredths(line->off.degrees());
    } else if (const auto* time = std::get_if<debrief::TimeEnd>(&shown)) {
        json["by"] = "time";
        json["meant_s"] = seconds(time->meant);
        json["taken_s"] = seconds(time->taken);
    } else if (const auto* altitude = std::get_if<debrief::AltitudeEnd>(&shown)) {
        json["by"] = "altitude";
        json["meant_msl_ft"] = detail::feet(altitude->meant);
        json["shown_msl_ft"] = detail::feet(altitude->shown);
    }
    return json;
}

Json hold_json(const debrief::HoldFlown& hold) {
    Json inbound = Json::array();
    for (const Duration time : hold.inbound) {
        inbound.push_back(seconds(time));
    }
    return {{"circuits", hold.circuits},
            {"inbound_s", inbound},
            {"inbound_meant_s", or_null(hold.inbound_meant, seconds)},
            {"farthest_nm", nautical_miles(hold.farthest)},
            {"outside_protected_nm", nautical_miles(std::max(hold.outside, Length()))},
            {"inside_protected_share", thousandths(hold.inside_share)}};
}

Json reversal_json(const debrief::ReversalFlown& reversal) {
    return {{"farthest_nm", nautical_miles(reversal.farthest)},
            {"within_nm", nautical_miles(reversal.within)},
            {"to_the_turning_side_nm", nautical_miles(reversal.to_the_turning_side)},
            {"to_the_other_side_nm", nautical_miles(reversal.to_the_other_side)}};
}

Json fix_json(const debrief::FixPassed& fix) {
    return {{"at_s", seconds(fix.at)},
            {"missed_by_nm", nautical_miles(fix.missed_by)},
            {"aside_nm", nautical_miles(fix.aside)},
            {"of_allowed_share", thousandths(fix.allowed_share)},
            {"turned_after_s", or_null(fix.turned_after, seconds)}};
}

Json guide_json(const debrief::GuideShown& guide) {
    return {{"aid", aid_json(guide.aid)},
            {"heard_share", thousandths(guide.heard_share)},
            {"silence",
             guide.silence == radio::Silence::none ? Json(nullptr) : Json(radio::to_text(guide.silence))},
            {"arrows_as_meant_share", thousandths(guide.arrows_share)}};
}

Json step_json(const debrief::StepDebriefed& step) {
    const auto knots = [](base::Speed speed) { return tenths(speed.knots()); };
    const auto if_flown = [&](const Json& value) { return step.flown ? value : Json(nullptr); };
    Json shown = Json::array();
    for (const debrief::ShownAt& each : step.shown) {
        shown.push_back(shown_json(each));
    }
    return {{"number", step.number},
            {"missed_approach", step.missed},
            {"to", step.to},
            {"flown", step.flown},
            {"began_s", if_flown(seconds(step.began))},
            {"ended_s", if_flown(seconds(step.ended))},
            {"unrecorded_s", if_flown(seconds(step.unrecorded))},
            {"distance_nm", if_flown(nautical_miles(step.distance))},
            {"time_on_card_s", or_null(step.time_on_card, seconds)},
            {"groundspeed_kt", or_null(step.groundspeed, knots)},
            {"groundspeed_on_card_kt", or_null(step.groundspeed_on_card, knots)},
            {"side", or_null(step.side, side_json)},
            {"heights", or_null(step.heights, heights_json)},
            {"guide", or_null(step.guide, guide_json)},
            {"shown", shown},
            {"end", or_null(step.end, end_json)},
            {"fix", or_null(step.fix, fix_json)},
            {"hold", or_null(step.hold, hold_json)},
            {"reversal", or_null(step.reversal, reversal_json)}};
}

Json track_json(const TrackTold& track, const debrief::Debrief& found, Duration longest_gap) {
    Json json{{"file", track.file},
              {"form", track.form},
              {"name", track.flown.name},
              {"flight", track.flight},
              {"flights", track.flights},
              {"points", track.points},
              {"points_used", track.used},
              {"not_used", Json::array()},
              {"diagnostics", Json::array()},
              {"began", earth::moment_text(track.flown.day, found.began)},
              {"ended", earth::moment_text(track.flown.day, found.ended)},
              {"began_s", seconds(found.began)},
              {"ended_s", seconds(found.ended)},
              {"recorded_s", seconds(found.recorded)},
              {"longest_gap_s", seconds(longest_gap)},
              {"gaps", Json::array()},
              {"altitude_recorded", found.altitude_recorded},
              {"off_the_flight_share", thousandths(found.off_the_flight_share)}};
    for (const auto& [reason, points] : track.not_used) {
        json["not_used"].push_back({{"code", reason}, {"points", points}});
    }
    for (const base::Error& each : track.diagnostics) {
        json["diagnostics"].push_back(
            {{"code", each.code}, {"message", each.message}, {"where", each.where}});
    }
    for (const earth::TrackGap& gap : found.gaps) {
        json["gaps"].push_back({{"from_s", seconds(gap.from)}, {"to_s", seconds(gap.to)}});
    }
    return json;
}

}  // namespace

std::string debrief_json(const navdata::Snapshot& world, const DebriefTold& told) {
    const debrief::Debrief& found = told.debrief;
    const auto airport = [&](navdata::AirportId id) {
        return Json{{"ident", world[id].ident}, {"name", world[id].name}};
    };
    Json json{{"schema_version", schema_version},
              {"kind", "debrief"},
              {"caution", detail::caution},
              {"from", airport(told.request.from)},
              {"to", airport(told.request.to)},
              {"aircraft", told.request.aircraft.name},
              {"wind", weather::to_text(told.request.winds.surface())},
              {"winds_aloft", detail::winds_aloft_json(told.request.winds)},
              {"date_decimal_year", thousandths(told.request.today.value)},
              {"reception", detail::reception_json(told.reception, told.terrain_known)},
              {"card_file", told.file},
              {"route", plan::route_text(world, told.option.flight)},
              {"approach", told.option.flight.approach},
              {"verdict", base::to_text(told.verdict)},
              {"findings", detail::findings_json(told.findings)},
              {"track", track_json(told.track, found, told.longest_gap)},
              {"practise", Json::array()},
              {"steps", Json::array()},
              {"moments", Json::array()}};
    for (const debrief::Practice& practice : found.practise) {
        json["practise"].push_back({{"exercise", to_text(practice.exercise)},
                                    {"of_allowed_share", hundredths(practice.times_allowed)},
                                    {"steps", practice.steps},
                                    {"says", practice.says}});
    }
    for (const debrief::StepDebriefed& step : found.steps) {
        json["steps"].push_back(step_json(step));
    }
    for (const debrief::MomentFlown& moment : found.moments) {
        json["moments"].push_back({{"time_s", seconds(moment.time)},
                                   {"step", found.steps[moment.step].number},
                                   {"place", detail::place(moment.place)},
                                   {"altitude_msl_ft", detail::feet(moment.altitude)},
                                   {"aside_nm", or_null(moment.aside, nautical_miles)},
                                   {"needle", or_null(moment.needle, needle_json)},
                                   {"after_gap", moment.after_gap}});
    }
    json["sources"] = detail::sources_json(world.sources());
    return json.dump(2);
}

}  // namespace omniway::wire
