#include "wire/hear_json.hpp"

#include <cmath>

#include "plan/strip_wording.hpp"
#include "wire/detail/parts.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

namespace {

using detail::hundredths;
using detail::Json;
using detail::place;

Json miles(base::Length length) {
    return hundredths(length.nautical_miles());
}

Json miles(const std::optional<base::Length>& length) {
    return length ? miles(*length) : Json(nullptr);
}

Json feet(base::Altitude altitude) {
    return std::round(altitude.feet());
}

Json feet(const std::optional<base::Altitude>& altitude) {
    return altitude ? feet(*altitude) : Json(nullptr);
}

Json height(const std::optional<base::Length>& length) {
    return length ? Json(std::round(length->feet())) : Json(nullptr);
}

Json document(const navdata::Snapshot& world, radio::ReceptionMode mode) {
    return {{"schema_version", schema_version},
            {"kind", "hear"},
            {"caution",
             "For training and flight at home. Not for real-world navigation: defer to current official "
             "charts."},
            {"reception", plan::word_of(mode)},
            {"sources", detail::sources_json(world.sources())}};
}

Json bar_json(const flight::StripBar& bar) {
    Json json{{"from_nm", miles(bar.heard.from)},
              {"to_nm", miles(bar.heard.to)},
              {"silent_before", plan::word_of(bar.heard.before)},
              {"silent_after", plan::word_of(bar.heard.after)},
              {"ground_known", bar.heard.ground_known},
              {"margins", Json::array()}};
    for (const flight::HeardMargin& margin : bar.margins) {
        json["margins"].push_back({{"along_nm", miles(margin.along)},
                                   {"above_sight_ft", height(margin.above_sight)},
                                   {"within_limit_nm", miles(margin.within_limit)}});
    }
    return json;
}

Json part_json(const navdata::Snapshot& world, const HeardPart& part) {
    const radio::Reception& heard = part.reception;
    Json json{{"station", detail::station_json(world[part.station])},
              {"part", plan::word_of(part.part)},
              {"heard", heard.heard()},
              {"silence", plan::word_of(heard.silence)},
              {"says", radio::to_text(heard)},
              {"distance_nm", miles(heard.distance)},
              {"lowest_sight_msl_ft", feet(heard.lowest)},
              {"above_sight_ft", height(heard.above_sight())},
              {"within_limit_nm", miles(heard.within_limit())},
              {"site_height_known", heard.site_known},
              {"ground_known", heard.ground_known}};
    json["obstacle_nm"] = heard.obstacle > base::Length() ? miles(heard.obstacle) : Json(nullptr);
    return json;
}

// The unit of a band stands at the end of its name, and so at the end of theirs; a count has none.
void add_extremes(Json& json, const MapAccount::Band& band) {
    const bool in_feet = band.name.ends_with("_msl_ft");
    const bool in_miles = band.name.ends_with("_nm");
    const std::string unit = in_feet ? "_msl_ft" : in_miles ? "_nm" : "";
    const auto value = [&](const std::optional<float>& extreme) -> Json {
        if (!extreme) {
            return nullptr;
        }
        if (in_miles) {
            return hundredths(static_cast<double>(*extreme));
        }
        return std::lround(*extreme);
    };
    json["least" + unit] = value(band.least);
    json["most" + unit] = value(band.most);
}

}  // namespace

std::string hear_along_json(const navdata::Snapshot& world, const flight::Strip& strip,
                            const std::string& title, bool planned) {
    Json json = document(world, strip.mode);
    Json along{{"title", title},
               {"planned", planned},
               {"distance_nm", miles(strip.length)},
               {"marks", Json::array()},
               {"flown", Json::array()},
               {"ground", Json::array()},
               {"minimums", Json::array()},
               {"lanes", Json::array()}};
    for (const flight::StripMark& mark : strip.marks) {
        along["marks"].push_back({{"ident", mark.ident}, {"along_nm", miles(mark.along)}});
    }
    for (const radio::PathPoint& point : strip.path) {
        along["flown"].push_back({{"along_nm", miles(point.along)},
                                  {"place", place(point.place)},
                                  {"altitude_msl_ft", feet(point.altitude)}});
    }
    for (const flight::GroundUnder& under : strip.ground) {
        along["ground"].push_back(
            {{"along_nm", miles(under.along)}, {"elevation_msl_ft", feet(under.ground)}});
    }
    for (const flight::StripMinimum& minimum : strip.minimums) {
        along["minimums"].push_back({{"from_nm", miles(minimum.from)},
                                     {"to_nm", miles(minimum.to)},
                                     {"minimum_msl_ft", feet(minimum.minimum)}});
    }
    for (const flight::StripLane& lane : strip.lanes) {
        Json bars = Json::array();
        for (const flight::StripBar& bar : lane.bars) {
            bars.push_back(bar_json(bar));
        }
        along["lanes"].push_back(
            {{"station", detail::station_json(world[lane.station])},
             {"part", plan::word_of(lane.part)},
             {"bars", std::move(bars)},
             {"lowest_over_all_msl_ft",
              lane.over_all ? Json(std::ceil(lane.over_all->lowest.altitude.feet())) : Json(nullptr)},
             {"lowest_over_all_asked_at_nm", lane.over_all ? miles(lane.over_all->at) : Json(nullptr)}});
    }
    json["along"] = std::move(along);
    return json.dump(2);
}

std::string hear_nothing_json(const navdata::Snapshot& world, radio::ReceptionMode mode,
                              const std::string& no_way) {
    Json json = document(world, mode);
    json["no_way"] = no_way;
    return json.dump(2);
}

std::string hear_points_json(const navdata::Snapshot& world, radio::ReceptionMode mode,
                             std::span<const HeardPoint> points) {
    Json json = document(world, mode);
    json["points"] = Json::array();
    for (const HeardPoint& point : points) {
        Json parts = Json::array();
        for (const HeardPart& part : point.parts) {
            parts.push_back(part_json(world, part));
        }
        json["points"].push_back({{"place", place(point.place)},
                                  {"altitude_msl_ft", feet(point.altitude)},
                                  {"parts", std::move(parts)}});
    }
    return json.dump(2);
}

std::string hear_map_json(const navdata::Snapshot& world, const MapAccount& account) {
    Json json = document(world, account.mode);
    Json map{{"file", account.file},
             {"north_west", place(account.grid.north_west)},
             {"cell_deg", account.grid.cell.degrees()},
             {"columns", account.grid.columns},
             {"rows", account.grid.rows},
             {"altitude_msl_ft", feet(account.altitude)},
             {"bands", Json::array()},
             {"cells_over_unknown_ground", account.cells_over_unknown_ground}};
    if (!account.station.empty()) {
        map["station"] = account.station;
    }
    if (!account.picture.empty()) {
        map["picture"] = account.picture;
    }
    for (const MapAccount::Band& band : account.bands) {
        Json json_band{{"name", band.name}, {"cells", band.cells}};
        add_extremes(json_band, band);
        map["bands"].push_back(std::move(json_band));
    }
    json["map"] = std::move(map);
    return json.dump(2);
}

}  // namespace omniway::wire
