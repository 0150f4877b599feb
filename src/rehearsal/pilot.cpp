#include "rehearsal/pilot.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/quick_trigonometry.hpp"

namespace omniway::rehearsal {

using cockpit::Controls;
using cockpit::Panel;
using flight::Step;

namespace {

double wrapped(double degrees) {
    return base::quick_wrapped(degrees, 360.0);
}

double radians(double degrees) {
    return degrees * std::numbers::pi / 180.0;
}

// A beacon whose ident is not heard for so long is gone: Annex 10 Vol I 3.4.5 asks for it every 30 s at least (from memory).
constexpr double beacon_silent_s = 45.0;
// The heading indicator is given up when the compass differs by so much for so long: beyond any drift between two settings. Common practice, no
// source.
constexpr double compass_differs_deg = 20.0;
constexpr double compass_differs_s = 5.0;

// A glideslope that is flagged for so long is gone. Common practice, no source.
constexpr double slope_flagged_s = 5.0;

// By then the ident of whatever is tuned has been keyed: Annex 10 Vol I 3.3.6.5 asks for three times in 30 s of a VOR (from memory).
constexpr double ident_takes_s = 30.0;
// Arrows that contradict, or a needle that stays at full scale, for so long make the pilot look at the course again. Common practice, no source.
constexpr double contradicted_s = 45.0;
constexpr double altitude_slip_ft = 1000.0;

/// The course as a hasty hand sets it: reversed, or with two of its digits swapped where that gives another course.
base::Radial slipped(base::Radial course, bool reversed) {
    const int whole = static_cast<int>(std::lround(course.degrees()));
    const int hundreds = whole / 100;
    const int tens = whole / 10 % 10;
    const int ones = whole % 10;
    const int first_two = tens * 100 + hundreds * 10 + ones;
    const int last_two = hundreds * 100 + ones * 10 + tens;
    if (!reversed && first_two <= 360 && first_two != whole) {
        return base::Radial::degrees(first_two);
    }
    if (!reversed && last_two <= 360 && last_two != whole) {
        return base::Radial::degrees(last_two);
    }
    return base::Radial::degrees(whole + 180);
}

/// One look at the panel by one pilot.
class Look {
public:
    Look(const flight::Card& card, const Skill& skill, Mind& mind, const Panel& panel, const Whim& whim)
        : card_(card), skill_(skill), mind_(mind), panel_(panel), whim_(whim), now_s_(panel.clock.count()) {}

    Controls act() {
        passed_s_ = now_s_ - mind_.last_look_s;
        mind_.last_look_s = now_s_;
        compare_with_the_compass();
        heading_deg_ = mind_.by_compass ? panel_.compass.degrees() : panel_.heading.degrees();
        listen();
        if (mind_.end_seen_s >= 0.0 && now_s_ - mind_.end_seen_s >= skill_.reaction.count()) {
            next_step();
        }
        if (!mind_.began) {
            begin_step();
        }
        mend_what_is_noticed();
        work_the_radios();
        look_for_the_glideslope(step());
        reckon();
        fly(step());
        climb_or_descend(step());
        watch_for_the_end(step());
        keep_the_heading_indicator();
        return hands_;
    }

private:
    const Step& step() const { return step_at(card_, mind_.step); }

    // The next of the same branch: the missed approach does not follow from the steps before it, but is begun.
    const Step* step_after() const { return is_last() ? nullptr : &step_at(card_, mind_.step + 1); }

    bool is_last() const {
        const std::size_t next = mind_.step + 1;
        return next == card_.steps.size() || next >= card_.steps.size() + card_.missed.size();
    }

    double elapsed_s() const { return now_s_ - mind_.begun_s; }

    void compare_with_the_compass() {
        const double off_deg = std::abs(wrapped(panel_.heading.degrees() - panel_.compass.degrees()));
        mind_.compass_differs_s = off_deg > compass_differs_deg ? mind_.compass_differs_s + passed_s_ : 0.0;
        mind_.by_compass = mind_.by_compass || mind_.compass_differs_s > compass_differs_s;
    }

    // Idents are compared with the card's when they have been keyed to the end.
    void listen() {
        for (std::size_t i = 0; i < panel_.receiver_count; ++i) {
            hear(mind_.receivers[i], panel_.receivers[i].ident);
        }
        hear(mind_.adf, panel_.pointer.ident);
        // Its pointer has no flag: only the ident tells that it still leads to a beacon.
        mind_.adf_silent_s = panel_.pointer.ident.empty() ? mind_.adf_silent_s + passed_s_ : 0.0;
        if (mind_.adf_silent_s > beacon_silent_s) {
            mind_.adf.identified = false;
        }
        if (!panel_.distance.flag && !panel_.distance.ident.empty()) {
            mind_.dme_identified = true;
        }
    }

    bool blunders() { return skill_.blunders > 0.0 && mind_.luck.with_chance(skill_.blunders); }

    // Whose ident is heard to its end, or is not heard when it should have been, and is not the one that was to be tuned: the frequency is
    // looked at again. What was not listened to is not noticed.
    void mend_what_is_noticed() {
        for (std::size_t at = 0; at < panel_.receiver_count; ++at) {
            const Mind::Set& set = mind_.receivers[at];
            if (is_noticed(mind_.frequency_slips[at], set)) {
                tune_receiver(static_cast<int>(at) + 1, set.tuned);
            }
            Mind::Slip& course = mind_.course_slips[at];
            if (course.open && course.shows_s > contradicted_s && hands_.knob_count < hands_.knobs.size()) {
                course.open = false;
                turn({cockpit::Knob::receiver_course, static_cast<int>(at) + 1, {}, course.course});
            }
        }
        if (is_noticed(mind_.adf_slip, mind_.adf)) {
            tune_adf(mind_.adf.tuned);
        }
        if (is_noticed(mind_.distance_slip, {mind_.dme_of, mind_.distance_tuned_s, false, false})) {
            tune_distance(mind_.dme_of);
        }
    }

    bool is_noticed(Mind::Slip& slip, const Mind::Set& set) const {
        const bool noticed = slip.open && !set.unheard && now_s_ - set.tuned_at_s >= ident_takes_s &&
                             hands_.knob_count < hands_.knobs.size();
        slip.open = slip.open && !noticed;
        return noticed;
    }

    void hear(Mind::Set& set, const cockpit::HeardIdent& heard) const {
        if (!set.identified && !heard.empty()) {
            set.identified = is_the_cards(set.tuned, heard.letters());
        }
    }

    bool is_the_cards(base::Frequency frequency, std::string_view letters) const {
        // What the card tunes on this frequency anywhere from here on.
        const auto named = [&](const flight::NamedAid& aid) {
            return aid.frequency == frequency && std::string_view(aid.ident).substr(0, 6) == letters;
        };
        const auto& radios = step().radios;
        for (const auto& receiver : radios.receivers) {
            if (receiver.active && named(*receiver.active)) {
                return true;
            }
        }
        if (radios.adf && radios.adf->aid && named(*radios.adf->aid)) {
            return true;
        }
        for (const flight::StepWork& work : step().work) {
            if (const auto* tune = std::get_if<flight::Tune>(&work); tune != nullptr && named(tune->aid)) {
                return true;
            }
        }
        const Step* next = step_after();
        if (next != nullptr) {
            for (const auto& receiver : next->radios.receivers) {
                if (receiver.active && named(*receiver.active)) {
                    return true;
                }
            }
        }
        return false;
    }

    void next_step() {
        mind_.end_seen_s = -1.0;
        if (is_last()) {
            mind_.finished = true;
            return;
        }
        ++mind_.step;
        mind_.began = false;
    }

