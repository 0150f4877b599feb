#include "procedure/flown.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "aircraft/wind_triangle.hpp"
#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "earth/intersection.hpp"
#include "procedure/detail/leg_shape.hpp"
#include "procedure/detail/pace.hpp"
#include "procedure/hold_limits.hpp"
#include "procedure/holding.hpp"
#include "procedure/reversal_rules.hpp"
#include "procedure/turning.hpp"

namespace omniway::procedure {

using base::Altitude;
using base::Angle;
using base::Length;
using base::Speed;
using base::TrueBearing;
using detail::LegShape;
using navdata::Turn;

namespace {

// trade-facts 21: intercept angles; 8.4: the largest turn that a fix is led for.
constexpr Angle steepest_en_route = Angle::degrees(45.0);
constexpr Angle steepest_onto_localizer = Angle::degrees(30.0);
constexpr Angle steepest_of_all = Angle::degrees(90.0);
constexpr Angle largest_anticipated = Angle::degrees(120.0);

// What stands closer is one place: published fixes are rounded to 0.1 NM along an arc, positions to 0.3 m.
constexpr Length same_fix = Length::nautical_miles(0.1);
constexpr Length not_worth_a_piece = Length::metres(1.0);
// A straight as short as that points anywhere if it is drawn from place to place.
constexpr Length direction_of_its_own = Length::metres(200.0);
// Courses coded from aids of old declination differ by degrees from the line between two records.
constexpr Angle course_rounding = Angle::degrees(5.0);
constexpr Angle no_turn = Angle::degrees(0.05);
constexpr Length drawn_without_end = Length::nautical_miles(3.0);
constexpr Length farthest_ahead = Length::nautical_miles(30.0);

// What is flown at the end of a leg, before its fix, belongs to the next leg.
struct Exit {
    Length before;  // the end of the leg, along it
    AirTurn turn;
};

class Flyer {
public:
    Flyer(const navdata::Snapshot& world, std::span<const PlacedLeg> legs, const FlownBy& by,
          const FlownStart& start)
        : world_(world), legs_(legs), by_(by), pace_(legs, by, start.phase), altitude_(start.altitude) {
        shapes_.reserve(legs.size());
        for (const PlacedLeg& leg : legs) {
            shapes_.push_back(detail::shape_of(world, leg));
        }
        if (start.place) {
            now_.place = *start.place;
            somewhere_ = true;
        }
        if (start.track) {
            now_.track = *start.track;
            on_a_track_ = true;
        }
    }

    FlownPath result() {
        FlownPath path;
        path.legs.reserve(legs_.size());
        for (index_ = 0; index_ < legs_.size(); ++index_) {
            leg_ = FlownLeg{};
            leg_.leg = index_;
            leg_.at_start = altitude_;
            leg_.coded_end = detail::end_fix(shapes_[index_]);
            ends_at_.reset();
            motion_ = motion_of(index_);
            if (pending_) {
                push(*pending_);
                pending_.reset();
            }
            std::visit([this](const auto& shape) { fly(shape); }, shapes_[index_]);
            leg_.at_end = ends_at_.value_or(pace_.after(index_, leg_.at_start, leg_.time()));
            altitude_ = leg_.at_end;
            path.legs.push_back(std::move(leg_));
        }
        return path;
    }

private:
    const PlacedLeg& placed() const { return legs_[index_]; }
    Turn side() const { return placed().coded->turn; }
    const LegShape* next() const { return index_ + 1 < shapes_.size() ? &shapes_[index_ + 1] : nullptr; }

    void fall_back(Fallback why) {
        if (!leg_.fallback) {
            leg_.fallback = why;
        }
    }

    // A wind in which no heading holds every track is left out, and said so where it is flown in.
    Motion motion_of(std::size_t index) {
        Motion motion = motion_at(pace_.true_airspeed(index, altitude_), by_.wind);
        if (by_.wind.speed >= motion.true_airspeed * 0.9) {
            motion.wind = {};
            if (index == index_) {
                fall_back(Fallback::wind_too_strong);
            }
        }
        return motion;
    }

