#pragma once

#include <cstddef>
#include <string>
#include <variant>
#include <vector>

#include "base/quantity.hpp"

namespace omniway::rehearsal {

// What stops working.

struct
    StationOffTheAir {  // whole: azimuth, DME and glideslope, of every station of that ident within the flight's reach
    std::string ident;
    friend bool operator==(const StationOffTheAir&, const StationOffTheAir&) = default;
};
struct ReceiverDead {
    std::size_t number = 1;  // on the panel
    friend bool operator==(const ReceiverDead&, const ReceiverDead&) = default;
};
struct DmeDead {
    friend bool operator==(const DmeDead&, const DmeDead&) = default;
};
struct AdfDead {
    friend bool operator==(const AdfDead&, const AdfDead&) = default;
};
struct GlideslopeDead {  // aboard: of each receiver
    friend bool operator==(const GlideslopeDead&, const GlideslopeDead&) = default;
};
struct HeadingIndicatorStuck {
    friend bool operator==(const HeadingIndicatorStuck&, const HeadingIndicatorStuck&) = default;
};
using FailingPart =
    std::variant<StationOffTheAir, ReceiverDead, DmeDead, AdfDead, GlideslopeDead, HeadingIndicatorStuck>;

// From when on, and for good.

struct FromStep {  // its beginning, by its number on the card
    int number = 1;
    friend bool operator==(const FromStep&, const FromStep&) = default;
};
using FailsFrom = std::variant<base::Duration, FromStep>;  // after the take-off began; zero: all along

/// One failure on request.
///   Model     shows as the instrument would: a flag and no ident; an ADF, which has no flag, keeps its pointer where it stands; a dead receiver
///             leaves the DME its channel; a stuck heading indicator shows what it showed, or what it was set to by the compass.
///   Domain    a part that is not aboard, or not within the flight's reach, fails unnoticed.
///   Accuracy  -
///   Cost      a string.
///   Fails     never.
///   Source    14 CFR 91.205(d) for what is aboard; the ADF's silence by its ident alone: IFH chapter 9 (from memory).
struct Failure {
    FailingPart part;
    FailsFrom from = base::Duration(0.0);
    friend bool operator==(const Failure&, const Failure&) = default;
};
using Failures = std::vector<Failure>;

/// "XRG", "NAV1", "DME", "ADF", "glideslope", "heading-indicator": as it is asked for.
std::string to_text(const FailingPart& part);
/// "XRG from step 6", "DME from 30 min", "NAV2 all along".
std::string to_text(const Failure& failure);

}  // namespace omniway::rehearsal
