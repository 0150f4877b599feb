#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"
#include "rehearsal/rehearse.hpp"

namespace omniway::writers {

/// What was rehearsed, for a page.
struct RehearsalPage {
    const plan::Request& request;
    const std::optional<plan::Option>& option;   // none: there is no flight
    const std::vector<base::Finding>& findings;  // why there is none
    base::Verdict verdict = base::Verdict::not_flyable;
    const flight::Card& card;  // that was flown
    std::string file;          // it is from; empty: as planned
    std::string errors;        // as they were asked for: none, nominal or a file
    std::string again;         // the command that flies one of the flights again, but for its number
    std::string reception;
    const rehearsal::RehearsalQuestion& question;
    const rehearsal::Stage* stage = nullptr;  // none: there is no flight
};

/// A rehearsal as text: the chance to arrive and how the others ended, time and fuel beside the card's, a line a step, the weak points,
/// the flights worth looking at again.
///   Model     at most 96 columns but for the commands, which are not broken.
///   Domain    a rehearsal of that card; none where there is no flight.
///   Accuracy  as printed: shares to a tenth of a percent, distances to a tenth of a mile.
///   Cost      some strings.
///   Fails     never.
///   Source    design section 2, idea 3.
std::string rehearse_text(const navdata::Snapshot& world, const RehearsalPage& page,
                          const std::optional<rehearsal::Rehearsal>& found);

/// One of its flights as text: a line a step, and what the cockpit showed as each began and each minute.
std::string rehearsed_flight_text(const navdata::Snapshot& world, const RehearsalPage& page,
                                  std::size_t flight, const rehearsal::Trial& trial,
                                  std::span<const rehearsal::Moment> moments);

/// "98.1 % (97.1 to 98.8)": a chance with its interval in percent.
std::string chance_text(const rehearsal::Chance& chance);

}  // namespace omniway::writers