    Speed groundspeed(TrueBearing track) const {
        const auto held = aircraft::hold_course(track, motion_.true_airspeed, motion_.wind);
        return held ? held->groundspeed : motion_.true_airspeed;
    }

    void push(const TrackPiece& piece) {
        leg_.pieces.push_back(piece);
        now_ = finish_of(piece);
    }

    void push_all(const std::vector<TrackPiece>& pieces) {
        if (pieces.empty()) {
            return;
        }
        leg_.pieces.insert(leg_.pieces.end(), pieces.begin(), pieces.end());
        now_ = finish_of(pieces.back());
    }

    void straight_ahead(Length length) {
        if (length > not_worth_a_piece) {
            push(Straight{now_.place, now_.track, length, groundspeed(now_.track)});
        }
    }

    // To a place on the track flown: what is left beside it is the error of the join before.
    void straight_to(earth::Position place) {
        const earth::Geodesic line = earth::geodesic(now_.place, place);
        if (line.distance > direction_of_its_own) {
            push(Straight{now_.place, line.initial, line.distance, groundspeed(line.initial)});
        } else if (line.distance > not_worth_a_piece) {
            straight_ahead(line.distance * base::cos(line.initial - now_.track));
        }
    }

    // The first leg that is flown says where and how the path begins, as far as the start does not.
    void begin(earth::Position place, TrueBearing track) {
        if (!somewhere_) {
            now_.place = place;
        }
        if (!on_a_track_) {
            now_.track = track;
        }
        somewhere_ = on_a_track_ = true;
    }

    bool flown_over() const { return detail::ends_overhead(world_, placed()); }

    // The turn that leads the end of a leg arriving at its fix, onto what comes next: none where the fix is flown over.
    std::optional<Exit> exit_from(const OnTrack& at_fix, Length room) {
        if (next() == nullptr || flown_over()) {
            return std::nullopt;
        }
        const Motion motion = motion_of(index_ + 1);
        const Turn turn_side = legs_[index_ + 1].coded->turn;
        if (const auto* round = std::get_if<detail::Round>(next())) {
            const auto onto =
                turn_onto_circle(at_fix, round->circle, {-room, Length::nautical_miles(1.0)}, motion);
            return onto && abs(onto->turn.turned) > no_turn ? std::optional(Exit{-onto->ahead, onto->turn})
                                                            : std::nullopt;
        }
        const Line* line = line_of(*next());
        if (line == nullptr) {
            return std::nullopt;
        }
        const auto onto = turn_onto_line(at_fix, *line, turn_side, motion);
        if (!onto || abs(onto->turn.turned) > largest_anticipated || abs(onto->turn.turned) < no_turn ||
            onto->ahead > Length() || -onto->ahead > room) {
            return std::nullopt;
        }
        return Exit{-onto->ahead, onto->turn};
    }

    static const Line* line_of(const LegShape& shape) {
        if (const auto* to = std::get_if<detail::LineTo>(&shape)) {
            return &to->line;
        }
        if (const auto* from = std::get_if<detail::LineFrom>(&shape)) {
            return &from->line;
        }
        return nullptr;
    }

    void leave(const Exit& exit) {
        pending_ = exit.turn;
        leg_.anticipated = true;
    }

    // Onto a line before a place along it; false where that cannot be.
    bool join(const Line& line, bool onto_localizer, Length not_beyond) {
        JoinRule rule{onto_localizer ? steepest_onto_localizer : steepest_en_route, side(), not_beyond};
        auto joined = join_line(now_, line, rule, motion_);
        if (!joined) {
            return false;
        }
        push_all(joined->pieces);
        return true;
    }

    bool join_steeply(const Line& line, Length not_beyond) {
        const auto joined = join_line(now_, line, {steepest_of_all, side(), not_beyond}, motion_);
        if (!joined) {
            return false;
        }
        push_all(joined->pieces);
        fall_back(Fallback::steep_intercept);
        return true;
    }

