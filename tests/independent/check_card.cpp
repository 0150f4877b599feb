// The independent checker of a card: reads the card document or the plan that holds one, and the rows of the atlas it was made
// from, and holds every figure of the card to them. Written from the rules of admission and the trade's handbooks; it shares no
// code with src/ and must never include it.
//
//     check_card --atlas ATLAS --magnetic FOLDER [--aircraft FILE...] [--all] --cards FILE...
//
// Each value that does not hold is one line "WRONG check, step: value, expected, tolerance" (with --all the right ones too), then
// one line of summary for each card. Exit status 0 nothing wrong, 1 something wrong, 2 could not be checked at all.
//
// Sources: geodesics and the World Magnetic Model by GeographicLib; Morse is Recommendation ITU-R M.1677-1; fix tolerances of
// TERPS 8260.3B para 285-287 and PANS-OPS I-2-2; crossing angles of the same; the wind triangle; entries to a hold by the line of
// 70 degrees of AIM 5-3-8; changeovers of 14 CFR 95.8001; what passes without a source is said beside it.

#include <fstream>
#include <memory>
#include <stdexcept>

#include <GeographicLib/MagneticModel.hpp>

#include "card_document.hpp"

namespace independent {

namespace {

constexpr double whole_degree = 0.5;  // how far a figure in whole degrees stands from what it was
constexpr double tenth_of_a_mile = 0.05;
constexpr double geometry_deg =
    0.3;  // a line drawn twice, by two geodesics and from coordinates of five decimals

bool is(const std::string& word, std::initializer_list<const char*> words) {
    return std::any_of(words.begin(), words.end(), [&word](const char* other) { return word == other; });
}

class CardCheck {
public:
    CardCheck(const AtlasRows& atlas, const GeographicLib::MagneticModel& field, const Document& document,
              Ledger& ledger)
        : atlas_(atlas),
          field_(field),
          document_(document),
          ledger_(ledger),
          aids_(atlas, document, ledger) {}

    void run() {
        final_fix();
        for (const int number : document_.without_track) {
            ledger_.at("step " + std::to_string(number));
            ledger_.holds("step.has_track", false, "the flight track has a step of that number");
        }
        for (std::size_t i = 0; i < document_.steps.size(); ++i) {
            const StepOnPaper& step = document_.steps[i];
            before_ = i > 0 ? &document_.steps[i - 1] : nullptr;
            after_ = i + 1 < document_.steps.size() ? &document_.steps[i + 1] : nullptr;
            // The branch begins where the last step ended; nothing follows the last before it but the branch.
            ledger_.at("step " + std::to_string(step.number) + " (" + step.card.value("via", "") + ")");
            ledger_.near("step.number", step.number, static_cast<double>(i + 1), 0.0, "its number");
            check(step);
        }
        totals();
        voice(document_.card.at("before_take_off"));
        immediate_return();
    }

private:
    void final_fix() {
        final_fix_ = document_.final_fix;
        const auto legs = atlas_.legs.find(document_.to);
        if (legs == atlas_.legs.end()) {
            return;
        }
        for (const CodedLeg& leg : legs->second) {
            if (final_fix_.empty() && leg.procedure_kind == "approach" && of_the_approach(leg) &&
                leg.description.size() > 3 && leg.description[3] == 'F') {
                final_fix_ = leg.fix;
            }
        }
    }

    // Of the approach flown where its ident is known, else of any at the destination.
    bool of_the_approach(const CodedLeg& leg) const {
        return document_.approach_procedure.empty() || leg.procedure == document_.approach_procedure;
    }

    double variation(Place where) const {
        double east = 0.0, north = 0.0, up = 0.0;
        field_(document_.year, where.latitude, where.longitude, 0.0, east, north, up);
        return std::atan2(east, north) / degree;
    }

    bool straight(const StepOnPaper& step) const {
        return !is(step.kind(), {"follow_arc", "fly_hold", "reverse_course"}) &&
               !is(step.end_kind(), {"held_until", "established_inbound"}) &&
               !is(step.track.at("end").at("kind"), {"hold", "course_reversed"});
    }

    void check(const StepOnPaper& step) {
        has_length_ = straight(step) && step.track.at("distance_nm").get<double>() > 0.05;
        line_ = between(step.start, step.finish);
        places(step);
        guidance(step);
        end(step);
        heights(step);
        expected(step);
        notices(step);
        independent_check(step);
        voice(step.card.at("work"));
        method(step);
    }

    // Where it begins and ends: as the step before and the rows of the atlas say.
    void places(const StepOnPaper& step) {
        const double length = step.track.at("distance_nm");
        if (has_length_) {
            ledger_.near("distance.on_earth", length, line_.nm, 0.02, "NM of the track");
        } else if (step.kind() == "follow_arc") {
            arc_length(step, length);
        } else {
            ledger_.skip("length of a hold or reversal");
        }
        ledger_.near("distance.on_paper", step.card.at("expected").at("distance_nm"), length,
                     tenth_of_a_mile + 0.011, "NM of the step");
        if (before_ != nullptr &&
            !is(before_->end_kind(), {"altitude_reached", "established_inbound", "minimums"})) {
            ledger_.near("step.continues", between(before_->finish, step.start).nm, 0.0, 0.02,
                         "NM from the end of the step before to its start");
        }
        const std::string to = step.card.value("to", "");
        ledger_.same("step.names", to, step.track.value("to", ""), "its end");
        if (before_ != nullptr && !before_->card.value("to", "").empty() &&
            !step.card.value("from", "").empty()) {
            ledger_.same("step.names", step.card.value("from", ""), before_->card.value("to", ""),
                         "its beginning");
        }
        const Json& end = step.track.at("end");
        if (!to.empty() && is(end.at("kind"), {"fix", "hold", "glideslope_intercept"}) &&
            !end.value("rebuilt", false)) {
            named(to, step.finish);
        }
    }

    void arc_length(const StepOnPaper& step, double length) {
        const Aid* aid = aids_.find(step.guidance().at("aid"), step.start);
        if (aid == nullptr || !aid->azimuth) {
            return;
        }
        const Line first = between(*aid->azimuth, step.start), last = between(*aid->azimuth, step.finish);
        const bool clockwise = step.guidance().value("direction", "") == "clockwise";
        const double turned =
            around(clockwise ? last.start_deg - first.start_deg : first.start_deg - last.start_deg);
        ledger_.near("distance.on_earth", length, turned * degree * first.nm, 0.2, "NM of the arc");
    }

    void named(const std::string& name, Place where) {
        double nearest = 1e9;
        for (auto [at, end] = atlas_.points.equal_range(name); at != end; ++at) {
            nearest = std::min(nearest, between(at->second, where).nm);
        }
        if (const auto runway = atlas_.runways.find(document_.to + "/" + name);
            runway != atlas_.runways.end()) {
            nearest = std::min(nearest, between(runway->second.threshold, where).nm);
        }
        if (const auto airport = atlas_.airports.find(name); airport != atlas_.airports.end()) {
            nearest = std::min(nearest, between(airport->second, where).nm);
        }
        if (nearest > 1e8) {
            ledger_.skip("no row of the fix " + name);
            return;
        }
        ledger_.near("fix.in_its_place", nearest, 0.0, 0.1, "NM from the row of " + name);
    }

    // Whether a place lies on a line out of a station: within the angle, or within a tenth of a mile across it close in.
    void on_line(const std::string& check, Place origin, double true_course, Place where,
                 double tolerance_deg, const std::string& what) {
        const Line line = between(origin, where);
        if (line.nm < 0.15) {
            ledger_.skip("place at the station itself");
            return;
        }
        // A tenth of a mile and what the rounded degree makes so close in.
        const double close = std::atan2(0.1, line.nm) / degree;
        ledger_.near_angle(check, true_course, line.start_deg, std::max(tolerance_deg, close), what);
    }

    void guidance(const StepOnPaper& step) {
        const std::string kind = step.kind();
        const Json& g = step.guidance();
        const Aid* aid = nullptr;
        if (g.contains("aid") && g.at("aid").is_object()) {
            aid = aids_.check(g.at("aid"), step.start);
            if (aid == nullptr) {
                return;
            }
            aid_aboard(*aid, kind);
            if (is(kind, {"follow_radial", "follow_bearing"})) {
                volume(step, *aid);
            }
        }
        if (kind == "follow_radial" && aid != nullptr) {
            radial_guidance(step, *aid);
        } else if (kind == "follow_bearing" && aid != nullptr) {
            bearing_guidance(step, *aid);
        } else if (kind == "follow_localizer" && aid != nullptr) {
            localizer_guidance(step, *aid);
        } else if (kind == "follow_arc" && aid != nullptr) {
            arc_guidance(step, *aid);
        } else if (kind == "fly_heading") {
            heading_guidance(step);
        } else if (kind == "fly_hold") {
            hold(step, aid);
        } else if (kind == "reverse_course") {
            reversal(step);
        } else {
            ledger_.holds("guidance.known", false, "what guides is known (\"" + kind + "\")");
        }
    }

