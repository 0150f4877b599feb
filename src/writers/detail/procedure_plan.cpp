#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "plan/wording.hpp"
#include "writers/detail/procedure_lines.hpp"

namespace omniway::writers::detail {

namespace {

using navdata::Snapshot;

// Azimuthal equidistant: distance and bearing from the middle are true.
struct Metres {
    double east_m = 0.0;
    double north_m = 0.0;
};

Metres projected(earth::Position middle, earth::Position place) {
    const earth::Geodesic line = earth::geodesic(middle, place);
    const double away_m = line.distance.metres();
    return {away_m * base::sin(line.initial.from_north()), away_m * base::cos(line.initial.from_north())};
}

struct Extent {
    double west_m = std::numeric_limits<double>::infinity();
    double east_m = -std::numeric_limits<double>::infinity();
    double south_m = std::numeric_limits<double>::infinity();
    double north_m = -std::numeric_limits<double>::infinity();

    void take(Metres at) {
        west_m = std::min(west_m, at.east_m);
        east_m = std::max(east_m, at.east_m);
        south_m = std::min(south_m, at.north_m);
        north_m = std::max(north_m, at.north_m);
    }
    bool is_near(Metres at) const {
        const double reach_m = 0.25 * std::max(east_m - west_m, north_m - south_m);
        return at.east_m > west_m - reach_m && at.east_m < east_m + reach_m &&
               at.north_m > south_m - reach_m && at.north_m < north_m + reach_m;
    }
};

// Every station that guides or tells on the way.
class StationsOf {
public:
    void take(const procedure::PlacedLeg& leg) {
        if (const auto station = procedure::station_of(leg.guidance)) {
            add(*station);
        }
        std::visit(*this, leg.ending);
    }
    const std::vector<navdata::StationId>& all() const { return all_; }

    template <class End>
    void operator()(const End& end) {
        if constexpr (requires { end.station; }) {
            add(end.station);
        }
        if constexpr (std::is_same_v<End, procedure::AtFix>) {
            std::visit(*this, end.telling.way);
        }
        if constexpr (std::is_same_v<End, procedure::AtMissedApproachPoint>) {
            if (end.telling) {
                std::visit(*this, end.telling->way);
            }
        }
    }

private:
    void add(navdata::StationId id) {
        if (std::find(all_.begin(), all_.end(), id) == all_.end()) {
            all_.push_back(id);
        }
    }
    std::vector<navdata::StationId> all_;
};

struct ShownFix {
    procedure::PlacedFix fix;
    bool flown_over = false;
    std::string told;
};

std::string told_text(const Snapshot& world, const procedure::Ending& ending) {
    struct Say {
        const Snapshot& world;
        std::string operator()(const fixing::Overhead&) const { return ""; }
        std::string operator()(const fixing::DmeReading& way) const {
            return fmt::format("{:.1f} DME {}", way.slant_range.nautical_miles(), world[way.station].ident);
        }
        std::string operator()(const fixing::CrossingRadial& way) const {
            return fmt::format("radial {} {}", plan::three_figures(way.radial.degrees()),
                               world[way.station].ident);
        }
        std::string operator()(const fixing::CrossingBearing& way) const {
            return fmt::format("bearing to {}", world[way.station].ident);
        }
        std::string operator()(const fixing::CrossingLocalizer& way) const {
            return fmt::format("localizer {}", world[way.station].ident);
        }
    };
    if (const auto* at = std::get_if<procedure::AtFix>(&ending)) {
        return std::visit(Say{world}, at->telling.way);
    }
    const auto* at = std::get_if<procedure::AtMissedApproachPoint>(&ending);
    return at != nullptr && at->telling ? std::visit(Say{world}, at->telling->way) : std::string();
}

Point polar(Point centre, double radius_px, double clockwise_from_north_deg) {
    const double angle = clockwise_from_north_deg * std::numbers::pi / 180.0;
    return {centre.x_px + radius_px * std::sin(angle), centre.y_px - radius_px * std::cos(angle)};
}

std::vector<Point> polygon(Point centre, double radius_px, int corners, double first_deg) {
    std::vector<Point> points;
    for (int i = 0; i < corners; ++i) {
        points.push_back(polar(centre, radius_px, first_deg + 360.0 * i / corners));
    }
    return points;
}

constexpr std::string_view outline = "fill=\"white\" stroke=\"black\" stroke-width=\"1.3\"";
constexpr std::string_view halo =
    "paint-order=\"stroke\" stroke=\"white\" stroke-width=\"3\" stroke-linejoin=\"round\"";

class Plan {
public:
    Plan(const Snapshot& world, const plan::ProcedureReport& report, const Box& box)
        : world_(world), report_(report), box_(box), labels_(box), legs_(drawn_legs(report)) {
        choose_scale();
    }

