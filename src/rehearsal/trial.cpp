#include "rehearsal/trial.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "aircraft/performance.hpp"
#include "aircraft/turn.hpp"
#include "base/quick_trigonometry.hpp"
#include "earth/terrain.hpp"
#include "radio/needle_angles.hpp"
#include "radio/service_volume.hpp"

namespace omniway::rehearsal {

using base::Altitude;
using base::Angle;
using base::Frequency;
using base::Length;
using cockpit::Panel;
using earth::PlanePoint;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double nm = 1852.0;
constexpr double foot = 0.3048;
constexpr double degree = pi / 180.0;

double wrapped(double radians) {
    return base::quick_wrapped(radians, 2.0 * pi);
}

/// Normal numbers, two at a time (Box and Muller).
class Normal {
public:
    explicit Normal(base::Seed seed) : random_(seed) {}
    double operator()() {
        if (kept_) {
            kept_ = false;
            return other_;
        }
        const double radius = std::sqrt(-2.0 * std::log(1.0 - random_.between(0.0, 1.0)));
        const double angle = random_.between(0.0, 2.0 * pi);
        const auto [sine, cosine] = base::quick_sine_cosine(angle);
        other_ = radius * sine;
        kept_ = true;
        return radius * cosine;
    }
    double share() { return random_.between(0.0, 1.0); }

private:
    base::Random random_;
    double other_ = 0.0;
    bool kept_ = false;
};

/// What changes slowly about nothing: so much of it is forgotten in each time (Ornstein and Uhlenbeck).
class Slow {
public:
    /// Of the same pieces of time always.
    Slow(double deviation, double lasts_s, double piece_s, Normal& normal)
        : kept_(std::exp(-piece_s / lasts_s)),
          fresh_(std::sqrt(1.0 - kept_ * kept_) * deviation),
          value_(deviation > 0.0 ? deviation * normal() : 0.0) {}
    void pass(Normal& normal) {
        if (fresh_ > 0.0) {
            value_ = kept_ * value_ + fresh_ * normal();
        }
    }
    double value() const { return value_; }

private:
    double kept_;
    double fresh_;
    double value_;
};

/// How one aid errs on this flight.
struct AidErrs {
    double bias_rad = 0.0;
    double bend_rad = 0.0;  // of each of two waves around the aid
    double bend_phase[2] = {0.0, 0.0};
    double distance = 0.0;       // in standard deviations
    double bent_at_rad = 100.0;  // where the bends were last looked up
    double bent_rad = 0.0;
};

constexpr double bend_waves[2] = {5.0, 13.0};
// Of a station's variance a quarter is in its bends: AIM 1-1-3 calls most courses slightly rough. Common practice, no source.
constexpr double bends_share = 0.25;
// The bends are looked up anew when the azimuth has changed by so much: a thirtieth of their shortest wave.
constexpr double bends_every_rad = 1.0 * degree;
// Wind and the pilot's attention change in pieces of this.
constexpr double slowly_s = 10.0;
constexpr double damping_s = 2.0;
// A change of altitude by so much may change what is heard.
constexpr double listened_within_m = 120.0;
constexpr Angle vor_full_scale = cockpit::CourseSetting{}.vor_full_scale;

/// One set of the panel and what it is on.
struct Tuner {
    Frequency frequency;
    const std::vector<std::size_t>* raised = nullptr;
    // Of the aid that is heard.
    std::size_t aid = 0;
    bool heard = false;
    bool overhead = false;  // in its cone: no bearing, but its ident goes on
    double ident_at_s = 0.0;
    // When to listen again.
    double listen_after_m = 0.0;
    double listened_alt_m = -1e9;
};

struct Receiver {
    Tuner azimuth;
    base::Radial course;
    bool takes_localizers = true;
    bool has_glideslope = false;
    double bias_rad = 0.0;
    double needle_rad = 0.0;  // damped
    bool needle_fresh = true;
    double slope_rad = 0.0;
    bool slope_fresh = true;
    // Of the glideslope last looked for, and when to look again.
    const AidOnStage* slope_of = nullptr;
    bool slope_in_sight = false;
    double slope_look_after_m = 0.0;
    double slope_looked_alt_m = 0.0;
};

class Flown {
public:
    Flown(const Stage& stage, const Pilot& pilot, const TrialQuestion& question, const Watch& watch)
        : stage_(stage),
          pilot_(pilot),
          watch_(watch),
          aircraft_(stage.circumstances().aircraft),
          dt_(question.step.count()),
          errors_(question.errors),
          failures_(question.failures),
          no_runway_(question.no_runway),
          scan_s_(question.skill.scan.count()),
          luck_(~question.seed.value),
          normal_(question.seed),
          wind_east_(errors_.wind.metres_per_second(), errors_.wind_for.count(), slowly_s, normal_),
          wind_north_(errors_.wind.metres_per_second(), errors_.wind_for.count(), slowly_s, normal_),
          gust_east_(errors_.gusts.metres_per_second(), 5.0, dt_, normal_),
          gust_north_(errors_.gusts.metres_per_second(), 5.0, dt_, normal_),
          wander_(errors_.wander.degrees(), errors_.wander_for.count(), slowly_s, normal_),
          following_(1.0 - std::exp(-dt_ / damping_s)) {
        draw_the_errors();
        line_up();
    }

