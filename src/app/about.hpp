#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/world.hpp"
#include "plan/chart.hpp"
#include "store/atlas.hpp"

namespace omniway::app {

/// A flight for whoever comes for the first time and asks nothing.
struct FirstQuestion {
    std::string from;
    std::string to;
    std::string aircraft;
    std::string wind;
};

/// What there is to ask about.
///   Model     a first question only of the demo region that is shipped; the names of shipped aircraft in the order of the alphabet.
///   Domain    any atlas.
///   Accuracy  as the atlas.
///   Cost      opening the atlas.
///   Fails     atlas.*, earth.magnetic_model_unreadable.
///   Source    common practice, no source.
struct About {
    store::Summary atlas;
    plan::ChartFrame frame;
    std::optional<FirstQuestion> first_question;
    std::vector<std::string> aircraft;
};
tl::expected<About, std::vector<base::Error>> about(const std::string& atlas, const Shipped& shipped);

}  // namespace omniway::app
