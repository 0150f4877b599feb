#include "rehearsal/stage.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "cockpit/morse.hpp"
#include "navdata/interlocked.hpp"
#include "navdata/landing_threshold.hpp"
#include "radio/identification.hpp"
#include "radio/indication.hpp"

namespace omniway::rehearsal {

using base::Frequency;
using base::Length;
using earth::PlanePoint;
using flight::TrackStep;

namespace {

constexpr double nm = 1852.0;
constexpr Length raised_within = Length::nautical_miles(160.0);
constexpr double cell_m = 20.0 * nm;

// Every frequency that the card sets anywhere.
class Frequencies {
public:
    explicit Frequencies(const flight::Card& card) {
        radios(card.lined_up);
        for (const auto* steps : {&card.steps, &card.missed}) {
            for (const flight::Step& step : *steps) {
                radios(step.radios);
                if (const auto* localizer = std::get_if<flight::FollowLocalizer>(&step.guidance)) {
                    guiding_.insert(key(localizer->aid.frequency, localizer->aid.ident));
                }
                for (const flight::StepWork& work : step.work) {
                    if (const auto* tune = std::get_if<flight::Tune>(&work)) {
                        add(tune->aid);
                    }
                }
            }
        }
    }
    const std::vector<Frequency>& all() const { return all_; }
    /// Whether it is a localizer that the card follows.
    bool follows(const navdata::Station& station) const {
        return guiding_.contains(key(station.frequency, station.ident));
    }

private:
    void add(const flight::NamedAid& aid) {
        if (std::find(all_.begin(), all_.end(), aid.frequency) == all_.end()) {
            all_.push_back(aid.frequency);
        }
    }
    void radios(const flight::StepRadios& radios) {
        for (const auto& receiver : radios.receivers) {
            if (receiver.active) {
                add(*receiver.active);
            }
        }
        if (radios.distance && radios.distance->of) {
            add(*radios.distance->of);
        }
        if (radios.adf && radios.adf->aid) {
            add(*radios.adf->aid);
        }
    }
    std::vector<Frequency> all_;
    static std::pair<double, std::string> key(Frequency frequency, const std::string& ident) {
        return {frequency.kilohertz(), ident};
    }
    std::set<std::pair<double, std::string>> guiding_;
};

PlanePoint foot_on_course(PlanePoint on_course, double course_rad, PlanePoint beside) {
    const double east = std::sin(course_rad);
    const double north = std::cos(course_rad);
    const double along_m =
        (beside.east_m - on_course.east_m) * east + (beside.north_m - on_course.north_m) * north;
    return {on_course.east_m + along_m * east, on_course.north_m + along_m * north};
}

}  // namespace

Stage::Stage(const flight::Circumstances& circumstances, const flight::Flight& flight,
             const flight::FlightTrack& track, const flight::Card& card)
    : circumstances_(circumstances),
      flight_(flight),
      track_(track),
      card_(card),
      frame_(flight::plane_of(track)) {
    gather_aids();
    lay_the_lattice();
    for (const TrackStep& step : track.steps) {
        steps_.push_back(step_of(step, false));
    }
    for (const TrackStep& step : track.missed) {
        missed_.push_back(step_of(step, true));
    }
    take_off_ = steps_.front().start;
    field_ = circumstances.world[flight.departure].elevation.value_or(base::Altitude());
    const TrackStep& first = track.steps.front();
    take_off_grid_rad_ = first.track.from_north().radians() + frame_.convergence(take_off_).radians();
}

void Stage::gather_aids() {
    const Frequencies frequencies(card_);
    std::set<navdata::StationId> near;
    for (const auto* steps : {&track_.steps, &track_.missed}) {
        for (const TrackStep& step : *steps) {
            for (const navdata::StationId id :
                 circumstances_.world.stations_within(step.finish, raised_within)) {
                near.insert(id);
            }
        }
    }
    for (const Frequency frequency : frequencies.all()) {
        std::vector<std::size_t> raised;
        std::vector<navdata::StationId> same;
        for (const navdata::StationId id : near) {
            if (circumstances_.world[id].frequency == frequency) {
                same.push_back(id);
            }
        }
        const auto is_off_the_air = [&](navdata::StationId id) {
            const navdata::Station& station = circumstances_.world[id];
            const auto others = navdata::interlocked_with(circumstances_.world, id);
            return !frequencies.follows(station) &&
                   std::any_of(others.begin(), others.end(), [&](navdata::StationId other) {
                       return frequencies.follows(circumstances_.world[other]);
                   });
        };
        for (const navdata::StationId id : same) {
            if (!is_off_the_air(id)) {
                raised.push_back(aids_.size());
                aids_.push_back(aid_of(id));
            }
        }
        by_frequency_.emplace_back(frequency, std::move(raised));
    }
}

AidOnStage Stage::aid_of(navdata::StationId id) const {
    const navdata::Station& station = circumstances_.world[id];
    const radio::Ground& ground = circumstances_.ground;
    AidOnStage aid{.id = id,
                   .station = &station,
                   .azimuth = radio::PreparedReception(station, radio::Part::azimuth, ground),
                   .distance = radio::PreparedReception(station, radio::Part::distance, ground),
                   .slope = radio::PreparedReception(station, radio::Part::glideslope, ground)};
    aid.site = frame_.to_plane(navdata::site(station));
    aid.north_rad = frame_.convergence(aid.site).radians();
    if (const auto* vor = navdata::vor(station)) {
        aid.zero_rad = vor->declination.east().radians() + aid.north_rad;
    } else if (navdata::ndb(station) != nullptr) {
        aid.kind = AidOnStage::Kind::ndb;
    } else if (const auto* localizer = navdata::localizer(station)) {
        aid.kind = AidOnStage::Kind::localizer;
        aid.zero_rad =
            base::to_true(localizer->course, localizer->declination).from_north().radians() + aid.north_rad;
        aid.back_course = navdata::has_back_course(*localizer);
        const auto threshold = navdata::landing_threshold(circumstances_.world, station);
        aid.full_scale_deg = radio::localizer_width(*localizer, threshold).whole.degrees() / 2.0;
        if (localizer->glideslope) {
            const navdata::Glideslope& slope = *localizer->glideslope;
            aid.glideslope = frame_.to_plane(slope.position);
            aid.glideslope_foot = foot_on_course(aid.site, aid.zero_rad, *aid.glideslope);
            aid.glideslope_deg = slope.angle.degrees();
            aid.glideslope_antenna_m = radio::antenna_site(station, radio::Part::glideslope, ground.terrain)
                                           .antenna.altitude.metres();
        }
    } else {
        aid.kind = AidOnStage::Kind::distance;
    }
    if (station.dme) {
        aid.dme = frame_.to_plane(station.dme->position);
        aid.dme_north_rad = frame_.convergence(*aid.dme).radians();
        aid.dme_antenna_m =
            radio::antenna_site(station, radio::Part::distance, ground.terrain).antenna.altitude.metres();
        aid.dme_bias_m = station.dme->bias.metres();
    }
    aid.ident = cockpit::HeardIdent(station.ident);
    const cockpit::Identification keyed = radio::identification_of(station);
    aid.keying_s = cockpit::keying_time(station.ident, keyed.speed).count();
    aid.again_within_s = keyed.again_within.count();
    return aid;
}

StepOnStage Stage::step_of(const TrackStep& step, bool missed) const {
    StepOnStage on{flight::step_line(circumstances_, flight_, step, missed, frame_), std::nullopt};
    const auto found =
        std::find_if(aids_.begin(), aids_.end(), [&](const AidOnStage& aid) { return aid.id == on.station; });
    if (found != aids_.end()) {
        on.aid = static_cast<std::size_t>(found - aids_.begin());
    }
    return on;
}

void Stage::lay_the_lattice() {
    double west = 1e12;
    double east = -1e12;
    double south = 1e12;
    double north = -1e12;
    for (const auto* steps : {&track_.steps, &track_.missed}) {
        for (const TrackStep& step : *steps) {
            for (const earth::Position& place : {step.start, step.finish}) {
                const PlanePoint point = frame_.to_plane(place);
                west = std::min(west, point.east_m);
                east = std::max(east, point.east_m);
                south = std::min(south, point.north_m);
                north = std::max(north, point.north_m);
            }
        }
    }
    lattice_corner_ = {west - 2.0 * cell_m, south - 2.0 * cell_m};
    lattice_columns_ = static_cast<std::size_t>((east - west) / cell_m) + 6;
    const std::size_t rows = static_cast<std::size_t>((north - south) / cell_m) + 6;
    for (std::size_t row = 0; row < rows; ++row) {
        for (std::size_t column = 0; column < lattice_columns_; ++column) {
            const PlanePoint place{lattice_corner_.east_m + static_cast<double>(column) * cell_m,
                                   lattice_corner_.north_m + static_cast<double>(row) * cell_m};
            const earth::Position position = frame_.to_position(place);
            const double first_deg = lattice_.empty() ? 0.0 : lattice_.front().longitude_deg;
            const double north_rad = frame_.convergence(place).radians();
            const auto variation = circumstances_.model.variation(position, circumstances_.today);
            lattice_.push_back({position.latitude_deg(),
                                first_deg + std::remainder(position.longitude_deg() - first_deg, 360.0),
                                north_rad, variation.east().radians() + north_rad});
        }
    }
}

Stage::Surroundings Stage::about(PlanePoint place) const {
    const double column = (place.east_m - lattice_corner_.east_m) / cell_m;
    const double row = (place.north_m - lattice_corner_.north_m) / cell_m;
    const std::size_t rows = lattice_.size() / lattice_columns_;
    const double c = std::clamp(column, 0.0, static_cast<double>(lattice_columns_) - 1.001);
    const double r = std::clamp(row, 0.0, static_cast<double>(rows) - 1.001);
    const auto c0 = static_cast<std::size_t>(c);
    const auto r0 = static_cast<std::size_t>(r);
    const double x = c - static_cast<double>(c0);
    const double y = r - static_cast<double>(r0);
    const Corner* low = &lattice_[r0 * lattice_columns_ + c0];
    const Corner* high = low + lattice_columns_;
    const auto between = [=](double Corner::*of) {
        return (low[0].*of * (1.0 - x) + low[1].*of * x) * (1.0 - y) +
               (high[0].*of * (1.0 - x) + high[1].*of * x) * y;
    };
    return {earth::Position::degrees(between(&Corner::latitude_deg), between(&Corner::longitude_deg)),
            between(&Corner::north_rad), between(&Corner::magnetic_north_rad)};
}

const std::vector<std::size_t>& Stage::on(Frequency frequency) const {
    for (const auto& [known, raised] : by_frequency_) {
        if (known == frequency) {
            return raised;
        }
    }
    return none_;
}

}  // namespace omniway::rehearsal
