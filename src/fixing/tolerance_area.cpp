#include "fixing/tolerance_area.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"

namespace omniway::fixing {

using base::Angle;
using base::Length;

namespace {

constexpr double pi = std::numbers::pi;

// On a plane about the fix: x along the track, y to its right, metres. Counter-clockwise here is clockwise on the map.
struct Point {
    double x = 0.0;
    double y = 0.0;
};
Point operator+(Point a, Point b) {
    return {a.x + b.x, a.y + b.y};
}
Point operator-(Point a, Point b) {
    return {a.x - b.x, a.y - b.y};
}
Point operator*(double factor, Point p) {
    return {factor * p.x, factor * p.y};
}
double dot(Point a, Point b) {
    return a.x * b.x + a.y * b.y;
}
double cross(Point a, Point b) {
    return a.x * b.y - a.y * b.x;
}
Point turned(Point p, double angle_rad) {
    const double c = std::cos(angle_rad);
    const double s = std::sin(angle_rad);
    return {c * p.x - s * p.y, s * p.x + c * p.y};
}

using Loop = std::vector<Point>;

// Far beyond any area that tells a fix: what still reaches it is open.
constexpr double horizon_m = 300.0 * 1852.0;
constexpr double chord_sagitta_m = 0.002 * 1852.0;

bool holds(const Loop& loop, Point p) {
    bool inside = false;
    for (std::size_t i = 0, j = loop.size() - 1; i < loop.size(); j = i++) {
        const Point a = loop[j];
        const Point b = loop[i];
        if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)) {
            inside = !inside;
        }
    }
    return inside;
}

// What lies left of the line through `on` toward `direction`. The loop is convex.
Loop left_of(const Loop& loop, Point on, Point direction) {
    Loop kept;
    kept.reserve(loop.size() + 2);
    for (std::size_t i = 0; i < loop.size(); ++i) {
        const Point a = loop[i];
        const Point b = loop[(i + 1) % loop.size()];
        const double side_a = cross(direction, a - on);
        const double side_b = cross(direction, b - on);
        if (side_a >= 0.0) {
            kept.push_back(a);
        }
        if ((side_a >= 0.0) != (side_b >= 0.0)) {
            kept.push_back(a + side_a / (side_a - side_b) * (b - a));
        }
    }
    return kept;
}

struct Circle {
    Point centre;
    double radius_m = 0.0;
};
enum class Keep { inside, outside };

// The points between two directions on a circle, both ends left out; `sweep_rad` is signed.
void draw_arc(Loop& loop, const Circle& circle, double from_rad, double sweep_rad) {
    const double step_rad = 2.0 * std::acos(std::max(0.0, 1.0 - chord_sagitta_m / circle.radius_m));
    const int chords = std::max(1, static_cast<int>(std::ceil(std::abs(sweep_rad) / step_rad)));
    for (int i = 1; i < chords; ++i) {
        const double at_rad = from_rad + sweep_rad * i / chords;
        loop.push_back(circle.centre + circle.radius_m * Point{std::cos(at_rad), std::sin(at_rad)});
    }
}

Loop whole(const Circle& circle) {
    Loop loop{circle.centre + Point{circle.radius_m, 0.0}};
    draw_arc(loop, circle, 0.0, 2.0 * pi);
    return loop;
}

// A piece of a loop's rim that is kept: it comes out of the circle's line at its first point and goes back into it at its last.
struct Piece {
    Loop points;
    double first_rad = 0.0;
    double last_rad = 0.0;
    bool taken = false;
};

// The loop's rim with the points where it meets the circle; `into` is set on those that lead inside.
struct RimPoint {
    Point at;
    bool meets = false;
    bool into = false;
};
std::vector<RimPoint> rim_with_meetings(const Loop& loop, const Circle& circle) {
    std::vector<RimPoint> rim;
    rim.reserve(loop.size() + 4);
    for (std::size_t i = 0; i < loop.size(); ++i) {
        const Point a = loop[i];
        const Point along = loop[(i + 1) % loop.size()] - a;
        const Point from_centre = a - circle.centre;
        rim.push_back({a});
        const double p = dot(from_centre, along) / dot(along, along);
        const double q =
            (dot(from_centre, from_centre) - circle.radius_m * circle.radius_m) / dot(along, along);
        const double root = p * p - q;
        if (!(root > 0.0)) {
            continue;
        }
        for (const double t : {-p - std::sqrt(root), -p + std::sqrt(root)}) {
            if (t >= 0.0 && t < 1.0) {
                rim.push_back({a + t * along, true, t < -p});
            }
        }
    }
    return rim;
}

