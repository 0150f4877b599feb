#include "plan/back_to_card.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "aircraft/performance.hpp"
#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "flight/en_route.hpp"
#include "flight/name_of_aid.hpp"
#include "flight/off_airway_minimum.hpp"
#include "flight/step_line.hpp"
#include "procedure/guidance.hpp"

namespace omniway::plan {

using base::Angle;
using base::Finding;
using base::Grade;
using base::Length;
using base::TrueBearing;
using earth::PlanePoint;
using flight::StepLine;
using flight::TrackStep;
using navdata::StationId;

namespace {

constexpr Length established = Length::nautical_miles(2.0);  // on the line before its end
constexpr Length on_the_line = Length::nautical_miles(0.3);
constexpr Length about_as_near = Length::nautical_miles(1.0);
constexpr Length overhead = Length::nautical_miles(0.3);
constexpr Angle least_cut = Angle::degrees(20.0);
constexpr Angle most_cut = Angle::degrees(45.0);
constexpr Angle most_cut_of_localizer = Angle::degrees(30.0);

double between_m(PlanePoint a, PlanePoint b) {
    return std::hypot(b.east_m - a.east_m, b.north_m - a.north_m);
}

// Clockwise from grid north.
double direction_rad(PlanePoint from, PlanePoint to) {
    return std::atan2(to.east_m - from.east_m, to.north_m - from.north_m);
}

// Where a place stands against a line: along it from its start, and to the right of it.
struct AgainstLine {
    double along_m = 0.0;
    double right_m = 0.0;
    double length_m = 0.0;
};
AgainstLine against(const StepLine& line, PlanePoint place) {
    AgainstLine seen;
    seen.length_m = between_m(line.start, line.finish);
    const double off_rad = direction_rad(line.start, place) - direction_rad(line.start, line.finish);
    const double away_m = between_m(line.start, place);
    seen.along_m = away_m * std::cos(off_rad);
    seen.right_m = away_m * std::sin(off_rad);
    return seen;
}

double off_line_m(const StepLine& line, PlanePoint place) {
    const AgainstLine seen = against(line, place);
    if (seen.length_m < 1.0) {
        return between_m(line.finish, place);
    }
    const double beyond_m = seen.along_m - std::clamp(seen.along_m, 0.0, seen.length_m);
    return std::hypot(beyond_m, seen.right_m);
}

double off_arc_m(const StepLine& line, bool clockwise, PlanePoint place) {
    const auto turned = [&](PlanePoint to) {
        const double rad = direction_rad(line.centre, to) - direction_rad(line.centre, line.start);
        const double wrapped = std::fmod(clockwise ? rad : -rad, 2.0 * std::numbers::pi);
        return wrapped < 0.0 ? wrapped + 2.0 * std::numbers::pi : wrapped;
    };
    if (turned(place) <= turned(line.finish)) {
        return std::abs(between_m(line.centre, place) - line.radius_m);
    }
    return std::min(between_m(line.start, place), between_m(line.finish, place));
}

class Joining {
public:
    Joining(const flight::Circumstances& day, const FlownCard& card, const BackQuestion& question)
        : day_(day),
          card_(card),
          question_(question),
          frame_(flight::plane_of(card.compiled.track)),
          here_(frame_.to_plane(question.place)),
          variation_(day.model.variation(question.place, day.today)) {
        for (const TrackStep& step : card.compiled.track.steps) {
            if (is_ahead(step)) {
                steps_.push_back(&step);
                lines_.push_back(flight::step_line(day, card.flight, step, false, frame_));
            }
        }
    }

    std::optional<BackToCard> result() {
        if (steps_.empty()) {
            return std::nullopt;
        }
        const std::size_t nearest = nearest_step();
        for (std::size_t i = nearest; i < std::min(nearest + 2, steps_.size()); ++i) {
            const auto met = meeting(i);
            const bool too_far =
                met && met->by == JoinBy::intercept && met->distance > may_be_reckoned(met->track_rad);
            if (too_far && (aid_at(steps_[i]->finish) || heard_guide(i))) {
                return go_direct(i);
            }
            if (met) {
                return join(i, *met);
            }
            if (!leads_on(i)) {
                break;
            }
        }
        return go_direct(nearest);
    }

private:
    // The final is joined nowhere but before its fix; the roll and the climb to a height without a place are no way back.
    bool is_ahead(const TrackStep& step) const {
        const auto& track = card_.compiled.track;
        const bool before_final = track.final_approach ? step.number < track.final_approach->first_step
                                                       : step.phase != flight::Phase::approach;
        return step.number > card_.done.value_or(0) && before_final && !step.along_runway;
    }

