// The independent checker of a printed plan: reads the raw columns of ARINC 424-18 (and the navaids table of OurAirports)
// by itself, and computes again what `omniway plan --json` prints. It shares no code with src/ and must never include it.
//
//     check_plan --arinc FILE... [--navaids FILE] PLAN.json
//     check_plan --arinc FILE... [--navaids FILE] --plans PLAN.json...
//
// Each value that the rows contradict is one line "WRONG ...", then one line of summary for each plan. Exit status 0 nothing
// wrong, 1 something wrong, 2 could not be checked at all.
//
// Sources: the columns are those of the FAA's published rows as listed in ARINC 424-18 (1-based, inclusive); the geodesic is
// T. Vincenty, Survey Review XXIII 176 (1975), on WGS 84; Morse is Recommendation ITU-R M.1677-1; the ranges of T, L and H
// aids are those of AIM 1-1-8.

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <iostream>
#include <map>
#include <optional>
#include <set>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "directions.hpp"
#include "morse_code.hpp"

namespace {

using Json = nlohmann::json;
using independent::apart;
using independent::around;
using independent::degree;
using independent::Line;
using independent::metres_per_foot;
using independent::metres_per_nm;
using independent::morse;
using independent::Place;

constexpr double equatorial_radius_m = 6378137.0;
constexpr double flattening = 1.0 / 298.257223563;

// On the great circle of a sphere, by the share of the way: within some metres of the geodesic on a leg of 100 NM.
Place on_the_way(Place a, Place b, double share) {
    const auto unit = [](Place p) {
        return std::array{std::cos(p.latitude * degree) * std::cos(p.longitude * degree),
                          std::cos(p.latitude * degree) * std::sin(p.longitude * degree),
                          std::sin(p.latitude * degree)};
    };
    const auto from = unit(a), to = unit(b);
    const double angle =
        std::acos(std::clamp(from[0] * to[0] + from[1] * to[1] + from[2] * to[2], -1.0, 1.0));
    const double p = angle > 0.0 ? std::sin((1.0 - share) * angle) / std::sin(angle) : 1.0;
    const double q = angle > 0.0 ? std::sin(share * angle) / std::sin(angle) : 0.0;
    const double x = p * from[0] + q * to[0], y = p * from[1] + q * to[1], z = p * from[2] + q * to[2];
    return {std::atan2(z, std::hypot(x, y)) / degree, std::atan2(y, x) / degree};
}

// Vincenty's inverse solution.
Line between(Place a, Place b) {
    if (std::abs(a.latitude - b.latitude) < 1e-12 && std::abs(a.longitude - b.longitude) < 1e-12) {
        return {};
    }
    const double semi_minor = equatorial_radius_m * (1.0 - flattening);
    const double u1 = std::atan((1.0 - flattening) * std::tan(a.latitude * degree));
    const double u2 = std::atan((1.0 - flattening) * std::tan(b.latitude * degree));
    const double difference = apart(b.longitude, a.longitude) * degree;
    double lambda = difference;
    double sin_sigma = 0.0, cos_sigma = 0.0, sigma = 0.0, cos2_alpha = 0.0, cos_2sigma_m = 0.0;
    for (int round = 0; round < 200; ++round) {
        const double cross = std::cos(u2) * std::sin(lambda);
        const double along = std::cos(u1) * std::sin(u2) - std::sin(u1) * std::cos(u2) * std::cos(lambda);
        sin_sigma = std::hypot(cross, along);
        cos_sigma = std::sin(u1) * std::sin(u2) + std::cos(u1) * std::cos(u2) * std::cos(lambda);
        sigma = std::atan2(sin_sigma, cos_sigma);
        const double sin_alpha = std::cos(u1) * std::cos(u2) * std::sin(lambda) / sin_sigma;
        cos2_alpha = 1.0 - sin_alpha * sin_alpha;
        cos_2sigma_m = cos2_alpha == 0.0 ? 0.0 : cos_sigma - 2.0 * std::sin(u1) * std::sin(u2) / cos2_alpha;
        const double c = flattening / 16.0 * cos2_alpha * (4.0 + flattening * (4.0 - 3.0 * cos2_alpha));
        const double next =
            difference +
            (1.0 - c) * flattening * sin_alpha *
                (sigma +
                 c * sin_sigma * (cos_2sigma_m + c * cos_sigma * (-1.0 + 2.0 * cos_2sigma_m * cos_2sigma_m)));
        const double moved = std::abs(next - lambda);
        lambda = next;
        if (moved < 1e-13) {
            break;
        }
    }
    const double u_squared = cos2_alpha *
                             (equatorial_radius_m * equatorial_radius_m - semi_minor * semi_minor) /
                             (semi_minor * semi_minor);
    const double big_a =
        1.0 + u_squared / 16384.0 * (4096.0 + u_squared * (-768.0 + u_squared * (320.0 - 175.0 * u_squared)));
    const double big_b =
        u_squared / 1024.0 * (256.0 + u_squared * (-128.0 + u_squared * (74.0 - 47.0 * u_squared)));
    const double square = cos_2sigma_m * cos_2sigma_m;
    const double delta =
        big_b * sin_sigma *
        (cos_2sigma_m +
         big_b / 4.0 *
             (cos_sigma * (-1.0 + 2.0 * square) -
              big_b / 6.0 * cos_2sigma_m * (-3.0 + 4.0 * sin_sigma * sin_sigma) * (-3.0 + 4.0 * square)));
    const double out =
        std::atan2(std::cos(u2) * std::sin(lambda),
                   std::cos(u1) * std::sin(u2) - std::sin(u1) * std::cos(u2) * std::cos(lambda));
    const double in =
        std::atan2(std::cos(u1) * std::sin(lambda),
                   -std::sin(u1) * std::cos(u2) + std::cos(u1) * std::sin(u2) * std::cos(lambda));
    return {semi_minor * big_a * (sigma - delta) / metres_per_nm, around(out / degree), around(in / degree)};
}

// Straight through the air, from Earth-centred coordinates.
double slant_nm(Place a, double a_ft, Place b, double b_ft) {
    const auto centred = [](Place p, double feet) {
        const double e2 = flattening * (2.0 - flattening);
        const double s = std::sin(p.latitude * degree), c = std::cos(p.latitude * degree);
        const double n = equatorial_radius_m / std::sqrt(1.0 - e2 * s * s);
        const double h = feet * metres_per_foot;
        return std::array<double, 3>{(n + h) * c * std::cos(p.longitude * degree),
                                     (n + h) * c * std::sin(p.longitude * degree), (n * (1.0 - e2) + h) * s};
    };
    const auto from = centred(a, a_ft), to = centred(b, b_ft);
    return std::hypot(from[0] - to[0], from[1] - to[1], from[2] - to[2]) / metres_per_nm;
}

std::string trimmed(std::string text) {
    text.erase(text.find_last_not_of(" \r\n") + 1);
    text.erase(0, text.find_first_not_of(' '));
    return text;
}

std::string columns(const std::string& row, std::size_t first, std::size_t last) {
    return row.size() < first ? "" : row.substr(first - 1, last - first + 1);
}

std::optional<double> number(const std::string& text) {
    const std::string digits = trimmed(text);
    try {
        std::size_t used = 0;
        const double value = std::stod(digits, &used);
        return used == digits.size() ? std::optional(value) : std::nullopt;
    } catch (const std::exception&) {
        return std::nullopt;
    }
}

std::optional<double> tenths(const std::string& text) {
    const auto value = number(text);
    return value ? std::optional(*value / 10.0) : std::nullopt;
}

std::optional<Place> place_at(const std::string& row, std::size_t first) {
    const std::string north = columns(row, first, first + 8), east = columns(row, first + 9, first + 18);
    const auto angle = [](const std::string& text, std::size_t width) -> std::optional<double> {
        const auto d = number(text.substr(1, width)), m = number(text.substr(1 + width, 2)),
                   s = number(text.substr(3 + width, 4));
        if (!d || !m || !s) {
            return std::nullopt;
        }
        const double value = *d + *m / 60.0 + *s / 360000.0;
        return text[0] == 'S' || text[0] == 'W' ? -value : value;
    };
    if (north.size() < 9 || east.size() < 10 || (north[0] != 'N' && north[0] != 'S')) {
        return std::nullopt;
    }
    const auto latitude = angle(north, 2), longitude = angle(east, 3);
    return latitude && longitude ? std::optional(Place{*latitude, *longitude}) : std::nullopt;
}

std::optional<double> declination_at(const std::string& row, std::size_t first) {
    const std::string text = columns(row, first, first + 4);
    const auto value = text.size() == 5 ? tenths(text.substr(1)) : std::nullopt;
    if (!value) {
        return std::nullopt;
    }
    return text[0] == 'W' ? -*value : text[0] == 'E' ? *value : 0.0;
}

struct Dme {
    Place place;
    double elevation_ft{};
    double bias_nm{};
};

struct Aid {
    std::string ident;
    std::string kind;  // VOR, TACAN, NDB, LOC or DME
    std::string airport;
    double frequency{};  // MHz, an NDB's in kHz
    std::optional<Place> azimuth;
    std::optional<Dme> dme;
    std::optional<double> declination;
    std::optional<double> localizer_course;
    bool glideslope{};
    char range{' '};
};

struct AirwayPoint {
    int sequence{};
    std::string fix;
    std::optional<Place> place;
    bool ends{};  // column 41
    char type{};
    char direction{};
    std::optional<double> minimum, second_minimum, maximum, distance_nm;
};

struct RunwayRow {
    double length_ft{};
    std::optional<double> magnetic;
    std::optional<Place> place;
};

struct Raw {
    std::vector<Aid> aids;
    std::multimap<std::string, Place> points;                      // by ident; those of airports "KBOS/RW04R"
    std::map<std::string, std::vector<AirwayPoint>> airways;       // by route
    std::vector<std::pair<Place, double>> variations;              // airports
    std::map<std::string, double> variation_of;                    // airport
    std::map<std::string, RunwayRow> runways;                      // "KBOS/RW04R"
    std::map<std::string, std::set<std::string>> approach_points;  // airport, idents
};

void read_arinc(const std::string& file, Raw& raw) {
    std::ifstream in(file);
    if (!in) {
        throw std::runtime_error("cannot read " + file);
    }
    std::vector<Aid> airport_dmes;
    std::size_t rows = 0;
    for (std::string row; std::getline(in, row);) {
        if (columns(row, 1, 1) != "S" || row.size() < 123) {
            continue;
        }
        ++rows;
        const std::string two = columns(row, 5, 6);
        const char third = two[0] == 'P' && two[1] == ' ' ? row[12] : '-';
        const std::string airport = trimmed(columns(row, 7, 10));
        const auto primary = [&row](std::size_t column) {
            return row[column - 1] == '0' || row[column - 1] == '1';
        };
        const auto near = [&raw](const std::string& ident, std::optional<Place> where) {
            if (where) {
                raw.points.emplace(ident, *where);
            }
        };
        if (two == "D " && primary(22)) {
            Aid aid{.ident = trimmed(columns(row, 14, 17)),
                    .kind = row[27] == 'V'                     ? "VOR"
                            : row[28] == 'T' || row[28] == 'M' ? "TACAN"
                                                               : "DME",
                    .airport = airport,
                    .frequency = number(columns(row, 23, 27)).value_or(0.0) / 100.0,
                    .azimuth = place_at(row, 33),
                    .dme = {},
                    .declination = declination_at(row, 75),
                    .localizer_course = {},
                    .glideslope = false,
                    .range = row[29]};
            const auto distance_place = place_at(row, 56);
            if (row[28] != ' ') {
                if (const auto where = distance_place ? distance_place : aid.azimuth) {
                    aid.dme = Dme{*where, number(columns(row, 80, 84)).value_or(0.0),
                                  tenths(columns(row, 86, 87)).value_or(0.0)};
                }
            }
            near(aid.ident, aid.azimuth ? aid.azimuth : distance_place);
            (row[28] == 'I' ? airport_dmes : raw.aids).push_back(aid);
        } else if ((two == "DB" || two == "PN") && primary(22)) {
            Aid aid{.ident = trimmed(columns(row, 14, 17)),
                    .kind = "NDB",
                    .airport = airport,
                    .frequency = number(columns(row, 23, 27)).value_or(0.0) / 10.0,
                    .azimuth = place_at(row, 33),
                    .dme = {},
                    .declination = {},
                    .localizer_course = {},
                    .glideslope = false,
                    .range = row[29]};
            near(aid.ident, aid.azimuth);
            raw.aids.push_back(aid);
        } else if (third == 'I' && primary(22)) {
            const char category = row[17];
            raw.aids.push_back({.ident = trimmed(columns(row, 14, 17)),
                                .kind = category == 'L' || category == 'A'   ? "LDA"
                                        : category == 'S' || category == 'F' ? "SDF"
                                                                             : "LOC",
                                .airport = airport,
                                .frequency = number(columns(row, 23, 27)).value_or(0.0) / 100.0,
                                .azimuth = place_at(row, 33),
                                .dme = {},
                                .declination = declination_at(row, 91),
                                .localizer_course = tenths(columns(row, 52, 55)),
                                .glideslope = place_at(row, 56).has_value(),
                                .range = ' '});
        } else if (two == "EA" || third == 'C') {
            near(trimmed(columns(row, 14, 18)), place_at(row, 33));
            // The dynamic variation of a waypoint is that of the model; an airport's may be decades old.
            if (const auto variation = declination_at(row, 75); variation && place_at(row, 33)) {
                raw.variations.emplace_back(*place_at(row, 33), *variation);
            }
        } else if (third == 'G') {
            const std::string name = airport + "/" + trimmed(columns(row, 14, 18));
            near(name, place_at(row, 33));
            raw.runways[name] = {number(columns(row, 23, 27)).value_or(0.0), tenths(columns(row, 28, 31)),
                                 place_at(row, 33)};
        } else if (third == 'A' && primary(22)) {
            near(airport, place_at(row, 33));
            if (const auto variation = declination_at(row, 52); variation && place_at(row, 33)) {
                raw.variation_of[airport] = *variation;
            }
        } else if (third == 'F') {
            raw.approach_points[airport].insert(trimmed(columns(row, 30, 34)));
        } else if (two == "ER" && primary(39)) {
            raw.airways[trimmed(columns(row, 14, 19))].push_back(
                {.sequence = static_cast<int>(number(columns(row, 26, 29)).value_or(0.0)),
                 .fix = trimmed(columns(row, 30, 34)),
                 .place = {},
                 .ends = row[40] == 'E',
                 .type = row[44],
                 .direction = row[46],
                 .minimum = number(columns(row, 84, 88)),
                 .second_minimum = number(columns(row, 89, 93)),
                 .maximum = number(columns(row, 94, 98)),
                 .distance_nm = tenths(columns(row, 75, 78))});
        }
    }
    if (rows == 0) {
        throw std::runtime_error("no ARINC 424 rows in " + file);
    }
    for (Aid& aid : airport_dmes) {
        const auto whole = std::find_if(raw.aids.begin(), raw.aids.end(), [&aid](const Aid& other) {
            return (other.kind == "LOC" || other.kind == "LDA" || other.kind == "SDF") &&
                   other.ident == aid.ident && other.airport == aid.airport;
        });
        if (whole == raw.aids.end()) {
            raw.aids.push_back(aid);
        } else {
            whole->dme = aid.dme;
        }
    }
    for (auto& [name, points] : raw.airways) {
        std::sort(points.begin(), points.end(),
                  [](const AirwayPoint& a, const AirwayPoint& b) { return a.sequence < b.sequence; });
    }
}

std::vector<std::string> split_csv(const std::string& row) {
    std::vector<std::string> fields(1);
    bool quoted = false;
    for (const char c : row) {
        if (c == '"') {
            quoted = !quoted;
        } else if (c == ',' && !quoted) {
            fields.emplace_back();
        } else if (c != '\r') {
            fields.back() += c;
        }
    }
    return fields;
}

void read_navaids(const std::string& file, Raw& raw) {
    std::ifstream in(file);
    std::string row;
    if (!std::getline(in, row)) {
        throw std::runtime_error("cannot read " + file);
    }
    const std::vector<std::string> names = split_csv(row);
    while (std::getline(in, row)) {
        const std::vector<std::string> fields = split_csv(row);
        std::map<std::string, std::string> field;
        for (std::size_t i = 0; i < std::min(names.size(), fields.size()); ++i) {
            field[names[i]] = fields[i];
        }
        const auto value = [&field](const char* name) { return number(field[name]); };
        const auto latitude = value("latitude_deg"), longitude = value("longitude_deg");
        const std::string type = field.at("type");
        if (!latitude || !longitude) {
            continue;
        }
        const bool beacon = type.starts_with("NDB");
        Aid aid{.ident = field.at("ident"),
                .kind = beacon                    ? "NDB"
                        : type.starts_with("VOR") ? "VOR"
                        : type == "TACAN"         ? "TACAN"
                                                  : "DME",
                .airport = field.at("associated_airport"),
                .frequency = value("frequency_khz").value_or(0.0) / (beacon ? 1.0 : 1000.0),
                .azimuth = Place{*latitude, *longitude},
                .dme = {},
                .declination = value("slaved_variation_deg") ? value("slaved_variation_deg")
                                                             : value("magnetic_variation_deg"),
                .localizer_course = {},
                .glideslope = false,
                .range = ' '};
        if (type.find("DME") != std::string::npos || type == "VORTAC" || type == "TACAN") {
            const auto dme_latitude = value("dme_latitude_deg"), dme_longitude = value("dme_longitude_deg");
            const auto elevation =
                value("dme_elevation_ft") ? value("dme_elevation_ft") : value("elevation_ft");
            aid.dme = Dme{dme_latitude && dme_longitude ? Place{*dme_latitude, *dme_longitude} : *aid.azimuth,
                          elevation.value_or(0.0), 0.0};
        }
        raw.points.emplace(aid.ident, *aid.azimuth);
        raw.aids.push_back(aid);
    }
}

class Check {
public:
    Check(const Raw& raw, const Json& plan)
        : raw_(raw), plan_(plan), destination_(plan.at("to").at("ident")) {
        int from = 0, speed = 0;
        const std::string wind = plan.at("wind").get<std::string>();
        if (std::sscanf(wind.c_str(), "%d/%d", &from, &speed) == 2) {
            wind_from_ = from;
            wind_kt_ = speed;
        }
    }

