#include "app/about.hpp"

#include <filesystem>

#include "app/plan_flight.hpp"

namespace omniway::app {

namespace {

using base::Error;
using Faults = std::vector<Error>;

// As the README asks it.
std::optional<FirstQuestion> first_question(const std::string& atlas, const Shipped& shipped) {
    std::error_code none;
    if (!std::filesystem::equivalent(atlas, shipped.demo_atlas(), none) || none) {
        return std::nullopt;
    }
    return FirstQuestion{"XDOV", "XMRA", "single", "270/20"};
}

}  // namespace

tl::expected<About, Faults> about(const std::string& atlas, const Shipped& shipped) {
    auto summary = store::Atlas::open(atlas).and_then([](const store::Atlas& file) { return file.info(); });
    if (!summary) {
        return tl::unexpected(Faults{summary.error()});
    }
    const auto world = open_world(atlas, shipped, {});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    return About{std::move(*summary), plan::chart_frame(*world->snapshot), first_question(atlas, shipped),
                 shipped_aircraft(shipped)};
}

}  // namespace omniway::app
