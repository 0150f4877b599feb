#include "app/find_position.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "app/detail/airports_near.hpp"
#include "app/detail/find_words.hpp"
#include "app/detail/position_asked.hpp"
#include "app/detail/reception_asked.hpp"
#include "app/detail/stations_tuned.hpp"
#include "app/detail/winds_asked.hpp"
#include "app/reading_clock.hpp"
#include "app/reading_words.hpp"
#include "base/in_quotes.hpp"
#include "plan/plan_in_flight.hpp"

namespace omniway::app {

using base::Duration;
using base::Error;
using base::Length;
using Faults = std::vector<Error>;

namespace {

constexpr double last_within_nm = 2.0;
constexpr Length worth_going_to = Length::nautical_miles(150.0);
constexpr std::size_t most_airports = 3;
// Of each component; common practice, no source.
constexpr double wind_error_kt = 10.0;
constexpr double wind_error_unknown_kt = 20.0;

// One case: what was typed, laid into one world.
class Case {
public:
    Case(const World& world, const FlightToRehearse* flight, const plan::CardWay* card,
         detail::FindTyped typed)
        : world_(world), flight_(flight), card_(card), typed_(std::move(typed)) {}

    tl::expected<PositionFound, Faults> laid(const Shipped& shipped, earth::DecimalYear today) {
        take_aircraft(shipped);
        check_what_is_there();
        take_times();
        if (!faults_.empty()) {
            return tl::unexpected(std::move(faults_));
        }
        const auto ground = std::make_shared<const radio::Ground>(ground_of(world_, reception()));
        PositionFound found{
            world_,
            ground,
            {*world_.snapshot, *ground, *world_.model, today, {}, base::Altitude::feet(*typed_.altitude_ft)},
            {aircraft_.name, times_.now, typed_.criteria, wind_known(),
             flight_ == nullptr ? std::string() : flight_->file},
            free()};
        take_all(found.question, today);
        found.request = request(today);
        found.fuel = typed_.fuel_lb ? base::Mass::pounds(*typed_.fuel_lb) : aircraft_.fuel.usable;
        found.fuel_known = typed_.fuel_lb.has_value();
        if (!faults_.empty()) {
            return tl::unexpected(std::move(faults_));
        }
        return found;
    }

private:
    void take_all(fixing::BeliefQuestion& asked, earth::DecimalYear today) {
        asked.errors = fixing::ReadingErrors::of(typed_.criteria);
        take_headings(asked);
        take_air(asked);
        take_readings(asked);
        take_last(asked, today);
        if (card_ != nullptr) {
            const auto width =
                radio::protected_half_width(radio::AidKind::vor, typed_.criteria, Length()).primary;
            asked.on_the_way = fixing::OnTheWay{card_->line, width};
        }
    }

    plan::Request request(earth::DecimalYear today) {
        plan::Request request = flight_ != nullptr ? flight_->request : plan::Request{};
        request.aircraft = aircraft_;
        request.winds = winds();
        request.today = today;
        request.settings.criteria = typed_.criteria;
        request.settings.reception = reception();
        return request;
    }

    void take_aircraft(const Shipped& shipped) {
        if (!typed_.aircraft && flight_ != nullptr) {
            aircraft_ = flight_->request.aircraft;
            return;
        }
        auto read =
            find_aircraft(shipped, typed_.aircraft ? typed_.aircraft->text : "single", typed_.winds.files);
        if (read) {
            aircraft_ = std::move(*read);
            return;
        }
        for (Error& fault : read.error()) {
            if (fault.where == "--aircraft" && typed_.aircraft) {
                fault.where = typed_.aircraft->where;
            }
            faults_.push_back(std::move(fault));
        }
    }

    void check_what_is_there() {
        if (!typed_.altitude_ft) {
            faults_.push_back({"app.altitude_missing",
                               "slant range and who is heard depend on the altitude: give --altitude FT",
                               "--altitude"});
        }
        const bool heard = std::any_of(typed_.readings.begin(), typed_.readings.end(),
                                       [](const detail::FindTyped::Read& read) {
                                           return !std::holds_alternative<SilenceWords>(read.words.shown);
                                       });
        if (!heard && !typed_.last && card_ == nullptr) {
            faults_.push_back({"app.find_nothing",
                               "nothing says where: give a reading (--vor XAB=123, --dme XAB=20.5, --ndb "
                               "XNB=045, --loc, --over), a last known place (--last) or a card (--card)",
                               ""});
        }
        if (const auto fault = detail::no_terrain(world_, reception())) {
            faults_.push_back(*fault);
        }
    }

