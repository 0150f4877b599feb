#include "card_document.hpp"
#include "morse_code.hpp"

#include <algorithm>
#include <array>
#include <fstream>
#include <stdexcept>

namespace independent {

namespace {

std::string trimmed(std::string text) {
    text.erase(0, std::min(text.find_first_not_of(" \t"), text.size()));
    text.erase(text.find_last_not_of(" \t\r") + 1);
    return text;
}

struct OwnersFile {
    std::string name;
    Equipment aboard;
    Tank tank;
};

// As much of an aircraft file (docs/aircraft-file.md) as its radios and tanks take: key = value, and two kinds of tables.
OwnersFile read_aircraft(const std::string& file) {
    std::ifstream in(file);
    if (!in) {
        throw std::runtime_error("cannot read " + file);
    }
    OwnersFile read;
    double same_flow = 0.0;
    for (std::string row; std::getline(in, row);) {
        row = trimmed(row.substr(0, row.find('#')));
        if (row == "[[receiver]]") {
            read.aboard.receivers.emplace_back();
        } else if (row == "[[cruise]]") {
            read.tank.cruise.emplace_back();
        }
        const auto sign = row.find('=');
        if (sign == std::string::npos) {
            continue;
        }
        const std::string key = trimmed(row.substr(0, sign));
        std::string value = trimmed(row.substr(sign + 1));
        if (value.starts_with('"')) {
            value = value.substr(1, value.size() - 2);
        }
        if (key == "name") {
            read.name = value;
        } else if (key == "dme") {
            read.aboard.dme = value == "own control" ? "own_control"
                              : value == "follows"   ? "follows_receiver"
                                                     : "follows_receiver_with_hold";
        } else if (key == "adf") {
            read.aboard.adf = value == "fixed card"     ? "fixed_card"
                              : value == "movable card" ? "movable_card"
                                                        : "rmi";
        } else if (key == "indicator") {
            read.aboard.receivers.back().hsi = value == "hsi";
        } else if (key == "localizer") {
            read.aboard.receivers.back().localizer = value == "true";
        } else if (key == "glideslope") {
            read.aboard.receivers.back().glideslope = value == "true";
        } else if (key == "fuel_taxi_lb") {
            read.tank.taxi_lb = std::stod(value);
        } else if (key == "reserve_min") {
            read.tank.reserve_min = std::stod(value);
        } else if (key == "cruise_pph") {
            same_flow = std::stod(value);
        } else if (key == "altitude_ft") {
            read.tank.cruise.back()[0] = std::stod(value);
        } else if (key == "pph") {
            read.tank.cruise.back()[1] = std::stod(value);
        }
    }
    if (read.tank.cruise.empty()) {
        read.tank.cruise.push_back({0.0, same_flow});
    }
    return read;
}

void aircraft_of(Document& document, const std::string& name, const std::vector<std::string>& files) {
    for (const std::string& file : files) {
        if (const OwnersFile read = read_aircraft(file); read.name == name) {
            document.aboard = read.aboard;
            document.tank = read.tank;
            return;
        }
    }
    throw std::runtime_error("no aircraft file is given of " + name);
}

Equipment equipment_of(const Json& json) {
    Equipment aboard;
    for (const Json& receiver : json.at("receivers")) {
        aboard.receivers.push_back(
            {receiver.at("indicator") == "hsi", receiver.at("localizer"), receiver.at("glideslope")});
    }
    aboard.dme = json.at("dme").is_string() ? json.at("dme").get<std::string>() : "";
    aboard.adf = json.at("adf").is_string() ? json.at("adf").get<std::string>() : "";
    return aboard;
}

void winds_of(Document& document, const Json& winds) {
    for (const Json& level : winds) {
        document.winds.push_back(
            {level.at("altitude_msl_ft"), level.at("from_true_deg"), level.at("speed_kt")});
    }
}

// The step of a track that ends at the final fix is the one before the first of the final.
void join(Document& document, const Json& steps, const Json& missed) {
    double altitude = document.card.at("steps").empty() ? 0.0 : document.cruise_ft, clock = 0.0;
    for (const bool branch : {false, true}) {
        const Json& tracks = branch ? missed : steps;
        for (const Json& card : document.card.at(branch ? "missed" : "steps")) {
            const int number = card.at("number");
            const auto track = std::find_if(tracks.begin(), tracks.end(), [number](const Json& step) {
                return step.at("number") == number;
            });
            if (track == tracks.end()) {
                document.without_track.push_back(number);
                continue;
            }
            StepOnPaper step{
                card, *track, number, branch, place_of(track->at("start")), place_of(track->at("finish"))};
            step.start_ft = document.steps.empty() ? track->at("altitude_msl_ft").get<double>() : altitude;
            step.end_ft = card.at("heights").at("at_end_msl_ft");
            altitude = step.end_ft;
            const auto minutes = figure(*track, "time_min");
            step.begins_s = clock;
            clock += minutes ? *minutes * 60.0
                             : track->at("distance_nm").get<double>() /
                                   std::max(1.0, track->at("true_airspeed_kt").get<double>()) * 3600.0;
            // A hold that is left when told to is flown once round at least: four minutes of standard turns and legs.
            const Json& end = card.at("end");
            const bool open =
                end.is_object() && end.value("kind", "") == "held_until" && !figure(end, "altitude_msl_ft");
            clock = open ? std::max(clock, step.begins_s + 240.0) : clock;
            step.ends_s = clock;
            document.steps.push_back(step);
        }
    }
}

// The last word of a route that changes the level: "XKE/N0150A090" (ICAO Doc 4444, appendix 2, item 15 c). Hundreds of feet.
std::optional<double> last_level_of(const std::string& route) {
    std::optional<double> level;
    for (std::size_t at = route.find('/'); at != std::string::npos; at = route.find('/', at + 1)) {
        const std::size_t end = std::min(route.find(' ', at), route.size());
        const std::size_t letter = route.find_first_of("AF", at);
        if (letter + 4 == end) {
            level = std::stod(route.substr(letter + 1, 3)) * 100.0;
        }
    }
    return level;
}

}  // namespace

Place place_of(const Json& json) {
    return {json.at("latitude_deg"), json.at("longitude_deg")};
}

std::optional<double> figure(const Json& json, const char* key) {
    const auto found = json.find(key);
    return found == json.end() || !found->is_number() ? std::nullopt : std::optional(found->get<double>());
}

const StepOnPaper* Document::numbered(int number) const {
    for (const StepOnPaper& step : steps) {
        if (step.number == number) {
            return &step;
        }
    }
    return nullptr;
}

std::optional<Document> read_document(const Json& json, const std::vector<std::string>& aircraft,
                                      const AtlasRows& atlas) {
    Document document;
    document.verdict = json.value("verdict", "");
    const bool is_card = json.at("kind") == "card";
    const Json track = is_card ? json.at("track") : json.at("flight");
    if (track.is_null()) {
        return std::nullopt;
    }
    document.card = is_card ? json.at("card") : track.value("card", Json());
    if (document.card.is_null()) {
        throw std::runtime_error("the plan has a flight and no card");
    }
    if (is_card) {
        const Json& request = json.at("request");
        document.from = request.at("from");
        document.to = request.at("to");
        document.approach_name = request.at("approach");
        document.year = request.at("date_decimal_year");
        document.cruise_ft = request.at("cruise_altitude_msl_ft");
        document.last_level_ft = last_level_of(request.at("route")).value_or(document.cruise_ft);
        document.aboard = equipment_of(request.at("equipment"));
        const Json& settings = request.at("settings");
        document.dead_reckoning_nm = settings.at("dead_reckoning_nm");
        document.dead_reckoning_s = settings.at("dead_reckoning_s");
        document.criteria = settings.at("criteria");
        winds_of(document, request.at("winds"));
    } else {
        document.from = json.at("from").at("ident");
        document.to = json.at("to").at("ident");
        document.year = json.at("date_decimal_year");
        document.cruise_ft = track.at("cruise_altitude_msl_ft");
        const Json changes = track.value("level_changes", Json::array());
        document.last_level_ft =
            changes.empty() ? document.cruise_ft : changes.back().at("to_msl_ft").get<double>();
        document.approach_name = track.value("approach", "");
        aircraft_of(document, json.at("aircraft"), aircraft);
        int from = 0, speed = 0;
        if (std::sscanf(json.value("wind", "").c_str(), "%d/%d", &from, &speed) == 2) {
            document.winds.push_back({0.0, static_cast<double>(from), static_cast<double>(speed)});
        }
        if (json.contains("winds")) {
            document.winds.clear();
            winds_of(document, json.at("winds"));
        }
        for (const Json& approach : json.value("approaches", Json::array())) {
            if (approach.at("name") == document.approach_name) {
                document.approach_procedure = approach.value("procedure", "");
            }
        }
        if (const Json final = track.value("final_approach", Json()); final.is_object()) {
            document.final_fix = final.value("final_fix", "");
        }
    }
    join(document, track.at("steps"), track.at("missed_approach"));
    if (!document.steps.empty()) {
        const auto elevation = atlas.elevations_ft.find(document.from);
        document.steps.front().start_ft = elevation == atlas.elevations_ft.end() ? 0.0 : elevation->second;
    }
    return document;
}

Wind wind_at(const std::vector<Wind>& winds, double altitude_ft) {
    if (winds.empty()) {
        return {};
    }
    const auto above = std::find_if(winds.begin(), winds.end(), [altitude_ft](const Wind& level) {
        return level.altitude_ft >= altitude_ft;
    });
    if (above == winds.begin()) {
        return winds.front();
    }
    if (above == winds.end()) {
        return winds.back();
    }
    const Wind& low = *std::prev(above);
    const double share = (altitude_ft - low.altitude_ft) / (above->altitude_ft - low.altitude_ft);
    const auto part = [&](auto direction) {
        return (1.0 - share) * low.speed_kt * direction(low.from_deg * degree) +
               share * above->speed_kt * direction(above->from_deg * degree);
    };
    const double north = part([](double a) { return std::cos(a); }),
                 east = part([](double a) { return std::sin(a); });
    return {altitude_ft, around(std::atan2(east, north) / degree), std::hypot(east, north)};
}

std::string name_of(const Json& named) {
    return named.value("kind", "?") + " " + named.value("ident", "?");
}

const Aid* AidRows::find(const Json& named, Place near) const {
    if (!named.is_object()) {
        return nullptr;
    }
    const std::string ident = named.value("ident", ""), kind = named.value("kind", "");
    const double printed =
        figure(named, "frequency_khz").value_or(figure(named, "frequency_mhz").value_or(0.0));
    // A transmitter may have a row in the table of the enroute aids and one of its airport, of two classes: it is heard as far as
    // either says.
    const auto reaches_less = [](const Aid& one, const Aid& other) {
        constexpr std::array classes{"compass_locator", "ndb_medium", "ndb", "ndb_high"};
        const auto rank = [&](const Aid& aid) {
            return std::find(classes.begin(), classes.end(), aid.service);
        };
        return one.family == "ndb" && other.family == "ndb" && between(one.site(), other.site()).nm < 0.1 &&
               rank(one) < rank(other);
    };
    const Aid* found = nullptr;
    double least = 0.0;
    for (const Aid& aid : atlas_.aids) {
        if (aid.ident != ident) {
            continue;
        }
        // First the right family, then the whole kind, then the frequency, then the nearest.
        const bool beacon = kind.starts_with("NDB");
        const double misfit = (beacon == (aid.family == "ndb") ? 0.0 : 1e9) + (aid.kind == kind ? 0.0 : 1e7) +
                              (std::abs(aid.frequency - printed) < 0.004 ? 0.0 : 1e5) +
                              between(aid.site(), near).nm;
        const bool same_transmitter = found != nullptr && std::abs(misfit - least) < 0.2;
        if (found == nullptr || (same_transmitter ? reaches_less(*found, aid) : misfit < least)) {
            found = &aid;
            least = misfit;
        }
    }
    return found;
}

const Aid* AidRows::check(const Json& named, Place near) const {
    const Aid* aid = find(named, near);
    ledger_.holds("aid.exists", aid != nullptr, name_of(named) + " has a row in the atlas");
    if (aid == nullptr) {
        return nullptr;
    }
    ledger_.same("aid.kind", named.value("kind", ""), aid->kind, "kind of " + aid->ident);
    const char* unit = aid->family == "ndb" ? "frequency_khz" : "frequency_mhz";
    ledger_.near("aid.frequency", figure(named, unit).value_or(0.0), aid->frequency, 0.0011,
                 "frequency of " + name_of(named));
    ledger_.same("aid.morse", named.value("morse", ""), morse(aid->ident), "Morse of " + aid->ident);
    // One of that ident on another continent is not meant: what is set may be heard only where it is needed, but it is somewhere
    // on this flight. 200 NM are more than any class reaches (trade-facts 1).
    double nearest = between(aid->site(), near).nm;
    for (const StepOnPaper& step : document_.steps) {
        nearest = std::min(nearest, between(aid->site(), step.finish).nm);
    }
    ledger_.at_most("aid.near", nearest, 200.0, "NM to " + name_of(named) + " from where it is nearest");
    return aid;
}

}  // namespace independent
