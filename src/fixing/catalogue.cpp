#include "fixing/catalogue.hpp"

#include <algorithm>

#include "fixing/detail/survey.hpp"

namespace omniway::fixing {

namespace {

// Receivers free for a cross-check while one guides; on an arc the guide's radial receiver is busy as well.
std::size_t free_receivers(const cockpit::Equipment& aboard, GuidedBy guide) {
    const std::size_t all = aboard.receivers.size();
    return guide == GuidedBy::vhf_receiver ? all - std::min<std::size_t>(all, 1) : all;
}

bool a_free_receiver_takes_localizers(const cockpit::Equipment& aboard, GuidedBy guide) {
    const std::size_t free = free_receivers(aboard, guide);
    const auto with = static_cast<std::size_t>(
        std::count_if(aboard.receivers.begin(), aboard.receivers.end(),
                      [](const cockpit::NavigationReceiver& receiver) { return receiver.localizer; }));
    return free > 0 && with > (aboard.receivers.size() - free);
}

}  // namespace

GuidedBy guided_by(const navdata::Snapshot& world, const FixQuestion& question) {
    if (!question.guided_by) {
        return GuidedBy::nothing;
    }
    return navdata::ndb(world[*question.guided_by]) != nullptr ? GuidedBy::adf : GuidedBy::vhf_receiver;
}

std::optional<Obstacle> lack(const cockpit::Equipment& aboard, GuidedBy guide, const Needs& needs) {
    if (needs.dme && !aboard.dme) {
        return Obstacle::no_dme;
    }
    if (needs.free_dme && *aboard.dme == cockpit::DmeControl::follows_receiver &&
        free_receivers(aboard, guide) == 0) {
        return Obstacle::no_free_dme;
    }
    if (needs.adf && !aboard.adf) {
        return Obstacle::no_adf;
    }
    if (needs.adf && guide == GuidedBy::adf) {
        return Obstacle::no_second_adf;
    }
    if (needs.localizer && !a_free_receiver_takes_localizers(aboard, guide)) {
        return Obstacle::no_localizer_receiver;
    }
    if (needs.receiver && free_receivers(aboard, guide) == 0) {
        return Obstacle::no_second_receiver;
    }
    return std::nullopt;
}

Catalogue catalogue(const navdata::Snapshot& world, const radio::Ground& ground,
                    const FixQuestion& question) {
    detail::Survey survey(world, ground, nullptr, question);
    auto found = survey.findings();
    Catalogue catalogue{{}, std::move(found.refused)};
    for (const detail::Candidate& candidate : found.ways) {
        auto area = survey.area_of(candidate);
        if (auto* known = std::get_if<ToleranceArea>(&area)) {
            catalogue.ways.push_back({candidate.telling, candidate.needs, std::move(*known)});
        } else if (guided_by(world, question) == GuidedBy::nothing) {
            catalogue.ways.push_back({candidate.telling, candidate.needs, std::nullopt});
        } else {
            const navdata::StationId station =
                std::visit([](const auto& way) { return way.station; }, candidate.telling.way);
            catalogue.refused.push_back({.obstacle = std::get<NoArea>(area) == NoArea::ring
                                                         ? Obstacle::ring_closes
                                                         : Obstacle::lines_run_together,
                                         .station = station});
        }
    }
    if (question.guided_by && navdata::localizer(world[*question.guided_by]) != nullptr &&
        world.markers_of(world[*question.guided_by].airport, world[*question.guided_by].ident).empty()) {
        catalogue.refused.push_back(
            {.obstacle = Obstacle::no_marker_records, .station = *question.guided_by});
    }
    return catalogue;
}

}  // namespace omniway::fixing
