#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <concepts>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/contract.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/records.hpp"
#include "store/detail/database.hpp"
#include "store/ground.hpp"

// Which column holds which field, said once: columns(archive, row) below walks a record and its columns in the same order,
// whether the archive lists names, binds values or takes them back. So reading and writing cannot drift apart.

namespace omniway::store::detail {

// One number for one quantity: always the number that the quantity itself holds, because a change of unit and back would
// not return the last bit (docs/atlas.md, "Units").
constexpr base::Frequency one_hertz = base::Frequency::kilohertz(1e-3);
static_assert(one_hertz * 1e3 == base::Frequency::kilohertz(1.0));

inline double number_of(double v) {
    return v;
}
inline double number_of(base::Length v) {
    return v.metres();
}
inline double number_of(base::Speed v) {
    return v.metres_per_second();
}
inline double number_of(base::Angle v) {
    return v.radians();
}
inline double number_of(base::Frequency v) {
    return v / one_hertz;
}
inline double number_of(base::Duration v) {
    return v.count();
}
inline double number_of(base::Altitude v) {
    return v.metres();
}
inline double number_of(base::Variation v) {
    return v.east().radians();
}
inline double number_of(base::Declination v) {
    return v.east().radians();
}
template <class North>
double number_of(base::Bearing<North> v) {
    return v.degrees();
}

inline void from_number(double v, double& into) {
    into = v;
}
inline void from_number(double v, base::Length& into) {
    into = base::Length::metres(v);
}
inline void from_number(double v, base::Speed& into) {
    into = base::Speed::metres_per_second(v);
}
inline void from_number(double v, base::Angle& into) {
    into = base::Angle::radians(v);
}
inline void from_number(double v, base::Frequency& into) {
    into = one_hertz * v;
}
inline void from_number(double v, base::Duration& into) {
    into = base::Duration(v);
}
inline void from_number(double v, base::Altitude& into) {
    into = base::Altitude::metres(v);
}
inline void from_number(double v, base::Variation& into) {
    into = base::Variation::east(base::Angle::radians(v));
}
inline void from_number(double v, base::Declination& into) {
    into = base::Declination::east(base::Angle::radians(v));
}
template <class North>
void from_number(double v, base::Bearing<North>& into) {
    into = base::Bearing<North>::degrees(v);
}

template <class T>
concept Number = requires(const T& value, T& into) {
    { number_of(value) } -> std::same_as<double>;
    from_number(0.0, into);
};

/// The words that stand for the values of an enumeration, in its order.
template <class Choice>
struct Words;
template <>
struct Words<navdata::PointKind> {
    static constexpr std::array<std::string_view, 8> list = {
        "fix", "terminal_fix", "vhf_station", "ndb", "terminal_ndb", "localizer", "airport", "runway"};
};
template <>
struct Words<navdata::ServiceClass> {
    static constexpr std::array<std::string_view, 13> list = {
        "unknown",  "terminal",        "low",        "high", "vor_low",  "vor_high", "dme_low",
        "dme_high", "compass_locator", "ndb_medium", "ndb",  "ndb_high", "localizer"};
};
template <>
struct Words<navdata::DeclinationFrom> {
    static constexpr std::array<std::string_view, 2> list = {"record", "model_at_source_date"};
};
template <>
struct Words<navdata::AirwayDirection> {
    static constexpr std::array<std::string_view, 3> list = {"both", "forward_only", "backward_only"};
};
template <>
struct Words<navdata::MarkerKind> {
    static constexpr std::array<std::string_view, 4> list = {"outer", "middle", "inner", "back_course"};
};
template <>
struct Words<navdata::ProcedureKind> {
    static constexpr std::array<std::string_view, 3> list = {"departure", "arrival", "approach"};
};
template <>
struct Words<navdata::PathTerminator> {
    static constexpr std::array<std::string_view, 23> list = {"IF", "TF", "CF", "DF", "FA", "FC", "FD", "FM",
                                                              "CA", "CD", "CI", "CR", "VA", "VD", "VI", "VM",
                                                              "VR", "AF", "RF", "PI", "HA", "HF", "HM"};
};
template <>
struct Words<navdata::Turn> {
    static constexpr std::array<std::string_view, 4> list = {"unspecified", "left", "right", "either"};
};
template <>
struct Words<navdata::AltitudeRule> {
    static constexpr std::array<std::string_view, 9> list = {"none",          "at",
                                                             "at_or_above",   "at_or_below",
                                                             "between",       "at_or_above_second",
                                                             "glideslope_at", "glideslope_at_or_above",
                                                             "step_down"};
};
/// What stands in station.azimuth, in the order of navdata::Azimuth's alternatives.
enum class AzimuthKind { none, vor, tacan, ndb, localizer };
static_assert(std::variant_size_v<navdata::Azimuth> == 5);
static_assert(std::variant_size_v<navdata::PublishedMinimum> == 3);
template <>
struct Words<AzimuthKind> {
    static constexpr std::array<std::string_view, 5> list = {"none", "vor", "tacan", "ndb", "localizer"};
};

template <class T>
concept Choice = std::is_enum_v<T> && requires { Words<T>::list; };

template <class T>
concept Count = std::integral<T> && !std::same_as<T, bool> && !std::same_as<T, char>;

/// Lists the names of the columns.
class Names {
public:
    template <class T>
    using Row = const T;
    static constexpr bool takes = false;

