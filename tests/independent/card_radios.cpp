// The radios of a card replayed knob by knob from lining up: what stands on each set at every moment, since when it is identified,
// and whether that is what guides, tells and checks. From the rules of admission and the times of trade-facts 21 (from tuning to
// identified: VOR 40 s, DME 60 s, NDB 45 s, localizer 20 s); nothing of src/.

#include <limits>

#include "card_document.hpp"

namespace independent {

namespace {

constexpr double always = -1e9;
constexpr double clock_s = 3.0;  // times on paper are whole seconds, and add up

struct Tuned {
    double at{};
    Json aid;  // null: nothing of use
};
struct CourseSet {
    double at{};
    std::optional<double> course;
};
struct Selected {
    double at{};
    std::string from;
    int receiver{};
    Json of;  // held
};
struct Span {
    double from{}, to{};
    std::string why;
};

bool same(const Json& a, const Json& b) {
    if (!a.is_object() || !b.is_object()) {
        return !a.is_object() && !b.is_object();
    }
    return a.value("ident", "") == b.value("ident", "") && a.value("kind", "") == b.value("kind", "");
}

std::string shown(const Json& aid) {
    return aid.is_object() ? name_of(aid) : "nothing";
}

template <typename Event>
const Event* last_before(const std::vector<Event>& events, double time) {
    const Event* found = nullptr;
    for (const Event& event : events) {
        found = event.at <= time ? &event : found;
    }
    return found;
}

class Replay {
public:
    Replay(const Document& document, const AtlasRows& atlas, Ledger& ledger)
        : document_(document), atlas_(atlas), ledger_(ledger), aids_(atlas, document, ledger) {}

    void run() {
        forbid();
        line_up();
        for (const StepOnPaper& step : document_.steps) {
            name(step);
            std::vector<Picture> pictures{picture()};
            handed_s_ = step.begins_s;
            for (const Json& work : step.card.at("work")) {
                turn(step, work);
                if (work.contains("after") && work.at("after").value("end_of_step", -1) == step.number - 1) {
                    pictures.push_back(picture());
                }
            }
            stands(step, pictures);
        }
        for (std::size_t i = 0; i < document_.steps.size(); ++i) {
            name(document_.steps[i]);
            uses(document_.steps[i]);
        }
    }

private:
    void name(const StepOnPaper& step) {
        ledger_.at("step " + std::to_string(step.number) + " (" + step.card.value("via", "") + ")");
    }

    // When nothing is retuned.

    double elevation(const std::string& airport) const {
        const auto found = atlas_.elevations_ft.find(airport);
        return found == atlas_.elevations_ft.end() ? 0.0 : found->second;
    }

    // The part of a step in which it is below an altitude, climbing or descending evenly.
    static std::optional<Span> below(const StepOnPaper& step, double altitude_ft) {
        const double a = step.start_ft, b = step.end_ft;
        if (a >= altitude_ft && b >= altitude_ft) {
            return std::nullopt;
        }
        const double share = a == b ? 1.0 : std::clamp((altitude_ft - a) / (b - a), 0.0, 1.0);
        const double between_s = step.begins_s + share * (step.ends_s - step.begins_s);
        return a < altitude_ft
                   ? Span{step.begins_s, b < altitude_ft ? step.ends_s : between_s, "below 500 ft"}
                   : Span{between_s, step.ends_s, "below 500 ft"};
    }

