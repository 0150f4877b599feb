#pragma once

#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "navdata/provenance.hpp"
#include "navdata/record_id.hpp"
#include "navdata/snapshot.hpp"
#include "plan/chart.hpp"
#include "plan/next_on_route.hpp"

namespace omniway::wire {

/// What a chart of an area shows as JSON, as api/chart.schema.json describes it.
///   Model     courses of airways as published at their ends; what its record does not give is null.
///   Domain    features of `world`.
///   Accuracy  as published: 0.01 degree, 0.001 NM; the coast to 0.0001 degree.
///   Cost      some hundred kilobytes.
///   Fails     never.
///   Source    RFC 8259; ICAO Annex 4 for what is told of each thing.
std::string chart_json(const navdata::Snapshot& world, const plan::ChartFeatures& features);

/// What there is to ask about, as api/about.schema.json describes it.
struct AboutAtlas {
    std::string version;
    std::vector<std::pair<std::string, std::size_t>> counts;
    std::span<const navdata::Source> sources;
    plan::ChartFrame frame;
    bool terrain = false;
    /// From, to, aircraft and wind; none where no flight is proposed.
    struct First {
        std::string from;
        std::string to;
        std::string aircraft;
        std::string wind;
    };
    std::optional<First> first;
    std::vector<std::string> aircraft;
};
std::string about_json(const AboutAtlas& about);

/// What may have been meant, as api/search.schema.json describes it; `only_near`: nothing is named so.
std::string search_json(const navdata::Snapshot& world, const std::string& asked,
                        const std::vector<navdata::RecordId>& found, bool only_near);

/// What may stand behind a point of a route, as api/next.schema.json describes it.
std::string next_json(const navdata::Snapshot& world, const std::string& at, const plan::NextOnRoute& next);

}  // namespace omniway::wire
