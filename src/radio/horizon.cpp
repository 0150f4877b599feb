#include "radio/horizon.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

#include "base/bearing.hpp"
#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "earth/terrain.hpp"
#include "radio/detail/antenna_frame.hpp"
#include "radio/detail/effective_earth.hpp"
#include "radio/detail/local_ground.hpp"

namespace omniway::radio {

namespace {

constexpr double most_radius_m = 400.0 * 1852.0;
constexpr double tolerance_m = 2.0;
constexpr double knot_m = 4000.0;
constexpr std::size_t knots_by_geodesic = 4;  // of so many one is found by a geodesic
constexpr std::size_t least_rays = 720;
constexpr std::size_t most_rays = 16384;
constexpr std::size_t rays_in_bundle = 8;  // their knots are found for both edges and shared out between
constexpr std::uint16_t nothing_unknown = 65535;
constexpr std::uint16_t most_units = 65000;
constexpr int fine_nodes = 16;
constexpr int half_nodes = 256;
constexpr auto per_radius = static_cast<float>(1.0 / detail::effective_radius_m);

/// Between knots a ray is straight in latitude and longitude: within 0.6 m, as a great circle bends by tan(latitude) / R.
double knot_spacing_at(double latitude_deg) {
    const double tangent = std::tan(latitude_deg * std::numbers::pi / 180.0);
    return knot_m / std::sqrt(std::max(0.6 * tangent, 1.0));
}

/// What the inner loop needs of a sample, in the precision that heights deserve.
struct Quick {
    float drop_m;
    float reciprocal_per_m;
    float past_knot;  // share of the way to the next knot
    std::uint32_t knot;
};

/// The distances at which ground is sampled, with what each needs.
struct Samples {
    std::vector<std::uint16_t> unit;
    std::vector<double> distance_m;
    std::vector<Quick> quick;
    std::vector<std::size_t> group_end;  // samples go in groups within one knot interval and 8 nodes
};

Samples samples_out_to(double radius_m, double unit_m, double spacing_m, double knot_spacing_m) {
    Samples samples;
    const auto last = static_cast<std::size_t>(std::floor(radius_m / unit_m));
    for (std::size_t unit = 1; unit <= last;) {
        const double distance_m = static_cast<double>(unit) * unit_m;
        samples.unit.push_back(static_cast<std::uint16_t>(unit));
        samples.distance_m.push_back(distance_m);
        const detail::ArcTerms arc = detail::arc_terms(distance_m);
        const double knots = distance_m / knot_spacing_m;
        samples.quick.push_back({static_cast<float>(arc.drop_m), static_cast<float>(arc.reciprocal_per_m),
                                 static_cast<float>(knots - std::floor(knots)),
                                 static_cast<std::uint32_t>(knots)});
        unit += distance_m < fine_nodes * spacing_m ? 1 : distance_m < half_nodes * spacing_m ? 2 : 4;
    }
    std::size_t begin = 0;
    for (std::size_t k = 1; k < samples.unit.size(); ++k) {
        if (samples.quick[k].knot != samples.quick[begin].knot ||
            samples.distance_m[k] - samples.distance_m[begin] > detail::LocalGround::cell_nodes * spacing_m) {
            samples.group_end.push_back(k);
            begin = k;
        }
    }
    samples.group_end.push_back(samples.unit.size());
    return samples;
}

/// Where a ray crosses the raster, at knots: rows and columns of LocalGround.
struct Track {
    std::vector<double> row;
    std::vector<double> column;
};

/// One vertex of a shadow line.
struct Vertex {
    std::uint16_t unit;
    std::uint16_t obstacle;
    SightLimit limit;
    double height_m;
};

/// Turns the running maximum of the slope into a polyline that is nowhere below it and at most the tolerance above: a
/// line from the last vertex is kept while one exists that fits every point since.
class ShadowLine {
public:
    ShadowLine(std::vector<Vertex>& vertices, double unit_m, double start_height_m)
        : vertices_(vertices), unit_m_(unit_m) {
        vertices_.push_back({0, 0, SightLimit::smooth_earth, start_height_m});
    }

