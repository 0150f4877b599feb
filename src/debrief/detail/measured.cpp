#include "debrief/detail/measured.hpp"

#include <algorithm>
#include <cmath>

#include "debrief/detail/held.hpp"

namespace omniway::debrief::detail {

using base::Altitude;
using base::Duration;
using base::Length;
using earth::PlanePoint;

namespace {

constexpr Length level_within = Length::feet(100.0);  // IFR test standards (FAA-S-ACS-8), from memory
constexpr double to_act_s = 10.0;  // from seeing a fix to the turn; common practice, no source

// Of the legs that a step is made of, the nearest one's: a step's own minimum is that of the highest of them.
std::optional<Altitude> minimum_at(const Laid& laid, std::size_t step, PlanePoint place) {
    const bool missed = step >= laid.first_missed();
    const auto& legs = missed ? laid.flight().missed : laid.flight().legs;
    const std::size_t first_step = missed ? laid.first_missed() : 0;
    const std::size_t last = std::min(laid.planned(step).leg + 1, legs.size());
    std::size_t first = step > first_step ? laid.planned(step - 1).leg : 0;
    // The step before may have ended within the leg on which this one goes on.
    first = std::min(first + (step > first_step && first + 1 < last ? 1U : 0U), last);
    std::optional<Altitude> lowest;
    double nearest_m = 1e12;
    for (std::size_t i = first; i < last; ++i) {
        flight::StepLine line;
        line.start = laid.frame().to_plane(legs[i].start);
        line.finish = laid.frame().to_plane(legs[i].finish);
        StepPath path;
        path.line = line;
        if (const double away_m = from_path(path, place).metres; away_m < nearest_m) {
            nearest_m = away_m;
            lowest = legs[i].minimum.altitude;
        }
    }
    return laid.on_card(step).heights.minimum && lowest
               ? std::min(*laid.on_card(step).heights.minimum, *lowest)
               : laid.on_card(step).heights.minimum;
}

}  // namespace

std::optional<HeightsFlown> heights_flown(const Laid& laid, const Stretch& stretch) {
    const auto& [step, first, end] = stretch;
    const flight::StepHeights& meant = laid.on_card(step).heights;
    std::optional<HeightsFlown> flown;
    Over off_ft;
    bool reached = false;
    for (std::size_t i = first; i < end; ++i) {
        if (!laid.samples()[i].altitude) {
            continue;
        }
        const Altitude altitude = *laid.samples()[i].altitude;
        if (!flown) {
            flown.emplace();
            flown->lowest = altitude;
            flown->highest = altitude;
        }
        flown->lowest = std::min(flown->lowest, altitude);
        flown->highest = std::max(flown->highest, altitude);
        flown->at_end = altitude;
        const Length off = altitude - meant.at_end;
        reached = reached || abs(off) <= level_within;
        if (meant.vertical == flight::Vertical::level && reached) {
            off_ft.add(off.feet(), laid.samples()[i].lasts_s);
            flown->off_by_100_ft += Duration(abs(off) > level_within ? laid.samples()[i].lasts_s : 0.0);
        }
        const bool holds =
            meant.vertical == flight::Vertical::level || meant.vertical == flight::Vertical::descend;
        const auto minimum = minimum_at(laid, step, laid.samples()[i].place);
        if (holds && minimum && *minimum - altitude > level_within) {
            flown->below_minimum = std::max(flown->below_minimum, *minimum - altitude);
            flown->below_minimum_for += Duration(laid.samples()[i].lasts_s);
        }
    }
    if (!flown) {
        return std::nullopt;
    }
    flown->at_end_off = flown->at_end - meant.at_end;
    if (!off_ft.empty()) {
        flown->off_level = in<Length>(off_ft.held(), Length::feet);
    }
    return flown;
}

std::optional<FixPassed> fix_passed(const Laid& laid, const Stretch& stretch) {
    const auto& [step, first, end] = stretch;
    const flight::StepLine& line = laid.path(step).line;
    if (laid.on_card(step).to.empty() && !line.ends_at_fix) {
        return std::nullopt;
    }
    constexpr double around_s = 300.0;
    const double at_s = laid.samples()[std::min(end, laid.samples().size() - 1)].time_s;
    const Nearest passed =
        laid.nearest(line.finish, std::max(laid.samples()[first].time_s, at_s - around_s), at_s + around_s);
    if (passed.metres > 1e11) {
        return std::nullopt;
    }
    FixPassed fix;
    fix.at = Duration(passed.time_s);
    fix.missed_by = Length::metres(passed.metres / laid.frame().scale(passed.place));
    fix.aside = Length::metres(laid.aside(step, passed.place).aside_m);
    if (line.ends_at_fix) {
        fix.allowed_share = passed.metres / (2.0 * line.end_allowed_m + 0.5 * nm);
    }
    if (const auto turned_s = laid.turned_at_s(step, end)) {
        fix.turned_after = Duration(*turned_s - passed.time_s);
        constexpr double slowest_mps = 30.0;
        const double speed_mps =
            std::max(laid.samples()[laid.sample_at(passed.time_s)].speed_mps, slowest_mps);
        fix.turn_allowed = Duration(to_act_s + line.end_allowed_m / speed_mps);
    }
    return fix;
}

HoldFlown hold_flown(const Laid& laid, const Stretch& stretch) {
    const auto& [step, first, end] = stretch;
    const StepPath& path = laid.path(step);
    const auto& meant = std::get<flight::FlyHold>(laid.on_card(step).guidance);
    const double inbound_rad = laid.grid_rad(meant.inbound, laid.planned(step), path.fix);
    HoldFlown flown;
    const procedure::HoldTime standard =
        procedure::hold_time(laid.planned(step).altitude, laid.circumstances().settings.criteria);
    if (!meant.outbound_reading && standard.leg == procedure::TimedLeg::inbound) {
        flown.inbound_meant = standard.time;
    }
    double seconds = 0.0;
    double inside_s = 0.0;
    double rolled_out_s = -1.0;
    constexpr double toward_rad = 45.0 * degree;
    constexpr double level_rad_s = 1.0 * degree;  // turns slower: wings level
    constexpr double shortest_s = 10.0;
    constexpr double over_the_fix_m = 2.0 * nm;
    bool been_out = false;
    const std::size_t last = std::min(end + 1, laid.samples().size());
    for (std::size_t i = first; i < last; ++i) {
        const Sample& sample = laid.samples()[i];
        const double before_m = (path.fix.east_m - sample.place.east_m) * std::sin(inbound_rad) +
                                (path.fix.north_m - sample.place.north_m) * std::cos(inbound_rad);
        const double away_m = metres_between(sample.place, path.fix);
        flown.farthest = std::max(flown.farthest, Length::metres(away_m));
        const Length beyond = path.area->beyond(sample.place);
        flown.outside = std::max(flown.outside, beyond);
        seconds += sample.lasts_s;
        inside_s += beyond <= Length() ? sample.lasts_s : 0.0;
        const std::size_t soon = std::min(i + 1, laid.samples().size() - 1);
        const double turns_rad_s = std::abs(wrapped(laid.samples()[soon].track_rad - sample.track_rad)) /
                                   std::max(sample.lasts_s, 1.0);
        const bool toward = std::abs(wrapped(sample.track_rad - inbound_rad)) <= toward_rad;
        const bool inbound = toward && (rolled_out_s >= 0.0 || turns_rad_s <= level_rad_s);
        been_out = been_out || std::abs(wrapped(sample.track_rad - inbound_rad)) > pi / 2.0;
        if (!inbound || !been_out) {
            rolled_out_s = -1.0;
            continue;
        }
        rolled_out_s = rolled_out_s < 0.0 ? sample.time_s : rolled_out_s;
        const bool passes = before_m <= 0.0 || i + 1 == last;
        if (passes && away_m < over_the_fix_m && sample.time_s - rolled_out_s >= shortest_s) {
            flown.inbound.push_back(Duration(sample.time_s - rolled_out_s));
            ++flown.circuits;
            been_out = false;
            rolled_out_s = -1.0;
        }
    }
    flown.inside_share = seconds > 0.0 ? inside_s / seconds : 1.0;
    return flown;
}

std::optional<ReversalFlown> reversal_flown(const Laid& laid, const Stretch& stretch) {
    const auto& [step, first, end] = stretch;
    const auto* meant = std::get_if<flight::ReverseCourse>(&laid.on_card(step).guidance);
    if (meant == nullptr) {
        return std::nullopt;
    }
    const StepPath& path = laid.path(step);
    // The long turn goes back to the right where the aircraft turned off to the left.
    const double side = meant->back == navdata::Turn::left ? 1.0 : -1.0;
    ReversalFlown flown;
    flown.within = meant->within;
    for (std::size_t i = first; i < end; ++i) {
        const double east = laid.samples()[i].place.east_m - path.fix.east_m;
        const double north = laid.samples()[i].place.north_m - path.fix.north_m;
        const double right = east * std::cos(path.outbound_rad) - north * std::sin(path.outbound_rad);
        flown.farthest = std::max(flown.farthest, Length::metres(std::hypot(east, north)));
        flown.to_the_turning_side = std::max(flown.to_the_turning_side, Length::metres(side * right));
        flown.to_the_other_side = std::max(flown.to_the_other_side, Length::metres(-side * right));
    }
    return flown;
}

}  // namespace omniway::debrief::detail
