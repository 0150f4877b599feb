#include "wire/flight_views_json.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "cockpit/morse.hpp"
#include "plan/step_wording.hpp"
#include "plan/strip_wording.hpp"
#include "plan/wording.hpp"
#include "wire/detail/parts.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

namespace {

using base::Duration;
using base::Length;
using detail::hundredths;
using detail::Json;
using detail::tenths;
using detail::thousandths;
using plan::RibbonPlace;

Json document(const char* kind) {
    return {{"schema_version", schema_version}, {"kind", kind}, {"caution", detail::caution}};
}

Json miles(Length length) {
    return thousandths(length.nautical_miles());
}
Json seconds(Duration time) {
    return tenths(time.count());
}
void put_at(Json& json, const RibbonPlace& at) {
    json["at_nm"] = miles(at.along);
    json["at_s"] = seconds(at.time);
}
void put_stretch(Json& json, const plan::RibbonStretch& where) {
    json["begins_nm"] = miles(where.begins.along);
    json["ends_nm"] = miles(where.ends.along);
    json["begins_s"] = seconds(where.begins.time);
    json["ends_s"] = seconds(where.ends.time);
}
void put_place(Json& json, earth::Position place) {
    const Json both = detail::place(place);
    json["latitude_deg"] = both["latitude_deg"];
    json["longitude_deg"] = both["longitude_deg"];
}
template <class Angle>
Json course(const std::optional<Angle>& angle) {
    return angle ? Json(std::round(angle->degrees())) : Json(nullptr);
}

bool is_beacon(const flight::NamedAid& aid) {
    return aid.kind.starts_with("NDB");
}
// As it stands in a window.
std::string frequency_text(const flight::NamedAid& aid) {
    return is_beacon(aid) ? fmt::format("{:g}", std::round(aid.frequency.kilohertz() * 10.0) / 10.0)
                          : fmt::format("{:.2f}", aid.frequency.megahertz());
}

// The ribbon.

Json step_json(const plan::RibbonStep& step) {
    Json json{{"number", step.number}, {"phase", plan::to_text(step.phase)},
              {"via", step.via},       {"from", step.from},
              {"to", step.to},         {"says", step.says},
              {"until", step.until},   {"guidance", plan::word_of(step.guidance)},
              {"missed", step.missed}};
    put_stretch(json, step.where);
    return json;
}

Json span_json(const plan::HeardSpan& span) {
    Json json = Json::object();
    put_stretch(json, span.where);
    json["silent_before"] = plan::word_of(span.before);
    json["silent_after"] = plan::word_of(span.after);
    json["begins_because"] = span.begins_because;
    json["ends_because"] = span.ends_because;
    json["begins_in_short"] = plan::short_reason(span.before);
    json["ends_in_short"] = plan::short_reason(span.after);
    json["published"] = span.published;
    json["margins"] = Json::array();
    for (const plan::StrengthAt& margin : span.margins) {
        json["margins"].push_back(
            {{"at_nm", miles(margin.along)}, {"strength_share", hundredths(margin.share)}});
    }
    return json;
}

Json hearing_json(const navdata::Snapshot& world, const plan::HearingLane& lane) {
    const navdata::Station& station = world[lane.station];
    Json json{{"station", station.ident},
              {"name", station.name},
              {"kind", navdata::kind_text(station)},
              {"frequency", navdata::frequency_text(station)},
              {"morse", cockpit::morse(station.ident)},
              {"site", detail::place(navdata::site(station))},
              {"needed", lane.needed},
              {"used", lane.used},
              {"part", plan::word_of(lane.part)},
              {"gives", plan::part_text(station, lane.part)},
              {"spans", Json::array()}};
    for (const plan::HeardSpan& span : lane.spans) {
        json["spans"].push_back(span_json(span));
    }
    return json;
}

std::string_view word_of(flight::RadioUse use) {
    switch (use) {
        case flight::RadioUse::guides:
            return "guides";
        case flight::RadioUse::tells:
            return "tells";
        case flight::RadioUse::checks:
            break;
    }
    return "checks";
}

Json set_json(const navdata::Snapshot& world, const plan::SetLane& lane) {
    Json json{{"name", plan::set_text(lane.set)},
              {"spans", Json::array()},
              {"uses", Json::array()},
              {"retunes", Json::array()}};
    for (const plan::SetSpan& span : lane.spans) {
        Json one = Json::object();
        put_stretch(one, span.where);
        one["station"] = span.aid.ident;
        one["kind"] = span.aid.kind;
        one["frequency"] = frequency_text(span.aid);
        one["morse"] = cockpit::morse(span.aid.ident);
        one["course_deg"] = course(span.course);
        one["role"] = span.standby ? "standby" : "tuned";
        one["identify_by_s"] = span.identify_by ? seconds(*span.identify_by) : Json(nullptr);
        json["spans"].push_back(std::move(one));
    }
    for (const plan::SetUse& use : lane.uses) {
        Json one = Json::object();
        put_stretch(one, use.where);
        one["use"] = word_of(use.use);
        one["station"] = world[use.station].ident;
        one["step"] = use.step;
        json["uses"].push_back(std::move(one));
    }
    for (const plan::Retune& retune : lane.retunes) {
        Json one = Json::object();
        put_at(one, retune.at);
        one["to"] = retune.to.ident;
        one["frequency"] = frequency_text(retune.to);
        one["slack_s"] = seconds(retune.slack);
        json["retunes"].push_back(std::move(one));
    }
    return json;
}

Json point_json(const RibbonPlace& where, earth::Position place, int step) {
    Json json = Json::object();
    put_at(json, where);
    put_place(json, place);
    json["step"] = step;
    return json;
}

Json line_json(const plan::Ribbon& ribbon, const rehearsal::AsFlown& flown,
               std::span<const RibbonPlace> places, bool missed) {
    Json line = Json::array();
    for (std::size_t i = 0; i < flown.samples.size(); ++i) {
        const rehearsal::SampleFlown& sample = flown.samples[i];
        const plan::RibbonStep& step = ribbon.steps[sample.step];
        if (step.missed == missed && sample.step < flown.steps_ended) {
            line.push_back(point_json(places[i], sample.place, step.number));
        }
    }
    for (const plan::RibbonPoint& point : missed ? ribbon.missed_line : ribbon.line) {
        if (point.step > static_cast<int>(flown.steps_ended)) {
            line.push_back(point_json(point.where, point.place, point.step));
        }
    }
    return line;
}

// The panel.

std::string_view word_of(cockpit::AdfIndicator indicator) {
    switch (indicator) {
        case cockpit::AdfIndicator::fixed_card:
            return "fixed_card";
        case cockpit::AdfIndicator::movable_card:
            return "movable_card";
        case cockpit::AdfIndicator::rmi:
            break;
    }
    return "rmi";
}

std::string receiver_name(std::size_t index) {
    return plan::set_text({flight::SetKind::receiver, static_cast<int>(index) + 1});
}

Json instruments_json(const cockpit::Equipment& aboard) {
    Json list = Json::array();
    for (std::size_t i = 0; i < aboard.receivers.size(); ++i) {
        const cockpit::NavigationReceiver& receiver = aboard.receivers[i];
        list.push_back({{"name", receiver_name(i)},
                        {"indicator", receiver.indicator == cockpit::CourseIndicator::hsi ? "hsi" : "cdi"},
                        {"localizer", receiver.localizer},
                        {"glideslope", receiver.glideslope}});
    }
    if (aboard.dme) {
        list.push_back({{"name", "DME"}, {"indicator", "dme"}, {"localizer", false}, {"glideslope", false}});
    }
    if (aboard.adf) {
        list.push_back({{"name", "ADF"},
                        {"indicator", word_of(*aboard.adf)},
                        {"localizer", false},
                        {"glideslope", false}});
    }
    return list;
}

std::string_view flag_word(const cockpit::CourseShown& shown) {
    if (shown.flag) {
        return "off";
    }
    switch (shown.to_from) {
        case cockpit::ToFrom::to:
            return "to";
        case cockpit::ToFrom::from:
            return "from";
        case cockpit::ToFrom::neither:
            break;
    }
    return "neither";
}

Json ident_of(const navdata::Station* station) {
    return station != nullptr ? Json(station->ident) : Json(nullptr);
}

Json receiver_json(const rehearsal::SampleFlown& sample, std::size_t index) {
    const cockpit::ReceiverOnPanel& on = sample.panel.receivers[index];
    const bool alive = !on.shown.flag;
    const bool tuned = on.active > base::Frequency();
    return {
        {"name", receiver_name(index)},
        {"tuned", ident_of(sample.receivers_on[index])},
        {"frequency", tuned ? Json(fmt::format("{:.2f}", on.active.megahertz())) : Json(nullptr)},
        {"heard", alive},
        {"identified", !on.ident.empty()},
        {"course_deg", tuned ? Json(std::round(on.course.degrees())) : Json(nullptr)},
        {"deflection_share", alive ? Json(thousandths(on.shown.needle.of_full_scale())) : Json(nullptr)},
        {"full_scale_deg", alive ? Json(hundredths(on.shown.needle.full_scale.degrees())) : Json(nullptr)},
        {"flag", flag_word(on.shown)},
        {"glideslope_share",
         on.glideslope.flag ? Json(nullptr) : Json(thousandths(on.glideslope.needle.of_full_scale()))}};
}

Json dme_json(const rehearsal::SampleFlown& sample) {
    const cockpit::DistanceOnPanel& on = sample.panel.distance;
    return {{"station", ident_of(sample.distance_on)},
            {"shows_nm", on.flag ? Json(nullptr) : Json(tenths(on.reading.nautical_miles()))},
            {"identified", !on.ident.empty()}};
}

Json adf_json(const rehearsal::SampleFlown& sample) {
    const cockpit::PointerOnPanel& on = sample.panel.pointer;
    const bool heard = !on.ident.empty();
    return {{"station", ident_of(sample.pointer_on)},
            {"frequency", on.active > base::Frequency()
                              ? Json(fmt::format("{:g}", std::round(on.active.kilohertz() * 10.0) / 10.0))
                              : Json(nullptr)},
            {"relative_deg",
             heard ? Json(std::round(std::fmod(on.relative.degrees() + 360.0, 360.0))) : Json(nullptr)},
            {"identified", heard}};
}

Json marker_json(const rehearsal::SampleFlown& sample) {
    const navdata::Marker* marker = sample.marker;
    return {{"lit", marker != nullptr ? Json(detail::marker_word(marker->kind)) : Json(nullptr)},
            {"localizer", marker != nullptr ? Json(marker->localizer) : Json(nullptr)}};
}

Json next_json(const plan::Ribbon& ribbon, Duration now) {
    const auto next = std::find_if(ribbon.events.begin(), ribbon.events.end(),
                                   [now](const plan::RibbonEvent& event) { return event.at.time > now; });
    if (next == ribbon.events.end()) {
        return nullptr;
    }
    return {{"says", next->says}, {"step", next->step}, {"in_s", seconds(next->at.time - now)}};
}

// What the page's instruments are drawn from.
Json sample_json(const plan::Ribbon& ribbon, const rehearsal::SampleFlown& sample, const RibbonPlace& where,
                 const cockpit::Equipment& aboard) {
    Json json = point_json(where, sample.place, ribbon.steps[sample.step].number);
    json["altitude_msl_ft"] = std::round(sample.altitude.feet());
    json["heading_magnetic_deg"] = tenths(sample.panel.heading.degrees());
    json["airspeed_kt"] = std::round(sample.panel.airspeed.knots());
    json["receivers"] = Json::array();
    for (std::size_t i = 0; i < sample.panel.receiver_count; ++i) {
        json["receivers"].push_back(receiver_json(sample, i));
    }
    json["dme"] = aboard.dme ? dme_json(sample) : Json(nullptr);
    json["adf"] = aboard.adf ? adf_json(sample) : Json(nullptr);
    json["marker"] = aboard.marker_receiver ? marker_json(sample) : Json(nullptr);
    json["changes_next"] = next_json(ribbon, where.time);
    return json;
}

// A replay.

// The needle of the receiver that guides by the card; none where none does, or under its flag.
Json needle_json(const flight::Step& step, const cockpit::Panel& panel) {
    for (const flight::ReceiverStands& set : step.radios.receivers) {
        const auto index = static_cast<std::size_t>(set.number - 1);
        if (set.role == flight::ReceiverRole::guides && index < panel.receiver_count &&
            !panel.receivers[index].shown.flag) {
            return thousandths(panel.receivers[index].shown.needle.of_full_scale());
        }
    }
    return nullptr;
}

Json step_replayed_json(const rehearsal::StepFlown& flown, int number) {
    constexpr double metres_in_a_nautical_mile = 1852.0;
    return {{"number", number},
            {"began_s", tenths(flown.began_s)},
            {"ended_s", flown.ended ? Json(tenths(flown.ended_s)) : Json(nullptr)},
            {"as_meant", flown.ended && flown.as_meant},
            {"worst_aside_nm", thousandths(flown.worst_aside_m / metres_in_a_nautical_mile)}};
}

}  // namespace

