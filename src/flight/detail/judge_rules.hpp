#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "base/finding.hpp"
#include "flight/circumstances.hpp"
#include "flight/compile.hpp"
#include "flight/flight.hpp"

namespace omniway::flight::detail {

/// A leg as the judge looks at it: with what stands before and after it, the heights flown and the steps of the card it is.
struct JudgedLeg {
    const Leg* leg = nullptr;
    const Leg* before = nullptr;
    const Leg* after = nullptr;
    base::Length begin;  // along the profile
    const std::vector<ProfilePoint>* profile = nullptr;
    std::vector<std::optional<int>> steps;  // one each stretch

    base::Altitude altitude_at(base::Length into) const { return altitude_along(*profile, begin + into); }
    base::Altitude altitude_at_end() const { return altitude_at(leg->length); }
    base::Altitude lowest() const;
    base::Altitude highest() const;
    std::optional<int> last_step() const { return steps.empty() ? std::nullopt : steps.back(); }
    std::optional<int> first_step() const { return steps.empty() ? std::nullopt : steps.front(); }
    /// "V16 from XAB to XCD"
    std::string name() const;
    bool in_procedure() const { return leg->published && leg->phase != Phase::en_route; }
};

/// A flight laid out for the rules, one leg after the other; of the missed approach its published legs and its own.
class JudgedFlight {
public:
    JudgedFlight(const Circumstances& day, const Flight& flight, const Compiled& compiled);
    JudgedFlight(const JudgedFlight&) = delete;
    JudgedFlight& operator=(const JudgedFlight&) = delete;

    const Circumstances& day;
    const Flight& flight;
    const Compiled& compiled;
    std::vector<JudgedLeg> legs;
    std::vector<JudgedLeg> missed;

    /// The navaids that the rows of a procedure and the geometry of its legs name: on a flight-checked procedure they are heard.
    std::vector<navdata::StationId> published_aids(const std::string& via) const;
    /// The track over the ground at the end of a leg.
    base::TrueBearing arrival_track(const Leg& leg) const;
    /// At which a stretch by heading is flown: as the card's step is timed, in its climb or descent; 1 kt where no heading holds its track.
    base::Speed groundspeed_by_heading(const JudgedLeg& each, std::size_t stretch) const;

private:
    std::vector<ProfilePoint> published_missed_;
};

using Findings = std::vector<base::Finding>;

// Each of the following is one concern of design section 3, in a file of its own.

/// Guidance: received over the whole step at the heights flown there, arcs and holds laid out; published segments note where the
/// model hears less; the changeover of an airway where reception would force it elsewhere; dead reckoning; intercepts; area navigation
/// and vectors. (judge_guidance.cpp)
Findings guidance_findings(const JudgedFlight& judged);

/// Fixes: every end observable with the equipment aboard, within the error its use allows. (judge_fixes.cpp)
Findings fix_findings(const JudgedFlight& judged);

/// Altitudes: minimums and maximums of the segments, ground and grid off the airways, coded windows, ceiling, semicircular rule.
/// (judge_altitudes.cpp)
Findings altitude_findings(const JudgedFlight& judged);

/// The own departure and the own missed approach. (judge_climbs.cpp)
Findings climb_findings(const JudgedFlight& judged);

/// Radios: whether the schedule exists, guidance that begins late, little time to identify, a distance held. (judge_radios.cpp)
Findings radio_findings(const JudgedFlight& judged);

/// Runways, wind, fuel, data in date, minima, arrival without a procedure. (judge_day.cpp)
Findings day_findings(const JudgedFlight& judged);

}  // namespace omniway::flight::detail
