#include <algorithm>
#include <cmath>

#include "debrief/detail/held.hpp"
#include "debrief/detail/measured.hpp"

namespace omniway::debrief::detail {

using base::Angle;
using base::Duration;
using base::Length;
using Shape = flight::StepLine::Shape;

namespace {

constexpr double three_quarters = 0.75;

// How the needles of the guidance stood over a stretch: near an aid they are not looked at.
void needles_stood(Laid& laid, const Stretch& stretch, SideFlown& side) {
    const auto& [step, first, end] = stretch;
    const StepPath& path = laid.path(step);
    const std::vector<Sample>& samples = laid.samples();
    const auto* localizer = std::get_if<flight::FollowLocalizer>(&laid.on_card(step).guidance);
    const bool glideslope = localizer != nullptr && localizer->glideslope && path.line.station;
    Over needle;
    Over slope;
    for (std::size_t i = first; i < end; ++i) {
        if (const auto stands = guiding_needle(laid, step, samples[i])) {
            needle.add(stands->of_full_scale(), samples[i].lasts_s);
            if (std::abs(stands->of_full_scale()) > three_quarters) {
                side.beyond_three_quarters += Duration(samples[i].lasts_s);
            }
        }
        if (glideslope && samples[i].altitude) {
            const Moment here = laid.moment(samples[i], step);
            const auto heard = laid.instruments().silence(*path.line.station, radio::Part::glideslope, here,
                                                          path.line.published);
            const auto up =
                laid.instruments().shows(*path.line.station, heard, cockpit::GlideslopeSetting{}, here);
            if (const auto* shown = std::get_if<cockpit::GlideslopeShown>(&up)) {
                slope.add(shown->needle.of_full_scale(), samples[i].lasts_s);
            }
        }
    }
    if (!needle.empty()) {
        side.of_full_scale = needle.held();
    }
    if (!slope.empty()) {
        side.glideslope_of_full_scale = slope.held();
    }
}

std::optional<base::Radial> course_set(const flight::Step& step) {
    if (const auto* radial = std::get_if<flight::FollowRadial>(&step.guidance)) {
        return radial->course;
    }
    if (const auto* localizer = std::get_if<flight::FollowLocalizer>(&step.guidance)) {
        return localizer->front_course;
    }
    return std::nullopt;
}

}  // namespace

std::optional<cockpit::Needle> guiding_needle(Laid& laid, std::size_t step, const Sample& sample) {
    const flight::StepLine& line = laid.path(step).line;
    const std::optional<base::Radial> course = course_set(laid.on_card(step));
    if (!course || !line.station || laid.near_overhead(sample, step)) {
        return std::nullopt;
    }
    const Moment here = laid.moment(sample, step);
    const auto silence =
        laid.instruments().silence(*line.station, radio::Part::azimuth, here, line.published);
    const auto shows =
        laid.instruments().shows(*line.station, silence, cockpit::CourseSetting{.course = *course}, here);
    if (const auto* vor = std::get_if<cockpit::VorShown>(&shows)) {
        return vor->needle;
    }
    if (const auto* localizer = std::get_if<cockpit::LocalizerShown>(&shows)) {
        return localizer->needle;
    }
    return std::nullopt;
}

SideFlown side_flown(Laid& laid, const Stretch& stretch) {
    const auto& [step, first, end] = stretch;
    const std::vector<Sample>& samples = laid.samples();
    const StepPath& path = laid.path(step);
    SideFlown side;
    side.of_an_arc = path.line.shape == Shape::arc;
    constexpr double along_within_rad = 30.0 * degree;
    constexpr double established_within_m = 1.0 * nm;
    constexpr double established_within_rad = 5.0 * degree;  // half of a VOR needle's scale
    const auto aside_of = [&](std::size_t i) { return laid.aside(step, samples[i].place); };
    std::size_t from = first;
    for (; from < end; ++from) {
        const FromPath there = from_path(path, samples[from].place);
        const flight::Aside aside = aside_of(from);
        const bool along = !there.leads_rad ||
                           std::abs(wrapped(samples[from].track_rad - *there.leads_rad)) <= along_within_rad;
        const double away_m =
            path.line.guide ? metres_between(path.line.guide->site, samples[from].place) : 0.0;
        const double near_m = std::max(established_within_m, away_m * std::sin(established_within_rad));
        if (along && std::abs(aside.aside_m) <= std::min(near_m, aside.primary_m)) {
            break;
        }
    }
    side.was_established = from < end;
    side.established =
        side.was_established
            ? Duration(samples[from].time_s - samples[first].time_s)
            : Duration(samples[std::min(end, samples.size() - 1)].time_s - samples[first].time_s);
    if (!side.was_established) {
        from = first;
    }
    // A turn of half a circle, and the way to the line at 30 degrees.
    constexpr double to_turn_s = 75.0;
    constexpr double cut = 0.5;
    side.established_allowed = Duration(to_turn_s + std::abs(aside_of(first).aside_m) / cut /
                                                        std::max(samples[first].speed_mps, 30.0));
    // Beyond the line: from where it was first crossed, for three minutes. Who was established at once joined nothing, and what follows is tracking.
    constexpr double joining_s = 20.0;
    const double began_m = aside_of(first).aside_m;
    if (std::abs(began_m) > 0.1 * nm && side.established > Duration(joining_s)) {
        double crossed_s = -1.0;
        for (std::size_t i = first; i < end; ++i) {
            const double aside_m = aside_of(i).aside_m;
            if (aside_m * began_m < 0.0) {
                crossed_s = crossed_s < 0.0 ? samples[i].time_s : crossed_s;
                side.overshot = std::max(side.overshot, Length::metres(std::abs(aside_m)));
            }
            if (crossed_s >= 0.0 && (samples[i].time_s > crossed_s + 180.0 || aside_m * began_m > 0.0)) {
                break;
            }
        }
    }
    Over aside_m;
    Over off_deg;
    Over led_deg;
    double seconds = 0.0;
    double primary_s = 0.0;
    double total_s = 0.0;
    for (std::size_t i = from; i < end; ++i) {
        const double lasts_s = samples[i].lasts_s;
        const flight::Aside aside = aside_of(i);
        aside_m.add(aside.aside_m, lasts_s);
        seconds += lasts_s;
        primary_s += std::abs(aside.aside_m) <= aside.primary_m ? lasts_s : 0.0;
        total_s += std::abs(aside.aside_m) <= aside.total_m ? lasts_s : 0.0;
        if (path.line.guide && path.line.shape == Shape::line) {
            const double away_m = metres_between(path.line.guide->site, samples[i].place);
            if (!laid.near_overhead(samples[i], step)) {
                off_deg.add(std::asin(std::clamp(aside.aside_m / away_m, -1.0, 1.0)) / degree, lasts_s);
            }
        }
        if (const FromPath there = from_path(path, samples[i].place); there.leads_rad) {
            led_deg.add(wrapped(samples[i].track_rad - *there.leads_rad) / degree, lasts_s);
        }
    }
    side.aside = in<Length>(aside_m.held(), Length::metres);
    if (!off_deg.empty()) {
        side.degrees = in<Angle>(off_deg.held(), Angle::degrees);
    }
    if (!led_deg.empty()) {
        side.led_off = Angle::degrees(led_deg.held().mean);
    }
    const double before_m = std::abs(aside_of(from).aside_m);
    const double after_m = std::abs(aside_of(end - 1).aside_m);
    if (after_m > before_m) {
        side.drifted = Length::metres(after_m - before_m);
    }
    side.inside_primary = seconds > 0.0 ? primary_s / seconds : 1.0;
    side.inside_total = seconds > 0.0 ? total_s / seconds : 1.0;
    needles_stood(laid, {step, from, end}, side);
    return side;
}

}  // namespace omniway::debrief::detail
