#include "procedure/path.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "earth/intersection.hpp"
#include "earth/same_place.hpp"
#include "procedure/hold_limits.hpp"
#include "procedure/reversal_rules.hpp"
#include "radio/along_path.hpp"
#include "radio/reception.hpp"

namespace omniway::procedure {

using base::Angle;
using base::Finding;
using base::Grade;
using base::Length;
using navdata::Leg;
using navdata::PathTerminator;
using navdata::StationId;

namespace {

// Coded distances are rounded to 0.1 NM and run from or to thresholds a little apart from the fix: beyond half a mile a leg
// is missing in between.
constexpr double largest_length_disagreement_nm = 0.5;
constexpr Length probe_length = Length::nautical_miles(3.0);
constexpr Length search_radius = Length::nautical_miles(45.0);

std::optional<base::Declination> declination_of(const navdata::Station& station) {
    if (const auto* azimuth = navdata::vor(station)) {
        return azimuth->declination;
    }
    if (const auto* azimuth = navdata::localizer(station)) {
        return azimuth->declination;
    }
    if (const auto* azimuth = navdata::ndb(station)) {
        return base::Declination::east(azimuth->variation.east());
    }
    return std::nullopt;
}

std::optional<StationId> station_at(const std::optional<navdata::Point>& point) {
    if (point) {
        if (const auto* id = std::get_if<StationId>(&*point)) {
            return *id;
        }
    }
    return std::nullopt;
}

std::optional<StationId> recommended_station(const navdata::Snapshot& world, const Leg& leg) {
    return leg.recommended ? station_at(world.resolve(*leg.recommended)) : std::nullopt;
}

// Published theta and rho agree with the records within 0.1 NM and 0.1 degrees (real data tests); half a mile is no rounding.
constexpr Length arc_tolerance = Length::nautical_miles(0.5);

// A course joined from a fix beside it is flown by eye of the needle for a mile, not farther.
// Of a leg against the line of an aid that no row names: what the coded tenths of a degree and whole degrees of declination leave.
constexpr double largest_skew_deg = 1.0;
constexpr Length largest_gap = Length::nautical_miles(1.0);

// How far round from one bearing to another, one way.
template <class North>
Angle swept_between(base::Bearing<North> from, base::Bearing<North> to, bool clockwise) {
    const double turn = (to - from).degrees();
    return Angle::degrees(clockwise ? (turn < 0 ? turn + 360 : turn) : (turn > 0 ? 360 - turn : -turn));
}

bool ends_at_its_fix(PathTerminator t) {
    return t == PathTerminator::IF || t == PathTerminator::TF || t == PathTerminator::CF ||
           t == PathTerminator::DF || t == PathTerminator::AF || t == PathTerminator::RF ||
           t == PathTerminator::HF || t == PathTerminator::HA || t == PathTerminator::HM;
}

class Placer {
public:
    Placer(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
           std::span<const Leg* const> legs, const PathContext& context)
        : world_(world), ground_(ground), aboard_(aboard), legs_(legs), context_(context) {
        for (const Leg* leg : legs_) {
            if (const auto aid = recommended_station(world_, *leg)) {
                published_.push_back(*aid);
            }
        }
        if (context_.localizer) {
            published_.push_back(*context_.localizer);
        }
    }

    PlacedPath result() {
        for (index_ = 0; index_ < legs_.size(); ++index_) {
            const Leg& leg = *legs_[index_];
            on_final_ = !context_.missed && (on_final_ || leg.is_missed_approach_point());
            area_navigation_ = false;
            place(leg);
            on_final_ = on_final_ || leg.is_final_approach_fix();
        }
        if (!context_.missed) {
            judge_turns();
        }
        return std::move(path_);
    }

private:
    // Turns from one leg onto the next up to the final fix: none over 120 degrees, a lead radial over 70 (trade-facts 8.4).
    void judge_turns() {
        for (std::size_t i = 0; i + 1 < path_.legs.size(); ++i) {
            const PlacedLeg& before = path_.legs[i];
            const PlacedLeg& after = path_.legs[i + 1];
            if (before.coded->is_final_approach_fix()) {
                return;
            }
            if (turns_there(before, after)) {
                judge_turn(before, after);
            }
        }
    }

    // Holds and reversals have entries of their own, and an arc its lead radial; a leg with an arc before or after it is led by it.
    static bool turns_there(const PlacedLeg& before, const PlacedLeg& after) {
        const PathTerminator ends = before.coded->terminator;
        const PathTerminator begins = after.coded->terminator;
        const bool to_line = begins == PathTerminator::TF || begins == PathTerminator::CF ||
                             begins == PathTerminator::FC || begins == PathTerminator::FD;
        return (ends == PathTerminator::TF || ends == PathTerminator::CF || ends == PathTerminator::DF) &&
               to_line && before.to && earth::distance(before.finish, after.start) < earth::same_place &&
               earth::distance(before.start, before.finish) > earth::same_place;
    }

    void judge_turn(const PlacedLeg& before, const PlacedLeg& after) {
        const base::TrueBearing arriving = earth::geodesic(before.start, before.finish).arrival;
        const TurnAtFix turn = turn_at_fix(arriving, after.track);
        if (turn.allowed == TurnAllowed::never) {
            refuse(*after.coded, "turn_too_large",
                   fmt::format("turns {:.0f} degrees at {}: 120 at most without a course reversal",
                               turn.turn.degrees(), before.to->ident));
        } else if (turn.allowed == TurnAllowed::with_lead_radial) {
            note_lead(before, after, arriving, turn.turn);
        }
    }

