#include "procedure/detail/terminal_route.hpp"

#include <algorithm>

namespace omniway::procedure::detail {

using navdata::PathTerminator;

std::optional<std::uint32_t> missing_sequence(const navdata::Branch& branch) {
    constexpr std::uint32_t step = 10;
    const bool by_tens = std::all_of(branch.legs.begin(), branch.legs.end(),
                                     [](const navdata::Leg& leg) { return leg.sequence % step == 0; });
    if (!by_tens) {
        return std::nullopt;
    }
    std::uint32_t expected = step;
    for (const navdata::Leg& leg : branch.legs) {
        if (leg.sequence > expected) {
            return expected;
        }
        expected = leg.sequence + step;
    }
    return std::nullopt;
}

bool serves_runway(std::string_view transition, std::string_view runway) {
    if (transition.empty() || transition == "ALL" || transition == runway) {
        return true;
    }
    return transition.size() == 5 && transition.back() == 'B' &&
           transition.substr(0, 4) == runway.substr(0, 4);
}

LegList legs_of(const navdata::Branch& branch) {
    LegList legs;
    for (const navdata::Leg& leg : branch.legs) {
        legs.push_back(&leg);
    }
    return legs;
}

LegList joined(LegList first, const LegList& second) {
    const bool same_fix = !first.empty() && !second.empty() && first.back()->fix &&
                          second.front()->terminator == PathTerminator::IF &&
                          first.back()->fix == second.front()->fix;
    first.insert(first.end(), second.begin() + (same_fix ? 1 : 0), second.end());
    return first;
}

bool ends_in_vectors(PathTerminator terminator) {
    return terminator == PathTerminator::VM || terminator == PathTerminator::FM;
}

std::string not_conventional(const navdata::Procedure& procedure) {
    std::string why;
    for (const navdata::Branch& branch : procedure.branches) {
        if (navdata::is_conventional_terminal_type(branch.route_type)) {
            return {};
        }
        switch (branch.route_type) {
            case 'T':
            case 'V':
                why = why.empty() ? "is flown on radar vectors alone" : why;
                break;
            case '0':
                why = why.empty() ? "is for an engine failure" : why;
                break;
            case '7':
            case '8':
            case '9':
                why = why.empty() ? "is a profile descent: it is not flown by ground aids alone here" : why;
                break;
            case 'F':
            case 'M':
            case 'S':
                why = "is coded for a flight management system: it needs area navigation";
                break;
            default:
                why = "is an RNAV procedure: it needs area navigation";
                break;
        }
    }
    return why.empty() ? "has no legs in the data" : why;
}

}  // namespace omniway::procedure::detail
