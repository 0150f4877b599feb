#include "writers/strip_svg.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "plan/strip_wording.hpp"
#include "plan/wording.hpp"
#include "writers/detail/caution.hpp"
#include "writers/detail/drawing.hpp"

namespace omniway::writers {

namespace {

using base::Length;
using detail::caution;
using detail::escaped;

constexpr double left = 190.0;
constexpr double right = 1110.0;  // of the axis; words may stand up to the edge
constexpr double edge = 1200.0;
constexpr double top = 96.0;
constexpr double lane_gap = 8.0;
constexpr double part_height = 13.0;
constexpr double profile_height = 190.0;
double bar_height(radio::Part part) {
    return part == radio::Part::azimuth ? 9.0 : 5.0;
}

// Four greys from faint (nothing to spare) to black; as many as the eye tells apart on paper.
constexpr const char* greys[] = {"#d0d0d0", "#999999", "#5c5c5c", "#1a1a1a"};
std::size_t grey_of(double strength) {
    return std::min<std::size_t>(3, static_cast<std::size_t>(strength * 4.0));
}

class Picture {
public:
    Picture(const navdata::Snapshot& world, const flight::Strip& strip) : world_(world), strip_(strip) {}

    std::string draw(const std::string& title) {
        lanes();
        const double profile_top = at_y_ + 26.0;
        const double profile_bottom = profile_top + profile_height;
        grid(profile_bottom);
        profile(profile_top, profile_bottom);
        const double height = legend(profile_bottom + 56.0);
        return fmt::format(
                   "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                   "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.0f}\" height=\"{1:.0f}\" "
                   "viewBox=\"0 0 {0:.0f} {1:.0f}\" font-family=\"DejaVu Sans Mono, monospace\" "
                   "font-size=\"11\">\n"
                   "<title>{2}</title>\n"
                   "<defs>\n"
                   "<pattern id=\"not-known\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">"
                   "<rect width=\"6\" height=\"6\" fill=\"white\"/><circle cx=\"3\" cy=\"3\" r=\"1.1\" "
                   "fill=\"#333333\"/></pattern>\n"
                   "<pattern id=\"ground\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" "
                   "patternTransform=\"rotate(45)\"><rect width=\"5\" height=\"5\" fill=\"#ececec\"/>"
                   "<path d=\"M0 0V5\" stroke=\"#777777\" stroke-width=\"1.2\"/></pattern>\n"
                   "</defs>\n"
                   "<rect width=\"100%\" height=\"100%\" fill=\"white\"/>\n"
                   "<text x=\"24\" y=\"32\" font-size=\"17\" font-weight=\"bold\">{2}</text>\n"
                   "<text x=\"24\" y=\"52\">{3:.1f} NM; {4}</text>\n",
                   edge, height, escaped(title), strip_.length.nautical_miles(),
                   escaped(plan::mode_text(strip_.mode))) +
               back_ + body_ + "</svg>\n";
    }

private:
    double x(Length along) const {
        return left + (strip_.length > Length() ? along / strip_.length : 0.0) * (right - left);
    }

    void text(double at_x, double at_y, const std::string& words, const std::string& more = {}) {
        body_ += fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\"{}>{}</text>\n", at_x, at_y,
                             more.empty() ? more : " " + more, escaped(words));
    }

    void lanes() {
        at_y_ = top;
        std::optional<navdata::StationId> before;
        for (const flight::StripLane& lane : strip_.lanes) {
            const navdata::Station& station = world_[lane.station];
            if (!before || *before != lane.station) {
                at_y_ += before ? lane_gap : 0.0;
                text(24.0, at_y_ + 10.0, station.ident, "font-weight=\"bold\"");
                text(62.0, at_y_ + 10.0, navdata::kind_text(station) + " " + navdata::frequency_text(station),
                     "font-size=\"9\"");
                before = lane.station;
            }
            text(left - 8.0, at_y_ + 10.0, plan::part_text(station, lane.part),
                 "font-size=\"9\" text-anchor=\"end\"");
            double free_from = left;
            for (std::size_t i = 0; i < lane.bars.size(); ++i) {
                const double free_to = i + 1 < lane.bars.size() ? x(lane.bars[i + 1].heard.from) : edge;
                free_from = bar(station, lane, lane.bars[i], free_from, free_to);
            }
            at_y_ += part_height;
        }
        if (strip_.lanes.empty()) {
            text(left, at_y_ + 10.0, "no station is heard anywhere on the way");
            at_y_ += part_height;
        }
    }