    double off_m(std::size_t i) const {
        const auto* arc = std::get_if<procedure::OnArc>(&steps_[i]->guidance);
        switch (lines_[i].shape) {
            case StepLine::Shape::arc:
                return off_arc_m(lines_[i], arc != nullptr && arc->clockwise, here_);
            case StepLine::Shape::turning:
                return between_m(lines_[i].finish, here_);
            case StepLine::Shape::line:
                return off_line_m(lines_[i], here_);
        }
        return 0.0;
    }

    std::size_t nearest_step() const {
        std::size_t nearest = 0;
        for (std::size_t i = 1; i < steps_.size(); ++i) {
            nearest = off_m(i) < off_m(nearest) ? i : nearest;
        }
        if (!question_.heading) {
            return nearest;
        }
        const auto turn = [&](std::size_t i) { return abs(steps_[i]->course - *question_.heading); };
        std::size_t best = nearest;
        for (std::size_t i = 0; i < steps_.size(); ++i) {
            if (off_m(i) <= off_m(nearest) + about_as_near.metres() && turn(i) < turn(best)) {
                best = i;
            }
        }
        return best;
    }

    struct Meeting {
        JoinBy by = JoinBy::intercept;
        double track_rad = 0.0;  // on the grid
        Angle cut;
        Length distance;
        bool in_time = true;  // enough of the line is left there
    };

    bool is_line_of_an_aid(std::size_t i) const {
        return lines_[i].shape == StepLine::Shape::line && lines_[i].guide &&
               !std::holds_alternative<procedure::OnArc>(steps_[i]->guidance) && lines_[i].station &&
               procedure::can_follow(day_.world, day_.aircraft.equipment, steps_[i]->guidance);
    }

    // None where nothing guides along it, or too little of it is left.
    std::optional<Meeting> meeting(std::size_t i) const {
        if (!is_line_of_an_aid(i)) {
            return std::nullopt;
        }
        const StepLine& line = lines_[i];
        const AgainstLine seen = against(line, here_);
        const double last_m = seen.length_m - established.metres();
        const double course_rad = direction_rad(line.start, line.finish);
        const double aside_m = std::abs(seen.right_m);
        if (aside_m < on_the_line.metres() && seen.along_m > 0.0 && seen.along_m < last_m) {
            return Meeting{JoinBy::on_it, course_rad, Angle(), Length::metres(seen.length_m - seen.along_m)};
        }
        const Angle most = std::holds_alternative<procedure::OnLocalizer>(steps_[i]->guidance)
                               ? most_cut_of_localizer
                               : most_cut;
        const double from_aid_m = between_m(line.guide->site, here_);
        const Angle seen_off = Angle::radians(std::asin(std::min(1.0, aside_m / std::max(from_aid_m, 1.0))));
        const double side = seen.right_m > 0.0 ? -1.0 : 1.0;
        // Not before the line begins.
        const auto under = [&](Angle cut) {
            const double met_m = std::max(seen.along_m + aside_m / base::tan(cut), 0.0);
            const Angle met_under = Angle::radians(std::atan2(aside_m, met_m - seen.along_m));
            return Meeting{JoinBy::intercept, course_rad + side * met_under.radians(), met_under,
                           Length::metres(std::hypot(aside_m, met_m - seen.along_m)), met_m <= last_m};
        };
        const Meeting gentle = under(std::clamp(seen_off * 2.0, least_cut, most));
        const Meeting met =
            gentle.in_time && gentle.distance <= may_be_reckoned(gentle.track_rad) ? gentle : under(most);
        return met.in_time ? std::optional(met) : std::nullopt;
    }

    // Whether the line of the next step may be joined in place of this one's: of a hold or an arc it is not.
    bool leads_on(std::size_t i) const { return lines_[i].shape == StepLine::Shape::line; }

    base::Speed airspeed() const {
        return aircraft::true_airspeed_cruise(day_.aircraft.performance, question_.go_on_at);
    }
    std::optional<aircraft::CourseHeld> held(TrueBearing track) const {
        return aircraft::hold_course(track, airspeed(), day_.winds.at(question_.go_on_at));
    }
    Length may_be_reckoned(double track_rad) const {
        return may_be_reckoned(frame_.to_true(track_rad, here_));
    }
    Length may_be_reckoned(TrueBearing track) const {
        const auto flown = held(track);
        return flown ? flight::dead_reckoning_limit(day_.settings, flown->groundspeed) : Length();
    }

