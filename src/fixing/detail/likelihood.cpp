#include "fixing/detail/likelihood.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/quick_trigonometry.hpp"
#include "navdata/landing_threshold.hpp"
#include "radio/indication.hpp"

namespace omniway::fixing::detail {

using earth::PlanePoint;
using earth::Position;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double nm = 1852.0;
constexpr std::size_t no_reading = std::numeric_limits<std::size_t>::max();
// The radius of a circle that holds 95 % of a round normal error is so many deviations of it: sqrt(-2 ln 0.05).
constexpr double within_95 = 2.4477;
// Of what was read where it is not heard: service volumes promise less than is often heard, a horizon seldom does. Common practice, no source.
constexpr double heard_beyond = 0.2;
constexpr double heard_below = 0.01;
// A reading that says nothing is any distance up to so much, or anywhere within it.
constexpr double any_distance_m = 200.0 * nm;
// The line of a way weighs so much where the aircraft is far from it. Common practice, no source.
constexpr double off_the_way = 0.02;

double wrapped(double rad) {
    return base::quick_wrapped(rad, 2.0 * pi);
}

double normal(double z_squared, double deviation) {
    constexpr double inverse_root_two_pi = 0.3989422804014327;
    return z_squared > 90.0 ? 0.0 : std::exp(-0.5 * z_squared) * inverse_root_two_pi / deviation;
}

double cumulative(double z) {
    return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

template <class... Each>
struct Overloaded : Each... {
    using Each::operator()...;
};
template <class... Each>
Overloaded(Each...) -> Overloaded<Each...>;

const Candidates& stations_of(const Shown& shown) {
    return std::visit([](const auto& read) -> const Candidates& { return read.stations; }, shown);
}

radio::Part part_of(const Shown& shown) {
    if (std::holds_alternative<DistanceRead>(shown)) {
        return radio::Part::distance;
    }
    const auto* silence = std::get_if<SilenceRead>(&shown);
    return silence != nullptr ? silence->part : radio::Part::azimuth;
}

}  // namespace

/// What wind and heading err by, summed out: an information matrix of three, its vector and the squares.
struct Likelihood::Sums {
    std::array<double, 6> m{1.0, 0.0, 0.0, 1.0, 0.0, 1.0};  // ee en eh nn nh hh
    std::array<double, 3> b{};
    double squares = 0.0;
    double scale = 1.0;
    double heading_deviation = 0.0;
    bool all_as_read = true;

    void add(const Row& row, double wind_mps) {
        const double inverse = 1.0 / row.deviation;
        const double r = row.residual * inverse;
        const double e = row.wind_east * wind_mps * inverse;
        const double n = row.wind_north * wind_mps * inverse;
        const double h = row.heading * heading_deviation * inverse;
        m[0] += e * e;
        m[1] += e * n;
        m[2] += e * h;
        m[3] += n * n;
        m[4] += n * h;
        m[5] += h * h;
        b[0] += e * r;
        b[1] += n * r;
        b[2] += h * r;
        squares += r * r;
        scale *= inverse * 0.3989422804014327;
    }

