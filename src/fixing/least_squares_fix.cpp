#include "fixing/least_squares_fix.hpp"

#include <cmath>
#include <numbers>

#include <Eigen/Dense>

#include "earth/geodesic.hpp"

namespace omniway::fixing {

using base::Length;
using earth::Position;

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double shallowest_deg = 10.0;

// East and north of where it was begun, wind east and north in deviations, heading in deviations.
using Unknowns = Eigen::Matrix<double, 5, 1>;

struct Line {
    const Reading* reading = nullptr;
    const navdata::Station* station = nullptr;
};

class Fit {
public:
    Fit(const BeliefQuestion& question, const std::vector<std::size_t>& stations, Position begin)
        : question_(question), begin_(begin) {
        for (std::size_t i = 0; i < question.readings.size(); ++i) {
            const Reading& reading = question.readings[i];
            const bool line = std::holds_alternative<RadialRead>(reading.shown) ||
                              std::holds_alternative<DistanceRead>(reading.shown) ||
                              std::holds_alternative<BearingRead>(reading.shown) ||
                              std::holds_alternative<PassageRead>(reading.shown);
            if (line) {
                const Candidates& of = std::visit(
                    [](const auto& shown) -> const Candidates& { return shown.stations; }, reading.shown);
                lines_.push_back({&reading, &question.world[of[stations[i]]]});
                rows_ += std::holds_alternative<PassageRead>(reading.shown) ? 2 : 1;
            }
        }
        if (question.last_known) {
            rows_ += 2;
        }
    }

    int rows() const { return rows_; }

    Position place(const Unknowns& at) const {
        return earth::destination(begin_, base::TrueBearing::degrees(std::atan2(at[0], at[1]) / degree),
                                  Length::metres(std::hypot(at[0], at[1])));
    }

    // Each by its deviation; the last three hold wind and heading.
    Eigen::VectorXd residuals(const Unknowns& at) const {
        Eigen::VectorXd all(rows_ + 3);
        int row = 0;
        const Position now = place(at);
        for (const Line& line : lines_) {
            const Position then = before(now, line.reading->before, at);
            std::visit([&](const auto& shown) { add(shown, *line.station, then, at, all, row); },
                       line.reading->shown);
        }
        if (const auto& last = question_.last_known) {
            add_place(last->place, before(now, last->before, at), last->within.metres() / 2.4477, all, row);
        }
        all.tail<3>() = at.tail<3>();
        return all;
    }

private:
    // Where it was then: back along what was flown, and what the air did.
    Position before(Position now, base::Duration before, const Unknowns& at) const {
        if (before.count() <= 0.0) {
            return now;
        }
        const double variation_deg = question_.model.variation(now, question_.today).east().degrees();
        const double off_deg = at[4] * question_.errors.heading.degrees();
        double east_m = 0.0;
        double north_m = 0.0;
        const auto& flown = question_.flown;
        for (std::size_t i = 0; i < flown.size(); ++i) {
            const double until_s = i + 1 < flown.size() ? flown[i + 1].before.count() : 0.0;
            const double since_s =
                i == 0 ? before.count() : std::min(flown[i].before.count(), before.count());
            const double held_s = std::max(since_s - until_s, 0.0);
            const double to = (flown[i].heading.degrees() + variation_deg - off_deg) * degree;
            east_m += flown[i].true_airspeed.metres_per_second() * held_s * std::sin(to);
            north_m += flown[i].true_airspeed.metres_per_second() * held_s * std::cos(to);
        }
        const double from = question_.air.from.degrees() * degree;
        const double deviation = question_.air.uncertainty.metres_per_second();
        east_m +=
            (at[2] * deviation - question_.air.speed.metres_per_second() * std::sin(from)) * before.count();
        north_m +=
            (at[3] * deviation - question_.air.speed.metres_per_second() * std::cos(from)) * before.count();
        return earth::destination(now, base::TrueBearing::degrees(std::atan2(-east_m, -north_m) / degree),
                                  Length::metres(std::hypot(east_m, north_m)));
    }