    template <class T>
    void operator()(std::string_view name, const T&) {
        names_.emplace_back(name);
    }
    template <class T>
    void pair(std::string_view first, std::string_view second, const T&) {
        names_.emplace_back(first);
        names_.emplace_back(second);
    }
    template <class T>
    void point(std::string_view prefix, const T&) {
        for (const std::string_view part : {"_kind", "_ident", "_region", "_airport"}) {
            names_.emplace_back(std::string(prefix).append(part));
        }
    }
    const std::vector<std::string>& list() const { return names_; }

private:
    std::vector<std::string> names_;
};

/// Binds the values of one row. What is bound must live until the statement has run.
class Put {
public:
    template <class T>
    using Row = const T;
    static constexpr bool takes = false;

    explicit Put(Statement& statement) : statement_(statement) {}

    template <Number T>
    void operator()(std::string_view, const T& value) {
        bind(number_of(value));
    }
    template <Count T>
    void operator()(std::string_view, T value) {
        statement_.bind(next(), std::int64_t{value});
    }
    void operator()(std::string_view, bool value) { statement_.bind(next(), std::int64_t{value}); }
    void operator()(std::string_view, const char& value) {
        statement_.bind(next(), std::string_view(&value, 1));
    }
    void operator()(std::string_view, const std::string& value) {
        statement_.bind(next(), std::string_view(value));
    }
    void operator()(std::string_view, std::string_view value) { statement_.bind(next(), value); }
    template <Choice T>
    void operator()(std::string_view, T value) {
        statement_.bind(next(), Words<T>::list.at(static_cast<std::size_t>(value)));
    }
    template <class T>
    void operator()(std::string_view name, const std::optional<T>& value) {
        if (value) {
            (*this)(name, *value);
        } else {
            statement_.bind_null(next());
        }
    }
    void pair(std::string_view, std::string_view, const earth::Position& value) {
        bind(value.latitude_deg());
        bind(value.longitude_deg());
    }
    void pair(std::string_view, std::string_view, const navdata::CodedCourse& value) {
        bind(value.degrees);
        statement_.bind(next(), std::int64_t{value.is_true});
    }
    void pair(std::string_view, std::string_view, const navdata::PublishedMinimum& value) {
        if (const auto* altitude = std::get_if<base::Altitude>(&value)) {
            statement_.bind(next(), std::string_view("altitude"));
            bind(altitude->metres());
        } else if (std::holds_alternative<navdata::NotKnown>(value)) {
            statement_.bind(next(), std::string_view("not_known"));
            statement_.bind_null(next());
        } else {
            nulls(2);
        }
    }
    template <class T>
    void pair(std::string_view first, std::string_view second, const std::optional<T>& value) {
        if (value) {
            pair(first, second, *value);
        } else {
            nulls(2);
        }
    }
    void point(std::string_view, const navdata::PointName& value) {
        (*this)("", value.kind);
        (*this)("", value.ident);
        (*this)("", value.region);
        (*this)("", value.airport);
    }
    void point(std::string_view prefix, const std::optional<navdata::PointName>& value) {
        if (value) {
            point(prefix, *value);
        } else {
            nulls(4);
        }
    }

private:
    int next() { return next_++; }
    void bind(double number) {
        OMNIWAY_EXPECTS(std::isfinite(number));  // SQLite would store NaN as nothing
        statement_.bind(next(), number);
    }
    void nulls(int number) {
        for (int i = 0; i < number; ++i) {
            statement_.bind_null(next());
        }
    }
    Statement& statement_;
    int next_ = 1;
};

/// Takes the values of the row a statement stands on. What no atlas of ours holds (a type, a word or a number that cannot be,
/// nothing where something must be) is remembered in trouble(): a checksum that fits does not make values good.
class Take {
public:
    template <class T>
    using Row = T;
    static constexpr bool takes = true;

