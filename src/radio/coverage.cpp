#include "radio/coverage.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <mutex>
#include <numbers>

#include "base/parallel.hpp"
#include "earth/geodesic.hpp"
#include "earth/terrain.hpp"
#include "radio/along_path.hpp"
#include "radio/prepared_reception.hpp"
#include "radio/reception.hpp"
#include "radio/service_volume.hpp"

namespace omniway::radio {

using base::Altitude;
using base::Angle;
using base::Length;

namespace {

constexpr float nothing = std::numeric_limits<float>::quiet_NaN();

constexpr Angle enough = Angle::degrees(30.0);
constexpr Angle enough_of_beacon = Angle::degrees(45.0);

// As far as any class is promised by line of sight: 12,900 ft over a station as high as any stands.
constexpr Length farthest_sight = Length::nautical_miles(300.0);

Length farthest(navdata::ServiceClass service, AidKind kind) {
    Length radius;
    for (const VolumeBand& band :
         service_bands(service == navdata::ServiceClass::unknown ? smallest_of(kind) : service)) {
        radius = std::max(radius, band.radius.value_or(farthest_sight));
    }
    return radius;
}

Length farthest(const navdata::Station& station) {
    Length radius;
    if (const auto* azimuth = navdata::vor(station)) {
        radius = farthest(azimuth->service, AidKind::vor);
    } else if (const auto* beacon = navdata::ndb(station)) {
        radius = farthest(beacon->service, AidKind::ndb);
    } else if (navdata::localizer(station) != nullptr) {
        radius = Length::nautical_miles(25.0);
    }
    if (station.dme) {
        radius = std::max(radius, farthest(station.dme->service, AidKind::distance));
    }
    return radius;
}

// A station where a search by chords can pass it over. One per cent stands for the ellipsoid, 2 NM for parts that stand apart.
struct Reach {
    const navdata::Station* station = nullptr;
    std::array<double, 3> at{};
    double cosine = 1.0;
    std::array<PreparedReception, 2> parts;  // azimuth, distance

    bool holds(const std::array<double, 3>& place) const {
        return at[0] * place[0] + at[1] * place[1] + at[2] * place[2] >= cosine;
    }
};

double reach_cosine(const navdata::Station& station) {
    constexpr double radius_m = 6'371'008.8;
    const Length far = farthest(station) * 1.01 + Length::nautical_miles(2.0);
    return std::cos(far.metres() / radius_m);
}

Reach reach_of(const navdata::Station& station, const Ground& ground) {
    return {&station,
            earth::unit_vector(navdata::site(station)),
            reach_cosine(station),
            {PreparedReception(station, Part::azimuth, ground),
             PreparedReception(station, Part::distance, ground)}};
}

// A circle that holds all cells of a grid, about its middle; of a wide one all the earth.
struct Neighbourhood {
    std::array<double, 3> middle{};
    double radius_rad = std::numbers::pi;
};

Neighbourhood neighbourhood(const CellGrid& grid) {
    Neighbourhood around{earth::unit_vector(grid.centre(grid.rows / 2, grid.columns / 2))};
    // Within this no side of the area bulges out of the circle through its corners by more than the cell that is added.
    constexpr double wide_deg = 60.0;
    const double side = grid.cell.degrees();
    if (static_cast<double>(std::max(grid.rows, grid.columns)) * side > wide_deg) {
        return around;
    }
    double least = 1.0;
    for (const std::size_t row : {std::size_t{0}, grid.rows / 2, grid.rows - 1}) {
        for (const std::size_t column : {std::size_t{0}, grid.columns / 2, grid.columns - 1}) {
            const auto place = earth::unit_vector(grid.centre(row, column));
            least = std::min(least, around.middle[0] * place[0] + around.middle[1] * place[1] +
                                        around.middle[2] * place[2]);
        }
    }
    constexpr double bulge = 1.2;
    around.radius_rad = std::min(std::acos(least) * bulge + grid.cell.radians() * 2.0, std::numbers::pi);
    return around;
}

bool reaches(const navdata::Station& station, const Neighbourhood& around) {
    const auto at = earth::unit_vector(navdata::site(station));
    const double away = std::acos(std::clamp(
        at[0] * around.middle[0] + at[1] * around.middle[1] + at[2] * around.middle[2], -1.0, 1.0));
    return away <= std::acos(reach_cosine(station)) + around.radius_rad;
}

// A line that is heard, before anybody asked which way it runs.
struct HeardLine {
    Length error;
    const navdata::Station* station = nullptr;
    Part part = Part::azimuth;
};

// A line of position that a station may give at a place.
struct Candidate {
    LineOfPosition line;
    const navdata::Station* station = nullptr;
    Part part = Part::azimuth;
    double lowest_ft = 0.0;
    bool ground_known = true;
};

class Cell {
public:
    Cell(earth::Position place, const CoverageQuestion& question)
        : place_(place), question_(question), floor_(-std::numeric_limits<double>::infinity()) {
        if (question.ground.mode == ReceptionMode::terrain && question.ground.terrain != nullptr) {
            if (const auto ground = question.ground.terrain->elevation(place)) {
                floor_ = ground->feet();
            }
        }
    }

