#include "ground.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "country.hpp"
#include "erosion.hpp"
#include "noise.hpp"

namespace omniway::demo_region {

namespace {

constexpr int north_node = 25950;   // 43.25 N
constexpr int south_node = 22650;   // 37.75 N
constexpr int west_node = -103800;  // 173 W
constexpr int east_node = -99000;   // 165 W
constexpr int rows = north_node - south_node + 1;
constexpr int columns = east_node - west_node + 1;
constexpr int coarse = 3;  // water runs on every third node
constexpr int coarse_rows = (rows - 1) / coarse + 1;
constexpr int coarse_columns = (columns - 1) / coarse + 1;

constexpr double metres_per_foot = 0.3048;
constexpr double metres_per_mile = 1852.0;
constexpr double degree = 0.017453292519943295;
constexpr double far_out_nm = -100.0;

// What draws from one noise and another.
enum Seed : std::uint32_t {
    coast_seed = 11,
    warp_east_seed = 23,
    warp_north_seed = 37,
    bulk_seed = 41,
    plain_seed = 59,
    detail_seed = 67
};

std::size_t index_of(int row, int column) {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) +
           static_cast<std::size_t>(column);
}
std::size_t coarse_index(int row, int column) {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(coarse_columns) +
           static_cast<std::size_t>(column);
}

/// A series, because the cosine of a mathematics library is not the same on every machine; good to 1e-9 up to 45 degrees.
double cosine(double radians) {
    const double s = radians * radians;
    return 1.0 - s / 2.0 * (1.0 - s / 12.0 * (1.0 - s / 30.0 * (1.0 - s / 56.0 * (1.0 - s / 90.0))));
}

/// Nautical miles to a degree on WGS 84 at a latitude (the usual series of three terms).
struct Scale {
    double east;
    double north;
};
Scale scale_at(double latitude_deg) {
    const double c = cosine(latitude_deg * degree);
    const double c2 = 2.0 * c * c - 1.0;
    const double c3 = (4.0 * c * c - 3.0) * c;
    const double c4 = 2.0 * c2 * c2 - 1.0;
    return {(111412.84 * c - 93.5 * c3) / metres_per_mile,
            (111132.92 - 559.82 * c2 + 1.175 * c4) / metres_per_mile};
}

/// A point on a flat map of the country, in miles; straight and true to a tenth of a per cent within thirty miles of a point
/// when measured with miles_between.
struct Spot {
    double latitude_deg;
    double longitude_deg;
};
Spot spot(Place place) {
    return {place.latitude_deg(), place.longitude_deg()};
}
Spot spot(int row, int column) {
    return {static_cast<double>(north_node - row) / nodes_per_degree,
            static_cast<double>(west_node + column) / nodes_per_degree};
}

Spot spot_of(std::size_t index) {
    return spot(static_cast<int>(index / static_cast<std::size_t>(columns)),
                static_cast<int>(index % static_cast<std::size_t>(columns)));
}

struct Way {
    double east_nm;
    double north_nm;
    double length() const { return std::sqrt(east_nm * east_nm + north_nm * north_nm); }
};
Way way(Spot from, Spot to, const Scale& scale) {
    return {(to.longitude_deg - from.longitude_deg) * scale.east,
            (to.latitude_deg - from.latitude_deg) * scale.north};
}

/// How far along a segment a point lies, as a part of it, and what is left beside or beyond it.
std::pair<double, Way> beside(const Way& segment, const Way& point) {
    const double along = (point.east_nm * segment.east_nm + point.north_nm * segment.north_nm) /
                         (segment.east_nm * segment.east_nm + segment.north_nm * segment.north_nm);
    const double part = std::clamp(along, 0.0, 1.0);
    return {part, {point.east_nm - part * segment.east_nm, point.north_nm - part * segment.north_nm}};
}

/// 0 up to `low`, 1 from `high`, without a corner.
double ramp(double value, double low, double high) {
    const double part = std::clamp((value - low) / (high - low), 0.0, 1.0);
    return part * part * (3.0 - 2.0 * part);
}

struct Window {
    int first_row;
    int last_row;
    int first_column;
    int last_column;
};
Window window_about(Spot middle, double reach_nm) {
    const Scale scale = scale_at(middle.latitude_deg);
    const double high = reach_nm / scale.north;
    const double wide = reach_nm * 1.03 / scale.east;  // degrees shrink northwards
    const auto row = [](double latitude_deg) {
        return std::clamp(north_node - static_cast<int>(std::floor(latitude_deg * nodes_per_degree)), 0,
                          rows - 1);
    };
    const auto column = [](double longitude_deg) {
        return std::clamp(static_cast<int>(std::floor(longitude_deg * nodes_per_degree)) - west_node, 0,
                          columns - 1);
    };
    return {row(middle.latitude_deg + high), row(middle.latitude_deg - high),
            column(middle.longitude_deg - wide), column(middle.longitude_deg + wide)};
}

/// visit(index, way from the middle) for every node within reach.
template <class Visit>
void around(Spot middle, double reach_nm, Visit visit) {
    const Window window = window_about(middle, reach_nm);
    for (int row = window.first_row; row <= window.last_row; ++row) {
        const double latitude_deg = spot(row, 0).latitude_deg;
        const Scale scale = scale_at((latitude_deg + middle.latitude_deg) / 2.0);
        for (int column = window.first_column; column <= window.last_column; ++column) {
            const Way from = way(middle, spot(row, column), scale);
            if (from.length() <= reach_nm) {
                visit(index_of(row, column), from);
            }
        }
    }
}

/// A paved strip and the plane it lies in, from one threshold to the other.
struct Pavement {
    Spot from;
    Way along;
    double from_m;
    double to_m;

