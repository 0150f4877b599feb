#include "fixing/belief.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>

#include <fmt/format.h>

#include "base/parallel.hpp"
#include "earth/geodesic.hpp"
#include "fixing/detail/likelihood.hpp"
#include "fixing/detail/region_rings.hpp"
#include "radio/line_of_sight.hpp"
#include "radio/service_volume.hpp"

namespace omniway::fixing {

using base::Length;
using detail::DensityGrid;
using detail::Likelihood;
using detail::Shares;
using earth::PlanePoint;
using earth::Position;

namespace {

constexpr double nm = 1852.0;
constexpr std::size_t tile_cells = 16;
// Tiles that together could add less than this share are left alone.
constexpr double negligible = 1e-5;
// What lies beyond so much is left to a first look, and out of the cells of an answer.
constexpr double nearly_all = 0.99;
constexpr Length farthest_reach = Length::nautical_miles(260.0);
constexpr Length widest = Length::nautical_miles(700.0);

// Within so far of a place the aircraft is, as one reading has it; nowhere else but by a blunder.
struct Disc {
    Position centre;
    Length radius;
    std::size_t candidate = 0;
};

// One reading's discs, or those of what is known beside.
struct Bound {
    std::optional<std::size_t> reading;
    std::vector<Disc> discs;

    Length widest() const {
        Length most;
        for (const Disc& disc : discs) {
            most = std::max(most, disc.radius);
        }
        return most;
    }
};

bool meet(const Disc& one, const Disc& other) {
    return earth::distance(one.centre, other.centre) <= one.radius + other.radius;
}

bool meets_any(const Disc& disc, const Bound& bound) {
    return std::any_of(bound.discs.begin(), bound.discs.end(),
                       [&](const Disc& other) { return meet(disc, other); });
}

const Candidates& stations_of(const Reading& reading) {
    return std::visit([](const auto& read) -> const Candidates& { return read.stations; }, reading.shown);
}

bool is_silence(const Reading& reading) {
    return std::holds_alternative<SilenceRead>(reading.shown);
}

/// Where to look, and which stations matter there.
struct Field {
    Position centre;
    double half_east_m = 0.0;
    double half_north_m = 0.0;
    std::vector<std::vector<std::size_t>> kept;  // of each reading's candidates
};

class Search {
public:
    explicit Search(const BeliefQuestion& question) : question_(question) {}

    std::variant<Field, Contradiction> field() {
        for (std::size_t i = 0; i < question_.readings.size(); ++i) {
            if (is_silence(question_.readings[i])) {
                continue;
            }
            Bound bound = bound_of(i);
            if (bound.discs.empty()) {
                return below_it(i);
            }
            bounds_.push_back(std::move(bound));
        }
        if (const auto& last = question_.last_known) {
            bounds_.push_back({std::nullopt, {{last->place, last->within * 2.5 + moved(last->before), 0}}});
        }
        if (bounds_.empty()) {
            return along_the_way();
        }
        std::stable_sort(bounds_.begin(), bounds_.end(),
                         [](const Bound& a, const Bound& b) { return a.widest() < b.widest(); });
        if (auto apart = never_heard_together()) {
            return *apart;
        }
        keep_what_meets();
        return boxed();
    }

private:
    Length moved(base::Duration before) const {
        Length far = question_.air.speed * before + question_.air.uncertainty * before * 4.0;
        base::Speed fastest;
        for (const HeadingFlown& flown : question_.flown) {
            fastest = std::max(fastest, flown.true_airspeed);
        }
        return far + fastest * before;
    }

    // As far as it may be read; a half more than is promised, because service volumes promise less than is heard.
    std::optional<Length> reach(const Reading& reading, const navdata::Station& station) const {
        const Length here = question_.altitude.above_datum();
        const auto aerial = [&](radio::Part part) {
            return radio::antenna_site(station, part, question_.ground.terrain)
                .antenna.altitude.above_datum();
        };
        if (const auto* distance = std::get_if<DistanceRead>(&reading.shown)) {
            const Length error = radio::dme_tolerance(distance->slant_range, question_.errors.criteria) * 0.5;
            const Length bias = station.dme ? station.dme->bias : Length();
            const Length slant = distance->slant_range + bias;
            if (slant + error * 3.0 < here - aerial(radio::Part::distance)) {
                return std::nullopt;
            }
            return slant + error * 6.0;
        }
        if (std::holds_alternative<PassageRead>(reading.shown)) {
            return Length::nautical_miles(2.0) + here * 3.0;
        }
        if (const auto* ndb = navdata::ndb(station)) {
            const auto service = radio::known_or_smallest(ndb->service, radio::AidKind::ndb);
            const auto radius = radio::service_radius(service, Length::feet(1000.0));
            return std::max(radius.value_or(Length()) * 2.5, Length::nautical_miles(60.0));
        }
        if (std::holds_alternative<LocalizerRead>(reading.shown)) {
            return Length::nautical_miles(40.0);
        }
        const Length sight = radio::line_of_sight(std::max(aerial(radio::Part::azimuth), Length::feet(20.0)),
                                                  std::max(here, Length::feet(500.0)));
        return std::min(sight * 1.15 + Length::nautical_miles(5.0), farthest_reach);
    }