    void forbid() {
        const StepOnPaper* before = nullptr;
        const StepOnPaper* last = nullptr;  // to end at the final fix: a reversal may cross it before
        for (const StepOnPaper& step : document_.steps) {
            const bool at_fix = !step.missed && step.card.value("to", "") == document_.final_fix;
            last = at_fix && step.track.at("end").at("kind") != "hold" ? &step : last;
        }
        for (const StepOnPaper& step : document_.steps) {
            const bool departs = step.card.value("phase", "") == "departure";
            const bool lands = step.missed || step.card.value("phase", "") == "approach";
            if (departs || lands) {
                if (const auto low =
                        below(step, elevation(departs ? document_.from : document_.to) + 500.0)) {
                    forbidden_.push_back(*low);
                }
            }
            if (before != nullptr && before->track.at("distance_nm") > 0.05 &&
                step.track.at("distance_nm") > 0.05) {
                const double turned = std::abs(apart(step.track.at("track_true_deg"),
                                                     between(before->start, before->finish).finish_deg));
                const double airspeed = step.track.at("true_airspeed_kt");
                // 3 degrees a second, at most what 25 degrees of bank make; half of the turn comes before the fix.
                const double rate = std::min(3.0, 509.26 / std::max(1.0, airspeed));
                const bool straight = before->kind() != "follow_arc" && before->kind() != "reverse_course" &&
                                      before->kind() != "fly_hold";
                if (turned > 10.0 && straight) {
                    forbidden_.push_back({step.begins_s, step.begins_s + turned / rate / 2.0, "in a turn"});
                }
            }
            if (&step == last && !document_.final_fix.empty()) {
                forbidden_.push_back(
                    {step.ends_s - 120.0, step.ends_s, "in the last 2 minutes before the final fix"});
            }
            before = &step;
        }
    }

    // The first moment from which nothing forbids it.
    double first_free(double from) const {
        for (bool moved = true; moved;) {
            moved = false;
            for (const Span& span : forbidden_) {
                if (from >= span.from - 0.5 && from < span.to - 0.5) {
                    from = span.to;
                    moved = true;
                }
            }
        }
        return from;
    }

    // The sets.

    void line_up() {
        const Json& radios = document_.card.at("lined_up");
        ledger_.at("lined up");
        for (const Json& set : radios.at("receivers")) {
            const int number = set.value("number", 0);
            aboard("receiver", number, set.value("active", Json()));
            receivers_[number] = {{always, set.value("active", Json())}};
            courses_[number] = {{always, figure(set, "course_deg")}};
            standby_[number] = set.value("standby", Json());
        }
        if (const Json distance = radios.value("distance", Json()); distance.is_object()) {
            ledger_.holds("set.aboard", !document_.aboard.dme.empty(), "a DME is aboard");
            own_ = {{always, distance.value("of", Json())}};
            selected_ = {{always, distance.value("from", ""), distance.value("receiver", 0),
                          distance.value("of", Json())}};
        }
        if (const Json adf = radios.value("adf", Json()); adf.is_object()) {
            ledger_.holds("set.aboard", !document_.aboard.adf.empty(), "an ADF is aboard");
            adf_ = {{always, adf.value("aid", Json())}};
        }
        ledger_.near("set.aboard", static_cast<double>(radios.at("receivers").size()),
                     static_cast<double>(document_.aboard.receivers.size()), 0.0, "receivers on the card");
        for (const Json& work : document_.card.at("before_take_off")) {
            ledger_.holds("retune.before", work.value("kind", "") != "tune",
                          "the picture when lined up is the one tuned before");
        }
    }

    void aboard(const std::string& set, int number, const Json& aid) {
        const auto& all = document_.aboard.receivers;
        if (set == "dme") {
            ledger_.same("set.aboard", document_.aboard.dme, "own_control",
                         "the DME that is tuned by itself");
            return;
        }
        if (set == "adf") {
            ledger_.holds("set.aboard", !document_.aboard.adf.empty(), "an ADF is aboard");
            ledger_.holds("set.takes", !aid.is_object() || aid.value("kind", "").starts_with("NDB"),
                          "an ADF takes " + shown(aid));
            return;
        }
        const bool there = number >= 1 && number <= static_cast<int>(all.size());
        ledger_.holds("set.aboard", there, "receiver " + std::to_string(number) + " is aboard");
        if (there && aid.is_object()) {
            const std::string kind = aid.value("kind", "");
            const bool localizer = kind.starts_with("ILS") || kind.starts_with("LOC") ||
                                   kind.starts_with("LDA") || kind.starts_with("SDF");
            const bool follows = document_.aboard.dme.starts_with("follows");
            const bool takes = kind.starts_with("VOR") ||
                               (localizer && (all[static_cast<std::size_t>(number - 1)].localizer ||
                                              (follows && kind.ends_with("DME")))) ||
                               (is_distance_only(kind) && follows);
            ledger_.holds("set.takes", takes, "receiver " + std::to_string(number) + " takes " + shown(aid));
        }
    }