    // What the aid sends can be received with what is aboard.
    void aid_aboard(const Aid& aid, const std::string& use) {
        const auto& receivers = document_.aboard.receivers;
        if (use == "follow_bearing" || aid.family == "ndb") {
            ledger_.holds("set.aboard", !document_.aboard.adf.empty() && aid.family == "ndb",
                          aid.kind + " " + aid.ident + " shows a bearing on an ADF that is aboard");
        } else if (use == "follow_arc") {
            ledger_.holds("set.aboard", !document_.aboard.dme.empty(), "a DME is aboard");
        } else if (use == "follow_localizer") {
            ledger_.holds(
                "set.aboard",
                aid.family == "localizer" && std::any_of(receivers.begin(), receivers.end(),
                                                         [](const Receiver& r) { return r.localizer; }),
                "a localizer receiver is aboard");
        } else {
            ledger_.holds("set.aboard", !receivers.empty() && is(aid.family, {"vor", "localizer"}),
                          aid.kind + " " + aid.ident + " shows a course on a receiver that is aboard");
        }
    }

    // Off the airways an aid serves as far as its class says (AIM 1-1-8), at the altitude where it is farther away.
    void volume(const StepOnPaper& step, const Aid& aid) {
        const std::string via = step.card.value("via", "");
        if (!is(via, {"direct", "DCT", "own departure"})) {
            return;
        }
        const double first = between(aid.site(), step.start).nm, last = between(aid.site(), step.finish).nm;
        const double feet = first > last ? step.start_ft : step.end_ft;
        const std::string& c = aid.service;
        const double reach = c == "terminal"          ? 25.0
                             : c == "low"             ? 40.0
                             : c == "compass_locator" ? 15.0
                             : c == "ndb_medium"      ? 25.0
                             : c == "ndb"             ? 50.0
                             : c == "ndb_high"        ? 75.0
                             : c == "vor_low"         ? (feet < 5000.0 ? 40.0 : 70.0)
                             : c == "vor_high"        ? (feet < 5000.0    ? 40.0
                                                         : feet < 14500.0 ? 70.0
                                                         : feet < 18000.0 ? 100.0
                                                                          : 130.0)
                             : c != "high"            ? 1e9
                             : feet < 14500.0         ? 40.0
                             : feet < 18000.0         ? 100.0
                                                      : 130.0;
        ledger_.at_most("reception.volume", std::max(first, last), reach + 0.05,
                        "NM from " + aid.ident + " (" + c + ")");
    }

    // Toward it the distance falls, away from it it grows: the two can be told where the step changes it.
    void sense(const StepOnPaper& step, Place site, bool toward, const std::string& name) {
        const double first = between(site, step.start).nm, last = between(site, step.finish).nm;
        if (!has_length_ || std::abs(first - last) < 0.05) {
            ledger_.skip("no length to tell TO from FROM by");
            return;
        }
        ledger_.holds("course.to_from", toward == (last < first),
                      name + " is flown " + (toward ? "TO" : "FROM") + ", its distance goes from " +
                          std::to_string(first) + " to " + std::to_string(last) + " NM");
    }

    void radial_guidance(const StepOnPaper& step, const Aid& aid) {
        const bool toward = step.guidance().value("direction", "") == "to";
        const double course = step.guidance().at("course_deg");
        if (aid.family != "vor" || !aid.azimuth) {
            ledger_.holds("course.radial", false, aid.ident + " has radials");
            return;
        }
        sense(step, *aid.azimuth, toward, aid.ident);
        if (!has_length_) {
            ledger_.skip("course of a step without length");
            return;
        }
        const double outward = course + (toward ? 180.0 : 0.0) + aid.declination;
        const bool begins_farther =
            between(*aid.azimuth, step.start).nm > between(*aid.azimuth, step.finish).nm;
        on_line("course.radial", *aid.azimuth, outward, begins_farther ? step.start : step.finish,
                whole_degree + geometry_deg,
                "true direction of the course " + std::to_string(course) + " of " + aid.ident);
        // Both ends lie on the one line, so the course printed holds along the whole step.
        ledger_.near_angle("course.along", course + aid.declination, line_.start_deg,
                           whole_degree + geometry_deg + std::abs(apart(line_.finish_deg, line_.start_deg)) +
                               std::atan2(0.1, line_.nm) / degree,
                           "true direction of the course of " + aid.ident);
    }

    double heading_of(const StepOnPaper& step) const {
        return figure(step.card.at("expected"), "heading_magnetic_deg")
            .value_or(step.card.at("expected").at("course_magnetic_deg").get<double>());
    }

    // Relative to the nose on a fixed card; what stands under the head on a card that is turned to the heading.
    void pointer(const Json& of, double to_station, const StepOnPaper& step, const std::string& what) {
        ledger_.same("pointer.kind", of.value("adf", ""), document_.aboard.adf, "the ADF");
        const double shows =
            document_.aboard.adf == "fixed_card" ? to_station - heading_of(step) : to_station;
        // Two or three figures in whole degrees stand in it.
        ledger_.near_angle("pointer.shows", of.at("pointer_deg"), shows, 1.5 + geometry_deg,
                           "the pointer " + what);
    }

    void bearing_guidance(const StepOnPaper& step, const Aid& aid) {
        const Json& g = step.guidance();
        const bool toward = g.value("direction", "") == "to";
        const double track = g.at("track_magnetic_deg");
        sense(step, *aid.azimuth, toward, aid.ident);
        if (has_length_) {
            const double turn = std::abs(apart(line_.finish_deg, line_.start_deg));
            // The line may pass a tenth of a mile beside the beacon.
            const double beside = std::atan2(0.1, std::max(between(*aid.azimuth, step.start).nm,
                                                           between(*aid.azimuth, step.finish).nm)) /
                                  degree;
            ledger_.near_angle("course.bearing", track, line_.start_deg - variation(step.start),
                               whole_degree + geometry_deg + turn + beside, "magnetic track by " + aid.ident);
        }
        pointer(g, track + (toward ? 0.0 : 180.0), step, "of " + aid.ident);
    }

    const Receiver* guiding_receiver(const StepOnPaper& step) const {
        const Json& aid = step.guidance().at("aid");
        for (const Json& set : step.card.at("radios").at("receivers")) {
            const int number = set.value("number", 0);
            if (set.value("role", "") == "guides" && number >= 1 &&
                number <= static_cast<int>(document_.aboard.receivers.size()) &&
                set.value("active", Json()) == aid) {
                return &document_.aboard.receivers[static_cast<std::size_t>(number - 1)];
            }
        }
        return nullptr;
    }

    void localizer_guidance(const StepOnPaper& step, const Aid& aid) {
        const Json& g = step.guidance();
        if (!aid.localizer_course) {
            ledger_.holds("course.localizer", false, aid.ident + " is a localizer");
            return;
        }
        ledger_.near_angle("course.localizer", g.at("front_course_deg"), *aid.localizer_course,
                           whole_degree + 0.05, "front course of " + aid.ident);
        const double front_true = *aid.localizer_course + aid.declination;
        const double first = between(*aid.azimuth, step.start).nm,
                     last = between(*aid.azimuth, step.finish).nm;
        const Place far = first > last ? step.start : step.finish;
        const bool before_it =
            std::abs(apart(between(*aid.azimuth, far).start_deg, front_true + 180.0)) < 90.0;
        // Its zero is known to the whole degree only, hence a degree.
        on_line("course.localizer", *aid.azimuth, front_true + (before_it ? 180.0 : 0.0), far, 1.0,
                "course line of " + aid.ident);
        if (!has_length_) {
            return;
        }
        const bool with_the_front = std::abs(apart(line_.start_deg, front_true)) < 90.0;
        const bool outbound = g.value("outbound", false), back = g.value("back_course", false);
        if (before_it || !with_the_front) {
            ledger_.holds("course.to_from", outbound == (before_it && !with_the_front),
                          aid.ident + " is flown " + (outbound ? "outbound" : "inbound"));
            ledger_.holds("course.back", back == (!before_it && !with_the_front),
                          aid.ident + " is flown on its " + (back ? "back" : "front") + " course");
        } else {
            ledger_.skip("localizer beyond its antenna");
        }
        const Receiver* receiver = guiding_receiver(step);
        if (receiver == nullptr) {
            ledger_.skip("needle of no receiver (the radios check says so)");
        } else {
            const std::string wanted = with_the_front  ? "toward_the_line"
                                       : receiver->hsi ? "righted_by_the_front_course"
                                                       : "away_from_the_line";
            ledger_.same("needle.sense", g.value("needle", ""), wanted, "the needle of " + aid.ident);
        }
        if (g.value("glideslope", false)) {
            ledger_.holds("set.aboard", aid.glideslope && any_glideslope(),
                          aid.ident + " has a glideslope and so has a set");
        }
    }