    /// Height of the plane, and how far beside or beyond the strip.
    std::pair<double, double> at(Spot place) const {
        const Way off = way(from, place, scale_at(from.latitude_deg));
        const auto [part, off_strip] = beside(along, off);
        return {from_m + part * (to_m - from_m), off_strip.length()};
    }
};

std::vector<Pavement> pavements(const Records& records) {
    std::vector<Pavement> found;
    for (const Runway& end : records.runways) {
        for (const Runway& other : records.runways) {
            const int number = std::stoi(end.ident.substr(2));
            if (other.airport == end.airport && std::stoi(other.ident.substr(2)) == number + 18) {
                const Spot from = spot(end.threshold);
                found.push_back({from, way(from, spot(other.threshold), scale_at(from.latitude_deg)),
                                 static_cast<double>(end.elevation_ft) * metres_per_foot,
                                 static_cast<double>(other.elevation_ft) * metres_per_foot});
            }
        }
    }
    return found;
}

class Land {
public:
    explicit Land(const Records& records) : records_(records), pavements_(pavements(records)) {}

    Grid build() {
        find_limits();
        draw_coast();
        tidy_coast();
        raise_cones();
        run_water();
        refine();
        restore_tops();
        pave();
        return rounded();
    }

private:
    // What the published grid minimums leave to the ground of each cell of one degree.

    void find_limits() {
        for (int south = 37; south <= 43; ++south) {
            for (int west = -173; west < -165; ++west) {
                const GridMinimum published = grid_minimum(south, west);
                limits_.push_back(
                    {south, west,
                     static_cast<double>(published.altitude_ft - published.clearance_ft) * metres_per_foot});
            }
        }
    }

    struct Limit {
        int south;
        int west;
        double metres;
    };

    /// In the lowland; it rises within eight miles of a cell where little is left.
    double lowland_limit_m(Spot place) const {
        const Scale scale = scale_at(place.latitude_deg);
        double least = 200.0;
        for (const Limit& limit : limits_) {
            if (limit.metres < 200.0) {
                const double north =
                    std::max({limit.south - place.latitude_deg, place.latitude_deg - limit.south - 1.0, 0.0});
                const double east =
                    std::max({limit.west - place.longitude_deg, place.longitude_deg - limit.west - 1.0, 0.0});
                const double away_nm = Way{east * scale.east, north * scale.north}.length();
                least = std::min(least, limit.metres + 200.0 * ramp(away_nm, 0.0, 8.0));
            }
        }
        return least;
    }

    /// On an edge both cells count.
    double limit_m(Spot place) const {
        double least = 9000.0;
        for (const Limit& limit : limits_) {
            if (place.latitude_deg >= limit.south && place.latitude_deg <= limit.south + 1 &&
                place.longitude_deg >= limit.west && place.longitude_deg <= limit.west + 1) {
                least = std::min(least, limit.metres);
            }
        }
        return least;
    }

