#include "flight/departure_intercept.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "flight/detail/lines_over.hpp"
#include "flight/intercept.hpp"

namespace omniway::flight {

using base::Length;

namespace {

constexpr std::size_t most_tried = 6;

}  // namespace

LegsOrReason departure_intercept(const Circumstances& circumstances,
                                 const DepartureInterceptQuestion& question) {
    std::vector<Leg> legs;
    InterceptQuestion meeting;
    meeting.from = {question.departure_name, question.departure, std::nullopt, false};
    if (question.ahead) {
        legs.push_back(along_the_runway(question.departure, question.departure_name, *question.ahead));
        meeting.from.position = legs.back().finish;
        meeting.arriving = legs.back().arrival;
        meeting.reckoned = legs.back().length;
    }
    meeting.to = question.first;
    meeting.altitude = question.cruise;
    meeting.climb = [&question, before = meeting.reckoned](Length at) { return question.climb(before + at); };

    auto lines = detail::lines_over(circumstances, question.first, std::nullopt, question.cruise,
                                    meeting.from.position);
    // A line beside which the take-off stands farther than dead reckoning leads, or beyond whose end, is none.
    std::erase_if(lines, [&](const detail::LineOver& line) {
        return line.aside > circumstances.settings.dead_reckoning_distance || line.before < line.aside;
    });
    std::stable_sort(lines.begin(), lines.end(),
                     [](const detail::LineOver& a, const detail::LineOver& b) { return a.aside < b.aside; });
    LegsOrReason why{
        {},
        base::Finding{base::Grade::blocks, "departure.no_aid",
                      fmt::format("departure from {} to {}", question.departure_name, question.first.ident),
                      "begins toward no VOR or NDB, and by no heading meets the line of one that "
                      "leads there",
                      "an aid as the first point"}};
    for (std::size_t i = 0; i < std::min(lines.size(), most_tried); ++i) {
        meeting.onto = lines[i].onto;
        LegsOrReason made = intercept_legs(circumstances, meeting);
        if (made.legs.empty()) {
            why = i == 0 ? std::move(made) : std::move(why);
            continue;
        }
        for (Leg& leg : made.legs) {
            leg.phase = Phase::departure;
            leg.via = "own departure";
            leg.minimum = {};
            legs.push_back(std::move(leg));
        }
        if (question.ahead) {
            legs[1].from.reset();
        }
        return {std::move(legs), std::nullopt};
    }
    return why;
}

}  // namespace omniway::flight
