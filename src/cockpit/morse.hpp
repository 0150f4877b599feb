#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/quantity.hpp"

namespace omniway::cockpit {

/// What is heard when a station identifies itself: its ident in international Morse.
///   Model     dots and dashes, one space between letters: "ABQ" is ".- -... --.-".
///   Domain    letters and digits; other characters are left out.
///   Accuracy  exact.
///   Cost      linear.
///   Fails     never.
///   Source    ITU-R M.1677-1 (trade-facts 10.6).
std::string morse(std::string_view ident);

/// What was heard, as letters and digits: ".- -... --.-" is "ABQ"; a '?' stands for one that was not made out.
///   Domain    dots, dashes, question marks, and blanks between letters.
///   Fails     "no" is none: a code that no letter has, another character, or nothing at all.
///   Source    as morse().
std::optional<std::string> letters_heard(std::string_view code);

/// How fast it is keyed, in words like PARIS (50 dot lengths with the gap after it) a minute.
///   Domain    above zero; aids are keyed at about 7.
///   Source    trade-facts 10.5: a dot lasts 1,200 / wpm milliseconds.
struct MorseSpeed {
    double words_per_minute = 7.0;
    base::Duration dot() const;
};

/// One stretch of the keyed tone, sounding or silent.
struct Keyed {
    bool sounds = false;
    base::Duration length;
    friend bool operator==(const Keyed&, const Keyed&) = default;
};

/// The ident as it is keyed: a dash is three dots long, the gap inside a letter one, between letters three; begins and ends sounding.
/// Empty where nothing of it has a code. Source: ITU-R M.1677-1, spacing and length of the signals (trade-facts 10.6).
std::vector<Keyed> keyed(std::string_view ident, MorseSpeed speed = {});

/// How long one sending of it lasts, without the gap after it.
base::Duration keying_time(std::string_view ident, MorseSpeed speed = {});

/// The aids that identify themselves each in their own way.
enum class IdentifiedAid { vor, localizer, ndb, dme };

/// What to listen for, and how long at most until it comes round again.
///   Model     the slowest that the standards allow.
///   Domain    the DME's is of one beside a VOR or localizer: once for each three or four of that aid's.
///   Accuracy  tones and speed [seen]; the times between from memory.
///   Cost      O(1).
///   Fails     never.
///   Source    Annex 10 Vol I 3.1.3.9, 3.3.6, 3.4.5, 3.5.3.6; AIM 1-1-7 (trade-facts 10.5).
struct Identification {
    base::Frequency tone;
    MorseSpeed speed;
    base::Duration again_within;
};
Identification identification(IdentifiedAid aid);

}  // namespace omniway::cockpit
