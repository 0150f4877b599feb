// A card on the wire: what is written is read as it was, and nothing else is read as a card.

#include "wire/card_json.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <set>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>
#include <nlohmann/json.hpp>

#include "tests/broken_samples.hpp"
#include "tests/card_examples.hpp"
#include "wire/detail/card_fields.hpp"
#include "wire/detail/writing.hpp"

namespace omniway::wire {

using omniway::testing::expected_errors;
using omniway::testing::ExpectedError;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using Json = nlohmann::ordered_json;

namespace detail {

/// A third way through the descriptions: every value drawn at random from all that the wire allows.
class Drawing {
public:
    explicit Drawing(std::mt19937_64& random) : random_(random) {}

    template <class Value>
    void number(const char*, Value& value, const Unit<Value>& unit) {
        const auto low = static_cast<long>(std::ceil(unit.low * unit.per));
        const auto high = static_cast<long>(std::floor(unit.high * unit.per));
        value = unit.make(static_cast<double>(between(low, high)) / unit.per);
    }
    template <class Value>
    void number(const char* name, std::optional<Value>& value, const Unit<Value>& unit) {
        value.reset();
        if (coin()) {
            number(name, value.emplace(), unit);
        }
    }
    template <class Value, std::size_t N>
    void word(const char*, Value& value, const std::array<Word<Value>, N>& words) {
        value = words[static_cast<std::size_t>(between(0, static_cast<long>(N) - 1))].value;
    }
    template <class Value, std::size_t N>
    void word(const char* name, std::optional<Value>& value, const std::array<Word<Value>, N>& words) {
        value.reset();
        if (coin()) {
            word(name, value.emplace(), words);
        }
    }
    void text(const char*, std::string& value, TextForm form = TextForm::printable) {
        const auto one_of = [&](const auto& all) {
            return std::string(all[static_cast<std::size_t>(between(0, static_cast<long>(all.size()) - 1))]);
        };
        if (form == TextForm::station_kind) {
            value = one_of(std::array{"VOR", "VOR/DME", "NDB", "NDB/DME", "ILS/DME", "SDF/GS/DME"});
            return;
        }
        value.clear();
        const std::array plain{"A", "B", "X", "7", "0"};
        const std::array any{"A", "x", "7", " ", "\"", "\\", "/", "~", "ö", "文", "{", ","};
        for (long n = between(form == TextForm::station_ident ? 1 : 0, 4); n > 0; --n) {
            value += form == TextForm::station_ident ? one_of(plain) : one_of(any);
        }
    }
    void text_or_null(const char* name, std::optional<std::string>& value) {
        value.reset();
        if (coin()) {
            text(name, value.emplace());
        }
    }
    void text_unless_empty(const char* name, std::string& value) { text(name, value); }
    void flag(const char*, bool& value) { value = coin(); }
    void count(const char*, int& value, int least, int most) {
        value = static_cast<int>(between(least, most));
    }
    void count_unless_none(const char* name, std::optional<int>& value, int least, int most) {
        value.reset();
        if (coin()) {
            count(name, value.emplace(least), least, most);
        }
    }
    void follows(const char*, const std::string&, const char*) {}
    template <class Say>
    void says(const Say&) {}
    template <class Variant, std::size_t N>
    bool kind(Variant& value, const std::array<std::string_view, N>&) {
        emplace(value, static_cast<std::size_t>(between(0, static_cast<long>(N) - 1)),
                std::make_index_sequence<N>());
        return true;
    }
    template <class Value>
    void object(const char*, Value& value) {
        fields(*this, value);
    }
    template <class Value>
    void object(const char*, std::optional<Value>& value) {
        value.reset();
        if (coin()) {
            fields(*this, value.emplace());
        }
    }
    template <class Value>
    void list(const char*, std::vector<Value>& values) {
        values.assign(static_cast<std::size_t>(between(0, 3)), Value{});
        for (Value& value : values) {
            fields(*this, value);
        }
    }
    template <class Value>
    void list_unless_empty(const char* name, std::vector<Value>& values) {
        list(name, values);
    }
    void ascending(const char*, std::vector<weather::WindAt> levels, weather::WindsAloft& winds) {
        std::sort(levels.begin(), levels.end(),
                  [](const auto& a, const auto& b) { return a.altitude < b.altitude; });
        levels.erase(std::unique(levels.begin(), levels.end(),
                                 [](const auto& a, const auto& b) { return a.altitude == b.altitude; }),
                     levels.end());
        winds = levels.empty() ? weather::WindsAloft(weather::Wind{}) : weather::WindsAloft(levels);
    }
    void one_at_most(std::optional<procedure::Visibility>& visibility) {
        const std::array<std::optional<procedure::Visibility>, 4> all{
            std::nullopt, procedure::StatuteMiles{0.75}, procedure::VisibilityMetres{550.0},
            procedure::RunwayVisualRange{base::Length::feet(1800.0)}};
        visibility = all[static_cast<std::size_t>(between(0, 3))];
    }

private:
    long between(long low, long high) { return std::uniform_int_distribution<long>(low, high)(random_); }
    bool coin() { return between(0, 1) == 1; }
    template <class Variant, std::size_t... I>
    static void emplace(Variant& value, std::size_t index, std::index_sequence<I...>) {
        ((I == index ? static_cast<void>(value.template emplace<I>()) : void()), ...);
    }