    bool any_glideslope() const {
        const auto& receivers = document_.aboard.receivers;
        return std::any_of(receivers.begin(), receivers.end(),
                           [](const Receiver& r) { return r.glideslope; });
    }

    void arc_guidance(const StepOnPaper& step, const Aid& aid) {
        const Json& g = step.guidance();
        distance_exists(aid);
        if (!aid.dme) {
            return;
        }
        const double low = std::min(step.start_ft, step.end_ft), high = std::max(step.start_ft, step.end_ft);
        const double least =
            slant_nm(step.finish, low, aid.dme->place, aid.dme->elevation_ft) - aid.dme->bias_nm;
        const double most =
            slant_nm(step.finish, high, aid.dme->place, aid.dme->elevation_ft) - aid.dme->bias_nm;
        ledger_.near("dme.reading", g.at("reading_nm"), (least + most) / 2.0,
                     std::abs(most - least) / 2.0 + 2.0 * tenth_of_a_mile,
                     "reading of " + aid.ident + " on the arc");
        if (!aid.azimuth) {
            return;
        }
        const Line first = between(*aid.azimuth, step.start), last = between(*aid.azimuth, step.finish);
        const bool clockwise = g.value("direction", "") == "clockwise";
        ledger_.holds(
            "arc.direction",
            around(clockwise ? last.start_deg - first.start_deg : first.start_deg - last.start_deg) < 180.0,
            std::string("the arc turns ") + (clockwise ? "clockwise" : "anticlockwise"));
        for (const auto& [key, line] :
             {std::pair{"from_radial_deg", first}, std::pair{"to_radial_deg", last}}) {
            if (const auto radial = figure(g, key)) {
                ledger_.near_angle("arc.radial", *radial + aid.declination, line.start_deg,
                                   whole_degree + geometry_deg, std::string("true direction of ") + key);
            }
        }
    }

    void heading_guidance(const StepOnPaper& step) {
        const Json& g = step.guidance();
        const double track = g.at("track_magnetic_deg");
        if (has_length_) {
            ledger_.near_angle(
                "course.track", track, line_.start_deg - variation(step.start),
                whole_degree + geometry_deg + std::abs(apart(line_.finish_deg, line_.start_deg)),
                "magnetic track");
        }
        const auto heading = figure(g, "heading_magnetic_deg"),
                   other = figure(step.card.at("expected"), "heading_magnetic_deg");
        ledger_.holds("heading.same",
                      heading == other || (heading && other && std::abs(apart(*heading, *other)) <= 1.0),
                      "the heading to fly is the one expected");
        // A heading that a departure codes may take 10 NM (TERPS, trade-facts 21), however long that lasts in the wind: XURL's to XAGUB
        // meets its radial at 7 degrees, 7.3 NM on, 5:33 with 20 kt ahead. 5 minutes are the bound of headings of one's own.
        const bool coded = of_a_departure(step);
        ledger_.at_most("heading.leg", step.card.at("expected").at("distance_nm"),
                        (coded ? 10.0 : document_.dead_reckoning_nm) + tenth_of_a_mile,
                        "NM by heading alone");
        const auto time = figure(step.card.at("expected"), "time_s");
        if (time && !coded) {
            ledger_.at_most("heading.leg", *time, document_.dead_reckoning_s + 1.0,
                            "seconds by heading alone");
        }
    }

    bool of_a_departure(const StepOnPaper& step) const {
        const auto legs = atlas_.legs.find(document_.from);
        return legs != atlas_.legs.end() &&
               std::any_of(legs->second.begin(), legs->second.end(), [&](const CodedLeg& leg) {
                   return leg.procedure_kind == "departure" && leg.procedure == step.card.value("via", "") &&
                          leg.fix.empty();
               });
    }

    void hold(const StepOnPaper& step, const Aid* aid) {
        const Json& g = step.guidance();
        named(g.value("fix", ""), step.start);
        const double inbound = g.at("inbound_magnetic_deg");
        const bool right = g.value("turns", "") == "right";
        ledger_.near_angle("hold.inbound", inbound,
                           step.track.at("track_true_deg").get<double>() - variation(step.start),
                           whole_degree + geometry_deg, "magnetic course inbound");
        coded_hold(step, inbound, aid);
        if (before_ != nullptr && before_->missed == step.missed && straight(*before_)) {
            // The heading over the fix, the drift allowed for: AIM 5-3-8 (trade-facts 8.1).
            const auto heading = figure(before_->card.at("expected"), "heading_magnetic_deg");
            const double track = between(before_->start, before_->finish).finish_deg - variation(step.start);
            entry(g, apart(heading.value_or(track), inbound), right);
        }
        // Outbound the other way, with three times the drift at most of what a hold is flown in; common practice.
        ledger_.near_angle("hold.outbound", g.at("outbound_heading_magnetic_deg"), inbound + 180.0, 60.0,
                           "magnetic heading outbound");
    }

    // By the line of 70 degrees; within 5 degrees of a bound either entry is as good.
    void entry(const Json& g, double heading_off_inbound, bool right) {
        const double turned = right ? heading_off_inbound : -heading_off_inbound;
        const auto by = [](double angle) {
            return angle >= -70.0 && angle <= 110.0 ? "direct" : angle > 110.0 ? "teardrop" : "parallel";
        };
        const std::string given = g.value("entry", "");
        const bool good = given == by(turned) || given == by(apart(turned + 5.0, 0.0)) ||
                          given == by(apart(turned - 5.0, 0.0));
        ledger_.holds("hold.entry", good,
                      "entry " + given + " where " + by(turned) + " is due, " + std::to_string(turned) +
                          " degrees off");
    }

    // A coded course counts from the zero of the aid that its row names, else of the one whose line the hold is flown on; the card's
    // from today's variation, which moves a quarter degree a year (KCHS: CHS has 5 degrees west, and 8.3 are today's). A beacon has
    // no zero of its own: there 3.5 degrees cover what the variation has moved since the row was made.
    double coded_inbound(const StepOnPaper& step, const CodedLeg& leg, const Aid* guide) const {
        const Aid* named = nullptr;
        for (const Aid& aid : atlas_.aids) {
            if (aid.ident == leg.recommended && is(aid.family, {"vor", "localizer"}) &&
                (named == nullptr ||
                 between(aid.site(), step.start).nm < between(named->site(), step.start).nm)) {
                named = &aid;
            }
        }
        const Aid* zero = named != nullptr                                              ? named
                          : guide != nullptr && is(guide->family, {"vor", "localizer"}) ? guide
                                                                                        : nullptr;
        return *leg.course_deg + (zero != nullptr ? zero->declination - variation(step.start) : 0.0);
    }

    void coded_hold(const StepOnPaper& step, double inbound, const Aid* guide) {
        const auto legs = atlas_.legs.find(document_.to);
        if (legs == atlas_.legs.end() || !is(step.card.value("phase", ""), {"approach", "missed approach"})) {
            ledger_.skip("hold that is not coded");
            return;
        }
        const bool by_a_zero = guide != nullptr && is(guide->family, {"vor", "localizer"});
        bool some = false, fits = false;
        for (const CodedLeg& leg : legs->second) {
            if (leg.procedure_kind == "approach" && of_the_approach(leg) && leg.terminator.starts_with("H") &&
                leg.fix == step.guidance().value("fix", "") && leg.course_deg && !leg.course_is_true) {
                some = true;
                // Rows name their holds in whole degrees as often as in tenths.
                const double allowed = by_a_zero ? 2.0 * whole_degree + geometry_deg : 3.5;
                fits = fits || (std::abs(apart(coded_inbound(step, leg, guide), inbound)) < allowed &&
                                leg.turn == step.guidance().value("turns", ""));
            }
        }
        if (some) {
            ledger_.holds("hold.coded", fits,
                          "inbound " + std::to_string(inbound) + " and turns " +
                              step.guidance().value("turns", "") + " are coded so");
        }
    }

    void reversal(const StepOnPaper& step) {
        const Json& g = step.guidance();
        const double outbound = g.at("outbound_magnetic_deg"), away = g.at("away_heading_magnetic_deg"),
                     back = g.at("return_heading_magnetic_deg");
        ledger_.near("reversal.away", std::abs(apart(away, outbound)), 45.0, 25.0,
                     "degrees off the outbound course");
        ledger_.near_angle("reversal.return", back, away + 180.0, 25.0, "heading back");
        const bool away_right = apart(away, outbound) > 0.0;
        ledger_.same("reversal.turn", g.value("turns", ""), away_right ? "left" : "right", "the turn back");
    }