    // The coast: miles inland, negative at sea.

    void draw_coast() {
        shore_nm_.assign(static_cast<std::size_t>(rows) * static_cast<std::size_t>(columns),
                         static_cast<float>(far_out_nm));
        for (const Island& island : islands()) {
            draw_island(island);
        }
        const auto keep_dry = [&](Place place, double radius_nm) {
            around(spot(place), radius_nm, [&](std::size_t i, Way from) {
                shore_nm_[i] = std::max(shore_nm_[i], static_cast<float>(radius_nm - from.length()));
            });
        };
        for (const Mountain& mountain : mountains()) {
            keep_dry(Place::degrees(mountain.north / 100.0, mountain.east / 100.0),
                     std::min(0.5 * mountain.foot_nm, 3.0));
        }
        for (const Runway& end : records_.runways) {
            keep_dry(end.threshold, 1.2);
        }
        for (const VhfStation& station : records_.vhf_stations) {
            keep_dry(station.place, 0.8);
        }
        for (const Beacon& beacon : records_.beacons) {
            keep_dry(beacon.place, 0.6);
        }
    }

    void draw_island(const Island& island) {
        constexpr double reach_nm = 8.0;
        // Small islands have small bays.
        const double bends_nm = island.outline.size() > 10 ? 7.0 : 4.0;
        int north = 0;
        int south = 9000;
        int west = 0;
        int east = -18000;
        for (const Corner& corner : island.outline) {
            north = std::max(north, corner.north);
            south = std::min(south, corner.north);
            west = std::min(west, corner.east);
            east = std::max(east, corner.east);
        }
        const int margin = 18;  // hundredths of a degree, more than the reach
        for (int row = north_node - (north + margin) * 6; row <= north_node - (south - margin) * 6; ++row) {
            // The exact distance on a net of nine nodes would show: it is taken at every node, yet only where it matters.
            const Scale scale = scale_at(spot(row, 0).latitude_deg);
            const int last = (east + margin) * 6 - west_node;
            for (int column = (west - margin) * 6 - west_node; column <= last;) {
                const double inland_nm = inland(island, spot(row, column), scale);
                const int steps = std::abs(inland_nm) > reach_nm + 1.0 ? 8 : 1;
                for (int step = 0; step < steps && column <= last; ++step, ++column) {
                    float& shore = shore_nm_[index_of(row, column)];
                    shore = std::max(shore, static_cast<float>(bent(inland_nm, spot(row, column), bends_nm)));
                }
            }
        }
    }

    static double bent(double inland_nm, Spot place, double bends_nm) {
        if (std::abs(inland_nm) > 8.0) {
            return inland_nm;
        }
        const double x = place.longitude_deg * 45.6;
        const double y = place.latitude_deg * 60.0;
        return inland_nm + bends_nm * rough_noise(x / (2.0 * bends_nm), y / (2.0 * bends_nm), coast_seed, 8);
    }

    static double inland(const Island& island, Spot place, const Scale& scale) {
        double nearest = 1.0e9;
        bool within = false;
        const std::size_t count = island.outline.size();
        for (std::size_t i = 0, j = count - 1; i < count; j = i++) {
            const Spot a{island.outline[j].north / 100.0, island.outline[j].east / 100.0};
            const Spot b{island.outline[i].north / 100.0, island.outline[i].east / 100.0};
            const Way edge = way(a, b, scale);
            const Way off = beside(edge, way(a, place, scale)).second;
            nearest = std::min(nearest, off.east_nm * off.east_nm + off.north_nm * off.north_nm);
            if ((a.latitude_deg > place.latitude_deg) != (b.latitude_deg > place.latitude_deg) &&
                place.longitude_deg < a.longitude_deg + (b.longitude_deg - a.longitude_deg) *
                                                            (place.latitude_deg - a.latitude_deg) /
                                                            (b.latitude_deg - a.latitude_deg)) {
                within = !within;
            }
        }
        return within ? std::sqrt(nearest) : -std::sqrt(nearest);
    }

