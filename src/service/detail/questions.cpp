#include "service/detail/questions.hpp"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "app/again.hpp"
#include "app/decimal_year.hpp"
#include "base/in_quotes.hpp"

namespace omniway::service::detail {

namespace {

using base::Error;
using Faults = std::vector<Error>;

void read_aircraft(Fields& fields, std::string& aircraft, bool* named = nullptr) {
    // The name of a shipped one, or the whole text of a file, which has lines.
    const bool is_text = fields.is_of_lines("aircraft");
    std::optional<std::string> text;
    if (is_text) {
        fields.file("aircraft", "--aircraft", "aircraft.toml", text);
        aircraft = text.value_or(aircraft);
    } else {
        fields.text("aircraft", "--aircraft", aircraft);
    }
    if (named != nullptr) {
        *named = fields.has("aircraft");
    }
}

// As cli/detail/flight_words.hpp.
void read_flight(Fields& fields, app::PlanQuestion& flight) {
    fields.text("wind", "--wind", flight.wind);
    fields.texts("winds", "--winds", flight.winds);
    fields.file("winds_bulletin", "--winds-file", "winds_bulletin", flight.winds_file);
    fields.text("winds_station", "--winds-station", flight.winds_station);
    fields.number("minimum_altitude_ft", "--minimum", flight.minimum_ft);
    fields.file("minima", "--minima", "minima", flight.minima);
    fields.number("obstacle_allowance_ft", "--obstacle-allowance", flight.obstacle_allowance_ft);
    fields.text("criteria", "--criteria", flight.criteria);
    fields.number("dead_reckoning_nm", "--dead-reckoning-nm", flight.dead_reckoning_nm);
    fields.number("dead_reckoning_min", "--dead-reckoning-min", flight.dead_reckoning_min);
    fields.text("reception", "--reception", flight.reception);
    fields.texts("without", "--without", flight.without);
}

void read_way(Fields& fields, app::PlanQuestion& flight) {
    fields.text("departure_runway", "--runway", flight.departure_runway);
    fields.text("landing_runway", "--landing-runway", flight.landing_runway);
    fields.text("approach", "--approach", flight.approach);
    fields.texts("via", "--via", flight.via);
    fields.texts("avoid", "--avoid", flight.avoid);
    fields.texts("avoid_airways", "--avoid-airway", flight.avoid_airways);
    fields.texts("avoid_areas", "--avoid-area", flight.avoid_areas);
    fields.number("highest_altitude_ft", "--highest", flight.highest_ft);
    fields.flag("no_ndb", "--no-ndb", flight.no_ndb);
    fields.flag("no_dead_reckoning", "--no-dead-reckoning", flight.no_dead_reckoning);
    fields.number("altitude_ft", "--altitude", flight.altitude_ft);
}

void read_procedures(Fields& fields, app::PlanQuestion& flight) {
    fields.text("departure", "--departure", flight.departure);
    fields.text("arrival", "--arrival", flight.arrival);
}

void read_ends(Fields& fields, app::PlanQuestion& flight, const char* from_option, const char* to_option,
               bool required) {
    fields.text("from", from_option, flight.from);
    fields.text("to", to_option, flight.to);
    if (required && !fields.has("from")) {
        fields.missing("from", "the departure airport, by its ident");
    }
    if (required && !fields.has("to")) {
        fields.missing("to", "the destination airport, by its ident");
    }
}

std::optional<Error> read_day(Fields& fields, earth::DecimalYear& today) {
    std::optional<std::string> date;
    fields.text("date", "--date", date);
    if (!date) {
        today = app::decimal_year(std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now()));
        return std::nullopt;
    }
    const auto read = app::day_of(*date, "/date");
    if (!read) {
        return read.error();
    }
    today = *read;
    return std::nullopt;
}

app::FilesGiven given(Fields& fields) {
    return app::FilesGiven(std::map<std::string, std::string>(fields.files().begin(), fields.files().end()));
}

// The question, once all its fields are read; or what is wrong with them.
template <class Question>
Read<Question> read_so_far(const Fields& fields, const std::optional<Error>& day, Question question) {
    Faults faults = fields.faults();
    if (day) {
        faults.push_back(*day);
    }
    if (!faults.empty()) {
        return tl::unexpected(std::move(faults));
    }
    return question;
}

const char* const of_a_card = "beside a card, which brings its own request";

std::optional<Error> read_planned_flight(Fields& fields, app::PlanQuestion& flight) {
    read_ends(fields, flight, "FROM", "TO", true);
    read_aircraft(fields, flight.aircraft);
    read_flight(fields, flight);
    read_way(fields, flight);
    read_procedures(fields, flight);
    return read_day(fields, flight.today);
}

// A route by hand with what is asked of it, but for its aircraft.
std::optional<Error> read_route(Fields& fields, app::JudgeQuestion& question) {
    fields.text("route", "ROUTE", question.what, longest_route);
    read_ends(fields, question.flight, "--from", "--to", false);
    read_flight(fields, question.flight);
    read_way(fields, question.flight);
    read_procedures(fields, question.flight);
    return read_day(fields, question.flight.today);
}

// "--vor", "XTE=264" and "--vor=XTE=264" are the same.
void take_words(Faults& faults, const std::vector<std::string>& typed, std::vector<app::FindWord>& words) {
    const auto options = app::find_options();
    for (std::size_t i = 0; i < typed.size(); ++i) {
        const std::string name = typed[i].substr(0, typed[i].find('='));
        const std::string where = fmt::format("/words/{}", i);
        const auto known = std::find_if(options.begin(), options.end(),
                                        [&](const app::FindOption& option) { return option.name == name; });
        if (known == options.end() || !known->of_a_case) {
            faults.push_back({"app.find_option",
                              fmt::format("{} is no option of a case; --vor XAB=123 is one, the others are "
                                          "those of omniway find",
                                          base::in_quotes(typed[i])),
                              where});
            return;
        }
        if (name.size() < typed[i].size()) {
            words.push_back({name, typed[i].substr(name.size() + 1), where});
        } else if (i + 1 < typed.size()) {
            words.push_back({name, typed[++i], where});
        } else {
            faults.push_back(
                {"app.find_option", fmt::format("{} has no word behind it: {}", name, known->help), where});
        }
        const auto same = [&](const app::FindWord& word) { return word.option == name; };
        if (!known->repeatable && std::count_if(words.begin(), words.end(), same) > 1) {
            faults.push_back(
                {"app.find_twice", fmt::format("{} is given twice: leave one out", name), where});
        }
    }
}

}  // namespace