    Bound bound_of(std::size_t i) const {
        const Reading& reading = question_.readings[i];
        Bound bound{i, {}};
        const Candidates& stations = stations_of(reading);
        for (std::size_t candidate = 0; candidate < stations.size(); ++candidate) {
            const navdata::Station& station = question_.world[stations[candidate]];
            if (const auto far = reach(reading, station)) {
                bound.discs.push_back({navdata::site(station), *far + moved(reading.before), candidate});
            }
        }
        return bound;
    }

    Contradiction below_it(std::size_t i) const {
        const Reading& reading = question_.readings[i];
        const navdata::Station& station = question_.world[stations_of(reading).front()];
        const Length up = question_.altitude.above_datum() -
                          radio::antenna_site(station, radio::Part::distance, question_.ground.terrain)
                              .antenna.altitude.above_datum();
        return {
            {i},
            fmt::format(
                "{} cannot be: the aircraft is {:.0f} ft above the aerial of {}, so that it shows {:.1f} NM "
                "at least",
                reading.words, up.feet(), station.ident, up.nautical_miles())};
    }

    std::variant<Field, Contradiction> along_the_way() const {
        if (!question_.on_the_way) {
            return Contradiction{{}, "nothing was read that says where"};
        }
        const auto& way = *question_.on_the_way;
        const earth::LocalFrame frame(way.line[way.line.size() / 2]);
        std::vector<PlanePoint> corners;
        for (const Position& corner : way.line) {
            corners.push_back(frame.to_plane(corner));
        }
        return box(frame, corners, std::vector<Length>(corners.size(), way.within * 3.0),
                   std::vector<std::vector<std::size_t>>(question_.readings.size()));
    }

    std::optional<Contradiction> never_heard_together() const {
        if (bounds_.size() != 2) {
            return std::nullopt;
        }
        const auto& first = bounds_[0];
        const bool any = std::any_of(first.discs.begin(), first.discs.end(),
                                     [&](const Disc& disc) { return meets_any(disc, bounds_[1]); });
        if (any) {
            return std::nullopt;
        }
        Contradiction contradiction;
        std::string names;
        for (const Bound& bound : bounds_) {
            if (bound.reading) {
                contradiction.readings.push_back(*bound.reading);
            }
            names += fmt::format("{}{}", names.empty() ? "" : " and ",
                                 bound.reading ? question_.readings[*bound.reading].words
                                               : std::string("the last known place"));
        }
        const Length apart = earth::distance(first.discs[0].centre, bounds_[1].discs[0].centre);
        contradiction.why = fmt::format(
            "{} cannot both be: {:.0f} NM apart, and no place at {:.0f} ft is within {:.0f} NM of the one "
            "and "
            "{:.0f} NM of the other",
            names, apart.nautical_miles(), question_.altitude.feet(), first.discs[0].radius.nautical_miles(),
            bounds_[1].discs[0].radius.nautical_miles());
        return contradiction;
    }

    // Of the reading that bounds most closely, the stations that most of the others meet; of the others, those that meet these.
    void keep_what_meets() {
        Bound& closest = bounds_.front();
        std::vector<std::size_t> met;
        for (const Disc& disc : closest.discs) {
            met.push_back(static_cast<std::size_t>(std::count_if(
                bounds_.begin(), bounds_.end(), [&](const Bound& bound) { return meets_any(disc, bound); })));
        }
        const std::size_t most = *std::max_element(met.begin(), met.end());
        std::vector<Disc> kept;
        for (std::size_t i = 0; i < met.size(); ++i) {
            if (met[i] == most) {
                kept.push_back(closest.discs[i]);
            }
        }
        closest.discs = kept;
        for (std::size_t i = 1; i < bounds_.size(); ++i) {
            std::vector<Disc> near;
            std::copy_if(bounds_[i].discs.begin(), bounds_[i].discs.end(), std::back_inserter(near),
                         [&](const Disc& disc) { return meets_any(disc, closest); });
            if (near.empty()) {  // it can only be a blunder: one of them stands for it
                near.push_back(bounds_[i].discs.front());
            }
            bounds_[i].discs = near;
        }
    }