    void direct(earth::Position fix) {
        if (earth::distance(now_.place, fix) < same_fix) {
            return;
        }
        auto turn = turn_direct(now_, fix, side(), motion_);
        if (!turn) {
            // The fix lies inside the turn: straight on until it does not.
            straight_ahead(motion_.turn.radius * 2.0);
            turn = turn_direct(now_, fix, side(), motion_);
        }
        if (!turn) {
            fall_back(Fallback::fix_inside_the_turn);
            straight_to(fix);
            return;
        }
        if (abs(turn->turned) > no_turn) {
            push(*turn);
        }
    }

    void fly(const detail::BeginsAt& shape) {
        if (!somewhere_ || earth::distance(now_.place, shape.fix) < same_fix) {
            if (!somewhere_) {
                now_.place = shape.fix;
            }
            somewhere_ = true;
            return;
        }
        if (index_ > 0) {
            fall_back(Fallback::start_unknown);
        }
        fly(detail::DirectTo{shape.fix});
    }

    void fly(const detail::LineTo& shape) {
        begin_on_line(shape.line);
        if (arrived(shape.line)) {
            return;
        }
        const Length room = earth::distance(now_.place, shape.line.through);
        const auto exit = exit_from({shape.line.through, shape.line.track}, room);
        const Length before_end = exit ? -exit->before : Length();
        if (exit && join(shape.line, shape.onto_localizer, before_end)) {
            straight_to(earth::destination(shape.line.through, shape.line.track, before_end));
            leave(*exit);
            return;
        }
        if (join(shape.line, shape.onto_localizer, Length()) || join_steeply(shape.line, Length())) {
            straight_to(shape.line.through);
            return;
        }
        fall_back(Fallback::no_room_to_join);
        direct(shape.line.through);
        straight_to(shape.line.through);
    }

    // Over the fix on its course: as a hold in lieu of a procedure turn leaves it, where a course to that fix is coded next.
    bool arrived(const Line& line) const {
        return earth::distance(now_.place, line.through) < same_fix &&
               abs(now_.track - line.track) < course_rounding;
    }

    void begin_on_line(const Line& line) {
        if (!somewhere_) {
            begin(placed().start, placed().track);
        } else if (!on_a_track_) {
            const bool there = earth::distance(now_.place, line.through) < not_worth_a_piece;
            begin(now_.place, there ? line.track : earth::bearing(now_.place, line.through));
        }
    }

    void fly(const detail::DirectTo& shape) {
        if (!on_a_track_) {
            begin(placed().start, earth::bearing(somewhere_ ? now_.place : placed().start, shape.fix));
        }
        direct(shape.fix);
        const earth::Geodesic line = earth::geodesic(now_.place, shape.fix);
        if (line.distance < same_fix) {
            straight_to(shape.fix);
            return;
        }
        const auto exit = exit_from({shape.fix, line.arrival}, line.distance);
        if (exit) {
            straight_to(earth::destination(shape.fix, line.arrival, -exit->before));
            leave(*exit);
        } else {
            straight_to(shape.fix);
        }
    }

    void fly(const detail::LineFrom& shape) {
        begin(shape.line.through, shape.line.track);
        if (!join(shape.line, shape.onto_localizer, farthest_ahead)) {
            fall_back(Fallback::no_room_to_join);
        }
        if (const auto* length = std::get_if<detail::UntilLength>(&shape.until)) {
            // Its distance counts from the fix, wherever the line was joined.
            const earth::AlongAcross at = earth::along_across(
                earth::destination(shape.line.through, shape.line.track, -Length::nautical_miles(30.0)),
                shape.line.through, now_.place);
            straight_ahead(length->length - (at.along - Length::nautical_miles(30.0)));
            return;
        }
        fly_until(shape.until);
    }

