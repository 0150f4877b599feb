// The needle pilot cannot see where it is (rehearsal/pilot.hpp): neither the panel nor its own memory has a place, and nothing that would make
// one of them is within its sight. The control holds, under the number of each wrong snippet, the right code next to it. Form:
// tools/refused_to_compile.py.

#include "rehearsal/pilot.hpp"

namespace omniway::rehearsal {

inline const cockpit::Panel panel;
inline const Mind mind;

#if SNIPPET == 0
inline const auto right_1 = panel.heading;
inline const auto right_2 = mind.step;
inline const auto right_3 = panel.distance.reading;
inline const auto right_4 = panel.receivers[0].shown.needle;

#elif SNIPPET == 1  // the panel shows no place; says: has no member named 'place'
inline const auto wrong = panel.place;

#elif SNIPPET == 2  // the pilot remembers none; says: has no member named 'place'
inline const auto wrong = mind.place;

#elif SNIPPET == 3  // what a place is, is not within sight; says: 'earth' does not name a type
inline const earth::Position wrong;

#elif SNIPPET == 4  // nor is what a station is, beyond what turns are named for; says: 'Station' in namespace
inline const navdata::Station* wrong = nullptr;

#endif

}  // namespace omniway::rehearsal
