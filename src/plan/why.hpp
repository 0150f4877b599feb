#pragma once

#include <string>
#include <vector>

#include "base/finding.hpp"
#include "earth/magnetic_model.hpp"
#include "flight/costs.hpp"
#include "navdata/snapshot.hpp"
#include "plan/hand_made.hpp"
#include "plan/plan.hpp"
#include "radio/ground.hpp"

namespace omniway::plan {

/// How many of the findings that block are told in sentences.
inline constexpr std::size_t blocks_told = 3;

/// How a way stands beside another that is offered.
enum class Standing {
    not_flyable,  // the judge does not admit it
    the_same,     // the same legs, approach, runways and altitude
    worse,        // in no cost better, in one worse
    better,       // in no cost worse, in one better
    neither,      // better in one, worse in another, or equal in all
};
std::string_view to_text(Standing standing);

/// A run of legs along one airway, procedure or line.
struct RunOfLegs {
    std::string via;  // "V14", "direct"
    std::string from;
    std::string to;
    base::Length length;
    bool approach = false;  // its name says from where to where
};

/// One flight that is offered, and the way a person made beside it.
struct BesideOffered {
    std::string route;
    std::string approach;
    std::string take_off;  // runways by ident
    std::string landing;   // empty: none was chosen
    base::Altitude cruise;
    base::Length distance;
    flight::Costs costs;
    Standing standing = Standing::neither;  // of the hand-made way beside this one
    base::Duration later{0.0};              // the hand-made way than this one; negative: sooner
    double more_work = 0.0;
    double less_margin = 0.0;
    std::vector<RunOfLegs> only_by_hand;  // legs that this one has not
    std::vector<RunOfLegs> only_offered;
};

/// Why a way that a person made is not the one that is offered.
///   Model     both are compiled and judged in the same circumstances and compared in three costs that are never added (flight/costs.hpp).
///             A quarter of a minute, half a point and a hundredth of the margin are taken for equal. What is offered is what plan()
///             answers to the same request, its other choices too, but for its runways and its approach: those are of the way by hand, and
///             what is offered chooses its own. Where an admitted way is better in a cost than all that is offered, that
///             is said and counted: with more choices asked for than there are, none should be.
///   Domain    a way of hand_made() and the request it was made for.
///   Accuracy  as flight/costs.hpp.
///   Cost      a plan.
///   Fails     never: that nothing is offered is an answer too.
///   Source    the issue of the router; design section 2, idea 4.
struct Why {
    std::string route;
    flight::Costs costs;
    std::vector<base::Finding> blocking;  // of the hand-made way, worst first
    Standing standing =
        Standing::neither;  // beside the first that is offered; not_flyable whatever is offered
    std::vector<BesideOffered> offered;
    std::vector<std::string>
        better_in;  // "time", "work", "margin": than everything offered; empty where it is not admitted
    std::vector<base::Finding> nothing_offered;  // why there is no flight to offer
    std::vector<std::string> would_unblock;
    std::vector<std::string> says;  // the answer in plain sentences, with a full stop
};

Why why(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
        const HandMadeRequest& request, const Option& by_hand);

}  // namespace omniway::plan