    Drawing draw() {
        frame();
        runways();
        legs();
        stations();
        fixes();
        leg_labels();
        scale_bar();
        return std::move(drawing_);
    }

private:
    void choose_scale() {
        for (const DrawnLeg& each : legs_) {
            lines_.push_back(procedure::drawn(each.leg->flown.pieces));
        }
        const earth::Position airport = world_[report_.airport].position;
        Extent extent = extent_about(airport);
        middle_ = place_of(airport,
                           {(extent.west_m + extent.east_m) / 2.0, (extent.south_m + extent.north_m) / 2.0});
        extent = extent_about(middle_);
        for (const navdata::StationId id : stations_.all()) {
            const Metres at = projected(middle_, navdata::site(world_[id]));
            near_.push_back(extent.is_near(at));
        }
        for (std::size_t i = 0; i < near_.size(); ++i) {
            if (near_[i]) {
                extent.take(projected(middle_, navdata::site(world_[stations_.all()[i]])));
            }
        }
        constexpr double margin_px = 56.0;
        constexpr double least_m = 4000.0;
        const double width_m = std::max(extent.east_m - extent.west_m, least_m);
        const double height_m = std::max(extent.north_m - extent.south_m, least_m);
        px_per_m_ = std::min((box_.right_px - box_.left_px - 2.0 * margin_px) / width_m,
                             (box_.bottom_px - box_.top_px - 2.0 * margin_px) / height_m);
        origin_ = {
            (box_.left_px + box_.right_px) / 2.0 - px_per_m_ * (extent.west_m + extent.east_m) / 2.0,
            (box_.top_px + box_.bottom_px) / 2.0 + px_per_m_ * (extent.south_m + extent.north_m) / 2.0};
    }

    Extent extent_about(earth::Position middle) {
        Extent extent;
        for (const auto& line : lines_) {
            for (const earth::Position& place : line) {
                extent.take(projected(middle, place));
            }
        }
        for (const plan::ReportedWay& way : report_.ways) {
            for (const plan::ReportedLeg& leg : way.legs) {
                if (leg.placed) {
                    stations_.take(*leg.placed);
                    extent.take(projected(middle, leg.placed->finish));
                }
            }
        }
        extent.take(projected(middle, world_[report_.airport].position));
        return extent;
    }

    static earth::Position place_of(earth::Position middle, Metres at) {
        return earth::destination(
            middle, base::TrueBearing::from_north(base::Angle::radians(std::atan2(at.east_m, at.north_m))),
            base::Length::metres(std::hypot(at.east_m, at.north_m)));
    }

    Point on_page(earth::Position place) const {
        const Metres at = projected(middle_, place);
        return {origin_.x_px + px_per_m_ * at.east_m, origin_.y_px - px_per_m_ * at.north_m};
    }

    std::vector<Point> on_page(const std::vector<earth::Position>& line) const {
        std::vector<Point> points;
        for (const earth::Position& place : line) {
            points.push_back(on_page(place));
        }
        return points;
    }

