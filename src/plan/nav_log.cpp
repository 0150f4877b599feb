#include "plan/nav_log.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "aircraft/wind_finding.hpp"
#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "flight/tops.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Angle;
using base::Duration;
using base::Finding;
using base::Grade;
using base::Instant;
using base::Length;
using base::Mass;
using base::Speed;
using base::TrueBearing;
using flight::TrackStep;
using weather::Wind;

namespace {

bool is_hold(const TrackStep& step) {
    const auto* hold = step.ending ? std::get_if<procedure::AtHold>(&*step.ending) : nullptr;
    return hold != nullptr && hold->altitude && step.length > Length();
}

// What a row is to, where no fix has a name for it.
std::string point_name(const TrackStep& step) {
    if (!step.to.empty()) {
        return step.to;
    }
    if (!step.ending) {
        return fmt::format("changeover {}", step.number);
    }
    if (const auto* reached = std::get_if<procedure::AtAltitude>(&*step.ending)) {
        return fmt::format("{:.0f} ft", reached->altitude.feet());
    }
    return fmt::format("end of {}", step.number);
}

class Logger {
public:
    Logger(const aircraft::Aircraft& aircraft, const earth::MagneticModel& model, earth::DecimalYear today,
           const weather::WindsAloft& winds, const flight::Flight& flight, const flight::FlightTrack& track)
        : aircraft_(aircraft),
          model_(model),
          today_(today),
          winds_(winds),
          flight_(flight),
          track_(track),
          tops_(flight::tops_of(flight)) {}

    std::vector<NavLogRow> rows() {
        Length begin;
        for (const TrackStep& step : track_.steps) {
            Length from;
            for (const flight::Top& top : is_hold(step) ? std::vector<flight::Top>{}
                                                        : flight::tops_within(tops_, begin, step.length)) {
                add(step, begin, from, top.along, name_of(top.kind));
                from = top.along;
            }
            if (step.length > Length()) {
                add(step, begin, from, step.length, point_name(step));
            }
            begin += step.length;
        }
        return std::move(rows_);
    }

private:
    static std::string name_of(flight::TopKind kind) {
        switch (kind) {
            case flight::TopKind::of_climb:
                return "TOC";
            case flight::TopKind::bottom_of_climb:
                return "BOC";
            case flight::TopKind::of_descent:
                return "TOD";
            case flight::TopKind::bottom_of_descent:
                return "BOD";
        }
        return {};
    }

    void add(const TrackStep& step, Length begin, Length from, Length to, std::string name) {
        NavLogRow row;
        row.step = step.number;
        row.via = step.via;
        row.to = std::move(name);
        row.hold = is_hold(step);
        row.distance = to - from;
        const bool at_the_end = to == step.length;
        row.altitude = at_the_end ? step.altitude : flight_.altitude_at(begin + to);
        const Altitude at_start = rows_.empty() ? flight_.altitude_at(begin + from) : rows_.back().altitude;
        const flight::Pace pace =
            flight::pace_between(aircraft_.performance, step.phase, at_start, row.altitude);
        row.manner = pace.manner;
        row.true_airspeed = pace.true_airspeed;
        row.fuel_flow = pace.fuel_flow;
        row.wind = winds_.at(pace.middle);
        const bool straight = !std::holds_alternative<procedure::OnArc>(step.guidance) && !row.hold;
        const earth::Position place =
            straight && from > Length() ? earth::destination(step.start, step.track, from) : step.start;
        row.track = straight && from > Length() ? earth::bearing(place, step.finish) : step.track;
        row.variation = model_.variation(place, today_);
        row.course = base::to_magnetic(row.track, row.variation);
        rows_.push_back(std::move(row));
    }