std::vector<Piece> kept_pieces(const std::vector<RimPoint>& rim, const Circle& circle, Keep keep) {
    const auto begins = [&](const RimPoint& p) { return p.meets && p.into == (keep == Keep::inside); };
    const auto first = std::find_if(rim.begin(), rim.end(), begins) - rim.begin();
    const auto direction = [&](Point p) { return std::atan2(p.y - circle.centre.y, p.x - circle.centre.x); };
    std::vector<Piece> pieces;
    bool keeping = false;
    for (std::size_t i = 0; i < rim.size(); ++i) {
        const RimPoint& p = rim[(static_cast<std::size_t>(first) + i) % rim.size()];
        if (p.meets && begins(p)) {
            pieces.push_back({{p.at}, direction(p.at), 0.0, false});
            keeping = true;
        } else if (keeping) {
            pieces.back().points.push_back(p.at);
            if (p.meets) {
                pieces.back().last_rad = direction(p.at);
                keeping = false;
            }
        }
    }
    return pieces;
}

// Joins the pieces along the circle to the loop that holds the fix.
std::optional<Loop> joined(std::vector<Piece> pieces, const Circle& circle, Keep keep) {
    const double sense = keep == Keep::inside ? 1.0 : -1.0;
    const auto advance = [&](double from_rad, double to_rad) {
        const double turn = std::fmod(sense * (to_rad - from_rad), 2.0 * pi);
        return turn < 0.0 ? turn + 2.0 * pi : turn;
    };
    for (std::size_t start = 0; start < pieces.size(); ++start) {
        if (pieces[start].taken) {
            continue;
        }
        Loop loop;
        std::size_t at = start;
        do {
            Piece& piece = pieces[at];
            piece.taken = true;
            loop.insert(loop.end(), piece.points.begin(), piece.points.end());
            const double from_rad = piece.last_rad;
            const auto next =
                std::min_element(pieces.begin(), pieces.end(), [&](const Piece& a, const Piece& b) {
                    return advance(from_rad, a.first_rad) < advance(from_rad, b.first_rad);
                });
            draw_arc(loop, circle, from_rad, sense * advance(from_rad, next->first_rad));
            at = static_cast<std::size_t>(next - pieces.begin());
        } while (!pieces[at].taken);
        if (holds(loop, {})) {
            return loop;
        }
    }
    return std::nullopt;
}

// The part of the loop inside or outside the circle that holds the fix; none where a ring would be left.
std::optional<Loop> cut(const Loop& loop, const Circle& circle, Keep keep) {
    const std::vector<RimPoint> rim = rim_with_meetings(loop, circle);
    if (std::any_of(rim.begin(), rim.end(), [](const RimPoint& p) { return p.meets; })) {
        return joined(kept_pieces(rim, circle, keep), circle, keep);
    }
    const bool circle_within = holds(loop, circle.centre + Point{circle.radius_m, 0.0});
    if (keep == Keep::inside) {
        return circle_within ? whole(circle) : loop;
    }
    return circle_within ? std::nullopt : std::optional(loop);
}

class Clip {
public:
    explicit Clip(base::TrueBearing track) : track_(track) {}

    std::variant<Loop, NoArea> result(std::span<const PositionLine> lines) {
        // Half-planes while the loop is convex, then what lies inside circles, then what lies outside: a ring that wedges
        // and other rings break is none.
        for (const PositionLine& line : lines) {
            std::visit([&](const auto& each) { straight(each); }, line);
        }
        for (const Keep keep : {Keep::inside, Keep::outside}) {
            for (const PositionLine& line : lines) {
                const auto* distance = std::get_if<DistanceLine>(&line);
                if (distance != nullptr && !round(*distance, keep)) {
                    return NoArea::ring;
                }
            }
        }
        const bool open = std::any_of(loop_.begin(), loop_.end(), [](Point p) {
            return std::max(std::abs(p.x), std::abs(p.y)) > horizon_m * 0.999;
        });
        if (open || loop_.size() < 3) {
            return NoArea::open;
        }
        return std::move(loop_);
    }

private:
    Point seen_from_fix(base::TrueBearing toward, Length away) const {
        return away.metres() * turned({1.0, 0.0}, (toward - track_).radians());
    }

