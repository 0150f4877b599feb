#include "wire/card_json.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "wire/detail/card_fields.hpp"
#include "wire/detail/card_part.hpp"
#include "wire/detail/reading.hpp"
#include "wire/detail/steps.hpp"
#include "wire/detail/writing.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

using detail::Faults;
using detail::Json;

namespace detail {

Json card_part(flight::Card card) {
    return Writing::written(card);
}

}  // namespace detail

namespace {

constexpr std::size_t most_bytes = std::size_t{16} << 20U;

Json track_part(const navdata::Snapshot& world, const flight::FlightTrack& track) {
    Json json{{"steps", Json::array()}, {"missed_approach", Json::array()}};
    for (const flight::TrackStep& step : track.steps) {
        json["steps"].push_back(detail::step_json(world, step));
    }
    for (const flight::TrackStep& step : track.missed) {
        json["missed_approach"].push_back(detail::step_json(world, step));
    }
    return json;
}

// A name that stands twice in one object (RFC 8259, 4: only unique names are understood alike by all). Follows where the parser
// is, so that it can be pointed at.
class NamesTwice {
public:
    explicit NamesTwice(Faults& faults) : faults_(faults) {}

    bool operator()(Json::parse_event_t event, const Json& parsed) {
        switch (event) {
            case Json::parse_event_t::key:
                name(parsed.get<std::string>());
                break;
            case Json::parse_event_t::object_start:
            case Json::parse_event_t::array_start:
                step_on();
                open_.push_back({event == Json::parse_event_t::array_start, 0, "", {}});
                break;
            case Json::parse_event_t::object_end:
            case Json::parse_event_t::array_end:
                open_.pop_back();
                break;
            case Json::parse_event_t::value:
                step_on();
                break;
        }
        return true;
    }

private:
    struct Open {
        bool list = false;
        std::size_t next = 0;
        std::string at;
        std::set<std::string> names;
    };

    void step_on() {
        if (!open_.empty() && open_.back().list) {
            open_.back().at = std::to_string(open_.back().next++);
        }
    }
    void name(const std::string& name) {
        Open& here = open_.back();
        here.at = name;
        if (!here.names.insert(name).second) {
            std::string pointer;
            for (const Open& each : open_) {
                pointer += "/" + each.at;
            }
            faults_.add("card.twice",
                        fmt::format("{} stands twice in one object; leave one", base::in_quotes(name)),
                        pointer);
        }
    }

    Faults& faults_;
    std::vector<Open> open_;
};

std::string line_and_column(std::string_view text, std::size_t offset) {
    const std::string_view before = text.substr(0, std::min(offset, text.size()));
    const std::size_t line_start = before.rfind('\n') == std::string_view::npos ? 0 : before.rfind('\n') + 1;
    return fmt::format("{}:{}", std::count(before.begin(), before.end(), '\n') + 1,
                       before.size() - line_start + 1);
}

base::Result<Json> read_json(std::string_view text, const std::string& where, Faults& faults) {
    if (text.size() > most_bytes) {
        return base::failure("card.too_large",
                             fmt::format("the document has {} bytes; at most {} are read: a card has some "
                                         "hundred thousand",
                                         text.size(), most_bytes),
                             where);
    }
    NamesTwice names(faults);
    const auto watch = [&](int, Json::parse_event_t event, const Json& parsed) {
        return names(event, parsed);
    };
    try {
        return Json::parse(text, watch);
    } catch (const Json::parse_error& stop) {
        const std::size_t at = stop.byte == 0 ? 0 : stop.byte - 1;
        const std::string place = where + ":" + line_and_column(text, at);
        return base::failure(
            "card.not_json",
            at >= text.size()
                ? std::string("the document ends too early for JSON (RFC 8259): it may be cut short")
                : fmt::format("this is no JSON (RFC 8259): {} is not expected here",
                              base::in_quotes(text.substr(at, 10))),
            place);
    } catch (const Json::out_of_range&) {
        return base::failure("card.not_json", "a number is too large for JSON to be read here (RFC 8259, 6)",
                             where);
    }
}

// A document that is none of ours, or of another version: one sentence and no more.
std::optional<base::Error> not_ours(const Json& json, const std::string& where) {
    const auto member = [&](const char* name) {
        return json.is_object() && json.contains(name) ? json[name] : Json(nullptr);
    };
    constexpr const char* remedy = "omniway plan FROM TO --card FILE writes one";
    const Json kind = member("kind");
    if (kind != "card") {
        return base::Error{
            "card.wrong_kind",
            kind.is_string()
                ? fmt::format("this is a document of the kind {}, not a card; {}",
                              base::in_quotes(kind.get<std::string>()), remedy)
                : fmt::format("this document does not say that it is a card (\"kind\"); {}", remedy),
            where};
    }
    const Json version = member("schema_version");
    if (version != schema_version) {
        return base::Error{"card.other_version",
                           fmt::format("the card's schema_version is {}; this program reads {}: {}",
                                       base::in_quotes(version.dump()), schema_version, remedy),
                           where};
    }
    return std::nullopt;
}

// What two parts of a card say of each other.
class Contradictions {
public:
    Contradictions(const CardDocument& document, Faults& faults)
        : document_(document),
          faults_(faults),
          receivers_(static_cast<int>(document.request.equipment.receivers.size())),
          last_step_(static_cast<int>(document.card.steps.size() + document.card.missed.size())) {}