    void frame() {
        drawing_.line({{box_.left_px, box_.top_px},
                       {box_.right_px, box_.top_px},
                       {box_.right_px, box_.bottom_px},
                       {box_.left_px, box_.bottom_px},
                       {box_.left_px, box_.top_px}},
                      "stroke=\"#999999\" stroke-width=\"0.8\"");
        // North, and where the compass points.
        const Point foot{box_.right_px - 30.0, box_.top_px + 58.0};
        drawing_.line({foot, {foot.x_px, foot.y_px - 36.0}}, "stroke=\"black\" stroke-width=\"1\"");
        drawing_.shape({{foot.x_px, foot.y_px - 44.0},
                        {foot.x_px - 4.0, foot.y_px - 34.0},
                        {foot.x_px + 4.0, foot.y_px - 34.0}},
                       "fill=\"black\"");
        const double east = plan::variation_of(world_, report_).value_or(base::Variation()).east().degrees();
        drawing_.line({foot, polar(foot, 34.0, east)},
                      "stroke=\"black\" stroke-width=\"0.7\" stroke-dasharray=\"2 2\"");
        drawing_.text({foot.x_px, foot.y_px + 12.0},
                      fmt::format("{:.1f}\u00b0{}", std::abs(east), east < 0.0 ? "W" : "E"), 9.0,
                      Anchor::middle);
        labels_.avoid({foot.x_px - 26.0, foot.y_px - 48.0, foot.x_px + 26.0, foot.y_px + 16.0});
        labels_.avoid({box_.left_px, box_.bottom_px - 34.0, box_.left_px + 220.0, box_.bottom_px});
    }

    void runways() {
        const navdata::Airport& airport = world_[report_.airport];
        for (const navdata::RunwayId id : world_.runways_of(airport.ident)) {
            const navdata::Runway& runway = world_[id];
            if (runway.threshold && runway.far_end) {
                drawing_.line({on_page(*runway.threshold), on_page(*runway.far_end)},
                              "class=\"runway\" stroke=\"black\" stroke-width=\"5\"");
                labels_.avoid_line({on_page(*runway.threshold), on_page(*runway.far_end)});
            }
        }
    }

    void legs() {
        for (std::size_t i = 0; i < legs_.size(); ++i) {
            const std::vector<Point> points = on_page(lines_[i]);
            const plan::ReportedLeg& leg = *legs_[i].leg;
            draw_leg(drawing_, points, pattern_of(leg.placed->guidance), leg.missed, legs_[i].id,
                     leg_label(leg) + ": " + plan::guidance_text(world_, report_, leg));
            labels_.avoid_line(points);
            if (!leg.flyable()) {
                cross(points);
            }
        }
        for (const DrawnLeg& each : legs_) {
            if (!is_labelled(*each.leg)) {
                arrow(*each.leg);
            }
        }
    }

    void cross(const std::vector<Point>& points) {
        const Point at = points[points.size() / 2];
        const Point before = points[(points.size() - 1) / 2];
        const Point middle{(at.x_px + before.x_px) / 2.0, (at.y_px + before.y_px) / 2.0};
        for (const double side : {-1.0, 1.0}) {
            drawing_.line({{middle.x_px - 6.0, middle.y_px - 6.0 * side},
                           {middle.x_px + 6.0, middle.y_px + 6.0 * side}},
                          "class=\"not-flyable\" stroke=\"black\" stroke-width=\"1.6\"");
        }
        labels_.avoid({middle.x_px - 7.0, middle.y_px - 7.0, middle.x_px + 7.0, middle.y_px + 7.0});
    }

    static const procedure::Straight* longest_straight(const plan::ReportedLeg& leg) {
        const procedure::Straight* longest = nullptr;
        for (const procedure::TrackPiece& piece : leg.flown.pieces) {
            const auto* straight = std::get_if<procedure::Straight>(&piece);
            if (straight != nullptr && (longest == nullptr || straight->length > longest->length)) {
                longest = straight;
            }
        }
        return longest;
    }

    void arrow(const plan::ReportedLeg& leg) {
        const procedure::Straight* straight = longest_straight(leg);
        if (straight == nullptr || straight->length.metres() * px_per_m_ < 24.0) {
            return;
        }
        const Point tip =
            on_page(earth::destination(straight->from, straight->track, straight->length * 0.62));
        const Point behind =
            on_page(earth::destination(straight->from, straight->track, straight->length * 0.6));
        const double toward =
            std::atan2(tip.x_px - behind.x_px, behind.y_px - tip.y_px) * 180.0 / std::numbers::pi;
        drawing_.shape(
            {polar(tip, 5.5, toward), polar(tip, 5.5, toward + 145.0), polar(tip, 5.5, toward - 145.0)},
            "class=\"arrow\" fill=\"black\"");
    }