    // Draws a bar and its words where there is room for them; returns where the next word may begin.
    double bar(const navdata::Station& station, const flight::StripLane& lane, const flight::StripBar& bar,
               double free_from, double free_to) {
        const double height = bar_height(lane.part);
        const double y = at_y_ + (part_height - height) / 2.0;
        const double from = x(bar.heard.from);
        const double to = x(bar.heard.to);
        body_ += fmt::format(
            "<g class=\"bar\" data-ident=\"{}\" data-part=\"{}\" data-from-nm=\"{:.2f}\" "
            "data-to-nm=\"{:.2f}\"><title>{} {} {:.1f} to {:.1f} NM; {}</title>\n",
            escaped(station.ident), plan::word_of(lane.part), bar.heard.from.nautical_miles(),
            bar.heard.to.nautical_miles(), escaped(station.ident), plan::part_text(station, lane.part),
            bar.heard.from.nautical_miles(), bar.heard.to.nautical_miles(),
            escaped(plan::ends_text(bar.heard)));
        shades(bar, y, height);
        body_ += fmt::format(
            "<rect class=\"outline\" x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" "
            "fill=\"{}\" stroke=\"black\" stroke-width=\"0.8\"{}/>\n</g>\n",
            from, y, to - from, height, bar.heard.ground_known ? "none" : "url(#not-known)",
            lane.part == radio::Part::glideslope ? " stroke-dasharray=\"3 2\"" : "");
        const auto width_of = [](std::string_view words) {
            return static_cast<double>(words.size()) * 5.0;  // of font-size 8
        };
        const std::string_view before = plan::short_reason(bar.heard.before);
        const std::string_view after = plan::short_reason(bar.heard.after);
        if (!before.empty() && from - 4.0 - width_of(before) > free_from) {
            text(from - 4.0, at_y_ + 9.5, std::string(before), "font-size=\"8\" text-anchor=\"end\"");
        }
        if (!after.empty() && to + 4.0 + width_of(after) < free_to) {
            text(to + 4.0, at_y_ + 9.5, std::string(after), "font-size=\"8\"");
            return to + 4.0 + width_of(after);
        }
        return to;
    }

    // Neighbouring stretches of one grey are one rectangle.
    void shades(const flight::StripBar& bar, double y, double height) {
        for (std::size_t i = 0; i + 1 < bar.margins.size();) {
            const std::size_t grey = grey_between(bar, i);
            std::size_t end = i + 1;
            while (end + 1 < bar.margins.size() && grey_between(bar, end) == grey) {
                ++end;
            }
            body_ += fmt::format(
                "<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" fill=\"{}\"/>\n",
                x(bar.margins[i].along), y, x(bar.margins[end].along) - x(bar.margins[i].along), height,
                greys[grey]);
            i = end;
        }
    }

    // The weaker end of a piece stands for it.
    static std::size_t grey_between(const flight::StripBar& bar, std::size_t i) {
        return grey_of(std::min(flight::strength(bar.margins[i]), flight::strength(bar.margins[i + 1])));
    }

    void grid(double bottom) {
        const double miles = strip_.length.nautical_miles();
        double step = 1.0;
        for (const double next : {2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0}) {
            step = miles / step > 12.0 ? next : step;
        }
        for (double mile = 0.0; mile <= miles; mile += step) {
            const double at = x(Length::nautical_miles(mile));
            back_ += fmt::format(
                "<path d=\"M{0:.2f} {1:.2f}V{2:.2f}\" stroke=\"#cccccc\" stroke-width=\"0.6\"/>\n", at,
                top - 6.0, bottom);
            text(at, bottom + 14.0, fmt::format("{:.0f}", mile), "text-anchor=\"middle\" font-size=\"9\"");
        }
        text(right + 28.0, bottom + 14.0, "NM along", "font-size=\"9\"");
        double free_from = 0.0;
        for (const flight::StripMark& mark : strip_.marks) {
            const double at = x(mark.along);
            back_ += fmt::format(
                "<path d=\"M{0:.2f} {1:.2f}V{2:.2f}\" stroke=\"#888888\" stroke-width=\"0.8\" "
                "stroke-dasharray=\"2 3\"/>\n",
                at, top - 10.0, bottom);
            const double half = static_cast<double>(mark.ident.size()) * 3.3;
            if (at - half > free_from) {
                text(at, top - 14.0, mark.ident, "text-anchor=\"middle\"");
                free_from = at + half + 4.0;
            }
        }
    }

    double highest_ft() const {
        double feet = 1000.0;
        for (const radio::PathPoint& point : strip_.path) {
            feet = std::max(feet, point.altitude.feet());
        }
        for (const flight::GroundUnder& under : strip_.ground) {
            feet = std::max(feet, under.ground ? under.ground->feet() : 0.0);
        }
        for (const flight::StripMinimum& minimum : strip_.minimums) {
            feet = std::max(feet, minimum.minimum ? minimum.minimum->feet() : 0.0);
        }
        return std::ceil(feet * 1.08 / 1000.0) * 1000.0;
    }