    int run() {
        const Json& flight = plan_.at("flight");
        if (flight.is_null()) {
            std::cout << "no flight in this plan: nothing to check\n";
            return 0;
        }
        for (const char* part : {"steps", "missed_approach"}) {
            check_part(flight.at(part));
        }
        check_totals(flight);
        check_top_of_descent(flight);
        check_level_changes(flight);
        for (const char* end : {"departure_runway", "arrival_runway"}) {
            check_runway(flight.at(end), plan_.at(end[0] == 'd' ? "from" : "to").at("ident"));
        }
        std::cout << "checked " << checked_ << " values in " << steps_ << " steps: " << wrong_ << " wrong, ";
        std::size_t total = 0;
        std::string reasons;
        for (const auto& [reason, count] : skipped_) {
            total += count;
            reasons += (reasons.empty() ? "" : ", ") + std::to_string(count) + " " + reason;
        }
        std::cout << total << " skipped" << (reasons.empty() ? "" : " (" + reasons + ")") << "\n";
        return wrong_ == 0 ? 0 : 1;
    }

private:
    void ensure(bool right, const std::string& what) {
        ++checked_;
        if (!right) {
            ++wrong_;
            std::cout << "WRONG " << where_ << ": " << what << "\n";
        }
    }
    void near(double printed, double raw, double tolerance, const std::string& what) {
        std::ostringstream text;
        text << what << " printed " << printed << ", from the rows " << raw;
        ensure(std::abs(printed - raw) <= tolerance, text.str());
    }
    void near_angle(double printed, double raw, double tolerance, const std::string& what) {
        std::ostringstream text;
        text << what << " printed " << printed << ", from the rows " << raw;
        ensure(std::abs(apart(printed, raw)) <= tolerance, text.str());
    }
    void skip(const std::string& reason) { ++skipped_[reason]; }