    void begin_step() {
        mind_.began = true;
        mind_.begun_s = now_s_;
        mind_.phase = 0;
        mind_.phase_s = now_s_;
        mind_.last_reading_nm = -1.0;
        mind_.last_needle_alive = false;
        mind_.last_to_from = 0;
        mind_.pointer_known = false;
        mind_.arc_turned_deg = 0.0;
        mind_.from_shows_s = 0.0;
        mind_.flagged_s = 0.0;
        set_the_altitude();
        mind_.learned_deg *= 0.5;  // the wind is the same, the angle to it may be another
        for (const auto& receiver : step().radios.receivers) {
            if (receiver.role == flight::ReceiverRole::guides) {
                mind_.guiding = receiver.number;
            }
        }
    }

    // A new altitude is set, and may be set wrong; never that of a final, which has no altitude to be set but a minimum to look up.
    void set_the_altitude() {
        const flight::StepHeights& now = step().heights;
        const bool same = mind_.step > 0 && step_at(card_, mind_.step - 1).heights.at_end == now.at_end;
        const bool final =
            now.vertical == flight::Vertical::on_glideslope || mind_.step + 1 == card_.steps.size();
        if (skill_.blunders <= 0.0 || (same && !final)) {
            return;
        }
        mind_.altitude_off_ft = 0.0;
        if (final || !blunders()) {
            return;
        }
        const bool would_not_climb = now.vertical == flight::Vertical::climb &&
                                     now.at_end.feet() - altitude_slip_ft < panel_.altitude.feet();
        const bool high = mind_.luck.with_chance(0.5) || would_not_climb;
        mind_.altitude_off_ft = high ? altitude_slip_ft : -altitude_slip_ft;
    }

    // One thing after the other, each as long as it takes.
    void work_the_radios() {
        while (now_s_ >= mind_.knobs_free_s && hands_.knob_count < 2) {
            const auto& work = step_at(card_, mind_.work_step).work;
            if (mind_.work < work.size()) {
                std::visit([this](const auto& each) { do_work(each); }, work[mind_.work++]);
            } else if (mind_.work_step < mind_.step) {
                ++mind_.work_step;
                mind_.work = 0;
            } else {
                return;
            }
        }
    }

    void turn(const cockpit::KnobTurn& knob) { hands_.knobs[hands_.knob_count++] = knob; }

    void do_work(const flight::Tune& tune) {
        mind_.knobs_free_s = now_s_ + skill_.tuning.count();
        switch (tune.set.kind) {
            case flight::SetKind::receiver: {
                const auto at = static_cast<std::size_t>(tune.set.number - 1);
                mind_.frequency_slips[at].open = blunders();
                tune_receiver(tune.set.number, tune.aid.frequency);
                break;
            }
            case flight::SetKind::dme:
                mind_.distance_slip.open = blunders();
                tune_distance(tune.aid.frequency);
                break;
            case flight::SetKind::adf:
                mind_.adf_slip.open = blunders();
                tune_adf(tune.aid.frequency);
                break;
        }
    }

    // A slip that is open leaves the knob where it was.
    void tune_receiver(int number, base::Frequency frequency) {
        const auto at = static_cast<std::size_t>(number - 1);
        if (!mind_.frequency_slips[at].open) {
            turn({cockpit::Knob::receiver_frequency, number, frequency, {}});
        }
        const bool unheard = blunders();
        mind_.receivers[at] = {frequency, now_s_, unheard, unheard};
        if (mind_.dme_follows == number) {
            mind_.dme_of = frequency;
            mind_.dme_identified = false;
        }
    }
    void tune_distance(base::Frequency frequency) {
        if (!mind_.distance_slip.open) {
            turn({cockpit::Knob::distance_frequency, 0, frequency, {}});
        }
        mind_.dme_of = frequency;
        mind_.dme_identified = false;
        mind_.distance_tuned_s = now_s_;
    }
    void tune_adf(base::Frequency frequency) {
        if (!mind_.adf_slip.open) {
            turn({cockpit::Knob::adf_frequency, 0, frequency, {}});
        }
        const bool unheard = blunders();
        mind_.adf = {frequency, now_s_, unheard, unheard};
    }
    void do_work(const flight::SetCourse& set) {
        mind_.knobs_free_s = now_s_ + skill_.setting_course.count();
        Mind::Slip& slip = mind_.course_slips[static_cast<std::size_t>(set.receiver - 1)];
        slip = {blunders(), {}, set.course, 0.0};
        const base::Radial course = slip.open ? slipped(set.course, mind_.luck.with_chance(0.5)) : set.course;
        turn({cockpit::Knob::receiver_course, set.receiver, {}, course});
    }
    void do_work(const flight::SelectDistance& select) {
        mind_.knobs_free_s = now_s_ + skill_.setting_course.count();
        const bool held = select.from == flight::DistanceFrom::held;
        turn({cockpit::Knob::distance_switch, held ? 0 : select.receiver, {}, {}});
        mind_.dme_follows = held ? 0 : select.receiver;
        if (!held) {
            mind_.dme_of = mind_.receivers[static_cast<std::size_t>(select.receiver - 1)].tuned;
            mind_.dme_identified = false;
        }
    }
    void do_work(const flight::GuideBy& guide) { mind_.guiding = guide.receiver; }
    void do_work(const flight::StartClock&) { mind_.stopwatch_s = mind_.begun_s; }
    void do_work(const flight::Preselect&) {}
    void do_work(const flight::HoldHeadingWhileTuning&) {}
    void do_work(const flight::LeaveAltitude&) {}
    void do_work(const flight::Call&) {}

    // A pointer has no flag: without the ident in the ear it may stand anywhere.
    bool pointer_is_on(const flight::NamedAid& aid) const {
        return mind_.adf.tuned == aid.frequency && mind_.adf.identified && !panel_.pointer.ident.empty();
    }

    // The receiver that is on an aid and has identified it: the guiding one first.
    std::size_t receiver_on(const flight::NamedAid& aid) const {
        const auto is_on = [&](std::size_t at) {
            return at < panel_.receiver_count && mind_.receivers[at].tuned == aid.frequency &&
                   mind_.receivers[at].identified;
        };
        const auto first = static_cast<std::size_t>(std::max(mind_.guiding, 1) - 1);
        if (is_on(first)) {
            return first;
        }
        for (std::size_t at = 0; at < panel_.receiver_count; ++at) {
            if (is_on(at)) {
                return at;
            }
        }
        return panel_.receiver_count;
    }

    std::optional<double> reading_of(const flight::NamedAid& aid) const {
        const bool shown = !panel_.distance.flag && mind_.dme_of == aid.frequency && mind_.dme_identified;
        return shown ? std::optional<double>(panel_.distance.reading.nautical_miles()) : std::nullopt;
    }

    double groundspeed_kt() const { return step().expected.groundspeed.value_or(panel_.airspeed).knots(); }

    void reckon() { mind_.from_aid_nm += groundspeed_kt() * passed_s_ / 3600.0; }

    // How far the aid that guides may be: what the DME shows, else what time and the card's groundspeed make of it.
    double distance_nm(const flight::NamedAid& aid, bool toward) const {
        if (const auto reading = reading_of(aid)) {
            return std::max(*reading, 0.2);
        }
        if (!toward) {
            return std::max(mind_.from_aid_nm, 0.5);
        }
        const double to_its_end_nm =
            step().expected.distance.nautical_miles() - groundspeed_kt() * elapsed_s() / 3600.0;
        const bool ends_overhead = std::holds_alternative<flight::StationPassage>(step().end);
        return std::max(to_its_end_nm, 0.0) + (ends_overhead ? 0.5 : 8.0);
    }

