#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "cockpit/panel.hpp"
#include "earth/local_frame.hpp"
#include "flight/circumstances.hpp"
#include "flight/compile.hpp"
#include "flight/flight.hpp"
#include "flight/step_line.hpp"
#include "radio/prepared_reception.hpp"

namespace omniway::rehearsal {

/// One ground aid on the plane of a flight.
struct AidOnStage {
    navdata::StationId id;
    const navdata::Station* station = nullptr;
    enum class Kind { vor, ndb, localizer, distance } kind = Kind::vor;
    earth::PlanePoint site = {};
    double north_rad = 0.0;  // grid direction of true north there
    double zero_rad = 0.0;   // grid direction of its zero radial; of a localizer, of its front course inbound
    double full_scale_deg = 10.0;  // of a needle on it
    bool back_course = true;
    std::optional<earth::PlanePoint> dme = std::nullopt;
    double dme_north_rad = 0.0;
    double dme_antenna_m = 0.0;
    double dme_bias_m = 0.0;
    std::optional<earth::PlanePoint> glideslope = std::nullopt;
    earth::PlanePoint glideslope_foot = {};  // on the localizer's course, abeam its aerial
    double glideslope_antenna_m = 0.0;
    double glideslope_deg = 3.0;
    radio::PreparedReception azimuth;
    radio::PreparedReception distance;
    radio::PreparedReception slope;
    cockpit::HeardIdent ident = {};
    double keying_s = 10.0;
    double again_within_s = 30.0;
};

/// A step of the card on the plane (flight/step_line.hpp), and which of the aids there guides it.
struct StepOnStage : flight::StepLine {
    std::optional<std::size_t> aid;
};

/// Everything of a flight that its rehearsals have in common: the plane, the aids that the card's frequencies may raise, the compass, the
/// steps as they should be flown.
///   Model     every aid within 160 NM of the flight that sends on a frequency of the card or of its approach back. A step's line is the flight
///             track's. On a published step the aids it is flown by are flight-checked: heard where the model says not, the cone apart.
///   Domain    the circumstances and the flight must outlive it; any number of threads.
///   Accuracy  earth/local_frame.hpp; about(): the compass within 0.05 degrees, the place within 50 m up to 60 degrees of latitude (bilinear
///             over 20 NM).
///   Cost      some milliseconds, and the horizons of its aids.
///   Fails     never.
///   Source    design section 2, idea 3.
class Stage {
public:
    Stage(const flight::Circumstances& circumstances, const flight::Flight& flight,
          const flight::FlightTrack& track, const flight::Card& card);

    const flight::Circumstances& circumstances() const { return circumstances_; }
    const flight::Flight& flight() const { return flight_; }
    const flight::Card& card() const { return card_; }
    const earth::LocalFrame& frame() const { return frame_; }
    const std::vector<AidOnStage>& aids() const { return aids_; }
    const std::vector<StepOnStage>& steps() const { return steps_; }
    const std::vector<StepOnStage>& missed() const { return missed_; }
    /// A step of the card, or beyond them of its missed approach.
    const StepOnStage& step(std::size_t at) const {
        return at < steps_.size() ? steps_[at] : missed_[at - steps_.size()];
    }
    earth::PlanePoint take_off() const { return take_off_; }
    double take_off_grid_rad() const { return take_off_grid_rad_; }
    base::Altitude field() const { return field_; }
    bool begins_in_the_air() const { return flight_.begun.has_value(); }

    /// What lies about a place, cheaply.
    struct Surroundings {
        earth::Position position;
        double north_rad = 0.0;           // grid direction of true north
        double magnetic_north_rad = 0.0;  // and of magnetic
    };
    Surroundings about(earth::PlanePoint place) const;
    /// The aids that a frequency raises, by their places among aids().
    const std::vector<std::size_t>& on(base::Frequency frequency) const;

    using Aside = flight::Aside;
    Aside aside(const StepOnStage& step, earth::PlanePoint place) const {
        return flight::aside(step, place, circumstances_.settings.criteria);
    }

private:
    void gather_aids();
    AidOnStage aid_of(navdata::StationId id) const;
    StepOnStage step_of(const flight::TrackStep& step, bool missed) const;
    void lay_the_lattice();

    const flight::Circumstances& circumstances_;
    const flight::Flight& flight_;
    const flight::FlightTrack& track_;
    const flight::Card& card_;
    earth::LocalFrame frame_;
    std::vector<AidOnStage> aids_;
    std::vector<std::pair<base::Frequency, std::vector<std::size_t>>> by_frequency_;
    std::vector<std::size_t> none_;
    std::vector<StepOnStage> steps_;
    std::vector<StepOnStage> missed_;
    earth::PlanePoint take_off_;
    double take_off_grid_rad_ = 0.0;
    base::Altitude field_;
    // What about() tells, at the corners of cells of 20 NM.
    struct Corner {
        double latitude_deg = 0.0;
        double longitude_deg = 0.0;  // going on beyond 180
        double north_rad = 0.0;
        double magnetic_north_rad = 0.0;
    };
    earth::PlanePoint lattice_corner_;
    std::size_t lattice_columns_ = 0;
    std::vector<Corner> lattice_;
};

}  // namespace omniway::rehearsal