    static bool is_distance_only(const std::string& kind) { return kind == "DME" || kind == "TACAN"; }

    // What stands where, with all knobs turned that have been so far.
    struct Picture {
        std::map<int, Json> active, standby, left;
        std::map<int, std::optional<double>> course;
        Json distance, adf;
    };
    Picture picture() const {
        constexpr double after_all = std::numeric_limits<double>::max();
        Picture now;
        for (const auto& [number, events] : receivers_) {
            now.active[number] = events.back().aid;
        }
        for (const auto& [number, events] : courses_) {
            now.course[number] = events.back().course;
        }
        now.standby = standby_;
        now.left = left_;
        now.distance = distance_at(after_all);
        now.adf = adf_.empty() ? Json() : adf_.back().aid;
        return now;
    }

    // What the card prints of the sets when a step begins, against the knobs turned so far; what is turned on the event that begins
    // it may be shown as done or as still to do.
    void stands(const StepOnPaper& step, const std::vector<Picture>& pictures) {
        const Json& radios = step.card.at("radios");
        const auto guiding = std::count_if(radios.at("receivers").begin(), radios.at("receivers").end(),
                                           [](const Json& set) { return set.value("role", "") == "guides"; });
        ledger_.at_most("radios.one_guides", static_cast<double>(guiding), 1.0,
                        "receivers said to guide when it begins");
        const auto either = [&](auto of, const Json& printed, const std::string& set) {
            const bool left = std::any_of(pictures.begin(), pictures.end(),
                                          [&](const Picture& p) { return same(of(p), printed); });
            ledger_.holds("radios.replayed", left,
                          set + " is printed on " + shown(printed) + ", the knobs left it on " +
                              shown(of(pictures.front())));
        };
        for (const Json& set : radios.at("receivers")) {
            const int number = set.value("number", 0);
            const std::string name = "receiver " + std::to_string(number);
            const auto at = [number](const std::map<int, Json>& all) {
                const auto found = all.find(number);
                return found == all.end() ? Json() : found->second;
            };
            either([&](const Picture& p) { return at(p.active); }, set.value("active", Json()), name);
            if (const auto course = figure(set, "course_deg")) {
                const auto set_to = [&](const Picture& p) {
                    const auto found = p.course.find(number);
                    return found != p.course.end() && found->second &&
                           std::abs(apart(*found->second, *course)) < 0.01;
                };
                ledger_.holds("radios.replayed", std::any_of(pictures.begin(), pictures.end(), set_to),
                              "course " + std::to_string(*course) + " on " + name + " was set");
            }
            const Json standby = set.value("standby", Json());
            bool put = !standby.is_object();
            for (const Picture& p : pictures) {
                put = put || same(standby, at(p.standby)) || same(standby, at(p.left));
            }
            ledger_.holds("radios.replayed", put,
                          shown(standby) + " waits on " + name + " because it was put there");
        }
        if (const Json distance = radios.value("distance", Json()); distance.is_object()) {
            either([](const Picture& p) { return p.distance; }, distance.value("of", Json()), "the DME");
        }
        if (const Json adf = radios.value("adf", Json()); adf.is_object()) {
            either([](const Picture& p) { return p.adf; }, adf.value("aid", Json()), "the ADF");
        }
    }

    // The end of a step by its number; 0 is lining up.
    std::optional<double> event(const Json& named) {
        const int number = named.value("end_of_step", -1);
        if (number == 0) {
            return 0.0;
        }
        const StepOnPaper* step = document_.numbered(number);
        ledger_.holds("work.event", step != nullptr,
                      "step " + std::to_string(number) + " of an event is on the card");
        return step == nullptr ? std::nullopt : std::optional(step->ends_s);
    }

