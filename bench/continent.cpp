#include "bench/continent.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "earth/geodesic.hpp"

namespace omniway::bench {

using base::Altitude;
using base::Angle;
using base::Length;
using base::TrueBearing;
using earth::Position;
using navdata::PathTerminator;
using navdata::PointKind;
using navdata::PointName;

ContinentSize ContinentSize::part(double share) const {
    const auto some = [share](std::size_t all) {
        return static_cast<std::size_t>(std::lround(static_cast<double>(all) * share));
    };
    ContinentSize size = *this;
    size.vors = some(vors);
    size.ndbs = some(ndbs);
    size.fixes = some(fixes);
    size.airways = some(airways);
    size.segments = some(segments);
    size.airports = some(airports);
    size.approaches = some(approaches);
    size.height_deg *= std::sqrt(share);
    size.width_deg *= std::sqrt(share);
    return size;
}

double Relief::noise(double x, double y, std::uint64_t layer) const {
    const double left = std::floor(x);
    const double low = std::floor(y);
    const auto at = [&](double i, double j) {
        const auto key = static_cast<std::uint64_t>(static_cast<std::int64_t>(i)) * 0x9e3779b97f4a7c15U +
                         static_cast<std::uint64_t>(static_cast<std::int64_t>(j)) * 0xc2b2ae3d27d4eb4fU +
                         layer * 0x165667b19e3779f9U + seed_;
        return static_cast<double>(base::Random::mixed(key) >> 11U) * 0x1p-53;
    };
    const auto smooth = [](double t) { return t * t * (3.0 - 2.0 * t); };
    const double u = smooth(x - left);
    const double v = smooth(y - low);
    return (at(left, low) * (1.0 - u) + at(left + 1.0, low) * u) * (1.0 - v) +
           (at(left, low + 1.0) * (1.0 - u) + at(left + 1.0, low + 1.0) * u) * v;
}

double Relief::metres(double latitude_deg, double longitude_deg) const {
    const double x = longitude_deg - size_.west_deg;
    const double y = latitude_deg - size_.south_deg;
    const double inland = std::min({x, size_.width_deg - x, y, size_.height_deg - y});
    const double coast = inland - 0.6 * noise(x * 1.5, y * 1.5, 1);
    if (coast <= 0.0) {
        return 0.0;
    }
    const auto bump = [](double off, double half_width) {
        const double t = std::clamp(1.0 - (off / half_width) * (off / half_width), 0.0, 1.0);
        return t * t;
    };
    const double along = x / size_.width_deg;
    const double high_range = bump(along - 0.18 - 0.05 * noise(y, 0.5, 2), 0.12);
    const double old_range = bump(along - 0.82, 0.06);
    const double ridge = 1.0 - std::abs(2.0 * noise(x * 2.0, y * 2.0, 3) - 1.0);
    const double plains = 40.0 + 300.0 * noise(x * 0.3, y * 0.3, 4) + 60.0 * noise(x * 12.0, y * 12.0, 5);
    const double ranges = high_range * (600.0 + 2400.0 * ridge) + old_range * (200.0 + 900.0 * ridge);
    return std::min(coast / 0.5, 1.0) * (plains + ranges);
}

namespace {

constexpr double unit_radius_nm = 6371008.8 / 1852.0;

// A station or fix as the network is built from it.
struct Site {
    PointName name;
    Position position;
    std::array<double, 3> unit{};
    Angle zero;  // its declination or the variation there, east
    bool high = false;
    bool beacon = false;
};

struct InnerPoint {
    PointName name;
    Position position;
};

// What is published between two stations, whatever airways run over it: its fixes, from the first to the second.
struct Stretch {
    std::vector<InnerPoint> inner;
};

enum class AirwayKind { low, high, low_area_navigation, high_area_navigation };

struct KindOf {
    AirwayKind kind;
    char letter;
    char route_type;
    char level;
    double share;
    double nearest_nm;  // between stations
    double farthest_nm;
    double spacing_nm;  // of points
    std::optional<double> maximum_ft;
};

// Shares of the 530 counted rows; the lengths of stretches by the volumes of the classes.
constexpr std::array<KindOf, 4> kinds = {{
    {AirwayKind::low, 'V', 'O', 'L', 0.66, 25.0, 80.0, 15.0, 17500.0},
    {AirwayKind::high, 'J', 'O', 'H', 0.17, 80.0, 200.0, 60.0, 45000.0},
    {AirwayKind::low_area_navigation, 'T', 'R', 'L', 0.10, 0.0, 0.0, 22.0, 17500.0},
    {AirwayKind::high_area_navigation, 'Q', 'R', 'H', 0.07, 0.0, 0.0, 60.0, 45000.0},
}};

class Builder {
public:
    Builder(const ContinentSize& size, base::Seed seed, const VariationAt& variation)
        : size_(size), random_(seed), relief_(size, seed), variation_(variation) {}

    navdata::Records result() {
        records_.sources.push_back(
            {"continent", "generated", "", "of an invented continent", 2026.0, fmt::format("{:032x}", 0)});
        make_vors();
        make_airfields();
        make_beacons();
        make_airways();
        make_approaches();
        fill_up_fixes();
        make_grid();
        return std::move(records_);
    }

private:
    struct Airfield {
        std::size_t airport = 0;
        double elevation_ft = 0.0;
        Angle variation;
        // The one runway or the two; thresholds in the direction of landing that has the approach.
        struct Strip {
            std::string ident;
            Position threshold;
            Position far_end;
            TrueBearing along;
            std::string localizer;
            std::optional<Position> antenna;
        };
        std::vector<Strip> strips;
        std::optional<std::size_t> guided_by;  // of sites_: the VOR or NDB that its approach is flown on
    };

    // As a publication rounds a place: to a hundredth of a second.
    static Position published(Position at) {
        return Position::degrees(std::round(at.latitude_deg() * 360000.0) / 360000.0,
                                 std::round(at.longitude_deg() * 360000.0) / 360000.0);
    }
    static double tenths(double value) { return std::round(value * 10.0) / 10.0; }