    std::variant<Field, Contradiction> boxed() const {
        std::vector<std::vector<std::size_t>> kept(question_.readings.size());
        for (const Bound& bound : bounds_) {
            for (const Disc& disc : bound.discs) {
                if (bound.reading) {
                    kept[*bound.reading].push_back(disc.candidate);
                }
            }
        }
        for (std::size_t i = 0; i < kept.size(); ++i) {
            if (is_silence(question_.readings[i])) {
                kept[i].resize(stations_of(question_.readings[i]).size());
                std::iota(kept[i].begin(), kept[i].end(), std::size_t{0});
            }
        }
        const earth::LocalFrame frame(bounds_.front().discs.front().centre);
        std::vector<PlanePoint> centres;
        std::vector<Length> radii;
        // Where the closest is a blunder, the next one bounds.
        for (std::size_t i = 0; i < (bounds_.size() > 2 ? 2 : 1); ++i) {
            for (const Disc& disc : bounds_[i].discs) {
                if (i == 0 || meets_any(disc, bounds_.front())) {
                    centres.push_back(frame.to_plane(disc.centre));
                    radii.push_back(disc.radius);
                }
            }
        }
        return box(frame, centres, radii, kept);
    }

    std::variant<Field, Contradiction> box(const earth::LocalFrame& frame,
                                           const std::vector<PlanePoint>& centres,
                                           const std::vector<Length>& radii,
                                           std::vector<std::vector<std::size_t>> kept) const {
        double west = std::numeric_limits<double>::infinity();
        double east = -west;
        double south = west;
        double north = -west;
        for (std::size_t i = 0; i < centres.size(); ++i) {
            west = std::min(west, centres[i].east_m - radii[i].metres());
            east = std::max(east, centres[i].east_m + radii[i].metres());
            south = std::min(south, centres[i].north_m - radii[i].metres());
            north = std::max(north, centres[i].north_m + radii[i].metres());
        }
        if (std::max(east - west, north - south) > widest.metres()) {
            std::string several;
            Contradiction contradiction;
            contradiction.too_little = true;
            for (std::size_t i = 0; i < kept.size(); ++i) {
                if (kept[i].size() > 1) {
                    contradiction.readings.push_back(i);
                    several += fmt::format("{}{} of {} stations", several.empty() ? "" : ", ",
                                           question_.readings[i].words, kept[i].size());
                }
            }
            contradiction.why = fmt::format(
                "what was read leaves {:.0f} NM open ({}): give an ident of fewer stations, one "
                "more reading, or a last known place",
                std::max(east - west, north - south) / nm, several.empty() ? "far apart" : several);
            return contradiction;
        }
        return Field{frame.to_position({(west + east) / 2.0, (south + north) / 2.0}), (east - west) / 2.0,
                     (north - south) / 2.0, std::move(kept)};
    }

    const BeliefQuestion& question_;
    std::vector<Bound> bounds_;
};

// A first look: what lies in it is looked at more closely.
double cell_size_m(const Field& field) {
    constexpr double cells = 250.0;
    const double side_nm = 2.0 * std::max(field.half_east_m, field.half_north_m) / nm;
    return std::clamp(side_nm / cells, 0.05, 0.5) * nm;
}

/// The plane that a question is asked on, and the density over a field of it, tile by tile, the likeliest tiles first, until the rest cannot matter.
class Filled {
public:
    Filled(const BeliefQuestion& question, const earth::LocalFrame& on, const Field& field, double cell_m)
        : frame(on),
          likelihood_(question, frame, field.centre, field.kept),
          cell_m_(cell_m),
          columns_(tiles(field.half_east_m)),
          rows_(tiles(field.half_north_m)),
          threads_(question.threads) {
        const PlanePoint middle = frame.to_plane(field.centre);
        const auto half_m = [this](std::size_t of) {
            return (static_cast<double>(of * tile_cells) - 1.0) / 2.0 * cell_m_;
        };
        corner_ = {middle.east_m - half_m(columns_), middle.north_m - half_m(rows_)};
    }

