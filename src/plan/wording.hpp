#pragma once

#include <string>
#include <vector>

#include "flight/flight_track.hpp"
#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"

namespace omniway::plan {

/// How a card says things: guidance, what ends a step, where a minimum comes from. One wording for paper, screen and wire.
///   Model     sentences of the trade without a full stop; courses as three figures, distances to a tenth.
///   Domain    steps of the same snapshot.
///   Accuracy  as printed.
///   Cost      a string.
///   Fails     never.
///   Source    phraseology as in FAA-H-8083-15 and AIM; common practice, no source.
std::string guidance_text(const navdata::Snapshot& world, const flight::TrackStep& step);
std::string ending_text(const navdata::Snapshot& world, const flight::TrackStep& step);
/// "leave 8000 ft at 12.0 DME XAB".
std::string descent_text(const navdata::Snapshot& world, const flight::TopOfDescent& top);
/// The final in lines: the check at the final fix, the rate of descent, altitudes by DME, step-downs, times.
std::vector<std::string> final_lines(const navdata::Snapshot& world,
                                     const flight::FinalApproach& final_approach);
/// "5000 ft, 9000 ft from XKE": the levels cruised at.
std::string levels_text(const flight::Flight& flight);
/// "ILS RW27 via XOBAN"; where none leads to it, that it is entered by own navigation.
std::string approach_text(const Option& option);
std::string way_text(const navdata::Snapshot& world, const fixing::Way& way);
std::string minimum_text(const flight::LegMinimum& minimum);
std::string_view to_text(flight::Phase phase);

/// "service volume and smooth earth; no terrain in the atlas": what stood between stations and aircraft in all that was judged.
std::string reception_text(radio::ReceptionMode mode, bool terrain_known);

/// "via XKE, avoiding V12, at most 8000 ft": what is asked of the way beyond its airports; empty where nothing is.
std::string asked_text(const navdata::Snapshot& world, const Request& request);

/// "VOR/DME XAB 113.40 -..- .- -...".
std::string tuning_text(const navdata::Station& station);

/// "007", "360": three figures; north is 360.
std::string three_figures(double degrees);

}  // namespace omniway::plan