    navdata::Origin origin() { return {{0}, ++line_}; }

    static std::string letters(std::size_t n, std::size_t width) {
        std::string text(width, 'A');
        for (std::size_t i = width; i-- > 0; n /= 26) {
            text[i] = static_cast<char>('A' + n % 26);
        }
        return text;
    }
    // A word of five letters that can be said, each once.
    std::string next_word() {
        constexpr std::string_view consonants = "BCDFGHJKLMNPRSTVWXYZ";
        constexpr std::string_view vowels = "AEIOU";
        std::size_t n = (words_++ * 7919U) % (20U * 5U * 20U * 5U * 20U);
        std::string word;
        for (const bool vowel : {false, true, false, true, false}) {
            const std::string_view from = vowel ? vowels : consonants;
            word += from[n % from.size()];
            n /= from.size();
        }
        return word;
    }
    // 26^3 idents in an order that puts no two like ones side by side: 3,109 has no factor 2 or 13.
    std::string next_station_ident() { return letters(station_idents_++ * 3109U % 17576U, 3); }

    double ground_ft(Position at) const {
        return relief_.metres(at.latitude_deg(), at.longitude_deg()) / 0.3048;
    }
    double highest_ft(Position centre, double radius_nm) const {
        double highest = ground_ft(centre);
        for (const double share : {0.35, 0.7, 1.0}) {
            for (int degrees = 0; degrees < 360; degrees += 30) {
                highest = std::max(highest,
                                   ground_ft(earth::destination(centre, TrueBearing::degrees(degrees),
                                                                Length::nautical_miles(radius_nm * share))));
            }
        }
        return highest;
    }
    bool on_land(Position at) const { return ground_ft(at) > 0.0; }
    Position anywhere_on_land() {
        for (;;) {
            const Position at = published(
                Position::degrees(random_.between(size_.south_deg, size_.south_deg + size_.height_deg),
                                  random_.between(size_.west_deg, size_.west_deg + size_.width_deg)));
            if (on_land(at)) {
                return at;
            }
        }
    }

    static double about_nm(const std::array<double, 3>& a, const std::array<double, 3>& b) {
        const double chord = std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
        return 2.0 * unit_radius_nm * std::asin(std::min(1.0, chord / 2.0));
    }

    Site site_of(const navdata::Station& station, Angle zero, bool high, bool beacon) const {
        const Position at = navdata::site(station);
        return {{beacon ? PointKind::ndb : PointKind::vhf_station, station.ident, station.region, ""},
                at,
                earth::unit_vector(at),
                zero,
                high,
                beacon};
    }

    // Columns and rows of a grid of about equal sides in miles, shaken by a third of a cell.
    void make_vors() {
        const double middle_deg = size_.south_deg + size_.height_deg / 2.0;
        const double width = size_.width_deg * std::cos(middle_deg * 3.14159265358979 / 180.0);
        const auto columns = static_cast<std::size_t>(
            std::max(1.0, std::round(std::sqrt(static_cast<double>(size_.vors) * width / size_.height_deg))));
        for (std::size_t i = 0; i < size_.vors; ++i) {
            const std::size_t column = i % columns;
            const std::size_t row = i / columns;
            const auto rows = static_cast<double>((size_.vors + columns - 1) / columns);
            const double across = (static_cast<double>(column) + 0.5 + random_.between(-0.33, 0.33)) /
                                  static_cast<double>(columns);
            const double up = (static_cast<double>(row) + 0.5 + random_.between(-0.33, 0.33)) / rows;
            add_vor(published(Position::degrees(size_.south_deg + size_.height_deg * up,
                                                size_.west_deg + size_.width_deg * across)),
                    column, row);
        }
    }

    void add_vor(Position at, std::size_t column, std::size_t row) {
        // 160 channels: 40 between the localizers', 120 above; the same one again 16 columns or 10 rows on, 480 NM at least.
        const std::size_t channel = (column % 16) + 16 * (row % 10);
        const double mhz = channel < 40 ? 108.0 + 0.2 * static_cast<double>(channel / 2) +
                                              0.05 * static_cast<double>(channel % 2)
                                        : 112.0 + 0.05 * static_cast<double>(channel - 40);
        const double which = random_.between(0.0, 1.0);
        const navdata::ServiceClass service = which < 0.40   ? navdata::ServiceClass::high
                                              : which < 0.94 ? navdata::ServiceClass::low
                                                             : navdata::ServiceClass::terminal;
        // Aligned years ago: the field has moved on by up to two degrees since.
        const Angle zero = Angle::degrees(std::round(
            variation_(at).east().degrees() + random_.between(-1.0, 1.0) + random_.between(-1.0, 1.0)));
        const Altitude elevation = Altitude::feet(std::round(ground_ft(at)));
        navdata::Station station;
        station.ident = next_station_ident();
        station.region = region;
        station.name = next_word();
        station.frequency = base::Frequency::megahertz(std::round(mhz * 100.0) / 100.0);
        station.azimuth =
            navdata::VorAzimuth{at, base::Declination::east(zero), navdata::DeclinationFrom::record, service};
        if (random_.with_chance(0.95)) {
            station.dme = navdata::DistancePart{at, elevation, Length(), service};
        }
        station.origins = {origin()};
        sites_.push_back(site_of(station, zero, service == navdata::ServiceClass::high, false));
        records_.stations.push_back(std::move(station));
    }

    std::size_t of_airports(double share) const {
        return static_cast<std::size_t>(std::lround(static_cast<double>(size_.airports) * share));
    }