    // What ends it: something that the sets aboard show, of the value that it has at that place.

    void end(const StepOnPaper& step) {
        const std::string kind = step.end_kind();
        const bool known =
            is(kind, {"station_passage", "reading_reached", "radial_centres", "bearing_reached",
                      "localizer_centres", "needle_alive", "altitude_reached", "time_out", "change_over",
                      "glideslope_centres", "minimums", "established_inbound", "held_until"});
        ledger_.holds("end.observable", known, "it ends in something observable (\"" + kind + "\")");
        if (!known) {
            return;
        }
        const Json& e = step.end();
        const Aid* aid = nullptr;
        if (e.contains("aid") && e.at("aid").is_object()) {
            aid = aids_.check(e.at("aid"), step.finish);
            if (aid == nullptr) {
                return;
            }
        }
        const bool needs_aid = is(kind, {"station_passage", "reading_reached", "radial_centres",
                                         "bearing_reached", "localizer_centres", "needle_alive"});
        if (needs_aid && aid == nullptr) {
            ledger_.holds("end.observable", false, kind + " names its aid");
            return;
        }
        if (kind == "station_passage") {
            passage(step, *aid);
        } else if (kind == "reading_reached") {
            reading_end(step, *aid);
        } else if (kind == "radial_centres") {
            radial_end(step, *aid);
        } else if (kind == "bearing_reached") {
            bearing_end(step, *aid);
        } else if (kind == "localizer_centres") {
            localizer_end(step, *aid);
        } else if (kind == "needle_alive") {
            needle_alive(step, *aid);
        } else if (kind == "altitude_reached") {
            ledger_.near("end.altitude", e.at("altitude_msl_ft"), step.end_ft, 1.0, "altitude that ends it");
            ledger_.at_least("end.altitude", e.at("altitude_msl_ft"), step.start_ft - 0.5,
                             "altitude that is reached");
            climb_time(step);
        } else if (kind == "time_out") {
            time_end(step);
        } else if (kind == "change_over") {
            changeover(step);
        } else if (kind == "glideslope_centres" || kind == "minimums") {
            glideslope_end(step);
        } else if (kind == "held_until") {
            ledger_.same("end.observable", step.kind(), "fly_hold", "what a hold ends");
        } else {
            ledger_.holds("end.observable", is(step.kind(), {"reverse_course", "fly_hold"}),
                          "established inbound after a reversal or a hold");
        }
    }

    const Aid* aid_of_guidance(const StepOnPaper& step) {
        const Json& guide = step.guidance().value("aid", Json());
        return guide.is_object() ? aids_.find(guide, step.start) : nullptr;
    }

    // A step that an altitude ends lasts as long as the climb to it at the rate printed, with a third of it and ten seconds for
    // rounding and for what the rate loses on the way.
    void climb_time(const StepOnPaper& step) {
        const auto rate = figure(step.card.at("heights"), "rate_ft_per_min"),
                   time = figure(step.card.at("expected"), "time_s");
        // Where a coded course follows that lies elsewhere, the climb is drawn to where it begins.
        if (step.missed && after_ != nullptr) {
            const Aid* next = aid_of_guidance(*after_);
            if (next == nullptr || between(next->site(), after_->finish).nm > 0.3) {
                ledger_.skip("time of a missed climb before a coded course");
                return;
            }
        }
        if (rate && time && *rate > 0.0) {
            const double climb_s = (step.end_ft - step.start_ft) / *rate * 60.0;
            ledger_.near("end.altitude_time", *time, climb_s, 10.0 + climb_s / 3.0,
                         "seconds to the altitude that ends it");
        }
    }

    void passage(const StepOnPaper& step, const Aid& aid) {
        ledger_.holds("end.observable", is(aid.family, {"vor", "ndb"}),
                      aid.ident + " shows its passage (a localizer has none)");
        ledger_.holds("end.pointer", step.end().value("pointer", false) == (aid.family == "ndb"),
                      "passage by the pointer of a beacon and only of one");
        aid_aboard(aid, "");
        ledger_.near("end.passage", between(aid.site(), step.finish).nm, 0.0, 0.15,
                     "NM from " + aid.ident + " where it is passed");
    }

    void distance_exists(const Aid& aid) {
        ledger_.holds("dme.exists", aid.dme.has_value(),
                      aid.kind + " " + aid.ident + " has a DME in its record");
        ledger_.holds("set.aboard", !document_.aboard.dme.empty(), "a DME is aboard");
    }

    double reading(const Aid& aid, Place where, double altitude_ft) const {
        return slant_nm(where, altitude_ft, aid.dme->place, aid.dme->elevation_ft) - aid.dme->bias_nm;
    }

    bool same_aid(const Json& a, const Json& b) const {
        return a.is_object() && b.is_object() && a.value("ident", "") == b.value("ident", "") &&
               a.value("kind", "").starts_with("NDB") == b.value("kind", "").starts_with("NDB");
    }

    double arrival_deg(const StepOnPaper& step) const {
        if (step.kind() == "follow_arc") {
            if (const Aid* aid = aids_.find(step.guidance().at("aid"), step.start)) {
                const double out = between(aid->site(), step.finish).start_deg;
                return around(out + (step.guidance().value("direction", "") == "clockwise" ? 90.0 : -90.0));
            }
        }
        return line_.finish_deg;
    }

    void reading_end(const StepOnPaper& step, const Aid& aid) {
        const Json& e = step.end();
        distance_exists(aid);
        if (!aid.dme) {
            return;
        }
        const auto printed = figure(e, "reading_nm");
        ledger_.near("dme.reading", printed.value_or(-1.0), reading(aid, step.finish, step.end_ft),
                     tenth_of_a_mile + 0.03, "reading of " + aid.ident + " at its end");
        // At its end: abeam of a station on the way the reading turns.
        const double to_station = between(step.finish, aid.dme->place).start_deg;
        const double ahead = std::cos((to_station - line_.finish_deg) * degree);
        if (has_length_ && step.kind() != "follow_arc" && std::abs(ahead) > 0.1) {
            ledger_.holds("dme.increasing", e.value("increasing", false) == (ahead < 0.0),
                          "the reading " + std::string(ahead < 0.0 ? "grows" : "falls"));
        }
        if (has_length_ && !step.card.value("to", "").empty()) {
            const Json& guide = step.guidance().value("aid", Json());
            const Aid* other = guide.is_object() ? aids_.find(guide, step.start) : nullptr;
            const bool at_guide = same_aid(guide, e.at("aid")) ||
                                  (other != nullptr && between(other->site(), aid.dme->place).nm < 0.35);
            const double off = crossing(line_.finish_deg, between(step.finish, aid.dme->place).start_deg);
            // An arc is joined at its own reading, whatever the angle.
            const bool joins_arc = after_ != nullptr && after_->kind() == "follow_arc" &&
                                   same_aid(after_->guidance().value("aid", Json()), e.at("aid"));
            if (!at_guide && !joins_arc) {
                ledger_.at_most("fix.angle", off, 23.0 + 0.1,
                                "degrees off the track of the DME " + aid.ident);
            }
            // What the tolerance of the reading makes along the track; overhead and abeam it tells nothing.
            allowed_error(step, tolerance(*printed) / std::max(0.05, std::cos(off * degree)), aid.ident);
        }
    }

    static double tolerance(double reading_nm) { return 0.25 + 0.0125 * reading_nm; }

    // The final fix within 1 NM, those before within half the next segment.
    void allowed_error(const StepOnPaper& step, double error_nm, const std::string& by) {
        const std::string to = step.card.value("to", "");
        if (step.card.value("phase", "") != "approach" || to.empty()) {
            return;
        }
        if (to == final_fix_) {
            ledger_.at_most("fix.error", error_nm, 1.0 + 0.005, "NM that the final fix is told to by " + by);
        } else if (after_ != nullptr && after_->card.value("phase", "") == "approach" && straight(*after_)) {
            ledger_.at_most("fix.error", error_nm, after_->track.at("distance_nm").get<double>() / 2.0 + 0.05,
                            "NM that " + to + " is told to by " + by);
        }
    }

    double bearing_tolerance(const Aid& aid) const {
        const bool terps = document_.criteria == "terps";
        return aid.family == "ndb"         ? (terps ? 5.0 : 6.2)
               : aid.family == "localizer" ? (terps ? 0.5 : 1.4)
               : terps                     ? 3.6
                                           : 4.5;
    }