Read<PlanBody> plan_body(Fields& fields) {
    PlanBody body;
    const auto day = read_planned_flight(fields, body.question);
    fields.number("choices", "--choices", body.question.choices);
    fields.number("choose", "--choose", body.question.choose);
    fields.flag("why", "--why", body.question.what_mattered);
    fields.flag("survive_any", "--survive-any", body.survive_any);
    fields.number("prove", "--prove", body.prove);
    fields.refuse_others();
    body.question.files = given(fields);
    return read_so_far(fields, day, std::move(body));
}

Read<app::JudgeQuestion> judge_body(Fields& fields) {
    app::JudgeQuestion question;
    std::optional<std::string> card;
    std::optional<Error> day;
    fields.document("card", "ROUTE", card);
    if (card) {
        question.what = *card;
    } else {
        day = read_route(fields, question);
        if (!fields.has("route") && !fields.has("card")) {
            fields.missing("route",
                           "the route as in item 15 of a flight plan, or card, the document of a card");
        }
    }
    read_aircraft(fields, question.flight.aircraft, &question.aircraft_named);
    fields.refuse_others(card ? of_a_card : "");
    question.flight.files = given(fields);
    return read_so_far(fields, day, std::move(question));
}

Read<CardQuestion> card_question(Fields& fields) {
    CardQuestion asked;
    if (fields.has("route")) {
        app::JudgeQuestion question;
        const auto day = read_route(fields, question);
        read_aircraft(fields, question.flight.aircraft, &question.aircraft_named);
        fields.refuse_others("beside a route, which is judged and not searched for");
        question.flight.files = given(fields);
        asked.by_hand = std::move(question);
        return read_so_far(fields, day, std::move(asked));
    }
    std::string none;
    fields.text("route", "ROUTE", none, longest_route);
    auto body = plan_body(fields);
    if (!body) {
        return tl::unexpected(std::move(body.error()));
    }
    asked.plan = std::move(*body);
    return asked;
}