    void take_times() {
        std::vector<TypedTime> times;
        for (const detail::FindTyped::Read& read : typed_.readings) {
            times.push_back({read.words.time, read.where});
        }
        for (const detail::FindTyped::Held& held : typed_.headings) {
            times.push_back({held.words.time, held.where});
        }
        if (typed_.last) {
            times.push_back({typed_.last->words.time, typed_.last->where});
        }
        auto laid = times_before_now(typed_.now, times);
        if (laid) {
            times_ = std::move(*laid);
        } else {
            faults_.push_back(std::move(laid.error()));
        }
    }

    Duration read_before(std::size_t i) const { return times_.before[i]; }
    Duration held_before(std::size_t i) const { return times_.before[typed_.readings.size() + i]; }
    Duration last_before() const { return typed_.last ? times_.before.back() : Duration(0.0); }
    Duration oldest() const {
        Duration oldest = last_before();
        for (std::size_t i = 0; i < typed_.readings.size(); ++i) {
            oldest = std::max(oldest, read_before(i));
        }
        return oldest;
    }

    // A heading without a time was held from the beginning.
    void take_headings(fixing::BeliefQuestion& asked) {
        const Duration begun = oldest();
        std::size_t untimed = 0;
        for (std::size_t i = 0; i < typed_.headings.size(); ++i) {
            const detail::FindTyped::Held& held = typed_.headings[i];
            const bool all_along = std::holds_alternative<ReadNow>(held.words.time);
            untimed += all_along ? 1 : 0;
            asked.flown.push_back({all_along ? std::max(begun, earliest_heading()) : held_before(i),
                                   held.words.heading, airspeed()});
        }
        if (untimed > 1) {
            fault("app.find_heading",
                  "two headings are given without the time from which each was held: give it, as 090@14:00",
                  typed_.headings.back().where);
        }
        std::stable_sort(
            asked.flown.begin(), asked.flown.end(),
            [](const fixing::HeadingFlown& a, const fixing::HeadingFlown& b) { return a.before > b.before; });
        if (begun > Duration(0.0) && (asked.flown.empty() || asked.flown.front().before < begun)) {
            const double until_min = asked.flown.empty() ? 0.0 : base::in_minutes(asked.flown.front().before);
            fault("app.find_heading",
                  fmt::format(
                      "nothing says what was flown from {:.3g} to {:.3g} min before now, and what was read "
                      "then is carried on by it: give --heading 090@TIME, or --heading 090 where it was "
                      "held all along",
                      base::in_minutes(begun), until_min),
                  "--heading");
        }
    }

    Duration earliest_heading() const {
        Duration earliest{0.0};
        for (std::size_t i = 0; i < typed_.headings.size(); ++i) {
            earliest = std::max(earliest, held_before(i));
        }
        return earliest;
    }

    void take_air(fixing::BeliefQuestion& asked) {
        const weather::Wind wind = winds().at(asked.altitude);
        asked.air.from = wind.from;
        asked.air.speed = wind.speed;
        asked.air.uncertainty = base::Speed::knots(
            typed_.wind_error_kt.value_or(wind_known() ? wind_error_kt : wind_error_unknown_kt));
    }

    void take_readings(fixing::BeliefQuestion& asked) {
        for (std::size_t i = 0; i < typed_.readings.size(); ++i) {
            const detail::FindTyped::Read& read = typed_.readings[i];
            auto stations = detail::stations_tuned(*world_.snapshot, read.option, read.words, read.where);
            if (!stations) {
                faults_.push_back(std::move(stations.error()));
                continue;
            }
            if (auto shown = shown_of(read, std::move(*stations), asked.flown, read_before(i))) {
                asked.readings.push_back({std::move(*shown), read_before(i), phrase(read.words)});
            }
        }
    }