    // Of a VOR or beacon; a localizer has one line, and its needle coming off the stop is the lead it gives.
    void note_lead(const PlacedLeg& before, const PlacedLeg& after, base::TrueBearing arriving, Angle turn) {
        const auto guide = station_of(after.guidance);
        if (!guide || navdata::localizer(world_[*guide]) != nullptr) {
            return;
        }
        const Motion motion{context_.holding_speed, {}, aircraft::planned_turn(context_.holding_speed)};
        const std::string what = fmt::format("turns {:.0f} degrees at {}", turn.degrees(), before.to->ident);
        std::vector<StationId> aids{*guide};
        aids.insert(aids.end(), published_.begin(), published_.end());
        for (const StationId aid : aids) {
            if (navdata::localizer(world_[aid]) != nullptr) {
                continue;
            }
            if (const auto lead =
                    lead_radial(before.finish, arriving, after.track, navdata::site(world_[aid]), motion)) {
                const auto radial = navdata::radial_of(world_[aid], lead->place);
                note(*after.coded, Grade::notes, "lead_radial",
                     what + fmt::format(": begin {:.1f} NM before it, where {}", lead->lead.nautical_miles(),
                                        radial ? fmt::format("radial {:03.0f} of {} is crossed",
                                                             radial->degrees(), world_[aid].ident)
                                               : fmt::format("{} bears {:03.0f} true", world_[aid].ident,
                                                             lead->bearing.reciprocal().degrees())));
                return;
            }
        }
        note(*after.coded, Grade::warns, "lead_radial_missing",
             what + ", and no aid it names gives a lead radial: more than 70 want one");
    }

    void refuse(const Leg& leg, const std::string& code, const std::string& why,
                const std::string& remedy = {}) {
        path_.findings.push_back({Grade::blocks, "procedure." + code, about(leg), why, remedy});
    }

    std::string about(const Leg& leg) const {
        return fmt::format(
            "{}, leg {:03} {}", context_.name, leg.sequence,
            navdata::to_text(leg.terminator) + (leg.fix ? " " + leg.fix->ident : std::string()));
    }

    const Leg* next_leg() const { return index_ + 1 < legs_.size() ? legs_[index_ + 1] : nullptr; }

    // The leg whose course a procedure turn is turned onto: the one after the fix where the shared part begins, where that follows it.
    const Leg* inbound_of_reversal() const {
        const Leg* next = next_leg();
        return next != nullptr && next->terminator == PathTerminator::IF
                   ? (index_ + 2 < legs_.size() ? legs_[index_ + 2] : nullptr)
                   : next;
    }

    base::Altitude altitude_at(const Leg& leg) const {
        if (leg.altitude_1) {
            return *leg.altitude_1;
        }
        for (auto it = path_.legs.rbegin(); it != path_.legs.rend(); ++it) {
            if (it->coded->altitude_1) {
                return *it->coded->altitude_1;
            }
        }
        return context_.airport_elevation + Length::feet(2000);
    }

    std::vector<StationId> candidates_named(const Leg& leg) const {
        std::vector<StationId> all;
        const auto add = [&](std::optional<StationId> id) {
            if (id && std::find(all.begin(), all.end(), *id) == all.end()) {
                all.push_back(*id);
            }
        };
        add(recommended_station(world_, leg));
        if (context_.localizer && !context_.missed) {
            add(context_.localizer);
        }
        if (!path_.legs.empty()) {
            add(station_of(path_.legs.back().guidance));
        }
        if (const Leg* next = next_leg()) {
            add(recommended_station(world_, *next));
        }
        for (const StationId id : published_) {
            add(id);
        }
        return all;
    }

    // The publication is flown and checked on the aids it names, which may so be used beyond their volume; an aid found here is
    // named by none and has to be heard from end to end (design section 3, Guidance).
    std::vector<StationId> candidates_around(earth::Position from, earth::Position to,
                                             base::Altitude altitude) const {
        auto all = world_.stations_within(to, search_radius);
        const auto more = world_.stations_within(from, search_radius);
        all.insert(all.end(), more.begin(), more.end());
        const auto is_heard = [&](StationId id, earth::Position place) {
            const radio::Reception azimuth =
                radio::hear(world_[id], radio::Part::azimuth, place, altitude, ground_);
            return azimuth.heard() || azimuth.silence == radio::Silence::overhead;
        };
        const std::array<radio::PathPoint, 2> line = {
            radio::PathPoint{from, Length(), altitude},
            radio::PathPoint{to, earth::distance(from, to), altitude}};
        // A back course is flown only where a procedure says so (AIM 1-1-9 b 3).
        std::erase_if(all, [&](StationId id) {
            if (!is_heard(id, from) || !is_heard(id, to)) {
                return true;
            }
            const auto guidance = guidance_along(world_, id, from, to);
            // Far from an aid a short leg may lie within the tolerance of a line and yet across it.
            const earth::Position site = navdata::site(world_[id]);
            const bool from_is_far = earth::distance(site, from) > earth::distance(site, to);
            const earth::Position far = from_is_far ? from : to;
            const double across = std::remainder(
                (earth::bearing(far, from_is_far ? to : from) - earth::bearing(far, site)).degrees(), 180.0);
            if (std::abs(across) > largest_skew_deg) {
                return true;
            }
            const auto* localizer = guidance ? std::get_if<OnLocalizer>(&*guidance) : nullptr;
            if (localizer != nullptr && localizer->back_course) {
                return true;
            }
            return guidance && !radio::lost_along(world_[id], radio::Part::azimuth, line, ground_).empty();
        });
        return all;
    }

    // On the final nothing stands in for the aid that the procedure is flown on (AIM 1-2-3, trade-facts 11.3), even where another
    // one's radial lies along the same line.
    std::optional<Guidance> guidance_of_final(const Leg& leg, earth::Position from,
                                              earth::Position to) const {
        for (const auto& id : {context_.localizer, recommended_station(world_, leg)}) {
            if (id) {
                if (const auto guidance = guidance_along(world_, *id, from, to)) {
                    return guidance;
                }
            }
        }
        return std::nullopt;
    }

