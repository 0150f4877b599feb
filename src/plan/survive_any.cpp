#include "plan/survive_any.hpp"

#include <algorithm>
#include <deque>
#include <set>

#include <fmt/format.h>

namespace omniway::plan {

using navdata::StationId;

namespace {

constexpr std::size_t most_looked_at = 12;

// Stations of the whole world, ascending.
using Avoided = std::vector<StationId>;

class Finder {
public:
    Finder(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
           const Request& request, const std::vector<navdata::AirportId>& nearby,
           const base::Progress& progress)
        : world_(world),
          ground_(ground),
          model_(model),
          request_(request),
          nearby_(nearby),
          progress_(progress) {}

    Survivor result(Answer answer) {
        std::vector<Option> others;
        for (const Choice& choice : answer.others) {
            others.push_back(choice.option);
        }
        look(nullptr, {}, std::move(answer));
        for (std::size_t i = 0; i < others.size() && !done(); ++i) {
            Answer other = best_->answer;
            other.option = others[i];
            other.findings = others[i].findings;
            other.verdict = others[i].verdict;
            look(nullptr, {}, std::move(other));
        }
        while (!done() && !open_.empty()) {
            const Avoided avoided = open_.front();
            open_.pop_front();
            plan_without(avoided);
        }
        best_->flights_looked_at = looked_at_;
        best_->cancelled = progress_.cancelled();
        return std::move(*best_);
    }

private:
    bool done() const {
        return looked_at_ >= most_looked_at || progress_.cancelled() || (best_ && best_->survives());
    }

    void plan_without(const Avoided& avoided) {
        auto altered = std::make_shared<const navdata::Snapshot>(world_.without(avoided));
        Request again = request_;
        again.most_choices = 1;
        again.choice = 1;
        again.ask_what_would_do = false;
        again.constraints = in_world(world_, request_.constraints, *altered);
        Answer answer = plan(*altered, ground_, model_, again);
        if (answer.option && answer.verdict != base::Verdict::not_flyable) {
            look(std::move(altered), avoided, std::move(answer));
        } else {
            ++looked_at_;
        }
    }

    void look(std::shared_ptr<const navdata::Snapshot> altered, const Avoided& avoided, Answer answer) {
        ++looked_at_;
        base::Progress each;
        each.stop = progress_.stop;
        each.report = [&](std::string_view stage, double share) {
            progress_.at(fmt::format("flight {}: {}", looked_at_, stage),
                         (static_cast<double>(looked_at_ - 1) + share) / static_cast<double>(most_looked_at));
        };
        const navdata::Snapshot& world = altered ? *altered : world_;
        Survivor found;
        Request asked = request_;
        if (altered) {
            asked.constraints = in_world(world_, request_.constraints, world);
        }
        found.losses = station_losses(world, ground_, model_, asked, *answer.option, nearby_, each);
        found.answer = std::move(answer);
        for (const StationId id : avoided) {
            found.keeps_away_from.push_back(world_[id].ident);
        }
        for (const StationLoss* loss : found.losses.stranding()) {
            Avoided more = avoided;
            if (const auto same = same_station(world, loss->station, world_)) {
                more.push_back(*same);
                std::sort(more.begin(), more.end());
                if (tried_.insert(more).second) {
                    open_.push_back(std::move(more));
                }
            }
        }
        found.world = std::move(altered);
        if (!best_ ||
            (!found.losses.cancelled && found.losses.stranding().size() < best_->losses.stranding().size())) {
            best_ = std::move(found);
        }
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const earth::MagneticModel& model_;
    const Request& request_;
    const std::vector<navdata::AirportId>& nearby_;
    const base::Progress& progress_;
    std::size_t looked_at_ = 0;
    std::deque<Avoided> open_;
    std::set<Avoided> tried_;
    std::optional<Survivor> best_;
};

}  // namespace

bool Survivor::survives() const {
    return !losses.cancelled && losses.stranding().empty();
}

Survivor survive_any(const navdata::Snapshot& world, const radio::Ground& ground,
                     const earth::MagneticModel& model, const Request& request, Answer answer,
                     const std::vector<navdata::AirportId>& nearby, const base::Progress& progress) {
    return Finder(world, ground, model, request, nearby, progress).result(std::move(answer));
}

}  // namespace omniway::plan