    void profile(double from_y, double to_y) {
        const double feet = highest_ft();
        const auto y = [&](double at_ft) { return to_y - std::max(at_ft, 0.0) / feet * (to_y - from_y); };
        const double step = feet > 20000.0 ? 5000.0 : feet > 8000.0 ? 2000.0 : 1000.0;
        for (double level = 0.0; level <= feet; level += step) {
            back_ +=
                fmt::format("<path d=\"M{:.2f} {:.2f}H{:.2f}\" stroke=\"#dddddd\" stroke-width=\"0.6\"/>\n",
                            left, y(level), right);
            text(left - 8.0, y(level) + 3.0, fmt::format("{:.0f} ft", level),
                 "font-size=\"9\" text-anchor=\"end\"");
        }
        ground(y, from_y, to_y);
        for (const flight::StripMinimum& minimum : strip_.minimums) {
            if (minimum.minimum) {
                body_ += fmt::format(
                    "<path class=\"minimum\" d=\"M{:.2f} {:.2f}H{:.2f}\" stroke=\"black\" "
                    "stroke-width=\"1\" stroke-dasharray=\"7 3\" fill=\"none\"/>\n",
                    x(minimum.from), y(minimum.minimum->feet()), x(minimum.to));
            }
        }
        std::string line;
        for (const radio::PathPoint& point : strip_.path) {
            line += fmt::format("{}{:.2f} {:.2f}", line.empty() ? "M" : "L", x(point.along),
                                y(point.altitude.feet()));
        }
        body_ += fmt::format(
            "<path class=\"flown\" d=\"{}\" stroke=\"black\" stroke-width=\"2.2\" fill=\"none\"/>\n", line);
        body_ += fmt::format(
            "<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" fill=\"none\" "
            "stroke=\"black\" stroke-width=\"0.8\"/>\n",
            left, from_y, right - left, to_y - from_y);
    }

    // Known ground is one shape from the sea up; unknown ground is dotted from bottom to top.
    template <class ToY>
    void ground(const ToY& y, double from_y, double to_y) {
        for (std::size_t i = 0; i < strip_.ground.size();) {
            const bool known = strip_.ground[i].ground.has_value();
            std::size_t end = i;
            while (end + 1 < strip_.ground.size() && strip_.ground[end + 1].ground.has_value() == known) {
                ++end;
            }
            const double from = x(strip_.ground[i].along);
            const double to = x(strip_.ground[std::min(end + 1, strip_.ground.size() - 1)].along);
            if (known) {
                std::string shape = fmt::format("M{:.2f} {:.2f}", from, to_y);
                for (std::size_t k = i; k <= end; ++k) {
                    shape += fmt::format("L{:.2f} {:.2f}", x(strip_.ground[k].along),
                                         y(strip_.ground[k].ground->feet()));
                }
                body_ += fmt::format(
                    "<path class=\"ground\" d=\"{}L{:.2f} {:.2f}Z\" fill=\"url(#ground)\" stroke=\"#444444\" "
                    "stroke-width=\"1\"/>\n",
                    shape, x(strip_.ground[end].along), to_y);
            } else {
                body_ += fmt::format(
                    "<rect class=\"not-known\" x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" "
                    "height=\"{:.2f}\" fill=\"url(#not-known)\" opacity=\"0.5\"/>\n",
                    from, from_y, to - from, to_y - from_y);
            }
            i = end + 1;
        }
    }

    double legend(double y) {
        double at = left;
        const auto sample = [&](const std::string& shape, const std::string& words) {
            body_ += shape;
            text(at + 34.0, y, words, "font-size=\"9\"");
            at += 46.0 + static_cast<double>(words.size()) * 5.6;
        };
        const auto box = [&](double height, const std::string& fill, const std::string& more = {}) {
            return fmt::format(
                "<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"28\" height=\"{:.2f}\" fill=\"{}\" "
                "stroke=\"black\" stroke-width=\"0.8\"{}/>\n",
                at, y - 3.0 - height / 2.0, height, fill, more);
        };
        const auto stroke = [&](const std::string& more) {
            return fmt::format("<path d=\"M{:.2f} {:.2f}h28\" stroke=\"black\" {}/>\n", at, y - 3.0, more);
        };
        sample(box(9.0, greys[3]), "radial, bearing or course");
        sample(box(5.0, greys[3]), "DME");
        sample(box(5.0, "none", " stroke-dasharray=\"3 2\""), "glideslope");
        sample(box(9.0, "url(#not-known)"), "ground on the way not known");
        at = left;
        y += 18.0;
        sample(box(9.0, greys[0]), "up to 500 ft or 2.5 NM to spare");
        sample(box(9.0, greys[1]), "1,000 ft or 5 NM");
        sample(box(9.0, greys[2]), "1,500 ft or 7.5 NM");
        sample(box(9.0, greys[3]), "more");
        at = left;
        y += 18.0;
        sample(stroke("stroke-width=\"2.2\""), "height flown");
        sample(stroke("stroke-width=\"1\" stroke-dasharray=\"7 3\""), "minimum altitude");
        if (strip_.ground.empty()) {
            text(at, y, "no ground imported: none is drawn", "font-size=\"9\"");
        } else {
            sample(box(9.0, "url(#ground)"), "ground");
        }
        y += 22.0;
        text(left, y, caution, "font-size=\"10\" font-style=\"italic\"");
        return y + 20.0;
    }

    const navdata::Snapshot& world_;
    const flight::Strip& strip_;
    double at_y_ = top;
    std::string back_;
    std::string body_;
};

}  // namespace

std::string strip_svg(const navdata::Snapshot& world, const flight::Strip& strip, const std::string& title) {
    return Picture(world, strip).draw(title);
}

}  // namespace omniway::writers
