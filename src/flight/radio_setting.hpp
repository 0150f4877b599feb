#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "flight/named_aid.hpp"

namespace omniway::flight {

/// How every knob of the radios stands at one moment, as paper holds it.
///   Model     receivers by their number on the panel, from 1; a frequency waits in standby where it was preselected.
///   Domain    the sets that are aboard, each named once; one without an aid is of no use at that moment.
///   Accuracy  frequencies as published, courses in whole degrees.
///   Cost      some strings.
///   Fails     never.
///   Source    design section 3, Radios.
enum class ReceiverRole { guides, tells, checks, waits };
struct ReceiverStands {
    int number = 1;
    ReceiverRole role = ReceiverRole::waits;
    std::optional<NamedAid> active;
    std::optional<NamedAid> standby;
    std::optional<base::Radial> course;
    friend bool operator==(const ReceiverStands&, const ReceiverStands&) = default;
};
/// Whose distance is shown: of the set's own channel, of what a receiver is tuned to, or of what was tuned when HOLD was selected.
enum class DistanceFrom { own_channel, receiver, held };
struct DistanceStands {
    DistanceFrom from = DistanceFrom::own_channel;
    int receiver = 0;  // the one it follows
    std::optional<NamedAid> of;
    friend bool operator==(const DistanceStands&, const DistanceStands&) = default;
};
struct AdfStands {
    std::optional<NamedAid> aid;
    std::optional<base::MagneticBearing> card;  // what a movable card is turned to
    friend bool operator==(const AdfStands&, const AdfStands&) = default;
};
struct StepRadios {
    std::vector<ReceiverStands> receivers;
    std::optional<DistanceStands> distance;
    std::optional<AdfStands> adf;
    friend bool operator==(const StepRadios&, const StepRadios&) = default;
};

/// A set on the panel: a receiver by its number, the DME, the ADF.
enum class SetKind { receiver, dme, adf };
struct RadioSet {
    SetKind kind = SetKind::receiver;
    int number = 1;  // of receivers
    friend bool operator==(const RadioSet&, const RadioSet&) = default;
};

/// An event of the card: the end of a step by its number; 0 is lining up.
struct CardEvent {
    int end_of_step = 0;
    std::string name;  // "over XDV", "lined up"
    friend bool operator==(const CardEvent&, const CardEvent&) = default;
};

// What is to be done during a step, while there is time.

struct Tune {  // and listen to its ident
    RadioSet set;
    NamedAid aid;
    CardEvent after;
    CardEvent before;
    base::Duration slack{
        0.0};  // what is left when it is done at once and identified in the time the design gives
    friend bool operator==(const Tune&, const Tune&) = default;
};
struct Preselect {  // into the standby window
    RadioSet set;
    NamedAid aid;
    friend bool operator==(const Preselect&, const Preselect&) = default;
};
struct SetCourse {
    int receiver = 1;
    base::Radial course;
    CardEvent after;
    friend bool operator==(const SetCourse&, const SetCourse&) = default;
};
struct SelectDistance {  // the DME's switch: HOLD, or back to a receiver
    DistanceFrom from = DistanceFrom::receiver;
    int receiver = 0;
    NamedAid of;
    CardEvent after;
    friend bool operator==(const SelectDistance&, const SelectDistance&) = default;
};
struct GuideBy {  // from here on another receiver on the same aid guides
    int receiver = 1;
    NamedAid aid;
    friend bool operator==(const GuideBy&, const GuideBy&) = default;
};
struct HoldHeadingWhileTuning {  // one receiver: the heading is held until the next aid is identified
    NamedAid aid;
    base::Duration time{0.0};
    friend bool operator==(const HoldHeadingWhileTuning&, const HoldHeadingWhileTuning&) = default;
};
struct StartClock {
    friend bool operator==(const StartClock&, const StartClock&) = default;
};
struct LeaveAltitude {  // the top of descent, as the cockpit tells it
    std::string says;   // "leave 8,000 ft at 22.0 DME XHU"
    friend bool operator==(const LeaveAltitude&, const LeaveAltitude&) = default;
};
struct Call {             // voice
    std::string service;  // "TWR", "ATIS": as the data names it
    std::string name;
    base::Frequency frequency;
    friend bool operator==(const Call&, const Call&) = default;
};
using StepWork = std::variant<Tune, Preselect, SetCourse, SelectDistance, GuideBy, HoldHeadingWhileTuning,
                              StartClock, LeaveAltitude, Call>;

}  // namespace omniway::flight