    // Two lines of position at a fix: the angle they must cross at, and what the second tells it to.
    void crosses(const StepOnPaper& step, const Aid& aid) {
        if (step.card.value("to", "").empty() ||
            same_aid(step.guidance().value("aid", Json()), step.end().at("aid"))) {
            return;
        }
        const Line line = between(aid.site(), step.finish);
        const double angle = crossing(arrival_deg(step), line.finish_deg);
        const bool beacon = aid.family == "ndb" || step.kind() == "follow_bearing";
        const bool en_route = step.card.value("phase", "") == "en route";
        const double beyond = en_route ? 0.0
                              : beacon ? std::max(0.0, line.nm - 30.0)
                                       : std::max(0.0, line.nm - 45.0) / 2.0;
        ledger_.at_least("fix.angle", angle, (en_route && !beacon ? 30.0 : 45.0) + beyond - 0.1,
                         "degrees at which " + aid.ident + " crosses");
        const double e = bearing_tolerance(aid) * degree, g = angle * degree;
        allowed_error(step, g > e ? line.nm * std::sin(e) / std::sin(g - e) : 1e3, aid.ident);
    }

    // A second receiver where a receiver guides.
    void second_receiver(const StepOnPaper& step) {
        const Json guide = step.guidance().value("aid", Json());
        const bool needs_two =
            is(step.kind(), {"follow_radial", "follow_localizer"}) && !same_aid(guide, step.end().at("aid"));
        ledger_.at_least("set.aboard", static_cast<double>(document_.aboard.receivers.size()),
                         needs_two ? 2.0 : 1.0, "receivers aboard");
    }

    void radial_end(const StepOnPaper& step, const Aid& aid) {
        second_receiver(step);
        if (aid.family != "vor") {
            ledger_.holds("course.radial", false, aid.ident + " has radials");
            return;
        }
        const double course = step.end().at("course_deg");
        const double from = between(*aid.azimuth, step.finish).start_deg;
        const double as_set =
            std::abs(apart(course + aid.declination, from)) > 90.0 ? course + 180.0 : course;
        on_line("course.crossing", *aid.azimuth, as_set + aid.declination, step.finish,
                whole_degree + geometry_deg,
                "true direction of the radial of " + aid.ident + " that ends it");
        crosses(step, aid);
    }

    void bearing_end(const StepOnPaper& step, const Aid& aid) {
        aid_aboard(aid, "follow_bearing");
        const double to_station = step.end().at("to_station_magnetic_deg");
        ledger_.near_angle("course.crossing", to_station,
                           between(step.finish, aid.site()).start_deg - variation(step.finish),
                           whole_degree + geometry_deg, "magnetic bearing to " + aid.ident);
        pointer(step.end(), to_station, step, "of " + aid.ident + " at the end");
        crosses(step, aid);
    }

    void localizer_end(const StepOnPaper& step, const Aid& aid) {
        second_receiver(step);
        aid_aboard(aid, "follow_localizer");
        if (!aid.localizer_course) {
            ledger_.holds("course.crossing", false, aid.ident + " is a localizer");
            return;
        }
        const double front = *aid.localizer_course + aid.declination;
        const bool before_it =
            std::abs(apart(between(*aid.azimuth, step.finish).start_deg, front + 180.0)) < 90.0;
        on_line("course.crossing", *aid.azimuth, front + (before_it ? 180.0 : 0.0), step.finish, 1.0,
                "course line of " + aid.ident + " at its end");
        crosses(step, aid);
    }

    void needle_alive(const StepOnPaper& step, const Aid& aid) {
        if (after_ != nullptr && after_->missed == step.missed) {
            ledger_.holds("end.next_guides",
                          same_aid(step.end().at("aid"), after_->guidance().value("aid", Json())),
                          "the needle that comes alive (" + aid.ident + ") guides next");
        }
    }

    // The words by which a card names what ended a step: "over XAB", "XAB alive", "500 ft", else what its end says.
    static bool is_event(const Json& end, const std::string& named) {
        if (!end.is_object()) {
            return false;
        }
        const std::string kind = end.value("kind", "");
        if (kind == "altitude_reached") {
            char feet[32];
            std::snprintf(feet, sizeof feet, "%.0f ft", end.at("altitude_msl_ft").get<double>());
            return named == feet;
        }
        const std::string ident = end.contains("aid") ? end.at("aid").value("ident", "") : "";
        return (kind == "needle_alive" && named == ident + " alive") ||
               (kind == "station_passage" && named == "over " + ident) ||
               end.value("says", "").starts_with(named);
    }

    void time_end(const StepOnPaper& step) {
        const double time = step.end().at("time_s");
        const std::string since = step.end().value("since", "");
        double waited = 0.0;
        const StepOnPaper* last = nullptr;
        for (const StepOnPaper& other : document_.steps) {
            if (other.missed == step.missed && other.number <= step.number) {
                const bool begins = !since.empty() && (other.card.value("from", "") == since ||
                                                       "over " + other.card.value("from", "") == since ||
                                                       (last != nullptr && is_event(last->end(), since)));
                waited = begins ? 0.0 : waited;
                last = &other;
                waited += other.ends_s - other.begins_s;
            }
        }
        ledger_.near("end.time", time, waited, 2.0 + 0.02 * waited, "seconds since " + since);
    }

    void changeover(const StepOnPaper& step) {
        const Json& e = step.end();
        const Aid* to = e.contains("to") ? aids_.check(e.at("to"), step.finish) : nullptr;
        ledger_.holds(
            "end.next_guides",
            after_ != nullptr && same_aid(e.value("to", Json()), after_->guidance().value("aid", Json())),
            "what takes over guides next");
        const auto printed = figure(e, "reading_nm");
        if (e.contains("reading_of") && e.at("reading_of").is_object()) {
            if (const Aid* read = aids_.check(e.at("reading_of"), step.finish)) {
                distance_exists(*read);
                if (read->dme) {
                    ledger_.near("dme.reading", printed.value_or(-1.0),
                                 reading(*read, step.finish, step.end_ft), tenth_of_a_mile + 0.03,
                                 "reading of " + read->ident + " at the changeover");
                }
            }
        } else {
            ledger_.holds("end.observable", figure(e, "time_s").has_value(),
                          "a changeover by DME or by time");
            if (figure(e, "time_s")) {
                time_end(step);
            }
        }
        const Aid* from = aids_.find(step.guidance().value("aid", Json()), step.start);
        if (after_ == nullptr || from == nullptr || to == nullptr || !is_airway(step.card.value("via", ""))) {
            return;
        }
        // Midway between the two, else where the track bends (14 CFR 95.8001; no changeover is published in these rows).
        const double bend =
            std::abs(apart(between(after_->start, after_->finish).start_deg, line_.finish_deg));
        const double one = between(from->site(), step.finish).nm, other = between(to->site(), step.finish).nm;
        if (bend < 0.5) {
            ledger_.near("changeover.place", one, other, 0.2,
                         "NM from " + from->ident + " where the way is straight");
        } else {
            ledger_.count("changeover at a bend");
        }
    }

    void glideslope_end(const StepOnPaper& step) {
        const Aid* aid = aids_.find(step.guidance().value("aid", Json()), step.start);
        ledger_.holds("end.observable", any_glideslope() && aid != nullptr && aid->glideslope,
                      "a glideslope is sent and a set aboard shows it");
        if (step.end_kind() == "glideslope_centres") {
            if (const auto altitude = figure(step.end(), "altitude_msl_ft"); altitude && aid != nullptr) {
                glideslope_height(*aid, step.finish, *altitude);
            }
        }
    }

    // From the crossing height at the threshold up the angle, the Earth falling away beneath: 0.884 ft for each NM squared.
    void glideslope_height(const Aid& aid, Place where, double printed_ft) {
        const auto runway = atlas_.runways.find(aid.airport + "/" + aid.runway);
        if (!aid.glideslope_angle_deg || runway == atlas_.runways.end() || !runway->second.elevation_ft) {
            ledger_.skip("glideslope without its figures");
            return;
        }
        const double nm = between(runway->second.threshold, where).nm;
        const double falls_away = 0.884 * nm * nm;
        const double height = *runway->second.elevation_ft + aid.glideslope_crossing_ft.value_or(50.0) +
                              nm * feet_per_nm * std::tan(*aid.glideslope_angle_deg * degree);
        // Published crossing altitudes are rounded and the threshold's height is not the antenna's: 50 ft, common practice. Nor does
        // every one count the Earth's falling away: nine miles out 3,400 ft are published where it makes 3,474 (ILS RW20R of PAFA).
        ledger_.near("glideslope.height", printed_ft, std::clamp(printed_ft, height, height + falls_away),
                     50.0, "altitude on the glideslope of " + aid.ident);
    }

    // How high.