std::string ribbon_json(const navdata::Snapshot& world, const plan::Ribbon& ribbon,
                        const rehearsal::AsFlown& flown, std::span<const RibbonPlace> places,
                        std::span<const flight::ProtectedArea> areas) {
    Json json = document("ribbon");
    json["reception"] = plan::word_of(ribbon.reception);
    json["distance_nm"] = miles(ribbon.length);
    json["time_s"] = seconds(ribbon.time);
    json["distance_with_missed_nm"] = miles(ribbon.length_with_missed);
    json["time_with_missed_s"] = seconds(ribbon.time_with_missed);
    const auto list = [&json](const char* name) -> Json& { return json[name] = Json::array(); };
    Json& steps = list("steps");
    for (const plan::RibbonStep& step : ribbon.steps) {
        steps.push_back(step_json(step));
    }
    Json& marks = list("marks");
    for (const flight::StripMark& mark : ribbon.marks) {
        marks.push_back({{"ident", mark.ident}, {"at_nm", miles(mark.along)}});
    }
    Json& hearing = list("hearing");
    for (const plan::HearingLane& lane : ribbon.hearing) {
        hearing.push_back(hearing_json(world, lane));
    }
    Json& receivers = list("receivers");
    for (const plan::SetLane& lane : ribbon.sets) {
        receivers.push_back(set_json(world, lane));
    }
    Json& heights = list("heights");
    for (const plan::HeightAt& height : ribbon.heights) {
        Json one = Json::object();
        put_at(one, height.where);
        one["altitude_msl_ft"] = detail::feet(height.altitude);
        one["minimum_msl_ft"] = detail::feet(height.minimum);
        one["ground_msl_ft"] = detail::feet(height.ground);
        heights.push_back(std::move(one));
    }
    Json& winds = list("wind");
    for (const plan::RibbonWind& wind : ribbon.winds) {
        Json one = Json::object();
        put_at(one, wind.where);
        one["from_true_deg"] = std::round(wind.wind.from.degrees());
        one["speed_kt"] = std::round(wind.wind.speed.knots());
        winds.push_back(std::move(one));
    }
    json["track"] = line_json(ribbon, flown, places, false);
    json["missed_track"] = line_json(ribbon, flown, places, true);
    json["areas"] = Json::array();
    for (const flight::ProtectedArea& area : areas) {
        Json corners = Json::array();
        for (const earth::Position& corner : area.corners) {
            corners.push_back(detail::place(corner));
        }
        json["areas"].push_back({{"step", area.step}, {"corners", std::move(corners)}});
    }
    return json.dump();
}

