#include "fixing/next_reading.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <numeric>

#include "base/quick_trigonometry.hpp"
#include "radio/prepared_reception.hpp"

namespace omniway::fixing {

using base::Length;
using earth::PlanePoint;

namespace {

constexpr double nm = 1852.0;
constexpr Length near_enough = Length::nautical_miles(150.0);
constexpr std::size_t nearest_looked_at = 40;
constexpr std::size_t draws = 48;
constexpr std::size_t most_pieces = 3000;
constexpr double that_matter_together = 0.995;
// Of the region or of the places left open: below that a turn of the knob is not worth it, nor sure by so few draws.
constexpr double least_gain = 0.05;
// A reading of the same is not asked for again within so long.
constexpr base::Duration just_read = base::minutes(2.0);

// The likeliest cells: a blunder leaves a little everywhere, and pieces that had to cover all of that would be larger than the region itself.
std::vector<BelievedCell> that_matter(const Belief& belief) {
    std::vector<BelievedCell> cells = belief.cells;
    std::stable_sort(cells.begin(), cells.end(), [](const BelievedCell& a, const BelievedCell& b) {
        return a.probability > b.probability;
    });
    double sum = 0.0;
    const auto rest = std::find_if(cells.begin(), cells.end(), [&sum](const BelievedCell& cell) {
        const bool enough = sum >= that_matter_together;
        sum += cell.probability;
        return enough;
    });
    cells.erase(rest, cells.end());
    return cells;
}

/// The belief in pieces, few enough to be weighed anew many times.
struct Pieces {
    double side_m = 0.0;
    std::vector<PlanePoint> at;
    std::vector<double> probability;
    std::vector<std::size_t> mode;  // the nearest

    explicit Pieces(const Belief& belief) {
        const std::vector<BelievedCell> cells = that_matter(belief);
        int together = 1;
        while (cells.size() / static_cast<std::size_t>(together * together) > most_pieces) {
            ++together;
        }
        side_m = belief.cell_m * together;
        std::map<std::pair<long, long>, std::size_t> known;
        for (const BelievedCell& cell : cells) {
            const std::pair<long, long> key{std::lround(std::floor(cell.centre.east_m / side_m)),
                                            std::lround(std::floor(cell.centre.north_m / side_m))};
            const auto [found, is_new] = known.try_emplace(key, at.size());
            if (is_new) {
                at.push_back({0.0, 0.0});
                probability.push_back(0.0);
            }
            PlanePoint& middle = at[found->second];
            double& sum = probability[found->second];
            sum += cell.probability;
            middle.east_m += (cell.centre.east_m - middle.east_m) * cell.probability / sum;
            middle.north_m += (cell.centre.north_m - middle.north_m) * cell.probability / sum;
        }
        std::vector<PlanePoint> modes;
        for (const Mode& each : belief.modes) {
            modes.push_back(belief.frame.to_plane(each.place));
        }
        for (const PlanePoint& place : at) {
            const auto nearest =
                std::min_element(modes.begin(), modes.end(), [&](const PlanePoint& a, const PlanePoint& b) {
                    return std::hypot(a.east_m - place.east_m, a.north_m - place.north_m) <
                           std::hypot(b.east_m - place.east_m, b.north_m - place.north_m);
                });
            mode.push_back(static_cast<std::size_t>(nearest - modes.begin()));
        }
    }

    // The places at which a reading is drawn, evenly by probability.
    std::vector<std::size_t> drawn() const {
        std::vector<std::size_t> places;
        double sum = 0.0;
        for (std::size_t i = 0; i < at.size(); ++i) {
            sum += probability[i];
            while (places.size() < draws &&
                   sum > (static_cast<double>(places.size()) + 0.5) / static_cast<double>(draws)) {
                places.push_back(i);
            }
        }
        return places;
    }