    double card_heading_deg(double track_deg) const {
        const auto& expected = step().expected;
        // The card's heading is for its course: the same drift serves for a track that is nearly that.
        const double drift_deg =
            expected.heading ? wrapped(expected.heading->degrees() - expected.course.degrees()) : 0.0;
        return track_deg + drift_deg + mind_.learned_deg;
    }

    void head_for(double desired_deg) {
        hands_.turn = std::clamp(wrapped(desired_deg - heading_deg_) / 8.0, -1.0, 1.0);
    }

    // To the side that is asked for.
    void head_by_side(double desired_deg, int side) {
        double error_deg = wrapped(desired_deg - heading_deg_);
        // A little short of the heading asked for is no reason to go all around.
        if (side > 0 && error_deg < -20.0) {
            error_deg += 360.0;
        } else if (side < 0 && error_deg > 20.0) {
            error_deg -= 360.0;
        }
        hands_.turn = std::clamp(error_deg / 8.0, -1.0, 1.0);
    }

    // Along a line that lies `off_deg` to the right as seen from the aid, so far away.
    void follow(double track_deg, double off_deg, double away_nm, bool pegged, double most_deg) {
        const double aside_nm = away_nm * base::quick_sine_cosine(radians(off_deg)).sine;
        const double speed_nm_s = groundspeed_kt() / 3600.0;
        const double look_ahead_nm = std::max(40.0 * speed_nm_s, 0.35);
        double cut_deg = base::quick_direction(aside_nm, look_ahead_nm) * 180.0 / std::numbers::pi;
        const double limit_deg = pegged ? std::max(most_deg, skill_.far_intercept.degrees()) : most_deg;
        cut_deg = std::clamp(cut_deg, -limit_deg, limit_deg);
        if (pegged) {
            cut_deg = std::copysign(limit_deg, off_deg);
        } else if (std::abs(cut_deg) < 15.0) {
            mind_.learned_deg = std::clamp(mind_.learned_deg + cut_deg * passed_s_ / 90.0, -30.0, 30.0);
        }
        head_for(card_heading_deg(track_deg) + cut_deg);
    }

    // The angle to the line of a course indicator, positive to the right of a track flown; none where it is dead.
    struct Line {
        bool alive = false;
        bool pegged = false;
        double off_deg = 0.0;
    };

    // As the pilot believes it set.
    double course_deg(std::size_t receiver) const {
        const Mind::Slip& slip = mind_.course_slips[receiver];
        return slip.open ? slip.course.degrees() : panel_.receivers[receiver].course.degrees();
    }

    Line course_line(std::size_t receiver, double track_deg) const {
        if (receiver >= panel_.receiver_count || panel_.receivers[receiver].shown.flag) {
            return {};
        }
        const auto& on = panel_.receivers[receiver];
        Line line;
        line.alive = true;
        line.pegged = on.shown.needle.pegged();
        line.off_deg = on.shown.needle.of_full_scale() * on.shown.needle.full_scale.degrees();
        // A course flown the other way senses in reverse.
        if (on.shown.to_from != cockpit::ToFrom::neither &&
            std::abs(wrapped(course_deg(receiver) - track_deg)) > 90.0) {
            line.off_deg = -line.off_deg;
        }
        return line;
    }

    void fly(const Step& now) {
        mind_.dead_needle = false;
        mind_.unidentified = is_unidentified(now);
        std::visit([&](const auto& guidance) { fly_by(now, guidance); }, now.guidance);
    }

    bool is_heard(const flight::NamedAid& aid) const {
        const auto is_it = [&aid](const Mind::Set& set) {
            return set.tuned == aid.frequency && set.identified && !set.unheard;
        };
        return std::any_of(mind_.receivers.begin(), mind_.receivers.end(), is_it) || is_it(mind_.adf);
    }

    // Flown by an aid whose ident was not heard.
    bool is_unidentified(const Step& now) const {
        if (const auto* radial = std::get_if<flight::FollowRadial>(&now.guidance)) {
            return !is_heard(radial->aid);
        }
        if (const auto* bearing = std::get_if<flight::FollowBearing>(&now.guidance)) {
            return !is_heard(bearing->aid);
        }
        if (const auto* localizer = std::get_if<flight::FollowLocalizer>(&now.guidance)) {
            return !is_heard(localizer->aid);
        }
        if (const auto* arc = std::get_if<flight::FollowArc>(&now.guidance)) {
            return !(mind_.dme_of == arc->aid.frequency && mind_.dme_identified);
        }
        return false;
    }

    void hold_heading(double track_deg) { head_for(card_heading_deg(track_deg)); }

    void fly_by(const Step& now, const flight::FollowRadial& radial) {
        const std::size_t receiver = receiver_on(radial.aid);
        const double track_deg = now.expected.course.degrees();
        fly_radial(radial.aid, receiver, track_deg, radial.course.degrees(), radial.toward);
    }

    void fly_radial(const flight::NamedAid& aid, std::size_t receiver, double track_deg, double wanted_deg,
                    bool toward) {
        const Line line = course_line(receiver, wanted_deg);
        const bool set = receiver < panel_.receiver_count &&
                         (std::abs(wrapped(course_deg(receiver) - wanted_deg)) < 1.5 ||
                          std::abs(wrapped(course_deg(receiver) - wanted_deg)) > 178.5);
        const bool behind = line.alive && panel_.receivers[receiver].shown.to_from ==
                                              (is_reversed(receiver, wanted_deg)
                                                   ? (toward ? cockpit::ToFrom::to : cockpit::ToFrom::from)
                                                   : (toward ? cockpit::ToFrom::from : cockpit::ToFrom::to));
        const double away_nm = distance_nm(aid, toward);
        if (line.alive && (behind || line.pegged)) {
            mind_.course_slips[receiver].shows_s += passed_s_;
        }
        if (!line.alive || !set || behind) {
            // Arrows that contradict the card guide no more than a flag does.
            mind_.dead_needle = (!line.alive || behind) && away_nm > 3.0;
            hold_heading(track_deg);
            return;
        }
        if (away_nm < 1.0 && !line.pegged) {  // the needle swings about near the aid
            hold_heading(track_deg);
            return;
        }
        follow(track_deg, line.off_deg + whim_.wander_deg, away_nm, line.pegged, skill_.intercept.degrees());
    }

    bool is_reversed(std::size_t receiver, double wanted_deg) const {
        return std::abs(wrapped(course_deg(receiver) - wanted_deg)) > 90.0;
    }

    void fly_by(const Step&, const flight::FollowBearing& bearing) {
        fly_bearing(bearing.aid, bearing.track.degrees(), bearing.toward);
    }

    void fly_bearing(const flight::NamedAid& aid, double track_deg, bool toward) {
        if (!pointer_is_on(aid)) {
            mind_.dead_needle = true;
            hold_heading(track_deg);
            return;
        }
        const double bearing_deg = heading_deg_ + panel_.pointer.relative.degrees();
        const double off_deg =
            toward ? wrapped(bearing_deg - track_deg) : -wrapped(bearing_deg + 180.0 - track_deg);
        const double away_nm = distance_nm(aid, toward);
        const bool aside = toward && std::abs(off_deg) > skill_.intercept.degrees();
        if (pointer_stands() || std::abs(off_deg) > 90.0 || (away_nm < 0.8 && !aside)) {
            hold_heading(track_deg);
            return;
        }
        // Where the line cannot be met before the beacon any more, the beacon is: it is homed to.
        const double most_deg = aside ? std::abs(off_deg) : skill_.intercept.degrees();
        follow(track_deg, std::clamp(off_deg + whim_.wander_deg, -90.0, 90.0), away_nm, false, most_deg);
    }