    struct Solved {
        double density = 0.0;
        Bent bent;
    };
    // By Cholesky: the matrix is the unit matrix and squares, so that no pivot is below one; but where an aircraft comes out within metres of a station its
    // lines turn so fast that determinants by cofactors are lost in their rounding.
    Solved solved(double wind_mps) const {
        const double l00 = std::sqrt(m[0]);
        const double l10 = m[1] / l00;
        const double l20 = m[2] / l00;
        const double l11 = std::sqrt(std::max(m[3] - l10 * l10, 1.0));
        const double l21 = (m[4] - l20 * l10) / l11;
        const double l22 = std::sqrt(std::max(m[5] - l20 * l20 - l21 * l21, 1.0));
        const double y0 = b[0] / l00;
        const double y1 = (b[1] - l10 * y0) / l11;
        const double y2 = (b[2] - l20 * y0 - l21 * y1) / l22;
        const double h = y2 / l22;
        const double n = (y1 - l21 * h) / l11;
        const double e = (y0 - l10 * n - l20 * h) / l00;
        const double left = std::max(squares - y0 * y0 - y1 * y1 - y2 * y2, 0.0);
        return {left > 90.0 ? 0.0 : scale * std::exp(-0.5 * left) / (l00 * l11 * l22),
                {e * wind_mps, n * wind_mps, h * heading_deviation}};
    }
};

Likelihood::Likelihood(const BeliefQuestion& question, const earth::LocalFrame& frame, Position centre,
                       const std::vector<std::vector<std::size_t>>& kept)
    : question_(question),
      frame_(frame),
      centre_(centre),
      middle_(frame.to_plane(centre)),
      wind_mps_(question.air.uncertainty.metres_per_second()) {
    for (std::size_t i = 0; i < question.readings.size(); ++i) {
        prepare(question.readings[i], i, kept[i]);
    }
    if (const auto& last = question.last_known) {
        Read read;
        read.kind = Kind::last_known;
        read.reading = no_reading;
        read.sites = {Site{.at = frame_.to_plane(last->place)}};
        read.deviation = last->within.metres() / within_95;
        carry(read, last->before);
        reads_.push_back(read);
    }
    std::stable_partition(reads_.begin(), reads_.end(), [](const Read& read) { return !read.carried; });
    first_carried_ = static_cast<std::size_t>(
        std::find_if(reads_.begin(), reads_.end(), [](const Read& read) { return read.carried; }) -
        reads_.begin());
    for (Listener& listener : listeners_) {
        const auto read = std::find_if(reads_.begin(), reads_.end(),
                                       [&](const Read& each) { return each.reading == listener.reading; });
        listener.read = static_cast<std::size_t>(read - reads_.begin());
    }
    if (const auto& way = question.on_the_way) {
        for (const earth::Position& corner : way->line) {
            way_.push_back(frame_.to_plane(corner));
        }
        way_deviation_m = way->within.metres() / 1.96;
    }
    for (int row = -lattice_half; row <= lattice_half; ++row) {
        for (int column = -lattice_half; column <= lattice_half; ++column) {
            const PlanePoint corner{middle_.east_m + column * lattice_cell_m,
                                    middle_.north_m + row * lattice_cell_m};
            lattice_.push_back(
                {frame_.convergence(corner).radians(),
                 question.model.variation(frame_.to_position(corner), question.today).east().radians()});
        }
    }
}

void Likelihood::carry(Read& read, base::Duration before) const {
    read.before_s = before.count();
    // Headings are magnetic: by the variation at the centre, which a running fix of some tens of miles does not notice.
    const base::Variation here = question_.model.variation(centre_, question_.today);
    const auto& flown = question_.flown;
    for (std::size_t i = 0; i < flown.size(); ++i) {
        const double ends_s = i + 1 < flown.size() ? flown[i + 1].before.count() : 0.0;
        // Before the first heading that is told, that one is taken to have been held.
        const double begins_s =
            i == 0 ? std::max(read.before_s, flown[i].before.count()) : flown[i].before.count();
        const double held_s = std::min(begins_s, read.before_s) - ends_s;
        if (held_s <= 0.0) {
            continue;
        }
        const double to_rad = base::to_true(flown[i].heading, here).from_north().radians();
        const double air_m = flown[i].true_airspeed.metres_per_second() * held_s;
        read.air_east_m += air_m * std::sin(to_rad);
        read.air_north_m += air_m * std::cos(to_rad);
    }
    const double wind_rad = question_.air.from.from_north().radians() + pi;
    const double wind_m = question_.air.speed.metres_per_second() * read.before_s;
    read.moved_east_m = read.air_east_m + wind_m * std::sin(wind_rad);
    read.moved_north_m = read.air_north_m + wind_m * std::cos(wind_rad);
    read.carried = read.by_heading || (read.before_s > 0.0 && !flown.empty());
}

void Likelihood::prepare(const Reading& reading, std::size_t index, const std::vector<std::size_t>& kept) {
    const Candidates& stations = stations_of(reading.shown);
    const radio::Part part = part_of(reading.shown);
    const bool silence = std::holds_alternative<SilenceRead>(reading.shown);
    Read read;
    read.reading = index;
    for (const std::size_t candidate : kept) {
        const navdata::Station& station = question_.world[stations[candidate]];
        Site site;
        site.candidate = candidate;
        site.at = frame_.to_plane(part == radio::Part::distance && station.dme ? station.dme->position
                                                                               : navdata::site(station));
        const double convergence_rad = frame_.convergence(site.at).radians();
        if (const auto* vor = navdata::vor(station)) {
            site.zero_rad = vor->declination.east().radians() + convergence_rad;
        } else if (const auto* localizer = navdata::localizer(station)) {
            site.zero_rad = base::to_true(localizer->course, localizer->declination).from_north().radians() +
                            convergence_rad;
            const auto threshold = navdata::landing_threshold(question_.world, station);
            site.full_scale_rad = radio::localizer_width(*localizer, threshold).whole.radians() / 2.0;
        }
        site.antenna_m = radio::antenna_site(station, part, question_.ground.terrain)
                             .antenna.altitude.above_datum()
                             .metres();
        site.bias_m = station.dme ? station.dme->bias.metres() : 0.0;
        constexpr double radius_m = 6'371'008.8;
        const double here_m = question_.altitude.above_datum().metres();
        site.up_m = here_m - site.antenna_m;
        site.chord_squared = (1.0 + here_m / radius_m) * (1.0 + site.antenna_m / radius_m);
        site.chance = 1.0 / static_cast<double>(stations.size());
        site.heard_at = heard_;
        listeners_.push_back({index, reading.before.count(), silence, 0, heard_, site.at, convergence_rad,
                              radio::PreparedReception(station, part, question_.ground)});
        ++heard_;
        read.sites.push_back(site);
    }
    if (silence) {
        return;
    }
    std::visit(Overloaded{
                   [&](const RadialRead& shown) {
                       read.kind = Kind::radial;
                       read.value = shown.radial.from_north().radians();
                       read.deviation = question_.errors.vor.radians();
                   },
                   [&](const DistanceRead& shown) {
                       read.kind = Kind::distance;
                       read.value = shown.slant_range.metres();
                       read.deviation =
                           radio::dme_tolerance(shown.slant_range, question_.errors.criteria).metres() / 2.0;
                   },
                   [&](const BearingRead& shown) {
                       read.kind = Kind::bearing;
                       read.value = shown.to_station.from_north().radians();
                       read.deviation = question_.errors.adf.radians();
                       read.by_heading = shown.by_heading;
                   },
                   [&](const LocalizerRead& shown) {
                       read.kind = Kind::localizer;
                       read.value = shown.needle == NeedleStands::left    ? -1.0
                                    : shown.needle == NeedleStands::right ? 1.0
                                                                          : 0.0;
                       read.deviation = question_.errors.localizer.radians();
                   },
                   [&](const PassageRead&) {
                       read.kind = Kind::passage;
                       // The zone overhead is a cone of 50 degrees: so wide in 95 %, a quarter of a mile at least (PANS-OPS I-2-2, trade-facts 2).
                       const double height_m =
                           question_.altitude.above_datum().metres() - read.sites.front().antenna_m;
                       read.deviation =
                           std::max(height_m * std::tan(50.0 * pi / 180.0), 0.5 * nm) / within_95;
                   },
                   [](const SilenceRead&) {},
               },
               reading.shown);
    carry(read, reading.before);
    by_heading_ = by_heading_ || read.by_heading || std::hypot(read.air_east_m, read.air_north_m) > 0.0;
    reads_.push_back(std::move(read));
}

Likelihood::About Likelihood::about(PlanePoint place) const {
    constexpr int columns = 2 * lattice_half + 1;
    const auto at = [](double metres) {
        return std::clamp(metres / lattice_cell_m + lattice_half, 0.0, 2.0 * lattice_half - 0.001);
    };
    const double column = at(place.east_m - middle_.east_m);
    const double row = at(place.north_m - middle_.north_m);
    const auto c = static_cast<std::size_t>(column);
    const auto r = static_cast<std::size_t>(row);
    const double x = column - static_cast<double>(c);
    const double y = row - static_cast<double>(r);
    const auto* low = &lattice_[r * columns + c];
    const auto* high = low + columns;
    const auto between = [&](std::size_t of) {
        return (low[0][of] * (1.0 - x) + low[1][of] * x) * (1.0 - y) +
               (high[0][of] * (1.0 - x) + high[1][of] * x) * y;
    };
    About about;
    about.convergence_rad = between(0);
    about.sine = std::sin(about.convergence_rad);
    about.cosine = std::cos(about.convergence_rad);
    about.variation_rad = between(1);
    about.heard.assign(heard_, 1.0);
    about.wind_mps = wind_mps_;
    return about;
}

double Likelihood::listen(PlanePoint place, About& about) const {
    double room_m = std::numeric_limits<double>::infinity();
    bool any_heard = false;
    std::size_t silent_reading = no_reading;
    about.silence = 1.0;
    const auto end_silence = [&] {
        if (silent_reading != no_reading && any_heard) {
            about.silence *= question_.errors.station_is_off_the_air;
        }
    };
    for (const Listener& listener : listeners_) {
        PlanePoint then = place;
        if (!listener.silence) {
            const Read& read = reads_[listener.read];
            then = {place.east_m - read.moved_east_m, place.north_m - read.moved_north_m};
        }
        const double grid_rad = frame_.direction_rad(listener.site, then);
        const radio::FromAntenna seen{
            base::Length::metres(frame_.distance_m(listener.site, then)),
            base::TrueBearing::from_north(base::Angle::radians(grid_rad - listener.convergence_rad))};
        const radio::Reception reception = listener.reception.at(seen, question_.altitude);
        room_m = std::min(room_m, listener.reception.room(reception).metres());
        if (listener.silence) {
            if (listener.reading != silent_reading) {
                end_silence();
                silent_reading = listener.reading;
                any_heard = false;
            }
            any_heard = any_heard || reception.heard();
            continue;
        }
        const bool below = reception.silence == radio::Silence::below_horizon ||
                           reception.silence == radio::Silence::behind_terrain;
        about.heard[listener.heard_at] = reception.heard() ? 1.0 : below ? heard_below : heard_beyond;
    }
    end_silence();
    return room_m;
}

// Of an angle or a distance: what was read less what would be read there.
double Likelihood::residual(const Read& read, const Site& site, PlanePoint then, const About& about) const {
    if (read.kind == Kind::radial) {
        return wrapped(read.value - (frame_.direction_rad(site.at, then) - site.zero_rad));
    }
    if (read.kind == Kind::bearing) {
        return wrapped(read.value + about.variation_rad -
                       (frame_.direction_rad(then, site.at) - about.convergence_rad));
    }
    constexpr double radius_m = 6'371'008.8;  // as radio::slant_range
    const double away_m = frame_.distance_m(site.at, then);
    const double half = away_m / (2.0 * radius_m);
    const double chord = away_m * (1.0 - half * half / 6.0);
    const double slant_m = std::sqrt(chord * chord * site.chord_squared + site.up_m * site.up_m);
    return read.value - (slant_m - site.bias_m);
}

// What a reading may have been, each with its weight: calls `use` with a Component.
template <class Use>
void Likelihood::components(const Read& read, PlanePoint place, const About& about, const Use& use) const {
    const Bent& bent = about.bent;
    // True directions to those of the grid: turned clockwise by the convergence.
    const auto east_of = [&about](double east_m, double north_m) {
        return east_m * about.cosine + north_m * about.sine;
    };
    const auto north_of = [&about](double east_m, double north_m) {
        return north_m * about.cosine - east_m * about.sine;
    };
    PlanePoint then = place;
    double air_east_m = 0.0;
    double air_north_m = 0.0;
    if (read.carried) {
        then.east_m -= east_of(read.moved_east_m, read.moved_north_m);
        then.north_m -= north_of(read.moved_east_m, read.moved_north_m);
        air_east_m = east_of(read.air_east_m, read.air_north_m);
        air_north_m = north_of(read.air_east_m, read.air_north_m);
        then.east_m += bent.heading_rad * air_north_m - bent.wind_east_mps * read.before_s;
        then.north_m -= bent.heading_rad * air_east_m + bent.wind_north_mps * read.before_s;
    }
    // A prediction that changes so by a metre east and north of the place then: the wind has carried the aircraft farther, and a heading that shows too
    // much has turned what was flown to the left.
    const auto carried = [&](Row& row, double by_east, double by_north) {
        row.by_metre = std::hypot(by_east, by_north);
        if (read.carried) {
            row.wind_east = -by_east * read.before_s;
            row.wind_north = -by_north * read.before_s;
            row.heading = by_east * air_north_m - by_north * air_east_m;
        }
    };
    const ReadingErrors& errors = question_.errors;
    const bool can_reverse =
        read.kind == Kind::radial || read.kind == Kind::bearing || read.kind == Kind::localizer;
    const double blundered = errors.nothing + (can_reverse ? errors.reciprocal : 0.0);
    // What the reading would be off by were wind and heading as forecast, to the first order about what they are taken for.
    const auto settle = [&bent, &expected = about.expected, &read](Component& component) {
        if (read.carried) {
            for (int i = 0; i < component.rows; ++i) {
                Row& row = component.row[static_cast<std::size_t>(i)];
                row.residual += row.wind_east * (bent.wind_east_mps - expected.wind_east_mps) +
                                row.wind_north * (bent.wind_north_mps - expected.wind_north_mps) +
                                row.heading * (bent.heading_rad - expected.heading_rad);
            }
        }
    };
    // For a piece of the plane each line is as much wider as the piece is wide, and as high as it was.
    const auto soften = [&about](Component& component) {
        if (about.softened_m > 0.0) {
            for (int i = 0; i < component.rows; ++i) {
                Row& row = component.row[static_cast<std::size_t>(i)];
                const double wider = std::hypot(row.deviation, row.by_metre * about.softened_m);
                component.weight *= wider / row.deviation;
                row.deviation = wider;
            }
        }
    };
    Component as_read;
    for (std::size_t i = 0; i < read.sites.size(); ++i) {
        const Site& site = read.sites[i];
        const double heard = read.reading == no_reading ? 1.0 : about.heard[site.heard_at];
        const double weight = site.chance * heard;
        as_read.site = i;
        as_read.taken = Taken::as_read;
        as_read.weight = weight * (1.0 - blundered);
        as_read.rows = 1;
        Row& row = as_read.row[0];
        row = Row{};
        row.deviation = read.deviation;
        const double east_m = then.east_m - site.at.east_m;
        const double north_m = then.north_m - site.at.north_m;
        switch (read.kind) {
            case Kind::radial: {
                const double square = std::max(east_m * east_m + north_m * north_m, 1.0);
                row.residual = residual(read, site, then, about);
                carried(row, north_m / square, -east_m / square);
                break;
            }
            case Kind::bearing: {
                const double square = std::max(east_m * east_m + north_m * north_m, 1.0);
                row.residual = residual(read, site, then, about);
                carried(row, north_m / square, -east_m / square);
                if (read.by_heading) {
                    row.heading += 1.0;
                    row.residual -= bent.heading_rad;
                }
                break;
            }
            case Kind::distance: {
                row.residual = residual(read, site, then, about);
                const double by = 1.0 / std::max(std::hypot(east_m, north_m, site.up_m), 1.0);
                carried(row, east_m * by, north_m * by);
                break;
            }
            case Kind::localizer: {
                // To the right of the front course as one flies it inbound, front and back alike.
                const double right_m = east_m * std::cos(site.zero_rad) - north_m * std::sin(site.zero_rad);
                const double away_m = std::max(std::hypot(east_m, north_m), 1.0);
                const double off_rad = std::asin(std::clamp(right_m / away_m, -1.0, 1.0));
                const double by_wind_rad = read.carried ? wind_mps_ * read.before_s / away_m : 0.0;
                const double deviation = std::hypot(read.deviation, by_wind_rad);
                // A tenth of full scale is seen.
                const double seen_rad = site.full_scale_rad * 0.1;
                const double left = cumulative((off_rad - seen_rad) / deviation);
                const double right = cumulative((-off_rad - seen_rad) / deviation);
                const auto chance = [&](double side) {
                    return side < 0.0 ? left : side > 0.0 ? right : std::max(1.0 - left - right, 0.0);
                };
                as_read.rows = 0;
                as_read.weight *= about.softened_m > 0.0 ? 1.0 : chance(read.value);
                use(as_read);
                as_read.taken = Taken::reciprocal;
                as_read.weight = weight * errors.reciprocal * chance(-read.value);
                use(as_read);
                as_read.taken = Taken::nothing;
                as_read.weight = weight * errors.nothing / 3.0;
                use(as_read);
                continue;
            }
            case Kind::passage:
            case Kind::last_known: {
                as_read.rows = 2;
                Row& second = as_read.row[1];
                second = row;
                row.residual = -east_m;
                second.residual = -north_m;
                carried(row, 1.0, 0.0);
                carried(second, 0.0, 1.0);
                break;
            }
        }
        settle(as_read);
        soften(as_read);
        use(as_read);
        if (can_reverse) {
            as_read.taken = Taken::reciprocal;
            as_read.weight = weight * errors.reciprocal * (row.deviation / read.deviation);
            row.residual = wrapped(row.residual + pi);
            use(as_read);
        }
        as_read.taken = Taken::nothing;
        as_read.rows = 0;
        const double anything = read.kind == Kind::radial || read.kind == Kind::bearing ? 1.0 / (2.0 * pi)
                                : read.kind == Kind::distance                           ? 1.0 / any_distance_m
                                                              : 1.0 / (pi * any_distance_m * any_distance_m);
        as_read.weight = weight * errors.nothing * anything;
        use(as_read);
    }
}

// As simple() of an angle or a distance, which nearly every cell asks.
double Likelihood::of_one_line(const Read& read, PlanePoint place, const About& about) const {
    const ReadingErrors& errors = question_.errors;
    const bool angle = read.kind != Kind::distance;
    const double reciprocal = angle ? errors.reciprocal : 0.0;
    const double inverse = 1.0 / read.deviation;
    const double anything = errors.nothing * (angle ? 1.0 / (2.0 * pi) : 1.0 / any_distance_m);
    double sum = 0.0;
    for (const Site& site : read.sites) {
        const double off = residual(read, site, place, about);
        const double z = off * inverse;
        const double back = angle ? (pi - std::abs(off)) * inverse : 0.0;
        sum += site.chance * about.heard[site.heard_at] *
               ((1.0 - errors.nothing - reciprocal) * normal(z * z, read.deviation) +
                (reciprocal > 0.0 ? reciprocal * normal(back * back, read.deviation) : 0.0) + anything);
    }
    return sum;
}

double Likelihood::simple(const Read& read, PlanePoint place, const About& about) const {
    const bool line = read.kind == Kind::radial || read.kind == Kind::distance || read.kind == Kind::bearing;
    if (line && about.softened_m <= 0.0) {
        return of_one_line(read, place, about);
    }
    double sum = 0.0;
    components(read, place, about, [&](const Component& component) {
        double density = component.weight;
        for (int i = 0; i < component.rows; ++i) {
            const Row& row = component.row[static_cast<std::size_t>(i)];
            const double z = row.residual / row.deviation;
            density *= normal(z * z, row.deviation);
        }
        sum += density;
    });
    return sum;
}

void Likelihood::take_at_hand(PlanePoint place, About& about) const {
    about.at_hand.resize(reads_.size() - first_carried_);
    about.chosen.resize(about.at_hand.size());
    for (std::size_t i = first_carried_; i < reads_.size(); ++i) {
        auto& taken = about.at_hand[i - first_carried_];
        taken.clear();
        components(reads_[i], place, about, [&](const Component& component) {
            if (component.weight > 0.0) {
                taken.push_back(component);
            }
        });
    }
}

// Of the readings that wind and heading bear on, every combination of what each may have been.
template <class Leaf>
void Likelihood::carried(std::size_t from, const Sums& sums, About& about, const Leaf& leaf) const {
    if (from == about.at_hand.size()) {
        leaf(sums);
        return;
    }
    for (const Component& component : about.at_hand[from]) {
        Sums more = sums;
        more.scale *= component.weight;
        more.all_as_read = more.all_as_read && component.taken == Taken::as_read;
        bool possible = true;
        for (int i = 0; i < component.rows && possible; ++i) {
            const Row& row = component.row[static_cast<std::size_t>(i)];
            const double wind_square = (row.wind_east * row.wind_east + row.wind_north * row.wind_north) *
                                       about.wind_mps * about.wind_mps;
            const double heading = row.heading * sums.heading_deviation;
            const double spread = row.deviation * row.deviation + wind_square + heading * heading;
            possible = row.residual * row.residual <= 90.0 * spread;
            more.add(row, about.wind_mps);
        }
        if (possible) {
            about.chosen[from] = &component;
            carried(from + 1, more, about, leaf);
        }
    }
}

void Likelihood::settle(PlanePoint place, double within_m, About& about) const {
    about.bent = {};
    if (first_carried_ == reads_.size()) {
        return;
    }
    about.softened_m = within_m;
    take_at_hand(place, about);
    Sums sums;
    sums.heading_deviation = question_.errors.heading.radians();
    double most = 0.0;
    Bent likeliest;
    carried(0, sums, about, [&](const Sums& all) {
        const auto solved = all.solved(about.wind_mps);
        if (solved.density > most) {
            most = solved.density;
            likeliest = solved.bent;
        }
    });
    about.softened_m = 0.0;
    about.bent = likeliest;
    take_apart(place, about);
}

// So near a station that the wind's error is no small part of the way to it, a bearing is no straight line over that error: the normal error is taken for the
// sum of narrower ones, each to the first order about its own middle. A sum of normals six tenths as wide, eight tenths apart, is the whole within a thousandth.
void Likelihood::take_apart(PlanePoint place, About& about) const {
    constexpr double small = 0.25;
    constexpr double narrower = 0.6;
    constexpr double apart = 0.8;
    constexpr int to_each_side = 3;
    about.pieces.clear();
    take_at_hand(place, about);
    double widest = 0.0;
    for (std::size_t i = 0; i < about.at_hand.size(); ++i) {
        const Kind kind = reads_[first_carried_ + i].kind;
        for (const Component& component : about.at_hand[i]) {
            const Row& row = component.row[0];
            const bool angle = kind == Kind::radial || kind == Kind::bearing;
            if (angle && component.rows == 1) {
                widest = std::max(widest, std::hypot(row.wind_east, row.wind_north) * wind_mps_);
            }
        }
    }
    if (widest < small) {
        return;
    }
    const double rest = 1.0 - narrower * narrower;
    double whole = 0.0;
    for (int east = -to_each_side; east <= to_each_side; ++east) {
        for (int north = -to_each_side; north <= to_each_side; ++north) {
            const double square = (east * east + north * north) * apart * apart;
            if (square <= 12.0 * rest) {
                const double weight = std::exp(-0.5 * square / rest);
                about.pieces.push_back(
                    {weight, {east * apart * wind_mps_, north * apart * wind_mps_, about.bent.heading_rad}});
                whole += weight;
            }
        }
    }
    for (auto& [weight, piece] : about.pieces) {
        weight /= whole;
    }
    about.wind_mps = narrower * wind_mps_;
}

double Likelihood::prior(PlanePoint place) const {
    if (way_.empty()) {
        return 1.0;
    }
    double nearest = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i + 1 < way_.size(); ++i) {
        const double east_m = way_[i + 1].east_m - way_[i].east_m;
        const double north_m = way_[i + 1].north_m - way_[i].north_m;
        const double square = std::max(east_m * east_m + north_m * north_m, 1.0);
        const double along = std::clamp(
            ((place.east_m - way_[i].east_m) * east_m + (place.north_m - way_[i].north_m) * north_m) / square,
            0.0, 1.0);
        const double off_east_m = place.east_m - way_[i].east_m - along * east_m;
        const double off_north_m = place.north_m - way_[i].north_m - along * north_m;
        nearest = std::min(nearest, off_east_m * off_east_m + off_north_m * off_north_m);
    }
    return off_the_way + (1.0 - off_the_way) * std::exp(-0.5 * nearest / (way_deviation_m * way_deviation_m));
}

