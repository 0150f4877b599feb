#include "app/nav_log.hpp"

#include <algorithm>
#include <charconv>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"

namespace omniway::app {

using base::Error;
using base::Instant;
using Faults = std::vector<Error>;

namespace {

constexpr const char* no_alternate = "none";
constexpr base::Duration half_a_day = base::minutes(12.0 * 60.0);
constexpr double greatest_drift_deg = 45.0;

struct TypedPassage {
    std::string name;
    base::ClockTime time;
    std::optional<base::Angle> drift;
    std::string text;
};

Error passage_form(const std::string& text) {
    return {"app.passage_form",
            fmt::format("{} is no passage: a point of the log and the time over it are expected, as "
                        "XOBAN=14:07, or with the "
                        "drift seen, XOBAN=14:07/4R, at most {:.0f} degrees",
                        base::in_quotes(text), greatest_drift_deg),
            "--over"};
}

// "4R", "2.5L": to which side the track leaves the heading.
std::optional<base::Angle> drift_of(std::string_view text) {
    double degrees = 0.0;
    const char* const end = text.data() + text.size();
    const auto [stop, problem] = std::from_chars(text.data(), end, degrees);
    if (problem != std::errc() || stop + 1 != end || !(degrees >= 0.0) || degrees > greatest_drift_deg ||
        (*stop != 'L' && *stop != 'R')) {
        return std::nullopt;
    }
    return base::Angle::degrees(*stop == 'R' ? degrees : -degrees);
}

base::Result<TypedPassage> typed_passage(const std::string& text) {
    const std::size_t equals = text.rfind('=');
    if (equals == std::string::npos || equals == 0) {
        return tl::unexpected(passage_form(text));
    }
    TypedPassage typed;
    typed.text = text;
    typed.name = text.substr(0, equals);
    std::string time = text.substr(equals + 1);
    if (const std::size_t stroke = time.find('/'); stroke != std::string::npos) {
        typed.drift = drift_of(std::string_view(time).substr(stroke + 1));
        if (!typed.drift) {
            return tl::unexpected(passage_form(text));
        }
        time.resize(stroke);
    }
    const auto read = base::parse_clock_time(time, "--over " + text);
    if (!read) {
        return tl::unexpected(read.error());
    }
    typed.time = *read;
    return typed;
}

class PassageReader {
public:
    PassageReader(const plan::NavLog& log, const std::string& departure, std::chrono::sys_days day)
        : log_(log), departure_(departure), day_(day) {
        if (log.take_off) {
            passages_.push_back({0, *log.take_off, std::nullopt});
        }
    }

    base::Result<std::vector<plan::Passage>> read(const std::vector<std::string>& over) {
        for (const std::string& text : over) {
            const auto typed = typed_passage(text);
            if (!typed) {
                return tl::unexpected(typed.error());
            }
            if (const auto fault = take(*typed)) {
                return tl::unexpected(*fault);
            }
        }
        return passages_;
    }

private:
    std::optional<Error> take(const TypedPassage& typed) {
        const bool departing = typed.name == departure_;
        if (departing && names_.empty()) {
            const Instant at = passages_.empty()
                                   ? base::instant_of(typed.time, day_)
                                   : base::first_not_before(typed.time, passages_.front().at - half_a_day);
            passages_ = {{0, at, std::nullopt}};
            names_ = {typed.name};
            return std::nullopt;
        }
        const std::size_t flown = passages_.empty() ? 0 : passages_.back().row;
        const auto row = row_after(typed.name, flown);
        if (!row) {
            return not_ahead(typed);
        }
        const Instant at = passages_.empty() ? base::instant_of(typed.time, day_)
                                             : base::first_not_before(typed.time, passages_.back().at);
        if (!passages_.empty() && (at <= passages_.back().at || at - passages_.back().at > half_a_day)) {
            return Error{"app.passage_order",
                         fmt::format("{} is not after {}, {}: times are given in UTC, in the order flown",
                                     typed.text, before(), base::date_and_clock_text(passages_.back().at)),
                         "--over"};
        }
        passages_.push_back({*row, at, typed.drift});
        names_.push_back(typed.name);
        return std::nullopt;
    }

    std::string before() const {
        return names_.empty() ? "the take-off" : "the passage over " + names_.back();
    }

    std::optional<std::size_t> row_after(const std::string& name, std::size_t flown) const {
        for (std::size_t i = flown; i < log_.rows.size(); ++i) {
            if (log_.rows[i].to == name) {
                return i + 1;
            }
        }
        return std::nullopt;
    }