    void point(std::uint16_t unit, double height_m, std::uint16_t obstacle, SightLimit limit) {
        const Vertex& anchor = vertices_.back();
        double reciprocal = 1.0 / ((unit - anchor.unit) * unit_m_);
        double low = (height_m - anchor.height_m) * reciprocal;
        double high = low + tolerance_m * reciprocal;
        if (has_last_ && (low > high_ || high < low_)) {
            end_segment();
            reciprocal = 1.0 / ((unit - vertices_.back().unit) * unit_m_);
            low = (height_m - vertices_.back().height_m) * reciprocal;
            high = low + tolerance_m * reciprocal;
        }
        low_ = has_last_ ? std::max(low_, low) : low;
        high_ = has_last_ ? std::min(high_, high) : high;
        last_ = {unit, obstacle, limit, height_m};
        has_last_ = true;
    }

    void end_segment() {
        if (has_last_) {
            Vertex vertex = last_;
            vertex.height_m =
                vertices_.back().height_m + low_ * (last_.unit - vertices_.back().unit) * unit_m_;
            vertices_.push_back(vertex);
            has_last_ = false;
        }
    }

private:
    std::vector<Vertex>& vertices_;
    double unit_m_;
    Vertex last_{};
    double low_ = 0.0;
    double high_ = 0.0;
    bool has_last_ = false;
};

}  // namespace

/// Sweeps the rays of one horizon.
class HorizonBuilder {
public:
    HorizonBuilder(const earth::Terrain& terrain, const Antenna& antenna, double radius_m)
        : antenna_(antenna),
          ground_(terrain, antenna.position, radius_m),
          frame_radius_m_(radius_m),
          spacing_m_(ground_.empty() ? 1000.0 : ground_.node_spacing_m()),
          unit_m_(std::max(0.25 * spacing_m_, radius_m / most_units)),
          farthest_latitude_deg_(std::abs(antenna.position.latitude_deg()) + (radius_m + 50000.0) / 111000.0),
          near_pole_(farthest_latitude_deg_ > 89.0),  // meridians turn too fast there
          knot_spacing_m_(near_pole_ ? unit_m_ : knot_spacing_at(farthest_latitude_deg_)),
          samples_(samples_out_to(radius_m, unit_m_, spacing_m_, knot_spacing_m_)),
          horizon_(antenna, radius_m, unit_m_) {
        const float below =
            ground_.empty() ? detail::LocalGround::unknown_m
                            : ground_.at(static_cast<float>(ground_.row_of(antenna.position.latitude_deg())),
                                         static_cast<float>(ground_.column_of(0.0)));
        antenna_m_ = antenna.altitude.metres();
        unknown_level_m_ = std::min(0.0, antenna_m_);
        stands_on_m_ = below == detail::LocalGround::unknown_m ? unknown_level_m_ : below;
        antenna_m_ = std::max(antenna_m_, stands_on_m_);
        horizon_.antenna_.altitude = base::Altitude::metres(antenna_m_);
    }

    Horizon sweep(const base::Progress& progress) {
        const std::size_t rays = ray_count();
        horizon_.first_.assign(1, 0);
        Track left = track(0, rays);
        for (std::size_t ray = 0; ray < rays; ray += rays_in_bundle) {
            if (progress.cancelled()) {
                break;
            }
            progress.at("horizon", static_cast<double>(ray) / static_cast<double>(rays));
            const Track right = track(ray + rays_in_bundle, rays);
            for (std::size_t lane = 0; lane < rays_in_bundle; ++lane) {
                sweep_ray(left, right, static_cast<double>(lane) / static_cast<double>(rays_in_bundle));
            }
            left = right;
        }
        while (horizon_.known_.size() < rays) {
            add_unknown_ray();
        }
        return std::move(horizon_);
    }

private:
    std::size_t ray_count() const {
        if (ground_.empty()) {
            return rays_in_bundle;  // the same smooth earth in every direction
        }
        const double wanted = 2.0 * std::numbers::pi * frame_radius_m_ / spacing_m_;
        const auto rays = static_cast<std::size_t>(
            std::clamp(std::ceil(wanted), static_cast<double>(least_rays), static_cast<double>(most_rays)));
        return (rays + rays_in_bundle - 1) / rays_in_bundle * rays_in_bundle;
    }