    const aircraft::Aircraft& aircraft_;
    const earth::MagneticModel& model_;
    earth::DecimalYear today_;
    const weather::WindsAloft& winds_;
    const flight::Flight& flight_;
    const flight::FlightTrack& track_;
    std::vector<flight::Top> tops_;
    std::vector<NavLogRow> rows_;
};

// Heading, groundspeed, time and fuel of a row in its wind.
void fly(NavLogRow& row) {
    if (row.hold) {
        row.groundspeed = row.true_airspeed;
        row.time = row.distance / row.true_airspeed;
        row.fuel = row.fuel_flow * *row.time;
        return;
    }
    const auto held = aircraft::hold_course(row.track, row.true_airspeed, row.wind);
    row.correction = held ? std::optional(held->correction) : std::nullopt;
    row.heading = held ? std::optional(base::to_magnetic(held->heading, row.variation)) : std::nullopt;
    row.groundspeed = held ? std::optional(held->groundspeed) : std::nullopt;
    row.time = held ? std::optional(row.distance / held->groundspeed) : std::nullopt;
    row.fuel = held ? row.fuel_flow * *row.time : Mass();
}

// Everything that adds up from row to row; a passage sets the clock.
void add_up(NavLog& log, const std::vector<Passage>& passages) {
    Length total;
    std::optional<Duration> elapsed = Duration(0.0);
    std::optional<Instant> clock = log.take_off;
    Mass used = log.fuel.taxi;
    log.distance = Length();
    for (const NavLogRow& row : log.rows) {
        log.distance += row.distance;
    }
    auto passage = passages.begin();
    for (std::size_t i = 0; i < log.rows.size(); ++i) {
        NavLogRow& row = log.rows[i];
        total += row.distance;
        used += row.fuel;
        elapsed = elapsed && row.time ? std::optional(*elapsed + *row.time) : std::nullopt;
        clock = clock && row.time ? std::optional(*clock + *row.time) : std::nullopt;
        while (passage != passages.end() && passage->row <= i) {
            ++passage;
        }
        if (passage != passages.end() && passage->row == i + 1) {
            clock = row.passed = passage->at;
        }
        row.total = total;
        row.remaining = std::max(log.distance - total, Length());
        row.elapsed = elapsed;
        row.arriving = clock;
        row.fuel_used = used;
        row.fuel_left = log.fuel.usable - used;
    }
    log.time = elapsed;
    log.fuel.trip = used - log.fuel.taxi;
    log.fuel.needed = log.fuel.taxi + log.fuel.trip + log.fuel.alternate.value_or(Mass()) + log.fuel.reserve;
    log.fuel.extra = log.fuel.usable - log.fuel.needed;
}

void say_alternate(NavLog& log, const NavLogQuestion& question) {
    if (question.alternate == AlternateAsked::not_said) {
        log.findings.push_back(
            {Grade::asks, "fuel.alternate_not_said", "alternate",
             "one is needed unless from an hour before to an hour after the arrival the ceiling is 2,000 ft "
             "and the visibility 3 SM at least",
             "--alternate IDENT, or --alternate none where the weather is so"});
    } else if (question.alternate == AlternateAsked::given && !log.fuel.alternate) {
        log.findings.push_back({Grade::blocks, "fuel.alternate_not_reached", question.alternate_ident,
                                "no flight leads there from the destination, so that its fuel is not known",
                                "another alternate"});
    }
}

// The wind vectors of a stretch, changed by `along` toward where it leads and `across` to the right of that.
Wind change_of(TrueBearing line, double along_kt, double across_kt) {
    const Wind tail{line.reciprocal(), Speed::knots(std::abs(along_kt))};
    const Wind side{(line + Angle::degrees(90.0)).reciprocal(), Speed::knots(std::abs(across_kt))};
    const auto turned = [](const Wind& wind, bool back) {
        return back ? Wind{wind.from.reciprocal(), wind.speed} : wind;
    };
    return aircraft::added(turned(tail, along_kt < 0.0), turned(side, across_kt < 0.0));
}

class Stretch {
public:
    Stretch(const NavLog& log, const Passage& from, const Passage& to) : log_(log), from_(from), to_(to) {
        double north = 0.0;
        double east = 0.0;
        for (std::size_t i = from.row; i < to.row; ++i) {
            const NavLogRow& row = log.rows[i];
            distance_ += row.distance;
            if (row.hold) {
                held_ += *row.time;
                distance_ = distance_ - row.distance;
                continue;
            }
            north += row.distance.metres() * base::cos(row.track.from_north());
            east += row.distance.metres() * base::sin(row.track.from_north());
            airspeed_sum_ += row.true_airspeed.knots() * row.distance.metres();
        }
        line_ = TrueBearing::from_north(Angle::radians(std::atan2(east, north)));
    }

    Duration flown() const { return to_.at - from_.at - held_; }
    Speed groundspeed() const { return distance_ / flown(); }
    Speed airspeed() const { return Speed::knots(airspeed_sum_ / distance_.metres()); }

    // The change of the wind that makes the stretch last as long as it did; empty where none within bounds does.
    std::optional<Wind> change() const {
        if (distance_ <= Length() || flown().count() <= 0.0) {
            return std::nullopt;
        }
        // On time is the wind that was reckoned with: where the stretch turns the time may hardly change with the wind along it, and the
        // rounding of an instant (0.2 us) must not look like a change.
        constexpr Duration on_time(0.001);
        const auto unchanged = time_with(changed(0.0));
        if (unchanged && *unchanged - flown() < on_time && flown() - *unchanged < on_time) {
            return changed(0.0);
        }
        // Where the stretch turns, more wind along its line blows across part of it, and the time need not fall with it: the
        // smallest change is looked for from none outward.
        for (double reach_kt = 1.0; reach_kt <= greatest_change_of_wind.knots(); reach_kt += 1.0) {
            for (const double side : {1.0, -1.0}) {
                const double near_kt = side * (reach_kt - 1.0);
                const double far_kt = side * reach_kt;
                if (is_late(near_kt) != is_late(far_kt)) {
                    return changed(between(near_kt, far_kt));
                }
            }
        }
        return std::nullopt;
    }

private:
    bool is_late(double along_kt) const {
        const auto time = time_with(changed(along_kt));
        return !time || *time > flown();
    }