    bool fill(const base::Progress& progress) {
        std::vector<Tile> order(columns_ * rows_);
        base::parallel_for(
            rows_,
            [&](std::size_t row) {
                for (std::size_t column = 0; column < columns_; ++column) {
                    Tile& tile = order[row * columns_ + column];
                    tile = {row, column, 0.0, {}};
                    const PlanePoint middle = middle_of(tile);
                    Likelihood::About about = likelihood_.about(middle);
                    tile.at_most = likelihood_.at_most(middle, half_diagonal_m(), about);
                }
            },
            threads_);
        std::stable_sort(order.begin(), order.end(),
                         [](const Tile& a, const Tile& b) { return a.at_most > b.at_most; });
        std::vector<double> rest(order.size() + 1, 0.0);
        for (std::size_t i = order.size(); i-- > 0;) {
            rest[i] = rest[i + 1] + order[i].at_most * static_cast<double>(tile_cells * tile_cells);
        }
        constexpr std::size_t batch = 16;
        std::size_t from = 0;
        for (; from < order.size() && rest[from] > negligible * total; from += batch) {
            if (progress.cancelled()) {
                return false;
            }
            const std::size_t count = std::min(batch, order.size() - from);
            base::parallel_for(
                count, [&](std::size_t i) { fill_tile(order[from + i]); }, threads_);
            for (std::size_t i = from; i < from + count; ++i) {
                total += std::accumulate(order[i].density.begin(), order[i].density.end(), 0.0);
            }
            progress.at("looking for the place",
                        static_cast<double>(from) / static_cast<double>(order.size()));
        }
        order.resize(std::min(from, order.size()));
        gather(order);
        return true;
    }

    const Likelihood& likelihood() const { return likelihood_; }
    /// What is the same about a place of the grid: listened to, and settled for a cell.
    Likelihood::About ready_at(PlanePoint place) const {
        Likelihood::About about = likelihood_.about(place);
        likelihood_.listen(place, about);
        likelihood_.settle(place, grid.cell_m, about);
        return about;
    }

    earth::LocalFrame frame;
    DensityGrid grid;  // as far as there is anything of it
    double total = 0.0;

private:
    struct Tile {
        std::size_t row = 0;
        std::size_t column = 0;
        double at_most = 0.0;
        std::vector<double> density;
    };
    struct Square {
        std::size_t row = 0;
        std::size_t column = 0;
        std::size_t cells = 0;
    };

    std::size_t tiles(double half_m) const {
        return static_cast<std::size_t>(
            std::ceil(2.0 * half_m / (cell_m_ * static_cast<double>(tile_cells))));
    }
    double half_diagonal_m(std::size_t cells = tile_cells) const {
        return cell_m_ * static_cast<double>(cells) * std::numbers::sqrt2 / 2.0;
    }
    PlanePoint cell_of(const Tile& tile, double column, double row) const {
        return {corner_.east_m + (static_cast<double>(tile.column * tile_cells) + column) * cell_m_,
                corner_.north_m + (static_cast<double>(tile.row * tile_cells) + row) * cell_m_};
    }
    PlanePoint middle_of(const Tile& tile) const {
        constexpr double middle = (static_cast<double>(tile_cells) - 1.0) / 2.0;
        return cell_of(tile, middle, middle);
    }

    void fill_tile(Tile& tile) const {
        const PlanePoint middle = middle_of(tile);
        Likelihood::About about = likelihood_.about(middle);
        const double room_m = likelihood_.listen(middle, about);
        likelihood_.settle(middle, half_diagonal_m(), about);
        // Where a line is thinner than a cell, the cell is looked at in several places; in fewer, where it can be but little of the whole.
        const double share = tile.at_most * static_cast<double>(tile_cells * tile_cells);
        const double most = share > 3e-2 * total ? 8.0 : share > 3e-3 * total ? 3.0 : 1.0;
        const double thinnest_m = likelihood_.thinnest_m(middle, half_diagonal_m());
        const auto split = static_cast<int>(std::clamp(std::ceil(cell_m_ / (1.5 * thinnest_m)), 1.0, most));
        tile.density.resize(tile_cells * tile_cells);
        fill_square({0, 0, tile_cells}, room_m, split, tile, about);
    }

    // Where the edge of a volume or of a shadow may run through it, each quarter of a square is listened to by itself. `about` has been listened to at the
    // middle of the square, with `room_m` about that.
    void fill_square(const Square& square, double room_m, int split, Tile& tile,
                     Likelihood::About& about) const {
        if (square.cells > 1 && room_m < half_diagonal_m(square.cells)) {
            const std::size_t half = square.cells / 2;
            const double to_middle = (static_cast<double>(half) - 1.0) / 2.0;
            for (const std::size_t row : {square.row, square.row + half}) {
                for (const std::size_t column : {square.column, square.column + half}) {
                    const PlanePoint middle = cell_of(tile, static_cast<double>(column) + to_middle,
                                                      static_cast<double>(row) + to_middle);
                    fill_square({row, column, half}, likelihood_.listen(middle, about), split, tile, about);
                }
            }
            return;
        }
        for (std::size_t row = square.row; row < square.row + square.cells; ++row) {
            for (std::size_t column = square.column; column < square.column + square.cells; ++column) {
                tile.density[row * tile_cells + column] = density_of(tile, row, column, split, about);
            }
        }
    }

