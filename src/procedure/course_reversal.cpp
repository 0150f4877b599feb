#include "procedure/course_reversal.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "procedure/detail/hold_entry_track.hpp"
#include "procedure/detail/plane_track.hpp"

namespace omniway::procedure {

using aircraft::ApproachCategory;
using base::Angle;
using base::Duration;
using base::Length;
using base::TrueBearing;
using detail::PlaneTrack;
using detail::Way;

namespace {

constexpr double strongest_wind = 0.75;                // of the true airspeed, as for a hold
constexpr Duration usual_outbound = base::minutes(2);  // common practice
constexpr Duration shortest_outbound = base::minutes(0.5);
constexpr Duration longest_outbound = base::minutes(3);
constexpr Duration outbound_step = base::minutes(0.25);

Way way_of(navdata::Turn turn) {
    return turn == navdata::Turn::left ? Way::left : Way::right;
}

Angle turned(Angle size, Way way) {
    return way == Way::right ? size : -size;
}

struct Courses {
    TrueBearing inbound;
    TrueBearing outbound;
    TrueBearing away;
    Way first = Way::left;
    Way back = Way::right;
};

Courses courses_of(const ProcedureTurn& turn, ReversalManner manner) {
    const TrueBearing outbound = turn.inbound.reciprocal();
    Way back = way_of(turn.back);
    if (turn.back != navdata::Turn::left && turn.back != navdata::Turn::right && turn.barb) {
        back = *turn.barb - outbound > Angle() ? Way::left : Way::right;
    }
    const Way first = opposite(back);
    if (manner == ReversalManner::eighty_twosixty) {
        return {turn.inbound, outbound, outbound + turned(Angle::degrees(80.0), first), first, back};
    }
    return {turn.inbound, outbound, turn.barb.value_or(outbound + turned(Angle::degrees(45.0), first)), first,
            back};
}

Duration away_time(ReversalManner manner, ApproachCategory category) {
    if (manner == ReversalManner::eighty_twosixty) {
        return Duration(0.0);
    }
    const bool slow = category == ApproachCategory::a || category == ApproachCategory::b;
    return base::minutes(slow ? 1.0 : 1.25);
}

// A track that has met its outbound course, and when its outbound clock was started.
struct Outbound {
    PlaneTrack track;
    Duration clock_started{0.0};
};

std::optional<Outbound> met_outbound(earth::Position fix, TrueBearing inbound, TrueBearing outbound,
                                     const Motion& motion, TrueBearing arriving, Way at_180,
                                     Length no_farther) {
    const auto held = aircraft::hold_course(arriving, motion.true_airspeed, motion.wind);
    const auto out = aircraft::hold_course(outbound, motion.true_airspeed, motion.wind);
    if (!held || !out) {
        return std::nullopt;
    }
    const PlaneTrack over(fix, motion, held->heading);
    const Way way = shorter_way(held->heading, out->heading, at_180);
    PlaneTrack turning = over;
    turning.turn(out->heading, way);
    const Duration clock = turning.time() + until_abeam(turning, inbound);
    const auto joined = over.joined(outbound, way, no_farther);
    if (!joined) {
        return std::nullopt;
    }
    return Outbound{*joined, clock};
}

struct Attempt {
    PlaneTrack track;
    Duration outbound;
    TrueBearing joining;
    Length farthest;
    bool stays_within = false;

    bool better_than(const Attempt& other) const {
        return stays_within != other.stays_within ? stays_within : farthest < other.farthest;
    }
};

class ProcedureTurnFlown {
public:
    ProcedureTurnFlown(const ProcedureTurn& turn, ReversalManner manner, const Motion& motion,
                       ApproachCategory category)
        : courses_(courses_of(turn, manner)),
          motion_(motion),
          within_(turn.within),
          away_time_(procedure::away_time(manner, category)) {}

    const Courses& courses() const { return courses_; }
    Duration away_time() const { return away_time_; }

    std::optional<aircraft::CourseHeld> held(TrueBearing course) const {
        return aircraft::hold_course(course, motion_.true_airspeed, motion_.wind);
    }

