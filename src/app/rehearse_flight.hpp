#pragma once

#include <cstdint>
#include <deque>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/plan_flight.hpp"
#include "base/progress.hpp"
#include "flight/circumstances.hpp"
#include "rehearsal/rehearse.hpp"

namespace omniway::app {

/// What a person types to have a flight rehearsed.
struct RehearseQuestion {
    std::string card;  // a file; empty: the flight asked for is planned and its card flown
    PlanQuestion flight;
    bool aircraft_named = false;
    double flights = 1000;
    std::uint64_t seed = 1;
    double threads = 0;                    // 0: as many as there are processors
    std::string errors = "nominal";        // none, nominal, or a file (docs/errors-file.md)
    std::optional<double> narrow_percent;  // either side of the chance to arrive: then it is enough
    double time_step_s = 1.0;
    std::optional<double> example;  // this flight again, and no others; from 1
    bool no_runway = false;         // never in sight: the missed approach is flown
    std::vector<std::string>
        fail;  // XRG, NAV1, DME, ADF, glideslope, heading-indicator; with @STEP or @MINUTESmin
};

/// The flight that is rehearsed: as it is flown right, and the card by which it is flown.
struct FlightToRehearse {
    World world;
    plan::Request request;
    std::optional<plan::Option> option;   // none: there is no flight
    std::vector<base::Finding> findings;  // of the flight, or why there is none
    base::Verdict verdict = base::Verdict::not_flyable;
    flight::Card card;  // as planned, or as a file has it
    std::string file;   // empty: as planned
    radio::ReceptionMode reception = radio::ReceptionMode::horizon;
    bool terrain_known = false;
};

/// The flight of a card in a file: as its request makes it in this atlas, and the card as the file has it.
///   Fails     with every fault found: as judge_flight(); app.rehearse_what where the file has a route and no card; card.other_steps.
tl::expected<FlightToRehearse, std::vector<base::Error>> flight_of_card(const std::string& atlas,
                                                                        const Shipped& shipped,
                                                                        const std::string& file,
                                                                        const PlanQuestion& flight,
                                                                        bool aircraft_named);
/// That a card has not as many steps as the flight that its request makes: nothing else in it keeps one from being laid beside the other.
std::optional<base::Error> other_steps(const flight::Card& card, const flight::Card& computed,
                                       const std::string& file);
/// In what it is flown; refers to both.
flight::Circumstances day_of(const World& world, const radio::Ground& ground, const plan::Request& request);

/// A flight with its stage; stays where it was made, for the stage refers to it.
class OnStage {
public:
    explicit OnStage(const FlightToRehearse& flight);
    OnStage(const OnStage&) = delete;
    OnStage& operator=(const OnStage&) = delete;
    const rehearsal::Stage& stage() const { return stage_; }

private:
    radio::Ground ground_;
    flight::Circumstances day_;
    rehearsal::Stage stage_;
};

/// One flight second by second.
struct Replayed {
    std::size_t flight = 0;  // from 1
    rehearsal::Trial trial;
    std::vector<rehearsal::Moment> moments;
    std::deque<cockpit::Panel> panels;  // to which the moments point
};

struct Rehearsed {
    std::unique_ptr<const FlightToRehearse> flight;
    std::unique_ptr<const OnStage> on_stage;  // none: there is no flight
    rehearsal::RehearsalQuestion question;
    std::optional<rehearsal::Rehearsal> rehearsal;
    std::optional<Replayed> replayed;  // in its place, where one flight was asked for
};

/// Flies a planned flight, or a card from a file, many times by needle alone; or one of these flights again.
///   Model     a card of a file is flown exactly as it is written there, on the ground and by the way of the flight that its request makes
///             (app/judge_flight.hpp): so what is wrong in it is flown wrong. The judge's findings that the card differs are no reason to
///             refuse it; that the flight itself cannot be flown is.
///   Domain    1 to 1,000,000 flights; steps of 0.25 to 2 s.
///   Accuracy  as rehearsal/rehearse.hpp.
///   Cost      a plan, and a millisecond a flight.
///   Fails     as plan_flight() and judge_flight(); errors_file.*, app.fail_form, app.unknown_ident, app.out_of_range, app.rehearse_what, card.other_steps. Cancelled while it
///             flies, what was flown is told.
///   Source    design section 2, idea 3.
tl::expected<Rehearsed, std::vector<base::Error>> rehearse_flight(const std::string& atlas,
                                                                  const Shipped& shipped,
                                                                  const RehearseQuestion& question,
                                                                  const base::Progress& progress);

/// The same as far as nothing is flown yet: the flight and, where it can be flown, its stage.
tl::expected<Rehearsed, std::vector<base::Error>> on_stage(const std::string& atlas, const Shipped& shipped,
                                                           const RehearseQuestion& question);

/// The chance to arrive of each flight that was offered, the answer's first: so many flights each, with nominal errors. Fewer than were
/// offered where it was cancelled.
std::vector<rehearsal::Chance> prove(const Planned& planned, std::size_t flights,
                                     const base::Progress& progress);

}  // namespace omniway::app