    double density_of(const Tile& tile, std::size_t row, std::size_t column, int split,
                      Likelihood::About& about) const {
        const auto at = [split](std::size_t of, int part_of) {
            return static_cast<double>(of) + (part_of + 0.5) / split - 0.5;
        };
        double density = 0.0;
        for (int part = 0; part < split * split; ++part) {
            density += likelihood_.at(cell_of(tile, at(column, part % split), at(row, part / split)), about) /
                       (split * split);
        }
        return density;
    }

    void gather(const std::vector<Tile>& filled) {
        Tile low{rows_, columns_, 0.0, {}};
        Tile high;
        for (const Tile& tile : filled) {
            low.row = std::min(low.row, tile.row);
            low.column = std::min(low.column, tile.column);
            high.row = std::max(high.row, tile.row);
            high.column = std::max(high.column, tile.column);
        }
        grid.cell_m = cell_m_;
        grid.corner = cell_of(low, 0.0, 0.0);
        grid.columns = (high.column + 1 - low.column) * tile_cells;
        grid.rows = (high.row + 1 - low.row) * tile_cells;
        grid.density.assign(grid.columns * grid.rows, 0.0);
        for (const Tile& tile : filled) {
            for (std::size_t row = 0; row < tile_cells; ++row) {
                std::copy_n(
                    tile.density.begin() + static_cast<std::ptrdiff_t>(row * tile_cells), tile_cells,
                    grid.density.begin() +
                        static_cast<std::ptrdiff_t>(((tile.row - low.row) * tile_cells + row) * grid.columns +
                                                    (tile.column - low.column) * tile_cells));
            }
        }
    }

    Likelihood likelihood_;
    double cell_m_ = 0.0;
    std::size_t columns_ = 0;
    std::size_t rows_ = 0;
    PlanePoint corner_;  // the centre of the first cell
    unsigned threads_ = 0;
};

/// The density above which so much of the whole lies.
///   Model     a table by sixty-fourths of an octave below the greatest; within one of them even.
class Levels {
public:
    Levels(const DensityGrid& grid, double total) : total_(total) {
        for (const double density : grid.density) {
            greatest_ = std::max(greatest_, density);
        }
        for (const double density : grid.density) {
            if (density > 0.0) {
                const double below = (std::log2(greatest_) - std::log2(density)) * steps;
                held_[static_cast<std::size_t>(std::min(below, static_cast<double>(held_.size() - 1)))] +=
                    density;
            }
        }
    }

    // `elsewhere`: so much more lies where it is thinner than any of it.
    double holding(double share, double elsewhere = 0.0) const {
        const double wanted = share * (total_ + elsewhere);
        double sum = 0.0;
        for (std::size_t i = 0; i < held_.size(); ++i) {
            if (held_[i] > 0.0 && sum + held_[i] >= wanted) {
                const double within = (wanted - sum) / held_[i];
                return greatest_ * std::exp2(-(static_cast<double>(i) + within) / steps);
            }
            sum += held_[i];
        }
        return 0.0;
    }

private:
    static constexpr double steps = 64.0;
    double total_ = 0.0;
    double greatest_ = 0.0;
    std::vector<double> held_ = std::vector<double>(64 * 60, 0.0);
};

BelievedRegion region(const earth::LocalFrame& frame, const DensityGrid& grid, double level, double share) {
    BelievedRegion region;
    region.probability = share;
    double square_m = 0.0;
    for (const auto& ring : detail::region_rings(grid, level)) {
        std::vector<Position> corners;
        corners.reserve(ring.size());
        for (std::size_t i = 0; i < ring.size(); ++i) {
            const PlanePoint& next = ring[(i + 1) % ring.size()];
            // Clockwise is inside to the right: the shoelace formula with its sign turned.
            square_m += (ring[i].north_m * next.east_m - ring[i].east_m * next.north_m) / 2.0;
            corners.push_back(frame.to_position(ring[i]));
        }
        region.rings.push_back(std::move(corners));
    }
    region.square_nm = square_m / (nm * nm);
    return region;
}

/// What stands apart in the 95 % region, the rest of the belief given to what it borders on.
class Parts {
public:
    Parts(const DensityGrid& grid, double level, double least)
        : grid_(grid), part_(grid.density.size(), none) {
        std::vector<std::size_t> edge;
        for (std::size_t cell = 0; cell < part_.size(); ++cell) {
            if (part_[cell] == none && grid.density[cell] >= level) {
                spread({cell}, static_cast<std::int32_t>(count_++),
                       [&](std::size_t on) { return grid.density[on] >= level; });
            }
        }
        for (std::size_t cell = 0; cell < part_.size(); ++cell) {
            if (part_[cell] != none) {
                edge.push_back(cell);
            }
        }
        // One ring of neighbours after the other, so that each goes to the nearest.
        while (!edge.empty()) {
            std::vector<std::size_t> next;
            for (const std::size_t cell : edge) {
                each_neighbour(cell, [&](std::size_t on) {
                    if (part_[on] == none && grid_.density[on] > 0.0 && grid_.density[on] >= least) {
                        part_[on] = part_[cell];
                        next.push_back(on);
                    }
                });
            }
            edge = std::move(next);
        }
    }