    /// No lakes at sea level and no islets of a few nodes: what is not joined to the ocean becomes land, what is too small sea.
    void tidy_coast() {
        constexpr std::size_t smallest_islet = 60;
        std::vector<std::uint8_t> seen(shore_nm_.size(), 0);
        std::vector<std::size_t> part;
        const auto collect = [&](std::size_t from) {
            const bool land = shore_nm_[from] > 0.0F;
            part.assign(1, from);
            seen[from] = 1;
            bool edge = false;
            for (std::size_t next = 0; next < part.size(); ++next) {
                const std::size_t here = part[next];
                const auto column = static_cast<int>(here % static_cast<std::size_t>(columns));
                const auto row = static_cast<int>(here / static_cast<std::size_t>(columns));
                if (row == 0 || column == 0 || row == rows - 1 || column == columns - 1) {
                    edge = true;
                    continue;
                }
                for (const std::size_t to : {here - 1, here + 1, here - static_cast<std::size_t>(columns),
                                             here + static_cast<std::size_t>(columns)}) {
                    if (seen[to] == 0 && (shore_nm_[to] > 0.0F) == land) {
                        seen[to] = 1;
                        part.push_back(to);
                    }
                }
            }
            return edge;
        };
        collect(0);
        // Around the frame the sea is one piece: what is seen later lies among the islands.
        for (std::size_t i = 0; i < shore_nm_.size(); ++i) {
            if (seen[i] != 0) {
                continue;
            }
            const bool land = shore_nm_[i] > 0.0F;
            const bool edge = collect(i);
            if (!land && !edge) {
                for (const std::size_t place : part) {
                    shore_nm_[place] = 0.02F;
                }
            } else if (land && part.size() < smallest_islet) {
                for (const std::size_t place : part) {
                    shore_nm_[place] = -0.02F;
                }
            }
        }
    }

    // The mountains as country.hpp has them, metres.

    void raise_cones() {
        cone_m_.assign(shore_nm_.size(), 0.0F);
        for (const Mountain& mountain : mountains()) {
            around(middle(mountain), mountain.foot_nm, [&](std::size_t i, Way from) {
                cone_m_[i] = std::max(cone_m_[i], static_cast<float>(cone_m(mountain, from.length())));
            });
        }
        for (const Ridge& ridge : ridges()) {
            const Spot half{(ridge.from_north + ridge.to_north) / 200.0,
                            (ridge.from_east + ridge.to_east) / 200.0};
            around(half, ridge.foot_nm + 20.0, [&](std::size_t i, Way) {
                cone_m_[i] = std::max(cone_m_[i], static_cast<float>(ridge_m(ridge, spot_of(i))));
            });
        }
    }

    static Spot middle(const Mountain& mountain) { return {mountain.north / 100.0, mountain.east / 100.0}; }

    static double cone_m(const Mountain& mountain, double away_nm) {
        const double slope = (mountain.foot_nm - away_nm) / (mountain.foot_nm - mountain.flat_nm);
        return mountain.top_ft * metres_per_foot * std::clamp(slope, 0.0, 1.0);
    }

    static double ridge_m(const Ridge& ridge, Spot place) {
        const Scale scale = scale_at(place.latitude_deg);
        const Spot from{ridge.from_north / 100.0, ridge.from_east / 100.0};
        const Way along = way(from, {ridge.to_north / 100.0, ridge.to_east / 100.0}, scale);
        const double away_nm = beside(along, way(from, place, scale)).second.length();
        return ridge.crest_ft * metres_per_foot * std::clamp(1.0 - away_nm / ridge.foot_nm, 0.0, 1.0);
    }

    static double highest_cone_m(Spot place) {
        const Scale scale = scale_at(place.latitude_deg);
        double highest = 0.0;
        for (const Mountain& mountain : mountains()) {
            const double away_nm = way(middle(mountain), place, scale).length();
            if (away_nm < mountain.foot_nm) {
                highest = std::max(highest, cone_m(mountain, away_nm));
            }
        }
        for (const Ridge& ridge : ridges()) {
            highest = std::max(highest, ridge_m(ridge, place));
        }
        return highest;
    }

    /// Rolling lowland: a beach, then hills that grow with the distance from the sea and from airports.
    double plain_m(Spot place, double shore_nm) const {
        const double x = place.longitude_deg * 45.6;
        const double y = place.latitude_deg * 60.0;
        const double rolling = std::max(0.45 + 0.9 * rough_noise(x / 6.0, y / 6.0, plain_seed, 5), 0.0);
        const double room = ramp(to_pavement_nm(place), 5.0, 13.0);
        const double inland_m = (25.0 + 130.0 * room) * ramp(shore_nm, 0.2, 9.0);
        const double most_m = lowland_limit_m(place);
        return 1.5 + 5.0 * ramp(shore_nm, 0.0, 0.6) +
               std::min(inland_m * rolling * most_m / 200.0, most_m - 7.0);
    }

