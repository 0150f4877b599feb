#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

#include "flight/name_of_aid.hpp"
#include "flight/radio_schedule.hpp"

namespace omniway::flight::detail {

inline constexpr double before_lining_up_s = -std::numeric_limits<double>::infinity();
inline constexpr double never_s = std::numeric_limits<double>::infinity();

/// A RadioNeed with its station and course as small numbers.
struct NumberedNeed {
    RadioUse use = RadioUse::guides;
    SetKind kind = SetKind::receiver;
    int station = 0;
    int course_deg = -1;  // whole degrees; -1: any
    bool localizer = false;
    bool glideslope = false;
    double from_s = 0.0;
    double to_s = 0.0;
    double heard_s = 0.0;
    double identify_s = 0.0;
    double late_s = 0.0;
    std::uint64_t group = 0;  // the bit of its group of checks, where that has others
    bool last_of_group = true;

    double latest_beginning_s() const { return std::min(from_s + late_s, to_s); }
};

/// The question of a radio schedule, numbered: what is aboard, what is needed, when a station is identified, when nothing is retuned.
///   Model     sets by number: the receivers from 0, then a DME with its own control, then the ADF; flight/radio_schedule.hpp for the rest.
///   Domain    as there; no more than 64 groups of checks open at once.
///   Accuracy  exact.
///   Cost      each answer looks at the needs of one station, or halves the stretches.
///   Fails     never.
///   Source    flight/radio_schedule.hpp.
class RadioProblem {
public:
    explicit RadioProblem(const RadioQuestion& question);

    const std::vector<NumberedNeed>& needs() const { return needs_; }
    int receivers() const { return receivers_; }
    int guiding() const { return guiding_; }
    /// Two receivers of which neither guides and both take the same: there are no more than two.
    std::optional<std::pair<int, int>> receivers_alike() const;
    bool own_dme() const { return dme_ == cockpit::DmeControl::own_control; }
    bool following_dme() const { return dme_ && !own_dme(); }
    bool has_hold() const { return dme_ == cockpit::DmeControl::follows_receiver_with_hold; }
    int dme_set() const { return receivers_; }
    int adf_set() const { return receivers_ + 1; }
    /// The sets of its own on which a need may be met: none for a DME that follows.
    std::vector<int> sets_for(const NumberedNeed& need) const;
    bool takes(int receiver, const NumberedNeed& need) const;
    RadioSet named(int set) const;

    /// When a station is identified on a set that was tuned to it then.
    double identified_s(SetKind kind, int station, double tuned_s) const;
    /// The last instant of tuning after which it still is by the deadline; before lining up where there is none.
    double latest_tuning_s(SetKind kind, int station, double deadline_s) const;
    double first_heard_s(SetKind kind, int station) const;

    double first_allowed_s(double t_s) const;
    double last_allowed_s(double t_s) const;
    /// The stretch, of the question, in which nothing is retuned at this instant.
    std::optional<std::size_t> stretch_at(double t_s) const;

private:
    struct Hearing {
        double from_s = 0.0;
        double to_s = 0.0;
        double identify_s = 0.0;
    };
    struct Stretch {
        double from_s = 0.0;
        double to_s = 0.0;
    };
    void number_needs(const RadioQuestion& question);
    void number_groups(const RadioQuestion& question);
    void join_stretches(const RadioQuestion& question);
    const Stretch* inside(double t_s) const;
    const std::vector<Hearing>& heard(SetKind kind, int station) const;

    std::vector<cockpit::NavigationReceiver> fitted_;
    int receivers_ = 0;
    int guiding_ = 0;
    std::optional<cockpit::DmeControl> dme_;
    bool adf_ = false;
    std::vector<NumberedNeed> needs_;
    std::array<std::vector<std::vector<Hearing>>, 3> heard_;  // by kind and station
    std::vector<Stretch> stretches_;
    std::vector<NoRetuning> as_asked_;
};

}  // namespace omniway::flight::detail