    // Guidance along a line, or a refusal said.
    std::optional<Guidance> guide(const Leg& leg, earth::Position from, earth::Position to) {
        if (on_final_) {
            if (const auto published = guidance_of_final(leg, from, to)) {
                if (can_follow(world_, aboard_, *published)) {
                    return published;
                }
                refuse(leg, "lacks_receiver", lack_text(world_, *published));
                return std::nullopt;
            }
        }
        GuidanceSearch search = find_guidance(world_, aboard_, candidates_named(leg), from, to);
        if (!search.guidance) {
            const GuidanceSearch around =
                find_guidance(world_, aboard_, candidates_around(from, to, altitude_at(leg)), from, to);
            search.guidance = around.guidance;
            search.unfollowed = search.unfollowed ? search.unfollowed : around.unfollowed;
        }
        if (search.guidance) {
            return search.guidance;
        }
        if (search.unfollowed) {
            refuse(leg, "lacks_receiver", lack_text(world_, *search.unfollowed));
        } else {
            refuse_area_navigation(
                leg,
                "lies on no radial, bearing or localizer course of a recorded aid: it needs area navigation");
        }
        return std::nullopt;
    }

    std::optional<Length> allowed_error(const Leg& leg, Length next_length) const {
        if (leg.is_final_approach_fix()) {
            return Length::nautical_miles(1.0);
        }
        if (next_length > Length()) {
            return next_length * 0.5;
        }
        return std::nullopt;
    }

    Length length_after(const PlacedFix& fix) const {
        const Leg* next = next_leg();
        if (next == nullptr || !ends_at_its_fix(next->terminator) || next->terminator == PathTerminator::HM) {
            return Length();
        }
        const auto placed = place_fix(world_, *next, context_.procedure);
        return placed ? earth::distance(fix.position, placed->position) : Length();
    }

    fixing::Tellings tell(const Leg& leg, const PlacedFix& fix, const Guidance& guidance,
                          base::TrueBearing track, fixing::FixUse use) const {
        fixing::FixQuestion question;
        question.fix = fix.position;
        question.altitude = altitude_at(leg);
        question.track = track;
        question.guided_by = station_of(guidance);
        question.arc_about_guide = std::holds_alternative<OnArc>(guidance);
        question.use = use;
        question.allowed_error = allowed_error(leg, length_after(fix));
        question.criteria = context_.criteria;
        question.published_aids = published_;
        return fixing::tellings(world_, ground_, aboard_, question);
    }

    // How the end of a leg at a fix is told, or a refusal said.
    std::optional<Ending> end_at(const Leg& leg, const PlacedFix& fix, const Guidance& guidance,
                                 base::TrueBearing track, fixing::FixUse use) {
        if (leg.is_missed_approach_point()) {
            if (context_.glideslope) {
                return AtDecisionAltitude{};
            }
            const auto found = tell(leg, fix, guidance, track, use);
            return AtMissedApproachPoint{
                fix, found.ways.empty() ? std::nullopt : std::optional(found.ways.front())};
        }
        const auto found = tell(leg, fix, guidance, track, use);
        if (!found.ways.empty()) {
            return AtFix{fix, found.ways.front()};
        }
        // On a glideslope the final fix is where the needle comes down to the centre at the coded altitude.
        if (context_.glideslope && leg.is_final_approach_fix() && aboard_.has_glideslope()) {
            return AtGlideslopeIntercept{fix, leg.altitude_1};
        }
        std::string why = fmt::format("{} cannot be told", fix.ident);
        for (std::size_t i = 0; i < std::min<std::size_t>(found.refused.size(), 3); ++i) {
            why += (i == 0 ? ": " : "; ") + fixing::to_text(world_, found.refused[i]);
        }
        if (found.refused.empty()) {
            why += ": no aid gives a second line there";
        }
        refuse(leg, "fix_not_told", why);
        return std::nullopt;
    }

    void note(const Leg& leg, Grade grade, const std::string& code, const std::string& text) {
        path_.findings.push_back({grade, "procedure." + code, about(leg), text, {}});
    }

    // Once a fix, however many legs name it.
    void note_rebuilt(const Leg& leg, const PlacedFix& fix) {
        if (std::find(rebuilt_.begin(), rebuilt_.end(), fix.ident) == rebuilt_.end()) {
            rebuilt_.push_back(fix.ident);
            note(leg, Grade::notes, "fix_rebuilt",
                 fix.ident + " has no record of its own: rebuilt from the theta and rho coded for it");
        }
    }

    std::optional<PlacedFix> fix_of(const Leg& leg) {
        auto fix = place_fix(world_, leg, context_.procedure);
        if (fix && fix->rebuilt) {
            note_rebuilt(leg, *fix);
        }
        if (!fix) {
            if (leg.fix && world_.is_out_of_service(leg.fix->ident)) {
                refuse(leg, "fix_unknown", leg.fix->ident + " is out of service",
                       "its return to service, or another approach");
                return fix;
            }
            refuse(leg, "fix_unknown",
                   leg.fix
                       ? leg.fix->ident + " has no record, and no theta and rho of a recorded aid define it"
                       : std::string("names no fix"),
                   "import the data that holds it");
        }
        return fix;
    }

    const PlacedFix* last_fix() const {
        return path_.legs.empty() || !path_.legs.back().to ? nullptr : &*path_.legs.back().to;
    }

    void add(PlacedLeg leg) {
        leg.missed = context_.missed;
        leg.needs_area_navigation = std::exchange(area_navigation_, false);
        path_.legs.push_back(std::move(leg));
    }