    double to_pavement_nm(Spot place) const {
        double nearest = 99.0;
        for (const Pavement& pavement : pavements_) {
            if (std::abs(place.latitude_deg - pavement.from.latitude_deg) < 0.3 &&
                std::abs(place.longitude_deg - pavement.from.longitude_deg) < 0.4) {
                nearest = std::min(nearest, pavement.at(place).second);
            }
        }
        return nearest;
    }

    double raw_m(Spot place, double shore_nm, double own_cone_m) const {
        const double x = place.longitude_deg * 45.6;
        const double y = place.latitude_deg * 60.0;
        const double east = 9.0 * rough_noise(x / 14.0, y / 14.0, warp_east_seed, 6);
        const double north = 9.0 * rough_noise(x / 14.0, y / 14.0, warp_north_seed, 6);
        const double bent_m =
            highest_cone_m({place.latitude_deg + north / 60.0, place.longitude_deg + east / 45.6});
        // Crests where the noise passes zero.
        double crest = 0.0;
        double strength = 0.5;
        double size_nm = 7.0;
        for (std::uint32_t octave = 0; octave < 5; ++octave) {
            crest +=
                strength * (1.0 - 2.0 * std::abs(smooth_noise(x / size_nm, y / size_nm, bulk_seed + octave)));
            strength *= 0.5;
            size_nm *= 0.5;
        }
        const double share = std::clamp(0.3 + 0.95 * crest, 0.3, 1.0);
        const double low_m = plain_m(place, shore_nm);
        const double bulk_m = std::min(own_cone_m, 0.35 * own_cone_m + 0.75 * bent_m);
        const double mountain_m = bulk_m * share * ramp(shore_nm, -0.3, 2.2);
        // The foot of a mountain runs out into the lowland.
        return std::max(low_m, std::min(own_cone_m, mountain_m + 0.5 * low_m));
    }

    // Valleys.

    void run_water() {
        relief_.rows = coarse_rows;
        relief_.columns = coarse_columns;
        const std::size_t count =
            static_cast<std::size_t>(coarse_rows) * static_cast<std::size_t>(coarse_columns);
        relief_.metres.assign(count, 0.0);
        relief_.land.assign(count, 0);
        relief_.erodibility.assign(count, 1.0);
        for (int row = 0; row < coarse_rows; ++row) {
            for (int column = 0; column < coarse_columns; ++column) {
                const std::size_t fine = index_of(row * coarse, column * coarse);
                const double shore_nm = static_cast<double>(shore_nm_[fine]);
                if (shore_nm <= 0.0) {
                    continue;
                }
                const Spot place = spot(row * coarse, column * coarse);
                const std::size_t i = coarse_index(row, column);
                relief_.land[i] = 1;
                relief_.metres[i] = raw_m(place, shore_nm, static_cast<double>(cone_m_[fine]));
                level_for_pavement(place, relief_.metres[i], relief_.erodibility[i]);
            }
        }
        erode(relief_, 18, 0.045);
    }

    /// The wider surroundings of a runway lie near its level, and no river cuts through them.
    void level_for_pavement(Spot place, double& metres, double& erodibility) const {
        for (const Pavement& pavement : pavements_) {
            if (std::abs(place.latitude_deg - pavement.from.latitude_deg) > 0.15) {
                continue;
            }
            const auto [plane_m, beside_nm] = pavement.at(place);
            const double near = 1.0 - ramp(beside_nm, 1.2, 5.0);
            metres += near * (plane_m - metres);
            erodibility = std::min(erodibility, 1.0 - near);
        }
    }

    // From every third node to every node.