    explicit Take(const Statement& statement) : statement_(statement) {}

    template <Number T>
    void operator()(std::string_view name, T& value) {
        from_number(number(name), value);
    }
    template <Count T>
    void operator()(std::string_view name, T& value) {
        value = static_cast<T>(integer(name, std::numeric_limits<T>::min(), std::numeric_limits<T>::max()));
    }
    void operator()(std::string_view name, bool& value) { value = integer(name, 0, 1) == 1; }
    void operator()(std::string_view name, char& value) {
        const std::string_view found = text(name);
        if (found.size() != 1) {
            refuse(name, found);
            return;
        }
        value = found.front();
    }
    void operator()(std::string_view name, std::string& value) { value = text(name); }
    /// Valid until the next step.
    void operator()(std::string_view name, std::string_view& value) { value = text(name); }
    template <Choice T>
    void operator()(std::string_view name, T& value) {
        const std::string_view found = text(name);
        const auto& words = Words<T>::list;
        const auto word = std::find(words.begin(), words.end(), found);
        if (word == words.end()) {
            refuse(name, found);
            return;
        }
        value = static_cast<T>(word - words.begin());
    }
    template <class T>
    void operator()(std::string_view name, std::optional<T>& value) {
        if (skip_null(1)) {
            value.reset();
        } else {
            (*this)(name, value.emplace());
        }
    }
    void pair(std::string_view first, std::string_view second, earth::Position& value) {
        const double latitude_deg = number(first);
        const double longitude_deg = number(second);
        if (const auto made = earth::Position::make(latitude_deg, longitude_deg, "")) {
            value = *made;
        } else {
            refuse(first, made.error().message);
        }
    }
    void pair(std::string_view first, std::string_view second, navdata::CodedCourse& value) {
        value.degrees = number(first);
        value.is_true = integer(second, 0, 1) == 1;
    }
    void pair(std::string_view first, std::string_view second, navdata::PublishedMinimum& value) {
        if (skip_null(2)) {
            value = std::monostate{};
            return;
        }
        const std::string_view published = text(first);
        if (published == "altitude") {
            value = base::Altitude::metres(number(second));
        } else {
            if (published != "not_known" || !skip_null(1)) {
                refuse(first, published);
            }
            value = navdata::NotKnown{};
        }
    }
    template <class T>
    void pair(std::string_view first, std::string_view second, std::optional<T>& value) {
        if (skip_null(2)) {
            value.reset();
        } else {
            pair(first, second, value.emplace());
        }
    }
    void point(std::string_view prefix, navdata::PointName& value) {
        (*this)(prefix, value.kind);
        (*this)(prefix, value.ident);
        (*this)(prefix, value.region);
        (*this)(prefix, value.airport);
    }
    void point(std::string_view prefix, std::optional<navdata::PointName>& value) {
        if (skip_null(4)) {
            value.reset();
        } else {
            point(prefix, value.emplace());
        }
    }

    void refuse(std::string_view column, std::string_view value) {
        if (trouble_.empty()) {
            trouble_.append(column).append(" holds \"").append(value).append("\"");
        }
    }
    const std::string& trouble() const { return trouble_; }

private:
    Value take() { return statement_.value(next_++); }
    // Steps over `width` columns if the first of them is empty.
    bool skip_null(int width) {
        const bool null = statement_.value(next_).is_null();
        if (null) {
            next_ += width;
        }
        return null;
    }
    double number(std::string_view name) {
        const Value found = take();
        const double number = found.real();
        if (!found.is_number() || !std::isfinite(number)) {
            refuse(name, found.text());
            return 0.0;
        }
        return number;
    }
    std::int64_t integer(std::string_view name, std::int64_t least, std::int64_t most) {
        const Value found = take();
        const std::int64_t integer = found.integer();
        if (!found.is_integer() || integer < least || integer > most) {
            refuse(name, found.text());
            return least;
        }
        return integer;
    }
    std::string_view text(std::string_view name) {
        const Value found = take();
        if (!found.is_text()) {
            refuse(name, found.text());
            return {};
        }
        return found.text();
    }
    const Statement& statement_;
    int next_ = 0;
    std::string trouble_;
};

template <class Archive, class T>
using Row = typename Archive::template Row<T>;

// Each record is taken apart by name, so that a field added to it does not compile until it has a column (or a table) here.

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::Origin>& origin) {
    [[maybe_unused]] auto& [source, line] = origin;
    archive("source_id", source.index);
    archive("line", line);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::Source>& source) {
    [[maybe_unused]] auto& [file, format, cycle, validity, reference_year, checksum] = source;
    archive("file", file);
    archive("format", format);
    archive("cycle", cycle);
    archive("validity", validity);
    archive("reference_year", reference_year);
    archive("checksum", checksum);
}