    std::optional<fixing::Shown> shown_of(const detail::FindTyped::Read& read, fixing::Candidates stations,
                                          const std::vector<fixing::HeadingFlown>& flown, Duration before) {
        struct Show {
            fixing::Candidates stations;
            std::optional<base::MagneticBearing> heading;
            std::optional<fixing::Shown> operator()(const RadialWords& words) const {
                return fixing::RadialRead{stations, words.radial()};
            }
            std::optional<fixing::Shown> operator()(const DistanceWords& words) const {
                return fixing::DistanceRead{stations, words.slant_range};
            }
            std::optional<fixing::Shown> operator()(const BearingWords& words) const {
                if (!words.relative) {
                    return fixing::BearingRead{stations, base::MagneticBearing::degrees(words.degrees)};
                }
                return heading ? std::optional<fixing::Shown>(fixing::BearingRead{
                                     stations, *heading + base::Angle::degrees(words.degrees), true})
                               : std::nullopt;
            }
            std::optional<fixing::Shown> operator()(const NeedleWords& words) const {
                return fixing::LocalizerRead{stations, words.needle};
            }
            std::optional<fixing::Shown> operator()(const PassageWords&) const {
                return fixing::PassageRead{stations};
            }
            std::optional<fixing::Shown> operator()(const SilenceWords& words) const {
                return fixing::SilenceRead{stations,
                                           words.distance ? radio::Part::distance : radio::Part::azimuth};
            }
        };
        auto shown = std::visit(Show{std::move(stations), heading_at(flown, before)}, read.words.shown);
        if (!shown) {
            fault("app.find_heading",
                  fmt::format("{} is relative to the nose, and no heading is given for that time: give "
                              "--heading 090, or the magnetic bearing",
                              phrase(read.words)),
                  read.where);
        }
        return shown;
    }

    static std::optional<base::MagneticBearing> heading_at(const std::vector<fixing::HeadingFlown>& flown,
                                                           Duration before) {
        std::optional<base::MagneticBearing> heading;
        for (const fixing::HeadingFlown& held : flown) {
            if (held.before >= before) {
                heading = held.heading;
            }
        }
        return heading;
    }

    void take_last(fixing::BeliefQuestion& asked, earth::DecimalYear today) {
        if (!typed_.last) {
            return;
        }
        const auto place = detail::position_asked(world_, typed_.last->words.what, today, typed_.last->where);
        if (!place) {
            faults_.push_back(place.error());
            return;
        }
        asked.last_known = fixing::LastKnown{
            *place, last_before(), Length::nautical_miles(typed_.last_within_nm.value_or(last_within_nm))};
    }

    base::Speed airspeed() const {
        return typed_.airspeed_kt ? base::Speed::knots(*typed_.airspeed_kt)
                                  : aircraft::true_airspeed_cruise(aircraft_.performance,
                                                                   base::Altitude::feet(*typed_.altitude_ft));
    }
    bool wind_known() const { return typed_.wind_known || flight_ != nullptr; }
    weather::WindsAloft winds() {
        if (!typed_.wind_known && flight_ != nullptr) {
            return flight_->request.winds;
        }
        return detail::winds_over(detail::winds_asked(faults_, typed_.winds), std::nullopt, std::nullopt);
    }
    std::optional<radio::ReceptionMode> reception() const {
        return typed_.reception || flight_ == nullptr ? typed_.reception
                                                      : flight_->request.settings.reception;
    }
    fixing::FreeRadios free() const {
        const cockpit::Equipment& aboard = aircraft_.equipment;
        return {typed_.free.vor && !aboard.receivers.empty(), typed_.free.dme && aboard.dme.has_value(),
                typed_.free.adf && aboard.adf.has_value()};
    }
    void fault(const char* code, std::string message, std::string where) {
        faults_.push_back({code, std::move(message), std::move(where)});
    }