    static Place place(const Json& json) { return {json.at("latitude_deg"), json.at("longitude_deg")}; }

    // The raw row of a station named in the plan; says what is wrong with its ident, place, kind, frequency and Morse.
    const Aid* station(const Json& json) {
        const std::string ident = json.at("ident"), kind = json.at("kind");
        const std::string wanted = kind.starts_with("VOR")                              ? "VOR"
                                   : kind.starts_with("NDB")                            ? "NDB"
                                   : kind.starts_with("ILS") || kind.starts_with("LOC") ? "LOC"
                                   : kind.starts_with("LDA")                            ? "LDA"
                                   : kind.starts_with("SDF")                            ? "SDF"
                                                                                        : kind;
        const Place site = place(json.at("site"));
        const Aid* found = nullptr;
        double nearest = 1e9;
        for (const Aid& aid : raw_.aids) {
            const auto where = aid.azimuth ? aid.azimuth
                               : aid.dme   ? std::optional(aid.dme->place)
                                           : std::nullopt;
            if (aid.ident != ident || aid.kind != wanted || !where) {
                continue;
            }
            if (const double away = between(*where, site).nm; away < nearest) {
                nearest = away;
                found = &aid;
            }
        }
        if (found == nullptr) {
            ensure(false, "no row of a " + wanted + " " + ident);
            return nullptr;
        }
        near(nearest, 0.0, 0.01, "site of " + ident + ", NM from its row:");
        near(json.contains("frequency_khz") ? json.at("frequency_khz").get<double>()
                                            : json.at("frequency_mhz").get<double>(),
             found->frequency, 0.006, "frequency of " + ident);
        ensure(json.at("morse") == morse(ident),
               "morse of " + ident + " printed " + json.at("morse").get<std::string>());
        if (kind.ends_with("DME")) {
            ensure(found->dme.has_value(), ident + " is called " + kind + ", its row has no DME");
        }
        if (wanted == "LOC" || wanted == "LDA" || wanted == "SDF") {
            ensure(found->glideslope == (kind.starts_with("ILS") || kind.find("/GS") != std::string::npos),
                   ident + " is called " + kind + ", its row says otherwise of a glideslope");
        }
        if (json.contains("dme_site") && found->dme) {
            near(between(place(json.at("dme_site")), found->dme->place).nm, 0.0, 0.01,
                 "DME site of " + ident + ", NM from its row:");
        }
        return found;
    }