    // Where between the two it is late no more, or late.
    double between(double near_kt, double far_kt) const {
        const bool late = is_late(near_kt);
        for (int i = 0; i < 40; ++i) {
            const double middle_kt = (near_kt + far_kt) * 0.5;
            (is_late(middle_kt) == late ? near_kt : far_kt) = middle_kt;
        }
        return (near_kt + far_kt) * 0.5;
    }

    std::optional<Duration> time_with(const Wind& change) const {
        Duration sum(0.0);
        for (std::size_t i = from_.row; i < to_.row; ++i) {
            const NavLogRow& row = log_.rows[i];
            if (row.hold) {
                continue;
            }
            const auto held =
                aircraft::hold_course(row.track, row.true_airspeed, aircraft::added(row.wind, change));
            if (!held) {
                return std::nullopt;
            }
            sum += row.distance / held->groundspeed;
        }
        return sum;
    }

    Wind changed(double along_kt) const {
        return change_of(line_, along_kt, to_.drift ? across_for(along_kt) : 0.0);
    }

    // How much across makes the drift on the last row what was seen, with so much along.
    double across_for(double along_kt) const {
        const NavLogRow& last = log_.rows[to_.row - 1];
        const Angle right = Angle::degrees(90.0);
        // Toward the right of the track, which drifts to the right: airspeed times the sine of the drift.
        const double wanted_kt = last.true_airspeed.knots() * base::sin(*to_.drift);
        const TrueBearing abeam = last.track + right;
        const auto part = [&](TrueBearing toward) { return base::cos(abeam - toward); };
        const double blows_kt =
            last.wind.speed.knots() * part(last.wind.from.reciprocal()) + along_kt * part(line_);
        const double share = part(line_ + right);
        return std::abs(share) < 0.1 ? 0.0 : (wanted_kt - blows_kt) / share;
    }

    const NavLog& log_;
    const Passage& from_;
    const Passage& to_;
    Length distance_;
    Duration held_{0.0};
    double airspeed_sum_ = 0.0;
    TrueBearing line_;
};

void reckon_with(NavLog& log, std::size_t from, const Wind& change) {
    for (std::size_t i = from; i < log.rows.size(); ++i) {
        log.rows[i].wind = aircraft::added(log.rows[i].wind, change);
        fly(log.rows[i]);
    }
}

}  // namespace

NavLog nav_log(const aircraft::Aircraft& aircraft, const earth::MagneticModel& model,
               earth::DecimalYear today, const weather::WindsAloft& winds, const flight::Flight& flight,
               const flight::FlightTrack& track, const NavLogQuestion& question) {
    NavLog log;
    log.rows = Logger(aircraft, model, today, winds, flight, track).rows();
    for (NavLogRow& row : log.rows) {
        fly(row);
    }
    log.take_off = question.take_off;
    log.fuel.taxi = aircraft.fuel.taxi;
    log.fuel.alternate_asked = question.alternate;
    log.fuel.alternate = flight.alternate_fuel;
    log.fuel.reserve = aircraft::reserve_fuel(aircraft, flight::last_level(flight));
    log.fuel.usable = aircraft.fuel.usable;
    add_up(log, {});
    say_alternate(log, question);
    return log;
}

std::variant<NavLog, ImplausiblePassage> as_flown(NavLog log, const std::vector<Passage>& passages) {
    const bool enough_before = log.fuel.extra >= Mass();
    for (std::size_t i = 1; i < passages.size(); ++i) {
        const Passage& from = passages[i - 1];
        const Passage& to = passages[i];
        const Stretch stretch(log, from, to);
        const auto change = stretch.change();
        if (!change) {
            return ImplausiblePassage{i, stretch.groundspeed(), stretch.airspeed()};
        }
        reckon_with(log, from.row, *change);
        log.rows[to.row - 1].groundspeed_made = stretch.groundspeed();
        log.found.push_back({from.row, to.row, log.rows[to.row - 1].wind, *change, to.drift.has_value()});
    }
    if (!passages.empty() && passages.front().row == 0) {
        log.take_off = passages.front().at;
    }
    add_up(log, passages);
    if (enough_before && log.fuel.extra < Mass()) {
        log.findings.push_back({Grade::blocks, "fuel.no_longer_enough", "fuel",
                                fmt::format("in the wind found {:.0f} lb are needed, {:.0f} lb usable",
                                            log.fuel.needed.pounds(), log.fuel.usable.pounds()),
                                "land earlier"});
    }
    return log;
}

}  // namespace omniway::plan
