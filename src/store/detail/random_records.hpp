#pragma once

#include <cmath>
#include <cstdint>
#include <cstring>
#include <limits>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "navdata/records.hpp"

// For the tests of this floor: records of every shape, and a comparison of two sets of them.

namespace omniway::store::detail {

inline std::string numbered(const char* word, std::int64_t number) {
    return std::string(word).append(std::to_string(number));
}

/// Makes records from a seed: every alternative of every field, numbers of every size, texts of any bytes.
class RandomRecords {
public:
    explicit RandomRecords(std::uint64_t seed) : random_(seed) {}

    /// Lists of up to `longest` rows each; airports are called A0, A1 ... so that several things share one.
    navdata::Records make(std::size_t longest) {
        navdata::Records records;
        fill(records.sources, longest, [&] { return source(); });
        fill(records.stations, longest, [&] { return station(); });
        fill(records.fixes, longest,
             [&] { return navdata::Fix{text(), text(), airport(), text(), text(), position(), origin()}; });
        fill(records.airway_rows, longest, [&] { return airway_row(); });
        fill(records.airports, longest, [&] {
            navdata::Airport airport{text(), text(), text(), position(), {}, {}, {}};
            maybe(airport.variation, [&] { return base::Variation::east(angle()); });
            maybe(airport.elevation, [&] { return altitude(); });
            fill(airport.origins, 3, [&] { return origin(); });
            return airport;
        });
        fill(records.runways, longest, [&] { return runway(); });
        fill(records.communications, longest, [&] {
            return navdata::Communication{airport(), text(), text(), frequency(), origin()};
        });
        fill(records.markers, longest, [&] { return marker(); });
        fill(records.procedures, longest, [&] { return procedure(); });
        fill(records.sector_altitudes, longest, [&] {
            navdata::MinimumSectorAltitude minimum{airport(), point(), {}, origin()};
            fill(minimum.sectors, 4, [&] {
                return navdata::SafeSector{base::MagneticBearing::degrees(number()),
                                           base::MagneticBearing::degrees(number()), altitude(), length()};
            });
            return minimum;
        });
        fill(records.grid_minimums, longest, [&] {
            navdata::GridMinimum minimum;
            minimum.south_deg = static_cast<std::int16_t>(below(65536) - 32768);
            minimum.west_deg = static_cast<std::int16_t>(below(65536) - 32768);
            maybe(minimum.altitude, [&] { return altitude(); });
            minimum.origin = origin();
            return minimum;
        });
        return records;
    }

private:
    std::int64_t below(std::int64_t end) {
        return std::uniform_int_distribution<std::int64_t>(0, end - 1)(random_);
    }
    bool coin() { return below(2) == 1; }

    template <class T, class Make>
    void fill(std::vector<T>& list, std::size_t longest, Make make) {
        const auto size = static_cast<std::size_t>(below(static_cast<std::int64_t>(longest) + 1));
        for (std::size_t i = 0; i < size; ++i) {
            list.push_back(make());
        }
    }
    template <class T, class Make>
    void maybe(std::optional<T>& into, Make make) {
        if (coin()) {
            into = make();
        }
    }