    void add(const RadialRead& shown, const navdata::Station& station, Position then, const Unknowns&,
             Eigen::VectorXd& all, int& row) const {
        const auto* vor = navdata::vor(station);
        const auto here = base::to_radial(earth::bearing(vor->position, then), vor->declination);
        all[row++] = (shown.radial - here).degrees() / question_.errors.vor.degrees();
    }
    void add(const DistanceRead& shown, const navdata::Station& station, Position then, const Unknowns&,
             Eigen::VectorXd& all, int& row) const {
        const auto antenna = radio::antenna_of(station, radio::Part::distance, question_.ground.terrain);
        const Length here = radio::slant_range(earth::distance(antenna.position, then),
                                               {question_.altitude, antenna.altitude}) -
                            (station.dme ? station.dme->bias : Length());
        const Length deviation = radio::dme_tolerance(shown.slant_range, question_.errors.criteria) * 0.5;
        all[row++] = (shown.slant_range - here) / deviation;
    }
    void add(const BearingRead& shown, const navdata::Station& station, Position then, const Unknowns& at,
             Eigen::VectorXd& all, int& row) const {
        const auto here = base::to_magnetic(earth::bearing(then, navdata::site(station)),
                                            question_.model.variation(then, question_.today));
        const double off_deg = shown.by_heading ? at[4] * question_.errors.heading.degrees() : 0.0;
        all[row++] = ((shown.to_station - here).degrees() - off_deg) / question_.errors.adf.degrees();
    }
    void add(const PassageRead&, const navdata::Station& station, Position then, const Unknowns&,
             Eigen::VectorXd& all, int& row) const {
        const Length up =
            question_.altitude.above_datum() -
            radio::antenna_of(station, radio::Part::azimuth, question_.ground.terrain).altitude.above_datum();
        const double cone_m = std::max(up.metres() * std::tan(50.0 * degree), 926.0);
        add_place(navdata::site(station), then, cone_m / 2.4477, all, row);
    }
    template <class Other>
    void add(const Other&, const navdata::Station&, Position, const Unknowns&, Eigen::VectorXd&, int&) const {
    }

    static void add_place(Position known, Position then, double deviation_m, Eigen::VectorXd& all, int& row) {
        const earth::Geodesic line = earth::geodesic(then, known);
        all[row++] = line.distance.metres() * std::sin(line.initial.degrees() * degree) / deviation_m;
        all[row++] = line.distance.metres() * std::cos(line.initial.degrees() * degree) / deviation_m;
    }

    const BeliefQuestion& question_;
    Position begin_;
    std::vector<Line> lines_;
    int rows_ = 0;
};

Eigen::MatrixXd slopes(const Fit& fit, const Unknowns& at) {
    Eigen::MatrixXd all(fit.rows() + 3, 5);
    for (int i = 0; i < 5; ++i) {
        const double step = i < 2 ? 10.0 : 0.01;
        Unknowns more = at;
        Unknowns less = at;
        more[i] += step;
        less[i] -= step;
        all.col(i) = (fit.residuals(more) - fit.residuals(less)) / (2.0 * step);
    }
    return all;
}

}  // namespace

std::optional<LeastSquaresFix> least_squares_fix(const BeliefQuestion& question,
                                                 const std::vector<std::size_t>& stations, Position begin) {
    const Fit fit(question, stations, begin);
    if (fit.rows() < 2) {
        return std::nullopt;
    }
    Unknowns at = Unknowns::Zero();
    Eigen::Matrix<double, 5, 5> information;
    bool settled = false;
    for (int i = 0; i < 30 && !settled; ++i) {
        const Eigen::MatrixXd slope = slopes(fit, at);
        information = slope.transpose() * slope;
        const Unknowns step = -information.ldlt().solve(slope.transpose() * fit.residuals(at));
        if (!step.allFinite() || std::hypot(step[0], step[1]) > 500'000.0) {
            return std::nullopt;
        }
        at += step;
        settled = std::hypot(step[0], step[1]) < 0.5 && step.tail<3>().norm() < 1e-4;
    }
    if (!settled) {
        return std::nullopt;
    }
    const Eigen::Matrix2d spread = information.inverse().topLeftCorner<2, 2>();
    const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> axes(spread);
    const double minor_m = std::sqrt(std::max(axes.eigenvalues()[0], 0.0));
    const double major_m = std::sqrt(std::max(axes.eigenvalues()[1], 0.0));
    const Eigen::Vector2d axis = axes.eigenvectors().col(1);
    LeastSquaresFix found;
    found.place = fit.place(at);
    found.minor = Length::metres(minor_m);
    found.major = Length::metres(major_m);
    found.major_axis = base::TrueBearing::degrees(std::atan2(axis[0], axis[1]) / degree);
    found.chi_squared = fit.residuals(at).squaredNorm();
    found.degrees_of_freedom = fit.rows() - 2;
    found.crossing_deg = 2.0 * std::atan(minor_m / major_m) / degree;
    if (!(found.crossing_deg >= shallowest_deg)) {
        return std::nullopt;
    }
    return found;
}

}  // namespace omniway::fixing