    Error not_ahead(const TypedPassage& typed) const {
        std::vector<std::string> points;
        for (const plan::NavLogRow& row : log_.rows) {
            points.push_back(row.to);
        }
        if (std::find(points.begin(), points.end(), typed.name) != points.end() || typed.name == departure_) {
            return {
                "app.passage_order",
                fmt::format("{} lies before the passage given before it: give passages in the order flown",
                            typed.name),
                "--over"};
        }
        const std::string near = base::did_you_mean(base::near_matches(typed.name, points));
        std::string all;
        for (const std::string& each : points) {
            all += (all.empty() ? "" : ", ") + each;
        }
        return {"app.unknown_passage",
                fmt::format("{} is no point of this log{}", base::in_quotes(typed.name),
                            near.empty() ? ": " + all : "; " + near),
                "--over"};
    }

    const plan::NavLog& log_;
    const std::string& departure_;
    std::chrono::sys_days day_;
    std::vector<plan::Passage> passages_;
    std::vector<std::string> names_;  // as typed
};

Error implausible(const plan::NavLog& log, const std::vector<plan::Passage>& passages,
                  const plan::ImplausiblePassage& found) {
    const plan::Passage& passage = passages[found.which];
    return {
        "app.passage_implausible",
        fmt::format(
            "{} at {} would be {:.0f} kt over the ground since the passage before, with {:.0f} kt true "
            "airspeed: the "
            "wind would differ by more than {:.0f} kt from the forecast; check the time, and give --winds",
            log.rows[passage.row - 1].to, base::clock_text(passage.at), found.groundspeed.knots(),
            found.airspeed.knots(), plan::greatest_change_of_wind.knots()),
        "--over"};
}

plan::NavLogQuestion question_of(const NavLogQuestion& asked, std::optional<Instant> take_off) {
    plan::NavLogQuestion question;
    question.alternate = !asked.alternate                   ? plan::AlternateAsked::not_said
                         : *asked.alternate == no_alternate ? plan::AlternateAsked::not_needed
                                                            : plan::AlternateAsked::given;
    question.alternate_ident = asked.alternate.value_or("");
    question.take_off = take_off;
    return question;
}

}  // namespace

tl::expected<NavLogged, Faults> nav_log(const std::string& atlas, const Shipped& shipped,
                                        const PlanQuestion& question, const NavLogQuestion& asked) {
    std::optional<Instant> take_off;
    if (asked.depart) {
        const auto time = base::parse_clock_time(*asked.depart, "--depart");
        if (!time) {
            return tl::unexpected(Faults{time.error()});
        }
        take_off = base::instant_of(*time, asked.day);
    }
    for (const std::string& over : asked.over) {
        if (const auto typed = typed_passage(over); !typed) {
            return tl::unexpected(Faults{typed.error()});
        }
    }
    PlanQuestion with_alternate = question;
    if (asked.alternate && *asked.alternate != no_alternate) {
        with_alternate.alternate = asked.alternate;
    }
    auto planned = plan_flight(atlas, shipped, with_alternate);
    if (!planned) {
        return tl::unexpected(planned.error());
    }
    NavLogged logged;
    logged.planned = std::move(*planned);
    if (!logged.planned.answer.option) {
        return logged;
    }
    const plan::Request& request = logged.planned.request;
    const plan::Option& option = *logged.planned.answer.option;
    plan::NavLog log =
        plan::nav_log(request.aircraft, *logged.planned.world.model, request.today, request.winds,
                      option.flight, option.compiled.track, question_of(asked, take_off));
    const std::string& departure = (*logged.planned.world.snapshot)[request.from].ident;
    const auto passages = PassageReader(log, departure, asked.day).read(asked.over);
    if (!passages) {
        return tl::unexpected(Faults{passages.error()});
    }
    auto flown = plan::as_flown(log, *passages);
    if (const auto* not_believed = std::get_if<plan::ImplausiblePassage>(&flown)) {
        return tl::unexpected(Faults{implausible(log, *passages, *not_believed)});
    }
    logged.log = std::get<plan::NavLog>(std::move(flown));
    plan::Answer& answer = logged.planned.answer;
    answer.findings.insert(answer.findings.end(), logged.log->findings.begin(), logged.log->findings.end());
    base::rank(answer.findings);
    answer.verdict = base::verdict_of(answer.findings);
    return logged;
}

}  // namespace omniway::app