    Trial result() {
        const double longest_s = longest();
        cockpit::Controls hands;
        while (!over_) {
            air_and_panel();
            if (watch_.each_second) {
                note_who_is_shown();
            }
            const Whim whim{wander_.value()};
            if (time_s_ >= next_look_s_) {
                next_look_s_ = time_s_ + scan_s_;
                hands = pilot_.look(mind_, panel_, whim);
                obey(hands);
            }
            note();
            move(hands);
            if (time_s_ > longest_s) {
                end(Outcome::out_of_fuel);
            }
        }
        trial_.time_s = time_s_;
        trial_.fuel_lb = fuel_lb_;
        trial_.flown_m = flown_m_;
        return std::move(trial_);
    }

private:
    const Stage& stage_;
    const Pilot& pilot_;
    const Watch& watch_;
    const aircraft::Aircraft& aircraft_;
    double dt_;
    Errors errors_;
    const Failures& failures_;
    bool no_runway_;
    double scan_s_;
    std::uint64_t luck_;  // of the pilot's blunders, apart from what the errors are drawn from
    double next_look_s_ = 0.0;
    Normal normal_;
    Slow wind_east_;
    Slow wind_north_;
    Slow gust_east_;
    Slow gust_north_;
    Slow wander_;
    double following_;  // of what a needle lags in a step of time

    // What has failed, and how many of the failures have come.
    std::size_t failed_ = 0;
    std::vector<bool> has_failed_;
    std::vector<bool> off_the_air_;  // of the stage's aids
    std::array<bool, 3> receiver_dead_{};
    bool distance_dead_ = false;
    bool adf_dead_ = false;
    bool glideslope_dead_ = false;
    std::optional<base::MagneticBearing> stuck_;  // of the heading indicator

    std::vector<AidErrs> aids_;
    double adf_rad_ = 0.0;
    double compass_rad_ = 0.0;
    double drift_rad_s_ = 0.0;
    double heading_error_rad_ = 0.0;
    double altimeter_m_ = 0.0;
    double airspeed_ = 1.0;

    // The aircraft.
    PlanePoint place_;
    double altitude_m_ = 0.0;
    double heading_rad_ = 0.0;  // grid
    double rate_rad_s_ = 0.0;
    double airspeed_mps_ = 0.0;
    double climb_mps_ = 0.0;
    double time_s_ = 0.0;
    double flown_m_ = 0.0;
    double fuel_lb_ = 0.0;
    double forecast_east_mps_ = 0.0;
    double forecast_north_mps_ = 0.0;
    double forecast_at_m_ = -1e9;
    double compass_at_m_ = -1e9;
    double grid_less_magnetic_rad_ = 0.0;
    double performance_at_m_ = -1e9;
    double climb_limit_mps_ = 0.0;
    double turn_limit_rad_s_ = 0.0;
    double cruise_lb_s_ = 0.0;
    double climb_lb_s_ = 0.0;
    double descent_lb_s_ = 0.0;
    double slow_s_ = 0.0;
    double note_s_ = 0.0;
    double ground_s_ = 0.0;
    double strayed_s_ = 0.0;

    std::array<Receiver, 3> receivers_;
    std::size_t receiver_count_ = 0;
    Tuner distance_;
    int distance_follows_ = 0;
    Tuner adf_;
    bool has_dme_ = false;
    double pointer_rad_ = 0.0;

    Panel panel_;
    // Whose signals it shows, for who watches.
    std::array<std::optional<std::size_t>, 3> receivers_on_;
    std::optional<std::size_t> distance_on_;
    std::optional<std::size_t> pointer_on_;
    Mind mind_;
    std::size_t step_ = 0;  // of the card's, then of the missed approach
    bool over_ = false;
    Trial trial_;

    void draw_the_errors() {
        for (const AidOnStage& aid : stage_.aids()) {
            AidErrs errs;
            const double deviation = (aid.kind == AidOnStage::Kind::vor         ? errors_.vor_station
                                      : aid.kind == AidOnStage::Kind::ndb       ? errors_.ndb_station
                                      : aid.kind == AidOnStage::Kind::localizer ? errors_.localizer
                                                                                : Angle())
                                         .radians();
            const bool bends = aid.kind == AidOnStage::Kind::vor;
            errs.bias_rad = deviation * std::sqrt(bends ? 1.0 - bends_share : 1.0) * normal_();
            // Two waves of amplitude a have the variance a^2.
            errs.bend_rad = bends ? deviation * std::sqrt(bends_share) : 0.0;
            for (double& phase : errs.bend_phase) {
                phase = normal_.share() * 2.0 * pi;
            }
            errs.distance = normal_();
            aids_.push_back(errs);
        }
        adf_rad_ = errors_.adf.radians() * normal_();
        compass_rad_ = errors_.compass.radians() * normal_();
        drift_rad_s_ = errors_.heading_drift.radians() / 3600.0 * normal_();
        altimeter_m_ = errors_.altimeter.metres() * normal_();
        airspeed_ = 1.0 + errors_.airspeed_share * normal_();
        const auto& fitted = aircraft_.equipment.receivers;
        receiver_count_ = std::min(fitted.size(), receivers_.size());
        for (std::size_t i = 0; i < receiver_count_; ++i) {
            receivers_[i].bias_rad = errors_.vor_receiver.radians() * normal_();
            receivers_[i].takes_localizers = fitted[i].localizer;
            receivers_[i].has_glideslope = fitted[i].glideslope;
        }
        climb_lb_s_ = aircraft_.performance.climb.fuel_flow.pounds_per_hour() / 3600.0;
        descent_lb_s_ = aircraft_.performance.descent.fuel_flow.pounds_per_hour() / 3600.0;
        has_dme_ = aircraft_.equipment.dme.has_value();
        heading_error_rad_ = compass_rad_;
        has_failed_.resize(failures_.size());
        off_the_air_.resize(stage_.aids().size());
    }

