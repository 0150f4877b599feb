#include "procedure/final_segment.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "radio/reception.hpp"

namespace omniway::procedure {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;

namespace {

class Builder {
public:
    Builder(const navdata::Snapshot& world, std::span<const PlacedLeg> legs, FinalSegment segment)
        : world_(world), legs_(legs), segment_(std::move(segment)) {}

    FinalSegment result(std::optional<navdata::StationId> localizer,
                        std::optional<navdata::RunwayId> runway) {
        if (segment_.on_glideslope && localizer) {
            glideslope(*navdata::localizer(world_[*localizer]), runway ? &world_[*runway] : nullptr);
        } else {
            coded_descent();
        }
        step_downs();
        advisory(localizer);
        return std::move(segment_);
    }

private:
    const navdata::Leg& fix_row() const { return *legs_[segment_.fix_leg].coded; }
    const navdata::Leg& end_row() const { return *legs_[segment_.end_leg].coded; }

    void glideslope(const navdata::LocalizerAzimuth& azimuth, const navdata::Runway* runway) {
        if (!azimuth.glideslope) {
            return;
        }
        segment_.angle = azimuth.glideslope->angle;
        segment_.gradient = Gradient::of(azimuth.glideslope->angle);
        segment_.published_at_fix = coded_glideslope_altitude(fix_row());
        segment_.glide_path = glide_path(*azimuth.glideslope, runway);
        if (!segment_.glide_path) {
            return;
        }
        const Length fix_from_foot = earth::distance(segment_.glide_path->foot, segment_.final_fix.position);
        segment_.glideslope_at_fix = altitude_on(*segment_.glide_path, fix_from_foot);
        const auto intercept = intercept_altitude();
        if (const auto at = intercept ? distance_at(*segment_.glide_path, *intercept) : std::nullopt) {
            segment_.intercept_before_fix = *at - fix_from_foot;
        }
    }

    // Flown level until the needle comes down: what is coded before the final fix as the glideslope's (J), else what the final fix
    // is coded with.
    std::optional<Altitude> intercept_altitude() const {
        for (std::size_t i = segment_.fix_leg; i-- > 0;) {
            if (const auto coded = coded_glideslope_altitude(*legs_[i].coded)) {
                return coded;
            }
        }
        return segment_.published_at_fix ? segment_.published_at_fix : segment_.altitude_at_fix;
    }

    void coded_descent() {
        const auto angle = end_row().vertical_angle;
        if (angle && abs(*angle) > base::Angle::degrees(0.0)) {
            segment_.angle = abs(*angle);
            segment_.gradient = Gradient::of(*segment_.angle);
            return;
        }
        if (segment_.altitude_at_fix && end_row().altitude_1 && segment_.length > Length()) {
            segment_.gradient =
                Gradient::of(*segment_.altitude_at_fix - *end_row().altitude_1, segment_.length);
        }
    }

    void step_downs() {
        Length left = segment_.length;
        for (std::size_t i = segment_.fix_leg + 1; i < segment_.end_leg; ++i) {
            left -= legs_[i].length;
            const AltitudeWindow window = window_of(*legs_[i].coded);
            if (legs_[i].to && !window.open()) {
                const auto* at_fix = std::get_if<AtFix>(&legs_[i].ending);
                segment_.step_downs.push_back(
                    {*legs_[i].to, left, window,
                     at_fix != nullptr ? std::optional(at_fix->telling) : std::nullopt});
            }
        }
    }

    // Where the aircraft is so far after the final fix.
    earth::Position place_after(Length after) const {
        for (std::size_t i = segment_.fix_leg + 1; i <= segment_.end_leg; ++i) {
            const PlacedLeg& leg = legs_[i];
            if (after <= leg.length || i == segment_.end_leg) {
                return earth::destination(leg.start, leg.track, std::min(after, leg.length));
            }
            after -= leg.length;
        }
        return segment_.end.position;
    }

    std::optional<Altitude> advised_after(Length after) const {
        if (segment_.glide_path) {
            return altitude_on(*segment_.glide_path,
                               earth::distance(segment_.glide_path->foot, place_after(after)));
        }
        if (segment_.on_glideslope || !segment_.altitude_at_fix || !segment_.gradient ||
            *segment_.gradient <= Gradient()) {
            return std::nullopt;
        }
        // A coded angle aims at the end: level until its line comes down to the altitude of the fix. Without one the line begins at
        // the fix.
        const auto at_end = segment_.angle ? end_row().altitude_1 : std::nullopt;
        const Length left = segment_.length - after;
        Altitude advised = at_end
                               ? std::min(*segment_.altitude_at_fix, *at_end + segment_.gradient->over(left))
                               : *segment_.altitude_at_fix - segment_.gradient->over(after);
        for (const StepDown& step : segment_.step_downs) {
            if (step.before_end <= left && step.window.at_or_above) {
                advised = std::max(advised, *step.window.at_or_above);
            }
        }
        return advised;
    }

    // The DME of the aid that guides the final, else the one that tells the final fix.
    std::optional<navdata::StationId> distance_aid(std::optional<navdata::StationId> localizer) const {
        if (localizer && world_[*localizer].dme) {
            return localizer;
        }
        const PlacedLeg& end = legs_[segment_.end_leg];
        if (const auto guide = station_of(end.guidance); guide && world_[*guide].dme) {
            return guide;
        }
        const auto* at_fix = std::get_if<AtFix>(&legs_[segment_.fix_leg].ending);
        const auto* reading =
            at_fix != nullptr ? std::get_if<fixing::DmeReading>(&at_fix->telling.way) : nullptr;
        return reading != nullptr ? std::optional(reading->station) : std::nullopt;
    }

