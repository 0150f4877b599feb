#include "procedure/detail/hold_entry_track.hpp"

#include <algorithm>

#include "aircraft/wind_triangle.hpp"

namespace omniway::procedure::detail {

using base::Angle;
using base::Duration;
using base::Length;
using base::Speed;
using base::TrueBearing;

namespace {

constexpr Angle offset_angle = Angle::degrees(30.0);

struct Outbound {
    TrueBearing heading;
    Way first_turn = Way::right;
    Way back = Way::right;
};

Outbound outbound_of(const Hold& hold, HoldEntry entry, const HoldCircuit& circuit, TrueBearing arriving,
                     const aircraft::CourseHeld& parallel, const aircraft::CourseHeld& offset) {
    const Way side = hold.side == navdata::Turn::left ? Way::left : Way::right;
    switch (entry) {
        case HoldEntry::direct: {
            // In a strong wind the outbound heading may already lie behind: no circle is flown to reach it.
            const bool passed = sweep(arriving, circuit.outbound_heading, side) > Angle::degrees(300.0);
            return {circuit.outbound_heading, passed ? opposite(side) : side, side};
        }
        case HoldEntry::parallel:
            return {parallel.heading, shorter_way(arriving, parallel.heading, opposite(side)),
                    opposite(side)};
        case HoldEntry::offset:
            return {offset.heading, shorter_way(arriving, offset.heading, opposite(side)), side};
    }
    return {};
}

// Flies from where the outbound heading is reached until the clock, started abeam, or the length along the course says so.
Duration outbound_straight(const PlaneTrack& track, const Hold& hold, const HoldCircuit& circuit,
                           HoldEntry entry) {
    const Duration abeam = until_abeam(track, hold.inbound);
    if (const auto* length = std::get_if<Length>(&hold.leg)) {
        const Length left = track.along(hold.inbound) + *length;
        const Speed back = -track.along_speed(hold.inbound);
        return back > Speed() && left > Length() ? left / back : Duration(0.0);
    }
    // The circuit's outbound time makes its inbound time right; the other entries are flown by the hold's own time.
    return abeam + (entry == HoldEntry::direct ? circuit.outbound : std::get<Duration>(hold.leg));
}

}  // namespace

Duration until_abeam(const PlaneTrack& track, TrueBearing course) {
    const Length beyond = track.along(course);
    const Speed back = -track.along_speed(course);
    return beyond > Length() && back > Speed() ? beyond / back : Duration(0.0);
}

std::optional<EntryTrack> hold_entry_track(const Hold& hold, HoldEntry entry, const Motion& motion,
                                           TrueBearing arriving_track,
                                           std::optional<Duration> longest_offset) {
    const auto one = circuit(hold, motion);
    const auto held = [&](TrueBearing course) {
        return aircraft::hold_course(course, motion.true_airspeed, motion.wind);
    };
    const bool left = hold.side == navdata::Turn::left;
    const TrueBearing out_course = hold.inbound.reciprocal();
    const auto arriving = held(arriving_track);
    const auto parallel = held(out_course);
    // Seen along the outbound course, the holding side of a right hold is on the left.
    const auto offset = held(out_course + (left ? offset_angle : -offset_angle));
    if (!one || !arriving || !parallel || !offset) {
        return std::nullopt;
    }
    const Outbound out = outbound_of(hold, entry, *one, arriving->heading, *parallel, *offset);
    PlaneTrack begun(hold.fix, motion, arriving->heading);
    begun.turn(out.heading, out.first_turn);
    const Duration abeam = until_abeam(begun, hold.inbound);
    const Duration wanted = outbound_straight(begun, hold, *one, entry);

    constexpr Duration step(5.0);
    constexpr Duration longest_extra = base::minutes(15.0);
    for (Duration extra(0.0); extra <= longest_extra; extra += step) {
        PlaneTrack track = begun;
        const Duration straight = wanted + extra;
        const bool then_parallel =
            entry == HoldEntry::offset && longest_offset && straight > abeam + *longest_offset;
        track.fly(then_parallel ? abeam + *longest_offset : straight);
        if (then_parallel) {
            track.turn(parallel->heading, out.back);
            const Duration parallel_begun = track.time();
            track.fly(std::max(begun.time() + straight - parallel_begun, Duration(0.0)));
        }
        if (auto back = track.joined(hold.inbound, out.back, Length())) {
            const Speed inbound = back->along_speed(hold.inbound);
            back->fly(-back->along(hold.inbound) / inbound);
            return EntryTrack{.pieces = back->pieces(),
                              .outbound_heading = out.heading,
                              .outbound = straight - abeam,
                              .farthest = back->farthest(),
                              .as_asked = extra == Duration(0.0)};
        }
    }
    return std::nullopt;
}

}  // namespace omniway::procedure::detail
