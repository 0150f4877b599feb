#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "writers/detail/procedure_lines.hpp"

namespace omniway::writers::detail {

namespace {

using navdata::PathTerminator;
using navdata::Snapshot;

bool takes_no_room(const plan::ReportedLeg& leg) {
    if (leg.coded == nullptr) {
        return false;
    }
    const PathTerminator t = leg.coded->terminator;
    return t == PathTerminator::PI || t == PathTerminator::HF || t == PathTerminator::HA ||
           t == PathTerminator::HM;
}

// A leg laid out along one axis, in nautical miles from the first.
struct Laid {
    const plan::ReportedLeg* leg = nullptr;
    double from_nm = 0.0;
    double to_nm = 0.0;
};

class Profile {
public:
    Profile(const Snapshot& world, const plan::ProcedureReport& report, const plan::ReportedWay& way,
            const Box& box)
        : world_(world), report_(report), way_(way), box_(box), labels_(box) {
        const navdata::Procedure& procedure = world.procedures()[report.request.procedure.index];
        to_runway_ = procedure.kind == navdata::ProcedureKind::approach;
        lay_out();
        choose_scale();
    }

    Drawing draw() {
        grid();
        legs();
        glideslope();
        missed();
        fixes();
        say_what_is_not_coded();
        return std::move(drawing_);
    }

private:
    void lay_out() {
        double at_nm = 0.0;
        for (const plan::ReportedLeg& leg : way_.legs) {
            if (leg.missed) {
                break;
            }
            const double length_nm = takes_no_room(leg) ? 0.0 : leg.flown.length().nautical_miles();
            laid_.push_back({&leg, at_nm, at_nm + length_nm});
            at_nm += length_nm;
        }
        end_nm_ = at_nm;
        // Far out a profile tells little: the last 30 NM of an approach.
        constexpr double most_nm = 30.0;
        first_nm_ = to_runway_ ? std::max(0.0, end_nm_ - most_nm) : 0.0;
    }

    void choose_scale() {
        highest_ft_ = 1000.0;
        const double field_ft = world_[report_.airport].elevation.value_or(base::Altitude()).feet();
        lowest_ft_ = field_ft;
        for (const Laid& each : laid_) {
            if (each.to_nm < first_nm_) {
                continue;
            }
            for (const base::Altitude altitude : {each.leg->flown.at_start, each.leg->flown.at_end}) {
                highest_ft_ = std::max(highest_ft_, altitude.feet());
            }
            for (const auto& bound : {each.leg->lowest, each.leg->highest}) {
                highest_ft_ = std::max(highest_ft_, bound ? bound->feet() : 0.0);
            }
        }
        for (const plan::ReportedLeg& leg : way_.legs) {
            highest_ft_ = leg.missed && leg.lowest
                              ? std::max(highest_ft_, std::min(leg.lowest->feet(), highest_ft_ * 1.5))
                              : highest_ft_;
        }
        highest_ft_ += 0.22 * (highest_ft_ - lowest_ft_);
        lowest_ft_ -= 0.02 * (highest_ft_ - lowest_ft_);
    }

    double x(double at_nm) const {
        const double right = box_.right_px - (to_runway_ ? 110.0 : 40.0);
        const double left = box_.left_px + 56.0;
        const double span = std::max(end_nm_ - first_nm_, 0.1);
        return left + std::clamp((at_nm - first_nm_) / span, 0.0, 1.0) * (right - left);
    }
    double y(double feet) const {
        return floor_y() - (feet - lowest_ft_) / (highest_ft_ - lowest_ft_) * (floor_y() - box_.top_px);
    }
    double floor_y() const { return box_.bottom_px - 44.0; }