    bool can_be_flown_to(StationId id) const {
        const navdata::Station& station = day_.world[id];
        const auto& aboard = day_.aircraft.equipment;
        return ((navdata::vor(station) != nullptr && !aboard.receivers.empty()) ||
                (navdata::ndb(station) != nullptr && aboard.adf)) &&
               radio::hear(station, radio::Part::azimuth, question_.place, question_.go_on_at, day_.ground)
                   .heard();
    }
    // The aid that guides a step, where it can be flown to from here.
    std::optional<StationId> heard_guide(std::size_t i) const {
        return lines_[i].station && can_be_flown_to(*lines_[i].station) ? lines_[i].station : std::nullopt;
    }
    // A VOR or NDB at a place that can be flown to from here.
    std::optional<StationId> aid_at(earth::Position place) const {
        for (const StationId id : day_.world.stations_within(place, overhead)) {
            if (can_be_flown_to(id)) {
                return id;
            }
        }
        return std::nullopt;
    }

    BackToCard begin(std::size_t i) const {
        const TrackStep& step = *steps_[i];
        BackToCard back;
        back.step = step.number;
        back.via = step.via;
        back.from = step.from;
        back.to = step.to;
        back.then = step.course;
        back.off = Length::metres(off_m(i));
        const auto& steps = card_.compiled.card.steps;
        const auto on_card = std::find_if(
            steps.begin(), steps.end(), [&](const flight::Step& each) { return each.number == step.number; });
        if (on_card != steps.end()) {
            back.radios = on_card->radios;
        }
        return back;
    }

    BackToCard join(std::size_t i, const Meeting& met) const {
        BackToCard back = begin(i);
        back.by = met.by;
        back.cut = met.cut;
        const StationId guide = *lines_[i].station;
        back.set = set_for(guide, back.radios, steps_[i]->course_set);
        const TrueBearing track = frame_.to_true(met.track_rad, here_);
        const earth::Position end =
            frame_.to_position({here_.east_m + met.distance.metres() * std::sin(met.track_rad),
                                here_.north_m + met.distance.metres() * std::cos(met.track_rad)});
        back.then = base::to_magnetic(
            frame_.to_true(direction_rad(lines_[i].start, lines_[i].finish), frame_.to_plane(end)),
            day_.model.variation(end, day_.today));
        if (met.by == JoinBy::on_it) {
            back.minimum = steps_[i]->minimum;
            fly(back, track, met.distance, steps_[i]->guidance);
        } else {
            const procedure::Guidance guidance = procedure::OnHeading{track};
            back.minimum = minimum_to(end, met.distance, guidance);
            fly(back, track, met.distance, guidance);
        }
        hear(back);
        return back;
    }

    BackToCard go_direct(std::size_t i) const {
        const bool to_an_approach = steps_[i]->phase == flight::Phase::approach;
        while (to_an_approach && i > 0 && steps_[i - 1]->phase == flight::Phase::approach) {
            --i;
        }
        earth::Position target = to_an_approach ? steps_[i]->start : steps_[i]->finish;
        BackToCard back = begin(i);
        back.by = JoinBy::direct;
        back.direct_to = !to_an_approach                    ? steps_[i]->to
                         : steps_[i]->from.empty() && i > 0 ? steps_[i - 1]->to
                                                            : steps_[i]->from;
        earth::Geodesic line = earth::geodesic(question_.place, target);
        const auto guide = heard_guide(i);
        if (guide && !aid_at(target) && line.distance > may_be_reckoned(line.initial)) {
            target = navdata::site(day_.world[*guide]);
            line = earth::geodesic(question_.place, target);
            back.direct_to = day_.world[*guide].ident;
        }
        procedure::Guidance guidance = procedure::OnHeading{line.initial};
        if (const auto aid = aid_at(target)) {
            const auto* azimuth = navdata::vor(day_.world[*aid]);
            std::optional<base::Radial> course;
            if (azimuth != nullptr) {
                // Reckoned at the aid, where its radials are.
                course = base::to_radial(line.arrival, azimuth->declination);
                guidance = procedure::OnRadial{*aid, true, *course};
            } else {
                guidance = procedure::OnBeacon{*aid, true, line.initial};
            }
            back.set = set_for(*aid, back.radios, course);
        } else if (lines_[i].station) {
            back.set = set_for(*lines_[i].station, back.radios, steps_[i]->course_set);
        }
        back.minimum = minimum_to(target, line.distance, guidance);
        fly(back, line.initial, line.distance, guidance);
        hear(back);
        return back;
    }