    void line_up() {
        place_ = stage_.take_off();
        heading_rad_ = stage_.take_off_grid_rad();
        altitude_m_ =
            stage_.begins_in_the_air() ? stage_.flight().begun->altitude.metres() : stage_.field().metres();
        const flight::Card& card = stage_.card();
        airspeed_mps_ = card.steps.front().expected.true_airspeed.metres_per_second();
        for (const auto& stands : card.lined_up.receivers) {
            const auto at = static_cast<std::size_t>(stands.number - 1);
            if (at < receiver_count_) {
                if (stands.active) {
                    tune(receivers_[at].azimuth, stands.active->frequency);
                }
                receivers_[at].course = stands.course.value_or(base::Radial());
            }
        }
        if (const auto& stands = card.lined_up.distance) {
            distance_follows_ = stands->from == flight::DistanceFrom::receiver ? stands->receiver : 0;
            if (stands->of) {
                tune(distance_, stands->of->frequency);
            }
        }
        if (card.lined_up.adf && card.lined_up.adf->aid) {
            tune(adf_, card.lined_up.adf->aid->frequency);
        }
        mind_ = pilot_.lined_up();
        mind_.luck = base::Random(base::Seed{base::Random::mixed(luck_)});
        trial_.steps.resize(stage_.steps().size() + stage_.missed().size());
        trial_.steps.front().begun = true;
    }

    // Three times what the card reckons with, at least an hour.
    double longest() const {
        const flight::Card& card = stage_.card();
        double expected_s = card.time ? card.time->count() : 0.0;
        for (const flight::Step& missed : card.missed) {
            expected_s += missed.expected.time ? missed.expected.time->count() : 0.0;
        }
        return std::max(expected_s * 3.0, 3600.0);
    }

    void tune(Tuner& set, Frequency frequency) {
        set = Tuner{};
        set.frequency = frequency;
        set.raised = &stage_.on(frequency);
    }

    // Failures.

    bool has_come(const Failure& failure) const {
        if (const auto* from = std::get_if<FromStep>(&failure.from)) {
            return step().number >= from->number;
        }
        return time_s_ >= std::get<base::Duration>(failure.from).count();
    }

    void fail_what_is_to_fail() {
        for (std::size_t i = 0; failed_ < failures_.size() && i < failures_.size(); ++i) {
            if (!has_failed_[i] && has_come(failures_[i])) {
                has_failed_[i] = true;
                ++failed_;
                std::visit([this](const auto& part) { fail(part); }, failures_[i].part);
            }
        }
    }

    void fail(const StationOffTheAir& station) {
        const auto& aids = stage_.aids();
        for (std::size_t i = 0; i < aids.size(); ++i) {
            if (aids[i].station->ident == station.ident) {
                off_the_air_[i] = true;
                listen_anew(i);
            }
        }
    }
    void fail(const ReceiverDead& receiver) { receiver_dead_.at(receiver.number - 1) = true; }
    void fail(const DmeDead&) { distance_dead_ = true; }
    void fail(const AdfDead&) { adf_dead_ = true; }
    void fail(const GlideslopeDead&) { glideslope_dead_ = true; }
    void fail(const HeadingIndicatorStuck&) { stuck_ = heading_shown(); }

    // Whoever is on it hears at once that it is gone.
    void listen_anew(std::size_t aid) {
        const auto anew = [aid](Tuner& set) {
            if (set.heard && set.aid == aid) {
                set.listen_after_m = -1.0;
            }
        };
        for (Receiver& receiver : receivers_) {
            anew(receiver.azimuth);
        }
        anew(distance_);
        anew(adf_);
    }

    // Reception.

    // The ground below may be steeper than the rule of room allows: half of it, and a quarter of a mile at least.
    static double room_to_go_m(double room_m) { return std::clamp(room_m * 0.5, 0.2 * nm, 10.0 * nm); }

    void listen(Tuner& set, bool distance_part) {
        const bool moved =
            flown_m_ >= set.listen_after_m || std::abs(altitude_m_ - set.listened_alt_m) > listened_within_m;
        if (moved && set.raised != nullptr && !set.raised->empty()) {
            listen_again(set, distance_part);
        }
    }

