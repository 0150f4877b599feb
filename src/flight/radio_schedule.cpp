#include "flight/radio_schedule.hpp"

#include "flight/detail/radio_refusal.hpp"
#include "flight/detail/radio_search.hpp"
#include "flight/detail/radio_turns.hpp"

namespace omniway::flight {

RadioAnswer schedule(const RadioQuestion& question) {
    const detail::RadioProblem problem(question);
    const auto found = detail::cheapest_choices(problem);
    if (const auto* dead_end = std::get_if<detail::DeadEnd>(&found)) {
        return detail::refusal(question, problem, *dead_end);
    }
    return detail::schedule_of(question, problem, std::get<detail::CheapestChoices>(found));
}

}  // namespace omniway::flight