    // Overhead a pointer follows nothing: it stands on its dial while the aircraft turns under it, and until it moves again it is not believed.
    bool pointer_stands() {
        constexpr double follows_deg = 0.05;
        constexpr double turned_deg = 2.0;
        const double relative_deg = panel_.pointer.relative.degrees();
        if (std::abs(wrapped(relative_deg - mind_.pointer_stood_deg)) > follows_deg) {
            mind_.pointer_stood_deg = relative_deg;
            mind_.pointer_stood_heading_deg = heading_deg_;
            mind_.pointer_stands = false;
        }
        const double since_deg = std::abs(wrapped(heading_deg_ - mind_.pointer_stood_heading_deg));
        mind_.pointer_stands = mind_.pointer_stands || since_deg > turned_deg;
        return mind_.pointer_stands;
    }

    void fly_by(const Step& now, const flight::FollowLocalizer& localizer) {
        const std::size_t receiver = receiver_on(localizer.aid);
        const double track_deg = now.expected.course.degrees();
        if (receiver >= panel_.receiver_count || panel_.receivers[receiver].shown.flag) {
            mind_.dead_needle = true;
            hold_heading(track_deg);
            return;
        }
        const auto& needle = panel_.receivers[receiver].shown.needle;
        double off_deg = needle.of_full_scale() * needle.full_scale.degrees();
        // Reversed on a plain indicator; on an HSI whose arrow lies on the front course it stands to the arrow's side, and the arrow points backward.
        if (localizer.needle != flight::NeedleSense::toward_the_line) {
            off_deg = -off_deg;
        }
        const double away_nm = localizer_distance_nm(now, localizer);
        // A localizer's needle is steadier than a VOR's: of what the pilot lets a needle wander it takes the share of its full scale.
        const double wander_deg = whim_.wander_deg * needle.full_scale.degrees() / 10.0;
        follow(track_deg, off_deg + wander_deg, away_nm, needle.pegged(), 25.0);
    }

    double localizer_distance_nm(const Step& now, const flight::FollowLocalizer& localizer) const {
        if (const auto reading = reading_of(localizer.aid)) {
            return std::max(*reading + 1.0, 1.0);
        }
        const double to_the_end_nm =
            now.expected.distance.nautical_miles() - groundspeed_kt() * elapsed_s() / 3600.0;
        const bool last = std::holds_alternative<flight::Minimums>(now.end) || step_after() == nullptr;
        return std::max(to_the_end_nm, 0.0) + (last ? 2.0 : 6.0);
    }

    void fly_by(const Step& now, const flight::FollowArc& arc) {
        const double radius_nm = arc.reading.nautical_miles();
        const double side = arc.clockwise ? 1.0 : -1.0;
        const double begin_deg = arc.from_radial ? arc.from_radial->degrees() : 0.0;
        const double turned_deg =
            groundspeed_kt() * passed_s_ / 3600.0 / radius_nm * 180.0 / std::numbers::pi;
        mind_.arc_turned_deg += turned_deg;
        double radial_deg = begin_deg + side * mind_.arc_turned_deg;
        // Where a needle of the aid is alive it tells the radial, whatever course is set.
        const std::size_t receiver = receiver_on(arc.aid);
        if (receiver < panel_.receiver_count) {
            const auto& on = panel_.receivers[receiver];
            if (!on.shown.flag && !on.shown.needle.pegged() && on.shown.to_from != cockpit::ToFrom::neither) {
                const double off_deg = on.shown.needle.of_full_scale() * on.shown.needle.full_scale.degrees();
                radial_deg = on.shown.to_from == cockpit::ToFrom::from
                                 ? course_deg(receiver) - off_deg
                                 : course_deg(receiver) + 180.0 + off_deg;
                mind_.arc_turned_deg = side * wrapped(radial_deg - begin_deg);
            }
        }
        // Radials are counted from the station's zero, headings from magnetic north: at the beginning the card gives both.
        const double zero_deg = wrapped(now.expected.course.degrees() - (begin_deg + side * 90.0));
        const double tangent_deg = radial_deg + side * 90.0 + zero_deg;
        double cut_deg = 0.0;
        if (const auto reading = reading_of(arc.aid)) {
            cut_deg = std::clamp((*reading - radius_nm) * 40.0, -40.0, 40.0) * side;
        } else {
            mind_.dead_needle = true;
        }
        // Half of what is turned in the next ten seconds, so as not to lag behind the arc.
        const double ahead_deg = side * turned_deg / std::max(passed_s_, 0.1) * 5.0;
        head_for(tangent_deg + drift_on(tangent_deg) + ahead_deg + cut_deg);
    }

    // The wind of the card's heading, turned to another track.
    double drift_on(double track_deg) const {
        const auto& expected = step().expected;
        if (!expected.heading || !expected.groundspeed) {
            return 0.0;
        }
        const double drift_rad = radians(wrapped(expected.heading->degrees() - expected.course.degrees()));
        const double airspeed_kt = expected.true_airspeed.knots();
        const double along_kt = airspeed_kt * std::cos(drift_rad) - expected.groundspeed->knots();
        const double across_kt = airspeed_kt * std::sin(drift_rad);
        // Headwind and the part from the right, as felt on the card's course.
        const double turn_rad = radians(wrapped(track_deg - expected.course.degrees()));
        const double across_here_kt = across_kt * std::cos(turn_rad) - along_kt * std::sin(turn_rad);
        return std::asin(std::clamp(across_here_kt / std::max(airspeed_kt, 40.0), -0.9, 0.9)) * 180.0 /
               std::numbers::pi;
    }

    void fly_by(const Step&, const flight::FlyHeading& heading) {
        const double track_deg = heading.track.degrees();
        head_for(heading.heading ? heading.heading->degrees() : track_deg);
    }

    static int side_of(navdata::Turn turn) { return turn == navdata::Turn::left ? -1 : 1; }

    void enter_phase(int phase) {
        mind_.phase = phase;
        mind_.phase_s = now_s_;
    }

    double in_phase_s() const { return now_s_ - mind_.phase_s; }