    // With ILS (0.096 of all), on a VOR's radial, on an NDB, and all others.
    void make_airfields() {
        const std::size_t with_ils = of_airports(1350.0 / 14000.0);
        const std::size_t with_vor = std::min(of_airports(800.0 / 14000.0), sites_.size());
        const std::size_t with_ndb = of_airports(200.0 / 14000.0);
        for (std::size_t i = 0; i < size_.airports; ++i) {
            if (i < with_ils) {
                add_airfield(gentle_place(), random_.between(6500.0, 11000.0),
                             TrueBearing::degrees(random_.between(0.0, 360.0)), i % 3 == 0);
            } else if (i < with_ils + with_vor) {
                add_airfield_on(i - with_ils);
            } else {
                const bool beacon = i < with_ils + with_vor + with_ndb;
                add_airfield(beacon ? gentle_place() : anywhere_on_land(),
                             beacon ? random_.between(4500.0, 6500.0) : random_.between(1800.0, 5500.0),
                             TrueBearing::degrees(random_.between(0.0, 360.0)), random_.with_chance(0.25));
            }
        }
        add_localizers(with_ils);
        beacon_fields_ = {with_ils + with_vor, with_ils + with_vor + with_ndb};
    }

    // An airport with an instrument approach stands where no mountain is in its way.
    Position gentle_place() {
        Position at = anywhere_on_land();
        for (int tries = 0; tries < 20 && highest_ft(at, 12.0) > ground_ft(at) + 1200.0; ++tries) {
            at = anywhere_on_land();
        }
        return at;
    }

    // Its runway points away from the VOR, three to seven miles from it.
    void add_airfield_on(std::size_t vor) {
        const Site& site = sites_[vor];
        Position at = site.position;
        TrueBearing out;
        for (int tries = 0; tries < 20; ++tries) {
            out = TrueBearing::degrees(random_.between(0.0, 360.0));
            at = published(
                earth::destination(site.position, out, Length::nautical_miles(random_.between(4.0, 7.0))));
            if (on_land(at)) {
                break;
            }
        }
        add_airfield(at, random_.between(4500.0, 7500.0), earth::geodesic(site.position, at).arrival, false);
        airfields_.back().guided_by = vor;
    }

    void add_airfield(Position at, double length_ft, TrueBearing along, bool second) {
        Airfield field;
        field.airport = records_.airports.size();
        field.elevation_ft = std::round(ground_ft(at));
        field.variation = Angle::degrees(tenths(variation_(at).east().degrees()));
        navdata::Airport airport;
        airport.ident = "X" + letters(field.airport, 3);
        airport.region = region;
        airport.name = next_word();
        airport.position = at;
        airport.variation = base::Variation::east(field.variation);
        airport.elevation = Altitude::feet(field.elevation_ft);
        airport.origins = {origin()};
        records_.airports.push_back(std::move(airport));
        add_strip(field, at, along, length_ft);
        if (second) {
            add_strip(field, earth::destination(at, along, Length::feet(length_ft * 0.7)),
                      along + Angle::degrees(random_.between(50.0, 90.0)), length_ft * 0.8);
        }
        airfields_.push_back(std::move(field));
    }

    static std::string runway_ident(TrueBearing along, Angle variation) {
        const auto tens = static_cast<int>(std::lround((along - variation).degrees() / 10.0)) % 36;
        return fmt::format("RW{:02}", tens == 0 ? 36 : tens);
    }

    void add_strip(Airfield& field, Position middle, TrueBearing along, double length_ft) {
        const Length half = Length::feet(std::round(length_ft) / 2.0);
        const Position begin = published(earth::destination(middle, along, -half));
        const Position end = published(earth::destination(middle, along, half));
        const TrueBearing true_along = earth::bearing(begin, end);
        field.strips.push_back({runway_ident(true_along, field.variation), begin, end, true_along, "", {}});
        add_runway(field, begin, end, true_along, half * 2.0);
        add_runway(field, end, begin, earth::bearing(end, begin), half * 2.0);
    }

    void add_runway(const Airfield& field, Position threshold, Position far_end, TrueBearing along,
                    Length length) {
        navdata::Runway runway;
        runway.airport = records_.airports[field.airport].ident;
        runway.ident = runway_ident(along, field.variation);
        runway.length = length;
        runway.bearing = base::MagneticBearing::degrees(tenths((along - field.variation).degrees()));
        runway.threshold = threshold;
        runway.far_end = far_end;
        runway.elevation = Altitude::feet(field.elevation_ft);
        runway.origin = origin();
        records_.runways.push_back(std::move(runway));
    }

    // One in three of these airports has a second one: 1,800 on 1,350. One in nineteen without a glideslope.
    void add_localizers(std::size_t with_ils) {
        for (std::size_t i = 0; i < with_ils; ++i) {
            for (Airfield::Strip& strip : airfields_[i].strips) {
                add_localizer(airfields_[i], strip);
            }
        }
    }

    void add_localizer(const Airfield& field, Airfield::Strip& strip) {
        const navdata::Airport& airport = records_.airports[field.airport];
        strip.localizer = "I" + next_station_ident();
        strip.antenna = published(earth::destination(strip.far_end, strip.along, Length::feet(1000.0)));
        navdata::LocalizerAzimuth azimuth;
        azimuth.position = *strip.antenna;
        azimuth.declination = base::Declination::east(field.variation);
        azimuth.course = base::Radial::degrees(tenths((strip.along - field.variation).degrees()));
        azimuth.width = Angle::degrees(5.0);
        azimuth.runway = strip.ident;
        const bool alone = random_.with_chance(1.0 / 19.0);
        azimuth.category = alone ? "0" : "1";
        if (!alone) {
            const Position abeam = earth::destination(strip.threshold, strip.along, Length::feet(1000.0));
            azimuth.glideslope = navdata::Glideslope{
                published(earth::destination(abeam, strip.along + Angle::degrees(90.0), Length::feet(400.0))),
                Angle::degrees(3.0), Altitude::feet(field.elevation_ft), Length::feet(52.0)};
        }
        navdata::Station station;
        station.ident = strip.localizer;
        station.region = region;
        station.airport = airport.ident;
        station.name = airport.name;
        station.frequency = farthest_used(azimuth.position);
        if (random_.with_chance(0.9)) {
            station.dme = navdata::DistancePart{azimuth.position, Altitude::feet(field.elevation_ft),
                                                Length(), navdata::ServiceClass::localizer};
        }
        station.azimuth = azimuth;
        station.origins = {origin()};
        records_.stations.push_back(std::move(station));
        for (navdata::Runway& runway : records_.runways) {
            if (runway.airport == airport.ident && runway.ident == strip.ident) {
                runway.localizer = strip.localizer;
            }
        }
    }