    void place(const Leg& leg) {
        switch (leg.terminator) {
            case PathTerminator::IF:
                place_initial(leg);
                break;
            case PathTerminator::TF:
            case PathTerminator::CF:
            case PathTerminator::DF:
                place_to_fix(leg);
                break;
            case PathTerminator::AF:
                place_arc(leg);
                break;
            case PathTerminator::FA:
            case PathTerminator::FC:
            case PathTerminator::FD:
                place_from_fix(leg);
                break;
            case PathTerminator::FM:
                refuse_vectors(leg);
                place_from_fix(leg);
                break;
            case PathTerminator::CA:
            case PathTerminator::VA:
            case PathTerminator::CD:
            case PathTerminator::VD:
            case PathTerminator::CI:
            case PathTerminator::VI:
            case PathTerminator::CR:
            case PathTerminator::VR:
                place_heading(leg);
                break;
            case PathTerminator::VM:
                refuse_vectors(leg);
                place_heading(leg);
                break;
            case PathTerminator::PI:
                place_reversal(leg);
                break;
            case PathTerminator::HA:
            case PathTerminator::HF:
            case PathTerminator::HM:
                place_hold(leg);
                break;
            case PathTerminator::RF:
                refuse_area_navigation(leg, "a constant-radius turn about a point needs area navigation");
                place_constant_radius(leg);
                break;
        }
    }

    void refuse_vectors(const Leg& leg) {
        refuse(leg, "ends_in_vectors", "ends in radar vectors: nothing in the cockpit ends it");
    }

    void refuse_area_navigation(const Leg& leg, const std::string& why) {
        refuse(leg, "needs_area_navigation", why);
        area_navigation_ = true;
    }

    // Refused, yet its fix is known: it can be drawn, and the legs after it begin there.
    void add_refused(const Leg& leg, const PlacedFix& fix) {
        PlacedLeg placed;
        placed.coded = &leg;
        placed.to = fix;
        placed.finish = fix.position;
        placed.start = path_.legs.empty() ? fix.position : path_.legs.back().finish;
        if (const PlacedFix* before = last_fix()) {
            placed.from = *before;
        }
        const earth::Geodesic line = earth::geodesic(placed.start, placed.finish);
        placed.track = line.initial;
        placed.length = line.distance;
        placed.guidance = OnHeading{line.initial};
        placed.ending = AtIntercept{};
        add(placed);
    }

    void place_constant_radius(const Leg& leg) {
        const auto fix = fix_of(leg);
        if (!fix) {
            return;
        }
        add_refused(leg, *fix);
        PlacedLeg& placed = path_.legs.back();
        const auto centre = leg.centre ? world_.resolve(*leg.centre) : std::nullopt;
        if (!centre) {
            return;
        }
        const earth::Position middle = world_.position(*centre);
        const bool clockwise = leg.turn == navdata::Turn::right;
        const earth::Geodesic out = earth::geodesic(middle, placed.start);
        placed.track = out.arrival + Angle::degrees(clockwise ? 90 : -90);
        placed.length =
            out.distance *
            swept_between(out.initial, earth::bearing(middle, placed.finish), clockwise).radians();
    }

    void place_initial(const Leg& leg) {
        const auto fix = fix_of(leg);
        if (!fix) {
            return;
        }
        PlacedLeg placed;
        placed.coded = &leg;
        placed.to = fix;
        placed.start = placed.finish = fix->position;
        placed.guidance = OnHeading{};
        placed.ending = AtIntercept{};  // how it is told depends on the way that leads to it
        if (!path_.legs.empty() && std::holds_alternative<AtCourseReversed>(path_.legs.back().ending)) {
            place_inbound(leg, *fix, placed);
        }
        add(placed);
    }

    // The first fix of the shared part behind a procedure turn: inbound to it on the course that was turned onto. Half of what is protected
    // for the turn is about what is flown inbound; common practice, no source.
    void place_inbound(const Leg& leg, const PlacedFix& fix, PlacedLeg& placed) {
        const PlacedLeg& reversal = path_.legs.back();
        placed.start = earth::destination(fix.position, reversal.track,
                                          std::get<AtCourseReversed>(reversal.ending).within * 0.5);
        const earth::Geodesic line = earth::geodesic(placed.start, placed.finish);
        placed.track = line.initial;
        placed.length = line.distance;
        const auto guidance = guide(leg, placed.start, placed.finish);
        placed.guidance = guidance ? *guidance : Guidance(OnHeading{line.initial});
        if (guidance) {
            const auto ending = end_at(leg, fix, *guidance, line.arrival, fixing::FixUse::terminal);
            placed.ending = ending ? *ending : Ending(AtIntercept{});
        }
    }