    Track track(std::size_t ray, std::size_t rays) const {
        Track track;
        if (ground_.empty()) {
            return track;
        }
        const auto direction =
            base::TrueBearing::degrees(360.0 * static_cast<double>(ray % rays) / static_cast<double>(rays));
        const auto knots = static_cast<std::size_t>(std::ceil(frame_radius_m_ / knot_spacing_m_)) + 1;
        const std::size_t apart = near_pole_ ? 1 : knots_by_geodesic;
        const std::size_t size = (knots + apart - 1) / apart * apart + 2 * apart + 1;
        track.row.resize(size);
        track.column.resize(size);
        for (std::size_t knot = 0; knot < size; knot += apart) {
            const earth::Position place =
                earth::destination(antenna_.position, direction,
                                   base::Length::metres(static_cast<double>(knot) * knot_spacing_m_));
            double east_deg = place.longitude_deg() - antenna_.position.longitude_deg();
            east_deg -= 360.0 * std::round(east_deg / 360.0);
            track.row[knot] = ground_.row_of(place.latitude_deg());
            track.column[knot] = ground_.column_of(east_deg);
        }
        for (std::vector<double>* along : {&track.row, &track.column}) {
            between_geodesics(*along, apart);
        }
        return track;
    }

    /// Knots between those that geodesics gave, by the cubic through the four nearest: within a millimetre at 60 degrees.
    static void between_geodesics(std::vector<double>& along, std::size_t apart) {
        for (std::size_t knot = 0; knot < along.size(); ++knot) {
            if (knot % apart == 0) {
                continue;
            }
            const std::size_t first =
                std::min(knot / apart * apart - (knot > apart ? apart : 0), along.size() - 1 - 3 * apart);
            const double x = static_cast<double>(knot - first) / static_cast<double>(apart);
            along[knot] = along[first] * (1.0 - x) * (2.0 - x) * (3.0 - x) / 6.0 +
                          along[first + apart] * x * (2.0 - x) * (3.0 - x) / 2.0 -
                          along[first + 2 * apart] * x * (1.0 - x) * (3.0 - x) / 2.0 +
                          along[first + 3 * apart] * x * (1.0 - x) * (2.0 - x) / 6.0;
        }
    }

    /// What a ray has met so far.
    struct Ray {
        ShadowLine shadow;
        float steepest = -1e30F;
        std::uint16_t obstacle = 0;
        SightLimit limit = SightLimit::smooth_earth;
        std::uint16_t first_unknown = nothing_unknown;
        std::size_t given = 0;  // samples that the shadow line knows
    };

    /// Where a ray runs between two knots.
    struct Stretch {
        float row = 0.0F;
        float column = 0.0F;
        float rows = 0.0F;
        float columns = 0.0F;
        float row_at(const Quick& quick) const { return row + quick.past_knot * rows; }
        float column_at(const Quick& quick) const { return column + quick.past_knot * columns; }
    };

    static Stretch stretch(const Track& left, const Track& right, double share, std::size_t knot) {
        const auto between = [&](const std::vector<double>& l, const std::vector<double>& r, std::size_t at) {
            return l[at] + share * (r[at] - l[at]);
        };
        const double row = between(left.row, right.row, knot);
        const double column = between(left.column, right.column, knot);
        return {static_cast<float>(row), static_cast<float>(column),
                static_cast<float>(between(left.row, right.row, knot + 1) - row),
                static_cast<float>(between(left.column, right.column, knot + 1) - column)};
    }

    void sweep_ray(const Track& left, const Track& right, double share) {
        vertices_.clear();
        Ray ray{ShadowLine(vertices_, unit_m_, stands_on_m_ - antenna_m_)};
        std::size_t begin = 0;
        for (const std::size_t end : samples_.group_end) {
            if (ground_.empty()) {
                sample_all(ray, begin, end, [](const Quick&) { return detail::LocalGround::unknown_m; });
            } else {
                sweep_group(ray, begin, end, stretch(left, right, share, samples_.quick[begin].knot));
            }
            begin = end;
        }
        const std::size_t samples = samples_.unit.size();
        if (ray.given < samples) {
            give(ray, samples - 1);
        }
        ray.shadow.end_segment();
        add_ray(ray.first_unknown);
    }

    /// Samples that cannot lie above the steepest so far are left out, and on flat ground those between the first and the last:
    /// there the profile is a parabola that a straight line meets within centimetres.
    void sweep_group(Ray& ray, std::size_t begin, std::size_t end, const Stretch& stretch) {
        const Quick& first = samples_.quick[begin];
        const Quick& last = samples_.quick[end - 1];
        const float row = stretch.row_at(first);
        const float column = stretch.column_at(first);
        bool all_known = false;
        bool flat = false;
        if (ground_.covers(row, column, stretch.row_at(last), stretch.column_at(last))) {
            const auto relief = ground_.around(row, column);
            all_known = relief.lowest_m != earth::unknown_ground;
            if ((all_known || ray.first_unknown != nothing_unknown) &&
                most_slope(relief.highest_m, all_known, first, last) <= ray.steepest) {
                return;
            }
            flat = all_known && relief.lowest_m == relief.highest_m;
        }
        if (!all_known && ray.first_unknown == nothing_unknown) {
            look_for_unknown(ray, begin, end, stretch);
        }
        const auto ground_at = [&](const Quick& quick) {
            return ground_.at(stretch.row_at(quick), stretch.column_at(quick));
        };
        if (flat && end - begin > 2) {
            sample_all(ray, begin, begin + 1, ground_at);
            if (ray.given == begin + 1) {  // the shadow line rises here: what it is to know next is the end
                ray.given = end - 1;
                begin = end - 1;
            }
        }
        sample_all(ray, begin, end, ground_at);
    }