    // Of the 40 localizer frequencies the one whose nearest user is farthest away.
    base::Frequency farthest_used(Position at) {
        const auto here = earth::unit_vector(at);
        std::array<double, 40> nearest_nm;
        nearest_nm.fill(1e9);
        for (const auto& [channel, unit] : localizer_channels_) {
            nearest_nm[channel] = std::min(nearest_nm[channel], about_nm(here, unit));
        }
        const auto best = static_cast<std::size_t>(std::max_element(nearest_nm.begin(), nearest_nm.end()) -
                                                   nearest_nm.begin());
        localizer_channels_.emplace_back(best, here);
        const double mhz = 108.1 + 0.2 * static_cast<double>(best / 2) + 0.05 * static_cast<double>(best % 2);
        return base::Frequency::megahertz(std::round(mhz * 100.0) / 100.0);
    }

    // First those on which an airport's approach is flown, five miles before its runway; the rest anywhere.
    void make_beacons() {
        for (std::size_t i = 0; i < size_.ndbs; ++i) {
            const std::size_t field = beacon_fields_.first + i;
            const bool of_a_field = field < beacon_fields_.second;
            const Position at =
                of_a_field ? published(earth::destination(airfields_[field].strips.front().threshold,
                                                          airfields_[field].strips.front().along.reciprocal(),
                                                          Length::nautical_miles(random_.between(4.0, 6.0))))
                           : anywhere_on_land();
            if (of_a_field) {
                airfields_[field].guided_by = sites_.size();
            }
            const double which = random_.between(0.0, 1.0);
            navdata::Station station;
            station.ident = next_station_ident();
            station.region = region;
            station.name = next_word();
            station.frequency = base::Frequency::kilohertz(200.0 + static_cast<double>(random_.below(215)));
            const Angle zero = Angle::degrees(tenths(variation_(at).east().degrees()));
            station.azimuth = navdata::NdbAzimuth{at, base::Variation::east(zero),
                                                  which < 0.46   ? navdata::ServiceClass::ndb_medium
                                                  : which < 0.78 ? navdata::ServiceClass::ndb
                                                                 : navdata::ServiceClass::compass_locator};
            station.origins = {origin()};
            sites_.push_back(site_of(station, zero, false, true));
            records_.stations.push_back(std::move(station));
        }
    }

    void make_airways() {
        gather_neighbours();
        std::size_t airways_before = 0;
        std::size_t segments_before = 0;
        double share_before = 0.0;
        for (const KindOf& kind : kinds) {
            share_before += kind.share;
            const auto airways = share_of(size_.airways, share_before) - airways_before;
            const auto segments = share_of(size_.segments, share_before) - segments_before;
            make_airways_of(kind, airways, segments);
            airways_before += airways;
            segments_before += segments;
        }
    }
    static std::size_t share_of(std::size_t all, double share) {
        return static_cast<std::size_t>(std::lround(static_cast<double>(all) * std::min(share, 1.0)));
    }

    void gather_neighbours() {
        constexpr double farthest_nm = 200.0;
        neighbours_.resize(sites_.size());
        for (std::size_t a = 0; a < sites_.size(); ++a) {
            for (std::size_t b = 0; b < sites_.size(); ++b) {
                const double apart_nm = a == b ? 0.0 : about_nm(sites_[a].unit, sites_[b].unit);
                if (a != b && apart_nm < farthest_nm) {
                    neighbours_[a].emplace_back(b, apart_nm);
                }
            }
        }
    }

    void make_airways_of(const KindOf& kind, std::size_t airways, std::size_t segments) {
        std::size_t made = 0;
        for (std::size_t i = 0; i < airways; ++i) {
            const double average =
                static_cast<double>(segments - std::min(made, segments)) / static_cast<double>(airways - i);
            const auto wanted =
                static_cast<std::size_t>(std::max(2.0, std::round(average * random_.between(0.5, 1.5))));
            const std::string designator = fmt::format("{}{}", kind.letter, i + 1);
            std::vector<InnerPoint> points;
            for (int tries = 0; tries < 30 && points.size() < 3; ++tries) {
                points =
                    kind.route_type == 'R' ? points_of_their_own(kind, wanted) : over_stations(kind, wanted);
            }
            made += points.empty() ? 0 : points.size() - 1;
            add_airway(kind, designator, points);
        }
    }

    std::vector<InnerPoint> points_of_their_own(const KindOf& kind, std::size_t wanted) {
        std::vector<InnerPoint> points;
        Position at = anywhere_on_land();
        TrueBearing on = TrueBearing::degrees(random_.between(0.0, 360.0));
        while (points.size() <= wanted && on_land(at)) {
            points.push_back({add_fix("", "W  ", at), at});
            at = published(earth::destination(
                at, on, Length::nautical_miles(kind.spacing_nm * random_.between(0.5, 1.6))));
            on = on + Angle::degrees(random_.between(-8.0, 8.0));
        }
        return points;
    }

    // From station to station, never turning by more than 35 degrees.
    std::vector<InnerPoint> over_stations(const KindOf& kind, std::size_t wanted) {
        std::vector<InnerPoint> points;
        std::size_t here = random_.below(sites_.size());
        if (!serves(kind, sites_[here])) {
            return points;
        }
        TrueBearing on = TrueBearing::degrees(random_.between(0.0, 360.0));
        std::set<std::size_t> met = {here};
        points.push_back({sites_[here].name, sites_[here].position});
        while (points.size() <= wanted) {
            const auto next = next_station(kind, here, on, met);
            if (!next) {
                break;
            }
            append_stretch(kind, here, *next, points);
            on = earth::geodesic(sites_[here].position, sites_[*next].position).arrival;
            here = *next;
            met.insert(here);
        }
        return points;
    }