namespace {

// A heading indicator that is as good as it should be, or far off.
struct HeadingState {
    double deviation_rad = 0.0;
    double chance = 1.0;
    bool off = false;
};

std::array<HeadingState, 2> heading_states(const ReadingErrors& errors, bool by_heading) {
    const double off = by_heading ? errors.heading_is_off : 0.0;
    return {HeadingState{errors.heading.radians(), 1.0 - off, false},
            HeadingState{errors.heading_off.radians(), off, true}};
}

}  // namespace

double Likelihood::at(PlanePoint place, About& about) const {
    return prior(place) * about.silence * of_readings(place, about);
}

double Likelihood::of_readings(PlanePoint place, About& about) const {
    double density = 1.0;
    for (std::size_t i = 0; i < first_carried_; ++i) {
        density *= simple(reads_[i], place, about);
    }
    if (first_carried_ == reads_.size() || density <= 0.0) {
        return density;
    }
    if (about.pieces.empty() || about.softened_m > 0.0) {
        return density * of_carried(place, about);
    }
    double all = 0.0;
    for (const auto& [weight, piece] : about.pieces) {
        about.bent = piece;
        about.expected = {piece.wind_east_mps, piece.wind_north_mps, 0.0};
        all += weight * of_carried(place, about);
    }
    return density * all;
}