    void grid() {
        const double span_ft = highest_ft_ - lowest_ft_;
        const double step_ft = span_ft > 20000.0  ? 5000.0
                               : span_ft > 8000.0 ? 2000.0
                               : span_ft > 3000.0 ? 1000.0
                                                  : 500.0;
        for (double level = std::max(0.0, std::ceil(lowest_ft_ / step_ft)) * step_ft; level <= highest_ft_;
             level += step_ft) {
            drawing_.line({{x(first_nm_), y(level)}, {box_.right_px, y(level)}},
                          "stroke=\"#dddddd\" stroke-width=\"0.6\"");
            drawing_.text({x(first_nm_) - 6.0, y(level) + 3.0}, fmt::format("{:.0f} ft", level), 8.5,
                          Anchor::end);
        }
        drawing_.line({{x(first_nm_), floor_y()}, {box_.right_px, floor_y()}},
                      "stroke=\"#666666\" stroke-width=\"1\"");
        const double span_nm = end_nm_ - first_nm_;
        double step_nm = 1.0;
        for (const double next : {2.0, 5.0, 10.0, 20.0, 50.0, 100.0}) {
            step_nm = span_nm / step_nm > 14.0 ? next : step_nm;
        }
        for (double mile = 0.0; mile <= span_nm + 0.01; mile += step_nm) {
            const double at = to_runway_ ? x(end_nm_ - mile) : x(mile);
            drawing_.line({{at, floor_y()}, {at, floor_y() + 4.0}}, "stroke=\"#666666\" stroke-width=\"1\"");
            drawing_.text({at, floor_y() + 13.0}, fmt::format("{:g}", mile), 8.5, Anchor::middle);
        }
        drawing_.text({box_.left_px, floor_y() + 13.0}, to_runway_ ? "NM to go" : "NM flown", 8.5);
    }

    void legs() {
        for (const Laid& each : laid_) {
            if (each.to_nm <= first_nm_ || each.leg->flown.pieces.empty() || !each.leg->placed) {
                continue;
            }
            if (takes_no_room(*each.leg)) {
                reversal(each);
                continue;
            }
            const std::vector<Point> points{{x(each.from_nm), y(each.leg->flown.at_start.feet())},
                                            {x(each.to_nm), y(each.leg->flown.at_end.feet())}};
            draw_leg(drawing_, points, pattern_of(each.leg->placed->guidance), false, "",
                     leg_label(*each.leg));
            labels_.avoid_line(points);
        }
    }

    void reversal(const Laid& each) {
        const Point at{x(each.to_nm), y(each.leg->flown.at_end.feet())};
        const bool is_turn = each.leg->coded->terminator == PathTerminator::PI;
        drawing_.line({{at.x_px, at.y_px},
                       {at.x_px - 12.0, at.y_px - 5.0},
                       {at.x_px - 12.0, at.y_px + 5.0},
                       {at.x_px, at.y_px}},
                      "stroke=\"black\" stroke-width=\"1\"");
        labels_.put(drawing_, at, 14.0,
                    {fmt::format("{}, {:.1f} NM", is_turn ? "procedure turn" : "hold",
                                 each.leg->flown.length().nautical_miles())},
                    9.0, true);
    }

    void glideslope() {
        if (!to_runway_ || !way_.localizer || !way_.runway) {
            return;
        }
        const bool on_it = std::any_of(laid_.begin(), laid_.end(), [](const Laid& each) {
            return each.leg->placed &&
                   std::holds_alternative<procedure::AtDecisionAltitude>(each.leg->placed->ending);
        });
        const auto& slope = navdata::localizer(world_[*way_.localizer])->glideslope;
        const auto& elevation = world_[*way_.runway].elevation;
        if (!on_it || !slope || !elevation) {
            return;
        }
        const double foot_ft =
            elevation->feet() + slope->threshold_crossing_height.value_or(base::Length::feet(50.0)).feet();
        const double top_ft = highest_ft_ - 0.16 * (highest_ft_ - lowest_ft_);
        const double out_nm =
            std::min((top_ft - foot_ft) / 6076.12 / base::tan(slope->angle), end_nm_ - first_nm_);
        const std::vector<Point> points{
            {x(end_nm_), y(foot_ft)},
            {x(end_nm_ - out_nm), y(foot_ft + out_nm * 6076.12 * base::tan(slope->angle))}};
        drawing_.line(points,
                      "class=\"glideslope\" stroke=\"black\" stroke-width=\"0.8\" stroke-dasharray=\"1 2\"");
        labels_.avoid_line(points);
        labels_.put(drawing_, points[1], 4.0,
                    {fmt::format("glideslope {:.2f}\u00b0", slope->angle.degrees())}, 9.0, true);
    }

    void missed() {
        if (laid_.empty()) {
            return;
        }
        for (const plan::ReportedLeg& leg : way_.legs) {
            if (!leg.missed) {
                continue;
            }
            const double from_ft = laid_.back().leg->flown.at_end.feet();
            const double to_ft = std::min(
                std::max(leg.lowest ? leg.lowest->feet() : from_ft, from_ft + 0.25 * (highest_ft_ - from_ft)),
                highest_ft_);
            drawing_.line({{x(end_nm_), y(from_ft)}, {x(end_nm_) + 90.0, y(to_ft)}},
                          "class=\"missed\" stroke=\"black\" stroke-width=\"1.2\" stroke-dasharray=\"14 5\"");
            labels_.avoid_line({{x(end_nm_), y(from_ft)}, {x(end_nm_) + 90.0, y(to_ft)}});
            break;
        }
    }