    void place_to_fix(const Leg& leg) {
        const auto fix = fix_of(leg);
        if (!fix) {
            return;
        }
        PlacedLeg placed;
        placed.coded = &leg;
        placed.to = fix;
        placed.finish = fix->position;
        const PlacedFix* before = last_fix();
        // Not an optional: GCC 12 takes its empty state for an uninitialized value.
        const bool has_course = leg.course.has_value();
        const base::TrueBearing course =
            has_course ? course_of(world_, leg, *leg.course, context_.variation) : base::TrueBearing();
        bool straight =
            before != nullptr && earth::distance(before->position, fix->position) > earth::same_place;
        if (straight && leg.terminator == PathTerminator::CF && has_course) {
            const Angle off = course - earth::bearing(before->position, fix->position);
            straight = std::abs(off.degrees()) <= 3.0;
        }
        if (straight && leg.distance && leg.terminator == PathTerminator::CF &&
            std::abs(leg.distance->nautical_miles() -
                     earth::distance(before->position, fix->position).nautical_miles()) >
                largest_length_disagreement_nm) {
            refuse(leg, "legs_missing",
                   fmt::format(
                       "codes {:.1f} NM where {} and {} are {:.1f} NM apart: a leg between them is missing",
                       leg.distance->nautical_miles(), before->ident, fix->ident,
                       earth::distance(before->position, fix->position).nautical_miles()),
                   "import the whole procedure");
            add_refused(leg, *fix);
            return;
        }
        if (straight) {
            placed.from = *before;
            placed.start = before->position;
        } else if (leg.terminator == PathTerminator::DF) {
            place_direct(leg, *fix, placed);
            return;
        } else if (has_course) {
            const Length back = leg.distance && *leg.distance > Length() ? *leg.distance : probe_length;
            placed.start = earth::destination(fix->position, course.reciprocal(), back);
            // After a course reversal the fix before is this one; from another, the legs must join.
            const bool from_another =
                before != nullptr && earth::distance(before->position, fix->position) > earth::same_place;
            const Length gap = from_another ? earth::distance(before->position, placed.start) : Length();
            if (gap > largest_gap && leg.distance) {
                refuse(leg, "legs_do_not_join",
                       fmt::format("begins {:.1f} NM from {}, where the leg before it ends",
                                   gap.nautical_miles(), before->ident),
                       "check the data");
                add_refused(leg, *fix);
                return;
            }
            // The coded distance counts from wherever the leg before was left, so that the line may begin a little behind the
            // aid whose radial it is: guidance begins at the aid (KBDR I06, missed to MILUM: 5.4 NM coded, BDR 5.0 NM away).
            if (const auto aid = recommended_station(world_, leg)) {
                const earth::Position site = navdata::site(world_[*aid]);
                if (earth::distance(site, placed.start) <= largest_gap) {
                    placed.start = site;
                }
            }
        } else {
            refuse(leg, "start_unknown", "has no known start and no coded course");
            add_refused(leg, *fix);
            return;
        }
        const earth::Geodesic line = earth::geodesic(placed.start, placed.finish);
        placed.track = line.initial;
        placed.length = line.distance;
        const auto guidance = guide(leg, placed.start, placed.finish);
        if (!guidance) {
            // Later legs still deserve judging: the place is known.
            placed.guidance = OnHeading{line.initial};
            placed.ending = AtIntercept{};
            add(placed);
            return;
        }
        placed.guidance = *guidance;
        const auto ending = end_at(leg, *fix, *guidance, line.arrival, fixing::FixUse::terminal);
        placed.ending = ending ? *ending : Ending(AtIntercept{});
        add(placed);
    }

    // DF: "direct" without a coded track is flown by ground aids only to an aid itself.
    void place_direct(const Leg& leg, const PlacedFix& fix, PlacedLeg placed) {
        const auto station = station_at(fix.point);
        const earth::Position from = path_.legs.empty() ? context_.start : path_.legs.back().finish;
        placed.start = from;
        const earth::Geodesic line = earth::geodesic(from, fix.position);
        placed.track = line.initial;
        placed.length = line.distance;
        if (!station ||
            (navdata::vor(world_[*station]) == nullptr && navdata::ndb(world_[*station]) == nullptr)) {
            refuse_area_navigation(
                leg, fmt::format("goes direct to {}, which is no VOR or NDB: it needs area navigation",
                                 fix.ident));
            placed.guidance = OnHeading{line.initial};
            placed.ending = AtIntercept{};
            add(placed);
            return;
        }
        const navdata::Station& aid = world_[*station];
        if (navdata::vor(aid) != nullptr) {
            placed.guidance = OnRadial{*station, true, navdata::radial_of(aid, from)->reciprocal()};
        } else {
            placed.guidance = OnBeacon{*station, true, line.initial};
        }
        if (!can_follow(world_, aboard_, placed.guidance)) {
            refuse(leg, "lacks_receiver", lack_text(world_, placed.guidance));
        }
        placed.ending =
            AtFix{fix, {fixing::Overhead{*station}, Length::nautical_miles(0.2), Angle::degrees(90)}};
        add(placed);
    }

    void place_arc(const Leg& leg) {
        const auto fix = fix_of(leg);
        const auto station = recommended_station(world_, leg);
        if (!fix) {
            return;
        }
        if (!station && leg.recommended && world_.is_out_of_service(leg.recommended->ident)) {
            refuse(leg, "arc_without_station",
                   "is an arc about " + leg.recommended->ident + ", which is out of service",
                   "its return to service, or another approach");
            add_refused(leg, *fix);
            return;
        }
        if (!station || !leg.rho || !leg.theta || !leg.course) {
            refuse(leg, "arc_without_station", "an arc without a recorded station, radius and radials");
            add_refused(leg, *fix);
            return;
        }
        const navdata::Station& aid = world_[*station];
        if (!aid.dme) {
            refuse(leg, "lacks_dme_record",
                   fmt::format("is an arc about {} {}, whose record has no DME", navdata::kind_text(aid),
                               aid.ident));
            add_refused(leg, *fix);
            return;
        }
        const auto declination = declination_of(aid);
        if (navdata::vor(aid) == nullptr || !declination) {
            refuse(leg, "arc_without_radials",
                   fmt::format("{} gives no radial to leave the arc by", aid.ident));
            add_refused(leg, *fix);
            return;
        }
        // Where the record of a point and the arc's own figures contradict each other, one of them is wrong: neither is flown.
        const auto on_arc = [&](double radial_deg) {
            return earth::destination(
                navdata::site(aid), base::to_true(base::Radial::degrees(radial_deg), *declination), *leg.rho);
        };
        const Length apart = earth::distance(on_arc(leg.theta->degrees), fix->position);
        if (apart > arc_tolerance) {
            refuse(
                leg, "arc_contradicted",
                fmt::format("its record stands {:.1f} NM from where radial {:.1f} and {:.1f} NM of {} put it",
                            apart.nautical_miles(), leg.theta->degrees, leg.rho->nautical_miles(), aid.ident),
                "check the data");
            add_refused(leg, *fix);
            return;
        }
        const bool clockwise = leg.turn == navdata::Turn::right;
        PlacedLeg placed;
        placed.coded = &leg;
        placed.to = fix;
        placed.finish = fix->position;
        if (const PlacedFix* before = last_fix()) {
            placed.from = *before;
            placed.start = before->position;
        } else {
            placed.start = on_arc(leg.course->degrees);
        }
        const Angle swept = swept_between(base::Radial::degrees(leg.course->degrees),
                                          base::Radial::degrees(leg.theta->degrees), clockwise);
        placed.length = *leg.rho * swept.radians();
        const base::TrueBearing outward = earth::geodesic(navdata::site(aid), placed.start).arrival;
        placed.track = outward + Angle::degrees(clockwise ? 90 : -90);
        placed.guidance = OnArc{*station, *leg.rho, clockwise};
        if (!can_follow(world_, aboard_, placed.guidance)) {
            refuse(leg, "lacks_receiver", lack_text(world_, placed.guidance));
        }
        placed.ending = AtRadial{*station, base::Radial::degrees(leg.theta->degrees)};
        add(placed);
    }