    void add(const Reach& reach) {
        const navdata::Station& station = *reach.station;
        bool heard = false;
        for (const Part part : {Part::azimuth, Part::distance}) {
            const Reception now = reach.parts[part == Part::azimuth ? 0 : 1].at(place_, question_.altitude);
            if (now.silence == Silence::no_such_part) {
                continue;
            }
            heard |= now.heard();
            ground_known_ &= now.ground_known;
            const auto lowest = question_.lowest_altitudes ? lowest_here(station, part) : std::nullopt;
            if (lowest) {
                lowest_one_ft_ = std::min(lowest_one_ft_, *lowest);
            }
            if (part == Part::azimuth && navdata::localizer(station) != nullptr) {
                continue;
            }
            if (now.heard() && question_.accuracy) {
                heard_.push_back({error_of(station, part, now.distance), &station, part});
            }
            if (lowest) {
                const HeardLine line{error_of(station, part, now.distance), &station, part};
                lines_.push_back({line_of(line), &station, part, *lowest, true});
            }
        }
        stations_ += heard ? 1 : 0;
    }

    void store(Coverage& coverage, std::size_t at) {
        coverage.stations[at] = static_cast<float>(stations_);
        coverage.lowest_one_ft[at] =
            std::isfinite(lowest_one_ft_) ? static_cast<float>(lowest_one_ft_) : nothing;
        coverage.lowest_two_ft[at] = lowest_two();
        coverage.accuracy_nm[at] = best_accuracy();
        coverage.ground_known[at] = ground_known_ ? 1.0F : 0.0F;
    }

private:
    std::optional<double> lowest_here(const navdata::Station& station, Part part) {
        const auto lowest = lowest_heard(station, part, place_, question_.ground);
        if (!lowest) {
            return std::nullopt;
        }
        ground_known_ &= lowest->ground_known;
        if (lowest->altitude.feet() >= floor_) {
            return lowest->altitude.feet();
        }
        // Under the ground nobody listens; on it, the volume may have ended already.
        const Reception on_ground = hear(station, part, place_, Altitude::feet(floor_), question_.ground);
        return on_ground.heard() || on_ground.silence == Silence::overhead ? std::optional(floor_)
                                                                           : std::nullopt;
    }

    LineOfPosition line_of(const HeardLine& heard) const {
        const navdata::Station& station = *heard.station;
        if (heard.part == Part::azimuth) {
            return {earth::bearing(place_, navdata::site(station)), heard.error,
                    navdata::ndb(station) != nullptr};
        }
        return {earth::bearing(place_, station.dme->position) + Angle::degrees(90.0), heard.error, false};
    }

    Length error_of(const navdata::Station& station, Part part, Length distance) const {
        if (part == Part::azimuth) {
            const AidKind kind = navdata::ndb(station) != nullptr ? AidKind::ndb : AidKind::vor;
            return distance * base::tan(bearing_tolerance(kind, Line::crossing, question_.criteria));
        }
        const Length slant = slant_range(distance, {.aircraft = question_.altitude,
                                                    .antenna = station.dme->elevation.value_or(Altitude())});
        // What a reading errs along the slant is more over the ground, without end overhead.
        const double steepness = distance > Length() ? slant / distance : 1e6;
        return dme_tolerance(slant, question_.criteria) * steepness;
    }

    // Each is heard from its lowest altitude up to one more: where two overlap, they do so from the higher of the lowest.
    float lowest_two() {
        std::sort(lines_.begin(), lines_.end(),
                  [](const Candidate& a, const Candidate& b) { return a.lowest_ft < b.lowest_ft; });
        for (std::size_t j = 1; j < lines_.size(); ++j) {
            for (std::size_t i = 0; i < j; ++i) {
                if (cross_well(lines_[i].line, lines_[j].line) && heard_at(lines_[i], lines_[j].lowest_ft)) {
                    return static_cast<float>(lines_[j].lowest_ft);
                }
            }
        }
        return nothing;
    }

    bool heard_at(const Candidate& candidate, double altitude_ft) const {
        return altitude_ft - candidate.lowest_ft < 1.0 ||
               hear(*candidate.station, candidate.part, place_, Altitude::feet(altitude_ft), question_.ground)
                   .heard();
    }

    float best_accuracy() {
        std::sort(heard_.begin(), heard_.end(),
                  [](const HeardLine& a, const HeardLine& b) { return a.error < b.error; });
        double best_nm = std::numeric_limits<double>::infinity();
        std::vector<LineOfPosition> lines;  // which way one runs costs a geodesic: of most nobody asks
        for (std::size_t j = 0; j < heard_.size() && heard_.size() > 1; ++j) {
            if (heard_[j].error.nautical_miles() >= best_nm) {
                break;  // no crossing makes a fix better than its worse line
            }
            lines.push_back(line_of(heard_[j]));
            for (std::size_t i = 0; i < j; ++i) {
                if (cross_well(lines[i], lines[j])) {
                    best_nm = std::min(best_nm, fix_error(lines[i], lines[j]).nautical_miles());
                }
            }
        }
        return std::isfinite(best_nm) ? static_cast<float>(best_nm) : nothing;
    }