    // On which set it stands on the card; else on the first that it can be set on.
    std::optional<AidToSet> set_for(StationId id, const flight::StepRadios& radios,
                                    std::optional<base::Radial> course) const {
        const navdata::Station& station = day_.world[id];
        AidToSet set{id, flight::named(station), {}, course};
        const auto& aboard = day_.aircraft.equipment;
        if (navdata::ndb(station) != nullptr) {
            set.set = {flight::SetKind::adf, 1};
            set.course.reset();
            return aboard.adf ? std::optional(set) : std::nullopt;
        }
        for (const flight::ReceiverStands& receiver : radios.receivers) {
            if (receiver.active == set.aid) {
                set.set.number = receiver.number;
                return set;
            }
        }
        const bool is_localizer = navdata::localizer(station) != nullptr;
        for (std::size_t i = 0; i < aboard.receivers.size(); ++i) {
            if (!is_localizer || aboard.receivers[i].localizer) {
                set.set.number = static_cast<int>(i) + 1;
                return set;
            }
        }
        return std::nullopt;
    }

    flight::LegMinimum minimum_to(earth::Position end, Length distance,
                                  const procedure::Guidance& guidance) const {
        return flight::off_airway_minimum(day_.world, day_.ground, day_.settings, question_.place, end,
                                          {{Length(), distance, guidance}});
    }

    void fly(BackToCard& back, TrueBearing track, Length distance,
             const procedure::Guidance& guidance) const {
        back.track = base::to_magnetic(track, variation_);
        back.distance = distance;
        const auto flown = held(track);
        if (flown) {
            back.heading = base::to_magnetic(flown->heading, variation_);
            back.time = distance / flown->groundspeed;
            if (question_.heading) {
                back.turn = *back.heading - *question_.heading;
            }
        } else {
            find(back, Grade::warns, "no_heading", "no heading holds that track in this wind");
        }
        const bool by_heading = std::holds_alternative<procedure::OnHeading>(guidance);
        if (const Length may_be = may_be_reckoned(track); by_heading && distance > may_be) {
            find(back, Grade::warns, "by_heading",
                 fmt::format("{:.1f} NM by heading alone, {:.1f} NM are what may be reckoned",
                             distance.nautical_miles(), may_be.nautical_miles()));
        }
        if (back.minimum.altitude && question_.go_on_at < *back.minimum.altitude) {
            find(back, Grade::warns, "below_minimum",
                 fmt::format("has its minimum at {:.0f} ft, {:.0f} ft is flown",
                             back.minimum.altitude->feet(), question_.go_on_at.feet()));
        }
    }

    void hear(BackToCard& back) const {
        if (!back.set) {
            find(back, Grade::warns, "nothing_to_set",
                 "no aid of the step that can be set aboard shows where it is joined");
            return;
        }
        const auto at = [&](base::Altitude altitude) {
            return heard_there(day_.world, day_.ground, back.set->station, question_.belief, question_.place,
                               altitude);
        };
        back.heard.push_back(at(question_.altitude));
        if (question_.go_on_at != question_.altitude) {
            back.heard.push_back(at(question_.go_on_at));
        }
        if (const HeardThere& there = back.heard.back(); !there.here.heard()) {
            find(back, Grade::warns, "not_heard",
                 fmt::format("{} {} is not heard there at {:.0f} ft: {}", back.set->aid.kind,
                             back.set->aid.ident, there.altitude.feet(), radio::to_text(there.here)));
        }
    }

    static void find(BackToCard& back, Grade grade, const char* code, std::string text) {
        back.findings.push_back({grade, std::string("back.") + code,
                                 fmt::format("back to step {}", back.step), std::move(text), "", back.step});
    }

    const flight::Circumstances& day_;
    const FlownCard& card_;
    const BackQuestion& question_;
    earth::LocalFrame frame_;
    PlanePoint here_;
    base::Variation variation_;
    std::vector<const TrackStep*> steps_;
    std::vector<StepLine> lines_;
};

}  // namespace

std::optional<BackToCard> back_to_card(const flight::Circumstances& day, const FlownCard& card,
                                       const BackQuestion& question) {
    return card.compiled.track.steps.empty() ? std::nullopt : Joining(day, card, question).result();
}

}  // namespace omniway::plan