    // Phases: 0 the entry's outbound, 1 its turn (parallel and offset), 2 outbound, 3 the turn inbound and inbound. A count of circuits
    // is kept in arc_turned_deg, which a hold does not need.
    void fly_by(const Step&, const flight::FlyHold& hold) {
        const int side = side_of(hold.side);
        const double inbound_deg = hold.inbound.degrees();
        const double outbound_deg = hold.outbound_heading.degrees();
        switch (mind_.phase) {
            case 0:
                if (hold.entry == procedure::HoldEntry::direct) {
                    enter_phase(2);
                    head_by_side(outbound_deg, side);
                } else {
                    const double entry_deg = hold.entry == procedure::HoldEntry::parallel
                                                 ? inbound_deg + 180.0
                                                 : inbound_deg + 180.0 - 30.0 * side;
                    head_for(entry_deg + drift_on(entry_deg));
                    if (in_phase_s() > 60.0 + std::abs(wrapped(entry_deg - heading_deg_)) / 3.0) {
                        enter_phase(1);
                    }
                }
                break;
            case 1: {
                const bool parallel = hold.entry == procedure::HoldEntry::parallel;
                const double back_deg = parallel ? inbound_deg + 30.0 * -side : inbound_deg;
                head_by_side(back_deg, parallel ? -side : side);
                if (std::abs(wrapped(back_deg - heading_deg_)) < 10.0) {
                    enter_phase(4);
                }
                break;
            }
            case 2: {
                head_by_side(outbound_deg, side);
                const bool outbound = std::abs(wrapped(outbound_deg - heading_deg_)) < 10.0;
                // The time counts from abeam the fix or the end of the turn, whichever is later (AIM 5-3-8; trade-facts 8.2).
                if (!outbound || is_before_abeam(hold)) {
                    mind_.phase_s = now_s_;
                }
                const bool far_enough =
                    hold.outbound_reading && hold.aid && reading_of(*hold.aid)
                        ? *reading_of(*hold.aid) >= hold.outbound_reading->nautical_miles()
                        : in_phase_s() >= hold.outbound_time.value_or(base::Duration(60.0)).count();
                if (outbound && far_enough) {
                    enter_phase(3);
                }
                break;
            }
            case 3:
                head_by_side(inbound_deg, side);
                if (std::abs(wrapped(inbound_deg - heading_deg_)) < 15.0) {
                    enter_phase(4);
                }
                break;
            default:
                follow_inbound(hold.aid, inbound_deg);
        }
    }

    // Flying outbound of a hold over an aid: its arrows still show what lies behind the inbound course, its pointer stands ahead of the wing.
    // Where the fix is no aid, or its signal is gone, abeam cannot be told.
    bool is_before_abeam(const flight::FlyHold& hold) const {
        if (!hold.aid || hold.aid->ident != hold.fix) {
            return false;
        }
        const std::size_t receiver = receiver_on(*hold.aid);
        if (receiver < panel_.receiver_count) {
            const auto& on = panel_.receivers[receiver];
            const bool set_inbound = std::abs(wrapped(on.course.degrees() - hold.inbound.degrees())) < 90.0;
            return !on.shown.flag &&
                   on.shown.to_from == (set_inbound ? cockpit::ToFrom::from : cockpit::ToFrom::to);
        }
        return panel_.pointer.active == hold.aid->frequency && !panel_.pointer.ident.empty() &&
               std::abs(panel_.pointer.relative.degrees()) < 90.0;
    }

    void follow_inbound(const std::optional<flight::NamedAid>& aid, double inbound_deg) {
        const std::size_t receiver = aid ? receiver_on(*aid) : panel_.receiver_count;
        if (aid && receiver < panel_.receiver_count) {
            const auto& on = panel_.receivers[receiver];
            const bool localizer = on.shown.to_from == cockpit::ToFrom::neither && !on.shown.flag;
            if (on.shown.flag) {
                hold_inbound(inbound_deg);
                return;
            }
            const double off_deg = turning_back_deg(receiver, *aid, inbound_deg, inbound_deg);
            const double away_nm = reading_of(*aid).value_or(localizer ? 6.0 : 2.5);
            head_inbound(inbound_deg, off_deg, std::max(away_nm, 0.5), on.shown.needle.pegged());
            return;
        }
        if (aid && pointer_is_on(*aid)) {
            const double off_deg = wrapped(heading_deg_ + panel_.pointer.relative.degrees() - inbound_deg);
            if (std::abs(off_deg) < 80.0) {
                head_inbound(inbound_deg, off_deg, reading_of(*aid).value_or(2.0), false);
                return;
            }
        }
        hold_inbound(inbound_deg);
    }

    // A localizer's needle senses by its front course, whatever course is set. A turn back leads to the step that follows it; where that does not say,
    // it leads to the front course.
    double front_course_deg(const flight::NamedAid& aid, double inbound_deg) const {
        const Step* next = step_after();
        const auto* localizer =
            next != nullptr ? std::get_if<flight::FollowLocalizer>(&next->guidance) : nullptr;
        return localizer != nullptr && localizer->aid.frequency == aid.frequency
                   ? localizer->front_course.degrees()
                   : inbound_deg;
    }

    // How far the line is to the right of a track that is flown out or back in.
    double turning_back_deg(std::size_t receiver, const flight::NamedAid& aid, double track_deg,
                            double inbound_deg) const {
        const auto& shown = panel_.receivers[receiver].shown;
        const double off_deg = shown.needle.of_full_scale() * shown.needle.full_scale.degrees();
        const bool localizer = shown.to_from == cockpit::ToFrom::neither;
        const double senses_deg = localizer ? front_course_deg(aid, inbound_deg) : course_deg(receiver);
        return std::abs(wrapped(senses_deg - track_deg)) > 90.0 ? -off_deg : off_deg;
    }

    void hold_inbound(double inbound_deg) { head_for(inbound_deg + drift_on(inbound_deg)); }

    void head_inbound(double inbound_deg, double off_deg, double away_nm, bool pegged) {
        const double aside_nm = away_nm * std::sin(radians(off_deg));
        double cut_deg = std::atan(aside_nm / 0.6) * 180.0 / std::numbers::pi;
        cut_deg = pegged ? std::copysign(45.0, off_deg) : std::clamp(cut_deg, -40.0, 40.0);
        head_for(inbound_deg + drift_on(inbound_deg) + cut_deg);
    }

    // Phases: 0 outbound, 1 the 45 degrees off, 2 the turn back, 3 inbound.
    void fly_by(const Step&, const flight::ReverseCourse& reversal) {
        const double outbound_deg = reversal.outbound.degrees();
        const double inbound_deg = outbound_deg + 180.0;
        const double speed_nm_s = groundspeed_kt() / 3600.0;
        switch (mind_.phase) {
            case 0: {
                const double out_nm = std::clamp(reversal.within.nautical_miles() - 4.5, 1.0, 5.0);
                follow_outbound(reversal, outbound_deg);
                if (in_phase_s() * speed_nm_s > out_nm) {
                    enter_phase(1);
                }
                break;
            }
            case 1:
                head_for(reversal.away.degrees());
                if (in_phase_s() > 60.0) {
                    enter_phase(2);
                }
                break;
            case 2: {
                const double back_deg = reversal.return_heading.degrees();
                head_by_side(back_deg, side_of(reversal.back));
                if (std::abs(wrapped(back_deg - heading_deg_)) < 10.0) {
                    enter_phase(3);
                }
                break;
            }
            default:
                follow_inbound(reversal.aid, inbound_deg);
        }
    }

    void follow_outbound(const flight::ReverseCourse& reversal, double outbound_deg) {
        const std::size_t receiver = reversal.aid ? receiver_on(*reversal.aid) : panel_.receiver_count;
        double off_deg = 0.0;
        if (receiver < panel_.receiver_count && !panel_.receivers[receiver].shown.flag) {
            off_deg = turning_back_deg(receiver, *reversal.aid, outbound_deg, outbound_deg + 180.0);
        } else if (reversal.aid && pointer_is_on(*reversal.aid)) {
            off_deg = -wrapped(heading_deg_ + panel_.pointer.relative.degrees() + 180.0 - outbound_deg);
        }
        head_for(outbound_deg + drift_on(outbound_deg) + std::clamp(off_deg * 2.0, -30.0, 30.0));
    }