    void place_from_fix(const Leg& leg) {
        const auto fix = fix_of(leg);
        if (!fix) {
            return;
        }
        if (!leg.course) {
            refuse(leg, "start_unknown", "has no coded course");
            return;
        }
        const base::TrueBearing course = course_of(world_, leg, *leg.course, context_.variation);
        PlacedLeg placed;
        placed.coded = &leg;
        placed.from = fix;
        placed.start = fix->position;
        placed.track = course;
        const bool has_length = leg.distance && leg.terminator != PathTerminator::FM;
        placed.length = has_length ? *leg.distance : probe_length;
        placed.ending = AtIntercept{};
        if (leg.terminator == PathTerminator::FD) {
            // Its distance is what the DME shows at its end, not how far it is flown (trade-facts 11.1).
            placed.length = probe_length;
            if (const auto station = dme_at_the_end(leg)) {
                placed.ending = AtDistance{*station, *leg.distance};
                const auto ends =
                    earth::intersect(fix->position, course, world_[*station].dme->position, *leg.distance);
                if (ends.empty()) {
                    refuse(leg, "distance_never_read",
                           fmt::format("its course never comes to {:.1f} NM of {}",
                                       leg.distance->nautical_miles(), world_[*station].ident));
                } else {
                    placed.length = earth::distance(fix->position, ends.front());
                }
            }
        }
        placed.finish = earth::destination(fix->position, course, placed.length);
        const auto guidance = guide(leg, placed.start, placed.finish);
        placed.guidance = guidance ? *guidance : Guidance(OnHeading{course});
        if (leg.terminator == PathTerminator::FA) {
            if (!leg.altitude_1) {
                refuse(leg, "altitude_missing", "ends at an altitude that is not coded");
            }
            placed.ending = AtAltitude{leg.altitude_1.value_or(base::Altitude())};
        } else if (leg.terminator == PathTerminator::FC) {
            const PlacedFix end{fix->ident + fmt::format("/{:.1f}", placed.length.nautical_miles()),
                                placed.finish, std::nullopt, true};
            if (guidance) {
                const auto ending = end_at(leg, end, *guidance, course, fixing::FixUse::terminal);
                placed.ending = ending ? *ending : Ending(AtIntercept{});
            }
            placed.to = end;
        }
        add(placed);
    }

    // The station whose DME ends a leg, or a refusal said.
    std::optional<StationId> dme_at_the_end(const Leg& leg) {
        const auto station = recommended_station(world_, leg);
        if (!station || !world_[*station].dme || !leg.distance) {
            refuse(leg, "lacks_dme_record", "ends at the distance of an aid whose record has no DME");
            return std::nullopt;
        }
        if (!aboard_.dme) {
            refuse(leg, "lacks_receiver",
                   fmt::format("needs a DME to end at {:.1f} NM of {}", leg.distance->nautical_miles(),
                               world_[*station].ident));
        }
        return station;
    }

    // What the DME shows at the end of a leg as a distance over the ground, at the altitude coded there.
    Length ground_range(const Leg& leg, const navdata::DistancePart& dme) const {
        const double slant_m = (*leg.distance + dme.bias).metres();
        const double height_m = (altitude_at(leg) - dme.elevation.value_or(base::Altitude())).metres();
        return Length::metres(std::sqrt(std::max(0.0, slant_m * slant_m - height_m * height_m)));
    }

    // A course or heading without an end of its own place ends at the first of these places, where one lies on it.
    static void end_ahead(PlacedLeg& placed, const std::vector<earth::Position>& places) {
        if (!places.empty()) {
            placed.length = earth::distance(placed.start, places.front());
            placed.finish = places.front();
        }
    }

    void place_heading(const Leg& leg) {
        PlacedLeg placed;
        placed.coded = &leg;
        if (!leg.course) {
            refuse(leg, "start_unknown", "has no coded course or heading");
            return;
        }
        const base::TrueBearing track =
            leg.course->is_true
                ? base::TrueBearing::degrees(leg.course->degrees)
                : base::to_true(base::MagneticBearing::degrees(leg.course->degrees), context_.variation);
        placed.start = path_.legs.empty() ? context_.start : path_.legs.back().finish;
        placed.track = track;
        placed.length = probe_length;
        placed.finish = earth::destination(placed.start, track, placed.length);
        placed.guidance = OnHeading{track};
        placed.ending = AtIntercept{};
        const auto station = recommended_station(world_, leg);
        switch (leg.terminator) {
            case PathTerminator::CA:
            case PathTerminator::VA:
                if (!leg.altitude_1) {
                    refuse(leg, "altitude_missing", "ends at an altitude that is not coded");
                    break;
                }
                placed.ending = AtAltitude{*leg.altitude_1};
                break;
            case PathTerminator::CD:
            case PathTerminator::VD:
                if (!dme_at_the_end(leg)) {
                    break;
                }
                placed.ending = AtDistance{*station, *leg.distance};
                end_ahead(placed, earth::intersect(placed.start, track, world_[*station].dme->position,
                                                   ground_range(leg, *world_[*station].dme)));
                break;
            case PathTerminator::CR:
            case PathTerminator::VR:
                if (!station || navdata::vor(world_[*station]) == nullptr || !leg.theta) {
                    refuse(leg, "radial_missing", "ends at a radial of an aid that has none");
                    break;
                }
                if (aboard_.receivers.empty()) {
                    refuse(leg, "lacks_receiver",
                           "needs a VOR receiver to end at a radial of " + world_[*station].ident);
                }
                placed.ending = AtRadial{*station, base::Radial::degrees(leg.theta->degrees)};
                if (const auto out = bearing_from_aid(world_, leg)) {
                    const auto crossed =
                        earth::intersect(placed.start, track, navdata::site(world_[*station]), *out);
                    end_ahead(placed, crossed ? std::vector{*crossed} : std::vector<earth::Position>{});
                }
                break;
            case PathTerminator::VM:
                break;
            default:
                if (next_leg() == nullptr) {
                    refuse(leg, "nothing_to_intercept",
                           "ends on the course of a next leg that is not in the data",
                           "import the whole procedure");
                }
                placed.ending = AtIntercept{};
                break;
        }
        add(placed);
    }

