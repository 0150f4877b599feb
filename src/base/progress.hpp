#pragma once

#include <functional>
#include <stop_token>
#include <string_view>

namespace omniway::base {

/// How long work tells its caller how far it is and learns that it should stop.
///   Model     report is called with a stage and the share done in [0, 1]; stop is polled between pieces of work.
///   Domain    both may be empty: then nothing is told and nothing cancels.
///   Accuracy  share is an estimate.
///   Cost      one call a piece of work.
///   Fails     never.
///   Source    common practice, no source.
struct Progress {
    std::function<void(std::string_view stage, double share)> report;
    std::stop_token stop;

    void at(std::string_view stage, double share) const {
        if (report) {
            report(stage, share);
        }
    }
    bool cancelled() const { return stop.stop_requested(); }
};

}  // namespace omniway::base