    // Low airways run over beacons here and there (2 % of the counted rows are at one), high ones only between class H.
    bool serves(const KindOf& kind, const Site& site) {
        return kind.kind == AirwayKind::high ? site.high : !site.beacon || random_.with_chance(0.08);
    }

    std::optional<std::size_t> next_station(const KindOf& kind, std::size_t here, TrueBearing on,
                                            const std::set<std::size_t>& met) {
        std::optional<std::size_t> best;
        double best_worth = 1e9;
        for (const auto& [other, apart_nm] : neighbours_[here]) {
            if (apart_nm < kind.nearest_nm || apart_nm > kind.farthest_nm || met.contains(other) ||
                !serves(kind, sites_[other])) {
                continue;
            }
            const double turn =
                std::abs((earth::bearing(sites_[here].position, sites_[other].position) - on).degrees());
            if (turn > 35.0) {
                continue;
            }
            // Near ones, straight on, where no airway runs yet.
            const double worth = turn + 0.3 * apart_nm + random_.between(0.0, 20.0) +
                                 (stretches_.contains(key(kind, here, other)) ? 15.0 : 0.0);
            if (worth < best_worth) {
                best_worth = worth;
                best = other;
            }
        }
        return best;
    }

    using StretchKey = std::tuple<AirwayKind, std::size_t, std::size_t>;
    static StretchKey key(const KindOf& kind, std::size_t a, std::size_t b) {
        return {kind.kind, std::min(a, b), std::max(a, b)};
    }

    void append_stretch(const KindOf& kind, std::size_t from, std::size_t to,
                        std::vector<InnerPoint>& points) {
        const StretchKey which = key(kind, from, to);
        auto found = stretches_.find(which);
        if (found == stretches_.end()) {
            found = stretches_.emplace(which, stretch(kind, std::min(from, to), std::max(from, to))).first;
        }
        std::vector<InnerPoint> inner = found->second.inner;
        if (from > to) {
            std::reverse(inner.begin(), inner.end());
        }
        points.insert(points.end(), inner.begin(), inner.end());
        points.push_back({sites_[to].name, sites_[to].position});
    }

    // One in eight bends, where a radial of the one station crosses one of the other.
    Stretch stretch(const KindOf& kind, std::size_t a, std::size_t b) {
        const earth::Geodesic line = earth::geodesic(sites_[a].position, sites_[b].position);
        Stretch made;
        if (random_.with_chance(0.125)) {
            const Position middle = earth::destination(sites_[a].position, line.initial, line.distance * 0.5);
            const Position bend = published(earth::destination(
                middle, line.initial + Angle::degrees(random_.with_chance(0.5) ? 90.0 : -90.0),
                line.distance * random_.between(0.04, 0.1)));
            put_fixes(kind, sites_[a].position, bend, made.inner);
            made.inner.push_back({add_fix("", "R  ", bend), bend});
            put_fixes(kind, bend, sites_[b].position, made.inner);
        } else {
            put_fixes(kind, sites_[a].position, sites_[b].position, made.inner);
        }
        return made;
    }

    void put_fixes(const KindOf& kind, Position from, Position to, std::vector<InnerPoint>& points) {
        const earth::Geodesic line = earth::geodesic(from, to);
        const double parts = std::max(
            1.0, std::round(line.distance.nautical_miles() / kind.spacing_nm * random_.between(0.5, 1.3)));
        for (double i = 1.0; i < parts; i += 1.0) {
            const Position at = published(earth::destination(
                from, line.initial, line.distance * ((i + random_.between(-0.3, 0.3)) / parts)));
            points.push_back({add_fix("", "R  ", at), at});
        }
    }

    PointName add_fix(const std::string& airport, const std::string& type, Position at) {
        navdata::Fix fix;
        fix.ident = next_word();
        fix.region = region;
        fix.airport = airport;
        fix.name = fix.ident;
        fix.type = type;
        fix.position = at;
        fix.origin = origin();
        records_.fixes.push_back(fix);
        return {airport.empty() ? PointKind::fix : PointKind::terminal_fix, fix.ident, region, airport};
    }

    void add_airway(const KindOf& kind, const std::string& designator,
                    const std::vector<InnerPoint>& points) {
        const bool one_way = random_.with_chance(0.01);
        // After this point, or after the last one, which is no gap.
        const bool broken = points.size() > 8 && random_.with_chance(0.05);
        const std::size_t gap = broken ? 3 + random_.below(points.size() - 6) : points.size();
        for (std::size_t i = 0; i < points.size(); ++i) {
            navdata::AirwayRow row;
            row.area = "XAL";
            row.designator = designator;
            row.sequence = static_cast<std::uint32_t>(10 * (i + 1));
            row.point = points[i].name;
            row.route_type = kind.route_type;
            row.level = kind.level;
            row.direction = one_way ? navdata::AirwayDirection::forward_only : navdata::AirwayDirection::both;
            row.ends_continuous_part = i + 1 == points.size() || gap == i;
            row.origin = origin();
            if (i > 0) {
                row.inbound_course = course(points[i - 1].position, points[i].position, true);
            }
            if (i + 1 < points.size()) {
                publish_leg(kind, points[i].position, points[i + 1].position, row);
            }
            records_.airway_rows.push_back(std::move(row));
        }
    }

    // The magnetic course of the publication; which aid's zero it is counted from matters to nobody here.
    std::optional<base::Radial> course(Position from, Position to, bool at_the_end) const {
        const earth::Geodesic line = earth::geodesic(from, to);
        const TrueBearing bearing = at_the_end ? line.arrival : line.initial;
        return base::Radial::degrees(tenths((bearing - variation_(at_the_end ? to : from).east()).degrees()));
    }

