#include "radio/along_path.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "radio/crossing_angle.hpp"
#include "radio/detail/listener.hpp"

namespace omniway::radio {

using base::Altitude;
using base::Angle;
using base::Length;
using detail::Listener;

namespace {

constexpr double nm_m = 1852.0;
constexpr double shortest_step_m = 0.1 * nm_m;
constexpr double changing_step_m = 0.25 * nm_m;
constexpr Length shortest_sector = Length::nautical_miles(17.0);
constexpr double end_tolerance_m = 0.01 * nm_m;
// Between places this near a straight line through their normals is the geodesic within a metre.
constexpr double longest_piece_m = 30.0 * nm_m;
constexpr double longest_jump_m = 1000.0 * nm_m;

using Vector = std::array<double, 3>;

Vector normalised(const Vector& v) {
    const double size = std::sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2]);
    return {v[0] / size, v[1] / size, v[2] / size};
}

earth::Position position_of(const Vector& normal) {
    constexpr double degree = 180.0 / std::numbers::pi;
    return earth::Position::degrees(std::asin(std::clamp(normal[2], -1.0, 1.0)) * degree,
                                    std::atan2(normal[1], normal[0]) * degree);
}

// Earth-centred coordinates of the place on the WGS 84 ellipsoid whose normal this is (NIMA TR8350.2, section 4).
Vector centred_m(const Vector& normal) {
    constexpr double semi_axis_m = 6378137.0;
    constexpr double flattening = 1.0 / 298.257223563;
    constexpr double squared = flattening * (2.0 - flattening);
    const double n_m = semi_axis_m / std::sqrt(1.0 - squared * normal[2] * normal[2]);
    return {n_m * normal[0], n_m * normal[1], n_m * (1.0 - squared) * normal[2]};
}

// Arc over a chord: the radius of curvature anywhere is within 0.7 % of the mean one, which leaves 0.3 m at 150 NM.
double arc_m(const Vector& a_m, const Vector& b_m) {
    constexpr double radius_m = 6371008.8;
    const double chord_m = std::hypot(a_m[0] - b_m[0], a_m[1] - b_m[1], a_m[2] - b_m[2]);
    const double half = std::min(chord_m / (2.0 * radius_m), 1.0);
    return chord_m < 1.0 ? chord_m : chord_m * (std::asin(half) / half);
}

// A straight piece of the path.
struct Piece {
    double from_m = 0.0;
    double to_m = 0.0;
    Vector from;
    Vector to;
    double from_up_m = 0.0;
    double to_up_m = 0.0;

    double share(double at_m) const { return to_m > from_m ? (at_m - from_m) / (to_m - from_m) : 0.0; }
    Vector normal(double at_m) const {
        const double t = share(at_m);
        return normalised({from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t,
                           from[2] + (to[2] - from[2]) * t});
    }
    Altitude altitude(double at_m) const {
        return Altitude::metres(from_up_m + (to_up_m - from_up_m) * share(at_m));
    }
    bool level() const { return std::abs(to_up_m - from_up_m) < 0.1; }
};

std::vector<Piece> pieces_of(std::span<const PathPoint> path) {
    std::vector<Piece> pieces;
    for (std::size_t i = 0; i + 1 < path.size(); ++i) {
        const PathPoint& from = path[i];
        const PathPoint& to = path[i + 1];
        const double length_m = (to.along - from.along).metres();
        OMNIWAY_EXPECTS(length_m >= 0.0 && length_m <= longest_jump_m);
        const int parts = std::max(1, static_cast<int>(std::ceil(length_m / longest_piece_m)));
        const earth::Geodesic line = parts > 1 ? earth::geodesic(from.place, to.place) : earth::Geodesic{};
        Vector begin = earth::unit_vector(from.place);
        for (int part = 0; part < parts; ++part) {
            const double share = static_cast<double>(part + 1) / parts;
            const Vector end =
                part + 1 == parts
                    ? earth::unit_vector(to.place)
                    : earth::unit_vector(earth::destination(from.place, line.initial, line.distance * share));
            const double before = static_cast<double>(part) / parts;
            const double rise_m = (to.altitude - from.altitude).metres();
            pieces.push_back({from.along.metres() + length_m * before, from.along.metres() + length_m * share,
                              begin, end, from.altitude.metres() + rise_m * before,
                              from.altitude.metres() + rise_m * share});
            begin = end;
        }
    }
    if (path.size() == 1) {
        const Vector here = earth::unit_vector(path[0].place);
        const double up_m = path[0].altitude.metres();
        pieces.push_back({path[0].along.metres(), path[0].along.metres(), here, here, up_m, up_m});
    }
    return pieces;
}