    static std::string airway_of(const std::string& via) { return via.substr(0, via.find(' ')); }
    bool is_airway(const std::string& via) const {
        const auto found = atlas_.airways.lower_bound(airway_of(via) + " ");
        return !via.empty() && found != atlas_.airways.end() &&
               found->first.starts_with(airway_of(via) + " ");
    }

    void heights(const StepOnPaper& step) {
        const Json& h = step.card.at("heights");
        const double at_end = step.end_ft;
        ledger_.near("height.track", at_end, step.track.at("altitude_msl_ft"), 1.0, "altitude at its end");
        const auto above = figure(h, "at_or_above_msl_ft"), below = figure(h, "at_or_below_msl_ft");
        if (above) {
            ledger_.at_least("height.window", at_end, *above - 1.0, "altitude at its end");
        }
        if (below) {
            ledger_.at_most("height.window", at_end, *below + 1.0, "altitude at its end");
        }
        const std::string vertical = h.value("vertical", "");
        if (vertical != "on_glideslope") {
            const double change = at_end - step.start_ft;
            // Within 50 ft an altimeter shows level; common practice, no source.
            const std::string wanted = change > 50.0 ? "climb" : change < -50.0 ? "descend" : "level";
            if (step.missed && before_ != nullptr && before_->missed) {
                ledger_.at_least("height.missed", at_end, step.start_ft - 1.0,
                                 "altitude at its end, for a missed approach climbs");
            }
            // The branch begins at the altitude that the chart asks, which the user may not have given.
            if (!step.missed || (before_ != nullptr && before_->missed)) {
                ledger_.same("height.sense", vertical, wanted,
                             "what it does from " + std::to_string(step.start_ft) + " ft to " +
                                 std::to_string(at_end) + " ft, which");
            }
        }
        if (const auto minimum = figure(h, "minimum_msl_ft")) {
            const double last = step.track.value("minimum_at_end_msl_ft", *minimum);
            ledger_.at_least("height.minimum", at_end, last - 1.0, "altitude at its end");
        } else if (step.card.value("phase", "") == "en route") {
            ledger_.holds("height.unknown", document_.verdict != "flyable",
                          "a minimum that nobody knows is never flyable");
        }
        // A climb to an altitude ends at it wherever the profile has it.
        const bool from_a_place = before_ != nullptr && before_->end_kind() != "altitude_reached" &&
                                  step.end_kind() != "altitude_reached";
        if (const auto lowest = figure(step.track, "lowest_msl_ft"); lowest && from_a_place) {
            ledger_.at_most("height.lowest", *lowest, std::min(step.start_ft, at_end) + 1.0,
                            "lowest altitude along it");
        }
        if (from_a_place) {
            levels(step);
        }
        coded_window(step, above, below);
        if (is_airway(step.card.value("via", "")) && step.card.value("phase", "") == "en route") {
            airway(step);
        }
    }

    // A level between the ends is lower than both and flown on the way; where the end is said to be reached level, it is the fix
    // named there, reached in a climb that does not go on behind it.
    void levels(const StepOnPaper& step) {
        const Json& h = step.card.at("heights");
        const auto between = figure(h, "between_msl_ft"), lowest = figure(step.track, "lowest_msl_ft");
        if (between) {
            ledger_.at_most("height.between", *between, std::min(step.start_ft, step.end_ft) - 49.0,
                            "level between its ends");
        }
        if (lowest) {
            const double said = between.value_or(std::min(step.start_ft, step.end_ft));
            ledger_.near("height.between", said, *lowest, 51.0, "lowest altitude said");
        }
        const std::string level_at = h.value("level_at", "");
        if (level_at.empty()) {
            return;
        }
        ledger_.same("height.level_at", level_at, step.card.value("to", ""),
                     "where the climb ends, and the step");
        ledger_.holds("height.level_at", h.value("vertical", "") == "climb" || between,
                      "a climb ends at " + level_at);
        const bool goes_on = after_ != nullptr &&
                             after_->card.at("heights").value("vertical", "") == "climb" &&
                             after_->card.at("heights").value("level_at", "").empty();
        ledger_.holds("height.level_at", !goes_on, "the climb does not go on beyond " + level_at);
    }

    // The window coded at the fix of a procedure of the destination.
    void coded_window(const StepOnPaper& step, std::optional<double> above, std::optional<double> below) {
        const std::string to = step.card.value("to", "");
        const auto legs = atlas_.legs.find(document_.to);
        if (to.empty() || legs == atlas_.legs.end() || step.card.value("phase", "") != "approach" ||
            is(step.end_kind(), {"held_until", "minimums"})) {
            return;
        }
        bool some = false, fits = false;
        for (const CodedLeg& leg : legs->second) {
            if (leg.procedure_kind != "approach" || !of_the_approach(leg) || leg.fix != to ||
                // The altitude coded at the missed approach point is where the path down points, no window.
                (leg.description.size() > 3 && leg.description[3] == 'M')) {
                continue;
            }
            some = true;
            const auto same = [](std::optional<double> a, std::optional<double> b) {
                return a.has_value() == b.has_value() && (!a || std::abs(*a - *b) < 1.0);
            };
            const auto low = leg.rule == "none" || leg.rule == "at_or_below"             ? std::nullopt
                             : leg.rule == "between" || leg.rule == "at_or_above_second" ? leg.altitude_2_ft
                                                                                         : leg.altitude_1_ft;
            const auto high =
                is(leg.rule, {"at", "at_or_below", "between"}) ? leg.altitude_1_ft : std::nullopt;
            fits = fits || (same(low, above) && same(high, below));
        }
        if (some) {
            ledger_.holds("height.coded", fits, "the window printed at " + to + " is coded in its legs");
        } else {
            ledger_.skip("no coded leg to the fix");
        }
    }

    // Each row of the airway from one named point to another, in the direction flown.
    void airway(const StepOnPaper& step) {
        std::string from = step.card.value("from", ""), to = step.card.value("to", "");
        const auto at = static_cast<std::size_t>(&step - document_.steps.data());
        for (std::size_t j = at; from.empty() && j-- > 0;) {
            from = document_.steps[j].card.value("from", "");
        }
        for (std::size_t j = at + 1; to.empty() && j < document_.steps.size(); ++j) {
            to = document_.steps[j].card.value("to", "");
        }
        const std::string prefix = airway_of(step.card.value("via", "")) + " ";
        for (auto found = atlas_.airways.lower_bound(prefix);
             found != atlas_.airways.end() && found->first.starts_with(prefix); ++found) {
            const auto& rows = found->second;
            std::optional<std::size_t> first, last;
            for (std::size_t i = 0; i < rows.size(); ++i) {
                first = rows[i].point == from ? std::optional(i) : first;
                last = rows[i].point == to ? std::optional(i) : last;
            }
            if (first && last && first != last) {
                rows_flown(step, rows, *first, *last, prefix);
                return;
            }
        }
        ledger_.holds("airway.rows", false, prefix + "has both " + from + " and " + to + " in its rows");
    }

    void rows_flown(const StepOnPaper& step, const std::vector<AirwayRow>& rows, std::size_t first,
                    std::size_t last, const std::string& name) {
        const bool forward = first < last;
        const auto minimum = [&](std::size_t i) {
            return !forward && rows[i].backward_ft ? rows[i].backward_ft : rows[i].minimum_ft;
        };
        double highest = 0.0, lowest = 1e9;
        bool known = true;
        for (std::size_t i = std::min(first, last); i < std::max(first, last); ++i) {
            ledger_.holds("airway.rows", !rows[i].ends, name + "goes on after " + rows[i].point);
            ledger_.holds("airway.rows", rows[i].type != "R", name + "is conventional at " + rows[i].point);
            ledger_.holds("airway.rows",
                          rows[i].direction == "both" || (rows[i].direction == "forward_only") == forward,
                          name + "may be flown in this direction at " + rows[i].point);
            if (rows[i].maximum_ft) {
                ledger_.at_most("height.airway", step.end_ft, *rows[i].maximum_ft + 1.0,
                                "altitude under the highest of " + name);
            }
            known = known && minimum(i).has_value();
            highest = std::max(highest, minimum(i).value_or(0.0));
            lowest = std::min(lowest, minimum(i).value_or(0.0));
        }
        if (!known) {
            ledger_.skip("airway whose minimum is unknown");
            return;
        }
        const auto there = minimum(forward ? last - 1 : last);
        const auto lowest_flown = figure(step.track, "lowest_msl_ft").value_or(step.start_ft);
        ledger_.at_least("height.along", lowest_flown, lowest - 1.0, "lowest altitude along " + name);
        // What begins at a point begins at the minimum of the row that leaves it.
        if (!step.card.value("from", "").empty()) {
            ledger_.at_least("height.along", step.start_ft, *minimum(forward ? first : first - 1) - 1.0,
                             "altitude where it begins on " + name);
        }
        // Part of a stretch, up to its changeover, does not reach the last of its rows.
        const bool whole = !step.card.value("to", "").empty();
        ledger_.at_least("height.airway", step.end_ft, (whole ? *there : lowest) - 1.0,
                         "altitude on " + name);
        const auto printed = figure(step.card.at("heights"), "minimum_msl_ft");
        ledger_.holds("height.airway", printed.has_value(), name + "has a minimum and one is printed");
        if (printed && whole && !step.card.value("from", "").empty()) {
            ledger_.near("height.airway", *printed, highest, 1.0, "minimum of " + name);
        } else if (printed) {
            bool coded = false;
            for (std::size_t i = std::min(first, last); i < std::max(first, last); ++i) {
                coded = coded || std::abs(*minimum(i) - *printed) < 1.0;
            }
            ledger_.holds("height.airway", coded,
                          "the minimum " + std::to_string(*printed) + " is coded along " + name);
        }
    }