    void listen_again(Tuner& set, bool distance_part) {
        const Altitude altitude = Altitude::metres(altitude_m_);
        double room_m = 20.0 * nm;
        bool heard = false;
        bool overhead = false;
        std::size_t nearest = 0;
        double nearest_m = 1e12;
        for (const std::size_t index : *set.raised) {
            const AidOnStage& aid = stage_.aids()[index];
            if (off_the_air_[index] ||
                (distance_part ? !aid.dme.has_value() : aid.kind == AidOnStage::Kind::distance)) {
                continue;
            }
            const radio::PreparedReception& part = distance_part ? aid.distance : aid.azimuth;
            const PlanePoint antenna = distance_part ? *aid.dme : aid.site;
            const earth::PlaneSight sight = stage_.frame().sight(antenna, place_);
            const Angle bearing =
                Angle::radians(sight.grid_rad - (distance_part ? aid.dme_north_rad : aid.north_rad));
            const radio::Reception reception =
                part.at({Length::metres(sight.distance_m), base::TrueBearing::from_north(bearing)}, altitude);
            room_m = std::min(room_m, part.room(reception).metres());
            const bool hears = reception.heard() || is_flight_checked(index, reception);
            const bool is_over = !hears && reception.in_cone;
            if ((hears || is_over) && reception.distance.metres() < nearest_m) {
                nearest_m = reception.distance.metres();
                nearest = index;
                heard = hears;
                overhead = is_over;
            }
        }
        set.listen_after_m = flown_m_ + room_to_go_m(room_m);
        set.listened_alt_m = altitude_m_;
        const bool was_in_the_ear = set.heard || set.overhead;
        if ((heard || overhead) && (!was_in_the_ear || set.aid != nearest)) {
            const AidOnStage& aid = stage_.aids()[nearest];
            const bool perfect = errors_.vor_station == Angle() && errors_.wind == base::Speed();
            set.ident_at_s = time_s_ <= 0.0 ? time_s_
                                            : time_s_ + aid.keying_s +
                                                  (perfect ? 0.0 : normal_.share() * aid.again_within_s);
        }
        set.heard = heard;
        set.overhead = overhead;
        set.aid = nearest;
    }

    // On a published step the aids it is flown by were flown and checked there (design section 2, idea 1).
    bool is_flight_checked(std::size_t aid, const radio::Reception& reception) const {
        if (reception.in_cone) {
            return false;
        }
        switch (reception.silence) {
            case radio::Silence::none:
            case radio::Silence::no_such_part:
            case radio::Silence::overhead:
            case radio::Silence::outside_sector:
                return false;
            case radio::Silence::beyond_service_volume:
            case radio::Silence::outside_service_heights:
            case radio::Silence::below_horizon:
            case radio::Silence::behind_terrain:
                break;
        }
        const std::size_t last = is_on_missed() ? trial_.steps.size() : stage_.steps().size();
        for (std::size_t i = step_; i < std::min(step_ + 2, last); ++i) {
            const StepOnStage& on = stage_.step(i);
            if (on.published && on.aid && stage_.aids()[*on.aid].site == stage_.aids()[aid].site) {
                return true;
            }
        }
        // Others that are crossed there; another field's localizer is not.
        return step().published && stage_.aids()[aid].kind != AidOnStage::Kind::localizer &&
               reception.distance < Length::nautical_miles(130.0);
    }

    // What the panel shows.

    base::MagneticBearing heading_shown() const {
        return base::MagneticBearing::degrees((heading_rad_ - grid_less_magnetic_rad_ + heading_error_rad_) /
                                              degree);
    }

    void air_and_panel() {
        slow_s_ -= dt_;
        if (slow_s_ <= 0.0) {
            slow_s_ += slowly_s;
            wind_east_.pass(normal_);
            wind_north_.pass(normal_);
            wander_.pass(normal_);
            grid_less_magnetic_rad_ = stage_.about(place_).magnetic_north_rad;
        }
        panel_.clock = base::Duration(time_s_);
        const double magnetic_rad = heading_rad_ - grid_less_magnetic_rad_;
        fail_what_is_to_fail();
        panel_.heading = stuck_ ? *stuck_ : heading_shown();
        panel_.compass = base::MagneticBearing::degrees((magnetic_rad + compass_rad_) / degree);
        panel_.altitude = Altitude::metres(altitude_m_ + altimeter_m_);
        panel_.vertical_speed = base::VerticalSpeed::metres_per_second(climb_mps_);
        panel_.airspeed = base::Speed::metres_per_second(airspeed_mps_ / airspeed_);
        panel_.receiver_count = receiver_count_;
        for (std::size_t i = 0; i < receiver_count_; ++i) {
            if (receiver_dead_[i]) {
                show_dead(panel_.receivers[i]);
            } else {
                show(receivers_[i], panel_.receivers[i]);
            }
        }
        if (has_dme_) {
            show_distance();
        }
        if (aircraft_.equipment.adf) {
            show_pointer();
        }
    }

    double bend(AidErrs& errs, double azimuth_rad) const {
        if (errs.bend_rad > 0.0 && !(std::abs(azimuth_rad - errs.bent_at_rad) < bends_every_rad)) {
            errs.bent_at_rad = azimuth_rad;
            errs.bent_rad = errs.bend_rad * (std::sin(bend_waves[0] * azimuth_rad + errs.bend_phase[0]) +
                                             std::sin(bend_waves[1] * azimuth_rad + errs.bend_phase[1]));
        }
        return errs.bent_rad;
    }

    double damped(double shown, double signal, bool& fresh) const {
        if (fresh) {
            fresh = false;
            return signal;
        }
        return shown + wrapped(signal - shown) * following_;
    }

    static void show_dead(cockpit::ReceiverOnPanel& on) {
        on.shown.flag = true;
        on.glideslope.flag = true;
        on.ident = {};
    }