/// The azimuth of a station laid flat: what its kind has no use for is absent.
struct FlatAzimuth {
    AzimuthKind kind = AzimuthKind::none;
    std::optional<earth::Position> position;
    std::optional<navdata::ServiceClass> service;
    std::optional<base::Declination> declination;
    std::optional<navdata::DeclinationFrom> declination_from;
    std::optional<base::Variation> variation;
    std::optional<base::Radial> course;
    std::optional<base::Angle> width;
    std::optional<std::string_view> runway;
    std::optional<std::string_view> category;
    std::optional<earth::Position> glideslope_position;
    std::optional<base::Angle> glideslope_angle;
    std::optional<base::Altitude> glideslope_elevation;
    std::optional<base::Length> glideslope_crossing_height;
};

FlatAzimuth flat(const navdata::Azimuth& azimuth);
/// A column that this kind of azimuth must have and has not, or an empty text.
std::string_view missing_column(const FlatAzimuth& flat);
navdata::Azimuth round(const FlatAzimuth& flat);

template <class Archive>
void columns(Archive& archive, Row<Archive, FlatAzimuth>& azimuth) {
    archive("azimuth", azimuth.kind);
    archive.pair("azimuth_latitude_deg", "azimuth_longitude_deg", azimuth.position);
    archive("azimuth_service", azimuth.service);
    archive("declination_east_rad", azimuth.declination);
    archive("declination_from", azimuth.declination_from);
    archive("variation_east_rad", azimuth.variation);
    archive("localizer_course_deg", azimuth.course);
    archive("localizer_width_rad", azimuth.width);
    archive("localizer_runway", azimuth.runway);
    archive("localizer_category", azimuth.category);
    archive.pair("glideslope_latitude_deg", "glideslope_longitude_deg", azimuth.glideslope_position);
    archive("glideslope_angle_rad", azimuth.glideslope_angle);
    archive("glideslope_elevation_m", azimuth.glideslope_elevation);
    archive("glideslope_crossing_height_m", azimuth.glideslope_crossing_height);
}

/// The distance part of a station laid flat.
struct FlatDistance {
    std::optional<earth::Position> position;
    std::optional<base::Altitude> elevation;
    std::optional<base::Length> bias;
    std::optional<navdata::ServiceClass> service;
};

FlatDistance flat(const std::optional<navdata::DistancePart>& dme);
std::string_view missing_column(const FlatDistance& flat);
std::optional<navdata::DistancePart> round(const FlatDistance& flat);