    // Whether a place lies on a line out of a station: within the angle, or within 0.1 NM across it where close in.
    void on_line(Place origin, double true_course, Place where, double tolerance_deg,
                 const std::string& what) {
        const Line line = between(origin, where);
        if (line.nm < 0.1) {
            skip("place at the station itself");
            return;
        }
        const double off = apart(line.start_deg, true_course);
        const double across = std::abs(line.nm * std::sin(off * degree));
        std::ostringstream text;
        text << what << ": " << off << " degrees, " << across << " NM off at " << line.nm << " NM";
        ensure(std::abs(off) <= tolerance_deg || (across <= 0.1 && std::abs(off) < 90.0), text.str());
    }

    void telling(const Json& told, Place where, double altitude_ft) {
        const std::string kind = told.at("kind");
        if (kind == "time_from_final_fix") {
            skip("told by time");
            return;
        }
        const Aid* aid = station(told.at("station"));
        if (aid == nullptr) {
            return;
        }
        if (kind == "overhead") {
            // Two sources may place the beacon and the fix upon it a little apart.
            near(between(*aid->azimuth, where).nm, 0.0, 0.1, aid->ident + " overhead, NM from its row:");
        } else if (kind == "dme") {
            slant(*aid, told.at("slant_range_nm"), where, altitude_ft);
        } else if (kind == "crossing_radial") {
            radial(*aid, told.at("radial_deg"), where, "crossing radial");
        } else if (kind == "crossing_bearing") {
            near_angle(told.at("bearing_to_station_true_deg"), between(where, *aid->azimuth).start_deg, 0.2,
                       "bearing to " + aid->ident);
        } else if (kind == "crossing_localizer") {
            on_localizer(*aid, where);
        } else {
            ensure(false, "a telling of a kind unknown here: " + kind);
        }
    }