std::string panel_json(const plan::Ribbon& ribbon, const rehearsal::AsFlown& flown,
                       std::span<const RibbonPlace> places, const std::string& aircraft,
                       const cockpit::Equipment& aboard) {
    Json json = document("panel");
    json["aircraft"] = aircraft;
    json["instruments"] = instruments_json(aboard);
    json["samples"] = Json::array();
    for (std::size_t i = 0; i < flown.samples.size(); ++i) {
        json["samples"].push_back(sample_json(ribbon, flown.samples[i], places[i], aboard));
    }
    return json.dump();
}

std::string replay_json(const ReplayTold& told) {
    const rehearsal::Trial& trial = told.flown.trial;
    const plan::Ribbon& ribbon = told.ribbon;
    constexpr double metres_in_a_nautical_mile = 1852.0;
    Json json = document("replay");
    json["aircraft"] = told.aircraft;
    json["flight"] = told.flight;
    json["seed"] = told.question.seed.value;
    json["outcome"] = to_text(trial.outcome);
    json["failed_step"] = trial.outcome == as_asked(told.question)
                              ? Json(nullptr)
                              : Json(ribbon.steps[trial.failed_step].number);
    json["flown_s"] = tenths(trial.time_s);
    json["flown_nm"] = thousandths(trial.flown_m / metres_in_a_nautical_mile);
    json["steps"] = Json::array();
    for (std::size_t i = 0; i < trial.steps.size(); ++i) {
        if (trial.steps[i].begun) {
            json["steps"].push_back(step_replayed_json(trial.steps[i], ribbon.steps[i].number));
        }
    }
    json["instruments"] = instruments_json(told.aboard);
    json["samples"] = Json::array();
    for (std::size_t i = 0; i < told.flown.samples.size(); ++i) {
        const rehearsal::SampleFlown& sample = told.flown.samples[i];
        Json one = sample_json(ribbon, sample, told.places[i], told.aboard);
        one["flown_s"] = seconds(sample.time);
        one["aside_nm"] = sample.beside ? miles(sample.beside->aside) : Json(nullptr);
        one["primary_nm"] = sample.beside ? miles(sample.beside->primary) : Json(nullptr);
        one["needle_share"] = needle_json(rehearsal::step_at(told.card, sample.step), sample.panel);
        json["samples"].push_back(std::move(one));
    }
    return json.dump();
}

}  // namespace omniway::wire
