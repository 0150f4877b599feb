#include "app/judge_flight.hpp"

#include <algorithm>
#include <filesystem>

#include <fmt/format.h>

#include "app/detail/procedures_asked.hpp"
#include "base/in_quotes.hpp"
#include "flight/judge.hpp"
#include "readers/file_bytes.hpp"
#include "readers/item15.hpp"
#include "wire/card_differences.hpp"
#include "wire/card_json.hpp"

namespace omniway::app {

using base::Error;
using Faults = std::vector<Error>;

namespace {

constexpr std::uintmax_t largest_file = std::uintmax_t{16} << 20U;

struct Given {
    std::string text;
    std::string file;  // empty: typed
    bool is_card = false;
};

tl::expected<Given, Faults> read_what(const std::string& what, const FilesGiven& files) {
    if (!files.has(what)) {
        // A route has neither of the two together.
        if (what.find('.') != std::string::npos && what.find(' ') == std::string::npos) {
            return tl::unexpected(
                Faults{{"app.neither_file_nor_route",
                        fmt::format(
                            "there is no file {}, and it is no route: name a file with a card or a route, or "
                            "write the route in quotes: \"XDOV DCT XDV V14 XKE XMRA\"",
                            base::in_quotes(what)),
                        "FILE"}});
        }
        return Given{what, "", false};
    }
    auto bytes = read_given(
        files, what, [](const std::string& text) { return base::Result<std::string>(text); },
        [](const std::string& path) { return readers::file_bytes(path, largest_file, "a card or a route"); },
        [](Error error) -> base::Result<std::string> { return tl::unexpected<Error>(std::move(error)); });
    if (!bytes) {
        return tl::unexpected(Faults{bytes.error()});
    }
    const std::size_t first = bytes->find_first_not_of(" \t\r\n");
    const bool is_card = first != std::string::npos && (*bytes)[first] == '{';
    return Given{std::move(*bytes), what, is_card};
}

// The airports of a route: as asked for, else its first and last word.
tl::expected<PlanQuestion, Faults> with_airports(PlanQuestion question, const flight::Route& route,
                                                 const std::string& name) {
    Faults faults;
    const plan::RouteEnds ends = plan::ends_of(route);
    const auto take = [&](std::string& ident, std::string& where,
                          const std::optional<flight::RouteToken>& end, const char* option,
                          const char* place) {
        if (!ident.empty()) {
            where = option;
        } else if (end) {
            ident = end->text;
            where = fmt::format("{}:{}:{}", name, end->line, end->column);
        } else {
            faults.push_back({"route.no_airport",
                              fmt::format("the route names no airport as its {} word: write it there, as in "
                                          "\"XDOV DCT XDV V14 XKE XMRA\", or give {}",
                                          place, option),
                              name + ":1:1"});
        }
    };
    take(question.from, question.from_where, ends.from, "--from", "first");
    take(question.to, question.to_where, ends.to, "--to", "last");
    if (!faults.empty()) {
        return tl::unexpected(faults);
    }
    return question;
}

tl::expected<Judged, Faults> judged(World world, plan::HandMadeRequest request, const Given& given,
                                    const std::vector<base::Finding>& said = {}) {
    const radio::Ground ground = ground_of(world, request.flight.settings.reception);
    auto option = plan::hand_made(*world.snapshot, ground, *world.model, request);
    if (!option) {
        return tl::unexpected(option.error());
    }
    Judged judged;
    judged.reception = ground.mode;
    judged.terrain_known = ground.terrain != nullptr && !ground.terrain->empty();
    judged.option = std::move(*option);
    judged.file = given.file;
    judged.option.findings.insert(judged.option.findings.end(), said.begin(), said.end());
    for (base::Finding& damaged : damaged_terrain(world)) {
        judged.option.findings.push_back(std::move(damaged));
    }
    judged.world = std::move(world);
    judged.request = std::move(request);
    return judged;
}

tl::expected<Judged, Faults> judge_route(const std::string& atlas, const Shipped& shipped,
                                         const JudgeQuestion& question, const Given& given) {
    plan::HandMadeRequest request;
    request.name = given.file.empty() ? "ROUTE" : given.file;
    auto route = readers::read_item15(given.text, request.name);
    if (!route) {
        return tl::unexpected(route.error());
    }
    request.route = std::move(*route);
    const auto with_ends = with_airports(question.flight, request.route, request.name);
    if (!with_ends) {
        return tl::unexpected(with_ends.error());
    }
    auto asked = read_question(atlas, shipped, *with_ends);
    if (!asked) {
        return tl::unexpected(asked.error());
    }
    request.flight = std::move(asked->request);
    return judged(std::move(asked->world), std::move(request), given, asked->said);
}

// The shipped aircraft of that name, where none was named: a card holds the name, not the file.
std::string aircraft_of(const Shipped& shipped, const std::string& name) {
    for (const std::string& word : shipped_aircraft(shipped)) {
        const auto aircraft = find_aircraft(shipped, word);
        if (aircraft && aircraft->name == name) {
            return word;
        }
    }
    return {};
}

tl::expected<Judged, Faults> judge_card(const std::string& atlas, const Shipped& shipped,
                                        const JudgeQuestion& question, const Given& given) {
    const auto document = wire::parse_card(given.text, given.file);
    if (!document) {
        return tl::unexpected(document.error());
    }
    const wire::CardRequest& card = document->request;
    PlanQuestion flight;
    flight.from = card.from;
    flight.to = card.to;
    flight.from_where = given.file + "#/request/from";
    flight.to_where = given.file + "#/request/to";
    for (const wire::StationOut& station : card.without) {
        flight.without.push_back(station.ident);
    }
    flight.without_where = given.file + "#/request/without";
    flight.files = question.flight.files;
    flight.aircraft =
        question.aircraft_named ? question.flight.aircraft : aircraft_of(shipped, card.aircraft);
    const auto aircraft = find_aircraft(shipped, flight.aircraft, flight.files);
    if (flight.aircraft.empty() || (aircraft && aircraft->name != card.aircraft)) {
        return tl::unexpected(Faults{
            {"card.other_aircraft",
             fmt::format("the card is of {}, and {}: name its file with --aircraft",
                         base::in_quotes(card.aircraft),
                         flight.aircraft.empty() ? std::string("no shipped aircraft has that name")
                                                 : "--aircraft gives " + base::in_quotes(aircraft->name)),
             given.file + "#/request/aircraft"}});
    }
    auto asked = read_question(atlas, shipped, flight);
    if (!asked) {
        return tl::unexpected(asked.error());
    }
    const navdata::Snapshot& world = *asked->world.snapshot;
    if (const auto other = wire::other_atlas(*document, world.sources(), given.file)) {
        return tl::unexpected(Faults{*other});
    }
    plan::HandMadeRequest request;
    request.name = given.file + "#/request/route";
    auto route = readers::read_item15(card.route, request.name);
    if (!route) {
        return tl::unexpected(route.error());
    }
    request.route = std::move(*route);
    request.meant = card.points_meant;
    request.flight = std::move(asked->request);
    request.flight.aircraft.equipment = card.equipment;
    request.flight.winds = card.winds;
    request.flight.cruise = card.cruise;
    request.flight.today = card.today;
    request.flight.settings = card.settings;
    request.flight.departure = card.departure;
    request.flight.arrival = card.arrival;
    Faults faults;
    request.flight.departure_runway = detail::runway_asked(
        faults, world, request.flight.from, card.departure_runway, given.file + "#/request/departure_runway");
    request.flight.landing_runway = detail::runway_asked(
        faults, world, request.flight.to, card.arrival_runway, given.file + "#/request/arrival_runway");
    if (!card.approach.empty()) {
        request.flight.approach = card.approach;
        request.landing = card.landing;
        request.minimum = card.minimum;
    }
    if (!faults.empty()) {
        return tl::unexpected(faults);
    }
    auto made = judged(std::move(asked->world), std::move(request), given);
    if (!made) {
        return made;
    }
    made->of_card = true;
    made->card = document->card;
    for (base::Finding& differs : wire::card_differences(document->card, made->option.compiled.card)) {
        made->option.findings.push_back(std::move(differs));
    }
    flight::rank_findings(made->option.findings);
    made->option.verdict = base::verdict_of(made->option.findings);
    return made;
}

}  // namespace

tl::expected<Judged, Faults> judge_flight(const std::string& atlas, const Shipped& shipped,
                                          const JudgeQuestion& question) {
    const auto given = read_what(question.what, question.flight.files);
    if (!given) {
        return tl::unexpected(given.error());
    }
    return given->is_card ? judge_card(atlas, shipped, question, *given)
                          : judge_route(atlas, shipped, question, *given);
}

}  // namespace omniway::app