    void slant(const Aid& aid, double printed, Place where, double altitude_ft) {
        ensure(aid.dme.has_value(), "a distance is read from " + aid.ident + ", its row has no DME");
        if (aid.dme) {
            near(printed,
                 slant_nm(where, altitude_ft, aid.dme->place, aid.dme->elevation_ft) - aid.dme->bias_nm, 0.02,
                 "slant range of " + aid.ident);
        }
    }

    void radial(const Aid& aid, double printed, Place where, const std::string& what) {
        ensure(aid.declination.has_value(), aid.ident + " has no declination in its row");
        if (aid.declination && aid.azimuth) {
            on_line(*aid.azimuth, printed + *aid.declination, where, 0.2,
                    what + " " + std::to_string(printed) + " of " + aid.ident);
        }
    }

    void on_localizer(const Aid& aid, Place where) {
        const double outward = *aid.localizer_course + 180.0 + aid.declination.value_or(0.0);
        // Beyond the antenna (a missed approach, a back course) the line goes on.
        const double off = std::abs(apart(between(*aid.azimuth, where).start_deg, outward));
        // Its zero is known to the whole degree only (so all rows of the real part have columns 91-95), hence half a degree.
        on_line(*aid.azimuth, off > 90.0 ? outward + 180.0 : outward, where, 0.5,
                "localizer of " + aid.ident);
    }

    void guidance(const Json& step, double altitude_at_start, bool has_length) {
        const Json& g = step.at("guidance");
        const std::string kind = g.at("kind");
        const Place start = place(step.at("start")), finish = place(step.at("finish"));
        if (kind == "heading") {
            if (has_length) {
                near_angle(g.at("track_true_deg"), between(start, finish).start_deg, 0.5, "true track");
            }
            return;
        }
        const Aid* aid = station(g.at("station"));
        if (aid == nullptr || kind == "arc") {
            return;
        }
        const bool toward = g.at("direction") == "to";
        if (!aid->azimuth) {
            ensure(false, aid->ident + " gives no direction");
            return;
        }
        const double before = between(*aid->azimuth, start).nm, after = between(*aid->azimuth, finish).nm;
        const Place far = before > after ? start : finish, close = before > after ? finish : start;
        if (kind == "radial") {
            near_angle(g.at("course_to_set_deg"), g.at("radial_deg").get<double>() + (toward ? 180.0 : 0.0),
                       0.02, "course to set against the radial " + std::string(toward ? "TO" : "FROM"));
            if (has_length) {
                radial(*aid, g.at("radial_deg"), far, "radial");
                radial(*aid, g.at("radial_deg"), close, "radial");
            }
        } else if (kind == "beacon") {
            if (has_length) {
                // Anything between the directions at both ends of the step (meridians converge along it), and what a line turns that
                // passes a tenth of a mile beside the beacon, half a degree at least.
                const Line line = between(start, finish);
                const double turn = std::abs(apart(line.start_deg, line.finish_deg));
                const double beside = std::asin(std::min(1.0, 0.1 / between(*aid->azimuth, far).nm)) / degree;
                near_angle(g.at("track_true_deg"), line.start_deg, std::max(0.6, beside + 0.1) + turn,
                           "track by beacon " + aid->ident);
                const double printed = g.at("track_true_deg");
                on_line(*aid->azimuth, printed + (toward ? 180.0 : 0.0), far, 0.2 + turn,
                        "track by beacon " + aid->ident);
            }
        } else if (kind.starts_with("localizer")) {
            ensure(aid->localizer_course.has_value(), aid->ident + " is no localizer in the rows");
            if (!aid->localizer_course) {
                return;
            }
            near_angle(g.at("course_to_set_deg"), *aid->localizer_course, 0.06,
                       "localizer course of " + aid->ident);
            if (has_length) {
                on_localizer(*aid, far);
                on_localizer(*aid, close);
            }
        } else {
            ensure(false, "guidance of a kind unknown here: " + kind);
        }
        if (has_length && std::abs(before - after) > 0.05) {
            ensure(toward == (after < before), aid->ident + " is flown " +
                                                   std::string(toward ? "TO" : "FROM") +
                                                   ", the distance to it says otherwise");
        }
        // Off airways and procedures an aid serves as far as its class says (AIM 1-1-8), at the altitude flown where it is
        // farther away: a step that descends toward its aid begins at the altitude at which the step before ended.
        const std::string via = step.at("via");
        if (kind == "radial" && (via == "direct" || via == "own departure") &&
            (aid->range == 'T' || aid->range == 'L' || aid->range == 'H')) {
            const double altitude =
                before > after ? altitude_at_start : step.at("altitude_msl_ft").get<double>();
            const double reach = aid->range == 'T'     ? 25.0
                                 : aid->range == 'L'   ? 40.0
                                 : altitude < 14500.0  ? 40.0
                                 : altitude < 18000.0  ? 100.0
                                 : altitude <= 45000.0 ? 130.0
                                                       : 100.0;
            near(std::max({before, after, reach}), reach, 0.05,
                 aid->ident + " beyond the range of its class:");
        }
    }

    // A named place of the plan stands where a row of that name says.
    void named(const std::string& name, Place where, bool rebuilt) {
        const std::string airport = name.starts_with("RW") ? destination_ + "/" + name : name;
        double nearest = 1e9;
        for (auto [at, end] = raw_.points.equal_range(airport); at != end; ++at) {
            nearest = std::min(nearest, between(at->second, where).nm);
        }
        if (nearest < 1e9 && !rebuilt) {
            near(nearest, 0.0, 0.01, name + ", NM from its row:");
            return;
        }
        // "DPK/13.1": a point that procedure rows give only as radial and distance.
        const std::size_t stroke = name.find('/');
        const auto away = stroke == std::string::npos ? std::nullopt : number(name.substr(stroke + 1));
        if (!rebuilt || !away) {
            rebuilt ? skip("rebuilt place") : ensure(false, "no row of the place " + name);
            return;
        }
        double best = 1e9;
        for (const Aid& aid : raw_.aids) {
            if (aid.ident == name.substr(0, stroke)) {
                for (const auto& origin :
                     {aid.azimuth, aid.dme ? std::optional(aid.dme->place) : std::nullopt}) {
                    if (origin && std::abs(between(*origin, where).nm - *away) < std::abs(best - *away)) {
                        best = between(*origin, where).nm;
                    }
                }
            }
        }
        for (auto [at, last] = raw_.points.equal_range(name.substr(0, stroke)); at != last; ++at) {
            const double nm = between(at->second, where).nm;
            best = std::abs(nm - *away) < std::abs(best - *away) ? nm : best;
        }
        if (best == 1e9) {
            skip("rebuilt place");
            return;
        }
        near(best, *away, 0.06, "distance of rebuilt " + name);
    }