    void show(Receiver& receiver, cockpit::ReceiverOnPanel& on) {
        Tuner& set = receiver.azimuth;
        listen(set, false);
        on.active = set.frequency;
        on.course = receiver.course;
        on.shown.flag = true;
        on.glideslope.flag = true;
        on.ident = {};
        if (!set.heard) {
            receiver.needle_fresh = true;
            receiver.slope_fresh = true;
            return;
        }
        const AidOnStage& aid = stage_.aids()[set.aid];
        AidErrs& errs = aids_[set.aid];
        const double azimuth_rad = stage_.frame().direction_rad(aid.site, place_);
        if (aid.kind == AidOnStage::Kind::vor) {
            const double radial_rad =
                azimuth_rad - aid.zero_rad + errs.bias_rad + bend(errs, azimuth_rad) + receiver.bias_rad;
            const double off_rad = wrapped(radial_rad - receiver.course.degrees() * degree);
            const Angle off = Angle::radians(off_rad);
            receiver.needle_rad =
                damped(receiver.needle_rad, -radio::off_line(off).radians(), receiver.needle_fresh);
            on.shown.flag = false;
            on.shown.needle = {Angle::radians(receiver.needle_rad), vor_full_scale};
            on.shown.to_from = radio::to_from(off);
        } else if (aid.kind == AidOnStage::Kind::localizer && receiver.takes_localizers) {
            const double off_rad = wrapped(azimuth_rad - aid.zero_rad + errs.bias_rad);
            const bool beyond = std::abs(off_rad) < pi / 2.0;
            if (!beyond || aid.back_course) {
                const double line_rad = radio::off_line(Angle::radians(off_rad)).radians();
                receiver.needle_rad = damped(receiver.needle_rad, -line_rad, receiver.needle_fresh);
                on.shown.flag = false;
                on.shown.needle = {Angle::radians(receiver.needle_rad), Angle::degrees(aid.full_scale_deg)};
                on.shown.to_from = cockpit::ToFrom::neither;
                show_glideslope(receiver, aid, on);
            }
        }
        if (time_s_ >= set.ident_at_s) {
            on.ident = aid.ident;
        }
    }

    void show_glideslope(Receiver& receiver, const AidOnStage& aid, cockpit::ReceiverOnPanel& on) {
        if (!receiver.has_glideslope || !aid.glideslope || glideslope_dead_) {
            return;
        }
        const double away_m = stage_.frame().distance_m(*aid.glideslope, place_);
        const Angle up = radio::elevation_angle(Length::metres(away_m),
                                                Length::metres(altitude_m_ - aid.glideslope_antenna_m));
        if (!hears_glideslope(receiver, aid, Length::metres(away_m), up)) {
            receiver.slope_fresh = true;
            return;
        }
        const double off_rad = aid.glideslope_deg * degree - up.radians();
        receiver.slope_rad = damped(receiver.slope_rad, off_rad, receiver.slope_fresh);
        on.glideslope.flag = false;
        on.glideslope.needle = {Angle::radians(receiver.slope_rad), radio::glideslope_full_scale};
    }

    // Its sides by where the aircraft is, each second; its sight when that may have changed. A published step that follows its localizer was flown
    // and checked: as far out and as low as it leads (ICAO Annex 10 Vol I 3.1.5.3: lower than 0.45 of the angle where a promulgated intercept asks
    // for it, from memory).
    bool hears_glideslope(Receiver& receiver, const AidOnStage& aid, Length away, Angle up) {
        const StepOnStage& on = step();
        const bool checked = on.published && on.aid && stage_.aids()[*on.aid].site == aid.site;
        const double from_foot_rad = stage_.frame().direction_rad(aid.glideslope_foot, place_);
        const Angle off_course = Angle::radians(std::abs(wrapped(from_foot_rad - aid.zero_rad - pi)));
        switch (radio::glideslope_volume({checked ? Length() : away, off_course, up},
                                         Angle::degrees(aid.glideslope_deg))) {
            case radio::GlideslopeVolume::inside:
                return checked || is_in_sight_of_glideslope(receiver, aid);
            case radio::GlideslopeVolume::below:
                return checked;
            case radio::GlideslopeVolume::beyond:
            case radio::GlideslopeVolume::beside:
            case radio::GlideslopeVolume::above:
                break;
        }
        return false;
    }

    bool is_in_sight_of_glideslope(Receiver& receiver, const AidOnStage& aid) {
        if (receiver.slope_of != &aid || flown_m_ >= receiver.slope_look_after_m ||
            std::abs(altitude_m_ - receiver.slope_looked_alt_m) > listened_within_m) {
            const radio::Reception reception =
                aid.slope.at(stage_.frame().to_position(place_), Altitude::metres(altitude_m_));
            receiver.slope_of = &aid;
            receiver.slope_in_sight = reception.silence != radio::Silence::below_horizon &&
                                      reception.silence != radio::Silence::behind_terrain;
            receiver.slope_look_after_m = flown_m_ + room_to_go_m(aid.slope.room(reception).metres());
            receiver.slope_looked_alt_m = altitude_m_;
        }
        return receiver.slope_in_sight;
    }

    void show_distance() {
        if (distance_follows_ > 0) {
            const Frequency follows =
                receivers_[static_cast<std::size_t>(distance_follows_ - 1)].azimuth.frequency;
            if (follows != distance_.frequency) {
                tune(distance_, follows);
            }
        }
        listen(distance_, true);
        panel_.distance.flag = true;
        panel_.distance.ident = {};
        if (!distance_.heard || distance_dead_) {
            return;
        }
        const AidOnStage& aid = stage_.aids()[distance_.aid];
        const double ground_m = stage_.frame().distance_m(*aid.dme, place_);
        const double up_m = altitude_m_ - aid.dme_antenna_m;
        const double slant_m = std::sqrt(ground_m * ground_m + up_m * up_m);
        const double error_m =
            aids_[distance_.aid].distance * (errors_.dme_fixed.metres() + errors_.dme_share * slant_m);
        panel_.distance.flag = false;
        panel_.distance.reading = Length::metres(std::max(slant_m - aid.dme_bias_m + error_m, 0.0));
        if (time_s_ >= distance_.ident_at_s) {
            panel_.distance.ident = aid.ident;
        }
    }