    void find() {
        const flight::Card& card = document_.card;
        if (card.steps.empty()) {
            add("a card has at least one step", "/card/steps");
        }
        check(card.lined_up, "/card/lined_up");
        check(card.before_take_off, "/card/before_take_off");
        if (card.immediate_return) {
            check(card.immediate_return->set, "/card/immediate_return/set");
        }
        check(card.steps, 1, "/card/steps");
        check(card.missed, static_cast<int>(card.steps.size()) + 1, "/card/missed");
        for (std::size_t i = 0; i < document_.findings.size(); ++i) {
            const auto& step = document_.findings[i].step;
            if (step && *step > last_step_) {
                add(fmt::format("step {} is not on the card; its last is {}", *step, last_step_),
                    fmt::format("/findings/{}/step", i));
            }
        }
    }

private:
    void add(std::string message, const std::string& pointer) {
        faults_.add("card.contradiction", std::move(message), pointer);
    }
    void check(const std::vector<flight::Step>& steps, int first, const std::string& pointer) {
        for (std::size_t i = 0; i < steps.size(); ++i) {
            const std::string at = fmt::format("{}/{}", pointer, i);
            const int number = first + static_cast<int>(i);
            if (steps[i].number != number) {
                add(fmt::format("number is {}; the steps are numbered on from 1 and this is number {}",
                                steps[i].number, number),
                    at + "/number");
            }
            check(steps[i].radios, at + "/radios");
            check(steps[i].work, at + "/work");
        }
    }
    void check(const flight::StepRadios& radios, const std::string& pointer) {
        for (std::size_t i = 0; i < radios.receivers.size(); ++i) {
            const std::string at = fmt::format("{}/receivers/{}", pointer, i);
            receiver(radios.receivers[i].number, 1, at + "/number");
            if (i > 0 && radios.receivers[i].number <= radios.receivers[i - 1].number) {
                add("the receivers stand in the order of their numbers, each once", at + "/number");
            }
        }
        if (radios.distance) {
            distance(radios.distance->from, radios.distance->receiver, pointer + "/distance/receiver");
        }
    }
    void check(const std::vector<flight::StepWork>& work, const std::string& pointer) {
        for (std::size_t i = 0; i < work.size(); ++i) {
            const std::string at = fmt::format("{}/{}", pointer, i);
            std::visit([&](const auto& each) { check(each, at); }, work[i]);
        }
    }
    void check(const flight::Tune& work, const std::string& at) {
        check(work.set, at + "/set");
        event(work.after, at + "/after");
        event(work.before, at + "/before");
    }
    void check(const flight::Preselect& work, const std::string& at) { check(work.set, at + "/set"); }
    void check(const flight::SetCourse& work, const std::string& at) {
        receiver(work.receiver, 1, at + "/receiver");
        event(work.after, at + "/after");
    }
    void check(const flight::SelectDistance& work, const std::string& at) {
        distance(work.from, work.receiver, at + "/receiver");
        event(work.after, at + "/after");
    }
    void check(const flight::GuideBy& work, const std::string& at) {
        receiver(work.receiver, 1, at + "/receiver");
    }
    void check(const flight::HoldHeadingWhileTuning&, const std::string&) {}
    void check(const flight::StartClock&, const std::string&) {}
    void check(const flight::LeaveAltitude&, const std::string&) {}
    void check(const flight::Call&, const std::string&) {}
    void check(const flight::RadioSet& set, const std::string& pointer) {
        if (set.kind == flight::SetKind::receiver) {
            receiver(set.number, 1, pointer + "/number");
        }
    }
    void distance(flight::DistanceFrom from, int number, const std::string& pointer) {
        if (from == flight::DistanceFrom::own_channel) {
            if (number != 0) {
                add(fmt::format("receiver is {}; a DME on its own channel follows none: 0", number), pointer);
            }
            return;
        }
        receiver(number, from == flight::DistanceFrom::receiver ? 1 : 0, pointer);
    }
    void receiver(int number, int least, const std::string& pointer) {
        if (number < least || number > receivers_) {
            add(fmt::format("there is no receiver {} aboard; the request's equipment has {}", number,
                            receivers_),
                pointer);
        }
    }
    void event(const flight::CardEvent& event, const std::string& pointer) {
        if (event.end_of_step > last_step_) {
            add(fmt::format("step {} is not on the card; its last is {}", event.end_of_step, last_step_),
                pointer + "/end_of_step");
        }
    }