    void ending(const Json& step) {
        const Json& end = step.at("end");
        const std::string kind = end.at("kind");
        const Place finish = place(step.at("finish"));
        const double altitude = step.at("altitude_msl_ft");
        if (end.contains("fix")) {
            const Place where = place(end.at("place"));
            named(end.at("fix"), where, end.at("rebuilt"));
            if (end.at("fix") != step.at("to") && step.at("phase") == "approach" &&
                !end.at("rebuilt").get<bool>()) {
                ensure(false, "ends at " + end.at("fix").get<std::string>() + ", goes to " +
                                  step.at("to").get<std::string>());
            }
            if (step.at("phase") != "en route" && step.at("phase") != "departure" &&
                step.at("phase") != "arrival" && !end.at("rebuilt").get<bool>() &&
                step.at("via") != "direct" && raw_.approach_points.contains(destination_)) {
                ensure(raw_.approach_points.at(destination_).contains(end.at("fix")),
                       end.at("fix").get<std::string>() + " is in no approach row of " + destination_);
            }
            near(between(where, finish).nm, 0.0, 0.01, "finish, NM from the fix that ends the step:");
            if (end.contains("told_by")) {
                telling(end.at("told_by"), where, altitude);
            }
        } else if (kind == "dme") {
            if (const Aid* aid = station(end.at("station"))) {
                slant(*aid, end.at("slant_range_nm"), finish, altitude);
            }
        } else if (kind == "radial") {
            if (const Aid* aid = station(end.at("station"))) {
                radial(*aid, end.at("radial_deg"), finish, "ending radial");
            }
        }
    }

    // Track, wind triangle, time. The variation is held against that of the nearest waypoint row, which is of its own epoch.
    void card(const Json& step, bool has_length) {
        const double track = step.at("track_true_deg"), variation = step.at("variation_east_deg");
        near_angle(step.at("course_magnetic_deg"), track - variation, 0.02,
                   "magnetic course against track and variation");
        double nearest = 1e9, published = 0.0;
        for (const auto& [where, value] : raw_.variations) {
            if (const double away = between(where, place(step.at("start"))).nm; away < nearest) {
                nearest = away;
                published = value;
            }
        }
        if (nearest < 60.0) {
            // Catches a wrong sign, not a wrong model: rows may be ten years old, and it moves a quarter degree a year.
            near(variation, published, 3.0, "variation against the nearest waypoint's");
        } else {
            skip("variation, no waypoint row near");
        }
        if (has_length) {
            const Line line = between(place(step.at("start")), place(step.at("finish")));
            // Printed at some place of the leg: anything between the directions at both ends.
            const double turn = std::abs(apart(line.start_deg, line.finish_deg));
            near_angle(track, line.start_deg, 0.3 + turn, "true track");
        }
        if (step.at("heading_magnetic_deg").is_null() || step.at("groundspeed_kt").is_null()) {
            skip("no heading printed");
            return;
        }
        const double airspeed = step.at("true_airspeed_kt");
        const double angle = (wind_from_ - track) * degree;
        const double correction = std::asin(std::clamp(wind_kt_ * std::sin(angle) / airspeed, -1.0, 1.0));
        const double speed = airspeed * std::cos(correction) - wind_kt_ * std::cos(angle);
        near_angle(step.at("heading_magnetic_deg"), track + correction / degree - variation, 0.5,
                   "magnetic heading");
        near(step.at("groundspeed_kt"), speed, 1.0, "groundspeed");
        if (!step.at("time_min").is_null()) {
            // In a hold the wind takes on one side what it gives on the other: the airspeed counts.
            const bool climbs_in_hold = step.at("end").at("kind") == "hold" && step.at("distance_nm") > 0.0 &&
                                        step.at("end").contains("altitude_msl_ft");
            const double minutes =
                step.at("distance_nm").get<double>() / (climbs_in_hold ? airspeed : speed) * 60.0;
            near(step.at("time_min"), minutes, 0.02 + 0.01 * minutes, "time");
        }
    }