    struct Moments {
        double mass = 0.0;
        double east = 0.0;
        double north = 0.0;
        double east_east = 0.0;
        double east_north = 0.0;
        double north_north = 0.0;
        double greatest = 0.0;    // density
        std::size_t densest = 0;  // the cell of that
    };
    std::vector<Moments> moments() const {
        std::vector<Moments> all(count_);
        for (std::size_t cell = 0; cell < part_.size(); ++cell) {
            if (part_[cell] != none) {
                Moments& of = all[static_cast<std::size_t>(part_[cell])];
                // From the corner: squares of the plane's own figures would cancel.
                const PlanePoint at{grid_.centre(cell).east_m - grid_.corner.east_m,
                                    grid_.centre(cell).north_m - grid_.corner.north_m};
                const double mass = grid_.density[cell];
                of.mass += mass;
                if (mass > of.greatest) {
                    of.greatest = mass;
                    of.densest = cell;
                }
                of.east += mass * at.east_m;
                of.north += mass * at.north_m;
                of.east_east += mass * at.east_m * at.east_m;
                of.east_north += mass * at.east_m * at.north_m;
                of.north_north += mass * at.north_m * at.north_m;
            }
        }
        return all;
    }

private:
    static constexpr std::int32_t none = -1;

    template <class Use>
    void each_neighbour(std::size_t cell, const Use& use) const {
        const std::size_t column = cell % grid_.columns;
        const std::size_t row = cell / grid_.columns;
        for (int north = -1; north <= 1; ++north) {
            for (int east = -1; east <= 1; ++east) {
                const auto c = static_cast<std::int64_t>(column) + east;
                const auto r = static_cast<std::int64_t>(row) + north;
                if (c >= 0 && r >= 0 && c < static_cast<std::int64_t>(grid_.columns) &&
                    r < static_cast<std::int64_t>(grid_.rows) && (east != 0 || north != 0)) {
                    use(static_cast<std::size_t>(r) * grid_.columns + static_cast<std::size_t>(c));
                }
            }
        }
    }

    template <class Belongs>
    void spread(std::vector<std::size_t> open, std::int32_t part, const Belongs& belongs) {
        part_[open.front()] = part;
        while (!open.empty()) {
            const std::size_t cell = open.back();
            open.pop_back();
            each_neighbour(cell, [&](std::size_t on) {
                if (part_[on] == none && belongs(on)) {
                    part_[on] = part;
                    open.push_back(on);
                }
            });
        }
    }