    // Climbs are all the aircraft has; a descent is begun when the time left is what it takes at the card's rate.
    void climb_or_descend(const Step& now) {
        if (is_giving_up()) {
            climb_away(now);
            return;
        }
        const double rate_fpm = std::abs(now.heights.rate ? now.heights.rate->feet_per_minute() : 500.0);
        const double here_ft = panel_.altitude.feet();
        // A hold that is left at an altitude is climbed in as far as that, however many times around.
        const auto* until = std::get_if<flight::HeldUntil>(&now.end);
        const double end_ft = until != nullptr && until->altitude
                                  ? std::max(until->altitude->feet(), now.heights.at_end.feet())
                                  : climbed_to_ft(mind_.step);
        hands_.airspeed = airspeed_to_fly(now);
        const bool in_a_hold = until != nullptr && until->altitude;
        const double slip_ft = in_a_hold ? 0.0 : mind_.altitude_off_ft;
        const auto toward = [&](double target_ft, double up_fpm, double down_fpm) {
            const double fpm = std::clamp((target_ft + slip_ft - here_ft) * 6.0, -down_fpm, up_fpm);
            hands_.climb = base::VerticalSpeed::feet_per_minute(fpm);
        };
        constexpr double all_it_can_fpm = 10000.0;
        switch (now.heights.vertical) {
            case flight::Vertical::climb:
            case flight::Vertical::level:
                toward(end_ft, all_it_can_fpm, 700.0);
                break;
            case flight::Vertical::descend: {
                const double left_s = (now.expected.time ? now.expected.time->count() : 0.0) - elapsed_s();
                const double needs_s = (here_ft - end_ft - slip_ft) / std::max(rate_fpm, 100.0) * 60.0;
                if (mind_.phase != 0 || left_s <= needs_s * 1.1 + 20.0 || is_reversal(now)) {
                    toward(end_ft, all_it_can_fpm, rate_fpm * 1.15 + 50.0);
                } else {
                    hands_.climb = base::VerticalSpeed();
                }
                break;
            }
            case flight::Vertical::on_glideslope:
                on_glideslope(now, rate_fpm);
        }
    }

    // What is flown slower from the next fix on is slowed down for as late as does, a knot in a second, and within three minutes of it (AIM 5-3-8,
    // of a hold; trade-facts 8.2).
    base::Speed airspeed_to_fly(const Step& now) const {
        const Step* next = step_after();
        if (next == nullptr || !now.expected.time) {
            return now.expected.true_airspeed;
        }
        const double slower_kt = now.expected.true_airspeed.knots() - next->expected.true_airspeed.knots();
        const double left_s = now.expected.time->count() - elapsed_s();
        return left_s < std::min(slower_kt, 180.0) ? next->expected.true_airspeed
                                                   : now.expected.true_airspeed;
    }

    // A climb that goes on beyond the end of the step is not levelled off at it, unless it must not be crossed higher.
    double climbed_to_ft(std::size_t from) const {
        const std::size_t end =
            from < card_.steps.size() ? card_.steps.size() : card_.steps.size() + card_.missed.size();
        const auto climbs = [this](std::size_t at) {
            return step_at(card_, at).heights.vertical == flight::Vertical::climb;
        };
        std::size_t at = from;
        while (climbs(at) && !step_at(card_, at).heights.at_or_below && at + 1 < end && climbs(at + 1)) {
            ++at;
        }
        return step_at(card_, at).heights.at_end.feet();
    }

    static bool is_reversal(const Step& now) {
        return std::holds_alternative<flight::ReverseCourse>(now.guidance) ||
               std::holds_alternative<flight::FlyHold>(now.guidance);
    }

    // Of the localizer that is followed; beyond the receivers where none is, or it was not identified.
    std::size_t receiver_of_glideslope(const Step& now) const {
        const auto* localizer = std::get_if<flight::FollowLocalizer>(&now.guidance);
        return localizer != nullptr ? receiver_on(localizer->aid) : panel_.receiver_count;
    }

    // Without its glideslope an ILS is flown on as a localizer approach where that was briefed: its minimum and step-downs, which the card of an ILS
    // has not. So the missed approach is begun (trade-facts 11.2: GS out, LOC minima; the rest common practice, no source). Where the glideslope
    // should end a step it is waited for as long as the card says.
    void look_for_the_glideslope(const Step& now) {
        const auto& time = now.expected.time;
        const bool overdue = std::holds_alternative<flight::GlideslopeCentres>(now.end) && time &&
                             elapsed_s() >= time->count();
        const bool needed = overdue || (now.heights.vertical == flight::Vertical::on_glideslope &&
                                        !is_below_any_minimum(now));
        const std::size_t receiver = receiver_of_glideslope(now);
        const bool flagged =
            needed && receiver < panel_.receiver_count && panel_.receivers[receiver].glideslope.flag;
        mind_.slope_flagged_s = flagged ? mind_.slope_flagged_s + passed_s_ : 0.0;
        mind_.gives_up = mind_.gives_up || mind_.slope_flagged_s > slope_flagged_s;
    }

    // Where the card has no decision altitude it is flown down to the threshold, and over that past the aerial: the last 200 ft are flown by sight, or
    // were not begun (trade-facts 11.2, seen: a category I decision height is 200 ft at least).
    bool is_below_any_minimum(const Step& now) const {
        constexpr double lowest_height_ft = 200.0;
        const auto* end = std::get_if<flight::Minimums>(&now.end);
        return end != nullptr && !end->altitude &&
               panel_.altitude.feet() < now.heights.at_end.feet() + lowest_height_ft;
    }

    bool is_giving_up() const { return mind_.gives_up && mind_.step < card_.steps.size(); }

    // The climb is begun at once, the turn not before the end of the approach: along the localizer for the time that the card gives (AIM 5-4-21, early
    // missed approach, from memory).
    void climb_away(const Step& now) {
        const double here_ft = panel_.altitude.feet();
        const double to_ft = card_.missed.empty() ? here_ft : climbed_to_ft(card_.steps.size());
        hands_.airspeed = now.expected.true_airspeed;
        hands_.climb = base::VerticalSpeed::feet_per_minute(std::max((to_ft - here_ft) * 6.0, 0.0));
    }

    void on_glideslope(const Step& now, double rate_fpm) {
        const std::size_t receiver = receiver_of_glideslope(now);
        if (receiver >= panel_.receiver_count) {
            hands_.climb = base::VerticalSpeed::feet_per_minute(-rate_fpm);
            return;
        }
        if (panel_.receivers[receiver].glideslope.flag) {
            hands_.climb = base::VerticalSpeed::feet_per_minute(is_below_any_minimum(now) ? -rate_fpm : 0.0);
            return;
        }
        const auto& needle = panel_.receivers[receiver].glideslope.needle;
        const double off_deg = needle.of_full_scale() * needle.full_scale.degrees();  // up: fly up
        const auto& localizer = std::get<flight::FollowLocalizer>(now.guidance);
        const double away_nm = std::max(localizer_distance_nm(now, localizer) - 1.0, 0.5);
        const double too_low_ft = std::tan(radians(off_deg)) * away_nm * 6076.1;
        // Below it one flies level until it comes down.
        const double fpm = -rate_fpm + std::clamp(too_low_ft * 3.0, -1000.0, std::max(rate_fpm, 500.0));
        hands_.climb = base::VerticalSpeed::feet_per_minute(std::min(fpm, 0.0));
    }

    // What ends the step.
    void watch_for_the_end(const Step& now) {
        if (mind_.end_seen_s >= 0.0 || mind_.finished) {
            return;
        }
        const bool given_up =
            is_giving_up() && (!now.expected.time || elapsed_s() >= now.expected.time->count());
        if (given_up || std::visit([&](const auto& end) { return is_seen(now, end); }, now.end)) {
            mind_.end_seen_s = now_s_;
            if (starts_at_an_aid(now.end)) {
                mind_.from_aid_nm = 0.0;
            }
            return;
        }
        const double expected_s = now.expected.time ? now.expected.time->count() : 600.0;
        if (elapsed_s() > expected_s * 1.5 + 180.0 + (is_reversal(now) ? 900.0 : 0.0)) {
            mind_.trouble = Trouble::end_not_seen;
        }
    }

