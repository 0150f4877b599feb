#include "writers/detail/drawing.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "base/contract.hpp"

namespace omniway::writers::detail {

namespace {

std::string path_of(const std::vector<Point>& points) {
    std::string path;
    for (const Point& point : points) {
        OMNIWAY_EXPECTS(std::isfinite(point.x_px) && std::isfinite(point.y_px));
        path += fmt::format("{}{:.2f} {:.2f}", path.empty() ? "M" : "L", point.x_px, point.y_px);
    }
    return path;
}

}  // namespace

bool Box::holds(Point point) const {
    return point.x_px > left_px && point.x_px < right_px && point.y_px > top_px && point.y_px < bottom_px;
}

bool Box::meets(const Box& other) const {
    return left_px < other.right_px && other.left_px < right_px && top_px < other.bottom_px &&
           other.top_px < bottom_px;
}

double text_width_px(std::string_view text, double size_px) {
    // Bytes that go on with a letter of UTF-8 are no letters of their own.
    const auto letters = std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; });
    return 0.602 * size_px * static_cast<double>(letters);
}

std::string escaped(std::string_view text) {
    std::string out;
    for (const char c : text) {
        switch (c) {
            case '&':
                out += "&amp;";
                break;
            case '<':
                out += "&lt;";
                break;
            case '>':
                out += "&gt;";
                break;
            case '"':
                out += "&quot;";
                break;
            default:
                // Control characters have no place in XML 1.0.
                out += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
        }
    }
    return out;
}

void Drawing::text(Point at, std::string_view words, double size_px, Anchor anchor, std::string_view more) {
    OMNIWAY_EXPECTS(std::isfinite(at.x_px) && std::isfinite(at.y_px));
    const char* anchored = anchor == Anchor::middle ? " text-anchor=\"middle\""
                           : anchor == Anchor::end  ? " text-anchor=\"end\""
                                                    : "";
    body_ += fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" font-size=\"{:g}\"{}{}{}>{}</text>\n", at.x_px,
                         at.y_px, size_px, anchored, more.empty() ? "" : " ", more, escaped(words));
}

void Drawing::line(const std::vector<Point>& points, std::string_view attributes, std::string_view title) {
    const std::string path = path_of(points);
    if (title.empty()) {
        body_ += fmt::format("<path d=\"{}\" fill=\"none\" {}/>\n", path, attributes);
    } else {
        body_ += fmt::format("<path d=\"{}\" fill=\"none\" {}><title>{}</title></path>\n", path, attributes,
                             escaped(title));
    }
}

void Drawing::shape(const std::vector<Point>& points, std::string_view attributes) {
    body_ += fmt::format("<path d=\"{}Z\" {}/>\n", path_of(points), attributes);
}

void Drawing::circle(Point centre, double radius_px, std::string_view attributes) {
    OMNIWAY_EXPECTS(std::isfinite(centre.x_px) && std::isfinite(centre.y_px));
    body_ += fmt::format("<circle cx=\"{:.2f}\" cy=\"{:.2f}\" r=\"{:.2f}\" {}/>\n", centre.x_px, centre.y_px,
                         radius_px, attributes);
}

void Drawing::open(std::string_view attributes) {
    body_ += fmt::format("<g {}>\n", attributes);
}

void Drawing::close() {
    body_ += "</g>\n";
}

void LabelPlaces::avoid_line(const std::vector<Point>& points) {
    constexpr double step_px = 5.0;
    for (std::size_t i = 1; i < points.size(); ++i) {
        const double dx = points[i].x_px - points[i - 1].x_px;
        const double dy = points[i].y_px - points[i - 1].y_px;
        const int count = std::clamp(static_cast<int>(std::hypot(dx, dy) / step_px), 1, 1000);
        for (int k = 0; k <= count; ++k) {
            const double share = static_cast<double>(k) / count;
            points_.push_back({points[i - 1].x_px + share * dx, points[i - 1].y_px + share * dy});
        }
    }
}

double LabelPlaces::cost(const Box& box) const {
    constexpr double covers_a_label = 1000.0;
    double cost = 0.0;
    for (const Box& other : boxes_) {
        cost += box.meets(other) ? covers_a_label : 0.0;
    }
    for (const Point& point : points_) {
        cost += box.holds(point) ? 10.0 : 0.0;
    }
    const bool inside = box.left_px >= within_.left_px && box.right_px <= within_.right_px &&
                        box.top_px >= within_.top_px && box.bottom_px <= within_.bottom_px;
    return inside ? cost : cost + 2.0 * covers_a_label;
}

bool LabelPlaces::put(Drawing& drawing, Point anchor, double gap_px, const std::vector<std::string>& lines,
                      double size_px, bool may_be_left_out, std::string_view more) {
    double width = 0.0;
    for (const std::string& line : lines) {
        width = std::max(width, text_width_px(line, size_px));
    }
    const double row_px = size_px * 1.15;
    const double height = row_px * static_cast<double>(lines.size());
    Box best;
    double least = std::numeric_limits<double>::infinity();
    // Right of it first, then round it, then farther out.
    constexpr double eighth_deg = 45.0;
    for (int ring = 0; ring < 5; ++ring) {
        for (int eighth = 0; eighth < 8; ++eighth) {
            const double angle =
                (eighth % 2 == 0 ? eighth / 2 : -(eighth + 1) / 2) * eighth_deg * 3.14159265 / 180.0;
            const double out = gap_px + ring * 9.0;
            const double x = anchor.x_px + std::cos(angle) * (out + width / 2.0);
            const double y = anchor.y_px - std::sin(angle) * (out + height / 2.0);
            const Box box{x - width / 2.0, y - height / 2.0, x + width / 2.0, y + height / 2.0};
            const double price = cost(box) + ring * 12.0 + eighth * 0.5;
            if (price < least) {
                least = price;
                best = box;
            }
        }
    }
    if (may_be_left_out && least >= 500.0) {
        return false;
    }
    double y = best.top_px;
    for (const std::string& line : lines) {
        y += row_px;
        drawing.text({best.left_px, y - 0.22 * row_px}, line, size_px, Anchor::start, more);
    }
    boxes_.push_back(best);
    return true;
}

}  // namespace omniway::writers::detail
