#pragma once

#include <string>
#include <type_traits>
#include <variant>
#include <vector>

#include "cockpit/morse.hpp"
#include "plan/step_wording.hpp"
#include "wire/card_json.hpp"
#include "wire/detail/field_units.hpp"

namespace omniway::wire::detail {

// What stands in each object of a card, once for both ways: `Way` is Writing (writing.hpp) or Reading (reading.hpp). An object's
// members stand in the order in which they are named here.

template <class Way>
void fields(Way& way, flight::NamedAid& v) {
    way.text("ident", v.ident, TextForm::station_ident);
    way.text("kind", v.kind, TextForm::station_kind);
    v.kind.starts_with("NDB") ? way.number("frequency_khz", v.frequency, units::kilohertz)
                              : way.number("frequency_mhz", v.frequency, units::megahertz);
    way.follows("morse", cockpit::morse(v.ident), "the ident");
}

// Guidance.

template <class Way>
void fields(Way& way, flight::FollowRadial& v) {
    way.object("aid", v.aid);
    way.word("direction", v.toward, words::to_or_from);
    way.number("course_deg", v.course, units::bearing<base::StationNorth>);
}
template <class Way>
void fields(Way& way, flight::FollowBearing& v) {
    way.object("aid", v.aid);
    way.word("direction", v.toward, words::to_or_from);
    way.number("track_magnetic_deg", v.track, units::bearing<base::MagneticNorth>);
    way.word("adf", v.indicator, words::adf);
    way.number("pointer_deg", v.pointer, units::pointer);
}
template <class Way>
void fields(Way& way, flight::FollowLocalizer& v) {
    way.object("aid", v.aid);
    way.number("front_course_deg", v.front_course, units::bearing<base::StationNorth>);
    way.flag("outbound", v.outbound);
    way.flag("back_course", v.back_course);
    way.flag("glideslope", v.glideslope);
    way.word("needle", v.needle, words::needle);
}
template <class Way>
void fields(Way& way, flight::FollowArc& v) {
    way.object("aid", v.aid);
    way.number("reading_nm", v.reading, units::reading);
    way.word("direction", v.clockwise, words::clockwise);
    way.number("from_radial_deg", v.from_radial, units::bearing<base::StationNorth>);
    way.number("to_radial_deg", v.to_radial, units::bearing<base::StationNorth>);
}
template <class Way>
void fields(Way& way, flight::FlyHeading& v) {
    way.number("track_magnetic_deg", v.track, units::bearing<base::MagneticNorth>);
    way.number("heading_magnetic_deg", v.heading, units::bearing<base::MagneticNorth>);
    way.flag("along_runway", v.along_runway);
}
template <class Way>
void fields(Way& way, flight::FlyHold& v) {
    way.text("fix", v.fix);
    way.object("aid", v.aid);
    way.number("inbound_magnetic_deg", v.inbound, units::bearing<base::MagneticNorth>);
    way.word("turns", v.side, words::turn);
    way.word("entry", v.entry, words::entry);
    way.number("outbound_heading_magnetic_deg", v.outbound_heading, units::bearing<base::MagneticNorth>);
    way.number("outbound_time_s", v.outbound_time, units::time);
    way.number("outbound_reading_nm", v.outbound_reading, units::reading);
}
template <class Way>
void fields(Way& way, flight::ReverseCourse& v) {
    way.text("fix", v.fix);
    way.object("aid", v.aid);
    way.number("outbound_magnetic_deg", v.outbound, units::bearing<base::MagneticNorth>);
    way.number("away_heading_magnetic_deg", v.away, units::bearing<base::MagneticNorth>);
    way.number("return_heading_magnetic_deg", v.return_heading, units::bearing<base::MagneticNorth>);
    way.word("turns", v.back, words::turn);
    way.number("within_nm", v.within, units::reading);
}

// Ends.

template <class Way>
void fields(Way& way, flight::StationPassage& v) {
    way.object("aid", v.aid);
    way.flag("pointer", v.pointer);
}
template <class Way>
void fields(Way& way, flight::ReadingReached& v) {
    way.object("aid", v.aid);
    way.number("reading_nm", v.reading, units::reading);
    way.flag("increasing", v.increasing);
}
template <class Way>
void fields(Way& way, flight::RadialCentres& v) {
    way.object("aid", v.aid);
    way.number("course_deg", v.course, units::bearing<base::StationNorth>);
}
template <class Way>
void fields(Way& way, flight::BearingReached& v) {
    way.object("aid", v.aid);
    way.number("to_station_magnetic_deg", v.to_station, units::bearing<base::MagneticNorth>);
    way.word("adf", v.indicator, words::adf);
    way.number("pointer_deg", v.pointer, units::pointer);
}
template <class Way>
void fields(Way& way, flight::LocalizerCentres& v) {
    way.object("aid", v.aid);
}
template <class Way>
void fields(Way& way, flight::NeedleAlive& v) {
    way.object("aid", v.aid);
}
template <class Way>
void fields(Way& way, flight::AltitudeReached& v) {
    way.number("altitude_msl_ft", v.altitude, units::altitude);
}
template <class Way>
void fields(Way& way, flight::TimeOut& v) {
    way.number("time_s", v.time, units::time);
    way.text("since", v.since);
}
template <class Way>
void fields(Way& way, flight::ChangeOver& v) {
    way.object("to", v.to);
    way.object("reading_of", v.reading_of);
    way.number("reading_nm", v.reading, units::reading);
    way.number("time_s", v.time, units::time);
    way.text("since", v.since);
}
template <class Way>
void fields(Way& way, flight::GlideslopeCentres& v) {
    way.number("altitude_msl_ft", v.altitude, units::altitude);
}
template <class Way>
void fields(Way& way, flight::Minimums& v) {
    way.number("altitude_msl_ft", v.altitude, units::altitude);
}
template <class Way>
void fields(Way&, flight::EstablishedInbound&) {}
template <class Way>
void fields(Way& way, flight::HeldUntil& v) {
    way.number("altitude_msl_ft", v.altitude, units::altitude);
}

// Heights, checks, what to expect.

template <class Way>
void fields(Way& way, flight::StepHeights& v) {
    way.says([&] { return plan::heights_text(v); });
    way.word("vertical", v.vertical, words::vertical);
    way.number("at_end_msl_ft", v.at_end, units::altitude);
    way.number("between_msl_ft", v.between, units::altitude);
    way.text("level_at", v.level_at);
    way.number("at_or_above_msl_ft", v.at_or_above, units::altitude);
    way.number("at_or_below_msl_ft", v.at_or_below, units::altitude);
    way.number("minimum_msl_ft", v.minimum, units::altitude);
    way.text("minimum_from", v.minimum_from);
    way.number("rate_ft_per_min", v.rate, units::rate);
}
template <class Way>
void fields(Way& way, flight::ReadingCheck& v) {
    way.object("aid", v.aid);
    way.number("reading_nm", v.reading, units::reading);
    way.number("tolerance_nm", v.tolerance, units::reading);
}
template <class Way>
void fields(Way& way, flight::RadialCheck& v) {
    way.object("aid", v.aid);
    way.number("radial_deg", v.radial, units::bearing<base::StationNorth>);
    way.number("tolerance_deg", v.tolerance, units::tolerance);
}
template <class Way>
void fields(Way& way, flight::BearingCheck& v) {
    way.object("aid", v.aid);
    way.number("to_station_magnetic_deg", v.to_station, units::bearing<base::MagneticNorth>);
    way.number("tolerance_deg", v.tolerance, units::tolerance);
    way.word("adf", v.indicator, words::adf);
    way.number("pointer_deg", v.pointer, units::pointer);
}
template <class Way>
void fields(Way& way, flight::GlideslopeCheck& v) {
    way.number("altitude_msl_ft", v.altitude, units::altitude);
    way.number("tolerance_ft", v.tolerance, units::height);
}
template <class Way>
void fields(Way& way, flight::ZoneOverhead& v) {
    way.object("aid", v.aid);
    way.number("about_s", v.about, units::time);
    way.number("least_reading_nm", v.least_reading, units::reading);
}
template <class Way>
void fields(Way& way, flight::NeedleDeceives& v) {
    way.object("aid", v.aid);
    way.word("needle", v.needle, words::needle);
}
template <class Way>
void fields(Way& way, flight::BiasedReading& v) {
    way.object("aid", v.aid);
    way.number("bias_nm", v.bias, units::bias);
}
template <class Way>
void fields(Way& way, flight::SlantRange& v) {
    way.object("aid", v.aid);
    way.number("over_ground_nm", v.over_ground, units::reading);
}
template <class Way>
void fields(Way& way, flight::NoFlag& v) {
    way.object("aid", v.aid);
}
template <class Way>
void fields(Way& way, flight::LocalizerWithoutToFrom& v) {
    way.object("aid", v.aid);
}
template <class Way>
void fields(Way& way, flight::StepExpected& v) {
    way.number("course_magnetic_deg", v.course, units::bearing<base::MagneticNorth>);
    way.number("heading_magnetic_deg", v.heading, units::bearing<base::MagneticNorth>);
    way.number("true_airspeed_kt", v.true_airspeed, units::speed);
    way.number("groundspeed_kt", v.groundspeed, units::speed);
    way.number("distance_nm", v.distance, units::distance);
    way.number("time_s", v.time, units::time);
    way.number("fuel_lb", v.fuel, units::fuel);
    way.list("notices", v.notices);
}

// Radios and work.

constexpr int most_receivers = 3;

template <class Way>
void fields(Way& way, flight::ReceiverStands& v) {
    way.count("number", v.number, 1, most_receivers);
    way.word("role", v.role, words::role);
    way.object("active", v.active);
    way.object("standby", v.standby);
    way.number("course_deg", v.course, units::bearing<base::StationNorth>);
}
template <class Way>
void fields(Way& way, flight::DistanceStands& v) {
    way.word("from", v.from, words::distance_from);
    way.count("receiver", v.receiver, 0, most_receivers);
    way.object("of", v.of);
}
template <class Way>
void fields(Way& way, flight::AdfStands& v) {
    way.object("aid", v.aid);
    way.number("card_magnetic_deg", v.card, units::bearing<base::MagneticNorth>);
}
template <class Way>
void fields(Way& way, flight::StepRadios& v) {
    way.says([&] { return plan::radios_lines(v); });
    way.list("receivers", v.receivers);
    way.object("distance", v.distance);
    way.object("adf", v.adf);
}
template <class Way>
void fields(Way& way, flight::RadioSet& v) {
    way.word("kind", v.kind, words::set);
    way.count("number", v.number, 1, most_receivers);
}
template <class Way>
void fields(Way& way, flight::CardEvent& v) {
    way.count("end_of_step", v.end_of_step, 0, most_steps);
    way.text("name", v.name);
}
template <class Way>
void fields(Way& way, flight::Tune& v) {
    way.object("set", v.set);
    way.object("aid", v.aid);
    way.object("after", v.after);
    way.object("before", v.before);
    way.number("slack_s", v.slack, units::slack);
}
template <class Way>
void fields(Way& way, flight::Preselect& v) {
    way.object("set", v.set);
    way.object("aid", v.aid);
}
template <class Way>
void fields(Way& way, flight::SetCourse& v) {
    way.count("receiver", v.receiver, 1, most_receivers);
    way.number("course_deg", v.course, units::bearing<base::StationNorth>);
    way.object("after", v.after);
}
template <class Way>
void fields(Way& way, flight::SelectDistance& v) {
    way.word("from", v.from, words::distance_from);
    way.count("receiver", v.receiver, 0, most_receivers);
    way.object("of", v.of);
    way.object("after", v.after);
}
template <class Way>
void fields(Way& way, flight::GuideBy& v) {
    way.count("receiver", v.receiver, 1, most_receivers);
    way.object("aid", v.aid);
}
template <class Way>
void fields(Way& way, flight::HoldHeadingWhileTuning& v) {
    way.object("aid", v.aid);
    way.number("time_s", v.time, units::time);
}
template <class Way>
void fields(Way&, flight::StartClock&) {}
template <class Way>
void fields(Way& way, flight::LeaveAltitude& v) {
    way.text("says", v.says);
}
template <class Way>
void fields(Way& way, flight::Call& v) {
    way.text("service", v.service);
    way.text("name", v.name);
    way.number("frequency_mhz", v.frequency, units::megahertz);
}

// The closed variants: the kind tells which.

inline std::string text_of(const flight::StepGuidance& v) {
    return plan::guidance_text(v);
}
inline std::string text_of(const flight::StepEnd& v) {
    return plan::end_text(v);
}
inline std::string text_of(const flight::StepCheck& v) {
    return plan::check_text(v);
}
inline std::string text_of(const flight::Notice& v) {
    return plan::notice_text(v);
}
inline std::string text_of(const flight::StepWork& v) {
    return plan::work_text(v);
}

template <class Variant>
struct Kinds;
template <>
struct Kinds<flight::StepGuidance> {
    static constexpr auto words =
        std::to_array<std::string_view>({"follow_radial", "follow_bearing", "follow_localizer", "follow_arc",
                                         "fly_heading", "fly_hold", "reverse_course"});
};
template <>
struct Kinds<flight::StepEnd> {
    static constexpr auto words = std::to_array<std::string_view>(
        {"station_passage", "reading_reached", "radial_centres", "bearing_reached", "localizer_centres",
         "needle_alive", "altitude_reached", "time_out", "change_over", "glideslope_centres", "minimums",
         "established_inbound", "held_until"});
};
template <>
struct Kinds<flight::StepCheck> {
    static constexpr auto words = std::to_array<std::string_view>(
        {"reading_check", "radial_check", "bearing_check", "glideslope_check"});
};
template <>
struct Kinds<flight::Notice> {
    static constexpr auto words =
        std::to_array<std::string_view>({"zone_overhead", "needle_deceives", "biased_reading", "slant_range",
                                         "no_flag", "localizer_without_to_from"});
};
template <>
struct Kinds<flight::StepWork> {
    static constexpr auto words = std::to_array<std::string_view>(
        {"tune", "preselect", "set_course", "select_distance", "guide_by", "hold_heading_while_tuning",
         "start_clock", "leave_altitude", "call"});
};

template <class Way, class... Kind>
void fields(Way& way, std::variant<Kind...>& v) {
    using Variant = std::variant<Kind...>;
    static_assert(Kinds<Variant>::words.size() == sizeof...(Kind));
    if (!way.kind(v, Kinds<Variant>::words)) {
        return;
    }
    way.says([&] { return text_of(v); });
    std::visit([&](auto& kind) { fields(way, kind); }, v);
}

// The card.

template <class Way>
void fields(Way& way, flight::Step& v) {
    way.count("number", v.number, 1, most_steps);
    way.word("phase", v.phase, words::phase);
    way.text("via", v.via);
    way.text("from", v.from);
    way.text("to", v.to);
    way.object("guidance", v.guidance);
    way.object("end", v.end);
    way.object("heights", v.heights);
    way.object("radios", v.radios);
    way.list("work", v.work);
    way.object("check", v.check);
    way.object("expected", v.expected);
}
template <class Way>
void fields(Way& way, flight::ImmediateReturn& v) {
    way.says([&] { return plan::return_text(v); });
    way.text("approach", v.approach);
    way.object("aid", v.aid);
    way.number("course_deg", v.course, units::bearing<base::StationNorth>);
    way.object("set", v.set);
    way.flag("in_standby", v.in_standby);
}
template <class Way>
void fields(Way& way, flight::Card& v) {
    way.object("lined_up", v.lined_up);
    way.list("before_take_off", v.before_take_off);
    way.object("immediate_return", v.immediate_return);
    way.list("steps", v.steps);
    way.list("missed", v.missed);
    way.number("distance_nm", v.distance, units::distance);
    way.number("time_s", v.time, units::time);
    way.number("fuel_lb", v.fuel, units::fuel);
    way.number("fuel_needed_lb", v.fuel_needed, units::fuel);
}

// What it was made from.

template <class Way>
void fields(Way& way, navdata::Source& v) {
    way.text("file", v.file);
    way.text("format", v.format);
    way.text("cycle", v.cycle);
    way.text("validity", v.validity);
    way.text("checksum", v.checksum);
}
template <class Way>
void fields(Way& way, base::Finding& v) {
    way.word("grade", v.grade, words::grade);
    way.text("code", v.code);
    way.text("about", v.about);
    way.text("text", v.text);
    way.text_unless_empty("remedy", v.remedy);
    way.count_unless_none("step", v.step, 1, most_steps);
}
template <class Way>
void fields(Way& way, procedure::ApproachMinimum& v) {
    way.word("kind", v.kind, words::minimum_kind);
    way.word("landing", v.landing, words::landing);
    way.number("altitude_msl_ft", v.altitude, units::altitude);
    way.one_at_most(v.visibility);
    way.text("with_fix", v.with_fix);
    way.text("remark", v.remark);
    way.text("from", v.where);
}
template <class Way>
void fields(Way& way, cockpit::NavigationReceiver& v) {
    way.word("indicator", v.indicator, words::course_indicator);
    way.flag("localizer", v.localizer);
    way.flag("glideslope", v.glideslope);
}
template <class Way>
void fields(Way& way, cockpit::Equipment& v) {
    way.list("receivers", v.receivers);
    way.word("dme", v.dme, words::dme_control);
    way.word("adf", v.adf, words::adf);
    way.flag("marker_receiver", v.marker_receiver);
}
template <class Way>
void fields(Way& way, weather::WindAt& v) {
    way.number("altitude_msl_ft", v.altitude, units::altitude);
    way.number("from_true_deg", v.wind.from, units::bearing<base::TrueNorth>);
    way.number("speed_kt", v.wind.speed, units::wind);
    way.number("gust_kt", v.wind.gust, units::wind);
}
template <class Way>
void fields(Way& way, flight::Settings& v) {
    way.number("dead_reckoning_nm", v.dead_reckoning_distance, units::asked_distance);
    way.number("dead_reckoning_s", v.dead_reckoning_time, units::asked_time);
    way.number("off_airway_minimum_msl_ft", v.off_airway_minimum, units::altitude);
    way.number("obstacle_allowance_ft", v.obstacle_allowance, units::height);
    way.word("reception", v.reception, words::reception);
    way.word("criteria", v.criteria, words::criteria);
    way.number("arrival_radius_nm", v.arrival_radius, units::asked_distance);
}
template <class Way>
void fields(Way& way, plan::PointMeant& v) {
    way.text("ident", v.ident);
    way.text("kind", v.kind);
    double latitude_deg = v.place.latitude_deg();
    double longitude_deg = v.place.longitude_deg();
    way.number("latitude_deg", latitude_deg, units::latitude);
    way.number("longitude_deg", longitude_deg, units::longitude);
    v.place = earth::Position::degrees(latitude_deg, longitude_deg);
}
template <class Way>
void fields(Way& way, StationOut& v) {
    way.text("ident", v.ident);
}
template <class Way>
void fields(Way& way, CardRequest& v) {
    way.text("from", v.from);
    way.text("to", v.to);
    way.text("route", v.route);
    way.list_unless_empty("points_meant", v.points_meant);
    way.list_unless_empty("without", v.without);
    way.text("departure_runway", v.departure_runway);
    way.text("departure", v.departure);
    way.text("arrival", v.arrival);
    way.text("approach", v.approach);
    way.word("landing", v.landing, words::landing);
    way.text_or_null("arrival_runway", v.arrival_runway);
    way.object("minimum", v.minimum);
    way.number("cruise_altitude_msl_ft", v.cruise, units::altitude);
    way.text("aircraft", v.aircraft);
    way.object("equipment", v.equipment);
    std::vector<weather::WindAt> levels = v.winds.levels();
    way.list("winds", levels);
    way.ascending("winds", levels, v.winds);
    way.number("date_decimal_year", v.today, units::year);
    way.object("settings", v.settings);
}
template <class Way>
void fields(Way& way, CardDocument& v) {
    way.list("sources", v.sources);
    way.object("request", v.request);
    way.word("verdict", v.verdict, words::verdict);
    way.list("findings", v.findings);
    way.object("card", v.card);
}

}  // namespace omniway::wire::detail