    void fly(const detail::CourseOn& shape) {
        begin(placed().start,
              shape.is_heading ? over_ground(shape.direction, motion_).track : shape.direction);
        const auto turn = shape.is_heading ? turn_to_heading(now_, shape.direction, side(), motion_)
                                           : turn_to_track(now_, shape.direction, side(), motion_);
        if (turn && abs(turn->turned) > no_turn && !already_there(shape.until)) {
            push(*turn);
        }
        fly_until(shape.until);
    }

    bool already_there(const detail::Until& until) const {
        const auto* altitude = std::get_if<detail::UntilAltitude>(&until);
        return altitude != nullptr && pace_.climbs(index_) && altitude_ >= altitude->altitude;
    }

    void fly_until(const detail::Until& until) {
        std::visit([this](const auto& end) { fly_to(end); }, until);
    }

    void fly_to(const detail::UntilLength& end) { straight_ahead(end.length); }

    void fly_to(const detail::UntilUnknown& end) {
        fall_back(end.why);
        straight_ahead(drawn_without_end);
    }

    void fly_to(const detail::UntilAltitude& end) {
        const auto time = pace_.until(altitude_, end.altitude);
        if (!time) {
            fall_back(Fallback::altitude_never_reached);
            straight_ahead(drawn_without_end);
            return;
        }
        ends_at_ = pace_.climbs(index_) ? std::max(altitude_, end.altitude) : end.altitude;
        straight_ahead(groundspeed(now_.track) * std::max(base::Duration(0.0), *time - leg_.time()));
    }

    // The slant range shown at the height that the aircraft has by then: found again once the time is known.
    void fly_to(const detail::UntilShown& end) {
        const navdata::DistancePart& dme = *world_[end.station].dme;
        std::optional<Length> ahead;
        Altitude altitude = pace_.after(index_, altitude_, leg_.time());
        for (int i = 0; i < 3; ++i) {
            const double height_m = (altitude - dme.elevation.value_or(Altitude())).metres();
            const double slant_m = (end.shown + dme.bias).metres();
            if (slant_m <= std::abs(height_m)) {
                break;
            }
            const Length ground = Length::metres(std::sqrt(slant_m * slant_m - height_m * height_m));
            ahead = nearest(earth::intersect(now_.place, now_.track, dme.position, ground));
            if (!ahead) {
                break;
            }
            altitude = pace_.after(index_, altitude_, leg_.time() + *ahead / groundspeed(now_.track));
        }
        end_ahead(ahead, Fallback::distance_never_read);
    }

    void fly_to(const detail::UntilBearing& end) {
        const auto place = earth::intersect(now_.place, now_.track, end.aid, end.bearing);
        end_ahead(place ? std::optional(earth::distance(now_.place, *place)) : std::nullopt,
                  Fallback::radial_never_crossed);
    }

    std::optional<Length> nearest(const std::vector<earth::Position>& places) const {
        return places.empty() ? std::nullopt : std::optional(earth::distance(now_.place, places.front()));
    }

    void end_ahead(const std::optional<Length>& ahead, Fallback otherwise) {
        if (!ahead) {
            fall_back(otherwise);
        }
        straight_ahead(ahead.value_or(drawn_without_end));
    }

    // The needle of the next course comes to the centre: the turn onto it begins so that it ends there.
    void fly_to(const detail::UntilIntercept&) {
        std::optional<Exit> exit;
        if (next() != nullptr) {
            const Motion motion = motion_of(index_ + 1);
            if (const Line* line = line_of(*next())) {
                const auto onto = turn_onto_line(now_, *line, legs_[index_ + 1].coded->turn, motion);
                if (onto) {
                    exit = Exit{onto->ahead, onto->turn};
                }
            } else if (const auto* round = std::get_if<detail::Round>(next())) {
                const auto onto = turn_onto_circle(now_, round->circle, {Length(), farthest_ahead}, motion);
                if (onto) {
                    exit = Exit{onto->ahead, onto->turn};
                }
            }
        }
        if (!exit || exit->before < Length() || exit->before > farthest_ahead) {
            fall_back(Fallback::course_never_met);
            return;
        }
        straight_ahead(exit->before);
        leave(*exit);
    }