    void refine() {
        metres_.assign(shore_nm_.size(), 0.0F);
        for (int row = coarse; row < rows - coarse; ++row) {
            for (int column = coarse; column < columns - coarse; ++column) {
                const std::size_t i = index_of(row, column);
                if (shore_nm_[i] <= 0.0F) {
                    continue;
                }
                const Spot place = spot(row, column);
                const double shore_nm = static_cast<double>(shore_nm_[i]);
                const double smooth_m = smooth_between(row, column);
                const double x = place.longitude_deg * 45.6;
                const double y = place.latitude_deg * 60.0;
                // Rock is rougher the higher it stands.
                const double detail = rough_noise(x * 1.1, y * 1.1, detail_seed, 4);
                const double metres = smooth_m + detail * std::min(0.08 * smooth_m, 80.0);
                const double most = std::max(static_cast<double>(cone_m_[i]), plain_m(place, shore_nm));
                metres_[i] = static_cast<float>(std::clamp(metres, 1.0, std::max(most, 1.0)));
            }
        }
    }

    double smooth_between(int row, int column) const {
        const std::array<double, 4> down = weights(row % coarse);
        const std::array<double, 4> across = weights(column % coarse);
        double sum = 0.0;
        for (int i = 0; i < 4; ++i) {
            double line = 0.0;
            for (int j = 0; j < 4; ++j) {
                line += across[static_cast<std::size_t>(j)] *
                        relief_.metres[coarse_index(row / coarse + i - 1, column / coarse + j - 1)];
            }
            sum += down[static_cast<std::size_t>(i)] * line;
        }
        return sum;
    }

    /// Of a cubic through four neighbours (Catmull-Rom).
    static std::array<double, 4> weights(int step) {
        const double t = static_cast<double>(step) / coarse;
        return {t * (t * (1.0 - 0.5 * t) - 0.5), 1.0 + t * t * (1.5 * t - 2.5),
                t * (0.5 + t * (2.0 - 1.5 * t)), t * t * (0.5 * t - 0.5)};
    }

    /// Noise and water have lowered the tops: what is missing is given back, less and less away from them.
    void restore_tops() {
        for (int round = 0; round < 2; ++round) {
            for (const Mountain& mountain : mountains()) {
                restore_top(mountain);
            }
        }
    }

    void restore_top(const Mountain& mountain) {
        const double top_m = mountain.top_ft * metres_per_foot;
        const double reach_nm = 0.3 * mountain.foot_nm;
        double highest = 0.0;
        around(middle(mountain), 0.1,
               [&](std::size_t i, Way) { highest = std::max(highest, static_cast<double>(metres_[i])); });
        const double missing_m = std::max(top_m - highest, 0.0);
        around(middle(mountain), reach_nm, [&](std::size_t i, Way from) {
            if (shore_nm_[i] <= 0.0F) {
                return;
            }
            const double part = std::max(from.length() - 0.06, 0.0) / reach_nm;
            const double share = (1.0 - part) * (1.0 - part);
            const double raised = static_cast<double>(metres_[i]) + missing_m * share;
            metres_[i] =
                std::max(metres_[i], static_cast<float>(std::min(raised, static_cast<double>(cone_m_[i]))));
        });
    }

    // Stations on the ground of their records, runways on theirs.

    void pave() {
        constexpr double antenna_m = 5.0;
        for (const VhfStation& station : records_.vhf_stations) {
            const double level_m = static_cast<double>(station.elevation_ft) * metres_per_foot - antenna_m;
            around(spot(station.place), 0.7, [&](std::size_t i, Way from) {
                flatten(i, level_m, 1.0 - ramp(from.length(), 0.15, 0.7));
            });
        }
        for (const Pavement& pavement : pavements_) {
            const Spot middle{pavement.from.latitude_deg + pavement.along.north_nm / 120.0,
                              pavement.from.longitude_deg +
                                  pavement.along.east_nm / 2.0 / scale_at(pavement.from.latitude_deg).east};
            around(middle, 2.6, [&](std::size_t i, Way) {
                const Spot place = spot_of(i);
                const double beside_nm = pavement.at(place).second;
                if (beside_nm <= to_pavement_nm(place)) {  // else it is another's
                    flatten(i, paved_m(place), 1.0 - ramp(beside_nm, 0.22, 1.3));
                }
            });
        }
        for (const VhfStation& station : records_.vhf_stations) {
            const double level_m = static_cast<double>(station.elevation_ft) * metres_per_foot - antenna_m;
            if (on_pavement(spot(station.place))) {
                continue;
            }
            around(spot(station.place), 0.3, [&](std::size_t i, Way from) {
                flatten(i, level_m, 1.0 - ramp(from.length(), 0.15, 0.3));
            });
        }
    }