template <class Archive>
void columns(Archive& archive, Row<Archive, FlatDistance>& dme) {
    archive.pair("dme_latitude_deg", "dme_longitude_deg", dme.position);
    archive("dme_elevation_m", dme.elevation);
    archive("dme_bias_m", dme.bias);
    archive("dme_service", dme.service);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::Station>& station) {
    [[maybe_unused]] auto& [ident, region, airport, name, frequency, azimuth, dme, out_of_service, origins] =
        station;
    archive("ident", ident);
    archive("region", region);
    archive("airport", airport);
    archive("name", name);
    archive("frequency_hz", frequency);
    if constexpr (Archive::takes) {
        FlatAzimuth flat_azimuth;
        columns(archive, flat_azimuth);
        FlatDistance flat_dme;
        columns(archive, flat_dme);
        const bool nothing = flat_azimuth.kind == AzimuthKind::none && !flat_dme.position;
        for (const std::string_view column :
             {missing_column(flat_azimuth), missing_column(flat_dme),
              nothing ? std::string_view("dme_latitude_deg") : std::string_view()}) {
            if (!column.empty()) {
                archive.refuse(column, "");
            }
        }
        azimuth = round(flat_azimuth);
        dme = round(flat_dme);
    } else {
        columns(archive, flat(azimuth));
        columns(archive, flat(dme));
    }
    archive("out_of_service", out_of_service);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::Fix>& fix) {
    [[maybe_unused]] auto& [ident, region, airport, name, type, position, origin] = fix;
    archive("ident", ident);
    archive("region", region);
    archive("airport", airport);
    archive("name", name);
    archive("type", type);
    archive.pair("latitude_deg", "longitude_deg", position);
    columns(archive, origin);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::AirwayRow>& row) {
    [[maybe_unused]] auto& [area, designator, sequence, point, ends_continuous_part, route_type, level,
                            direction, outbound_course, distance_to_next, inbound_course, minimum,
                            minimum_backward, maximum, origin] = row;
    archive("area", area);
    archive("designator", designator);
    archive("sequence", sequence);
    archive.point("point", point);
    archive("ends_continuous_part", ends_continuous_part);
    archive("route_type", route_type);
    archive("level", level);
    archive("direction", direction);
    archive("outbound_course_deg", outbound_course);
    archive("distance_to_next_m", distance_to_next);
    archive("inbound_course_deg", inbound_course);
    archive.pair("minimum_published", "minimum_m", minimum);
    archive.pair("minimum_backward_published", "minimum_backward_m", minimum_backward);
    archive("maximum_m", maximum);
    columns(archive, origin);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::Airport>& airport) {
    [[maybe_unused]] auto& [ident, region, name, position, variation, elevation, origins] = airport;
    archive("ident", ident);
    archive("region", region);
    archive("name", name);
    archive.pair("latitude_deg", "longitude_deg", position);
    archive("variation_east_rad", variation);
    archive("elevation_m", elevation);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::Runway>& runway) {
    [[maybe_unused]] auto& [airport, ident, length, bearing, true_bearing, threshold, far_end, elevation,
                            displaced, localizer, origin] = runway;
    archive("airport", airport);
    archive("ident", ident);
    archive("length_m", length);
    archive("bearing_magnetic_deg", bearing);
    archive("bearing_true_deg", true_bearing);
    archive.pair("threshold_latitude_deg", "threshold_longitude_deg", threshold);
    archive.pair("far_end_latitude_deg", "far_end_longitude_deg", far_end);
    archive("elevation_m", elevation);
    archive("displaced_m", displaced);
    archive("localizer", localizer);
    columns(archive, origin);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::Communication>& communication) {
    [[maybe_unused]] auto& [airport, type, name, frequency, origin] = communication;
    archive("airport", airport);
    archive("type", type);
    archive("name", name);
    archive("frequency_hz", frequency);
    columns(archive, origin);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::Marker>& marker) {
    [[maybe_unused]] auto& [airport, localizer, runway, kind, position, minor_axis, elevation, origin] =
        marker;
    archive("airport", airport);
    archive("localizer", localizer);
    archive("runway", runway);
    archive("kind", kind);
    archive.pair("latitude_deg", "longitude_deg", position);
    archive("minor_axis_true_deg", minor_axis);
    archive("elevation_m", elevation);
    columns(archive, origin);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::Procedure>& procedure) {
    [[maybe_unused]] auto& [airport, region, kind, ident, qualifiers, branches] = procedure;
    archive("airport", airport);
    archive("region", region);
    archive("kind", kind);
    archive("ident", ident);
    archive("qualifiers", qualifiers);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::Branch>& branch) {
    [[maybe_unused]] auto& [route_type, transition, legs] = branch;
    archive("route_type", route_type);
    archive("transition", transition);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::Leg>& leg) {
    [[maybe_unused]] auto& [sequence, terminator, fix, recommended, centre, theta, rho, course, distance,
                            time, arc_radius, turn, altitude_rule, altitude_1, altitude_2, speed_limit,
                            vertical_angle, description, origin] = leg;
    archive("sequence", sequence);
    archive("terminator", terminator);
    archive.point("fix", fix);
    archive.point("recommended", recommended);
    archive.point("centre", centre);
    archive.pair("theta_deg", "theta_is_true", theta);
    archive("rho_m", rho);
    archive.pair("course_deg", "course_is_true", course);
    archive("distance_m", distance);
    archive("time_s", time);
    archive("arc_radius_m", arc_radius);
    archive("turn", turn);
    archive("altitude_rule", altitude_rule);
    archive("altitude_1_m", altitude_1);
    archive("altitude_2_m", altitude_2);
    archive("speed_limit_m_per_s", speed_limit);
    archive("vertical_angle_rad", vertical_angle);
    archive("description", description);
    columns(archive, origin);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::MinimumSectorAltitude>& minimum) {
    [[maybe_unused]] auto& [airport, centre, sectors, origin] = minimum;
    archive("airport", airport);
    archive.point("centre", centre);
    columns(archive, origin);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::SafeSector>& sector) {
    [[maybe_unused]] auto& [from, to, altitude, radius] = sector;
    archive("from_magnetic_deg", from);
    archive("to_magnetic_deg", to);
    archive("altitude_m", altitude);
    archive("radius_m", radius);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, navdata::GridMinimum>& minimum) {
    [[maybe_unused]] auto& [south_deg, west_deg, altitude, origin] = minimum;
    archive("south_deg", south_deg);
    archive("west_deg", west_deg);
    archive("altitude_m", altitude);
    columns(archive, origin);
}