    void say_what_is_not_coded() {
        const bool coded = std::any_of(laid_.begin(), laid_.end(), [](const Laid& each) {
            return each.leg->lowest || each.leg->highest;
        });
        if (!coded) {
            drawing_.text({x(first_nm_) + 8.0, box_.top_px + 12.0},
                          "no altitude is coded: the heights drawn are taken, not published", 9.0);
        }
    }

    static std::vector<std::string> bounds(const plan::ReportedLeg& leg) {
        std::vector<std::string> lines;
        if (leg.highest && leg.lowest && *leg.highest != *leg.lowest) {
            lines.push_back(fmt::format("\u2264{:.0f}", leg.highest->feet()));
            lines.push_back(fmt::format("\u2265{:.0f}", leg.lowest->feet()));
        } else if (leg.highest || leg.lowest) {
            lines.push_back(fmt::format("{}{:.0f}",
                                        leg.highest && leg.lowest ? "="
                                        : leg.lowest              ? "\u2265"
                                                                  : "\u2264",
                                        (leg.lowest ? leg.lowest : leg.highest)->feet()));
        }
        return lines;
    }

    // The bound itself: a bar, hatched on the side that is forbidden.
    void bar(double at_px, double feet, bool below_is_forbidden) {
        drawing_.line({{at_px - 9.0, y(feet)}, {at_px + 9.0, y(feet)}},
                      "class=\"bound\" stroke=\"black\" stroke-width=\"1.4\"");
        const double side = below_is_forbidden ? 5.0 : -5.0;
        for (const double along : {-7.0, -2.0, 3.0, 8.0}) {
            drawing_.line({{at_px + along, y(feet)}, {at_px + along - 3.5, y(feet) + side}},
                          "stroke=\"black\" stroke-width=\"0.7\"");
        }
    }

    void fixes() {
        double row_free[2] = {-1e9, -1e9};
        std::string before;
        for (const Laid& each : laid_) {
            const std::string name = plan::end_name(*each.leg);
            if (each.to_nm < first_nm_ || name.empty()) {
                continue;
            }
            const double at = x(each.to_nm);
            drawing_.line({{at, y(each.leg->flown.at_end.feet())}, {at, floor_y()}},
                          "stroke=\"#888888\" stroke-width=\"0.7\" stroke-dasharray=\"2 3\"");
            if (each.leg->lowest) {
                bar(at, each.leg->lowest->feet(), true);
            }
            if (each.leg->highest) {
                bar(at, each.leg->highest->feet(), false);
            }
            const std::vector<std::string> lines = bounds(*each.leg);
            if (!lines.empty() && name + lines.front() != before) {
                labels_.put(drawing_, {at, y(each.leg->flown.at_end.feet())}, 12.0, lines, 9.5);
                before = name + lines.front();
            }
            const std::string words = name + mark(*each.leg);
            const double half = text_width_px(words, 9.0) / 2.0 + 3.0;
            for (int row = 0; row < 2; ++row) {
                if (at - half > row_free[row]) {
                    drawing_.text({at, floor_y() + 26.0 + row * 12.0}, words, 9.0, Anchor::middle);
                    row_free[row] = at + half;
                    break;
                }
            }
        }
    }

    static std::string mark(const plan::ReportedLeg& leg) {
        return leg.coded == nullptr                    ? ""
               : leg.coded->is_final_approach_fix()    ? " (final fix)"
               : leg.coded->is_missed_approach_point() ? " (missed approach point)"
                                                       : "";
    }

    const Snapshot& world_;
    const plan::ProcedureReport& report_;
    const plan::ReportedWay& way_;
    Box box_;
    LabelPlaces labels_;
    bool to_runway_ = true;
    std::vector<Laid> laid_;
    double first_nm_ = 0.0;
    double end_nm_ = 0.0;
    double lowest_ft_ = 0.0;
    double highest_ft_ = 0.0;
    Drawing drawing_;
};

}  // namespace

Drawing procedure_profile(const Snapshot& world, const plan::ProcedureReport& report,
                          const plan::ReportedWay& way, const Box& box) {
    return Profile(world, report, way, box).draw();
}

}  // namespace omniway::writers::detail
