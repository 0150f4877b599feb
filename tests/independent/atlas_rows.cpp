#include "atlas_rows.hpp"

#include <cstdio>
#include <memory>
#include <stdexcept>

#include <sqlite3.h>

namespace independent {

namespace {

constexpr double radian = 1.0 / degree;

class Rows {
public:
    Rows(sqlite3* file, const std::string& question) {
        sqlite3_stmt* made = nullptr;
        if (sqlite3_prepare_v2(file, question.c_str(), -1, &made, nullptr) != SQLITE_OK) {
            throw std::runtime_error(std::string("the atlas: ") + sqlite3_errmsg(file));
        }
        row_.reset(made);
    }
    bool next() {
        column_ = 0;
        return sqlite3_step(row_.get()) == SQLITE_ROW;
    }
    std::string text() {
        const unsigned char* value = sqlite3_column_text(row_.get(), column_++);
        return value == nullptr ? "" : reinterpret_cast<const char*>(value);
    }
    std::optional<double> number(double factor = 1.0) {
        const int at = column_++;
        return sqlite3_column_type(row_.get(), at) == SQLITE_NULL
                   ? std::nullopt
                   : std::optional(sqlite3_column_double(row_.get(), at) * factor);
    }
    std::optional<Place> place() {
        const auto latitude = number(), longitude = number();
        return latitude && longitude ? std::optional(Place{*latitude, *longitude}) : std::nullopt;
    }

private:
    struct Finalize {
        void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
    };
    std::unique_ptr<sqlite3_stmt, Finalize> row_;
    int column_ = 0;
};

constexpr double feet = 1.0 / metres_per_foot;
constexpr double miles = 1.0 / metres_per_nm;

// Localizer categories of ARINC 424-18 5.80: L and A are LDA with and without a glideslope, S and F are SDF.
std::string kind_of(const Aid& aid, const std::string& category) {
    std::string kind = "DME";
    if (aid.family == "vor" || aid.family == "ndb") {
        kind = aid.family == "vor" ? "VOR" : "NDB";
    } else if (aid.family == "tacan") {
        return "TACAN";
    } else if (aid.family == "localizer") {
        const bool offset = category == "L" || category == "A",
                   simplified = category == "S" || category == "F";
        kind = offset || simplified ? std::string(offset ? "LDA" : "SDF") + (aid.glideslope ? "/GS" : "")
               : aid.glideslope     ? "ILS"
                                    : "LOC";
    } else {
        return kind;
    }
    return kind + (aid.dme ? "/DME" : "");
}

void read_stations(sqlite3* file, AtlasRows& atlas) {
    Rows rows(file,
              "SELECT ident, azimuth, airport, azimuth_service, frequency_hz, azimuth_latitude_deg, "
              "azimuth_longitude_deg,"
              " declination_east_rad, localizer_course_deg, localizer_category, glideslope_latitude_deg,"
              " glideslope_angle_rad, glideslope_crossing_height_m, localizer_runway,"
              " dme_latitude_deg, dme_longitude_deg, dme_elevation_m, dme_bias_m FROM station");
    while (rows.next()) {
        Aid aid;
        aid.ident = rows.text();
        aid.family = rows.text();
        aid.airport = rows.text();
        aid.service = rows.text();
        aid.frequency = *rows.number() / (aid.family == "ndb" ? 1e3 : 1e6);
        aid.azimuth = rows.place();
        aid.declination = rows.number(radian).value_or(0.0);
        aid.localizer_course = rows.number();
        const std::string category = rows.text();
        aid.glideslope = rows.number().has_value();
        aid.glideslope_angle_deg = rows.number(radian);
        aid.glideslope_crossing_ft = rows.number(feet);
        aid.runway = rows.text();
        if (const auto where = rows.place()) {
            const auto elevation = rows.number(feet), bias = rows.number(miles);
            aid.dme = Distance{*where, elevation.value_or(0.0), bias.value_or(0.0)};
        }
        aid.kind = kind_of(aid, category);
        atlas.points.emplace(aid.ident, aid.site());
        atlas.aids.push_back(aid);
    }
}

void read_points(sqlite3* file, AtlasRows& atlas) {
    Rows fixes(file, "SELECT ident, latitude_deg, longitude_deg FROM fix");
    while (fixes.next()) {
        const std::string ident = fixes.text();
        atlas.points.emplace(ident, *fixes.place());
    }
    Rows airports(file, "SELECT ident, latitude_deg, longitude_deg, elevation_m FROM airport");
    while (airports.next()) {
        const std::string ident = airports.text();
        atlas.airports[ident] = *airports.place();
        if (const auto elevation = airports.number(feet)) {
            atlas.elevations_ft[ident] = *elevation;
        }
    }
    Rows runways(
        file,
        "SELECT airport, ident, threshold_latitude_deg, threshold_longitude_deg, elevation_m FROM runway");
    while (runways.next()) {
        const std::string airport = runways.text(), ident = runways.text();
        if (const auto where = runways.place()) {
            atlas.runways[airport + "/" + ident] = {*where, runways.number(feet)};
        }
    }
}

void read_airways(sqlite3* file, AtlasRows& atlas) {
    Rows rows(file,
              "SELECT area, designator, point_ident, ends_continuous_part, route_type, direction,"
              " minimum_published, minimum_m, minimum_backward_published, minimum_backward_m, maximum_m"
              " FROM airway_row ORDER BY area, designator, sequence");
    while (rows.next()) {
        const std::string area = rows.text(), designator = rows.text();
        AirwayRow row;
        row.point = rows.text();
        row.ends = *rows.number() != 0.0;
        row.type = rows.text();
        row.direction = rows.text();
        row.minimum_unknown = rows.text() == "not_known";
        row.minimum_ft = rows.number(feet);
        row.backward_unknown = rows.text() == "not_known";
        row.backward_ft = rows.number(feet);
        row.maximum_ft = rows.number(feet);
        atlas.airways[designator + " " + area].push_back(row);
    }
}

void read_procedures(sqlite3* file, AtlasRows& atlas) {
    Rows rows(file,
              "SELECT airport, kind, procedure.ident, route_type, transition, procedure_branch_id, sequence, "
              "terminator,"
              " fix_ident, recommended_ident, turn, altitude_rule, altitude_1_m, altitude_2_m, course_deg,"
              " course_is_true, description FROM procedure JOIN procedure_branch USING (procedure_id)"
              " JOIN procedure_leg USING (procedure_branch_id) ORDER BY procedure_leg_id");
    while (rows.next()) {
        const std::string airport = rows.text();
        CodedLeg leg;
        leg.procedure_kind = rows.text();
        leg.procedure = rows.text();
        leg.route_type = rows.text();
        leg.transition = rows.text();
        leg.branch = static_cast<int>(*rows.number());
        leg.sequence = static_cast<int>(*rows.number());
        leg.terminator = rows.text();
        leg.fix = rows.text();
        leg.recommended = rows.text();
        leg.turn = rows.text();
        leg.rule = rows.text();
        leg.altitude_1_ft = rows.number(feet);
        leg.altitude_2_ft = rows.number(feet);
        leg.course_deg = rows.number();
        leg.course_is_true = rows.number().value_or(0.0) != 0.0;
        leg.description = rows.text();
        atlas.legs[airport].push_back(leg);
    }
}

void read_voice(sqlite3* file, AtlasRows& atlas) {
    Rows rows(file, "SELECT airport, type, frequency_hz FROM communication");
    while (rows.next()) {
        const std::string airport = rows.text(), type = rows.text();
        char text[64];
        std::snprintf(text, sizeof text, "%s %.3f", type.c_str(), *rows.number(1e-6));
        atlas.frequencies[airport].insert(text);
    }
}

}  // namespace

AtlasRows read_atlas(const std::string& file) {
    sqlite3* opened = nullptr;
    const int status = sqlite3_open_v2(("file:" + file + "?immutable=1").c_str(), &opened,
                                       SQLITE_OPEN_READONLY | SQLITE_OPEN_URI, nullptr);
    const std::unique_ptr<sqlite3, int (*)(sqlite3*)> closes(opened, sqlite3_close);
    if (status != SQLITE_OK) {
        throw std::runtime_error("cannot read the atlas " + file);
    }
    AtlasRows atlas;
    read_stations(opened, atlas);
    read_points(opened, atlas);
    read_airways(opened, atlas);
    read_procedures(opened, atlas);
    read_voice(opened, atlas);
    return atlas;
}

}  // namespace independent