    earth::Position place_;
    const CoverageQuestion& question_;
    double floor_;
    int stations_ = 0;
    double lowest_one_ft_ = std::numeric_limits<double>::infinity();
    bool ground_known_ = true;
    std::vector<HeardLine> heard_;
    std::vector<Candidate> lines_;
};

// Row by row, told and stopped between rows.
bool by_rows(const CellGrid& grid, const base::Progress& progress, unsigned threads,
             const std::function<void(std::size_t)>& row) {
    std::mutex telling;
    std::size_t done = 0;
    base::parallel_for(
        grid.rows,
        [&](std::size_t at) {
            if (progress.cancelled()) {
                return;
            }
            row(at);
            const std::lock_guard lock(telling);
            ++done;
            progress.at("mapping", static_cast<double>(done) / static_cast<double>(grid.rows));
        },
        threads);
    return !progress.cancelled();
}

}  // namespace

earth::Position CellGrid::centre(std::size_t row, std::size_t column) const {
    const double side = cell.degrees();
    return earth::Position::degrees(
        std::max(north_west.latitude_deg() - (static_cast<double>(row) + 0.5) * side, -90.0),
        north_west.longitude_deg() + (static_cast<double>(column) + 0.5) * side);
}

Angle crossing(const LineOfPosition& one, const LineOfPosition& other) {
    const double turn = std::abs((one.direction - other.direction).degrees());
    return Angle::degrees(std::min(turn, 180.0 - turn));
}

bool cross_well(const LineOfPosition& one, const LineOfPosition& other) {
    return crossing(one, other) >= (one.beacon || other.beacon ? enough_of_beacon : enough);
}

Length fix_error(const LineOfPosition& one, const LineOfPosition& other) {
    return Length::metres(std::hypot(one.error.metres(), other.error.metres()) /
                          base::sin(crossing(one, other)));
}

std::optional<Coverage> coverage_of(std::span<const navdata::Station> stations,
                                    const CoverageQuestion& question, const base::Progress& progress,
                                    unsigned threads) {
    const CellGrid& grid = question.grid;
    const Neighbourhood around = neighbourhood(grid);
    std::vector<Reach> near;
    for (const navdata::Station& station : stations) {
        if (!station.out_of_service && reaches(station, around)) {
            near.push_back(reach_of(station, question.ground));
        }
    }
    const std::vector<float> empty(grid.cells(), nothing);
    Coverage coverage{empty, empty, empty, empty, empty};
    const bool whole = by_rows(grid, progress, threads, [&](std::size_t row) {
        for (std::size_t column = 0; column < grid.columns && !progress.cancelled(); ++column) {
            const earth::Position place = grid.centre(row, column);
            const auto direction = earth::unit_vector(place);
            Cell cell(place, question);
            for (const Reach& reach : near) {
                if (reach.holds(direction)) {
                    cell.add(reach);
                }
            }
            cell.store(coverage, row * grid.columns + column);
        }
    });
    return whole ? std::optional(std::move(coverage)) : std::nullopt;
}

std::optional<LowestUsable> lowest_usable(const navdata::Station& station, const CellGrid& grid,
                                          const Ground& ground, const base::Progress& progress,
                                          unsigned threads) {
    const bool has_azimuth = navdata::vor(station) != nullptr || navdata::ndb(station) != nullptr ||
                             navdata::localizer(station) != nullptr;
    const Part part = has_azimuth ? Part::azimuth : Part::distance;
    const std::vector<float> empty(grid.cells(), nothing);
    LowestUsable usable{empty, empty};
    const bool whole = by_rows(grid, progress, threads, [&](std::size_t row) {
        for (std::size_t column = 0; column < grid.columns && !progress.cancelled(); ++column) {
            const earth::Position place = grid.centre(row, column);
            const std::size_t at = row * grid.columns + column;
            auto lowest = lowest_heard(station, part, place, ground);
            usable.ground_known[at] = !lowest || lowest->ground_known ? 1.0F : 0.0F;
            if (lowest && ground.mode == ReceptionMode::terrain && ground.terrain != nullptr) {
                const auto floor = ground.terrain->elevation(place);
                if (floor && *floor > lowest->altitude) {
                    const Reception on_ground = hear(station, part, place, *floor, ground);
                    lowest->altitude = *floor;
                    if (!on_ground.heard() && on_ground.silence != Silence::overhead) {
                        continue;
                    }
                }
            }
            if (lowest) {
                usable.lowest_ft[at] = static_cast<float>(lowest->altitude.feet());
            }
        }
    });
    return whole ? std::optional(std::move(usable)) : std::nullopt;
}

}  // namespace omniway::radio