    static double to_identify(const std::string& set, const Json& aid) {
        const std::string kind = aid.value("kind", "");
        return set == "dme"              ? 60.0
               : set == "adf"            ? 45.0
               : kind.starts_with("VOR") ? 40.0
               : is_distance_only(kind)  ? 60.0
                                         : 20.0;
    }

    void turn(const StepOnPaper& step, const Json& work) {
        const std::string kind = work.value("kind", "");
        if (kind == "tune") {
            tune(step, work);
        } else if (kind == "preselect") {
            const int number = work.at("set").value("number", 0);
            aids_.check(work.at("aid"), step.finish);
            aboard(work.at("set").value("kind", ""), number, work.at("aid"));
            standby_[number] = work.at("aid");
        } else if (kind == "set_course") {
            const int number = work.value("receiver", 0);
            aboard("receiver", number, Json());
            if (const auto after = event(work.at("after"))) {
                courses_[number].push_back(
                    {std::max({*after, step.begins_s, handed_s_}), figure(work, "course_deg")});
            }
        } else if (kind == "select_distance") {
            select(step, work);
        } else if (kind == "guide_by") {
            const int number = work.value("receiver", 0);
            const Tuned* now = last_before(receivers_[number], step.ends_s);
            ledger_.holds(
                "guidance.handed", now != nullptr && same(now->aid, work.at("aid")),
                "receiver " + std::to_string(number) + ", which takes over, is on " + shown(work.at("aid")));
            // What stands behind it in the list is done when it is.
            if (now != nullptr && same(now->aid, work.at("aid"))) {
                handed_s_ = std::max(handed_s_, now->at + to_identify("receiver", now->aid));
            }
        }
    }

    void tune(const StepOnPaper& step, const Json& work) {
        const std::string set = work.at("set").value("kind", "");
        const int number = work.at("set").value("number", 0);
        const Json& aid = work.at("aid");
        aids_.check(aid, step.finish);
        aboard(set, number, aid);
        const auto after = event(work.at("after")), before = event(work.at("before"));
        if (!after || !before) {
            return;
        }
        ledger_.at_most("work.order", *after, step.ends_s + clock_s,
                        "time of the event after which " + shown(aid) + " is tuned");
        const double earliest = std::max({*after, step.begins_s, handed_s_});
        const double identify = to_identify(set, aid);
        const double free = first_free(earliest);
        ledger_.at_least("ident.in_time", *before + clock_s - identify, earliest,
                         "latest moment to tune " + shown(aid) + ", " +
                             std::to_string(static_cast<int>(identify)) + " s before it is needed,");
        if (earliest + identify <= *before + clock_s) {
            ledger_.at_least("retune.forbidden", *before + clock_s - identify, free,
                             "latest moment to tune " + shown(aid) + " where a moment is free");
        }
        const double slack = figure(work, "slack_s").value_or(-1.0);
        ledger_.at_least("slack", slack, 0.0, "slack");
        ledger_.at_most("slack", slack, *before - std::max(*after, 0.0) - identify + clock_s,
                        "slack until " + shown(aid) + " is needed");
        std::vector<Tuned>& on = set == "dme" ? own_ : set == "adf" ? adf_ : receivers_[number];
        if (set == "receiver") {
            left_[number] = on.empty() ? Json() : on.back().aid;
        }
        on.push_back({free, aid});
        last_knob_s_ = free;
    }

