#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "debrief/alignment.hpp"
#include "debrief/instruments.hpp"
#include "debrief/samples.hpp"
#include "flight/card.hpp"

namespace omniway::debrief::detail {

/// The place nearest to another between two moments, never across a gap.
struct Nearest {
    double metres = 1e12;
    double time_s = 0.0;
    earth::PlanePoint place;
};

/// The samples from `first` up to `end` belong to a step.
struct Stretch {
    std::size_t step = 0;
    std::size_t first = 0;
    std::size_t end = 0;
};

/// A flight, its card and a track on one plane: what every figure of a debrief is taken from. Steps count through the missed approach.
///   Domain    what it is made from must outlive it; a card with as many steps as the flight track.
class Laid {
public:
    Laid(const flight::Circumstances& circumstances, const flight::Flight& flight,
         const flight::FlightTrack& track, const flight::Card& card);
    void record(std::vector<Sample> samples) { samples_ = std::move(samples); }

    const flight::Circumstances& circumstances() const { return circumstances_; }
    const flight::Flight& flight() const { return flight_; }
    const earth::LocalFrame& frame() const { return frame_; }
    const std::vector<StepPath>& paths() const { return paths_; }
    const StepPath& path(std::size_t step) const { return paths_[step]; }
    const std::vector<Sample>& samples() const { return samples_; }
    Instruments& instruments() { return instruments_; }
    std::size_t first_missed() const { return track_.steps.size(); }

    const flight::TrackStep& planned(std::size_t step) const {
        return step < track_.steps.size() ? track_.steps[step] : track_.missed[step - track_.steps.size()];
    }
    const flight::Step& on_card(std::size_t step) const {
        return step < card_.steps.size() ? card_.steps[step] : card_.missed[step - card_.steps.size()];
    }
    double grid_rad(base::MagneticBearing bearing, const flight::TrackStep& step,
                    earth::PlanePoint place) const {
        return base::to_true(bearing, step.variation).from_north().radians() +
               frame_.convergence(place).radians();
    }
    flight::Aside aside(std::size_t step, earth::PlanePoint place) const {
        return flight::aside(paths_[step].line, place, circumstances_.settings.criteria);
    }
    /// A sample as a cockpit was there: where no altitude was recorded, at the card's.
    Moment moment(const Sample& sample, std::size_t step) const;
    /// Where a needle swings from stop to stop, and nobody follows it: within twice the height over a VOR or beacon, a mile at least. Common
    /// practice, no source.
    bool near_overhead(const Sample& sample, std::size_t step) const;
    Nearest nearest(earth::PlanePoint place, double from_s, double to_s) const;
    std::size_t sample_at(double time_s) const;
    /// When the turn onto the next step was begun; none where there is no turn of twenty degrees. `end`: the first sample of the next step.
    std::optional<double> turned_at_s(std::size_t step, std::size_t end) const;

private:
    StepPath path_of(const flight::TrackStep& step, const flight::Step& on_card, bool missed) const;
    std::vector<earth::PlanePoint> circuit_of(const flight::FlyHold& hold, const flight::TrackStep& step,
                                              const procedure::HoldTime& standard) const;

    const flight::Circumstances& circumstances_;
    const flight::Flight& flight_;
    const flight::FlightTrack& track_;
    const flight::Card& card_;
    earth::LocalFrame frame_;
    Instruments instruments_;
    std::vector<StepPath> paths_;
    std::vector<Sample> samples_;
};

}  // namespace omniway::debrief::detail