    void straight(const BearingLine& line) {
        const Point station = seen_from_fix(line.station_from_fix, line.away);
        const Point to_fix = -1.0 * turned({1.0, 0.0}, (line.station_from_fix - track_).radians());
        loop_ = left_of(loop_, station, turned(to_fix, -line.tolerance.radians()));
        loop_ = left_of(loop_, station, -1.0 * turned(to_fix, line.tolerance.radians()));
    }

    void straight(const DistanceLine&) {}

    void straight(const OverheadZone& zone) {
        const double r = zone.radius.metres();
        const double abeam = std::min(zone.entered_abeam.metres(), r);
        const Point entry{-std::sqrt(r * r - abeam * abeam), abeam};
        const Point outward = turned({1.0, 0.0}, zone.crossed_within.radians());
        if (auto inside = cut(loop_, {{}, r}, Keep::inside)) {
            loop_ = std::move(*inside);
        }
        loop_ = left_of(loop_, entry, -1.0 * outward);
        loop_ = left_of(loop_, {entry.x, -entry.y}, {outward.x, -outward.y});
    }

    bool round(const DistanceLine& line, Keep keep) {
        const double radius_m = keep == Keep::inside ? line.farthest.metres() : line.nearest.metres();
        if (keep == Keep::outside && radius_m <= 0.0) {
            return true;
        }
        auto left = cut(loop_, {seen_from_fix(line.antenna_from_fix, line.away), radius_m}, keep);
        if (left) {
            loop_ = std::move(*left);
        }
        return left.has_value();
    }

    base::TrueBearing track_;
    Loop loop_{
        {-horizon_m, -horizon_m}, {horizon_m, -horizon_m}, {horizon_m, horizon_m}, {-horizon_m, horizon_m}};
};

ToleranceArea on_the_ground(const Loop& loop, earth::Position fix, base::TrueBearing track) {
    ToleranceArea area;
    area.corners.reserve(loop.size());
    double twice_m2 = 0.0;
    for (std::size_t i = 0; i < loop.size(); ++i) {
        const Point p = loop[i];
        twice_m2 += cross(p, loop[(i + 1) % loop.size()]);
        area.short_of = std::max(area.short_of, Length::metres(-p.x));
        area.beyond = std::max(area.beyond, Length::metres(p.x));
        area.left = std::max(area.left, Length::metres(-p.y));
        area.right = std::max(area.right, Length::metres(p.y));
        area.corners.push_back(earth::destination(fix, track + Angle::radians(std::atan2(p.y, p.x)),
                                                  Length::metres(std::hypot(p.x, p.y))));
    }
    area.square_nm = twice_m2 / 2.0 / (1852.0 * 1852.0);
    return area;
}

}  // namespace

base::Length ToleranceArea::along_half_size() const {
    return std::max(short_of, beyond);
}

base::Length ToleranceArea::across_half_size() const {
    return std::max(left, right);
}

std::variant<ToleranceArea, NoArea> tolerance_area(earth::Position fix, base::TrueBearing track,
                                                   std::span<const PositionLine> lines) {
    OMNIWAY_EXPECTS(!lines.empty());
    auto clipped = Clip(track).result(lines);
    if (const auto* no = std::get_if<NoArea>(&clipped)) {
        return *no;
    }
    return on_the_ground(std::get<Loop>(clipped), fix, track);
}

OverheadZone vor_zone(base::Length height_above_aid) {
    const Length height = std::max(height_above_aid, Length());
    return {.radius = height * base::tan(Angle::degrees(50.0)),
            .entered_abeam = height * 0.2,
            .crossed_within = Angle::degrees(5.0)};
}

OverheadZone ndb_zone(base::Length height_above_aid) {
    const Length radius = std::max(height_above_aid, Length()) * base::tan(Angle::degrees(40.0));
    return {.radius = radius,
            .entered_abeam = radius * base::sin(Angle::degrees(15.0)),
            .crossed_within = Angle::degrees(5.0)};
}

}  // namespace omniway::fixing