    void fly(const detail::Round& shape) {
        const Circle& circle = shape.circle;
        const Angle quarter = Angle::degrees(circle.clockwise ? 90.0 : -90.0);
        if (!on_a_track_) {
            const earth::Position from = somewhere_ ? now_.place : placed().start;
            const TrueBearing out = earth::bearing(circle.centre, from);
            const earth::Position on_it = earth::destination(circle.centre, out, circle.radius);
            begin(on_it, earth::bearing(on_it, circle.centre).reciprocal() + quarter);
            // A fix is published to 0.1 NM of its arc: the path begins on the arc.
            now_.place = earth::distance(from, on_it) < same_fix ? on_it : now_.place;
        }
        if (!onto_circle(circle, quarter)) {
            fall_back(Fallback::arc_not_joined);
            straight_to(
                earth::destination(circle.centre, earth::bearing(circle.centre, now_.place), circle.radius));
        }
        const TrueBearing begins = earth::bearing(circle.centre, now_.place);
        const TrueBearing fix = earth::bearing(circle.centre, shape.fix);
        const auto off = turn_off(circle, fix);
        Angle swept = around(off ? off->leaves : fix, begins, circle.clockwise);
        const bool exits = off && abs(swept) < Angle::degrees(340.0);
        if (!exits) {
            swept = around(fix, begins, circle.clockwise);
        }
        if (abs(swept) > Angle::degrees(340.0)) {
            // The arc is joined beyond its end.
            fall_back(Fallback::no_room_to_join);
            return;
        }
        push(GroundArc{circle.centre, circle.radius, begins, swept, groundspeed(now_.track)});
        if (exits) {
            pending_ = off->turn;
            leg_.anticipated = true;
        }
    }

    static Angle around(TrueBearing to, TrueBearing from, bool clockwise) {
        const double shorter = (to - from).degrees();
        if (std::abs(shorter) < 1e-6) {
            return {};
        }
        return Angle::degrees(clockwise ? (shorter < 0.0 ? shorter + 360.0 : shorter)
                                        : (shorter > 0.0 ? shorter - 360.0 : shorter));
    }

    // Along the circle, from wherever the aircraft is; false where no turn leads there.
    bool onto_circle(const Circle& circle, Angle quarter) {
        const earth::Geodesic out = earth::geodesic(circle.centre, now_.place);
        const Angle off = now_.track - (out.arrival + quarter);
        if (abs(out.distance - circle.radius) < Length::metres(5.0) && abs(off) < Angle::degrees(0.3)) {
            return true;
        }
        const Reach ahead{Length(), farthest_ahead};
        if (const auto onto = turn_onto_circle(now_, circle, ahead, motion_)) {
            straight_ahead(onto->ahead);
            push(onto->turn);
            return true;
        }
        // Turned over its beginning: more is turned until another turn leads back onto it.
        for (int i = 1; i <= 36; ++i) {
            for (const double sign : {1.0, -1.0}) {
                const auto turn = turn_to_track(now_, now_.track + Angle::degrees(sign * 5.0 * i),
                                                sign > 0.0 ? Turn::right : Turn::left, motion_);
                if (!turn || abs(turn->turned) < no_turn) {
                    continue;
                }
                const auto onto = turn_onto_circle(finish_of(*turn), circle,
                                                   {Length(), Length::nautical_miles(5.0)}, motion_);
                if (onto && abs(onto->turn.turned) <= steepest_en_route) {
                    push(*turn);
                    straight_ahead(onto->ahead);
                    push(onto->turn);
                    return true;
                }
            }
        }
        return false;
    }

    std::optional<TurnOffCircle> turn_off(const Circle& circle, TrueBearing fix) {
        const Line* line = next() != nullptr && !flown_over() ? line_of(*next()) : nullptr;
        if (line == nullptr) {
            return std::nullopt;
        }
        auto off = turn_off_circle(circle, fix, *line, legs_[index_ + 1].coded->turn, motion_of(index_ + 1));
        return off && abs(off->turn.turned) <= largest_anticipated ? off : std::nullopt;
    }