double Likelihood::of_carried(PlanePoint place, About& about) const {
    take_at_hand(place, about);
    double both = 0.0;
    for (const HeadingState& state : heading_states(question_.errors, by_heading_)) {
        if (state.chance > 0.0) {
            double sum = 0.0;
            Sums sums;
            sums.heading_deviation = state.deviation_rad;
            carried(0, sums, about, [&](const Sums& all) { sum += all.solved(about.wind_mps).density; });
            both += state.chance * sum;
        }
    }
    return both;
}

double Likelihood::at_most(PlanePoint place, double within_m, About& about) const {
    about.softened_m = within_m;
    const double density = of_readings(place, about);
    about.softened_m = 0.0;
    return density;
}

double Likelihood::thinnest_m(PlanePoint place, double within_m) const {
    double thinnest = std::numeric_limits<double>::infinity();
    const About here = about(place);
    for (const Read& read : reads_) {
        components(read, place, here, [&](const Component& component) {
            for (int i = 0; i < component.rows; ++i) {
                const Row& row = component.row[static_cast<std::size_t>(i)];
                // At the near edge of the piece.
                const double steeper = component.rows == 2 || read.kind == Kind::distance
                                           ? row.by_metre
                                           : 1.0 / std::max(1.0 / row.by_metre - within_m, 500.0);
                const double wind = steeper * read.before_s * wind_mps_ * (read.carried ? 1.0 : 0.0);
                thinnest = std::min(thinnest, std::hypot(row.deviation, wind) / steeper);
            }
        });
    }
    return thinnest;
}