    static bool starts_at_an_aid(const flight::StepEnd& end) {
        return std::holds_alternative<flight::StationPassage>(end) ||
               std::holds_alternative<flight::HeldUntil>(end);
    }

    bool is_seen(const Step&, const flight::StationPassage& passage) {
        return passage.pointer ? pointer_passes(passage.aid) : arrows_change(passage.aid);
    }

    bool arrows_change(const flight::NamedAid& aid) {
        const std::size_t receiver = receiver_on(aid);
        if (receiver >= panel_.receiver_count) {
            return false;
        }
        const auto& shown = panel_.receivers[receiver].shown;
        if (shown.flag || shown.to_from == cockpit::ToFrom::neither) {
            return is_passed_by_the_clock();
        }
        mind_.flagged_s = 0.0;
        const int now = shown.to_from == cockpit::ToFrom::to ? 1 : -1;
        const bool changed = mind_.last_to_from == 1 && now == -1;
        mind_.last_to_from = now;
        // Where the aid was so near that TO never showed, FROM for a while on its course tells that it is behind.
        mind_.from_shows_s = now == -1 && is_on_course() && !changed ? mind_.from_shows_s + passed_s_ : 0.0;
        return changed || mind_.from_shows_s > 10.0;
    }

    // Where FROM never comes, the aid being heard no higher than this: TO has shown, the needle is dead for as long as over an aid, and its
    // time is up by a minute.
    bool is_passed_by_the_clock() {
        constexpr double dead_s = 60.0;
        constexpr double late_s = 60.0;
        mind_.flagged_s += passed_s_;
        const auto& expected = step().expected.time;
        return mind_.last_to_from == 1 && expected && mind_.flagged_s > dead_s &&
               elapsed_s() > expected->count() + late_s;
    }

    bool is_on_course() const {
        return std::abs(wrapped(heading_deg_ - step().expected.course.degrees())) < 60.0;
    }

    bool pointer_passes(const flight::NamedAid& aid) {
        if (!pointer_is_on(aid)) {
            mind_.pointer_known = false;
            return false;
        }
        const double ahead = std::abs(wrapped(panel_.pointer.relative.degrees()));
        const bool passed = mind_.pointer_known && mind_.last_pointer_deg < 90.0 && ahead >= 90.0;
        mind_.last_pointer_deg = ahead;
        mind_.pointer_known = true;
        const bool behind = ahead > 100.0 && is_on_course();
        mind_.from_shows_s = behind && !passed ? mind_.from_shows_s + passed_s_ : 0.0;
        return passed || mind_.from_shows_s > 10.0;
    }

    bool is_seen(const Step&, const flight::ReadingReached& end) {
        const auto reading = reading_of(end.aid);
        if (!reading) {
            mind_.last_reading_nm = -1.0;
            return false;
        }
        // It is read to the tenth.
        constexpr double tenth_nm = 0.05;
        const double at_nm =
            end.reading.nautical_miles() + (end.increasing ? -1.0 : 1.0) * (lead_nm() + tenth_nm);
        const bool there = end.increasing ? *reading >= at_nm : *reading <= at_nm;
        // A reading beyond it from the first look on is not the end, unless it stands just there.
        const bool near = std::abs(*reading - at_nm) < 1.0;
        const bool seen = there && (mind_.last_reading_nm >= 0.0 || near);
        mind_.last_reading_nm = *reading;
        return seen;
    }

    // Half a percent of the groundspeed before an arc (trade-facts 5).
    double lead_nm() const {
        const Step* next = step_after();
        return next != nullptr && std::holds_alternative<flight::FollowArc>(next->guidance)
                   ? 0.005 * groundspeed_kt()
                   : 0.0;
    }

    bool is_seen(const Step& now, const flight::RadialCentres& end) {
        if (const auto* arc = std::get_if<flight::FollowArc>(&now.guidance)) {
            return is_led(end, *arc);
        }
        const std::size_t receiver = set_on(end.aid, end.course);
        return needle_centres(receiver);
    }

    std::size_t set_on(const flight::NamedAid& aid, base::Radial course) const {
        for (std::size_t at = 0; at < panel_.receiver_count; ++at) {
            const double off_deg = wrapped(course_deg(at) - course.degrees());
            if (mind_.receivers[at].tuned == aid.frequency && mind_.receivers[at].identified &&
                (std::abs(off_deg) < 0.6 || std::abs(off_deg) > 179.4)) {
                return at;
            }
        }
        return panel_.receiver_count;
    }

    // Half a percent of the groundspeed, as degrees of the arc (trade-facts 5: lead radials).
    bool is_led(const flight::RadialCentres& end, const flight::FollowArc& arc) {
        const std::size_t receiver = set_on(end.aid, end.course);
        if (receiver >= panel_.receiver_count || panel_.receivers[receiver].shown.flag ||
            panel_.receivers[receiver].shown.needle.pegged()) {
            return false;
        }
        const auto& needle = panel_.receivers[receiver].shown.needle;
        const double left_deg = std::abs(needle.of_full_scale() * needle.full_scale.degrees());
        const Step* next = step_after();
        const double turn_deg =
            next != nullptr ? std::abs(wrapped(next->expected.course.degrees() - heading_deg_)) : 0.0;
        const double lead_deg = 60.0 / std::max(arc.reading.nautical_miles(), 3.0) * 0.005 *
                                groundspeed_kt() * std::min(turn_deg, 120.0) / 90.0;
        return left_deg <= std::max(lead_deg, 0.3) || needle_centres(receiver);
    }

    bool needle_centres(std::size_t receiver) {
        if (receiver >= panel_.receiver_count || panel_.receivers[receiver].shown.flag) {
            mind_.last_needle_alive = false;
            return false;
        }
        const auto& needle = panel_.receivers[receiver].shown.needle;
        const double deg = needle.of_full_scale() * needle.full_scale.degrees();
        const bool crossed =
            mind_.last_needle_alive && !needle.pegged() && deg * mind_.last_needle_deg <= 0.0;
        const bool there = !needle.pegged() && std::abs(deg) < 0.1;
        mind_.last_needle_deg = deg;
        mind_.last_needle_alive = true;
        return crossed || there;
    }

    bool is_seen(const Step&, const flight::BearingReached& end) {
        if (!pointer_is_on(end.aid)) {
            mind_.pointer_known = false;
            return false;
        }
        const double off_deg =
            wrapped(heading_deg_ + panel_.pointer.relative.degrees() - end.to_station.degrees());
        const bool crossed =
            mind_.pointer_known && off_deg * mind_.last_pointer_deg <= 0.0 && std::abs(off_deg) < 45.0;
        mind_.last_pointer_deg = off_deg;
        mind_.pointer_known = true;
        return crossed;
    }

    bool is_seen(const Step&, const flight::LocalizerCentres& end) {
        return needle_centres(receiver_on(end.aid));
    }

    bool is_seen(const Step&, const flight::NeedleAlive& end) {
        const std::size_t receiver = receiver_on(end.aid);
        if (receiver >= panel_.receiver_count || panel_.receivers[receiver].shown.flag) {
            return false;
        }
        // The turn before it may have led by the side of the line: when its time has come a needle at full scale is followed too.
        const auto& expected = step().expected.time;
        return !panel_.receivers[receiver].shown.needle.pegged() ||
               (expected && elapsed_s() >= expected->count());
    }