    const World& world_;
    const FlightToRehearse* flight_;
    const plan::CardWay* card_;
    detail::FindTyped typed_;
    aircraft::Aircraft aircraft_;
    ReadingTimes times_;
    Faults faults_;
};

const FindWord* last_word(const FindQuestion& question, std::string_view option) {
    const auto found = std::find_if(question.words.rbegin(), question.words.rend(),
                                    [&](const FindWord& word) { return word.option == option; });
    return found == question.words.rend() ? nullptr : &*found;
}

tl::expected<std::shared_ptr<const FlightToRehearse>, Faults> flight_of(const std::string& atlas,
                                                                        const Shipped& shipped,
                                                                        const FindQuestion& question,
                                                                        const FindWord& card) {
    if (!question.files.has(card.text)) {
        return tl::unexpected(Faults{
            {"app.find_card",
             fmt::format("there is no file {}: name the file of a card (omniway plan --card writes one)",
                         base::in_quotes(card.text)),
             card.where}});
    }
    const FindWord* const aircraft = last_word(question, "--aircraft");
    PlanQuestion asked;
    asked.without = question.without;
    asked.today = question.today;
    asked.files = question.files;
    asked.aircraft = aircraft != nullptr ? aircraft->text : asked.aircraft;
    auto flight = flight_of_card(atlas, shipped, card.text, asked, aircraft != nullptr);
    if (!flight) {
        return tl::unexpected(flight.error());
    }
    if (!flight->option || flight->option->compiled.track.steps.empty()) {
        return tl::unexpected(Faults{
            {"app.find_card", "the card's request makes no flight in this atlas: plan it again", card.text}});
    }
    return std::make_shared<const FlightToRehearse>(std::move(*flight));
}

Faults cancelled() {
    return {{"app.cancelled", "cancelled before the place was found; nothing is printed", ""}};
}

// "XHU057020": as one would name it on paper; "there" where no VOR is heard.
std::string name_of_place(const navdata::Snapshot& world, const std::optional<plan::ByStation>& by) {
    if (!by) {
        return "there";
    }
    const long degrees = std::lround(by->radial.degrees()) % 360;
    return fmt::format("{}{:03}{:03.0f}", world[by->station].ident, degrees == 0 ? 360 : degrees,
                       by->over_ground.nautical_miles());
}

// With what one goes on from the likeliest place.
plan::WhatNowQuestion going_on(const PositionFound& found, const fixing::Belief& belief,
                               const FlightToRehearse* flight) {
    const plan::PlaceReport& likeliest = found.report.places.front();
    plan::WhatNowQuestion asked{found.request, belief, found.question.altitude};
    if (!found.question.flown.empty()) {
        asked.heading = found.question.flown.back().heading;
    }
    asked.fuel = found.fuel;
    asked.place_name = name_of_place(*found.world.snapshot, likeliest.by);
    if (flight == nullptr) {
        return asked;
    }
    asked.card.emplace(plan::FlownCard{flight->option->flight, flight->option->compiled});
    if (!found.fuel_known) {
        asked.fuel = plan::present_at(flight->request, *flight->option, likeliest.on_card->along).fuel;
    }
    return asked;
}

}  // namespace

tl::expected<Finder, Faults> Finder::open(const std::string& atlas, const Shipped& shipped,
                                          const FindQuestion& question) {
    Finder finder;
    finder.atlas_ = atlas;
    finder.shipped_ = shipped;
    if (const FindWord* const card = last_word(question, "--card")) {
        auto flight = flight_of(atlas, shipped, question, *card);
        if (!flight) {
            return tl::unexpected(flight.error());
        }
        finder.flight_ = std::move(*flight);
        finder.world_ = finder.flight_->world;
        finder.card_ = plan::card_way(*finder.world_.snapshot, *finder.flight_->option);
        return finder;
    }
    auto world = open_world(atlas, shipped, {{}, false, question.without});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    finder.world_ = std::move(*world);
    return finder;
}

tl::expected<PositionFound, Faults> Finder::find(const FindQuestion& question,
                                                 const base::Progress& progress) const {
    auto typed = detail::find_words_read(question);
    if (!typed) {
        return tl::unexpected(std::move(typed.error()));
    }
    typed->winds.files = question.files;
    const plan::CardWay* const card = card_ ? &*card_ : nullptr;
    auto found = Case(world_, flight_.get(), card, std::move(*typed)).laid(shipped_, question.today);
    if (!found) {
        return found;
    }
    found->flight = flight_;
    found->report = plan::position_report(found->question, found->free, card, progress);
    if (progress.cancelled()) {
        return tl::unexpected(cancelled());
    }
    return found;
}

tl::expected<PositionFound, Faults> Finder::find_and_go_on(const FindQuestion& question,
                                                           const base::Progress& progress) const {
    auto found = find(question, progress);
    const auto* belief = found ? std::get_if<fixing::Belief>(&found->report.belief) : nullptr;
    if (belief == nullptr || belief->modes.empty()) {
        return found;
    }
    const earth::Position place = belief->modes.front().place;
    const auto near = detail::airports_near(*world_.snapshot, place, place, worth_going_to);
    auto world = open_world(atlas_, shipped_, {near, false, question.without});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    const navdata::Snapshot& snapshot = *world->snapshot;
    const auto ground = ground_of(*world, found->request.settings.reception);
    plan::WhatNowQuestion asked = going_on(*found, *belief, flight_.get());
    asked.land = {detail::airports_of(snapshot, near), most_airports};
    plan::WhatNow what = plan::what_now(snapshot, ground, *world->model, asked, progress);
    if (progress.cancelled()) {
        return tl::unexpected(cancelled());
    }
    found->now = std::make_shared<const NowFound>(NowFound{std::move(*world), std::move(what)});
    return found;
}

}  // namespace omniway::app