    // By PANS-OPS a reversal is entered within 30 degrees of its outbound track (trade-facts 8.4).
    void judge_entry(const Leg& leg, base::TrueBearing outbound) {
        if (path_.legs.empty() || path_.legs.back().length <= Length()) {
            return;
        }
        const PlacedLeg& before = path_.legs.back();
        const ReversalVerdict verdict =
            course_reversal({.coded = CodedReversal::procedure_turn,
                             .criteria = context_.criteria,
                             .arriving = earth::geodesic(before.start, before.finish).arrival,
                             .outbound = outbound});
        if (!verdict.entry_allowed) {
            note(leg, Grade::warns, "reversal_entry", to_text(verdict.reason));
        }
    }

    void place_reversal(const Leg& leg) {
        const auto fix = fix_of(leg);
        const Leg* next = inbound_of_reversal();
        if (!fix) {
            return;
        }
        if (next == nullptr || !next->course) {
            refuse(leg, "reversal_without_course", "a procedure turn that no inbound course follows");
            return;
        }
        const base::TrueBearing inbound = course_of(world_, *next, *next->course, context_.variation);
        PlacedLeg placed;
        placed.coded = &leg;
        placed.from = fix;
        placed.start = fix->position;
        placed.track = inbound.reciprocal();
        const Length excursion = leg.distance ? *leg.distance : Length::nautical_miles(10);
        const earth::Position outbound_end = earth::destination(fix->position, placed.track, excursion);
        placed.finish = fix->position;
        placed.length = excursion * 2.0;
        const auto guidance = guide(leg, placed.start, outbound_end);
        placed.guidance = guidance ? *guidance : Guidance(OnHeading{placed.track});
        placed.ending = AtCourseReversed{fix->ident, excursion, leg.course, leg.turn};
        judge_entry(leg, placed.track);
        add(placed);
    }

    // The straight inbound: as coded, else the time of its altitude at the speed held.
    Length hold_straight(const Leg& leg) const {
        if (leg.distance && *leg.distance > Length()) {
            return *leg.distance;
        }
        const base::Duration timed = hold_time(altitude_at(leg), context_.criteria).time;
        return context_.holding_speed * (leg.time && *leg.time > base::Duration(0.0) ? *leg.time : timed);
    }

    // The inbound course of a hold whose row names no aid counts from the zero of the VOR whose radial it is flown on, where that
    // puts it nearer to the radial than the airport's variation does (KCHS I33, the hold at GISTS: 2 degrees).
    base::TrueBearing inbound_of(const Leg& leg, const PlacedFix& fix) const {
        const base::TrueBearing by_airport = course_of(world_, leg, *leg.course, context_.variation);
        if (leg.course->is_true || recommended_station(world_, leg) || station_at(fix.point)) {
            return by_airport;
        }
        const earth::Position outer =
            earth::destination(fix.position, by_airport.reciprocal(), hold_straight(leg));
        const GuidanceSearch search =
            find_guidance(world_, aboard_, candidates_named(leg), outer, fix.position);
        const auto* radial = search.guidance ? std::get_if<OnRadial>(&*search.guidance) : nullptr;
        if (radial == nullptr) {
            return by_airport;
        }
        const navdata::Station& aid = world_[radial->station];
        const base::TrueBearing by_aid =
            base::to_true(base::Radial::degrees(leg.course->degrees), navdata::vor(aid)->declination);
        const earth::Geodesic out = earth::geodesic(navdata::site(aid), fix.position);
        const base::TrueBearing line = radial->toward ? out.arrival.reciprocal() : out.arrival;
        return abs(by_aid - line) < abs(by_airport - line) ? by_aid : by_airport;
    }

    void place_hold(const Leg& leg) {
        const auto fix = fix_of(leg);
        if (!fix) {
            return;
        }
        if (!leg.course) {
            refuse(leg, "hold_without_course", "a hold without an inbound course");
            return;
        }
        const base::TrueBearing inbound = inbound_of(leg, *fix);
        PlacedLeg placed;
        placed.coded = &leg;
        placed.from = fix;
        placed.to = fix;
        placed.start = placed.finish = fix->position;
        placed.track = inbound;
        const Length inbound_length = hold_straight(leg);
        // Once round: two straights and two half circles.
        const Length round = inbound_length * 2.0 +
                             aircraft::planned_turn(context_.holding_speed).radius * (2.0 * std::numbers::pi);
        placed.length = leg.terminator == PathTerminator::HF ? round : Length();
        const earth::Position outer = earth::destination(fix->position, inbound.reciprocal(), inbound_length);
        const auto guidance = guide(leg, outer, fix->position);
        placed.guidance = guidance ? *guidance : Guidance(OnHeading{inbound});
        if (guidance) {
            const auto found = tell(leg, *fix, *guidance, inbound, fixing::FixUse::holding);
            if (found.ways.empty()) {
                end_at(leg, *fix, *guidance, inbound, fixing::FixUse::holding);  // says why
            }
        }
        if (leg.terminator == PathTerminator::HA && !leg.altitude_1) {
            refuse(leg, "altitude_missing", "ends at an altitude that is not coded");
        }
        placed.ending = AtHold{*fix, leg.turn, leg.terminator == PathTerminator::HF,
                               leg.terminator == PathTerminator::HA ? leg.altitude_1 : std::nullopt};
        add(placed);
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const cockpit::Equipment& aboard_;
    std::span<const Leg* const> legs_;
    const PathContext& context_;
    std::vector<StationId> published_;
    std::size_t index_ = 0;
    bool on_final_ = false;
    std::vector<std::string> rebuilt_;
    bool area_navigation_ = false;  // of the leg that is being placed
    PlacedPath path_;
};

// What tells a fix, as an aid to tune.
struct NeedToTell {
    const navdata::Snapshot& world;
    std::string operator()(const fixing::Overhead& way) const { return aid(way.station); }
    std::string operator()(const fixing::DmeReading& way) const { return "DME " + world[way.station].ident; }
    std::string operator()(const fixing::CrossingRadial& way) const { return aid(way.station); }
    std::string operator()(const fixing::CrossingBearing& way) const { return aid(way.station); }
    std::string operator()(const fixing::CrossingLocalizer& way) const { return aid(way.station); }