    /// Unknown ground is looked for at every unit, however far apart the samples are: a void is small.
    void look_for_unknown(Ray& ray, std::size_t begin, std::size_t end, const Stretch& stretch) const {
        const std::uint16_t from = samples_.unit[begin];
        const std::uint16_t to = samples_.unit[std::min(end, samples_.unit.size() - 1)];
        Quick quick = samples_.quick[begin];
        const auto step = static_cast<float>(unit_m_ / knot_spacing_m_);
        for (std::uint16_t unit = from; unit <= to; ++unit, quick.past_knot += step) {
            if (ground_.at(stretch.row_at(quick), stretch.column_at(quick)) ==
                detail::LocalGround::unknown_m) {
                ray.first_unknown = unit;
                return;
            }
        }
    }

    /// No ground up to `highest_m` has a steeper slope between two samples; unknown ground stands at its level.
    float most_slope(std::int16_t highest_m, bool all_known, const Quick& first, const Quick& last) const {
        constexpr float rounding_m = 0.25F;
        const auto level_m =
            all_known ? static_cast<float>(highest_m)
                      : std::max(static_cast<float>(highest_m), static_cast<float>(unknown_level_m_));
        const float part = level_m * per_radius;
        const float above_m =
            level_m - static_cast<float>(antenna_m_) - first.drop_m * (1.0F + part) + rounding_m;
        return above_m * (above_m > 0.0F ? first.reciprocal_per_m : last.reciprocal_per_m) * (1.0F - part);
    }

    template <class GroundAt>
    void sample_all(Ray& ray, std::size_t begin, std::size_t end, GroundAt ground_at) {
        const auto antenna_m = static_cast<float>(antenna_m_);
        const auto unknown_level_m = static_cast<float>(unknown_level_m_);
        for (std::size_t k = begin; k < end; ++k) {
            const Quick& quick = samples_.quick[k];
            const float ground_m = ground_at(quick);
            const bool known = ground_m != detail::LocalGround::unknown_m;
            if (!known && ray.first_unknown == nothing_unknown) {
                ray.first_unknown = samples_.unit[k];
            }
            const float level_m = known ? ground_m : unknown_level_m;
            const float part = level_m * per_radius;  // effective_earth.hpp, (2)
            const float slope =
                (level_m - antenna_m - quick.drop_m * (1.0F + part)) * quick.reciprocal_per_m * (1.0F - part);
            if (slope <= ray.steepest) {
                continue;
            }
            if (k > 0 && ray.given < k) {  // the end of the shade behind the last obstacle
                give(ray, k - 1);
            }
            ray.steepest = slope;
            ray.obstacle = samples_.unit[k];
            ray.limit = !known           ? SightLimit::unknown_ground
                        : level_m > 0.0F ? SightLimit::terrain
                                         : SightLimit::smooth_earth;
            give(ray, k);
            ray.given = k + 1;
        }
    }

    /// Tells the shadow line where it stands at a sample.
    void give(Ray& ray, std::size_t k) const {
        ray.shadow.point(samples_.unit[k], static_cast<double>(ray.steepest) * samples_.distance_m[k],
                         ray.obstacle, ray.limit);
    }

    void add_ray(std::uint16_t first_unknown) {
        for (const Vertex& vertex : vertices_) {
            horizon_.distance_.push_back(vertex.unit);
            horizon_.obstacle_.push_back(vertex.obstacle);
            horizon_.limit_.push_back(vertex.limit);
            horizon_.height_m_.push_back(static_cast<float>(vertex.height_m));
        }
        horizon_.known_.push_back(first_unknown);
        horizon_.first_.push_back(static_cast<std::uint32_t>(horizon_.distance_.size()));
    }