template <class Archive>
void columns(Archive&, Row<Archive, earth::CoastlineRing>& ring) {
    [[maybe_unused]] auto& [vertices] = ring;
}

template <class Archive>
void columns(Archive& archive, Row<Archive, earth::Position>& vertex) {
    archive.pair("latitude_deg", "longitude_deg", vertex);
}

template <class Archive>
void columns(Archive& archive, Row<Archive, TerrainSource>& source) {
    auto& [file, format, projection, spacing_arc_seconds] = source;
    archive("file", file);
    archive("format", format);
    archive("projection", projection);
    archive("spacing_arc_seconds", spacing_arc_seconds);
}

/// The table that holds one kind of record, the table its rows are parts of, if any, and the table of their own parts, if any.
/// The parts of a row stand together, in order, in their table.
struct Table {
    std::string_view name;
    std::string_view parent = {};
    std::string_view parts = {};
};

constexpr Table source_table{"source"};
constexpr Table station_table{"station", "", "station_origin"};
constexpr Table station_origin_table{"station_origin", "station"};
constexpr Table fix_table{"fix"};
constexpr Table airway_row_table{"airway_row"};
constexpr Table airport_table{"airport", "", "airport_origin"};
constexpr Table airport_origin_table{"airport_origin", "airport"};
constexpr Table runway_table{"runway"};
constexpr Table communication_table{"communication"};
constexpr Table marker_table{"marker"};
constexpr Table procedure_table{"procedure", "", "procedure_branch"};
constexpr Table branch_table{"procedure_branch", "procedure", "procedure_leg"};
constexpr Table leg_table{"procedure_leg", "procedure_branch"};
constexpr Table sector_altitude_table{"sector_altitude", "", "safe_sector"};
constexpr Table safe_sector_table{"safe_sector", "sector_altitude"};
constexpr Table grid_minimum_table{"grid_minimum"};
constexpr Table coastline_table{"coastline", "", "coastline_vertex"};
constexpr Table coastline_vertex_table{"coastline_vertex", "coastline"};
constexpr Table terrain_source_table{"terrain_source"};

/// Where a row stands among the others: its key, the row it is a part of, and its own parts.
struct Standing {
    std::int64_t key = 0;
    std::int64_t parent = 0;
    std::int64_t first_part = 0;
    std::int64_t parts = 0;
};

template <class Archive>
void columns(Archive& archive, const Table& table, Row<Archive, Standing>& standing) {
    archive("key", standing.key);
    if (!table.parent.empty()) {
        archive("parent", standing.parent);
    }
    if (!table.parts.empty()) {
        archive("first part", standing.first_part);
        archive("parts", standing.parts);
    }
}

/// "fix_id, ident, region ...": key, parent's key, key of the first part, number of parts, then the fields in order.
template <class T>
std::string column_list(const Table& table) {
    std::string list = std::string(table.name).append("_id");
    if (!table.parent.empty()) {
        list.append(", ").append(table.parent).append("_id");
    }
    if (!table.parts.empty()) {
        list.append(", first_").append(table.parts).append("_id, ").append(table.parts).append("_count");
    }
    Names names;
    columns(names, T{});
    for (const std::string& name : names.list()) {
        list.append(", ").append(name);
    }
    return list;
}

}  // namespace omniway::store::detail