    void over(earth::Position fix, TrueBearing track) {
        begin(fix, track);
        if (earth::distance(now_.place, fix) >= same_fix) {
            direct(fix);
            straight_to(fix);
        }
    }

    void fly(const detail::Reversed& shape) {
        over(shape.turn.fix, shape.turn.inbound.reciprocal());
        ProcedureTurn turn = shape.turn;
        auto reversal = reversed(turn);
        const Length beyond = inbound_fix_beyond(turn);
        if (reversal && reversal->joined_at < beyond) {
            // The course is met again inside the next fix: the turn begins farther out, as its chart would have it.
            const Length farther = beyond - reversal->joined_at;
            const TrueBearing outbound = turn.inbound.reciprocal();
            const Line line{
                earth::destination(turn.fix, outbound, farther),
                earth::geodesic(turn.fix, earth::destination(turn.fix, outbound, farther)).arrival};
            turn.fix = line.through;
            turn.inbound = line.track.reciprocal();
            turn.within = std::max(turn.within - farther, Length::nautical_miles(1.0));
            if (join(line, false, Length())) {
                straight_to(line.through);
            }
            reversal = reversed(turn);
        }
        if (!reversal || !reversal->stays_within) {
            fall_back(Fallback::reversal_not_fitted);
        }
        if (reversal) {
            push_all(reversal->pieces);
        }
    }

    std::optional<ReversalTrack> reversed(const ProcedureTurn& turn) const {
        return procedure_turn_pieces(turn, by_.reversal, motion_, pace_.category(), now_.track);
    }

    // How far out the next fix lies that is flown to inbound, with half a mile to be established before it: common practice, no
    // source. Zero where it is the fix of the reversal itself, or lies beyond it.
    Length inbound_fix_beyond(const ProcedureTurn& turn) const {
        const auto* to = next() != nullptr ? std::get_if<detail::LineTo>(next()) : nullptr;
        if (to == nullptr) {
            return {};
        }
        const earth::Geodesic out = earth::geodesic(turn.fix, to->line.through);
        const bool outbound = abs(out.initial - turn.inbound.reciprocal()) < Angle::degrees(30.0);
        return outbound && out.distance > same_fix ? out.distance + Length::nautical_miles(0.5) : Length();
    }

    void fly(const detail::Holding& shape) {
        over(shape.fix, shape.inbound);
        motion_.turn = hold_turn(motion_.true_airspeed, by_.criteria);
        const HoldTime timed = hold_time(altitude_, by_.criteria);
        const Hold hold{shape.fix, shape.inbound, shape.side, shape.leg.value_or(timed.time), timed.leg};
        const auto one = circuit(hold, motion_);
        const auto held = aircraft::hold_course(now_.track, motion_.true_airspeed, motion_.wind);
        const auto entry = one && held
                               ? entry_pieces(hold, hold_entry(held->heading, shape.inbound, shape.side),
                                              motion_, now_.track)
                               : std::nullopt;
        if (!entry) {
            fall_back(Fallback::wind_too_strong);
            return;
        }
        if (!one->as_asked || !entry->as_asked) {
            fall_back(Fallback::hold_lengthened);
        }
        push_all(entry->pieces);
        if (!shape.circuits) {
            return;
        }
        int circuits = 1;
        if (shape.until) {
            circuits = circuits_needed(*one, *shape.until);
            ends_at_ = std::max(altitude_, *shape.until);
        }
        for (int i = 0; i < circuits; ++i) {
            push_all(one->pieces);
        }
    }