// By how much a silent place misses being heard: orders the places of one silence.
double lack_m(const Reception& reception) {
    switch (reception.silence) {
        case Silence::behind_terrain:
            return (*reception.lowest - reception.altitude).metres();
        case Silence::beyond_service_volume:
        case Silence::below_horizon:
            return (reception.distance - reception.limit).metres();
        default:
            return 0.0;
    }
}

// A stretch with one answer.
struct Run {
    double from_m = 0.0;
    double to_m = 0.0;
    Reception worst;
    bool ground_known = true;
};

// Walks a path and cuts it where the answer changes.
class Walk {
public:
    Walk(const navdata::Station& station, Part part, std::span<const PathPoint> path, const Ground& ground)
        : listener_(station, part, ground),
          site_m_(centred_m(earth::unit_vector(listener_.site()))),
          pieces_(pieces_of(path)) {}

    std::vector<Run> runs() {
        if (pieces_.empty()) {
            return {};
        }
        if (!listener_.exists()) {
            return {{pieces_.front().from_m, pieces_.back().to_m, Reception{}, true}};
        }
        for (const Piece& piece : pieces_) {
            Heard here{piece.from_m, listen(piece, piece.from_m)};
            join(here);
            while (here.at_m < piece.to_m) {
                const double step_m = std::max(step(piece, here.reception), shortest_step_m);
                const double next_m = piece.to_m - here.at_m <= step_m ? piece.to_m : here.at_m + step_m;
                const Heard next{next_m, listen(piece, next_m)};
                between(piece, here, next);
                here = next;
            }
        }
        return std::move(runs_);
    }

private:
    struct Heard {
        double at_m;
        Reception reception;
    };

    Reception listen(const Piece& piece, double at_m) const {
        const Vector normal = piece.normal(at_m);
        if (!listener_.by_distance_alone()) {
            return listener_.at(position_of(normal), piece.altitude(at_m));
        }
        return listener_.at(Length::metres(arc_m(site_m_, centred_m(normal))), piece.altitude(at_m),
                            [&] { return position_of(normal); });
    }

    double step(const Piece& piece, const Reception& reception) const {
        const double room_m = listener_.room(reception).metres();
        if (!listener_.by_distance_alone()) {
            // A sector is as narrow as one likes near its antenna.
            const bool far =
                reception.silence == Silence::beyond_service_volume && reception.limit > shortest_sector;
            return far ? room_m : shortest_step_m;
        }
        return piece.level() ? room_m : std::min(room_m, changing_step_m);
    }

    void join(const Heard& heard) {
        if (runs_.empty() || runs_.back().worst.silence != heard.reception.silence) {
            runs_.push_back({heard.at_m, heard.at_m, heard.reception, heard.reception.ground_known});
            return;
        }
        Run& run = runs_.back();
        run.to_m = heard.at_m;
        run.ground_known = run.ground_known && heard.reception.ground_known;
        if (lack_m(heard.reception) > lack_m(run.worst)) {
            run.worst = heard.reception;
        }
    }

    // Cuts where the answer changes; the cut is on the heard side, so that what is said to be heard is.
    void between(const Piece& piece, const Heard& a, const Heard& b) {
        if (a.reception.silence == b.reception.silence) {
            join(b);
            return;
        }
        if (b.at_m - a.at_m > end_tolerance_m) {
            const double middle_m = 0.5 * (a.at_m + b.at_m);
            const Heard middle{middle_m, listen(piece, middle_m)};
            between(piece, a, middle);
            between(piece, middle, b);
            return;
        }
        if (!a.reception.heard()) {
            runs_.back().to_m = b.at_m;
        }
        join(b);
        runs_.back().from_m = a.reception.heard() ? a.at_m : b.at_m;
    }

    Listener listener_;
    Vector site_m_;
    std::vector<Piece> pieces_;
    std::vector<Run> runs_;
};

LowestHeard higher(const LowestHeard& a, const LowestHeard& b) {
    return {std::max(a.altitude, b.altitude), a.ground_known && b.ground_known};
}

}  // namespace

std::vector<HeardInterval> heard_along(const navdata::Station& station, Part part,
                                       std::span<const PathPoint> path, const Ground& ground) {
    std::vector<HeardInterval> heard;
    const std::vector<Run> runs = Walk(station, part, path, ground).runs();
    for (std::size_t i = 0; i < runs.size(); ++i) {
        if (runs[i].worst.heard()) {
            heard.push_back({Length::metres(runs[i].from_m), Length::metres(runs[i].to_m),
                             i > 0 ? runs[i - 1].worst.silence : Silence::none,
                             i + 1 < runs.size() ? runs[i + 1].worst.silence : Silence::none,
                             runs[i].ground_known});
        }
    }
    return heard;
}