    // What to expect: by the wind triangle.

    void expected(const StepOnPaper& step) {
        const Json& x = step.card.at("expected");
        const double track = step.track.at("track_true_deg");
        const double here = variation(step.start);
        if (has_length_) {
            ledger_.near_angle("course.expected", x.at("course_magnetic_deg"), line_.start_deg - here,
                               whole_degree + geometry_deg, "magnetic course at its start");
        }
        const double airspeed = x.at("true_airspeed_kt");
        const Wind wind = wind_at(document_.winds, (step.start_ft + step.end_ft) / 2.0);
        const double angle = (wind.from_deg - track) * degree;
        const double across = wind.speed_kt * std::sin(angle) / airspeed;
        const double drift = std::asin(std::clamp(across, -1.0, 1.0));
        const double groundspeed = airspeed * std::cos(drift) - wind.speed_kt * std::cos(angle);
        const auto heading = figure(x, "heading_magnetic_deg"), speed = figure(x, "groundspeed_kt"),
                   time = figure(x, "time_s");
        const bool holds_it = std::abs(across) <= 1.0 && groundspeed > 0.0;
        ledger_.holds("wind.possible",
                      heading.has_value() == (std::abs(across) <= 1.0) || step.kind() == "fly_hold",
                      "a heading is printed where one holds the course");
        if (!heading || !speed || !holds_it) {
            ledger_.skip("no heading printed");
            return;
        }
        ledger_.near_angle("wind.heading", *heading, track + drift / degree - here,
                           whole_degree + geometry_deg, "magnetic heading");
        ledger_.near("wind.groundspeed", *speed, groundspeed, 1.3, "knots over the ground");
        const double length = step.track.at("distance_nm");
        if (time && straight(step)) {
            const double seconds = length / groundspeed * 3600.0;
            // Airspeeds in whole knots, lengths as in the track.
            ledger_.near("wind.time", *time, seconds, 1.0 + seconds * (0.005 + 0.8 / groundspeed), "seconds");
        } else if (time && step.track.at("time_min").is_number()) {
            ledger_.near("wind.time", *time, step.track.at("time_min").get<double>() * 60.0, 1.0,
                         "seconds of a hold or turn");
        }
        ledger_.near("fuel.step", x.at("fuel_lb"), step.track.at("fuel_lb"), 0.56, "pounds");
        if (const auto rate = figure(step.card.at("heights"), "rate_ft_per_min");
            rate && time && *time > 20.0 &&
            step.card.at("heights").value("vertical", "") == "on_glideslope") {
            ledger_.near("height.rate", std::abs(*rate),
                         std::abs(step.end_ft - step.start_ft) / (*time / 60.0), 60.0,
                         "feet a minute on the glideslope");
        }
    }

    // What might deceive.

    const Json* notice(const StepOnPaper& step, const std::string& kind, const Json& aid) const {
        for (const Json& said : step.card.at("expected").at("notices")) {
            if (said.value("kind", "") == kind &&
                (!aid.is_object() || same_aid(said.value("aid", Json()), aid))) {
                return &said;
            }
        }
        return nullptr;
    }

    void notices(const StepOnPaper& step) {
        const Json& g = step.guidance();
        for (const Json& said : step.card.at("expected").at("notices")) {
            const std::string kind = said.value("kind", "");
            const Aid* aid = aids_.check(said.at("aid"), step.finish);
            if (aid == nullptr) {
                continue;
            }
            if (kind == "slant_range") {
                distance_exists(*aid);
                if (aid->dme) {
                    const double ground = between(aid->dme->place, step.finish).nm;
                    ledger_.near("notice.slant", said.at("over_ground_nm"),
                                 reading(*aid, step.finish, step.end_ft) + aid->dme->bias_nm - ground,
                                 tenth_of_a_mile + 0.03,
                                 "NM that " + aid->ident + " reads above the ground's");
                }
            } else if (kind == "biased_reading") {
                distance_exists(*aid);
                ledger_.near("notice.bias", said.at("bias_nm"), aid->dme ? aid->dme->bias_nm : 0.0,
                             tenth_of_a_mile + 0.001, "bias of " + aid->ident);
            } else if (kind == "zone_overhead") {
                if (const auto least = figure(said, "least_reading_nm")) {
                    distance_exists(*aid);
                    if (aid->dme) {
                        ledger_.near("notice.overhead", *least,
                                     (step.end_ft - aid->dme->elevation_ft) / feet_per_nm,
                                     tenth_of_a_mile + 0.05, "least reading over " + aid->ident);
                    }
                }
            } else if (kind == "no_flag") {
                ledger_.same("notice.no_flag", aid->family, "ndb", "an aid without a flag");
            } else if (kind == "localizer_without_to_from") {
                ledger_.same("notice.localizer", aid->family, "localizer", "an aid without TO and FROM");
            }
        }
        if (is(g.value("needle", ""), {"away_from_the_line", "righted_by_the_front_course"})) {
            ledger_.holds("notice.needle", notice(step, "needle_deceives", g.at("aid")) != nullptr,
                          "a needle that may deceive is told");
        }
        if (step.kind() == "follow_bearing") {
            ledger_.holds("notice.no_flag", notice(step, "no_flag", g.at("aid")) != nullptr,
                          "an ADF that guides shows no flag: told");
        }
        for (const char* part : {"aid", "reading_of"}) {
            const Json aid = step.end().is_object() ? step.end().value(part, Json()) : Json();
            if (aid.is_object() && figure(step.end(), "reading_nm")) {
                const Aid* row = aids_.find(aid, step.finish);
                if (row != nullptr && row->dme && row->dme->bias_nm > 0.0) {
                    ledger_.holds("notice.bias", notice(step, "biased_reading", aid) != nullptr,
                                  "the bias of " + row->ident + " is told");
                }
            }
        }
    }

    // One look by an aid that neither guides nor ends it.

    void independent_check(const StepOnPaper& step) {
        const Json check = step.card.value("check", Json());
        if (!check.is_object()) {
            ledger_.count("without an independent check");
            return;
        }
        const std::string kind = check.value("kind", "");
        if (kind == "glideslope_check") {
            const Aid* aid = aids_.find(step.guidance().value("aid", Json()), step.start);
            ledger_.holds("check.observable", aid != nullptr && aid->glideslope && any_glideslope(),
                          "a glideslope can be looked at");
            if (aid != nullptr) {
                glideslope_height(*aid, step.finish, check.at("altitude_msl_ft"));
            }
            return;
        }
        const Aid* aid = aids_.check(check.value("aid", Json::object()), step.finish);
        if (aid == nullptr) {
            return;
        }
        const Json end = step.end().is_object() ? step.end() : Json::object();
        const bool ends = same_aid(end.value("aid", Json()), check.at("aid")) ||
                          same_aid(end.value("reading_of", Json()), check.at("aid"));
        const bool guides = same_aid(step.guidance().value("aid", Json()), check.at("aid"));
        ledger_.holds("check.independent", !ends && !guides,
                      name_of(check.at("aid")) + " neither guides nor ends the step");
        if (kind == "reading_check") {
            distance_exists(*aid);
            if (aid->dme) {
                const double due = reading(*aid, step.finish, step.end_ft);
                ledger_.near("check.reading", check.at("reading_nm"), due, tenth_of_a_mile + 0.03,
                             "reading of " + aid->ident);
                ledger_.at_least("check.tolerance", check.at("tolerance_nm"),
                                 tolerance(due) - tenth_of_a_mile, "its tolerance");
            }
        } else if (kind == "radial_check") {
            ledger_.holds("check.observable", aid->family == "vor" && !document_.aboard.receivers.empty(),
                          "a radial can be read");
            if (aid->family == "vor") {
                ledger_.near_angle("check.radial", check.at("radial_deg").get<double>() + aid->declination,
                                   between(*aid->azimuth, step.finish).start_deg, whole_degree + geometry_deg,
                                   "true direction of the radial of " + aid->ident);
                ledger_.at_least("check.tolerance", check.at("tolerance_deg"),
                                 bearing_tolerance(*aid) - whole_degree, "its tolerance");
            }
        } else if (kind == "bearing_check") {
            ledger_.holds("check.observable", aid->family == "ndb" && !document_.aboard.adf.empty(),
                          "a bearing can be read");
            const double to_station = check.at("to_station_magnetic_deg");
            ledger_.near_angle("check.bearing", to_station,
                               between(step.finish, aid->site()).start_deg - variation(step.finish),
                               whole_degree + geometry_deg, "magnetic bearing to " + aid->ident);
            ledger_.at_least("check.tolerance", check.at("tolerance_deg"),
                             bearing_tolerance(*aid) - whole_degree, "its tolerance");
            pointer(check, to_station, step, "of " + aid->ident + " that checks");
        } else {
            ledger_.holds("check.observable", false, "a check of a known kind");
        }
    }