    std::string aid(StationId id) const {
        const navdata::Station& station = world[id];
        const char* kind = navdata::ndb(station) != nullptr         ? "NDB "
                           : navdata::localizer(station) != nullptr ? "LOC "
                                                                    : "VOR ";
        return kind + station.ident;
    }
};

// Where a leg's theta and rho put its fix, if it has both and its aid is recorded.
std::optional<earth::Position> theta_rho_place(const navdata::Snapshot& world, const Leg& leg) {
    const auto station = recommended_station(world, leg);
    const auto out = bearing_from_aid(world, leg);
    if (!station || !out || !leg.rho) {
        return std::nullopt;
    }
    return earth::destination(navdata::site(world[*station]), *out, *leg.rho);
}

}  // namespace

bool PlacedPath::flyable() const {
    return std::none_of(findings.begin(), findings.end(),
                        [](const Finding& finding) { return finding.grade == Grade::blocks; });
}

std::vector<std::string> needs_of(const navdata::Snapshot& world, const PlacedLeg& leg) {
    std::vector<std::string> needs;
    const auto add = [&](std::string need) {
        if (std::find(needs.begin(), needs.end(), need) == needs.end()) {
            needs.push_back(std::move(need));
        }
    };
    const NeedToTell to_tell{world};
    if (const auto* arc = std::get_if<OnArc>(&leg.guidance)) {
        add("DME " + world[arc->station].ident);
    } else if (const auto station = station_of(leg.guidance)) {
        add(to_tell.aid(*station));
    }
    if (const auto* at_fix = std::get_if<AtFix>(&leg.ending)) {
        add(std::visit(to_tell, at_fix->telling.way));
    } else if (const auto* at_point = std::get_if<AtMissedApproachPoint>(&leg.ending)) {
        if (at_point->telling) {
            add(std::visit(to_tell, at_point->telling->way));
        }
    } else if (const auto* at_distance = std::get_if<AtDistance>(&leg.ending)) {
        add("DME " + world[at_distance->station].ident);
    } else if (const auto* at_radial = std::get_if<AtRadial>(&leg.ending)) {
        add(to_tell.aid(at_radial->station));
    } else if (std::holds_alternative<AtGlideslopeIntercept>(leg.ending) ||
               std::holds_alternative<AtDecisionAltitude>(leg.ending)) {
        add("glideslope");
    }
    return needs;
}

PlacedPath place_legs(const navdata::Snapshot& world, const radio::Ground& ground,
                      const cockpit::Equipment& aboard, std::span<const Leg* const> legs,
                      const PathContext& context) {
    return Placer(world, ground, aboard, legs, context).result();
}

std::optional<PlacedFix> place_fix(const navdata::Snapshot& world, const Leg& leg,
                                   const navdata::Procedure* procedure) {
    if (!leg.fix) {
        return std::nullopt;
    }
    if (const auto point = world.resolve(*leg.fix)) {
        return PlacedFix{leg.fix->ident, world.position(*point), point, false};
    }
    std::optional<earth::Position> place = theta_rho_place(world, leg);
    if (procedure != nullptr) {
        for (const navdata::Branch& branch : procedure->branches) {
            for (const Leg& other : branch.legs) {
                if (!place && other.fix == leg.fix) {
                    place = theta_rho_place(world, other);
                }
            }
        }
    }
    return place ? std::optional(PlacedFix{leg.fix->ident, *place, std::nullopt, true}) : std::nullopt;
}

std::optional<base::TrueBearing> bearing_from_aid(const navdata::Snapshot& world, const Leg& leg) {
    const auto station = recommended_station(world, leg);
    if (!station || !leg.theta) {
        return std::nullopt;
    }
    if (leg.theta->is_true) {
        return base::TrueBearing::degrees(leg.theta->degrees);
    }
    const auto declination = declination_of(world[*station]);
    return declination ? std::optional(base::to_true(base::Radial::degrees(leg.theta->degrees), *declination))
                       : std::nullopt;
}

base::TrueBearing course_of(const navdata::Snapshot& world, const Leg& leg,
                            const navdata::CodedCourse& course, base::Variation airport) {
    if (course.is_true) {
        return base::TrueBearing::degrees(course.degrees);
    }
    std::optional<StationId> station = recommended_station(world, leg);
    if (!station && leg.fix) {
        // A hold or course over a VOR is coded by its radials even where no aid is named.
        const auto over = station_at(world.resolve(*leg.fix));
        station = over && navdata::vor(world[*over]) != nullptr ? over : std::nullopt;
    }
    if (station) {
        if (const auto declination = declination_of(world[*station])) {
            return base::to_true(base::Radial::degrees(course.degrees), *declination);
        }
    }
    return base::to_true(base::MagneticBearing::degrees(course.degrees), airport);
}

}  // namespace omniway::procedure
