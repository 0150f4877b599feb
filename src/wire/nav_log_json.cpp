#include "wire/nav_log_json.hpp"

#include "wire/detail/parts.hpp"
#include "wire/detail/steps.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

namespace {

using detail::hundredths;
using detail::Json;
using detail::tenths;
using plan::NavLog;
using plan::NavLogRow;

template <class Value, class Number>
Json known(const std::optional<Value>& value, Number number) {
    return value ? Json(number(*value)) : Json(nullptr);
}

double pounds(base::Mass fuel) {
    return tenths(fuel.pounds());
}
double knots(base::Speed speed) {
    return tenths(speed.knots());
}
double minutes(base::Duration time) {
    return hundredths(base::in_minutes(time));
}
double miles(base::Length length) {
    return hundredths(length.nautical_miles());
}

std::string_view manner_word(flight::Manner manner) {
    switch (manner) {
        case flight::Manner::climb:
            return "climb";
        case flight::Manner::level:
            break;
        case flight::Manner::descent:
            return "descent";
        case flight::Manner::approach:
            return "approach";
    }
    return "level";
}

Json wind_json(const weather::Wind& wind) {
    return {{"from_true_deg", tenths(wind.from.degrees())}, {"speed_kt", knots(wind.speed)}};
}

Json row_json(const NavLogRow& row) {
    const bool on_course = !row.hold;
    Json json{{"step", row.step},
              {"to", row.to},
              {"via", row.via},
              {"manner", manner_word(row.manner)},
              {"hold", row.hold}};
    json["altitude_msl_ft"] = detail::feet(row.altitude);
    json["distance_nm"] = miles(row.distance);
    json["total_nm"] = miles(row.total);
    json["remaining_nm"] = miles(row.remaining);
    json["wind"] = wind_json(row.wind);
    json["true_airspeed_kt"] = knots(row.true_airspeed);
    json["fuel_flow_lb_per_h"] = tenths(row.fuel_flow.pounds_per_hour());
    json["track_true_deg"] = on_course ? Json(tenths(row.track.degrees())) : Json(nullptr);
    json["correction_deg"] = known(row.correction, [](base::Angle a) { return tenths(a.degrees()); });
    json["variation_east_deg"] = tenths(row.variation.east().degrees());
    json["course_magnetic_deg"] = on_course ? Json(tenths(row.course.degrees())) : Json(nullptr);
    json["heading_magnetic_deg"] =
        known(row.heading, [](base::MagneticBearing b) { return tenths(b.degrees()); });
    json["groundspeed_kt"] = on_course ? known(row.groundspeed, knots) : Json(nullptr);
    json["time_min"] = known(row.time, minutes);
    json["elapsed_min"] = known(row.elapsed, minutes);
    json["eta"] = known(row.arriving, base::date_and_clock_text);
    json["ata"] = known(row.passed, base::date_and_clock_text);
    json["groundspeed_made_kt"] = known(row.groundspeed_made, knots);
    json["fuel_lb"] = row.time ? Json(pounds(row.fuel)) : Json(nullptr);
    json["fuel_used_lb"] = row.elapsed ? Json(pounds(row.fuel_used)) : Json(nullptr);
    json["fuel_left_lb"] = row.elapsed ? Json(pounds(row.fuel_left)) : Json(nullptr);
    return json;
}

std::string_view asked_word(plan::AlternateAsked asked) {
    switch (asked) {
        case plan::AlternateAsked::not_said:
            break;
        case plan::AlternateAsked::not_needed:
            return "not_needed";
        case plan::AlternateAsked::given:
            return "given";
    }
    return "not_said";
}

Json fuel_json(const plan::FuelTable& fuel) {
    return {{"taxi_lb", pounds(fuel.taxi)},
            {"trip_lb", pounds(fuel.trip)},
            {"alternate_asked", asked_word(fuel.alternate_asked)},
            {"alternate_lb", known(fuel.alternate, pounds)},
            {"reserve_lb", pounds(fuel.reserve)},
            {"needed_lb", pounds(fuel.needed)},
            {"usable_lb", pounds(fuel.usable)},
            {"extra_lb", pounds(fuel.extra)}};
}

Json found_json(const NavLog& log) {
    Json list = Json::array();
    for (const plan::WindFound& found : log.found) {
        list.push_back({{"at", log.rows[found.rows_to - 1].to},
                        {"wind", wind_json(found.wind)},
                        {"change", wind_json(found.change)},
                        {"across_found", found.across_found}});
    }
    return list;
}

Json alternate_json(const navdata::Snapshot& world, const AlternateTold& told) {
    const plan::Answer& answer = *told.answer;
    return {
        {"ident", told.ident},
        {"verdict", base::to_text(answer.verdict)},
        {"route", answer.option ? Json(plan::route_text(world, answer.option->flight)) : Json(nullptr)},
        {"distance_nm", answer.option ? Json(miles(answer.option->compiled.track.length)) : Json(nullptr)},
        {"time_min", answer.option ? known(answer.option->compiled.track.time, minutes) : Json(nullptr)},
        {"findings", detail::findings_json(answer.findings)}};
}

Json log_json(const navdata::Snapshot& world, const plan::Option& option, const NavLog& log) {
    Json json{{"route", plan::route_text(world, option.flight)},
              {"cruise_msl_ft", detail::feet(option.flight.cruise)},
              {"level_changes", detail::level_changes_json(option.flight)},
              {"take_off", known(log.take_off, base::date_and_clock_text)},
              {"distance_nm", miles(log.distance)},
              {"time_min", known(log.time, minutes)},
              {"rows", Json::array()},
              {"fuel", fuel_json(log.fuel)},
              {"found_winds", found_json(log)}};
    for (const NavLogRow& row : log.rows) {
        json["rows"].push_back(row_json(row));
    }
    return json;
}

}  // namespace

std::string nav_log_json(const navdata::Snapshot& world, const plan::Request& request,
                         const plan::Answer& answer, const std::optional<NavLog>& log,
                         const std::optional<AlternateTold>& alternate) {
    Json json{{"schema_version", schema_version},
              {"kind", "navlog"},
              {"caution", detail::caution},
              {"from", world[request.from].ident},
              {"to", world[request.to].ident},
              {"aircraft", request.aircraft.name},
              {"wind", weather::to_text(request.winds.surface())},
              {"winds_aloft", detail::winds_aloft_json(request.winds)},
              {"date_decimal_year", detail::thousandths(request.today.value)},
              {"verdict", base::to_text(answer.verdict)},
              {"findings", detail::findings_json(answer.findings)},
              {"alternate", alternate ? alternate_json(world, *alternate) : Json(nullptr)},
              {"log", log && answer.option ? log_json(world, *answer.option, *log) : Json(nullptr)},
              {"sources", detail::sources_json(world.sources())}};
    return json.dump(2);
}

}  // namespace omniway::wire
