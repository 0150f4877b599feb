#pragma once

#include <span>
#include <string>
#include <string_view>

#include "app/made_lately.hpp"
#include "app/plan_flight.hpp"
#include "base/progress.hpp"
#include "service/detail/message.hpp"

namespace omniway::service::detail {

/// Of what questions are asked.
struct Library {
    std::string atlas;
    app::Shipped shipped;
    std::string version;
    /// The flights planned last: the plan and the card of one question are asked for one after the other.
    std::shared_ptr<app::MadeLately<tl::expected<app::Planned, std::vector<base::Error>>>> planned;
};

/// One question that can be asked over HTTP: api/openapi.yaml describes each, and a test holds the two together.
struct Route {
    std::string_view method;
    std::string_view path;
    bool streams = false;  // its progress is told while it is answered, as server-sent events
    Answer (*answer)(const Library& library, const Asked& asked, const base::Progress& progress);
    std::string_view type = "application/json";
    std::string_view download = {};  // the file as which a browser keeps it; empty: it is shown
};
std::span<const Route> routes();

/// Asks it; a fault of ours is a refusal too (500), and so is what was cancelled.
Answer answer_of(const Route& route, const Library& library, const Asked& asked,
                 const base::Progress& progress);

}  // namespace omniway::service::detail