    void advisory(std::optional<navdata::StationId> localizer) {
        const auto station = distance_aid(localizer);
        if (!station || !advised_after(Length())) {
            return;
        }
        const navdata::DistancePart& dme = *world_[*station].dme;
        const auto shown_after = [&](Length after) {
            return radio::slant_range(
                       earth::distance(dme.position, place_after(after)),
                       {.aircraft = *advised_after(after), .antenna = dme.elevation.value_or(Altitude())}) -
                   dme.bias;
        };
        AdvisoryTable table{*station, {}};
        const Length at_fix = shown_after(Length());
        const Length at_end = shown_after(segment_.length);
        const double step_nm = at_end < at_fix ? -1.0 : 1.0;
        table.rows.push_back({at_fix, *advised_after(Length())});
        Length from;
        for (Length shown = at_fix + Length::nautical_miles(step_nm);
             step_nm < 0.0 ? shown > at_end : shown < at_end; shown += Length::nautical_miles(step_nm)) {
            // The reading runs one way between the last row and the end, or there is no such place: then the table ends.
            Length low = from;
            Length high = segment_.length;
            for (int i = 0; i < 40; ++i) {
                const Length middle = (low + high) * 0.5;
                ((shown_after(middle) - shown) * step_nm < Length() ? low : high) = middle;
            }
            if (abs(shown_after(high) - shown) > Length::nautical_miles(0.01)) {
                break;
            }
            from = high;
            table.rows.push_back({shown, *advised_after(high)});
        }
        segment_.advisory = std::move(table);
    }

    const navdata::Snapshot& world_;
    std::span<const PlacedLeg> legs_;
    FinalSegment segment_;
};

}  // namespace

std::optional<Length> FinalSegment::glideslope_difference() const {
    return published_at_fix && glideslope_at_fix ? std::optional(*glideslope_at_fix - *published_at_fix)
                                                 : std::nullopt;
}

std::optional<FinalSegment> final_segment(const navdata::Snapshot& world, std::span<const PlacedLeg> legs,
                                          std::optional<navdata::StationId> localizer,
                                          std::optional<navdata::RunwayId> runway) {
    const auto is_final_fix = [](const PlacedLeg& leg) {
        return leg.coded->is_final_approach_fix() && leg.to;
    };
    const auto is_end = [](const PlacedLeg& leg) {
        return leg.coded->is_missed_approach_point() && leg.to && !leg.missed;
    };
    const auto end = std::find_if(legs.begin(), legs.end(), is_end);
    if (end == legs.end()) {
        return std::nullopt;
    }
    // A course reversal may pass the final fix twice: what counts is the last time.
    const auto fix = std::find_if(std::make_reverse_iterator(end), legs.rend(), is_final_fix);
    if (fix == legs.rend()) {
        return std::nullopt;
    }
    FinalSegment segment;
    segment.fix_leg = static_cast<std::size_t>(legs.rend() - fix) - 1;
    segment.end_leg = static_cast<std::size_t>(end - legs.begin());
    segment.final_fix = *legs[segment.fix_leg].to;
    segment.end = *end->to;
    for (std::size_t i = segment.fix_leg + 1; i <= segment.end_leg; ++i) {
        segment.length += legs[i].length;
    }
    segment.on_glideslope = std::holds_alternative<AtDecisionAltitude>(end->ending);
    const auto* missed = std::get_if<AtMissedApproachPoint>(&end->ending);
    segment.timed = missed != nullptr && !missed->telling;
    segment.altitude_at_fix = window_of(*legs[segment.fix_leg].coded).at_or_above;
    return Builder(world, legs, std::move(segment)).result(localizer, runway);
}

std::vector<Finding> findings_of(const FinalSegment& segment, const std::string& about) {
    std::vector<Finding> findings;
    if (const auto off = segment.glideslope_difference(); off && abs(*off) > glideslope_check_tolerance) {
        findings.push_back(
            {Grade::warns, "vertical.glideslope_differs", about,
             fmt::format("the glideslope passes {} at {:.0f} ft by the records of its antenna and runway, "
                         "{:.0f} ft are published: {:.0f} ft apart",
                         segment.final_fix.ident, segment.glideslope_at_fix->feet(),
                         segment.published_at_fix->feet(), abs(*off).feet()),
             "check the crossing height at the final fix on the chart"});
    }
    if (segment.on_glideslope && !segment.glide_path) {
        findings.push_back(
            {Grade::notes, "vertical.glideslope_height_unknown", about,
             "neither the height over its threshold nor the elevation of its antenna is in the "
             "data: where the glideslope passes the final fix is not known",
             "import the glideslope's record"});
    }
    // A coded angle is rounded to a hundredth of a degree: half of it is no excess.
    const Gradient rounding = Gradient::of(base::Angle::degrees(0.005));
    if (!segment.on_glideslope && segment.gradient && *segment.gradient > steepest_straight_in + rounding) {
        findings.push_back(
            {Grade::warns, "vertical.final_too_steep", about,
             fmt::format("its final descends {:.0f} ft/NM ({:.2f} degrees) from {}; straight in at most "
                         "400 ft/NM (3.77 degrees)",
                         segment.gradient->feet_per_nautical_mile(), segment.gradient->angle().degrees(),
                         segment.final_fix.ident),
             "circling minima, or an earlier descent to the altitude of the step-down"});
    }
    return findings;
}

}  // namespace omniway::procedure
