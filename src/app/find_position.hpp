#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "app/rehearse_flight.hpp"
#include "base/progress.hpp"
#include "plan/position_report.hpp"
#include "plan/what_now.hpp"

namespace omniway::app {

/// An option of `omniway find`, wherever it is typed.
struct FindOption {
    std::string_view name;  // "--vor"
    std::string_view help;
    bool repeatable = false;
    bool of_a_case = true;  // may stand in a line of a batch
};
std::span<const FindOption> find_options();

/// An option and its words, and where they were typed: "--vor", or file:line:column.
struct FindWord {
    std::string option;
    std::string text;
    std::string where;
};

/// What a person types to learn where the aircraft is.
struct FindQuestion {
    std::vector<FindWord> words;  // of one that is not repeatable the last holds
    std::vector<std::string> without;
    earth::DecimalYear today;
    FilesGiven files;  // where those lie that its words name
};

/// What to do now, in a world that has the procedures of the airports near there.
struct NowFound {
    World world;
    plan::WhatNow what;
};

/// What was read, as it was understood, and where the aircraft is.
struct PositionFound {
    World world;
    std::shared_ptr<const radio::Ground> ground;
    fixing::BeliefQuestion question;  // refers to both
    plan::PositionSetting setting;
    fixing::FreeRadios free;
    std::shared_ptr<const FlightToRehearse> flight = nullptr;  // of the card, if one was given
    plan::Request request = {};                                // with what one goes on from there
    base::Mass fuel = {};
    bool fuel_known = false;  // else all that is usable
    plan::PositionReport report = {fixing::Contradiction{}};
    std::shared_ptr<const NowFound> now = nullptr;  // none: not asked for, or there is no place
};

/// Answers where the aircraft is by what was read; the atlas is opened once for all that is asked.
///   Model     the words are those of docs/find.md. A card gives its flight's aircraft, wind and way; what is typed beside it holds. What was
///             read at other times than now is carried on by the headings held since.
///   Domain    altitudes 0 to 60,000 ft; readings of the last two hours; as fixing/belief.hpp.
///   Accuracy  as fixing/belief.hpp.
///   Cost      opening the atlas, and some tens of milliseconds a case.
///   Fails     with every fault found: app.find_*, app.altitude_missing, app.out_of_range, app.unknown_*, app.no_terrain, app.position_form,
///             app.ambiguous_ident, app.cancelled, base.clock_*, weather.*, aircraft.*, atlas.*, of a card as flight_of_card(). That the readings cannot
///             all be is an answer (fixing::Contradiction).
///   Source    design section 1: "get lost and must find themselves again".
class Finder {
public:
    static tl::expected<Finder, std::vector<base::Error>> open(const std::string& atlas,
                                                               const Shipped& shipped,
                                                               const FindQuestion& question);

    /// Where it is. `question` has the words that the finder was opened with, and perhaps more.
    tl::expected<PositionFound, std::vector<base::Error>> find(const FindQuestion& question,
                                                               const base::Progress& progress) const;
    /// And what to do now: opens the atlas once more, for the procedures of the airports near there, and plans the ways to them.
    tl::expected<PositionFound, std::vector<base::Error>> find_and_go_on(
        const FindQuestion& question, const base::Progress& progress) const;

    const World& world() const { return world_; }

private:
    Finder() = default;
    std::string atlas_;
    Shipped shipped_;
    World world_;
    std::shared_ptr<const FlightToRehearse> flight_;
    std::optional<plan::CardWay> card_;
};

}  // namespace omniway::app