    void publish_leg(const KindOf& kind, Position from, Position to, navdata::AirwayRow& row) {
        row.outbound_course = course(from, to, false);
        row.distance_to_next = Length::nautical_miles(tenths(earth::distance(from, to).nautical_miles()));
        row.maximum = kind.maximum_ft ? std::optional(Altitude::feet(*kind.maximum_ft)) : std::nullopt;
        const double minimum_ft = std::max(kind.level == 'H' ? 18000.0 : 2000.0, minimum_over(from, to));
        if (random_.with_chance(0.036)) {
            row.minimum = navdata::NotKnown{};
            row.minimum_backward = navdata::NotKnown{};
            return;
        }
        row.minimum = Altitude::feet(minimum_ft);
        row.minimum_backward = row.minimum;
        if (random_.with_chance(0.043)) {
            row.minimum_backward =
                Altitude::feet(minimum_ft + 500.0 * static_cast<double>(1 + random_.below(6)));
        }
    }

    double minimum_over(Position from, Position to) const {
        const earth::Geodesic line = earth::geodesic(from, to);
        double highest = 0.0;
        double lowest = 1e9;
        const double parts = std::ceil(std::max(1.0, line.distance.nautical_miles() / 2.0));
        for (double i = 0.0; i <= parts; i += 1.0) {
            const Position at = earth::destination(from, line.initial, line.distance * (i / parts));
            for (const double side_nm : {-4.0, 0.0, 4.0}) {
                const double feet = ground_ft(earth::destination(at, line.initial + Angle::degrees(90.0),
                                                                 Length::nautical_miles(side_nm)));
                highest = std::max(highest, feet);
                lowest = std::min(lowest, feet);
            }
        }
        return hundreds(highest + (highest - lowest > 3000.0 ? 2000.0 : 1000.0) + 200.0);
    }
    static double hundreds(double feet) { return std::ceil(feet / 100.0) * 100.0; }

    void make_approaches() {
        const std::size_t by_reader = size_.approaches;
        for (Airfield& field : airfields_) {
            for (const Airfield::Strip& strip : field.strips) {
                if (!strip.localizer.empty()) {
                    add_localizer_approaches(field, strip);
                }
            }
            if (field.guided_by) {
                add_approach_over(field);
            }
        }
        for (std::size_t i = 0; records_.procedures.size() < by_reader && i < 2 * airfields_.size(); ++i) {
            const Airfield& field = airfields_[i % airfields_.size()];
            // All that have an ILS, one in five of the others; a second round takes the rest that is wanted.
            if (!field.strips.front().localizer.empty() || i >= airfields_.size() ||
                random_.with_chance(0.35)) {
                add_area_navigation_approach(field, i >= airfields_.size() ? "Y" : "");
            }
        }
    }

    navdata::Leg leg(PathTerminator terminator, std::optional<PointName> fix,
                     const std::string& description) {
        navdata::Leg leg;
        leg.terminator = terminator;
        leg.fix = std::move(fix);
        leg.description = description;
        leg.origin = origin();
        return leg;
    }
    static void at_or_above(navdata::Leg& leg, double feet) {
        leg.altitude_rule = navdata::AltitudeRule::at_or_above;
        leg.altitude_1 = Altitude::feet(feet);
    }
    static void number(std::vector<navdata::Leg>& legs, std::uint32_t first = 10) {
        for (std::size_t i = 0; i < legs.size(); ++i) {
            legs[i].sequence = first + static_cast<std::uint32_t>(10 * i);
        }
    }
    static navdata::CodedCourse coded(TrueBearing true_course, Angle zero) {
        return {tenths((true_course - zero).degrees()), false};
    }

    PointName runway_name(const Airfield& field, const Airfield::Strip& strip) const {
        return {PointKind::runway, strip.ident, region, records_.airports[field.airport].ident};
    }

    // Up along the runway, back over a VOR or NDB and into a hold there.
    void append_missed(const Airfield& field, const Airfield::Strip& strip, const Site& over, double hold_ft,
                       std::vector<navdata::Leg>& legs) {
        navdata::Leg climb = leg(PathTerminator::CA, std::nullopt, "  M ");
        climb.course = coded(strip.along, field.variation);
        at_or_above(climb, field.elevation_ft + 800.0);
        legs.push_back(climb);
        navdata::Leg back = leg(PathTerminator::DF, over.name, over.beacon ? "NY  " : "VY  ");
        back.turn = navdata::Turn::left;
        at_or_above(back, hold_ft);
        legs.push_back(back);
        navdata::Leg hold = leg(PathTerminator::HM, over.name, over.beacon ? "NE  " : "VE  ");
        hold.turn = navdata::Turn::right;
        hold.course = coded(earth::bearing(strip.far_end, over.position), over.zero);
        hold.time = base::minutes(1.0);
        at_or_above(hold, hold_ft);
        legs.push_back(hold);
    }

    std::size_t nearest_vor(Position at) const {
        const auto here = earth::unit_vector(at);
        std::size_t best = 0;
        for (std::size_t i = 0; i < sites_.size() && !sites_[i].beacon; ++i) {
            if (about_nm(here, sites_[i].unit) < about_nm(here, sites_[best].unit)) {
                best = i;
            }
        }
        return best;
    }

    struct FinalFixes {
        PointName intermediate;
        PointName final;
        Position intermediate_at;
        Position final_at;
        double intermediate_ft = 0.0;
        double final_ft = 0.0;
    };

    FinalFixes final_fixes(const Airfield& field, const Airfield::Strip& strip, const std::string& type) {
        const std::string& airport = records_.airports[field.airport].ident;
        const TrueBearing outward = strip.along.reciprocal();
        FinalFixes made;
        made.final_at = published(earth::destination(strip.threshold, outward, Length::nautical_miles(5.0)));
        made.intermediate_at =
            published(earth::destination(strip.threshold, outward, Length::nautical_miles(11.0)));
        made.final = add_fix(airport, type, made.final_at);
        made.intermediate = add_fix(airport, type, made.intermediate_at);
        made.final_ft = hundreds(field.elevation_ft + 1550.0);
        made.intermediate_ft = made.final_ft + 700.0;
        return made;
    }