    std::mt19937_64& random_;
};

/// A fourth one: changes one value, the `at`-th that it meets. An aid counts as one: its ident, kind and frequency change together.
class Altering {
public:
    explicit Altering(int at) : left_(at) {}
    bool done() const { return left_ < 0; }

    template <class Value>
    void number(const char*, Value& value, const Unit<Value>& unit) {
        if (now()) {
            const double here = std::round(unit.get(value) * unit.per);
            value = unit.make((here + 1.0 > unit.high * unit.per ? here - 1.0 : here + 1.0) / unit.per);
        }
    }
    template <class Value>
    void number(const char* name, std::optional<Value>& value, const Unit<Value>& unit) {
        if (value) {
            number(name, *value, unit);
        }
        if (now()) {
            value = value ? std::nullopt : std::optional(unit.make(std::max(unit.low, 1.0)));
        }
    }
    template <class Value, std::size_t N>
    void word(const char*, Value& value, const std::array<Word<Value>, N>& words) {
        if (now()) {
            value = words[0].value == value ? words[1].value : words[0].value;
        }
    }
    void text(const char*, std::string& value, TextForm = TextForm::printable) {
        if (now()) {
            value += "X";
        }
    }
    void flag(const char*, bool& value) { value = now() ? !value : value; }
    void count(const char*, int& value, int least, int) {
        if (now()) {
            value = value == least ? least + 1 : value - 1;
        }
    }
    void follows(const char*, const std::string&, const char*) {}
    template <class Say>
    void says(const Say&) {}
    template <class Variant, std::size_t N>
    bool kind(const Variant&, const std::array<std::string_view, N>&) {
        return true;
    }
    template <class Value>
    void object(const char*, Value& value) {
        fields(*this, value);
    }
    template <class Value>
    void object(const char*, std::optional<Value>& value) {
        if (value) {
            fields(*this, *value);
        }
        if (now()) {
            value = value ? std::nullopt : std::optional(Value{});
        }
    }
    template <class Value>
    void list(const char*, std::vector<Value>& values) {
        for (Value& value : values) {
            fields(*this, value);
        }
    }
    bool now() { return left_-- == 0; }

private:
    int left_;
};

inline void fields(Altering& way, flight::NamedAid& aid) {
    if (way.now()) {
        aid = {aid.ident == "ZZZ" ? "ZZY" : "ZZZ", aid.kind, aid.frequency + base::Frequency::kilohertz(50)};
    }
}

}  // namespace detail

namespace {

navdata::Snapshot empty_world() {
    return navdata::Snapshot::build({}).value;
}

CardDocument example() {
    CardDocument document;
    document.sources = {{"demo-region.txt", "ARINC 424-18", "2612", "2026-11-26 to 2026-12-23", 0.0, "00ff"}};
    CardRequest& request = document.request;
    request.from = "XDOV";
    request.to = "XMRA";
    request.route = "XDOV DCT XDV V14 XHU DCT XMRA";
    request.points_meant = {{"XHU", "NDB", earth::Position::degrees(40.1234, -171.5)}};
    request.without = {{"XUM"}, {"XCO"}};
    request.departure_runway = "RW25";
    request.departure = "own";
    request.arrival = "none";
    request.approach = "ILS RW27 via XOBAN";
    request.landing = procedure::Landing::circling;
    request.arrival_runway = "RW09";
    request.minimum = procedure::ApproachMinimum{procedure::MinimumKind::decision_altitude,
                                                 procedure::Landing::straight_in,
                                                 base::Altitude::feet(292),
                                                 procedure::StatuteMiles{0.5},
                                                 "XAFIN",
                                                 "local altimeter",
                                                 "minima.csv:2"};
    request.cruise = base::Altitude::feet(8000);
    request.aircraft = "Marrowby 4";
    request.equipment = {
        {{cockpit::CourseIndicator::hsi, true, true}, {cockpit::CourseIndicator::cdi, false, false}},
        cockpit::DmeControl::follows_receiver_with_hold,
        cockpit::AdfIndicator::movable_card,
        true};
    request.winds = weather::WindsAloft(
        {{base::Altitude::feet(500),
          {base::TrueBearing::degrees(260), base::Speed::knots(12), base::Speed::knots(21)}},
         {base::Altitude::feet(6000), {base::TrueBearing::degrees(280), base::Speed::knots(34)}}});
    request.today = {2026.9};
    request.settings = {base::Length::nautical_miles(7.25), base::Duration(210.0),
                        base::Altitude::feet(4600),         base::Length::feet(300),
                        radio::ReceptionMode::volume,       radio::Criteria::pans_ops,
                        base::Length::nautical_miles(3.5)};
    document.verdict = base::Verdict::flyable_if;
    document.findings = {
        {base::Grade::asks, "minima.not_given", "I27 at XMRA", "its minimum is not given",
         "give it with --minima", 4},
        {base::Grade::notes, "altitude.semicircular", "8,000 ft", "is an eastbound level", "", {}}};
    document.card = testing::card_of_every_kind();
    return document;
}

std::string written(const CardDocument& document) {
    return card_json(empty_world(), document, {});
}

// Brings what was drawn apart together: steps in order, receivers that are aboard, events that are on the card.
class Together {
public:
    explicit Together(CardDocument& document) : document_(document) {
        flight::Card& card = document.card;
        last_ = static_cast<int>(card.steps.size() + card.missed.size());
        document.request.equipment.receivers.resize(detail::most_receivers);
        for (base::Finding& finding : document.findings) {
            finding.step = finding.step ? std::optional(1 + *finding.step % last_) : std::nullopt;
        }
        bring(card.lined_up);
        bring(card.before_take_off);
        int number = 0;
        for (std::vector<flight::Step>* steps : {&card.steps, &card.missed}) {
            for (flight::Step& step : *steps) {
                step.number = ++number;
                bring(step.radios);
                bring(step.work);
            }
        }
    }

private:
    static void bring(flight::StepRadios& radios) {
        int number = 0;
        for (flight::ReceiverStands& receiver : radios.receivers) {
            receiver.number = ++number;
        }
        if (radios.distance) {
            bring(radios.distance->from, radios.distance->receiver);
        }
    }
    static void bring(flight::DistanceFrom from, int& receiver) {
        if (from == flight::DistanceFrom::own_channel) {
            receiver = 0;
        } else if (from == flight::DistanceFrom::receiver) {
            receiver = std::max(receiver, 1);
        }
    }
    void bring(flight::CardEvent& event) const { event.end_of_step %= last_ + 1; }
    void bring(std::vector<flight::StepWork>& work) const {
        for (flight::StepWork& each : work) {
            if (auto* tune = std::get_if<flight::Tune>(&each)) {
                bring(tune->after);
                bring(tune->before);
            } else if (auto* course = std::get_if<flight::SetCourse>(&each)) {
                bring(course->after);
            } else if (auto* distance = std::get_if<flight::SelectDistance>(&each)) {
                bring(distance->after);
                bring(distance->from, distance->receiver);
            }
        }
    }