    void show_pointer() {
        listen(adf_, false);
        panel_.pointer.active = adf_.frequency;
        panel_.pointer.ident = {};
        if (adf_dead_ || !(adf_.heard || adf_.overhead) ||
            stage_.aids()[adf_.aid].kind != AidOnStage::Kind::ndb) {
            return;
        }
        const AidOnStage& aid = stage_.aids()[adf_.aid];
        if (time_s_ >= adf_.ident_at_s) {
            panel_.pointer.ident = aid.ident;
        }
        if (adf_.overhead) {
            return;  // the pointer stands where it stood
        }
        const double bearing_rad = stage_.frame().direction_rad(place_, aid.site);
        pointer_rad_ = wrapped(bearing_rad - heading_rad_ + aids_[adf_.aid].bias_rad + adf_rad_);
        panel_.pointer.relative = Angle::radians(pointer_rad_);
    }

    // What hands did.

    void obey(const cockpit::Controls& hands) {
        for (std::size_t i = 0; i < hands.knob_count; ++i) {
            const cockpit::KnobTurn& knob = hands.knobs[i];
            const auto at = static_cast<std::size_t>(std::max(knob.receiver, 1) - 1);
            switch (knob.knob) {
                case cockpit::Knob::receiver_frequency:
                    tune(receivers_[at].azimuth, knob.frequency);
                    receivers_[at].needle_fresh = true;
                    receivers_[at].slope_fresh = true;
                    break;
                case cockpit::Knob::receiver_course:
                    receivers_[at].course = knob.course;
                    receivers_[at].needle_fresh = true;
                    break;
                case cockpit::Knob::distance_frequency:
                    tune(distance_, knob.frequency);
                    break;
                case cockpit::Knob::distance_switch:
                    distance_follows_ = knob.receiver;
                    break;
                case cockpit::Knob::adf_frequency:
                    tune(adf_, knob.frequency);
                    break;
            }
        }
        if (hands.heading_reset) {
            heading_error_rad_ = compass_rad_;
            if (stuck_) {
                stuck_ = heading_shown();
            }
        }
    }

    // How the aircraft follows.

    void move(const cockpit::Controls& hands) {
        if (std::abs(altitude_m_ - performance_at_m_) > 30.0) {
            performance_here();
        }
        const double wanted_rate = hands.turn * turn_limit_rad_s_;
        // Two seconds to roll into a standard turn.
        const double roll = turn_limit_rad_s_ / 2.0 * dt_;
        rate_rad_s_ += std::clamp(wanted_rate - rate_rad_s_, -roll, roll);
        const double wanted_climb = std::min(hands.climb.metres_per_second(), climb_limit_mps_);
        const double pitch = 2.0 * dt_;  // 400 ft/min in a second
        climb_mps_ += std::clamp(wanted_climb - climb_mps_, -pitch, pitch);
        const double wanted_speed = hands.airspeed.metres_per_second() * airspeed_;
        const double push = 0.5 * dt_;
        airspeed_mps_ += std::clamp(wanted_speed - airspeed_mps_, -push, push);

        if (std::abs(altitude_m_ - forecast_at_m_) > 60.0) {
            forecast_here();
        }
        gust_east_.pass(normal_);
        gust_north_.pass(normal_);
        const double heading_rad = heading_rad_ + rate_rad_s_ * dt_ / 2.0;
        const auto [sine, cosine] = base::quick_sine_cosine(heading_rad);
        const double east =
            airspeed_mps_ * sine + forecast_east_mps_ + wind_east_.value() + gust_east_.value();
        const double north =
            airspeed_mps_ * cosine + forecast_north_mps_ + wind_north_.value() + gust_north_.value();
        const double scale = stage_.frame().scale(place_);
        place_.east_m += east * dt_ * scale;
        place_.north_m += north * dt_ * scale;
        heading_rad_ = wrapped(heading_rad_ + rate_rad_s_ * dt_);
        heading_error_rad_ += drift_rad_s_ * dt_;
        constexpr double lowest_m = -500.0;  // no field lies lower
        altitude_m_ = std::max(altitude_m_ + climb_mps_ * dt_, lowest_m);
        flown_m_ += std::sqrt(east * east + north * north) * dt_;
        fuel_lb_ += (climb_mps_ > 1.0 ? climb_lb_s_ : climb_mps_ < -1.0 ? descent_lb_s_ : cruise_lb_s_) * dt_;
        time_s_ += dt_;
    }

    void performance_here() {
        performance_at_m_ = altitude_m_;
        const Altitude altitude = Altitude::metres(altitude_m_);
        const aircraft::Performance& performance = aircraft_.performance;
        climb_limit_mps_ = std::max(aircraft::climb_rate(performance, altitude).metres_per_second(), 0.0);
        turn_limit_rad_s_ =
            aircraft::planned_turn(base::Speed::metres_per_second(std::max(airspeed_mps_, 20.0)))
                .rate.radians_per_second();
        cruise_lb_s_ = aircraft::fuel_flow_cruise(performance, altitude).pounds_per_hour() / 3600.0;
    }