    // Down the localizer to the runway, from the fix before the last: ILS where there is a glideslope, and LOC.
    void add_localizer_approaches(const Airfield& field, const Airfield::Strip& strip) {
        const FinalFixes fixes = final_fixes(field, strip, "C  ");
        const Site& over = sites_[nearest_vor(strip.threshold)];
        const bool glideslope = has_glideslope(strip.localizer);
        for (const char type : {'I', 'L'}) {
            if (type == 'I' && !glideslope) {
                continue;
            }
            navdata::Procedure procedure = begin_procedure(field, type + strip.ident.substr(2), "NS");
            if (auto transition = from_vor(field, strip, fixes, over)) {
                procedure.branches.push_back(std::move(*transition));
            }
            procedure.branches.push_back(down_localizer(field, strip, fixes, over, type));
            records_.procedures.push_back(std::move(procedure));
        }
    }

    bool has_glideslope(const std::string& ident) const {
        for (const navdata::Station& station : records_.stations) {
            if (const auto* azimuth = navdata::localizer(station);
                azimuth != nullptr && station.ident == ident) {
                return azimuth->glideslope.has_value();
            }
        }
        return false;
    }

    navdata::Procedure begin_procedure(const Airfield& field, const std::string& ident,
                                       const std::string& qualifiers) const {
        navdata::Procedure procedure;
        procedure.airport = records_.airports[field.airport].ident;
        procedure.region = region;
        procedure.kind = navdata::ProcedureKind::approach;
        procedure.ident = ident;
        procedure.qualifiers = qualifiers;
        return procedure;
    }

    void along_localizer(const Airfield& field, const Airfield::Strip& strip, Position at,
                         navdata::Leg& leg) const {
        leg.recommended =
            PointName{PointKind::localizer, strip.localizer, region, records_.airports[field.airport].ident};
        leg.theta = coded(strip.along.reciprocal(), field.variation);
        leg.rho = Length::nautical_miles(tenths(earth::distance(*strip.antenna, at).nautical_miles()));
    }

    navdata::Branch down_localizer(const Airfield& field, const Airfield::Strip& strip,
                                   const FinalFixes& fixes, const Site& over, char type) {
        navdata::Branch branch;
        branch.route_type = type;
        navdata::Leg first = leg(PathTerminator::IF, fixes.intermediate, "E  I");
        along_localizer(field, strip, fixes.intermediate_at, first);
        at_or_above(first, fixes.intermediate_ft);
        navdata::Leg final = leg(PathTerminator::CF, fixes.final, "E  F");
        along_localizer(field, strip, fixes.final_at, final);
        final.course = coded(strip.along, field.variation);
        final.distance = Length::nautical_miles(6.0);
        at_or_above(final, fixes.final_ft);
        navdata::Leg last = leg(PathTerminator::CF, runway_name(field, strip), "GY M");
        along_localizer(field, strip, strip.threshold, last);
        last.course = coded(strip.along, field.variation);
        last.distance = Length::nautical_miles(5.0);
        last.altitude_rule = navdata::AltitudeRule::at;
        last.altitude_1 = Altitude::feet(field.elevation_ft + 50.0);
        last.vertical_angle = Angle::degrees(-3.0);
        branch.legs = {first, final, last};
        append_missed(field, strip, over, hold_altitude(field, over), branch.legs);
        number(branch.legs, 20);
        return branch;
    }

    double hold_altitude(const Airfield& field, const Site& over) const {
        return hundreds(std::max(field.elevation_ft + 2500.0, highest_ft(over.position, 10.0) + 1500.0));
    }

    // From over a VOR not too far to the final fix, and back inbound by a procedure turn.
    std::optional<navdata::Branch> from_vor(const Airfield& field, const Airfield::Strip& strip,
                                            const FinalFixes& fixes, const Site& over) {
        const earth::Geodesic line = earth::geodesic(over.position, fixes.final_at);
        if (line.distance > Length::nautical_miles(30.0) || line.distance < Length::nautical_miles(3.0)) {
            return std::nullopt;
        }
        const double high_ft = std::max(fixes.intermediate_ft, hold_altitude(field, over));
        navdata::Branch branch;
        branch.route_type = 'A';
        branch.transition = over.name.ident;
        navdata::Leg first = leg(PathTerminator::IF, over.name, "V  A");
        at_or_above(first, high_ft);
        navdata::Leg out = leg(PathTerminator::CF, fixes.final, "E   ");
        out.recommended = over.name;
        out.theta = coded(line.initial, over.zero);
        out.rho = Length::nautical_miles(tenths(line.distance.nautical_miles()));
        out.course = coded(line.initial, over.zero);
        out.distance = out.rho;
        at_or_above(out, high_ft);
        navdata::Leg turn = leg(PathTerminator::PI, fixes.final, "EE  ");
        along_localizer(field, strip, fixes.final_at, turn);
        turn.course = coded(strip.along.reciprocal() - Angle::degrees(45.0), field.variation);
        turn.turn = navdata::Turn::right;
        turn.distance = Length::nautical_miles(10.0);
        at_or_above(turn, fixes.intermediate_ft);
        branch.legs = {first, out, turn};
        number(branch.legs);
        return branch;
    }