    void select(const StepOnPaper& step, const Json& work) {
        const std::string from = work.value("from", "");
        const std::string& control = document_.aboard.dme;
        ledger_.holds("set.aboard",
                      from == "own_channel" ? control == "own_control"
                      : from == "held"      ? control == "follows_receiver_with_hold"
                                            : control.starts_with("follows"),
                      "the switch of the DME has the position " + from);
        const auto after = event(work.at("after"));
        if (!after) {
            return;
        }
        // The work is done in its order: not before the knob that was turned last.
        const double when = std::max({*after, step.begins_s, handed_s_, last_knob_s_});
        if (from == "held") {
            ledger_.holds("dme.whose", same(work.at("of"), distance_at(when)),
                          "what is held (" + shown(work.at("of")) + ") is what was shown (" +
                              shown(distance_at(when)) + ")");
        }
        selected_.push_back({when, from, work.value("receiver", 0), work.at("of")});
        if (from != "held") {
            ledger_.holds("dme.whose", same(work.at("of"), distance_at(when)),
                          "the switch brings " + shown(work.at("of")));
        }
    }

    Json distance_at(double time) const {
        const Selected* how = last_before(selected_, time);
        if (how == nullptr) {
            return Json();
        }
        if (how->from == "held") {
            return how->of;
        }
        if (how->from == "own_channel") {
            const Tuned* own = last_before(own_, time);
            return own == nullptr ? Json() : own->aid;
        }
        const auto set = receivers_.find(how->receiver);
        const Tuned* followed = set == receivers_.end() ? nullptr : last_before(set->second, time);
        // A VOR without a DME shows no distance, and so says the card.
        return followed == nullptr || !sends_distance(followed->aid) ? Json() : followed->aid;
    }

    static bool sends_distance(const Json& aid) {
        return aid.is_object() &&
               (aid.value("kind", "").ends_with("DME") || aid.value("kind", "") == "TACAN");
    }

    // Since when the distance shown is identified.
    double distance_since(double time) const {
        const Selected* how = last_before(selected_, time);
        if (how == nullptr) {
            return std::numeric_limits<double>::max();
        }
        if (how->from == "own_channel") {
            const Tuned* own = last_before(own_, time);
            return own == nullptr ? std::numeric_limits<double>::max() : own->at + 60.0;
        }
        // Held: it was identified on the receiver before.
        if (how->from == "held") {
            return how->at;
        }
        const auto set = receivers_.find(how->receiver);
        const Tuned* followed = set == receivers_.end() ? nullptr : last_before(set->second, time);
        if (followed == nullptr) {
            return std::numeric_limits<double>::max();
        }
        // From one receiver to another on the same channel the interrogator notices nothing: it goes on with what was identified before.
        const double before = how->at - 0.5;
        const bool kept = followed->at <= how->at && same(distance_at(before), followed->aid);
        return kept ? std::min(followed->at + 60.0, distance_since(before)) : followed->at + 60.0;
    }

    // What the sets are for.

    void uses(const StepOnPaper& step) {
        guided(step);
        const Json& end = step.end();
        const std::string kind = step.end_kind();
        if (!end.is_object()) {
            return;
        }
        if (kind == "reading_reached") {
            distance_shown(end.value("aid", Json()), step.ends_s, "ends it");
        } else if (kind == "change_over" && end.value("reading_of", Json()).is_object()) {
            distance_shown(end.at("reading_of"), step.ends_s, "changes over");
        } else if (kind == "radial_centres") {
            azimuth_shown(end.value("aid", Json()), step.ends_s, "ends it", figure(end, "course_deg"));
        } else if (kind == "needle_alive") {
            // It is identified when it is heard: by the time it guides.
            azimuth_shown(end.value("aid", Json()), step.ends_s, "ends it", std::nullopt, false);
        } else if (kind == "localizer_centres") {
            azimuth_shown(end.value("aid", Json()), step.ends_s, "ends it", std::nullopt);
        } else if (kind == "bearing_reached" || kind == "station_passage") {
            azimuth_shown(end.value("aid", Json()), step.ends_s, "ends it", std::nullopt);
        }
        const Json check = step.card.value("check", Json());
        if (check.is_object() && check.value("kind", "") == "reading_check") {
            distance_shown(check.value("aid", Json()), step.ends_s, "checks it");
        } else if (check.is_object() && check.contains("aid")) {
            azimuth_shown(check.at("aid"), step.ends_s, "checks it", std::nullopt);
        }
        if (kind == "glideslope_centres" || kind == "minimums" ||
            step.guidance().value("glideslope", false)) {
            glideslope_shown(step);
        }
    }