    void forecast_here() {
        forecast_at_m_ = altitude_m_;
        const weather::Wind wind = stage_.circumstances().winds.at(Altitude::metres(altitude_m_));
        const double toward_rad = wind.from.from_north().radians() + pi + stage_.about(place_).north_rad;
        const double speed = wind.speed.metres_per_second();
        forecast_east_mps_ = speed * std::sin(toward_rad);
        forecast_north_mps_ = speed * std::cos(toward_rad);
    }

    // What is kept of it.

    void end(Outcome outcome) {
        over_ = true;
        trial_.outcome = outcome;
        trial_.failed_step = step_;
    }

    const StepOnStage& step() const { return stage_.step(step_); }
    bool is_on_missed() const { return step_ >= stage_.steps().size(); }

    // What a set is on: the aid it hears, else the nearest of those on its frequency.
    std::optional<std::size_t> on(const Tuner& set, bool distance_part) const {
        if (set.heard || set.overhead) {
            return set.aid;
        }
        std::optional<std::size_t> nearest;
        double nearest_m = 0.0;
        if (set.raised != nullptr) {
            for (const std::size_t index : *set.raised) {
                const AidOnStage& aid = stage_.aids()[index];
                const double away_m = stage_.frame().distance_m(aid.site, place_);
                if ((!distance_part || aid.dme) && (!nearest || away_m < nearest_m)) {
                    nearest = index;
                    nearest_m = away_m;
                }
            }
        }
        return nearest;
    }

    // Of the panel as it is looked at: hands may turn a knob before the moment is told.
    void note_who_is_shown() {
        for (std::size_t i = 0; i < receiver_count_; ++i) {
            receivers_on_[i] = on(receivers_[i].azimuth, false);
        }
        distance_on_ = on(distance_, true);
        pointer_on_ = on(adf_, false);
    }

    Moment moment() const {
        Moment now{time_s_,
                   step_,
                   place_,
                   altitude_m_,
                   (heading_rad_ - grid_less_magnetic_rad_) / degree,
                   stage_.aside(step(), place_).aside_m,
                   &panel_};
        now.receivers_on = receivers_on_;
        now.distance_on = distance_on_;
        now.pointer_on = pointer_on_;
        now.flown_m = flown_m_;
        return now;
    }

    void note() {
        if (watch_.each_second) {
            watch_.each_second(moment());
        }
        StepFlown& flown = trial_.steps[step_];
        if (mind_.step != step_ || mind_.finished) {
            leave_step(flown);
            if (over_) {
                return;
            }
        }
        if (mind_.trouble != Trouble::none) {
            end(Outcome::lost);
            return;
        }
        if (mind_.dead_needle) {
            trial_.steps[step_].dead_needle_s += dt_;
        }
        if (mind_.unidentified) {
            trial_.steps[step_].unidentified_s += dt_;
        }
        trial_.steps[step_].given_up = mind_.gives_up && !is_on_missed();
        note_s_ -= dt_;
        if (note_s_ <= 0.0) {
            note_s_ = 2.0;
            note_aside(trial_.steps[step_]);
        }
        ground_s_ -= dt_;
        if (ground_s_ <= 0.0) {
            ground_s_ = 20.0;
            look_at_the_ground();
        }
    }

    void note_aside(StepFlown& flown) {
        const StepOnStage& on = step();
        if (on.shape == StepOnStage::Shape::turning) {
            return;
        }
        const Stage::Aside aside = stage_.aside(on, place_);
        const double off_m = std::abs(aside.aside_m);
        flown.sampled_s += 2.0;
        flown.inside_primary_s += off_m <= aside.primary_m ? 2.0 : 0.0;
        flown.inside_total_s += off_m <= aside.total_m ? 2.0 : 0.0;
        flown.worst_aside_m = std::max(flown.worst_aside_m, off_m);
        flown.widest_share = std::max(flown.widest_share, off_m / aside.primary_m);
        if (watch_.aside) {
            watch_.aside(step_, aside);
        }
        strayed_s_ = off_m > 2.0 * aside.total_m ? strayed_s_ + 2.0 : 0.0;
        if (strayed_s_ > 60.0) {
            end(Outcome::strayed);
        }
        const auto& heights = pilot_.step_of(mind_).heights;
        if (heights.minimum && altitude_m_ < heights.minimum->metres() - 300.0 * foot &&
            heights.vertical == flight::Vertical::level) {
            flown.altitude_bust_s += 2.0;
        }
    }

    // The end is crossed as coded, and a step that is flown level at its level.
    void note_heights(StepFlown& flown) const {
        constexpr double bust_m = 300.0 * foot;
        const flight::StepHeights& heights = step_at(stage_.card(), step_).heights;
        const bool level = heights.vertical == flight::Vertical::level;
        const auto low = [&](Altitude altitude) { return altitude_m_ < altitude.metres() - bust_m; };
        const auto high = [&](Altitude altitude) { return altitude_m_ > altitude.metres() + bust_m; };
        flown.ends_low = (heights.at_or_above && low(*heights.at_or_above)) || (level && low(heights.at_end));
        flown.ends_high =
            (heights.at_or_below && high(*heights.at_or_below)) || (level && high(heights.at_end));
    }