    bool is_seen(const Step&, const flight::AltitudeReached& end) {
        const double off_ft = panel_.altitude.feet() - end.altitude.feet() - mind_.altitude_off_ft;
        return step().heights.vertical == flight::Vertical::descend ? off_ft <= 10.0 : off_ft >= -10.0;
    }

    bool is_seen(const Step&, const flight::TimeOut& end) {
        const double since_s = end.since.empty() ? mind_.begun_s : mind_.stopwatch_s;
        return now_s_ - since_s >= end.time.count();
    }

    bool is_seen(const Step&, const flight::ChangeOver& end) {
        if (end.reading && end.reading_of) {
            if (const auto reading = reading_of(*end.reading_of)) {
                const double at_nm = end.reading->nautical_miles();
                const bool crossed = mind_.last_reading_nm >= 0.0 &&
                                     (*reading - at_nm) * (mind_.last_reading_nm - at_nm) <= 0.0;
                mind_.last_reading_nm = *reading;
                if (crossed) {
                    return true;
                }
            }
        }
        const double expected_s = step().expected.time ? step().expected.time->count() : 600.0;
        const double since_s = end.time && !end.since.empty() ? mind_.stopwatch_s : mind_.begun_s;
        const double after_s = end.time ? end.time->count() : expected_s;
        // No fix hangs on it: a reading that does not come is not waited for.
        return now_s_ - since_s >= (end.reading ? expected_s * 1.3 + 30.0 : after_s);
    }

    bool is_seen(const Step& now, const flight::GlideslopeCentres&) {
        const std::size_t receiver = receiver_of_glideslope(now);
        if (receiver >= panel_.receiver_count || panel_.receivers[receiver].glideslope.flag) {
            return false;
        }
        return panel_.receivers[receiver].glideslope.needle.of_full_scale() < 0.1;
    }

    bool is_seen(const Step& now, const flight::Minimums& end) {
        const double at_ft = end.altitude ? end.altitude->feet() : now.heights.at_end.feet();
        return panel_.altitude.feet() <= at_ft + 20.0;
    }

    bool is_seen(const Step& now, const flight::EstablishedInbound&) {
        if (mind_.phase < 3) {
            return false;
        }
        double inbound_deg = heading_deg_;
        std::optional<flight::NamedAid> aid;
        if (const auto* hold = std::get_if<flight::FlyHold>(&now.guidance)) {
            inbound_deg = hold->inbound.degrees();
            aid = hold->aid;
        } else if (const auto* reversal = std::get_if<flight::ReverseCourse>(&now.guidance)) {
            inbound_deg = reversal->outbound.degrees() + 180.0;
            aid = reversal->aid;
        }
        const bool heading_in = std::abs(wrapped(heading_deg_ - inbound_deg)) < 50.0;
        const std::size_t receiver = aid ? receiver_on(*aid) : panel_.receiver_count;
        if (receiver < panel_.receiver_count) {
            const auto& shown = panel_.receivers[receiver].shown;
            return heading_in && !shown.flag && std::abs(shown.needle.of_full_scale()) < 0.5;
        }
        if (aid && pointer_is_on(*aid)) {
            const double off_deg = wrapped(heading_deg_ + panel_.pointer.relative.degrees() - inbound_deg);
            return heading_in && std::abs(off_deg) < 6.0;
        }
        return heading_in && mind_.phase >= 3 && in_phase_s() > 20.0;
    }

    bool is_seen(const Step& now, const flight::HeldUntil& end) {
        const auto* hold = std::get_if<flight::FlyHold>(&now.guidance);
        if (hold == nullptr || mind_.phase < 4) {
            mind_.last_to_from = 0;
            mind_.pointer_known = false;
            return false;
        }
        bool passed = false;
        if (hold->aid && in_phase_s() > 3.0) {
            passed = is_behind(*hold->aid, hold->inbound.degrees());
        } else if (!hold->aid) {
            passed = in_phase_s() > hold->outbound_time.value_or(base::Duration(60.0)).count();
        }
        if (!passed) {
            return false;
        }
        const bool high_enough = !end.altitude || panel_.altitude.feet() >= end.altitude->feet() - 20.0;
        const bool climbs = now.heights.vertical != flight::Vertical::descend;
        const bool low_enough = climbs || panel_.altitude.feet() <= now.heights.at_end.feet() + 50.0;
        if (high_enough && low_enough) {
            return true;
        }
        enter_phase(2);
        return false;
    }

    // Inbound the aid is behind when FROM shows, or the pointer's head is past abeam: in a small hold TO may never have shown, the cone being
    // as wide as the hold.
    bool is_behind(const flight::NamedAid& aid, double inbound_deg) const {
        if (std::abs(wrapped(heading_deg_ - inbound_deg)) > 60.0) {
            return false;
        }
        const std::size_t receiver = receiver_on(aid);
        if (receiver < panel_.receiver_count) {
            const auto& on = panel_.receivers[receiver];
            const bool reversed = std::abs(wrapped(course_deg(receiver) - inbound_deg)) > 90.0;
            return !on.shown.flag &&
                   on.shown.to_from == (reversed ? cockpit::ToFrom::to : cockpit::ToFrom::from);
        }
        return pointer_is_on(aid) && std::abs(wrapped(panel_.pointer.relative.degrees())) > 90.0;
    }

    void keep_the_heading_indicator() {
        if (now_s_ - mind_.reset_s > skill_.heading_reset.count() && std::abs(hands_.turn) < 0.1) {
            hands_.heading_reset = true;
            mind_.reset_s = now_s_;
        }
    }

    const flight::Card& card_;
    const Skill& skill_;
    Mind& mind_;
    const Panel& panel_;
    const Whim& whim_;
    double now_s_;
    double passed_s_ = 0.0;
    double heading_deg_ = 0.0;
    Controls hands_;
};

}  // namespace

const Step& step_at(const flight::Card& card, std::size_t at) {
    return at < card.steps.size() ? card.steps[at] : card.missed[at - card.steps.size()];
}

Pilot::Pilot(const flight::Card& card, const Skill& skill) : card_(card), skill_(skill) {}

Mind Pilot::lined_up() const {
    Mind mind;
    for (const auto& receiver : card_.lined_up.receivers) {
        const auto at = static_cast<std::size_t>(receiver.number - 1);
        if (at < mind.receivers.size() && receiver.active) {
            mind.receivers[at] = {receiver.active->frequency, -600.0, true, false};
        }
    }
    if (const auto& distance = card_.lined_up.distance) {
        mind.dme_follows = distance->from == flight::DistanceFrom::receiver ? distance->receiver : 0;
        if (distance->of) {
            mind.dme_of = distance->of->frequency;
            mind.dme_identified = true;
        }
    }
    if (card_.lined_up.adf && card_.lined_up.adf->aid) {
        mind.adf = {card_.lined_up.adf->aid->frequency, -600.0, true, false};
    }
    return mind;
}

bool Pilot::goes_around(Mind& mind) const {
    if (card_.missed.empty() || mind.step >= card_.steps.size()) {
        return false;
    }
    mind.step = card_.steps.size();
    mind.began = false;
    mind.finished = false;
    return true;
}

const flight::Step& Pilot::step_of(const Mind& mind) const {
    return step_at(card_, mind.step);
}

Controls Pilot::look(Mind& mind, const Panel& panel, const Whim& whim) const {
    return Look(card_, skill_, mind, panel, whim).act();
}

}  // namespace omniway::rehearsal