    void add_unknown_ray() {
        vertices_.clear();
        vertices_.push_back({0, 0, SightLimit::unknown_ground, unknown_level_m_ - antenna_m_});
        vertices_.push_back({samples_.unit.back(), 0, SightLimit::unknown_ground, 0.0});
        add_ray(0);
    }

    Antenna antenna_;
    detail::LocalGround ground_;
    double frame_radius_m_;
    double spacing_m_;
    double unit_m_;
    double farthest_latitude_deg_;
    bool near_pole_;
    double knot_spacing_m_;
    Samples samples_;
    double antenna_m_ = 0.0;
    double stands_on_m_ = 0.0;
    double unknown_level_m_ = 0.0;
    Horizon horizon_;
    std::vector<Vertex> vertices_;
};

Horizon horizon_of(const earth::Terrain& terrain, const Antenna& antenna, base::Length radius,
                   const base::Progress& progress) {
    OMNIWAY_EXPECTS(radius.metres() > 0.0 && radius.metres() <= most_radius_m);
    return HorizonBuilder(terrain, antenna, std::max(radius.metres(), 2000.0)).sweep(progress);
}

/// Where the shadow line of one ray stands at a distance.
struct Horizon::Sight {
    double height_m;
    double obstacle_m;
    SightLimit limit;
    bool known;
};

Horizon::Horizon(const Antenna& antenna, double radius_m, double unit_m)
    : antenna_(antenna), radius_m_(radius_m), unit_m_(unit_m) {}

Horizon::Sight Horizon::along_ray(std::size_t ray, double distance_m) const {
    const double units = distance_m / unit_m_;
    const auto begin = distance_.begin() + static_cast<std::ptrdiff_t>(first_[ray]);
    const auto end = distance_.begin() + static_cast<std::ptrdiff_t>(first_[ray + 1]);
    const auto beyond = std::upper_bound(begin, end, units);
    const bool known = units <= known_[ray] && distance_m <= radius_m_;
    if (beyond == end) {  // outside the radius the last ray goes on straight
        const auto last = static_cast<std::size_t>(end - distance_.begin()) - 1;
        return {height_m_[last] * units / distance_[last], obstacle_[last] * unit_m_, limit_[last], known};
    }
    const auto high = static_cast<std::size_t>(beyond - distance_.begin());
    const std::size_t low = high - 1;  // the first vertex of a ray stands at distance zero
    const double share = (units - distance_[low]) / (distance_[high] - distance_[low]);
    const double height_m = height_m_[low] + share * (static_cast<double>(height_m_[high]) - height_m_[low]);
    const std::size_t limiting = obstacle_[high] <= units ? high : low;
    return {height_m, obstacle_[limiting] * unit_m_, limit_[limiting], known};
}

LowestSight Horizon::lowest_seen(earth::Position place) const {
    const detail::AntennaFrame frame(antenna_.position);
    const detail::AntennaFrame::Polar polar = frame.polar(place);
    return lowest(polar.distance_m, polar.direction_rad);
}

LowestSight Horizon::lowest_seen(const FromAntenna& place) const {
    return lowest(place.distance.metres(), place.bearing.from_north().radians());
}

LowestSight Horizon::lowest(double distance_m, double direction_rad) const {
    const std::size_t rays = known_.size();
    const double turned = direction_rad / (2.0 * std::numbers::pi) * static_cast<double>(rays);
    const auto below = std::min(static_cast<std::size_t>(turned), rays - 1);
    const double share = turned - static_cast<double>(below);
    const Sight left = along_ray(below, distance_m);
    const Sight right = along_ray(below + 1 == rays ? 0 : below + 1, distance_m);
    const double height_m = left.height_m + share * (right.height_m - left.height_m);
    const Sight& nearer = share < 0.5 ? left : right;
    const double altitude_m = detail::altitude_on_ray(height_m, distance_m, antenna_.altitude.metres());
    return {
        .altitude = base::Altitude::metres(altitude_m),
        .limit = nearer.limit,
        .obstacle = base::Length::metres(nearer.limit == SightLimit::smooth_earth ? 0.0 : nearer.obstacle_m),
        .ground_known = left.known && right.known};
}

std::size_t Horizon::size_bytes() const {
    return sizeof(Horizon) + first_.size() * sizeof(first_[0]) + known_.size() * sizeof(known_[0]) +
           distance_.size() *
               (sizeof(distance_[0]) + sizeof(obstacle_[0]) + sizeof(limit_[0]) + sizeof(height_m_[0]));
}

}  // namespace omniway::radio
