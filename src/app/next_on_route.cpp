#include "app/next_on_route.hpp"

#include <utility>

#include "app/plan_flight.hpp"

namespace omniway::app {

using Faults = std::vector<base::Error>;

tl::expected<Next, Faults> next_on_route(const std::string& atlas, const Shipped& shipped,
                                         const NextQuestion& question) {
    const auto aircraft = find_aircraft(shipped, question.aircraft, question.files);
    if (!aircraft) {
        return tl::unexpected(aircraft.error());
    }
    auto world = open_world(atlas, shipped, {{question.from, question.to}, false, {}});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    const auto from = find_airport(*world->snapshot, question.from, "from");
    const auto to = find_airport(*world->snapshot, question.to, "to");
    Faults faults;
    for (const auto* found : {&from, &to}) {
        if (!*found) {
            faults.push_back(found->error());
        }
    }
    if (!faults.empty()) {
        return tl::unexpected(std::move(faults));
    }
    Next next;
    next.question = question;
    next.next = plan::next_on_route(*world->snapshot, ground_of(*world, std::nullopt), aircraft->equipment,
                                    question.at, *from, *to);
    next.world = std::move(*world);
    return next;
}

}  // namespace omniway::app