    // Over the VOR or NDB before the runway, out of a hold there, and inbound from it.
    void add_approach_over(const Airfield& field) {
        const Site& over = sites_[*field.guided_by];
        const Airfield::Strip& strip = field.strips.front();
        const earth::Geodesic line = earth::geodesic(over.position, strip.threshold);
        const double final_ft = hundreds(field.elevation_ft + 300.0 + 318.0 * line.distance.nautical_miles());
        const double first_ft = std::max(final_ft + 500.0, hold_altitude(field, over));
        const char type = over.beacon ? 'N' : "SSSSDDDDV"[random_.below(9)];
        const std::string mark = over.beacon ? "N" : "V";
        navdata::Procedure procedure =
            begin_procedure(field, type + strip.ident.substr(2), type == 'D' ? "DS" : "NS");
        navdata::Branch hold;
        hold.route_type = 'A';
        hold.transition = over.name.ident;
        navdata::Leg inbound = leg(PathTerminator::HF, over.name, mark + "E A");
        inbound.course = coded(line.initial, over.zero);
        inbound.turn = navdata::Turn::right;
        inbound.time = base::minutes(1.0);
        at_or_above(inbound, first_ft);
        hold.legs = {inbound};
        number(hold.legs);
        procedure.branches.push_back(std::move(hold));
        navdata::Branch own;
        own.route_type = type;
        navdata::Leg first = leg(PathTerminator::IF, over.name, mark + "  F");
        first.recommended = over.name;
        at_or_above(first, final_ft);
        navdata::Leg last = leg(PathTerminator::CF, runway_name(field, strip), "GY M");
        last.recommended = over.name;
        last.theta = coded(line.initial, over.zero);
        last.rho = Length::nautical_miles(tenths(line.distance.nautical_miles()));
        last.course = last.theta;
        last.distance = last.rho;
        last.altitude_rule = navdata::AltitudeRule::at;
        last.altitude_1 = Altitude::feet(field.elevation_ft + 50.0);
        own.legs = {first, last};
        append_missed(field, strip, over, first_ft, own.legs);
        number(own.legs, 20);
        procedure.branches.push_back(std::move(own));
        records_.procedures.push_back(std::move(procedure));
    }

    // What ground aids cannot fly: three points to the runway.
    void add_area_navigation_approach(const Airfield& field, const std::string& suffix) {
        const Airfield::Strip& strip = field.strips.front();
        const FinalFixes fixes = final_fixes(field, strip, "W  ");
        navdata::Procedure procedure = begin_procedure(field, "R" + strip.ident.substr(2) + suffix, "PS");
        navdata::Branch own;
        own.route_type = 'R';
        navdata::Leg first = leg(PathTerminator::IF, fixes.intermediate, "E  A");
        at_or_above(first, fixes.intermediate_ft);
        navdata::Leg final = leg(PathTerminator::TF, fixes.final, "E  F");
        at_or_above(final, fixes.final_ft);
        navdata::Leg last = leg(PathTerminator::TF, runway_name(field, strip), "GY M");
        last.altitude_rule = navdata::AltitudeRule::at;
        last.altitude_1 = Altitude::feet(field.elevation_ft + 50.0);
        navdata::Leg missed = leg(PathTerminator::DF, fixes.intermediate, "EY M");
        at_or_above(missed, fixes.intermediate_ft);
        own.legs = {first, final, last, missed};
        number(own.legs);
        procedure.branches.push_back(std::move(own));
        records_.procedures.push_back(std::move(procedure));
    }

    // The rest of the wanted fixes: seven in ten of all belong to an airport.
    void fill_up_fixes() {
        while (records_.fixes.size() < size_.fixes) {
            const Airfield& field = airfields_[random_.below(airfields_.size())];
            const navdata::Airport& airport = records_.airports[field.airport];
            if (random_.with_chance(0.8)) {
                add_fix(airport.ident, "W  ",
                        published(earth::destination(airport.position,
                                                     TrueBearing::degrees(random_.between(0.0, 360.0)),
                                                     Length::nautical_miles(random_.between(3.0, 35.0)))));
            } else {
                add_fix("", "W  ", anywhere_on_land());
            }
        }
    }

    void make_grid() {
        const auto south = static_cast<int>(std::floor(size_.south_deg)) - 1;
        const auto north = static_cast<int>(std::ceil(size_.south_deg + size_.height_deg)) + 1;
        const auto west = static_cast<int>(std::floor(size_.west_deg)) - 1;
        const auto east = static_cast<int>(std::ceil(size_.west_deg + size_.width_deg)) + 1;
        for (int row = south; row < north; ++row) {
            for (int column = west; column < east; ++column) {
                double highest_m = 0.0;
                double lowest_m = 1e9;
                for (int i = 0; i <= 30; ++i) {
                    for (int j = 0; j <= 30; ++j) {
                        const double m = relief_.metres(row + i / 30.0, column + j / 30.0);
                        highest_m = std::max(highest_m, m);
                        lowest_m = std::min(lowest_m, m);
                    }
                }
                const double clearance_ft = highest_m - lowest_m > 3000.0 * 0.3048 ? 2000.0 : 1000.0;
                records_.grid_minimums.push_back(
                    {static_cast<std::int16_t>(row), static_cast<std::int16_t>(column),
                     Altitude::feet(hundreds(highest_m / 0.3048 + 200.0 + clearance_ft)), origin()});
            }
        }
    }

    inline static const std::string region = "XA";
    ContinentSize size_;
    base::Random random_;
    Relief relief_;
    const VariationAt& variation_;
    navdata::Records records_;
    std::uint32_t line_ = 0;
    std::size_t words_ = 0;
    std::size_t station_idents_ = 1;
    std::vector<Site> sites_;  // VORs, then NDBs
    std::vector<Airfield> airfields_;
    std::pair<std::size_t, std::size_t> beacon_fields_;
    std::vector<std::pair<std::size_t, std::array<double, 3>>> localizer_channels_;
    std::vector<std::vector<std::pair<std::size_t, double>>> neighbours_;
    std::map<StretchKey, Stretch> stretches_;
};

}  // namespace

navdata::Records continent_records(const ContinentSize& size, base::Seed seed, const VariationAt& variation) {
    return Builder(size, seed, variation).result();
}

}  // namespace omniway::bench