    void stations() {
        for (std::size_t i = 0; i < stations_.all().size(); ++i) {
            const navdata::Station& station = world_[stations_.all()[i]];
            if (navdata::localizer(station) != nullptr) {
                feather(station);
            } else if (near_[i]) {
                const Point at = on_page(navdata::site(station));
                symbol(station, at);
                labels_.avoid({at.x_px - 11.0, at.y_px - 11.0, at.x_px + 11.0, at.y_px + 11.0});
                named_.push_back(station.ident);
                pending_.push_back(
                    {at,
                     13.0,
                     {station.ident + " " + navdata::frequency_text(station), navdata::kind_text(station)}});
            } else {
                beyond(station);
            }
        }
    }

    void symbol(const navdata::Station& station, Point at) {
        drawing_.open(fmt::format("class=\"station\" data-ident=\"{}\"", escaped(station.ident)));
        const bool dme = station.dme.has_value();
        const auto square = [&](double half) {
            drawing_.shape({{at.x_px - half, at.y_px - half},
                            {at.x_px + half, at.y_px - half},
                            {at.x_px + half, at.y_px + half},
                            {at.x_px - half, at.y_px + half}},
                           outline);
        };
        if (navdata::vor(station) != nullptr) {
            if (dme) {
                square(10.0);
            }
            drawing_.shape(polygon(at, 9.5, 6, 90.0), outline);
            drawing_.circle(at, 1.7, "fill=\"black\"");
        } else if (navdata::ndb(station) != nullptr) {
            for (const double radius : {5.0, 8.0, 11.0}) {
                drawing_.circle(at, radius,
                                "fill=\"none\" stroke=\"black\" stroke-width=\"1.6\" stroke-dasharray=\"0.1 "
                                "3\" stroke-linecap=\"round\"");
            }
            drawing_.circle(at, 2.4, "fill=\"black\"");
            if (dme) {
                drawing_.line({{at.x_px - 12, at.y_px - 12},
                               {at.x_px + 12, at.y_px - 12},
                               {at.x_px + 12, at.y_px + 12},
                               {at.x_px - 12, at.y_px + 12},
                               {at.x_px - 12, at.y_px - 12}},
                              "stroke=\"black\" stroke-width=\"1.3\"");
            }
        } else {
            square(8.0);
            if (!std::holds_alternative<std::monostate>(station.azimuth)) {
                for (const double lobe : {0.0, 120.0, 240.0}) {
                    drawing_.line({at, polar(at, 7.0, lobe)}, "stroke=\"black\" stroke-width=\"3\"");
                }
            }
        }
        drawing_.close();
    }

    // A localizer is the feather of its course, from the aerial outward.
    void feather(const navdata::Station& station) {
        const navdata::LocalizerAzimuth& azimuth = *navdata::localizer(station);
        const base::TrueBearing out = base::to_true(azimuth.course, azimuth.declination).reciprocal();
        const Point apex = on_page(azimuth.position);
        const base::Length length = base::Length::metres(std::clamp(90.0 / px_per_m_, 3000.0, 14000.0));
        const Point tip = on_page(earth::destination(azimuth.position, out, length));
        const double toward =
            std::atan2(tip.x_px - apex.x_px, apex.y_px - tip.y_px) * 180.0 / std::numbers::pi;
        const double reach = std::hypot(tip.x_px - apex.x_px, tip.y_px - apex.y_px);
        const Point left = polar(apex, reach * 1.05, toward - 4.0);
        const Point right = polar(apex, reach * 1.05, toward + 4.0);
        drawing_.open(fmt::format("class=\"station\" data-ident=\"{}\"", escaped(station.ident)));
        drawing_.shape({apex, tip, right}, "fill=\"#bbbbbb\" stroke=\"black\" stroke-width=\"0.7\"");
        drawing_.line({apex, left, tip}, "stroke=\"black\" stroke-width=\"0.7\"");
        drawing_.close();
        labels_.avoid_line({apex, left, tip, right});
        pending_.push_back({polar(apex, 14.0, toward + 180.0),
                            8.0,
                            {fmt::format("{} {}", station.ident, navdata::frequency_text(station)),
                             fmt::format("{} {}", navdata::kind_text(station),
                                         plan::three_figures(azimuth.course.degrees()))}});
    }