    const DensityGrid& grid_;
    std::vector<std::int32_t> part_;
    std::size_t count_ = 0;
};

struct Ellipse {
    PlanePoint middle;
    double major_m = 0.0;
    double minor_m = 0.0;
    double grid_rad = 0.0;  // of the major axis
};

// Of one standard deviation.
Ellipse ellipse_of(const Parts::Moments& of, const DensityGrid& grid) {
    const double east_m = of.east / of.mass;
    const double north_m = of.north / of.mass;
    const double ee = std::max(of.east_east / of.mass - east_m * east_m, 0.0);
    const double nn = std::max(of.north_north / of.mass - north_m * north_m, 0.0);
    const double en = of.east_north / of.mass - east_m * north_m;
    const double mean = (ee + nn) / 2.0;
    const double half = std::hypot((ee - nn) / 2.0, en);
    // In one cell alone it may be anywhere.
    const double least = grid.cell_m * grid.cell_m / 12.0;
    return {{grid.corner.east_m + east_m, grid.corner.north_m + north_m},
            std::sqrt(std::max(mean + half, least)),
            std::sqrt(std::max(mean - half, least)),
            0.5 * std::atan2(2.0 * en, nn - ee)};
}

// Of a ring or a bow the mean is none of it.
bool mean_is_of_it(const DensityGrid& grid, PlanePoint mean, double level) {
    const auto column =
        static_cast<std::size_t>(std::lround((mean.east_m - grid.corner.east_m) / grid.cell_m));
    const auto row =
        static_cast<std::size_t>(std::lround((mean.north_m - grid.corner.north_m) / grid.cell_m));
    return grid.density[row * grid.columns + column] >= level;
}

Mode mode_of(const Filled& filled, const Parts::Moments& of, double whole, double level,
             std::size_t readings) {
    const Ellipse ellipse = ellipse_of(of, filled.grid);
    Mode mode;
    mode.is_mean = mean_is_of_it(filled.grid, ellipse.middle, level);
    const PlanePoint at = mode.is_mean ? ellipse.middle : filled.grid.centre(of.densest);
    mode.place = filled.frame.to_position(at);
    mode.probability = of.mass / whole;
    mode.major = Length::metres(ellipse.major_m);
    mode.minor = Length::metres(ellipse.minor_m);
    mode.major_axis = filled.frame.to_true(ellipse.grid_rad, at);
    auto about = filled.ready_at(at);
    Shares here = filled.likelihood().no_shares();
    filled.likelihood().add_shares(at, about, 1.0, here);
    for (std::size_t i = 0; i < readings; ++i) {
        const auto& candidates = here.readings[i].candidates;
        mode.stations.push_back(static_cast<std::size_t>(
            std::max_element(candidates.begin(), candidates.end()) - candidates.begin()));
    }
    return mode;
}

// At places drawn evenly from the belief.
Shares shares_of(const Filled& filled) {
    constexpr double draws = 500.0;
    Shares shares = filled.likelihood().no_shares();
    double sum = 0.0;
    double next = 0.5 / draws;
    for (std::size_t cell = 0; cell < filled.grid.density.size(); ++cell) {
        sum += filled.grid.density[cell] / filled.total;
        if (sum <= next) {
            continue;
        }
        const double times = std::floor((sum - next) * draws) + 1.0;
        next += times / draws;
        const PlanePoint at = filled.grid.centre(cell);
        auto about = filled.ready_at(at);
        filled.likelihood().add_shares(at, about, times, shares);
    }
    return shares;
}

void suspect(const BeliefQuestion& question, const Shares& shares, Belief& belief) {
    constexpr double worth_naming = 0.01;
    const auto name = [&](Suspicion suspicion, double share) {
        suspicion.probability = share / shares.total;
        if (suspicion.probability >= worth_naming) {
            belief.suspicions.push_back(suspicion);
        }
    };
    for (std::size_t i = 0; i < shares.readings.size(); ++i) {
        const auto& of = shares.readings[i];
        belief.as_read.push_back(is_silence(question.readings[i]) ? 1.0 : of.as_read / shares.total);
        name({Wrong::reciprocal, i, 0.0, std::nullopt, std::nullopt}, of.reciprocal);
        name({Wrong::nothing, i, 0.0, std::nullopt, std::nullopt}, of.nothing);
        const Candidates& stations = stations_of(question.readings[i]);
        if (stations.size() > 1 && !is_silence(question.readings[i])) {
            for (std::size_t candidate = 0; candidate < stations.size(); ++candidate) {
                name({Wrong::station, i, 0.0, std::nullopt, stations[candidate]}, of.candidates[candidate]);
            }
        }
    }
    const auto by = shares.heading_off > 0.0
                        ? std::optional(base::Angle::radians(shares.heading_off_by_rad / shares.heading_off))
                        : std::nullopt;
    name({Wrong::heading_off, std::nullopt, 0.0, by, std::nullopt}, shares.heading_off);
    std::stable_sort(belief.suspicions.begin(), belief.suspicions.end(),
                     [](const Suspicion& a, const Suspicion& b) { return a.probability > b.probability; });
}

// Two lines that no place has together, as both were read.
std::optional<Contradiction> never_meet(const BeliefQuestion& question, const Shares& shares) {
    constexpr double never = 0.02;
    Contradiction contradiction;
    std::string names;
    for (std::size_t i = 0; i < question.readings.size(); ++i) {
        if (!is_silence(question.readings[i])) {
            contradiction.readings.push_back(i);
            names += (names.empty() ? "" : " and ") + question.readings[i].words;
        }
    }
    const bool two = contradiction.readings.size() == 2 && !question.last_known && !question.on_the_way;
    if (!two || shares.all_as_read > never * shares.total) {
        return std::nullopt;
    }
    contradiction.why = names + " never meet where both are heard: one of them is not what was read";
    return contradiction;
}

struct Closer {
    Field field;
    double cell_m = 0.0;
};

// Where nearly all of it lies is looked at again through cells of a third of what it is wide.
std::optional<Closer> worth_a_closer_look(const Filled& filled, const Field& field) {
    constexpr double cells_to_a_deviation = 3.0;
    constexpr double most_cells = 2e6;
    const DensityGrid& grid = filled.grid;
    const Levels levels(grid, filled.total);
    const double least = levels.holding(nearly_all);
    double west = std::numeric_limits<double>::infinity();
    double east = -west;
    double south = west;
    double north = -west;
    for (std::size_t cell = 0; cell < grid.density.size(); ++cell) {
        if (grid.density[cell] > 0.0 && grid.density[cell] >= least) {
            const PlanePoint at = grid.centre(cell);
            west = std::min(west, at.east_m);
            east = std::max(east, at.east_m);
            south = std::min(south, at.north_m);
            north = std::max(north, at.north_m);
        }
    }
    double thinnest_m = std::numeric_limits<double>::infinity();
    for (const auto& of : Parts(grid, levels.holding(0.95), least).moments()) {
        if (of.mass >= 0.005 * filled.total) {
            thinnest_m = std::min(thinnest_m, ellipse_of(of, grid).minor_m);
        }
    }
    const double margin_m = 2.0 * grid.cell_m;
    const double wide_m = east - west + 2.0 * margin_m;
    const double high_m = north - south + 2.0 * margin_m;
    const double affordable_m = std::sqrt(wide_m * high_m / most_cells);
    const double cell_m = std::max({thinnest_m / cells_to_a_deviation, affordable_m, 10.0});
    if (cell_m > 0.8 * grid.cell_m) {
        return std::nullopt;
    }
    const PlanePoint middle{(west + east) / 2.0, (south + north) / 2.0};
    return Closer{{filled.frame.to_position(middle), wide_m / 2.0, high_m / 2.0, field.kept}, cell_m};
}

// Of a first look, what lies beyond the closer one, as that counts.
double beyond(const Filled& first, const Filled& closer) {
    const DensityGrid& grid = closer.grid;
    const auto outside = [&grid](double at, double from, std::size_t cells) {
        return at < from - grid.cell_m / 2.0 || at > from + (static_cast<double>(cells) - 0.5) * grid.cell_m;
    };
    double sum = 0.0;
    for (std::size_t cell = 0; cell < first.grid.density.size(); ++cell) {
        const PlanePoint at = first.grid.centre(cell);
        if (outside(at.east_m, grid.corner.east_m, grid.columns) ||
            outside(at.north_m, grid.corner.north_m, grid.rows)) {
            sum += first.grid.density[cell];
        }
    }
    return sum * std::pow(first.grid.cell_m / grid.cell_m, 2);
}

}  // namespace

std::variant<Belief, Contradiction> believe(const BeliefQuestion& question, const base::Progress& progress) {
    const auto found = Search(question).field();
    if (const auto* contradiction = std::get_if<Contradiction>(&found)) {
        return *contradiction;
    }
    const Field& field = std::get<Field>(found);
    const Filled first = [&] {
        Filled filled(question, earth::LocalFrame(field.centre), field, cell_size_m(field));
        filled.fill(progress);
        return filled;
    }();
    if (!(first.total > 0.0)) {
        Contradiction nowhere{{}, "no place has all that was read"};
        nowhere.readings.resize(question.readings.size());
        std::iota(nowhere.readings.begin(), nowhere.readings.end(), std::size_t{0});
        return nowhere;
    }
    const Shares shares = shares_of(first);
    if (auto contradiction = never_meet(question, shares)) {
        return *contradiction;
    }
    std::optional<Filled> second;
    double elsewhere = 0.0;
    if (const auto closer = worth_a_closer_look(first, field)) {
        second.emplace(question, first.frame, closer->field, closer->cell_m);
        second->fill(progress);
        elsewhere = beyond(first, *second);
    }
    const Filled& filled = second ? *second : first;
    Belief belief{.frame = filled.frame};
    belief.cell_m = filled.grid.cell_m;
    const Levels levels(filled.grid, filled.total);
    const double level_of_most = levels.holding(0.95, elsewhere);
    const double least = levels.holding(nearly_all, elsewhere);
    for (std::size_t cell = 0; cell < filled.grid.density.size(); ++cell) {
        if (filled.grid.density[cell] > 0.0 && filled.grid.density[cell] >= least) {
            belief.cells.push_back(
                {filled.grid.centre(cell), filled.grid.density[cell] / (filled.total + elsewhere)});
        }
    }
    belief.half = region(filled.frame, filled.grid, levels.holding(0.5, elsewhere), 0.5);
    belief.most = region(filled.frame, filled.grid, level_of_most, 0.95);
    double whole = 0.0;
    const auto moments = Parts(filled.grid, level_of_most, least).moments();
    for (const auto& of : moments) {
        whole += of.mass;
    }
    for (const auto& of : moments) {
        if (of.mass >= 0.005 * whole) {
            belief.modes.push_back(mode_of(filled, of, whole, level_of_most, question.readings.size()));
        }
    }
    std::stable_sort(belief.modes.begin(), belief.modes.end(),
                     [](const Mode& a, const Mode& b) { return a.probability > b.probability; });
    suspect(question, shares, belief);
    return belief;
}

}  // namespace omniway::fixing