    // Rows of the route that lead from one named point to another: each coded minimum, direction and distance.
    void airway(const Json& step, double start_ft, const std::string& from, const std::string& to) {
        const std::string route = step.at("via");
        const auto& points = raw_.airways.at(route);
        std::optional<std::size_t> first, last;
        for (std::size_t i = 0; i < points.size(); ++i) {
            first = points[i].fix == from ? std::optional(i) : first;
            last = points[i].fix == to ? std::optional(i) : last;
        }
        ensure(first && last && first != last,
               route + " has not both " + from + " and " + to + " in its rows");
        if (!first || !last || first == last) {
            return;
        }
        const bool forward = *first < *last;
        double highest = 0.0, lowest = 1e9;
        bool known = true;
        for (std::size_t i = std::min(*first, *last); i < std::max(*first, *last); ++i) {
            const AirwayPoint& row = points[i];
            ensure(!row.ends, route + " has a gap after " + row.fix);
            ensure(row.type != 'R', route + " is an RNAV route at " + row.fix);
            ensure(row.direction == ' ' || (row.direction == 'F') == forward,
                   route + " is one-way against this flight at " + row.fix);
            const auto minimum = !forward && row.second_minimum ? row.second_minimum : row.minimum;
            known = known && minimum.has_value();
            highest = std::max(highest, minimum.value_or(0.0));
            lowest = std::min(lowest, minimum.value_or(0.0));
            ensure(!row.maximum || step.at("altitude_msl_ft").get<double>() <= *row.maximum,
                   route + " above its highest altitude at " + row.fix);
            if (const auto nm = between_rows(row.fix, points[i + 1].fix, row.distance_nm)) {
                near(*nm, *row.distance_nm, 0.15,
                     route + " from " + row.fix + " to " + points[i + 1].fix + ", NM between the rows:");
            }
        }
        if (!known) {
            skip("minimum unknown in the rows");
            return;
        }
        // Over the whole of it: where it begins to the row that leaves there, and nowhere below the lowest of its rows.
        const std::size_t leaving = forward ? *first : *first - 1;
        const auto here = !forward && points[leaving].second_minimum ? points[leaving].second_minimum
                                                                     : points[leaving].minimum;
        ensure(step.at("from") == "" || start_ft >= here.value_or(0.0) - 1.0,
               route + " from " + from + " begins below its coded minimum");
        ensure(step.value("lowest_msl_ft", start_ft) >= lowest - 1.0,
               route + " from " + from + " to " + to + " is flown below its coded minimum on the way");
        // The printed altitude is the one at the step's end: it is held to the row that leads there.
        const std::size_t ending = forward ? *last - 1 : *last;
        const auto there = !forward && points[ending].second_minimum ? points[ending].second_minimum
                                                                     : points[ending].minimum;
        ensure(step.at("altitude_msl_ft").get<double>() >= there.value_or(0.0) - 1.0,
               route + " from " + from + " to " + to + " below its coded minimum at the end");
        ensure(!step.at("minimum_msl_ft").is_null(), route + " has a coded minimum, none is printed");
        if (!step.at("minimum_msl_ft").is_null()) {
            const double printed = step.at("minimum_msl_ft");
            if (step.at("from") != "" && step.at("to") != "") {
                near(printed, highest, 0.5, "minimum of " + route);
            } else {
                // Part of a stretch, up to or from its changeover: one of the minimums coded along it, and the two parts
                // together hold the highest, which the altitude above is held to.
                bool coded = false;
                for (std::size_t i = std::min(*first, *last); i < std::max(*first, *last); ++i) {
                    const auto minimum =
                        !forward && points[i].second_minimum ? points[i].second_minimum : points[i].minimum;
                    coded = coded || (minimum && std::abs(*minimum - printed) < 0.5);
                }
                ensure(coded, route + " prints a minimum that none of its rows codes here");
            }
        }
    }

    // A name may be that of a VOR and of a beacon elsewhere: of all places of two names the pair that fits the row best.
    std::optional<double> between_rows(const std::string& from, const std::string& to,
                                       std::optional<double> printed_nm) const {
        std::optional<double> best;
        for (auto [a, a_end] = raw_.points.equal_range(from); printed_nm && a != a_end; ++a) {
            for (auto [b, b_end] = raw_.points.equal_range(to); b != b_end; ++b) {
                const double nm = between(a->second, b->second).nm;
                if (!best || std::abs(nm - *printed_nm) < std::abs(*best - *printed_nm)) {
                    best = nm;
                }
            }
        }
        return best;
    }

    const Place* nearest_point(const std::string& name, Place where) const {
        const Place* found = nullptr;
        for (auto [at, end] = raw_.points.equal_range(name); at != end; ++at) {
            if (found == nullptr || between(at->second, where).nm < between(*found, where).nm) {
                found = &at->second;
            }
        }
        return found;
    }

    void check_part(const Json& part) {
        const Json* before = nullptr;
        for (std::size_t i = 0; i < part.size(); ++i) {
            const Json& step = part[i];
            ++steps_;
            where_ = "step " + std::to_string(step.at("number").get<int>()) + " (" +
                     step.at("via").get<std::string>() + ")";
            const std::string kind = step.at("guidance").at("kind"), end = step.at("end").at("kind");
            const double length = step.at("distance_nm");
            std::string reason = kind == "arc"              ? "arc"
                                 : end == "hold"            ? "hold"
                                 : end == "course_reversed" ? "course reversal"
                                 : length <= 0.0            ? "no length"
                                                            : "";
            const bool has_length = reason.empty();
            if (has_length) {
                near(length, between(place(step.at("start")), place(step.at("finish"))).nm, 0.02, "distance");
            } else {
                skip(reason);
            }
            const Json& at_start = before == nullptr ? step : *before;
            guidance(step, at_start.at("altitude_msl_ft"), has_length);
            ending(step);
            card(step, has_length && length > 0.1);
            if (!step.at("minimum_msl_ft").is_null()) {
                // The altitude is the one at the end, where the last part of a step may have a lower minimum of its own.
                const double at_end =
                    step.value("minimum_at_end_msl_ft", step.at("minimum_msl_ft").get<double>());
                ensure(step.at("altitude_msl_ft").get<double>() >= at_end,
                       "altitude below the printed minimum");
            }
            if (const auto lowest = step.find("lowest_msl_ft");
                lowest != step.end() && before != nullptr && (*before).at("end").at("kind") != "altitude") {
                ensure(lowest->get<double>() <= std::min(at_start.at("altitude_msl_ft").get<double>(),
                                                         step.at("altitude_msl_ft").get<double>()) +
                                                    1.0,
                       "its lowest altitude is above one of its ends");
            }
            if (before != nullptr) {
                const std::string last = (*before).at("end").at("kind");
                const double gap = between(place((*before).at("finish")), place(step.at("start"))).nm;
                if (last == "fix" || last == "changeover" || last == "needle_alive") {
                    near(gap, 0.0, 0.02, "start, NM from the finish of the step before:");
                } else {
                    skip("start after an open end");
                }
            }
            before = &step;
            if (raw_.airways.contains(step.at("via").get<std::string>())) {
                std::string from = step.at("from"), to = step.at("to");
                for (std::size_t j = i; from.empty() && j-- > 0;) {
                    from = part[j].at("from");
                }
                for (std::size_t j = i + 1; to.empty() && j < part.size(); ++j) {
                    to = part[j].at("to");
                }
                airway(step, at_start.at("altitude_msl_ft"), from, to);
            }
        }
    }