    // Off the plan: an arrow at its edge says where and how far.
    void beyond(const navdata::Station& station) {
        const earth::Position site = navdata::site(station);
        const Point at = on_page(site);
        const Point middle{(box_.left_px + box_.right_px) / 2.0, (box_.top_px + box_.bottom_px) / 2.0};
        const double dx = at.x_px - middle.x_px;
        const double dy = at.y_px - middle.y_px;
        const double share = std::min((box_.right_px - middle.x_px - 8.0) / std::max(std::abs(dx), 1.0),
                                      (box_.bottom_px - middle.y_px - 8.0) / std::max(std::abs(dy), 1.0));
        const Point edge{middle.x_px + dx * share, middle.y_px + dy * share};
        const double toward = std::atan2(dx, -dy) * 180.0 / std::numbers::pi;
        drawing_.open(fmt::format("class=\"station-beyond\" data-ident=\"{}\"", escaped(station.ident)));
        drawing_.shape(
            {polar(edge, 6.0, toward), polar(edge, 6.0, toward + 140.0), polar(edge, 6.0, toward - 140.0)},
            "fill=\"white\" stroke=\"black\"");
        drawing_.close();
        pending_.push_back(
            {edge,
             9.0,
             {station.ident + " " + navdata::frequency_text(station),
              fmt::format("{:.0f} NM off the plan",
                          earth::distance(world_[report_.airport].position, site).nautical_miles())}});
    }

    std::vector<ShownFix> shown_fixes() const {
        std::vector<ShownFix> all;
        for (const plan::ReportedWay& way : report_.ways) {
            for (const plan::ReportedLeg& leg : way.legs) {
                if (!leg.placed || !leg.placed->to) {
                    continue;
                }
                const procedure::PlacedFix& fix = *leg.placed->to;
                const auto there = std::find_if(all.begin(), all.end(), [&](const ShownFix& other) {
                    return other.fix.ident == fix.ident &&
                           earth::distance(other.fix.position, fix.position) < base::Length::metres(200.0);
                });
                const std::string told = told_text(world_, leg.placed->ending);
                if (there == all.end()) {
                    all.push_back({fix, leg.coded != nullptr && leg.coded->is_flown_over(), told});
                } else if (there->told.empty()) {
                    there->told = told;
                }
            }
        }
        return all;
    }

    void fixes() {
        for (const ShownFix& each : shown_fixes()) {
            const Point at = on_page(each.fix.position);
            const bool is_runway =
                each.fix.point && std::holds_alternative<navdata::RunwayId>(*each.fix.point);
            const bool is_station = std::find(named_.begin(), named_.end(), each.fix.ident) != named_.end();
            if (is_station) {
                continue;
            }
            if (!is_runway) {
                drawing_.open(fmt::format("class=\"fix\" data-ident=\"{}\"", escaped(each.fix.ident)));
                if (each.flown_over) {
                    drawing_.circle(at, 9.0, "fill=\"none\" stroke=\"black\" stroke-width=\"1\"");
                }
                drawing_.shape(polygon(at, 6.5, 3, 0.0), outline);
                drawing_.close();
                labels_.avoid({at.x_px - 7.0, at.y_px - 7.0, at.x_px + 7.0, at.y_px + 5.0});
            }
            std::vector<std::string> lines{each.fix.ident + (each.fix.rebuilt ? " (by theta, rho)" : "")};
            if (!each.told.empty()) {
                lines.push_back(each.told);
            }
            pending_.push_back({at, 9.0, lines});
        }
        for (const Pending& each : pending_) {
            labels_.put(drawing_, each.anchor, each.gap_px, each.lines, 10.0, false, halo);
        }
    }