    struct Size {
        double square_nm = 0.0;
        double places = 1.0;
    };
    // Of the smallest part that holds 95 %.
    Size size(std::vector<double> weights, std::size_t modes) const {
        const double whole = std::accumulate(weights.begin(), weights.end(), 0.0);
        std::vector<double> by_mode(modes, 0.0);
        for (std::size_t i = 0; i < weights.size(); ++i) {
            by_mode[mode[i]] += weights[i] / whole;
        }
        std::sort(weights.begin(), weights.end(), std::greater<>());
        double sum = 0.0;
        double count = 0.0;
        for (const double weight : weights) {
            if (sum + weight >= 0.95 * whole) {
                count += (0.95 * whole - sum) / weight;
                break;
            }
            sum += weight;
            count += 1.0;
        }
        Size size;
        size.square_nm = count * side_m * side_m / (nm * nm);
        size.places = static_cast<double>(
            std::count_if(by_mode.begin(), by_mode.end(), [](double share) { return share >= 0.05; }));
        return size;
    }
};

/// What one part of one aid would read at the pieces.
struct Aid {
    navdata::StationId station;
    ReadingKind kind = ReadingKind::radial;
    PlanePoint site;
};

double reading(const earth::LocalFrame& frame, const Aid& aid, PlanePoint place, double up_m) {
    if (aid.kind == ReadingKind::distance) {
        return std::hypot(frame.distance_m(aid.site, place), up_m);
    }
    // Toward the aid or from it: only differences matter.
    return frame.direction_rad(aid.site, place);
}

bool was_just_read(const BeliefQuestion& question, const Aid& aid) {
    return std::any_of(question.readings.begin(), question.readings.end(), [&](const Reading& reading) {
        const auto is_it = [&](const auto* shown) {
            return shown != nullptr && shown->stations.size() == 1 && shown->stations[0] == aid.station;
        };
        const bool same = aid.kind == ReadingKind::radial ? is_it(std::get_if<RadialRead>(&reading.shown))
                          : aid.kind == ReadingKind::distance
                              ? is_it(std::get_if<DistanceRead>(&reading.shown))
                              : is_it(std::get_if<BearingRead>(&reading.shown));
        return same && reading.before < just_read;
    });
}

std::vector<Aid> aids_near(const BeliefQuestion& question, const Belief& belief, const FreeRadios& free) {
    auto stations = question.world.stations_within(belief.modes.front().place, near_enough);
    if (stations.size() > nearest_looked_at) {
        stations.resize(nearest_looked_at);
    }
    std::vector<Aid> aids;
    const auto add = [&](navdata::StationId id, ReadingKind kind, earth::Position site) {
        const Aid aid{id, kind, belief.frame.to_plane(site)};
        if (!was_just_read(question, aid)) {
            aids.push_back(aid);
        }
    };
    for (const navdata::StationId id : stations) {
        const navdata::Station& station = question.world[id];
        if (free.vor && navdata::vor(station) != nullptr) {
            add(id, ReadingKind::radial, navdata::site(station));
        }
        if (free.adf && navdata::ndb(station) != nullptr) {
            add(id, ReadingKind::bearing, navdata::site(station));
        }
        // A localizer's DME is for its approach: its frequency may be the other end's.
        if (free.dme && station.dme && navdata::localizer(station) == nullptr) {
            add(id, ReadingKind::distance, station.dme->position);
        }
    }
    return aids;
}

}  // namespace

std::vector<NextReading> next_readings(const BeliefQuestion& question, const Belief& belief,
                                       const FreeRadios& free, std::size_t most) {
    if (belief.modes.empty() || belief.cells.empty()) {
        return {};
    }
    const Pieces pieces(belief);
    const Pieces::Size now = pieces.size(pieces.probability, belief.modes.size());
    const std::vector<std::size_t> drawn = pieces.drawn();
    std::vector<NextReading> all;
    for (const Aid& aid : aids_near(question, belief, free)) {
        const navdata::Station& station = question.world[aid.station];
        const radio::Part part =
            aid.kind == ReadingKind::distance ? radio::Part::distance : radio::Part::azimuth;
        const radio::PreparedReception reception(station, part, question.ground);
        const double up_m = (question.altitude.above_datum() -
                             radio::antenna_of(station, part, question.ground.terrain).altitude.above_datum())
                                .metres();
        std::vector<double> reads;
        for (const PlanePoint& place : pieces.at) {
            reads.push_back(reading(belief.frame, aid, place, up_m));
        }
        NextReading next{aid.station, aid.kind, 0.0, now.square_nm, 0.0, 0.0};
        for (const std::size_t place : drawn) {
            const PlanePoint& truth = pieces.at[place];
            const double share = 1.0 / static_cast<double>(drawn.size());
            if (!reception.at(belief.frame.to_position(truth), question.altitude).heard()) {
                next.square_nm_expected += share * now.square_nm;
                next.places_expected += share * now.places;
                continue;
            }
            next.heard += share;
            std::vector<double> weights(pieces.at.size());
            const double slant_nm = reads[place] / nm;
            const double distance_m =
                radio::dme_tolerance(Length::nautical_miles(slant_nm), question.errors.criteria).metres() /
                2.0;
            const double angle_rad =
                (aid.kind == ReadingKind::radial ? question.errors.vor : question.errors.adf).radians();
            for (std::size_t i = 0; i < weights.size(); ++i) {
                const bool angle = aid.kind != ReadingKind::distance;
                const double away_m = std::max(belief.frame.distance_m(aid.site, pieces.at[i]), 200.0);
                // A piece is not a point: what is read in it differs by so much.
                const double within = pieces.side_m / std::sqrt(12.0) / (angle ? away_m : 1.0);
                const double deviation = std::hypot(angle ? angle_rad : distance_m, within);
                double off = reads[i] - reads[place];
                if (angle) {
                    off = base::quick_wrapped(off, 2.0 * std::numbers::pi);
                }
                const double z = off / deviation;
                const double blunder = angle ? question.errors.nothing / (2.0 * std::numbers::pi)
                                             : question.errors.nothing / (200.0 * nm);
                weights[i] =
                    pieces.probability[i] * (std::exp(-0.5 * z * z) / (deviation * 2.5066) + blunder);
            }
            const Pieces::Size then = pieces.size(std::move(weights), belief.modes.size());
            next.square_nm_expected += share * then.square_nm;
            next.places_expected += share * then.places;
        }
        const bool tells = next.square_nm_expected <= (1.0 - least_gain) * now.square_nm ||
                           next.places_expected <= (1.0 - least_gain) * now.places;
        if (next.heard >= 0.05 && tells) {
            all.push_back(next);
        }
    }
    std::stable_sort(all.begin(), all.end(), [](const NextReading& a, const NextReading& b) {
        return a.square_nm_expected < b.square_nm_expected;
    });
    if (all.size() > most) {
        all.resize(most);
    }
    return all;
}

}  // namespace omniway::fixing
