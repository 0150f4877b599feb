#pragma once

#include <optional>
#include <string>

#include "base/quantity.hpp"

namespace omniway::cockpit {

/// What a frequency of the VHF navigation band is for.
///   Model     below 112 MHz localizers have the odd tenths and VORs the even ones, each with its 0.05 above; from there on all are VORs.
///   Domain    108.00 to 117.95 MHz in steps of 50 kHz; within 1 kHz of one of them.
///   Accuracy  exact.
///   Cost      O(1).
///   Fails     "no" is `neither`.
///   Source    Annex 10 Vol I 3.1.3.2, 3.3.2; AIM 1-1-3, 1-1-9 (trade-facts 10.1).
enum class NavigationUse { neither, vor, localizer };
NavigationUse use_of(base::Frequency frequency);

/// A channel of a DME.
///   Model     number 1 to 126 and one of two pulse codes; a cockpit's VHF frequency stands for the channel.
///   Domain    1 to 126.
///   Accuracy  exact.
///   Cost      O(1).
///   Fails     as each function says.
///   Source    Annex 10 Vol I 3.5.3.3 and table A (trade-facts 10.3).
enum class PulseCode { x, y };
struct DmeChannel {
    int number = 1;
    PulseCode code = PulseCode::x;
    friend bool operator==(const DmeChannel&, const DmeChannel&) = default;
};

/// "80X".
std::string to_text(DmeChannel channel);

/// The VHF navigation frequency that tunes the channel; none for channels 1 to 16 and 60 to 69, which only a TACAN has.
std::optional<base::Frequency> paired_vhf(DmeChannel channel);

/// What data sets write for a channel that has no VHF navigation frequency: 134.40 + 0.10 (n - 1), 133.30 + 0.10 (n - 60) MHz; Y 0.05
/// more. None for the others.
std::optional<base::Frequency> stand_in_frequency(DmeChannel channel);
std::optional<DmeChannel> stand_in_channel(base::Frequency stand_in);

/// The channel that a VHF navigation frequency tunes; none outside the band or between its steps.
std::optional<DmeChannel> paired_channel(base::Frequency vhf);

/// On what an aircraft asks and on what the station answers.
struct DmeFrequencies {
    base::Frequency interrogation;
    base::Frequency reply;
};
DmeFrequencies frequencies(DmeChannel channel);

/// How the pulses of a pair stand apart, and how long the station waits before it answers (the waiting from memory).
struct DmePulses {
    base::Duration interrogation_spacing;
    base::Duration reply_spacing;
    base::Duration reply_delay;
};
DmePulses pulses(PulseCode code);

/// The slant range that a delay between asking and hearing means: 12.36 microseconds for each nautical mile there and back.
/// Source: trade-facts 10.3, from memory.
base::Length slant_range_of(base::Duration delay, PulseCode code);

/// The glideslope frequency that a localizer's tunes, and back: the 40 pairs of Annex 10 Vol I 3.1.6 (trade-facts 10.2, [seen]). None
/// for any other frequency.
std::optional<base::Frequency> paired_glideslope(base::Frequency localizer);
std::optional<base::Frequency> paired_localizer(base::Frequency glideslope);

}  // namespace omniway::cockpit