Read<app::JudgeQuestion> why_body(Fields& fields) {
    app::JudgeQuestion question;
    read_ends(fields, question.flight, "FROM", "TO", true);
    fields.text("route", "ROUTE", question.what, longest_route);
    if (!fields.has("route")) {
        fields.missing("route", "the route as in item 15 of a flight plan");
    }
    read_aircraft(fields, question.flight.aircraft, &question.aircraft_named);
    read_flight(fields, question.flight);
    read_way(fields, question.flight);
    const auto day = read_day(fields, question.flight.today);
    fields.refuse_others();
    question.flight.files = given(fields);
    return read_so_far(fields, day, std::move(question));
}

Read<HearBody> hear_body(Fields& fields) {
    HearBody body;
    app::PlanQuestion& flight = body.along.flight;
    body.at_points = fields.has("at") || fields.has("points");
    if (body.at_points) {
        std::optional<std::string> points;
        fields.text("at", "--at", body.points.at);
        fields.file("points", "--points", "points", points);
        fields.flag("all", "--all", body.points.silent_too);
        fields.text("reception", "--reception", body.points.reception);
        fields.texts("without", "--without", body.points.without);
        body.points.file = points.value_or("");
        if (fields.has("at") && fields.has("points")) {
            fields.missing("from", "at and points are asked for one at a time");
        }
    } else {
        read_ends(fields, flight, "FROM", "TO", true);
        fields.flag("direct", "--direct", body.along.direct);
        fields.number("altitude_ft", "--altitude", flight.altitude_ft);
        read_aircraft(fields, flight.aircraft);
        fields.text("wind", "--wind", flight.wind);
        fields.number("minimum_altitude_ft", "--minimum", flight.minimum_ft);
        fields.number("dead_reckoning_nm", "--dead-reckoning-nm", flight.dead_reckoning_nm);
        fields.number("dead_reckoning_min", "--dead-reckoning-min", flight.dead_reckoning_min);
        fields.text("reception", "--reception", flight.reception);
        fields.texts("without", "--without", flight.without);
    }
    const auto day = read_day(fields, flight.today);
    fields.refuse_others(body.at_points ? "beside places" : "");
    flight.files = body.points.files = given(fields);
    return read_so_far(fields, day, std::move(body));
}

Read<app::FindQuestion> find_body(Fields& fields) {
    app::FindQuestion question;
    std::vector<std::string> typed;
    fields.texts("words", "WORDS", typed);
    fields.texts("without", "--without", question.without);
    std::optional<std::string> card;
    fields.document("card", "--card", card);
    std::string aircraft;
    bool aircraft_named = false;
    read_aircraft(fields, aircraft, &aircraft_named);
    const auto day = read_day(fields, question.today);
    fields.refuse_others();
    question.files = given(fields);
    auto read = read_so_far(fields, day, std::move(question));
    if (!read) {
        return read;
    }
    if (aircraft_named) {
        read->words.push_back({"--aircraft", aircraft, "--aircraft"});
    }
    Faults faults;
    take_words(faults, typed, read->words);
    if (card) {
        read->words.push_back({"--card", *card, "--card"});
    }
    if (!faults.empty()) {
        return tl::unexpected(std::move(faults));
    }
    return read;
}

