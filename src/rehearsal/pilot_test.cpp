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

}  // namespace omniway::rehearsal