    void glideslope_shown(const StepOnPaper& step) {
        bool shows = false;
        for (const auto& [number, events] : receivers_) {
            const Tuned* now = last_before(events, step.ends_s - clock_s);
            shows = shows || (now != nullptr && same(now->aid, step.guidance().value("aid", Json())) &&
                              number >= 1 && number <= static_cast<int>(document_.aboard.receivers.size()) &&
                              document_.aboard.receivers[static_cast<std::size_t>(number - 1)].glideslope);
        }
        ledger_.holds("glideslope.shown", shows, "a receiver with a glideslope needle is on what guides");
    }

    void distance_shown(const Json& aid, double time, const std::string& use) {
        const Json there = distance_at(time - 0.5);
        ledger_.holds("dme.whose", same(there, aid),
                      "the DME shows " + shown(there) + ", and " + shown(aid) + " " + use);
        if (same(there, aid)) {
            ledger_.at_most("ident.in_time", distance_since(time - 0.5), time + clock_s,
                            "the DME of " + shown(aid) + " identified at");
        }
    }

    void azimuth_shown(const Json& aid, double time, const std::string& use, std::optional<double> course,
                       bool identified = true) {
        if (aid.value("kind", "").starts_with("NDB")) {
            const Tuned* now = last_before(adf_, time - 0.5);
            ledger_.holds("tell.tuned", now != nullptr && same(now->aid, aid),
                          "the ADF is on " + shown(aid) + ", which " + use);
            if (identified && now != nullptr && same(now->aid, aid)) {
                ledger_.at_most("ident.in_time", now->at + 45.0, time + clock_s,
                                shown(aid) + " identified at");
            }
            return;
        }
        double since = std::numeric_limits<double>::max();
        bool tuned = false, courses = false;
        for (const auto& [number, events] : receivers_) {
            const Tuned* now = last_before(events, time - 0.5);
            if (now != nullptr && same(now->aid, aid)) {
                tuned = true;
                since = std::min(since, now->at + to_identify("receiver", aid));
                const auto turned = courses_.find(number);
                const CourseSet* set =
                    turned == courses_.end() ? nullptr : last_before(turned->second, time - 0.5);
                courses = courses || (course && set != nullptr && set->course &&
                                      std::abs(apart(*set->course, *course)) < 0.6);
            }
        }
        ledger_.holds("tell.tuned", tuned, "a receiver is on " + shown(aid) + ", which " + use);
        if (tuned) {
            if (identified) {
                ledger_.at_most("ident.in_time", since, time + clock_s, shown(aid) + " identified at");
            }
            if (course) {
                ledger_.holds("course.on_receiver", courses,
                              "the course " + std::to_string(*course) + " of " + shown(aid) +
                                  " is set where it " + use);
            }
        }
    }

    static std::optional<double> course_to_set(const Json& guidance) {
        const std::string kind = guidance.value("kind", "");
        return kind == "follow_radial"      ? figure(guidance, "course_deg")
               : kind == "follow_localizer" ? figure(guidance, "front_course_deg")
                                            : std::nullopt;
    }

    // From the step's beginning to its end on one set, or handed over to another that has it identified by then.
    void guided(const StepOnPaper& step) {
        const Json aid = step.guidance().value("aid", Json());
        if (!aid.is_object()) {
            return;
        }
        const std::string kind = step.kind();
        if (kind == "follow_arc") {
            distance_shown(aid, step.begins_s + 1.0, "guides the arc");
            distance_shown(aid, step.ends_s, "guides the arc");
            return;
        }
        double late = 0.0;
        for (const Json& work : step.card.at("work")) {
            if (work.value("kind", "") == "hold_heading_while_tuning") {
                late = figure(work, "time_s").value_or(0.0);
                ledger_.at_most("guidance.late", late, document_.dead_reckoning_s,
                                "seconds by heading while tuning");
            }
        }
        if (aid.value("kind", "").starts_with("NDB")) {
            std::map<int, std::vector<Tuned>> one{{0, adf_}};
            covered(step, aid, one, 45.0, late);
        } else {
            covered(step, aid, receivers_, to_identify("receiver", aid), late);
            if (const auto course = course_to_set(step.guidance())) {
                course_on(step, aid, *course, late);
            }
        }
    }

