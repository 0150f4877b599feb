#include <algorithm>

#include <fmt/format.h>

#include "flight/detail/judge_rules.hpp"
#include "flight/runway_choice.hpp"

namespace omniway::flight::detail {

using base::Grade;

namespace {

// A cycle is 28 days; the reference year of a source is the day on which its cycle begins: two of them and some days are past.
constexpr double expired_after_years = 0.2;

class Day {
public:
    explicit Day(const JudgedFlight& judged)
        : judged_(judged), world_(judged.day.world), flight_(judged.flight) {}

    Findings result() {
        wind_and_fuel();
        runways();
        arrival();
        data();
        return std::move(findings_);
    }

private:
    void find(Grade grade, std::string code, std::string about, std::string text, std::string remedy = {},
              std::optional<int> step = std::nullopt) {
        findings_.push_back(
            {grade, std::move(code), std::move(about), std::move(text), std::move(remedy), step});
    }

    void wind_and_fuel() {
        const FlightTrack& track = judged_.compiled.track;
        const aircraft::Aircraft& aircraft = judged_.day.aircraft;
        if (!track.time) {
            const auto step = std::find_if(track.steps.begin(), track.steps.end(),
                                           [](const TrackStep& each) { return !each.time; });
            const bool known = step != track.steps.end();
            find(Grade::blocks, "wind.too_strong",
                 weather::to_text(known ? judged_.day.winds.at(step->altitude) : judged_.day.winds.surface()),
                 "no heading holds a course of the way in this wind", "",
                 known ? std::optional(step->number) : std::nullopt);
        } else if (track.fuel_needed > aircraft.fuel.usable) {
            find(Grade::blocks, "fuel.too_little", aircraft.name,
                 fmt::format("{:.0f} lb needed with reserve, {:.0f} lb usable", track.fuel_needed.pounds(),
                             aircraft.fuel.usable.pounds()),
                 "a stop on the way, or less wind ahead");
        }
    }

    void runways() {
        for (const bool departing : {true, false}) {
            const auto id = departing ? std::optional(flight_.departure_runway) : flight_.arrival_runway;
            if (!id || (departing && flight_.begun)) {
                continue;
            }
            const RunwayFit fit =
                runway_fit(world_, judged_.day.aircraft, judged_.day.winds.surface(), *id, departing);
            findings_.insert(findings_.end(), fit.findings.begin(), fit.findings.end());
        }
    }

    void arrival() {
        const auto last = judged_.legs.empty() ? std::nullopt : judged_.legs.back().last_step();
        if (flight_.approach.empty()) {
            find(Grade::asks, "arrival.no_procedure", world_[flight_.arrival].ident,
                 "arrives without a procedure: a minimum for the descent is needed", "", last);
            return;
        }
        if (!flight_.minimum) {
            find(Grade::asks, "approach.minima_unknown", flight_.approach,
                 flight_.landing == procedure::Landing::circling ? "its circling minima are not in the data"
                                                                 : "its minima are not in the data",
                 "read them from the chart; --minima FILE takes them", last);
        }
        const bool asked = std::any_of(flight_.from_procedure.begin(), flight_.from_procedure.end(),
                                       [](const auto& f) { return f.code == "approach.missed_unknown"; });
        if (flight_.missed.empty() && !asked) {
            find(Grade::asks, "approach.missed_unknown", flight_.approach,
                 "its missed approach is not in the data", "take it from the chart", last);
        }
        if (flight_.landing == procedure::Landing::circling && flight_.arrival_runway) {
            const auto category =
                aircraft::approach_category(judged_.day.aircraft.performance.approach_speed);
            find(Grade::notes, "approach.circling", flight_.approach,
                 fmt::format("circle to {} within {:.1f} NM of the runways (category {}), not below the "
                             "circling minimum until lined up",
                             world_[*flight_.arrival_runway].ident,
                             procedure::circling_radius(category).nautical_miles(),
                             aircraft::letter(category)),
                 "", last);
        }
    }

    void data() {
        for (const navdata::Source& source : world_.sources()) {
            if (!source.cycle.empty() &&
                judged_.day.today.value - source.reference_year > expired_after_years) {
                find(Grade::warns, "data.expired", source.file,
                     fmt::format("cycle {} has expired", source.cycle), "import current data");
            }
        }
    }

    const JudgedFlight& judged_;
    const navdata::Snapshot& world_;
    const Flight& flight_;
    Findings findings_;
};

}  // namespace

Findings day_findings(const JudgedFlight& judged) {
    return Day(judged).result();
}

}  // namespace omniway::flight::detail
