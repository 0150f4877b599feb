#include "rehearsal/pilot.hpp"

#include <gtest/gtest.h>

namespace omniway::rehearsal {

using base::MagneticBearing;

namespace {

// To the beacon NNN on 172, until over it, while the ADF's pointer stands 130 degrees left of the nose.
struct Inbound {
    flight::Card card;
    cockpit::Panel panel;

    Inbound() {
        const flight::NamedAid beacon{
            .ident = "NNN", .kind = "NDB", .frequency = base::Frequency::kilohertz(272.0)};
        flight::Step step;
        step.number = 1;
        step.to = "NNN";
        step.guidance = flight::FollowBearing{
            .aid = beacon, .toward = true, .track = MagneticBearing::degrees(172.0), .pointer = {}};
        step.end = flight::StationPassage{.aid = beacon, .pointer = true};
        step.expected.course = MagneticBearing::degrees(172.0);
        step.expected.heading = MagneticBearing::degrees(172.0);
        step.expected.groundspeed = base::Speed::knots(120.0);
        step.expected.time = base::minutes(12.0);
        step.radios.adf = flight::AdfStands{.aid = beacon, .card = std::nullopt};
        card.steps = {step};
        card.lined_up.adf = flight::AdfStands{.aid = beacon, .card = std::nullopt};
        panel.heading = MagneticBearing::degrees(172.0);
        panel.compass = panel.heading;
        panel.pointer.active = beacon.frequency;
        panel.pointer.relative = base::Angle::degrees(-130.0);
    }

    // So long with the ident of the beacon, and then so long without: its pointer stands where it stood.
    Mind after(int with_s, int without_s) {
        const Pilot pilot(card, Skill{});
        Mind mind = pilot.lined_up();
        panel.pointer.relative = base::Angle::degrees(0.0);
        for (int second = 1; second <= with_s + without_s; ++second) {
            panel.clock = base::Duration(second);
            panel.pointer.ident = second <= with_s ? cockpit::HeardIdent("NNN") : cockpit::HeardIdent();
            pilot.look(mind, panel, Whim{});
        }
        return mind;
    }

    bool passes(bool ident_heard) {
        const Pilot pilot(card, Skill{});
        Mind mind = pilot.lined_up();
        panel.pointer.ident = ident_heard ? cockpit::HeardIdent("NNN") : cockpit::HeardIdent();
        for (int second = 1; second <= 60; ++second) {
            panel.clock = base::Duration(second);
            pilot.look(mind, panel, Whim{});
        }
        EXPECT_EQ(mind.dead_needle, !ident_heard);
        return mind.end_seen_s >= 0.0 || mind.finished;
    }
};

}  // namespace

// AIM 1-1-2 (from memory): an ADF has no flag, so that its ident is listened to all along.
TEST(CasePilot, APointerWhoseIdentIsNotHeardTellsNoPassage) {
    EXPECT_FALSE(Inbound().passes(false));
    EXPECT_TRUE(Inbound().passes(true));
}

// Annex 10 Vol I 3.4.5.1 (from memory): a beacon's ident comes at least every 30 s; half as long again without it, and the beacon is gone, whatever its
// pointer shows. A single ident missed is not that; and heard again it is taken up again.
TEST(CasePilot, ABeaconWhoseIdentFallsSilentInFlightIsGivenUpAfterFortyFiveSeconds) {
    EXPECT_TRUE(Inbound().after(60, 0).adf.identified);
    EXPECT_FALSE(Inbound().after(60, 0).dead_needle);
    EXPECT_TRUE(Inbound().after(60, 44).adf.identified);
    EXPECT_FALSE(Inbound().after(60, 47).adf.identified);
    EXPECT_TRUE(Inbound().after(60, 47).dead_needle);
}

}  // namespace omniway::rehearsal