    // Everyday figures, whole numbers (which SQLite stores in another way) and any finite bit pattern.
    double number() {
        switch (below(3)) {
            case 0:
                return std::uniform_real_distribution<double>(-50'000.0, 50'000.0)(random_);
            case 1:
                return static_cast<double>(below(20'001) - 10'000);
            default:
                break;
        }
        for (;;) {
            const std::uint64_t bits = random_();
            double value = 0.0;
            static_assert(sizeof value == sizeof bits);
            std::memcpy(&value, &bits, sizeof value);
            if (std::isfinite(value)) {
                return value;
            }
        }
    }
    std::string text() {
        if (coin()) {
            return numbered("X", below(1000));
        }
        std::string text;
        for (std::int64_t left = below(12); left > 0; --left) {
            text += character();
        }
        return text;
    }
    char character() { return static_cast<char>(below(256)); }
    std::string airport() { return coin() ? numbered("A", below(4)) : std::string(); }

    base::Length length() { return base::Length::metres(number()); }
    base::Angle angle() { return base::Angle::radians(number()); }
    base::Altitude altitude() { return base::Altitude::metres(number()); }
    base::Frequency frequency() { return base::Frequency::megahertz(number() / 1e7); }
    earth::Position position() {
        return earth::Position::degrees(std::uniform_real_distribution<double>(-90.0, 90.0)(random_),
                                        std::uniform_real_distribution<double>(-200.0, 200.0)(random_));
    }
    navdata::Origin origin() {
        return {base::Id<navdata::Source>{static_cast<std::uint32_t>(below(std::int64_t{1} << 32))},
                static_cast<std::uint32_t>(below(std::int64_t{1} << 32))};
    }
    navdata::PointName point() {
        return {static_cast<navdata::PointKind>(below(8)), text(), text(), airport()};
    }
    navdata::Marker marker() {
        navdata::Marker marker{airport(),  text(), text(), static_cast<navdata::MarkerKind>(below(4)),
                               position(), {},     {},     origin()};
        maybe(marker.minor_axis, [&] { return base::TrueBearing::degrees(number()); });
        maybe(marker.elevation, [&] { return altitude(); });
        return marker;
    }
    navdata::ServiceClass service() { return static_cast<navdata::ServiceClass>(below(13)); }
    navdata::PublishedMinimum minimum() {
        switch (below(3)) {
            case 0:
                return std::monostate{};
            case 1:
                return navdata::NotKnown{};
            default:
                return altitude();
        }
    }
    navdata::CodedCourse course() { return {number(), coin()}; }

    navdata::Source source() { return {text(), text(), text(), text(), number(), text()}; }

    navdata::Azimuth azimuth() {
        const auto declination = [&] { return base::Declination::east(angle()); };
        switch (below(5)) {
            case 0:
                return std::monostate{};
            case 1:
                return navdata::VorAzimuth{position(), declination(),
                                           static_cast<navdata::DeclinationFrom>(below(2)), service()};
            case 2:
                return navdata::TacanAzimuth{position(), declination()};
            case 3:
                return navdata::NdbAzimuth{position(), base::Variation::east(angle()), service()};
            default:
                break;
        }
        navdata::LocalizerAzimuth localizer;
        localizer.position = position();
        localizer.course = base::Radial::degrees(number());
        localizer.declination = declination();
        maybe(localizer.width, [&] { return angle(); });
        localizer.runway = text();
        localizer.category = text();
        maybe(localizer.glideslope, [&] {
            navdata::Glideslope glideslope{position(), angle(), {}, {}};
            maybe(glideslope.elevation, [&] { return altitude(); });
            maybe(glideslope.threshold_crossing_height, [&] { return length(); });
            return glideslope;
        });
        return localizer;
    }

    navdata::Station station() {
        navdata::Station station{text(), text(), airport(), text(), frequency(), azimuth(), {}, coin(), {}};
        if (coin() || std::holds_alternative<std::monostate>(station.azimuth)) {
            navdata::DistancePart dme{position(), {}, length(), service()};
            maybe(dme.elevation, [&] { return altitude(); });
            station.dme = dme;
        }
        fill(station.origins, 3, [&] { return origin(); });
        return station;
    }

    navdata::AirwayRow airway_row() {
        navdata::AirwayRow row;
        row.area = text();
        row.designator = text();
        row.sequence = static_cast<std::uint32_t>(below(std::int64_t{1} << 32));
        row.point = point();
        row.ends_continuous_part = coin();
        row.route_type = character();
        row.level = character();
        row.direction = static_cast<navdata::AirwayDirection>(below(3));
        maybe(row.outbound_course, [&] { return base::Radial::degrees(number()); });
        maybe(row.distance_to_next, [&] { return length(); });
        maybe(row.inbound_course, [&] { return base::Radial::degrees(number()); });
        row.minimum = minimum();
        row.minimum_backward = minimum();
        maybe(row.maximum, [&] { return altitude(); });
        row.origin = origin();
        return row;
    }

    navdata::Runway runway() {
        navdata::Runway runway;
        runway.airport = airport();
        runway.ident = text();
        runway.length = length();
        maybe(runway.bearing, [&] { return base::MagneticBearing::degrees(number()); });
        maybe(runway.true_bearing, [&] { return base::TrueBearing::degrees(number()); });
        maybe(runway.threshold, [&] { return position(); });
        maybe(runway.far_end, [&] { return position(); });
        maybe(runway.elevation, [&] { return altitude(); });
        runway.displaced = length();
        runway.localizer = text();
        runway.origin = origin();
        return runway;
    }

    navdata::Leg leg() {
        navdata::Leg leg;
        leg.sequence = static_cast<std::uint32_t>(below(std::int64_t{1} << 32));
        leg.terminator = static_cast<navdata::PathTerminator>(below(23));
        maybe(leg.fix, [&] { return point(); });
        maybe(leg.recommended, [&] { return point(); });
        maybe(leg.centre, [&] { return point(); });
        maybe(leg.theta, [&] { return course(); });
        maybe(leg.rho, [&] { return length(); });
        maybe(leg.course, [&] { return course(); });
        maybe(leg.distance, [&] { return length(); });
        maybe(leg.time, [&] { return base::Duration(number()); });
        maybe(leg.arc_radius, [&] { return length(); });
        leg.turn = static_cast<navdata::Turn>(below(4));
        leg.altitude_rule = static_cast<navdata::AltitudeRule>(below(9));
        maybe(leg.altitude_1, [&] { return altitude(); });
        maybe(leg.altitude_2, [&] { return altitude(); });
        maybe(leg.speed_limit, [&] { return base::Speed::metres_per_second(number()); });
        maybe(leg.vertical_angle, [&] { return angle(); });
        leg.description = text();
        leg.origin = origin();
        return leg;
    }

    navdata::Procedure procedure() {
        navdata::Procedure procedure{airport(), text(), static_cast<navdata::ProcedureKind>(below(3)),
                                     text(),    text(), {}};
        fill(procedure.branches, 3, [&] {
            navdata::Branch branch{character(), text(), {}};
            fill(branch.legs, 4, [&] { return leg(); });
            return branch;
        });
        return procedure;
    }

    std::mt19937_64 random_;
};

/// The first list in which two sets of records differ, or an empty text.
inline std::string difference(const navdata::Records& a, const navdata::Records& b) {
    std::string lists;
    const auto compare = [&lists](const char* name, const auto& x, const auto& y) {
        if (x != y) {
            lists.append(lists.empty() ? "" : ", ").append(name);
        }
    };
    compare("sources", a.sources, b.sources);
    compare("stations", a.stations, b.stations);
    compare("fixes", a.fixes, b.fixes);
    compare("airway rows", a.airway_rows, b.airway_rows);
    compare("airports", a.airports, b.airports);
    compare("runways", a.runways, b.runways);
    compare("communications", a.communications, b.communications);
    compare("markers", a.markers, b.markers);
    compare("procedures", a.procedures, b.procedures);
    compare("sector altitudes", a.sector_altitudes, b.sector_altitudes);
    compare("grid minimums", a.grid_minimums, b.grid_minimums);
    return lists;
}

}  // namespace omniway::store::detail