std::vector<SilentInterval> silent_along(const navdata::Station& station, Part part,
                                         std::span<const PathPoint> path, const Ground& ground) {
    std::vector<SilentInterval> silent;
    for (const Run& run : Walk(station, part, path, ground).runs()) {
        if (!run.worst.heard()) {
            silent.push_back({Length::metres(run.from_m), Length::metres(run.to_m), run.worst});
        }
    }
    return silent;
}

std::vector<SilentInterval> lost_along(const navdata::Station& station, Part part,
                                       std::span<const PathPoint> path, const Ground& ground) {
    std::vector<SilentInterval> lost;
    for (const SilentInterval& silent : silent_along(station, part, path, ground)) {
        if (silent.why.silence == Silence::overhead) {
            continue;
        }
        if (!lost.empty() && silent.from - lost.back().to < Length::metres(end_tolerance_m)) {
            lost.back().to = silent.to;
        } else {
            lost.push_back(silent);
        }
    }
    const bool one_place = path.size() > 0 && path.back().along <= path.front().along;
    std::erase_if(lost, [&](const SilentInterval& gap) {
        return !one_place && (gap.to - gap.from).metres() < shortest_step_m;
    });
    return lost;
}

std::optional<LowestHeard> lowest_heard(const navdata::Station& station, Part part, earth::Position place,
                                        const Ground& ground) {
    LowestHeard lowest;
    const auto altitude = Listener(station, part, ground).lowest(place, lowest.ground_known);
    if (!altitude) {
        return std::nullopt;
    }
    lowest.altitude = *altitude;
    return lowest;
}

std::optional<LowestAlong> lowest_heard_along(const navdata::Station& station, Part part,
                                              earth::Position from, earth::Position to,
                                              const Ground& ground) {
    const Listener listener(station, part, ground);
    const earth::Geodesic line = earth::geodesic(from, to);
    const std::array<PathPoint, 2> ends = {PathPoint{from, Length(), Altitude()},
                                           PathPoint{to, line.distance, Altitude()}};
    std::optional<LowestAlong> lowest;
    for (const Piece& piece : pieces_of(ends)) {
        for (double at_m = piece.from_m;; at_m = std::min(at_m + shortest_step_m, piece.to_m)) {
            LowestHeard here;
            const auto altitude = listener.lowest(position_of(piece.normal(at_m)), here.ground_known);
            if (!altitude) {
                return std::nullopt;
            }
            here.altitude = *altitude;
            // An altitude is found to half a foot: less is no reason to name another place.
            if (!lowest || here.altitude > lowest->lowest.altitude + Length::feet(1.0)) {
                lowest = {lowest ? higher(lowest->lowest, here) : here, Length::metres(at_m)};
            } else {
                lowest->lowest = higher(lowest->lowest, here);
            }
            if (at_m >= piece.to_m) {
                break;
            }
        }
    }
    return lowest;
}

std::optional<TwoLines> lowest_two_lines(std::span<const navdata::Station* const> stations,
                                         earth::Position place, const Ground& ground) {
    struct Line {
        std::size_t station;
        LowestHeard lowest;
        base::TrueBearing bearing;
        bool beacon;
    };
    std::vector<Line> lines;
    for (std::size_t i = 0; i < stations.size(); ++i) {
        const navdata::Station& station = *stations[i];
        const bool beacon = navdata::ndb(station) != nullptr;
        if (!beacon && navdata::vor(station) == nullptr) {
            continue;
        }
        if (const auto lowest = lowest_heard(station, Part::azimuth, place, ground)) {
            lines.push_back({i, *lowest, earth::bearing(place, navdata::site(station)), beacon});
        }
    }
    std::stable_sort(lines.begin(), lines.end(),
                     [](const Line& a, const Line& b) { return a.lowest.altitude < b.lowest.altitude; });
    // The higher line of a pair decides, so that the first line to find a partner among the lower ones is the answer.
    for (std::size_t high = 1; high < lines.size(); ++high) {
        for (std::size_t low = 0; low < high; ++low) {
            const Angle crossing = crossing_angle(lines[low].bearing, lines[high].bearing);
            const double needed = lines[low].beacon || lines[high].beacon ? 45.0 : 30.0;
            if (crossing.degrees() >= needed) {
                return TwoLines{higher(lines[low].lowest, lines[high].lowest), lines[low].station,
                                lines[high].station, crossing};
            }
        }
    }
    return std::nullopt;
}

}  // namespace omniway::radio