    void look_at_the_ground() {
        const earth::Terrain* terrain = stage_.circumstances().ground.terrain;
        // On the final and where the missed approach begins the ground is near, and the terrain's cells are higher than a runway.
        const bool near_the_runway = step_ + 1 == stage_.steps().size() || step_ == stage_.steps().size();
        if (terrain == nullptr || near_the_runway || step_ < 2) {
            return;
        }
        const auto ground = terrain->elevation(stage_.about(place_).position);
        if (ground && altitude_m_ < ground->metres()) {
            end(Outcome::hit_the_ground);
        }
    }

    void leave_step(StepFlown& flown) {
        const StepOnStage& on = step();
        flown.ended = true;
        flown.ended_s = time_s_;
        const Stage::Aside aside = stage_.aside(on, place_);
        const bool turning = on.shape == StepOnStage::Shape::turning;
        flown.missed_by_m = std::hypot(place_.east_m - on.finish.east_m, place_.north_m - on.finish.north_m);
        const bool inside = turning || std::abs(aside.aside_m) <= aside.total_m;
        // The end is seen, and two seconds later acted on: half a mile is allowed beside twice what the fix itself errs by. Where no fix ends it
        // (a height, a changeover, a needle) nothing hangs on a mile, but on a quarter of the way and five miles. And it was flown by what the
        // card names, for half of it at least.
        const double length_m =
            std::hypot(on.finish.east_m - on.start.east_m, on.finish.north_m - on.start.north_m);
        const double allowed_m =
            on.ends_at_fix ? 2.0 * on.end_allowed_m + 0.5 * nm : std::max(0.25 * length_m, 5.0 * nm);
        const bool there =
            turning || flown.missed_by_m <= allowed_m + std::abs(aside.aside_m) || is_alive_ahead();
        const bool guided = flown.dead_needle_s <= std::max(0.5 * (time_s_ - flown.began_s), 60.0);
        flown.as_meant = inside && there && guided && !flown.given_up;
        note_heights(flown);
        if (mind_.finished) {
            if (is_on_missed()) {
                end(Outcome::missed_flown);
                return;
            }
            arrive();
            if (over_) {
                return;
            }
        }
        step_ = mind_.step;
        trial_.steps[step_].begun = true;
        trial_.steps[step_].began_s = time_s_;
        strayed_s_ = 0.0;
    }

    // A heading that ends where the needle comes alive ends as meant anywhere that it is: a far aid's is so from the first mile on.
    bool is_alive_ahead() const {
        const std::size_t next = step_ + 1;
        const bool ends_alive =
            std::holds_alternative<flight::NeedleAlive>(step_at(stage_.card(), step_).end);
        if (!ends_alive || next == stage_.steps().size() || next >= trial_.steps.size() ||
            !stage_.step(next).aid) {
            return false;
        }
        const AidOnStage& aid = stage_.aids()[*stage_.step(next).aid];
        const double away_m = stage_.frame().distance_m(aid.site, place_);
        const double alive_m = away_m * std::sin(aid.full_scale_deg * degree) + 0.5 * nm;
        return std::abs(stage_.aside(stage_.step(next), place_).aside_m) <= alive_m;
    }

    // Common practice, no source: from half a mile to the side of where the approach ends, or a full scale of the localizer there, the runway
    // can be landed on.
    void arrive() {
        const StepOnStage& last = stage_.steps().back();
        const Stage::Aside aside = stage_.aside(last, place_);
        double allowed_m = 0.5 * nm;
        // Without an approach one arrives over an aid or a fix near the field, as near as that is told.
        if (stage_.card().steps.back().phase != flight::Phase::approach) {
            allowed_m = std::max(allowed_m, last.end_allowed_m);
        }
        if (last.aid && stage_.aids()[*last.aid].kind == AidOnStage::Kind::localizer) {
            const AidOnStage& aid = stage_.aids()[*last.aid];
            const double away_m =
                std::hypot(place_.east_m - aid.site.east_m, place_.north_m - aid.site.north_m);
            allowed_m = std::max(away_m * std::tan(aid.full_scale_deg * degree), 100.0);
        }
        // Along the way the card's own end is told by a clock, a height or an aid: a mile and a half short of it or beyond, and what the fix allows.
        const double east = place_.east_m - last.finish.east_m;
        const double north = place_.north_m - last.finish.north_m;
        const bool there =
            std::sqrt(east * east + north * north) <= allowed_m + 1.5 * nm + last.end_allowed_m;
        trial_.reached_end = !mind_.gives_up;
        trial_.at_the_runway = trial_.reached_end && there && std::abs(aside.aside_m) <= allowed_m;
        if (trial_.at_the_runway && !no_runway_) {
            end(Outcome::arrived);
        } else if (!pilot_.goes_around(mind_)) {
            end(Outcome::not_in_sight);
        }
    }
};

}  // namespace

std::string to_text(Outcome outcome) {
    switch (outcome) {
        case Outcome::arrived:
            return "arrived";
        case Outcome::missed_flown:
            return "missed approach flown";
        case Outcome::not_in_sight:
            return "runway not in sight";
        case Outcome::lost:
            return "lost";
        case Outcome::strayed:
            return "strayed";
        case Outcome::hit_the_ground:
            return "hit the ground";
        case Outcome::out_of_fuel:
            break;
    }
    return "out of fuel";
}

Trial fly_once(const Stage& stage, const Pilot& pilot, const TrialQuestion& question, const Watch& watch) {
    return Flown(stage, pilot, question, watch).result();
}

}  // namespace omniway::rehearsal
