#include "rehearsal/as_flown.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "radio/marker_fan.hpp"

namespace omniway::rehearsal {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double longest_s = 5.0;
constexpr double turned_deg = 6.0;

// Where a step was begun and where it was left, by the distance flown.
struct FlownFrom {
    double begun_m = 0.0;
    double left_m = 0.0;
};

class Sampler {
public:
    explicit Sampler(const Stage& stage)
        : stage_(stage), fans_(radio::marker_fans(stage.circumstances().world)) {}

    AsFlown all(const RehearsalQuestion& question, std::size_t flight) {
        Watch watch;
        watch.each_second = [this](const Moment& moment) { see(moment); };
        AsFlown flown;
        flown.trial = fly_again(stage_, question, flight, watch);
        const std::vector<StepFlown>& steps = flown.trial.steps;
        while (flown.steps_ended < steps.size() && steps[flown.steps_ended].ended) {
            ++flown.steps_ended;
        }
        for (std::size_t i = 0; i < samples_.size(); ++i) {
            samples_[i].share = share_of(samples_[i].step, places_[i], flown_m_[i]);
        }
        flown.samples = std::move(samples_);
        return flown;
    }

private:
    bool changes_over(std::size_t step) const {
        return std::holds_alternative<flight::ChangeOver>(step_at(stage_.card(), step).end);
    }

    double share_of(std::size_t index, earth::PlanePoint place, double flown_m) const {
        const StepOnStage& step = stage_.step(index);
        const FlownFrom& from = steps_[index];
        double share = 0.0;
        if (step.shape == StepOnStage::Shape::turning) {
            const double whole_m = from.left_m - from.begun_m;
            share = whole_m > 0.0 ? (flown_m - from.begun_m) / whole_m : 0.0;
        } else if (step.shape == StepOnStage::Shape::arc) {
            const auto angle = [&](earth::PlanePoint at) {
                return std::atan2(at.east_m - step.centre.east_m, at.north_m - step.centre.north_m);
            };
            const double whole = std::remainder(angle(step.finish) - angle(step.start), 2.0 * pi);
            share = whole != 0.0 ? std::remainder(angle(place) - angle(step.start), 2.0 * pi) / whole : 0.0;
        } else {
            const double east = step.finish.east_m - step.start.east_m;
            const double north = step.finish.north_m - step.start.north_m;
            const double squared = east * east + north * north;
            share = squared > 0.0 ? ((place.east_m - step.start.east_m) * east +
                                     (place.north_m - step.start.north_m) * north) /
                                        squared
                                  : 0.0;
        }
        const bool goes_on = changes_over(index);
        const bool went_on = index > 0 && index != stage_.steps().size() && changes_over(index - 1);
        share = went_on ? share : std::max(share, 0.0);
        return goes_on ? share : std::min(share, 1.0);
    }

    void see(const Moment& moment) {
        if (moment.step >= steps_.size()) {
            steps_.resize(moment.step + 1);
            steps_.back().begun_m = moment.flown_m;
        }
        steps_[moment.step].left_m = moment.flown_m;
        const double heading_deg = moment.panel->heading.degrees();
        const double turned = std::abs(std::remainder(heading_deg - heading_deg_, 360.0));
        const navdata::Marker* marker = marker_at(moment);
        const bool light_changes = !samples_.empty() && samples_.back().marker != marker;
        const bool first_of_step = samples_.empty() || samples_.back().step != moment.step;
        if (first_of_step || light_changes || turned >= turned_deg ||
            moment.time_s - samples_.back().time.count() > longest_s - 0.5) {
            take(moment, marker);
        }
    }

    const navdata::Marker* marker_at(const Moment& moment) const {
        const earth::Position place = stage_.frame().to_position(moment.place);
        const auto altitude = base::Altitude::metres(moment.altitude_m);
        const auto found = std::find_if(
            fans_.begin(), fans_.end(),
            [place, altitude](const radio::MarkerFan& fan) { return fan.reaches(place, altitude); });
        return found != fans_.end() ? &found->marker() : nullptr;
    }

    const navdata::Station* station(std::optional<std::size_t> aid) const {
        return aid ? stage_.aids()[*aid].station : nullptr;
    }

    void take(const Moment& moment, const navdata::Marker* marker) {
        SampleFlown sample;
        sample.time = base::Duration(moment.time_s);
        sample.step = moment.step;
        sample.place = stage_.frame().to_position(moment.place);
        sample.altitude = base::Altitude::metres(moment.altitude_m);
        if (const StepOnStage& step = stage_.step(moment.step); step.shape != StepOnStage::Shape::turning) {
            const Stage::Aside aside = stage_.aside(step, moment.place);
            sample.beside = {base::Length::metres(aside.aside_m), base::Length::metres(aside.primary_m)};
        }
        sample.panel = *moment.panel;
        for (std::size_t i = 0; i < moment.receivers_on.size(); ++i) {
            sample.receivers_on[i] = station(moment.receivers_on[i]);
        }
        sample.distance_on = station(moment.distance_on);
        sample.pointer_on = station(moment.pointer_on);
        sample.marker = marker;
        heading_deg_ = sample.panel.heading.degrees();
        samples_.push_back(sample);
        places_.push_back(moment.place);
        flown_m_.push_back(moment.flown_m);
    }

    const Stage& stage_;
    std::vector<radio::MarkerFan> fans_;
    std::vector<FlownFrom> steps_;
    std::vector<SampleFlown> samples_;
    std::vector<earth::PlanePoint> places_;  // of the samples
    std::vector<double> flown_m_;
    double heading_deg_ = 0.0;  // at the last
};

}  // namespace

AsFlown as_flown(const Stage& stage) {
    RehearsalQuestion question;
    question.errors = no_errors();
    question.no_runway = true;
    return as_flown(stage, question, 0);
}

AsFlown as_flown(const Stage& stage, const RehearsalQuestion& question, std::size_t flight) {
    return Sampler(stage).all(question, flight);
}

}  // namespace omniway::rehearsal