    std::string course_text(const plan::ReportedLeg& leg, const procedure::Straight& straight) const {
        const auto& guidance = leg.placed->guidance;
        if (const auto* radial = std::get_if<procedure::OnRadial>(&guidance)) {
            return plan::three_figures(radial->course.degrees());
        }
        if (const auto* localizer = std::get_if<procedure::OnLocalizer>(&guidance)) {
            const base::Radial front = navdata::localizer(world_[localizer->station])->course;
            return plan::three_figures(
                (localizer->toward == localizer->back_course ? front.reciprocal() : front).degrees());
        }
        return plan::three_figures(
            base::to_magnetic(straight.track, plan::variation_of(world_, report_).value_or(base::Variation()))
                .degrees());
    }

    // Drawn before by another way, from another place: one label is enough.
    bool is_labelled(const plan::ReportedLeg& leg) const {
        const auto first = std::find_if(legs_.begin(), legs_.end(), [&](const DrawnLeg& each) {
            return each.leg == &leg || (leg.coded != nullptr && each.leg->coded == leg.coded);
        });
        return first->leg != &leg;
    }

    void leg_labels() {
        for (const DrawnLeg& each : legs_) {
            const plan::ReportedLeg& leg = *each.leg;
            if (is_labelled(leg)) {
                continue;
            }
            const auto* arc = std::get_if<procedure::OnArc>(&leg.placed->guidance);
            if (arc != nullptr) {
                const auto half = procedure::drawn(leg.flown.pieces);
                labels_.put(
                    drawing_, on_page(half[half.size() / 2]), 6.0,
                    {fmt::format("{:.1f} DME {}", arc->radius.nautical_miles(), world_[arc->station].ident)},
                    9.5, true, halo);
                continue;
            }
            const procedure::Straight* straight = longest_straight(leg);
            if (straight == nullptr || straight->length.metres() * px_per_m_ < 34.0) {
                continue;
            }
            const Point middle =
                on_page(earth::destination(straight->from, straight->track, straight->length * 0.45));
            labels_.put(drawing_, middle, 5.0,
                        {fmt::format("{}\u00b0 {:.1f} NM", course_text(leg, *straight),
                                     leg.flown.length().nautical_miles())},
                        9.5, true, halo);
        }
    }

    void scale_bar() {
        double miles = 1.0;
        for (const double next : {2.0, 5.0, 10.0, 20.0, 50.0, 100.0}) {
            miles = next * 1852.0 * px_per_m_ <= 190.0 ? next : miles;
        }
        const double length = miles * 1852.0 * px_per_m_;
        const Point left{box_.left_px + 14.0, box_.bottom_px - 12.0};
        drawing_.line({{left.x_px, left.y_px - 4.0},
                       left,
                       {left.x_px + length, left.y_px},
                       {left.x_px + length, left.y_px - 4.0}},
                      "class=\"scale\" stroke=\"black\" stroke-width=\"1.2\"");
        drawing_.text({left.x_px + length / 2.0, left.y_px - 5.0}, fmt::format("{:g} NM", miles), 9.0,
                      Anchor::middle);
    }

    struct Pending {
        Point anchor;
        double gap_px = 0.0;
        std::vector<std::string> lines;
    };

    const Snapshot& world_;
    const plan::ProcedureReport& report_;
    Box box_;
    LabelPlaces labels_;
    std::vector<DrawnLeg> legs_;
    std::vector<std::vector<earth::Position>> lines_;
    StationsOf stations_;
    std::vector<bool> near_;
    std::vector<std::string> named_;
    std::vector<Pending> pending_;
    earth::Position middle_;
    Point origin_;
    double px_per_m_ = 1.0;
    Drawing drawing_;
};

}  // namespace

Drawing procedure_plan(const Snapshot& world, const plan::ProcedureReport& report, const Box& box) {
    return Plan(world, report, box).draw();
}

}  // namespace omniway::writers::detail