    const CardDocument& document_;
    Faults& faults_;
    int receivers_;
    int last_step_;
};

// Rounded as it will stand there, so that a card read back is the card.
earth::Position as_written(earth::Position place) {
    const auto rounded = [](double degrees, const detail::Unit<double>& unit) {
        return std::round(degrees * unit.per) / unit.per;
    };
    return earth::Position::degrees(rounded(place.latitude_deg(), detail::units::latitude),
                                    rounded(place.longitude_deg(), detail::units::longitude));
}

// Those whose ident no other station in service bears: taken out again by it, they leave the same world.
std::vector<StationOut> stations_out(const navdata::Snapshot& world) {
    std::set<std::string> idents;
    for (const navdata::Station& station : world.out_of_service()) {
        idents.insert(station.ident);
    }
    for (const navdata::Station& station : world.stations()) {
        idents.erase(station.ident);
    }
    std::vector<StationOut> out;
    for (const std::string& ident : idents) {
        out.push_back({ident});
    }
    return out;
}

}  // namespace

CardDocument card_document(const navdata::Snapshot& world, const plan::Request& request,
                           const plan::Option& option) {
    const flight::Flight& flight = option.flight;
    CardDocument document;
    const auto sources = world.sources();
    document.sources.assign(sources.begin(), sources.end());
    CardRequest& asked = document.request;
    asked.from = world[flight.departure].ident;
    asked.to = world[flight.arrival].ident;
    asked.route = plan::route_text(world, flight);
    asked.points_meant = plan::points_meant(world, flight);
    for (plan::PointMeant& point : asked.points_meant) {
        point.place = as_written(point.place);
    }
    asked.without = stations_out(world);
    asked.departure_runway = world[flight.departure_runway].ident;
    asked.departure = flight.sid.empty() ? std::string(plan::own_departure) : flight.sid;
    asked.arrival = flight.star.empty() ? std::string(plan::no_arrival) : flight.star;
    asked.approach = flight.approach;
    asked.landing = flight.landing;
    if (flight.arrival_runway) {
        asked.arrival_runway = world[*flight.arrival_runway].ident;
    }
    asked.minimum = flight.minimum;
    asked.cruise = flight.cruise;
    asked.aircraft = request.aircraft.name;
    asked.equipment = request.aircraft.equipment;
    asked.winds = request.winds;
    asked.today = request.today;
    asked.settings = request.settings;
    document.verdict = option.verdict;
    document.findings = option.findings;
    document.card = option.compiled.card;
    return document;
}

std::string card_json(const navdata::Snapshot& world, const CardDocument& document,
                      const flight::FlightTrack& track) {
    Json json{{"schema_version", schema_version}, {"kind", "card"}, {"caution", detail::caution}};
    CardDocument copy = document;
    json.update(detail::Writing::written(copy));
    json["track"] = track_part(world, track);
    return json.dump(2);
}

tl::expected<CardDocument, std::vector<base::Error>> parse_card(std::string_view text,
                                                                const std::string& where) {
    Faults faults(where);
    const base::Result<Json> json = read_json(text, where, faults);
    if (!json) {
        return tl::unexpected(std::vector<base::Error>{json.error()});
    }
    if (const auto error = not_ours(*json, where)) {
        return tl::unexpected(std::vector<base::Error>{*error});
    }
    CardDocument document;
    detail::Reading way(faults, *json, "");
    for (const char* name : {"schema_version", "kind", "caution", "track"}) {
        way.pass_over(name);
    }
    detail::fields(way, document);
    way.finish();
    if (faults.none()) {
        Contradictions(document, faults).find();
    }
    if (!faults.none()) {
        return tl::unexpected(faults.take());
    }
    return document;
}

std::optional<base::Error> other_atlas(const CardDocument& document, std::span<const navdata::Source> sources,
                                       const std::string& where) {
    const auto checksums = [](std::span<const navdata::Source> files) {
        std::set<std::string> all;
        for (const navdata::Source& each : files) {
            all.insert(each.checksum);
        }
        return all;
    };
    const auto names = [](std::span<const navdata::Source> files) {
        std::string text;
        for (const navdata::Source& each : files) {
            text += (text.empty() ? "" : ", ") + base::in_quotes(each.file) +
                    (each.validity.empty() ? "" : " (" + each.validity + ")");
        }
        return text.empty() ? std::string("no file") : text;
    };
    if (checksums(document.sources) == checksums(sources)) {
        return std::nullopt;
    }
    return base::Error{
        "card.other_atlas",
        fmt::format("the card was made from {}; the atlas is of {}: plan it again, or name the "
                    "atlas that it was made from with --atlas",
                    names(document.sources), names(sources)),
        where + "#/sources"};
}

}  // namespace omniway::wire