    CardDocument& document_;
    int last_ = 0;
};

CardDocument drawn(std::mt19937_64& random) {
    CardDocument document;
    while (document.card.steps.empty()) {
        detail::Drawing way(random);
        detail::fields(way, document);
    }
    const Together together(document);
    return document;
}

std::string all_of(const std::vector<base::Error>& errors) {
    std::string text;
    for (const base::Error& error : errors) {
        text += base::to_text(error) + "\n";
    }
    return text;
}

std::vector<base::Error> errors_of(const std::string& text) {
    auto read = parse_card(text, "c.json");
    return read ? std::vector<base::Error>{} : read.error();
}

const std::set<std::string> codes_of_values{"card.missing",    "card.not_known",    "card.twice",
                                            "card.wrong_type", "card.out_of_range", "card.unknown_word",
                                            "card.text_form",  "card.contradiction"};

// Every value in a document, by its pointer.
void collect(const Json& json, const Json::json_pointer& at, std::vector<Json::json_pointer>& all) {
    if (json.is_object()) {
        for (const auto& [name, value] : json.items()) {
            all.push_back(at / name);
            collect(value, at / name, all);
        }
    } else if (json.is_array()) {
        for (std::size_t i = 0; i < json.size(); ++i) {
            all.push_back(at / i);
            collect(json[i], at / i, all);
        }
    }
}

}  // namespace

TEST(LawCardJson, ACardWithEveryKindOfEverythingIsReadAsItWasWritten) {
    const CardDocument document = example();
    const std::string text = written(document);
    const auto read = parse_card(text, "card.json");
    ASSERT_TRUE(read) << all_of(read.error());
    EXPECT_EQ(read->card, document.card);
    EXPECT_EQ(read->sources, document.sources);
    EXPECT_EQ(read->findings, document.findings);
    EXPECT_EQ(read->verdict, document.verdict);
    const CardRequest& request = read->request;
    EXPECT_EQ(request.route, document.request.route);
    EXPECT_EQ(request.points_meant, document.request.points_meant);
    EXPECT_EQ(request.departure_runway, "RW25");
    EXPECT_EQ(request.arrival_runway, "RW09");
    EXPECT_EQ(request.landing, procedure::Landing::circling);
    EXPECT_EQ(request.minimum, document.request.minimum);
    EXPECT_EQ(request.cruise, document.request.cruise);
    EXPECT_EQ(request.equipment, document.request.equipment);
    EXPECT_EQ(request.winds, document.request.winds);
    EXPECT_EQ(request.today.value, 2026.9);
    EXPECT_EQ(request.settings.dead_reckoning_distance, base::Length::nautical_miles(7.25));
    EXPECT_EQ(request.settings.dead_reckoning_time, base::Duration(210.0));
    EXPECT_EQ(request.settings.off_airway_minimum, base::Altitude::feet(4600));
    EXPECT_EQ(request.settings.obstacle_allowance, base::Length::feet(300));
    EXPECT_EQ(request.settings.reception, radio::ReceptionMode::volume);
    EXPECT_EQ(request.settings.criteria, radio::Criteria::pans_ops);
    EXPECT_EQ(request.settings.arrival_radius, base::Length::nautical_miles(3.5));
    EXPECT_EQ(written(*read), text);
}

RC_GTEST_PROP(LawCardJson, AnyCardIsReadAsItWasWritten, ()) {
    std::mt19937_64 random(*rc::gen::arbitrary<std::uint64_t>());
    const CardDocument document = drawn(random);
    const std::string text = written(document);
    const auto read = parse_card(text, "card.json");
    RC_LOG() << (read ? std::string() : all_of(read.error()));
    RC_ASSERT(read.has_value());
    RC_ASSERT((read->card == document.card));
    RC_ASSERT((read->findings == document.findings));
    RC_ASSERT((read->request.winds == document.request.winds));
    RC_ASSERT(written(*read) == text);
}

// Tenths of a mile are not exact in binary.
TEST(LawCardJson, EveryReadingOnTheFaceOfADmeStaysWhatItWasToTheLastBit) {
    CardDocument document = example();
    document.card.steps.resize(1);
    document.card.missed.clear();
    document.card.before_take_off.clear();
    document.findings.clear();
    for (int tenths = 0; tenths <= 4000; tenths += 500) {
        std::vector<flight::StepWork>& work = document.card.steps.front().work;
        std::vector<flight::Notice>& notices = document.card.steps.front().expected.notices;
        work.clear();
        notices.clear();
        for (int more = 0; more < 500 && tenths + more <= 4000; ++more) {
            notices.push_back(
                flight::SlantRange{testing::vor_dme(), base::Length::nautical_miles((tenths + more) / 10.0)});
        }
        const auto read = parse_card(written(document), "card.json");
        ASSERT_TRUE(read) << all_of(read.error());
        ASSERT_EQ(read->card, document.card) << tenths;
    }
}

// A card mangled in its bytes: never a crash, and what is taken for a card can be written and read again.
TEST(LawCardJson, MangledBytesGiveAnErrorOrACardAndNeverACrash) {
    std::mt19937_64 random(20261126);
    const auto below = [&](std::size_t n) { return n == 0 ? 0 : random() % n; };
    const std::string telling = "{}[]\",:0123456789.-+eEtfn \\u/\n\t\x01\x7f\xc3\xff";
    std::size_t refused = 0;
    constexpr std::size_t tries = 1500;
    std::string good;
    for (std::size_t i = 0; i < tries; ++i) {
        if (i % 50 == 0) {
            good = written(drawn(random));
        }
        std::string text = good;
        for (std::size_t n = 1 + below(4); n > 0; --n) {
            const std::size_t at = below(text.size());
            const std::size_t length = std::min(1 + below(30), text.size() - at);
            switch (below(5)) {
                case 0:
                    text[at] = telling[below(telling.size())];
                    break;
                case 1:
                    text.erase(at, length);
                    break;
                case 2:
                    text.insert(at, text.substr(below(text.size()), length));
                    break;
                case 3:
                    text[at] = static_cast<char>(below(256));
                    break;
                default:
                    text.resize(below(20) == 0 ? at : text.size());
                    text.insert(std::min(at, text.size()), 1, telling[below(telling.size())]);
            }
        }
        const auto read = parse_card(text, "c.json");
        if (!read) {
            ++refused;
            ASSERT_FALSE(read.error().empty());
            for (const base::Error& error : read.error()) {
                ASSERT_TRUE(error.code.starts_with("card.")) << base::to_text(error);
                ASSERT_TRUE(error.where.starts_with("c.json")) << base::to_text(error);
                ASSERT_FALSE(error.message.empty());
            }
            continue;
        }
        const auto again = parse_card(written(*read), "c.json");
        ASSERT_TRUE(again) << all_of(again.error());
        ASSERT_EQ(again->card, read->card);
    }
    EXPECT_GT(refused, tries / 2);
}

// A card whose JSON is whole and one of whose values is another: told at that value (or in the object that lost it).
TEST(LawCardJson, AValueOfAnotherTypeIsToldAtItsPlace) {
    const std::string text = written(example());
    const Json good = Json::parse(text);
    std::vector<Json::json_pointer> all;
    collect(good, Json::json_pointer(), all);
    std::mt19937_64 random(5);
    std::shuffle(all.begin(), all.end(), random);
    std::size_t tried = 0;
    for (const Json::json_pointer& at : all) {
        const std::string pointer = at.to_string();
        if (pointer.starts_with("/track") || pointer.starts_with("/caution") || pointer == "/kind" ||
            pointer == "/schema_version" || pointer.find("/says") != std::string::npos) {
            continue;
        }
        Json bad = good;
        bad[at] = good[at].is_object() || good[at].is_array() ? Json("no") : Json::array({1});
        const std::vector<base::Error> errors = errors_of(bad.dump());
        ASSERT_FALSE(errors.empty()) << pointer;
        bool told = false;
        for (const base::Error& error : errors) {
            ASSERT_TRUE(codes_of_values.contains(error.code)) << base::to_text(error);
            told = told || error.where == "c.json#" + pointer;
        }
        EXPECT_TRUE(told) << pointer << "\n" << all_of(errors);
        if (++tried == 100) {
            break;
        }
    }
    EXPECT_EQ(tried, 100U);
}

TEST(LawCardJson, AMissingPropertyIsToldInItsObject) {
    const Json good = Json::parse(written(example()));
    std::vector<Json::json_pointer> all;
    collect(good, Json::json_pointer(), all);
    std::mt19937_64 random(6);
    std::shuffle(all.begin(), all.end(), random);
    const std::set<std::string> may_be_left_out{"remedy", "step", "visibility_sm"};
    std::size_t tried = 0;
    for (const Json::json_pointer& at : all) {
        const Json::json_pointer parent = at.parent_pointer();
        if (!good[parent].is_object() || at.to_string().starts_with("/track/") || at.to_string() == "/kind" ||
            at.to_string() == "/schema_version" || may_be_left_out.contains(at.back())) {
            continue;
        }
        Json bad = good;
        bad[parent].erase(at.back());
        const std::vector<base::Error> errors = errors_of(bad.dump());
        const bool told = std::any_of(errors.begin(), errors.end(), [&](const base::Error& error) {
            return error.where == "c.json#" + parent.to_string() && error.code == "card.missing";
        });
        EXPECT_TRUE(told) << at << "\n" << all_of(errors);
        if (++tried == 100) {
            break;
        }
    }
    EXPECT_EQ(tried, 100U);
}

TEST(CaseCardJson, EachBrokenCardIsToldInItsPlaces) {
    const auto expected = expected_errors("tests/broken/card-expected.txt");
    std::size_t files = 0;
    for (const auto& entry : std::filesystem::directory_iterator("tests/broken")) {
        const std::string name = entry.path().filename().string();
        if (!name.starts_with("card-") || name == "card-expected.txt") {
            continue;
        }
        SCOPED_TRACE(name);
        ++files;
        std::ifstream stream(entry.path(), std::ios::binary);
        const std::string text{std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
        const auto read = parse_card(text, name);
        if (name == "card-good.json") {
            EXPECT_TRUE(read) << all_of(read.error());
            continue;
        }
        ASSERT_TRUE(expected.contains(name)) << "card-expected.txt says nothing of it";
        ASSERT_FALSE(read);
        const std::vector<ExpectedError>& wanted = expected.at(name);
        ASSERT_EQ(read.error().size(), wanted.size()) << all_of(read.error());
        for (std::size_t i = 0; i < wanted.size(); ++i) {
            EXPECT_EQ(read.error()[i].code, wanted[i].code) << all_of(read.error());
            EXPECT_EQ(read.error()[i].where, wanted[i].place == "-" ? name : name + wanted[i].place);
            EXPECT_THAT(read.error()[i].message, HasSubstr(wanted[i].words));
        }
    }
    EXPECT_EQ(files, expected.size() + 1);
    EXPECT_GE(files, 12U);
}

TEST(CaseCardJson, ACardOfAnotherAtlasIsToldByItsFiles) {
    const CardDocument document = example();
    EXPECT_FALSE(other_atlas(document, document.sources, "c.json"));
    std::vector<navdata::Source> other = document.sources;
    other.front().checksum = "11ee";
    other.front().validity = "2027-01-21 to 2027-02-17";
    const auto error = other_atlas(document, other, "c.json");
    ASSERT_TRUE(error);
    EXPECT_EQ(error->code, "card.other_atlas");
    EXPECT_THAT(error->message, HasSubstr("2027-01-21"));
    EXPECT_THAT(error->message, HasSubstr("2026-11-26"));
    EXPECT_TRUE(other_atlas(document, {}, "c.json"));
}

TEST(CaseCardJson, NoMoreThanTwentyFaultsAreTold) {
    Json bad = Json::parse(written(example()));
    for (Json& step : bad["card"]["steps"]) {
        for (Json& work : step["work"]) {
            work["kind"] = "no";
        }
    }
    EXPECT_EQ(errors_of(bad.dump()).size(), 20U);
}

// No two parts of a card read the same, though they differ in one value only.
template <class Part>
void reads_differently_when_altered(const std::vector<Part>& parts) {
    std::set<std::string> texts;
    for (const Part& part : parts) {
        const std::string text = detail::text_of(part);
        EXPECT_TRUE(texts.insert(text).second) << text;
        EXPECT_FALSE(text.empty());
        for (int at = 0;; ++at) {
            Part other = part;
            detail::Altering way(at);
            detail::fields(way, other);
            if (!way.done()) {
                break;
            }
            if (other != part) {
                EXPECT_NE(detail::text_of(other), text) << "value " << at;
            }
        }
    }
}

TEST(LawStepWording, PartsThatDifferInOneValueReadDifferently) {
    reads_differently_when_altered(testing::every_guidance());
    reads_differently_when_altered(testing::every_end());
    reads_differently_when_altered(testing::every_check());
    reads_differently_when_altered(testing::every_notice());
    reads_differently_when_altered(testing::every_work());
}

}  // namespace omniway::wire