    std::optional<Attempt> after(const Outbound& begun, Duration outbound) const {
        const auto away = held(courses_.away);
        if (!away) {
            return std::nullopt;
        }
        PlaneTrack track = begun.track;
        track.fly(std::max(begun.clock_started + outbound - track.time(), Duration(0.0)));
        const Duration flown = track.time() - begun.clock_started;
        const Duration turn_began = track.time();
        track.turn(away->heading, courses_.first);
        track.fly(std::max(turn_began + away_time_ - track.time(), Duration(0.0)));
        TrueBearing joining = courses_.away.reciprocal();
        auto back = away_time_ > Duration(0.0) ? track.joined_by(joining, courses_.inbound, courses_.back)
                                               : std::nullopt;
        if (!back) {
            joining = courses_.inbound;
            back = track.joined(courses_.inbound, courses_.back, Length());
        }
        if (!back) {
            return std::nullopt;
        }
        const Length farthest = back->farthest();
        const bool fits = farthest <= within_ && back->along(courses_.inbound) <= Length();
        return Attempt{*back, flown, joining, farthest, fits};
    }

    /// The usual outbound time, else the longest shorter one, else the shortest longer one that fits; else the least far.
    std::optional<Attempt> best(const Outbound& begun) const {
        std::optional<Attempt> best;
        const auto fits = [&](Duration outbound) {
            const auto attempt = after(begun, outbound);
            if (attempt && (!best || attempt->better_than(*best))) {
                best = attempt;
            }
            return attempt && attempt->stays_within;
        };
        // The farthest point grows with the outbound time: where the shortest is too far, so are the others.
        if (fits(usual_outbound) || (!fits(shortest_outbound) && best && best->farthest > within_)) {
            return best;
        }
        for (Duration time = usual_outbound - outbound_step; time > shortest_outbound;
             time -= outbound_step) {
            if (const auto attempt = after(begun, time); attempt && attempt->stays_within) {
                return attempt;
            }
        }
        if (best && best->stays_within) {
            return best;
        }
        for (Duration time = usual_outbound + outbound_step; time <= longest_outbound;
             time += outbound_step) {
            if (fits(time)) {
                return best;
            }
        }
        // In a wind that drives it past the fix any that comes back at all is better than none.
        for (Duration time = longest_outbound; !best && time <= base::minutes(15); time += base::minutes(1)) {
            fits(time);
        }
        return best;
    }

private:
    Courses courses_;
    Motion motion_;
    Length within_;
    Duration away_time_;
};

std::string clock_text(Duration time) {
    const long all = std::lround(time.count());
    const long minutes = all / 60;
    const long seconds = all % 60;
    if (minutes == 0) {
        return fmt::format("{} s", seconds);
    }
    return seconds == 0 ? fmt::format("{} min", minutes) : fmt::format("{} min {} s", minutes, seconds);
}

std::string course_text(TrueBearing course, base::Variation variation) {
    const long degrees = std::lround(base::to_magnetic(course, variation).degrees()) % 360;
    return fmt::format("{:03}", degrees == 0 ? 360 : degrees);
}

}  // namespace

TrueBearing outbound_of_barb(TrueBearing barb, navdata::Turn back) {
    return barb + Angle::degrees(back == navdata::Turn::left ? -45.0 : 45.0);
}

std::optional<ReversalTrack> procedure_turn_pieces(const ProcedureTurn& turn, ReversalManner manner,
                                                   const Motion& motion, ApproachCategory category,
                                                   TrueBearing arriving_track) {
    if (motion.wind.speed > motion.true_airspeed * strongest_wind) {
        return std::nullopt;
    }
    const ProcedureTurnFlown flown(turn, manner, motion, category);
    const Courses& courses = flown.courses();
    // The outbound course is met gently where there is room for that, steeply where the distance asks for it.
    std::optional<Attempt> best;
    for (const Duration met_by :
         {base::minutes(2), base::minutes(1), base::minutes(0.5), base::minutes(15)}) {
        const auto begun = met_outbound(turn.fix, courses.inbound, courses.outbound, motion, arriving_track,
                                        courses.first, motion.true_airspeed * met_by);
        const auto attempt = begun ? flown.best(*begun) : std::nullopt;
        if (attempt && (!best || attempt->better_than(*best))) {
            best = attempt;
        }
        if (best && best->stays_within) {
            break;
        }
    }
    if (!best) {
        return std::nullopt;
    }
    return ReversalTrack{.pieces = best->track.pieces(),
                         .outbound = best->outbound,
                         .outbound_heading = flown.held(courses.outbound)->heading,
                         .away = courses.away,
                         .away_heading = flown.held(courses.away)->heading,
                         .away_time = flown.away_time(),
                         .back = courses.back == Way::left ? navdata::Turn::left : navdata::Turn::right,
                         .joining = best->joining,
                         .farthest = best->farthest,
                         .joined_at = -best->track.along(courses.inbound),
                         .stays_within = best->stays_within};
}

std::string to_text(const ReversalTrack& track, base::Variation variation) {
    const bool back_left = track.back == navdata::Turn::left;
    std::string text = fmt::format("outbound {}, then ", clock_text(track.outbound));
    if (track.away) {
        text += fmt::format("{} to {}, ", back_left ? "right" : "left", course_text(*track.away, variation));
        text += track.away_time > Duration(0.0) ? clock_text(track.away_time) + ", " : "at once ";
    }
    return text +
           fmt::format("{} to {}", back_left ? "left" : "right", course_text(track.joining, variation));
}

std::optional<ReversalTrack> base_turn_pieces(const BaseTurn& turn, const Motion& motion,
                                              TrueBearing arriving_track) {
    if (motion.wind.speed > motion.true_airspeed * strongest_wind) {
        return std::nullopt;
    }
    // Outbound, the base turn diverges from the inbound course's reciprocal; the turn back goes to the side of that course.
    const Way back = turn.inbound.reciprocal() - turn.outbound < Angle() ? Way::left : Way::right;
    const auto begun = met_outbound(turn.fix, turn.inbound, turn.outbound, motion, arriving_track,
                                    opposite(back), Length::nautical_miles(50.0));
    const auto out = aircraft::hold_course(turn.outbound, motion.true_airspeed, motion.wind);
    if (!begun || !out) {
        return std::nullopt;
    }
    PlaneTrack track = begun->track;
    track.fly(std::max(begun->clock_started + turn.time - track.time(), Duration(0.0)));
    const Duration flown = track.time() - begun->clock_started;
    const auto joined = track.joined(turn.inbound, back, Length());
    if (!joined) {
        return std::nullopt;
    }
    return ReversalTrack{.pieces = joined->pieces(),
                         .outbound = flown,
                         .outbound_heading = out->heading,
                         .away = std::nullopt,
                         .away_heading = std::nullopt,
                         .away_time = Duration(0.0),
                         .back = back == Way::left ? navdata::Turn::left : navdata::Turn::right,
                         .joining = turn.inbound,
                         .farthest = joined->farthest(),
                         .joined_at = -joined->along(turn.inbound),
                         .stays_within = true};
}

bool racetrack_time_allowed(Duration outbound) {
    const double half_minutes = outbound.count() / 30.0;
    return half_minutes >= 2.0 && half_minutes <= 6.0 && half_minutes == std::floor(half_minutes);
}

Duration longest_offset(Duration outbound) {
    return outbound > base::minutes(1.0) ? base::minutes(1.5) : base::minutes(1.0);
}

std::optional<EntryTrack> racetrack_entry_pieces(const Hold& racetrack, HoldEntry entry, const Motion& motion,
                                                 TrueBearing arriving_track) {
    const auto* time = std::get_if<Duration>(&racetrack.leg);
    return detail::hold_entry_track(racetrack, entry, motion, arriving_track,
                                    time ? std::optional(longest_offset(*time)) : std::nullopt);
}

}  // namespace omniway::procedure