    void covered(const StepOnPaper& step, const Json& aid, const std::map<int, std::vector<Tuned>>& sets,
                 double identify, double late) {
        const double begins = step.begins_s + 0.5;
        double from = begins + late;
        bool first = true;
        while (from < step.ends_s - 0.5 || first) {
            double until = -1.0, since = std::numeric_limits<double>::max();
            for (const auto& [number, events] : sets) {
                const Tuned* now = last_before(events, from);
                if (now == nullptr || !same(now->aid, aid)) {
                    continue;
                }
                double leaves = std::numeric_limits<double>::max();
                for (const Tuned& event : events) {
                    if (event.at > now->at && !same(event.aid, aid)) {
                        leaves = std::min(leaves, event.at);
                    }
                }
                // The set that has it identified and keeps it longest.
                if (now->at + identify <= from + clock_s && leaves > until) {
                    until = leaves;
                }
                since = std::min(since, now->at + identify);
            }
            if (first) {
                ledger_.holds("guidance.tuned", since < std::numeric_limits<double>::max(),
                              "a set is on " + shown(aid) + " when the step begins");
                if (since == std::numeric_limits<double>::max()) {
                    return;
                }
                ledger_.at_most("ident.in_time", since, from + clock_s,
                                shown(aid) + ", which guides, identified at");
            }
            first = false;
            if (until < 0.0) {
                return;
            }
            if (until < step.ends_s - clock_s) {
                // Another must have it at that moment.
                bool handed = false;
                for (const auto& [number, events] : sets) {
                    const Tuned* now = last_before(events, until);
                    handed = handed ||
                             (now != nullptr && same(now->aid, aid) && now->at + identify <= until + clock_s);
                }
                ledger_.holds("guidance.taken", handed,
                              shown(aid) + " guides until " + std::to_string(step.ends_s) +
                                  " s and is taken away at " + std::to_string(until) + " s");
                if (!handed) {
                    return;
                }
            } else {
                ledger_.holds("guidance.taken", true, shown(aid) + " guides to the end");
            }
            from = std::max(from, until) + 0.5;
        }
    }

    void course_on(const StepOnPaper& step, const Json& aid, double course, double late) {
        bool some = false;
        for (const auto& [number, events] : receivers_) {
            const Tuned* now = last_before(events, step.begins_s + late + 1.0);
            const auto courses = courses_.find(number);
            const CourseSet* set = courses == courses_.end()
                                       ? nullptr
                                       : last_before(courses->second, step.begins_s + late + 1.0);
            some = some || (now != nullptr && same(now->aid, aid) && set != nullptr && set->course &&
                            std::abs(apart(*set->course, course)) < 0.6);
        }
        ledger_.holds(
            "course.on_receiver", some,
            "the course " + std::to_string(course) + " of " + shown(aid) + " is set when it guides");
    }

    const Document& document_;
    const AtlasRows& atlas_;
    Ledger& ledger_;
    AidRows aids_;
    std::vector<Span> forbidden_;
    double handed_s_ = 0.0;  // until when the work of a step waits for guidance to be handed over
    double last_knob_s_ = -1e9;
    std::map<int, std::vector<Tuned>> receivers_;
    std::map<int, std::vector<CourseSet>> courses_;
    std::map<int, Json> standby_, left_;
    std::vector<Tuned> own_, adf_;
    std::vector<Selected> selected_;
};

}  // namespace

void check_radios(const Document& document, const AtlasRows& atlas, Ledger& ledger) {
    Replay(document, atlas, ledger).run();
}

}  // namespace independent
