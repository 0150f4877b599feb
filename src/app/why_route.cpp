#include "app/why_route.hpp"

#include <utility>

namespace omniway::app {

tl::expected<Explained, std::vector<base::Error>> why_route(const std::string& atlas, const Shipped& shipped,
                                                            const JudgeQuestion& question) {
    auto judged = judge_flight(atlas, shipped, question);
    if (!judged) {
        return tl::unexpected(judged.error());
    }
    const World& world = judged->world;
    plan::Why why = plan::why(*world.snapshot, ground_of(world, judged->request.flight.settings.reception),
                              *world.model, judged->request, judged->option);
    return Explained{std::move(*judged), std::move(why)};
}

}  // namespace omniway::app