Read<RehearseBody> rehearse_body(Fields& fields) {
    RehearseBody body;
    app::RehearseQuestion& question = body.question;
    std::optional<std::string> card;
    std::optional<Error> day;
    fields.document("card", "FROM", card);
    if (card) {
        question.card = *card;
        read_aircraft(fields, question.flight.aircraft, &question.aircraft_named);
    } else {
        day = read_planned_flight(fields, question.flight);
    }
    fields.number("flights", "--flights", question.flights);
    fields.whole("seed", "--seed", question.seed);
    fields.number("threads", "--threads", question.threads);
    std::optional<std::string> errors;
    if (fields.is_of_lines("errors")) {
        fields.file("errors", "--errors", "errors.toml", errors);
    } else {
        fields.text("errors", "--errors", errors);
    }
    question.errors = errors.value_or(question.errors);
    fields.number("narrow_percent", "--narrow", question.narrow_percent);
    fields.number("time_step_s", "--time-step", question.time_step_s);
    fields.number("example", "--example", question.example);
    fields.flag("no_runway", "--no-runway", question.no_runway);
    fields.texts("fail", "--fail", question.fail);
    fields.refuse_others(card ? of_a_card : "");
    question.flight.files = given(fields);
    std::vector<std::string> typed{"rehearse"};
    const auto words = fields.words();
    typed.insert(typed.end(), words.begin(), words.end());
    body.again = app::again_of(typed);
    return read_so_far(fields, day, std::move(body));
}

Read<RehearseBody> replay_body(Fields& fields) {
    if (!fields.has("example")) {
        fields.missing("example", "the number of the flight");
    }
    return rehearse_body(fields);
}

Read<app::DebriefQuestion> debrief_body(Fields& fields) {
    app::DebriefQuestion question;
    std::optional<std::string> card;
    std::optional<std::string> track;
    fields.document("card", "CARD", card);
    fields.file("track", "TRACK", "track", track);
    if (!fields.has("card")) {
        fields.missing("card", "the document of the card that was flown");
    }
    if (!fields.has("track")) {
        fields.missing("track", "the text of the flown track: GPX, NMEA 0183 or CSV");
    }
    fields.number("flight_of_track", "--track", question.flight_of_track);
    fields.number("longest_gap_s", "--gap", question.longest_gap_s);
    read_aircraft(fields, question.flight.aircraft, &question.aircraft_named);
    fields.refuse_others();
    question.card = card.value_or("");
    question.track = track.value_or("");
    question.flight.files = given(fields);
    return read_so_far(fields, std::nullopt, std::move(question));
}

namespace {

// The text of a card, which has to be there.
std::string read_card(Fields& fields) {
    std::optional<std::string> card;
    fields.document("card", "CARD", card);
    if (!fields.has("card")) {
        fields.missing("card", "the document of a card (/v1/card)");
    }
    return fields.files().empty() ? std::string() : fields.files().front().second;
}

}  // namespace

Read<std::string> card_body(Fields& fields) {
    std::string card = read_card(fields);
    fields.refuse_others();
    return read_so_far(fields, std::nullopt, std::move(card));
}

Read<app::CardViewed> card_viewed_body(Fields& fields) {
    app::CardViewed question;
    read_card(fields);
    read_aircraft(fields, question.flight.aircraft, &question.aircraft_named);
    fields.refuse_others();
    question.flight.files = given(fields);
    return read_so_far(fields, std::nullopt, std::move(question));
}

Read<app::NextQuestion> next_body(Fields& fields) {
    app::NextQuestion question;
    app::PlanQuestion ends;
    read_ends(fields, ends, "FROM", "TO", true);
    fields.text("at", "AT", question.at);
    read_aircraft(fields, question.aircraft);
    fields.refuse_others();
    question.from = ends.from;
    question.to = ends.to;
    question.files = given(fields);
    return read_so_far(fields, std::nullopt, std::move(question));
}