    // A climb to another level ends at its fix or beyond it, a descent does not begin before it; the levels follow on each other, and
    // the fix ends a step as far from the take-off as is said.
    void check_level_changes(const Json& flight) {
        where_ = "level changes";
        double level_ft = flight.at("cruise_altitude_msl_ft");
        for (const Json& change : flight.value("level_changes", Json::array())) {
            const double from_ft = change.at("from_msl_ft"), to_ft = change.at("to_msl_ft");
            const double fix_nm = change.at("fix_from_start_nm"),
                         begins_nm = change.at("begins_from_start_nm"),
                         ends_nm = change.at("ends_from_start_nm");
            near(from_ft, level_ft, 0.5, "level before " + change.at("at").get<std::string>());
            level_ft = to_ft;
            ensure(from_ft != to_ft, "no change of level");
            ensure(to_ft > from_ft ? begins_nm <= fix_nm : begins_nm >= fix_nm - 0.001,
                   to_ft > from_ft ? "a climb begins beyond its fix" : "a descent begins before its fix");
            ensure(ends_nm >= fix_nm - 0.001, "the new level is reached before its fix");
            double along_nm = 0.0;
            bool ends_a_step = false;
            for (const Json& step : flight.at("steps")) {
                along_nm += step.at("distance_nm").get<double>();
                ends_a_step =
                    ends_a_step || (step.at("to") == change.at("at") && std::abs(along_nm - fix_nm) < 0.05);
            }
            ensure(ends_a_step, "no step ends at " + change.at("at").get<std::string>());
        }
    }

    // Where the cruising altitude is left, and by what that is told: along the step it belongs to.
    void check_top_of_descent(const Json& flight) {
        const Json top = flight.value("top_of_descent", Json());
        if (top.is_null() || !top.at("told_by").contains("station")) {
            return;
        }
        where_ = "top of descent";
        double before_nm = 0.0;
        for (const Json& step : flight.at("steps")) {
            const double length_nm = step.at("distance_nm").get<double>();
            if (step.at("number") != top.at("step")) {
                before_nm += length_nm;
                continue;
            }
            const std::string kind = step.at("guidance").at("kind"), end = step.at("end").at("kind");
            if (kind == "arc" || end == "hold" || end == "course_reversed" || length_nm <= 0.0) {
                station(top.at("told_by").at("station"));
                skip("top of descent on " + kind);
                return;
            }
            // Along the great circle from end to end of the step, by the share flown.
            const Place a = place(step.at("start")), b = place(step.at("finish"));
            const double share = (top.at("distance_from_start_nm").get<double>() - before_nm) / length_nm;
            ensure(share > -0.01 && share < 1.01, "does not lie on its step");
            telling(top.at("told_by"), on_the_way(a, b, share), top.at("altitude_msl_ft"));
        }
    }

    void check_totals(const Json& flight) {
        where_ = "totals";
        double nm = 0.0, minutes = 0.0, pounds = 0.0;
        for (const Json& step : flight.at("steps")) {
            nm += step.at("distance_nm").get<double>();
            minutes += step.at("time_min").is_null() ? 0.0 : step.at("time_min").get<double>();
            pounds += step.at("fuel_lb").get<double>();
        }
        const double count = static_cast<double>(flight.at("steps").size());
        near(flight.at("distance_nm"), nm, 0.001 * count, "distance");
        if (!flight.at("time_min").is_null()) {
            near(flight.at("time_min"), minutes, 0.01 * count, "time");
        }
        near(flight.at("fuel_lb"), pounds, 0.1 * count, "fuel");
    }

    void check_runway(const Json& runway, const std::string& airport) {
        if (runway.is_null()) {
            return;
        }
        const std::string ident = runway.at("ident");
        where_ = airport + " " + ident;
        const auto row = raw_.runways.find(airport + "/" + ident);
        if (row == raw_.runways.end()) {
            skip("runway not in the ARINC rows");
        } else {
            near(runway.at("length_ft"), row->second.length_ft, 1.0, "runway length");
            if (row->second.magnetic && raw_.variation_of.contains(airport) &&
                !runway.at("direction_true_deg").is_null()) {
                near_angle(runway.at("direction_true_deg"),
                           *row->second.magnetic + raw_.variation_of.at(airport), 2.0, "runway direction");
            }
        }
        if (!runway.at("direction_true_deg").is_null()) {
            const double angle = (wind_from_ - runway.at("direction_true_deg").get<double>()) * degree;
            near(runway.at("headwind_kt"), wind_kt_ * std::cos(angle), 0.3, "headwind");
            near(runway.at("crosswind_from_right_kt"), wind_kt_ * std::sin(angle), 0.3, "crosswind");
        }
    }

    const Raw& raw_;
    const Json& plan_;
    std::string destination_;
    std::string where_;
    double wind_from_{};
    double wind_kt_{};
    std::size_t checked_{}, wrong_{}, steps_{};
    std::map<std::string, std::size_t> skipped_;
};

}  // namespace

int main(int count, char** words) {
    try {
        Raw raw;
        std::vector<std::string> plan_files;
        std::string option;
        for (int i = 1; i < count; ++i) {
            const std::string word = words[i];
            if (word.starts_with("--")) {
                option = word;
            } else if (option == "--plans" || i == count - 1) {
                plan_files.push_back(word);
            } else if (option == "--arinc") {
                read_arinc(word, raw);
            } else if (option == "--navaids") {
                read_navaids(word, raw);
            } else {
                throw std::runtime_error("unexpected " + word);
            }
        }
        if (plan_files.empty() || raw.aids.empty()) {
            throw std::runtime_error(
                "usage: check_plan --arinc FILE... [--navaids FILE] PLAN.json | --plans PLAN.json...");
        }
        int status = 0;
        for (const std::string& file : plan_files) {
            std::ifstream in(file);
            if (!in) {
                throw std::runtime_error("cannot read " + file);
            }
            if (plan_files.size() > 1) {
                std::cout << "plan " << file << "\n";
            }
            status = std::max(status, Check(raw, Json::parse(in)).run());
        }
        return status;
    } catch (const std::exception& error) {
        std::cerr << "check_plan: " << error.what() << "\n";
        return 2;
    }
}