    // After the entry, until the altitude is reached: none where the entry is climb enough.
    int circuits_needed(const HoldCircuit& one, Altitude until) {
        const auto time = pace_.until(altitude_, until);
        if (!time) {
            fall_back(Fallback::altitude_never_reached);
            return 1;
        }
        base::Duration round(0.0);
        for (const TrackPiece& piece : one.pieces) {
            round += time_of(piece);
        }
        const double left = (*time - leg_.time()).count() / round.count();
        return std::clamp(static_cast<int>(std::ceil(left)), 0, 20);
    }

    void fly(const detail::Unplaced& shape) {
        fall_back(shape.why);
        begin(shape.start, placed().track);
        straight_to(shape.finish);
    }

    const navdata::Snapshot& world_;
    std::span<const PlacedLeg> legs_;
    const FlownBy& by_;
    detail::Pace pace_;
    std::vector<LegShape> shapes_;
    std::size_t index_ = 0;
    OnTrack now_;
    bool somewhere_ = false;
    bool on_a_track_ = false;
    Altitude altitude_;
    Motion motion_;
    std::optional<AirTurn> pending_;
    std::optional<Altitude> ends_at_;
    FlownLeg leg_;
};

}  // namespace

std::string to_text(Fallback reason) {
    switch (reason) {
        case Fallback::wind_too_strong:
            return "no heading holds its track in this wind: drawn in still air";
        case Fallback::steep_intercept:
            return "its line is met before its end only at a steep intercept";
        case Fallback::no_room_to_join:
            return "its line is not reached before its end: flown direct to its fix";
        case Fallback::arc_not_joined:
            return "no turn leads onto its arc: drawn straight to where it begins";
        case Fallback::fix_inside_the_turn:
            return "no turn leads back to its fix: drawn straight to it";
        case Fallback::course_never_met:
            return "what is flown does not meet the course of the next leg";
        case Fallback::distance_never_read:
            return "the DME never shows its distance on what is flown";
        case Fallback::radial_never_crossed:
            return "what is flown does not cross its radial";
        case Fallback::altitude_never_reached:
            return "its altitude is above the ceiling";
        case Fallback::aid_unknown:
            return "the aid it needs has no record";
        case Fallback::start_unknown:
            return "the leg before it is not placed";
        case Fallback::ending_not_coded:
            return "nothing coded ends it";
        case Fallback::reversal_not_fitted:
            return "its reversal does not keep within what is coded";
        case Fallback::hold_lengthened:
            return "in this wind no hold of its time or distance returns to its fix: it is longer";
    }
    return {};
}

Length FlownLeg::length() const {
    Length all;
    for (const TrackPiece& piece : pieces) {
        all += length_of(piece);
    }
    return all;
}

base::Duration FlownLeg::time() const {
    base::Duration all(0.0);
    for (const TrackPiece& piece : pieces) {
        all += time_of(piece);
    }
    return all;
}

Length FlownPath::length() const {
    Length all;
    for (const FlownLeg& leg : legs) {
        all += leg.length();
    }
    return all;
}

base::Duration FlownPath::time() const {
    base::Duration all(0.0);
    for (const FlownLeg& leg : legs) {
        all += leg.time();
    }
    return all;
}

std::vector<TrackPiece> FlownPath::pieces() const {
    std::vector<TrackPiece> all;
    for (const FlownLeg& leg : legs) {
        all.insert(all.end(), leg.pieces.begin(), leg.pieces.end());
    }
    return all;
}

std::optional<OnTrack> FlownPath::end() const {
    for (auto leg = legs.rbegin(); leg != legs.rend(); ++leg) {
        if (!leg->pieces.empty()) {
            return finish_of(leg->pieces.back());
        }
    }
    return std::nullopt;
}

base::Altitude FlownPath::end_altitude() const {
    return legs.empty() ? base::Altitude() : legs.back().at_end;
}

FlownPath fly(const navdata::Snapshot& world, std::span<const PlacedLeg> legs, const FlownBy& by,
              const FlownStart& start) {
    OMNIWAY_EXPECTS(by.aircraft != nullptr);
    return Flyer(world, legs, by, start).result();
}

}  // namespace omniway::procedure