namespace {

// What is expected behind a question mark; what is optional has a value already.
class Expected {
public:
    explicit Expected(const Query& query) : query_(query) {}

    void text(const std::string& name, std::string& value) {
        known_.push_back(name);
        if (const std::string* found = once(name)) {
            value = *found;
        } else if (value.empty()) {
            fault(name, "is missing");
        }
    }
    void number(const std::string& name, std::optional<double>& value) {
        known_.push_back(name);
        const std::string* found = once(name);
        if (found == nullptr) {
            if (!value) {
                fault(name, "is missing: a number is expected");
            }
            return;
        }
        double read = 0.0;
        const auto end = std::from_chars(found->data(), found->data() + found->size(), read);
        if (end.ec != std::errc() || end.ptr != found->data() + found->size() || !std::isfinite(read)) {
            fault(name, fmt::format("{} is no number", base::in_quotes(*found)));
            return;
        }
        value = read;
    }
    template <class Question>
    Read<Question> read(Question question) {
        for (const auto& [name, value] : query_) {
            if (std::find(known_.begin(), known_.end(), name) == known_.end()) {
                fault(name, fmt::format("is not known: {} are", fmt::join(known_, ", ")));
            }
        }
        if (!faults_.empty()) {
            return tl::unexpected(std::move(faults_));
        }
        return question;
    }

private:
    const std::string* once(const std::string& name) {
        const std::string* found = nullptr;
        for (const auto& [each, value] : query_) {
            if (each == name) {
                if (found != nullptr) {
                    fault(name, "stands there twice");
                }
                found = &value;
            }
        }
        if (found != nullptr && found->size() > longest_text) {
            fault(name, fmt::format("is longer than {} bytes", longest_text));
        }
        return found;
    }
    void fault(const std::string& name, const std::string& why) {
        constexpr std::size_t most = 20;
        if (faults_.size() < most) {
            faults_.push_back(
                {"service.query", fmt::format("?{} {}", base::in_quotes(name), why), "?" + name});
        }
    }

    const Query& query_;
    std::vector<std::string> known_;
    std::vector<Error> faults_;
};

}  // namespace

Read<bool> no_query(const Query& query) {
    return Expected(query).read(true);
}

namespace {

plan::ChartArea area_expected(Expected& expected) {
    std::optional<double> west;
    std::optional<double> south;
    std::optional<double> east;
    std::optional<double> north;
    expected.number("west", west);
    expected.number("south", south);
    expected.number("east", east);
    expected.number("north", north);
    return {west.value_or(0.0), south.value_or(0.0), east.value_or(0.0), north.value_or(0.0)};
}

}  // namespace

Read<plan::ChartArea> chart_query(const Query& query) {
    Expected expected(query);
    const plan::ChartArea area = area_expected(expected);
    return expected.read(area);
}

Read<app::RasterQuestion> raster_query(const Query& query, plan::RasterKind kind) {
    Expected expected(query);
    app::RasterQuestion question;
    question.kind = kind;
    question.area = area_expected(expected);
    std::optional<double> width = question.width;
    expected.number("width", width);
    question.width = *width;
    if (kind != plan::RasterKind::terrain) {
        expected.number("altitude_ft", question.altitude_ft);
    }
    return expected.read(std::move(question));
}

Read<app::SearchQuestion> search_query(const Query& query) {
    Expected expected(query);
    app::SearchQuestion question;
    std::optional<double> most = question.most;
    expected.text("words", question.words);
    expected.number("most", most);
    question.most = *most;
    return expected.read(std::move(question));
}

Read<std::string> ident_query(const Query& query) {
    Expected expected(query);
    std::string ident;
    expected.text("ident", ident);
    return expected.read(std::move(ident));
}

}  // namespace omniway::service::detail