    /// Where runways cross, the nearer one counts for more.
    double paved_m(Spot place) const {
        double sum = 0.0;
        double weights = 0.0;
        for (const Pavement& pavement : pavements_) {
            const auto [plane_m, beside_nm] = pavement.at(place);
            if (beside_nm < 3.0) {
                const double weight = 1.0 / (beside_nm * beside_nm + 0.0002);
                sum += weight * plane_m;
                weights += weight;
            }
        }
        return sum / weights;
    }

    bool on_pavement(Spot place) const {
        return std::any_of(pavements_.begin(), pavements_.end(),
                           [&](const Pavement& pavement) { return pavement.at(place).second < 0.22; });
    }

    void flatten(std::size_t i, double level_m, double share) {
        if (shore_nm_[i] > 0.0F) {
            const auto metres = static_cast<double>(metres_[i]);
            metres_[i] = static_cast<float>(std::max(metres + share * (level_m - metres), 1.0));
        }
    }

    Grid rounded() const {
        Grid grid{north_node, west_node, rows, columns, std::vector<std::int16_t>(metres_.size())};
        // Downwards, so that nothing stands above its cone or its limit.
        for (std::size_t i = 0; i < metres_.size(); ++i) {
            if (shore_nm_[i] > 0.0F) {
                const double metres = std::min(static_cast<double>(metres_[i]), limit_m(spot_of(i)));
                grid.metres[i] = static_cast<std::int16_t>(std::floor(metres));
            }
        }
        for (const Void& unknown : {north_eastern_void, south_western_void}) {
            for (int row = north_node - unknown.north; row <= north_node - unknown.south; ++row) {
                for (int column = unknown.west - west_node; column <= unknown.east - west_node; ++column) {
                    grid.metres[index_of(row, column)] = unknown_m;
                }
            }
        }
        return grid;
    }

    const Records& records_;
    std::vector<Pavement> pavements_;
    std::vector<Limit> limits_;
    std::vector<float> shore_nm_;
    std::vector<float> cone_m_;
    std::vector<float> metres_;
    Relief relief_;
};

}  // namespace

Grid country_ground(const Records& records) {
    return Land(records).build();
}

double height_m(const Grid& grid, Place place) {
    const double down = grid.north - place.latitude_deg() * nodes_per_degree;
    const double across = place.longitude_deg() * nodes_per_degree - grid.west;
    const int row = std::clamp(static_cast<int>(std::floor(down)), 0, grid.rows - 2);
    const int column = std::clamp(static_cast<int>(std::floor(across)), 0, grid.columns - 2);
    const double v = down - row;
    const double u = across - column;
    const std::array corners = {grid.at(row, column), grid.at(row, column + 1), grid.at(row + 1, column),
                                grid.at(row + 1, column + 1)};
    if (std::find(corners.begin(), corners.end(), unknown_m) != corners.end()) {
        return std::numeric_limits<double>::quiet_NaN();
    }
    return (1.0 - v) * ((1.0 - u) * corners[0] + u * corners[1]) +
           v * ((1.0 - u) * corners[2] + u * corners[3]);
}

std::vector<Grid> moved(const Grid& grid, int east_deg) {
    constexpr int half = 180 * nodes_per_degree;
    int west = grid.west + east_deg * nodes_per_degree;
    while (west >= half) {
        west -= 2 * half;
    }
    while (west < -half) {
        west += 2 * half;
    }
    const int before = half - west + 1;  // columns up to the antimeridian and on it
    if (grid.columns <= before) {
        Grid whole = grid;
        whole.west = west;
        return {std::move(whole)};
    }
    const auto part = [&](int first, int count, int new_west) {
        Grid cut{grid.north, new_west, grid.rows, count, {}};
        cut.metres.reserve(static_cast<std::size_t>(grid.rows) * static_cast<std::size_t>(count));
        for (int row = 0; row < grid.rows; ++row) {
            const auto begin = grid.metres.begin() + static_cast<std::ptrdiff_t>(row) * grid.columns + first;
            cut.metres.insert(cut.metres.end(), begin, begin + count);
        }
        return cut;
    };
    return {part(0, before, west), part(before - 1, grid.columns - before + 1, -half)};
}

}  // namespace omniway::demo_region