    void voice(const Json& works) {
        for (const Json& work : works) {
            if (work.value("kind", "") != "call") {
                continue;
            }
            char text[64];
            std::snprintf(text, sizeof text, "%s %.3f", work.value("service", "").c_str(),
                          work.at("frequency_mhz").get<double>());
            bool coded = false;
            for (const std::string& airport : {document_.from, document_.to}) {
                const auto found = atlas_.frequencies.find(airport);
                coded = coded || (found != atlas_.frequencies.end() && found->second.contains(text));
            }
            ledger_.holds("voice.coded", coded, std::string(text) + " is in the rows of either airport");
        }
    }

    // How the step is flown: whole by aids and needles, or by what stands in for them.
    void method(const StepOnPaper& step) {
        std::vector<std::string> reasons;
        if (step.kind() == "fly_heading") {
            reasons.push_back("guided by a heading");
        }
        if (step.end_kind() == "time_out") {
            reasons.push_back("ended by the clock");
        }
        if (step.end_kind() == "change_over" && !step.end().value("reading_of", Json()).is_object()) {
            reasons.push_back("changeover by the clock");
        }
        for (const Json& work : step.card.at("work")) {
            if (work.value("kind", "") == "hold_heading_while_tuning") {
                reasons.push_back("heading held while tuning");
            }
        }
        for (const std::string& reason : reasons) {
            ledger_.count("fallback: " + reason);
        }
        ledger_.count(reasons.empty() ? "steps by the full method" : "steps by a fallback");
    }

    void totals() {
        ledger_.at("totals");
        double nm = 0.0, seconds = 0.0, pounds = 0.0;
        bool timed = true;
        std::size_t count = 0;
        for (const StepOnPaper& step : document_.steps) {
            if (!step.missed) {
                const Json& x = step.card.at("expected");
                nm += x.at("distance_nm").get<double>();
                pounds += x.at("fuel_lb").get<double>();
                timed = timed && figure(x, "time_s").has_value();
                seconds += figure(x, "time_s").value_or(0.0);
                ++count;
            }
        }
        // Half a unit each and half a unit of the total's own: legs of one length are all rounded to the same side (KAFW-KHOU, four of
        // 40 NM at 20.6 lb), so that nothing less holds.
        const double spread = 0.5 * static_cast<double>(count) + 0.5;
        ledger_.near("total.distance", document_.card.at("distance_nm"), nm, 0.1 * spread, "NM in all");
        if (const auto total = figure(document_.card, "time_s"); total && timed) {
            ledger_.near("total.time", *total, seconds, spread, "seconds in all");
        }
        ledger_.near("total.fuel", document_.card.at("fuel_lb"), pounds, spread, "pounds in all");
        if (document_.tank) {
            ledger_.near("total.fuel_needed", document_.card.at("fuel_needed_lb"),
                         document_.card.at("fuel_lb").get<double>() + document_.tank->taxi_lb + reserve(),
                         1.5, "pounds with taxi and reserve");
        }
    }

    // 45 minutes or what the owner says, at the flow of the cruise.
    double reserve() const {
        const auto& table = document_.tank->cruise;
        const double altitude = document_.last_level_ft;
        double flow = table.front()[1];
        for (std::size_t i = 1; i < table.size(); ++i) {
            if (altitude > table[i - 1][0]) {
                const double share =
                    std::min(1.0, (altitude - table[i - 1][0]) / (table[i][0] - table[i - 1][0]));
                flow = table[i - 1][1] + share * (table[i][1] - table[i - 1][1]);
            }
        }
        return flow * document_.tank->reserve_min / 60.0;
    }

    void immediate_return() {
        const Json back = document_.card.value("immediate_return", Json());
        if (!back.is_object()) {
            return;
        }
        ledger_.at("immediate return");
        const auto airport = atlas_.airports.find(document_.from);
        const Aid* aid =
            airport == atlas_.airports.end() ? nullptr : aids_.check(back.at("aid"), airport->second);
        if (aid != nullptr && aid->localizer_course) {
            ledger_.near_angle("return.course", back.at("course_deg"), *aid->localizer_course,
                               whole_degree + 0.05, "its course");
        }
        const std::string set = back.at("set").value("kind", "");
        const Json& lined_up = document_.card.at("lined_up");
        if (set == "receiver") {
            for (const Json& receiver : lined_up.at("receivers")) {
                if (receiver.value("number", 0) == back.at("set").value("number", 0)) {
                    ledger_.holds(
                        "return.set",
                        same_aid(
                            receiver.value(back.value("in_standby", false) ? "standby" : "active", Json()),
                            back.at("aid")),
                        "its aid stands where it is said to");
                }
            }
        }
    }

    const AtlasRows& atlas_;
    const GeographicLib::MagneticModel& field_;
    const Document& document_;
    Ledger& ledger_;
    AidRows aids_;
    std::string final_fix_;
    const StepOnPaper* before_ = nullptr;
    const StepOnPaper* after_ = nullptr;
    bool has_length_ = false;
    Line line_;
};

std::string listed(const std::map<std::string, std::size_t>& counts) {
    std::string text;
    for (const auto& [what, count] : counts) {
        text += (text.empty() ? "" : ", ") + std::to_string(count) + " " + what;
    }
    return text;
}

int check_file(const std::string& file, const AtlasRows& atlas, const GeographicLib::MagneticModel& field,
               const std::vector<std::string>& aircraft, bool all) {
    std::ifstream in(file);
    if (!in) {
        throw std::runtime_error("cannot read " + file);
    }
    std::cout << "card " << file << "\n";
    const auto document = read_document(Json::parse(in), aircraft, atlas);
    if (!document) {
        std::cout << "no flight here: nothing to check\n";
        return 0;
    }
    Ledger ledger(all);
    CardCheck(atlas, field, *document, ledger).run();
    check_radios(*document, atlas, ledger);
    std::cout << "checked " << ledger.checked() << " values of " << ledger.by_check().size() << " checks in "
              << document->steps.size() << " steps: " << ledger.wrong() << " wrong; skipped "
              << listed(ledger.skipped()) << "; counted " << listed(ledger.counted()) << "\n";
    return ledger.wrong() == 0 ? 0 : 1;
}

}  // namespace

}  // namespace independent

int main(int count, char** words) {
    try {
        std::string atlas, magnetic, option;
        std::vector<std::string> aircraft, cards;
        bool all = false;
        for (int i = 1; i < count; ++i) {
            const std::string word = words[i];
            if (word == "--all") {
                all = true;
            } else if (word.starts_with("--")) {
                option = word;
            } else if (option == "--atlas") {
                atlas = word;
            } else if (option == "--magnetic") {
                magnetic = word;
            } else if (option == "--aircraft") {
                aircraft.push_back(word);
            } else if (option == "--cards") {
                cards.push_back(word);
            } else {
                throw std::runtime_error("unexpected " + word);
            }
        }
        if (atlas.empty() || magnetic.empty() || cards.empty()) {
            throw std::runtime_error(
                "usage: check_card --atlas ATLAS --magnetic FOLDER [--aircraft FILE...] [--all] --cards "
                "FILE...");
        }
        const independent::AtlasRows rows = independent::read_atlas(atlas);
        const GeographicLib::MagneticModel field("wmm2025", magnetic);
        int status = 0;
        for (const std::string& file : cards) {
            status = std::max(status, independent::check_file(file, rows, field, aircraft, all));
        }
        return status;
    } catch (const std::exception& error) {
        std::cerr << "check_card: " << error.what() << "\n";
        return 2;
    }
}