Shares Likelihood::no_shares() const {
    Shares shares;
    shares.readings.resize(question_.readings.size());
    for (std::size_t i = 0; i < question_.readings.size(); ++i) {
        shares.readings[i].candidates.assign(stations_of(question_.readings[i].shown).size(), 0.0);
    }
    return shares;
}

void Likelihood::add_shares(PlanePoint place, About& about, double weight, Shares& shares) const {
    const auto note = [&](const Read& read, const Component& component, double share) {
        if (read.reading == no_reading) {
            return;
        }
        ReadingShares& of = shares.readings[read.reading];
        (component.taken == Taken::as_read      ? of.as_read
         : component.taken == Taken::reciprocal ? of.reciprocal
                                                : of.nothing) += share;
        of.candidates[read.sites[component.site].candidate] += share;
    };
    double all_as_read = 1.0;
    for (std::size_t i = 0; i < first_carried_; ++i) {
        const double whole = simple(reads_[i], place, about);
        double as_read = 0.0;
        components(reads_[i], place, about, [&](const Component& component) {
            double density = component.weight;
            for (int at = 0; at < component.rows; ++at) {
                const Row& row = component.row[static_cast<std::size_t>(at)];
                const double z = row.residual / row.deviation;
                density *= normal(z * z, row.deviation);
            }
            note(reads_[i], component, whole > 0.0 ? weight * density / whole : 0.0);
            as_read += component.taken == Taken::as_read ? density : 0.0;
        });
        all_as_read *= whole > 0.0 ? as_read / whole : 0.0;
    }
    shares.total += weight;
    if (first_carried_ == reads_.size()) {
        shares.all_as_read += weight * all_as_read;
        return;
    }
    struct Leaf {
        std::vector<const Component*> chosen;
        Sums::Solved solved;
        bool all_as_read = false;
        bool off = false;
    };
    // Shares need no more than the first order.
    about.wind_mps = wind_mps_;
    about.expected = {};
    take_at_hand(place, about);
    std::vector<Leaf> leaves;
    for (const HeadingState& state : heading_states(question_.errors, by_heading_)) {
        if (state.chance > 0.0) {
            Sums sums;
            sums.heading_deviation = state.deviation_rad;
            carried(0, sums, about, [&](const Sums& all) {
                auto solved = all.solved(about.wind_mps);
                solved.density *= state.chance;
                if (solved.density > 0.0) {
                    leaves.push_back({about.chosen, solved, all.all_as_read, state.off});
                }
            });
        }
    }
    double whole = 0.0;
    for (const Leaf& leaf : leaves) {
        whole += leaf.solved.density;
    }
    for (const Leaf& leaf : leaves) {
        const double share = weight * leaf.solved.density / whole;
        for (std::size_t i = 0; i < leaf.chosen.size(); ++i) {
            note(reads_[first_carried_ + i], *leaf.chosen[i], share);
        }
        shares.all_as_read += leaf.all_as_read && !leaf.off ? share * all_as_read : 0.0;
        if (leaf.off) {
            shares.heading_off += share;
            shares.heading_off_by_rad += share * leaf.solved.bent.heading_rad;
        }
    }
}

}  // namespace omniway::fixing::detail
