#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/finding.hpp"
#include "flight/flight_track.hpp"
#include "navdata/record_id.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/final_segment.hpp"
#include "procedure/flown.hpp"
#include "procedure/path.hpp"
#include "radio/error_budget.hpp"
#include "radio/ground.hpp"
#include "weather/wind.hpp"

namespace omniway::plan {

/// Which procedure is shown, and who flies it in what wind.
struct ProcedureRequest {
    navdata::ProcedureId procedure;
    aircraft::Aircraft aircraft;
    weather::Wind wind;
    std::optional<std::string> transition;  // none: every way through it
    procedure::ReversalManner reversal = procedure::ReversalManner::fortyfive_oneeighty;
    radio::Criteria criteria = radio::Criteria::terps;
    /// Of the airport by the magnetic model: courses are told by it where the airport's own record gives none.
    std::optional<base::Variation> modelled_variation;
};

/// What a leg asks of the panel.
enum class Need { receiver, second_receiver, localizer_receiver, glideslope_receiver, dme, adf };
std::string_view to_text(Need need);

/// One leg of a way, placed and flown.
struct ReportedLeg {
    const navdata::Leg* coded = nullptr;         // none: flown instead of what is coded
    std::optional<procedure::PlacedLeg> placed;  // none: nothing places it, and its findings say why
    procedure::FlownLeg flown;                   // without pieces where there is nothing to fly
    std::optional<base::Altitude> lowest;        // at its end, as coded
    std::optional<base::Altitude> highest;
    std::vector<Need> needs;
    std::vector<base::Finding> findings;
    bool missed = false;

    bool flyable() const;
};

/// One way through a procedure: from one transition to its end.
struct ReportedWay {
    std::string name;        // "ILS RW27 via XRG"
    std::string transition;  // as coded; empty: the part that all share, alone
    std::optional<navdata::RunwayId> runway;
    std::optional<navdata::StationId> localizer;
    std::vector<ReportedLeg> legs;                 // those of the missed approach last
    std::optional<procedure::FinalSegment> final;  // of an approach that is whole
    std::vector<base::Finding> findings;           // of the way as a whole
    base::Length length;                           // without the missed approach
    base::Duration time{0.0};

    bool flyable() const;
    /// The first finding that blocks, of the way or of a leg.
    const base::Finding* blocked_by() const;
};

/// A procedure as an aircraft flies it in a wind.
struct ProcedureReport {
    ProcedureRequest request;
    navdata::AirportId airport;
    bool area_navigation = false;  // published for it: drawn and refused
    std::vector<ReportedWay> ways;

    /// Whether at least one way through it can be flown.
    bool flyable() const;
};

/// Places, judges and flies every way through a procedure.
///   Model     approaches by procedure/approach.hpp; what it refuses as a whole is placed leg by leg all the same, so that it can be
///             drawn. Departures and arrivals: each transition and the part they share.
///   Domain    procedures of `world`.
///   Accuracy  as procedure/path.hpp and procedure/track_piece.hpp.
///   Cost      some milliseconds.
///   Fails     "no" is a way with findings that block.
///   Source    design section 3; trade-facts 11.
ProcedureReport procedure_report(const navdata::Snapshot& world, const radio::Ground& ground,
                                 ProcedureRequest request);

/// The same of every procedure of an airport; `request` gives all but the procedure.
std::vector<ProcedureReport> procedure_reports(const navdata::Snapshot& world, const radio::Ground& ground,
                                               navdata::AirportId airport, ProcedureRequest request);

/// The names of the ways of a procedure: its transitions; empty for the part they share.
std::vector<std::string> transitions_of(const navdata::Procedure& procedure);

/// By which the courses of a report are magnetic: the airport's own, else the model's; none where neither is known.
std::optional<base::Variation> variation_of(const navdata::Snapshot& world, const ProcedureReport& report);

/// "ILS RW27", "departure", "RNAV arrival": what kind of procedure it is.
std::string kind_text(const navdata::Procedure& procedure);

/// What a fix of it is called: its ident, or how far out on the course it stands.
std::string end_name(const ReportedLeg& leg);

/// The step that a leg is on a card: what guides and what ends it; none for an initial fix and for what nothing places.
std::optional<flight::TrackStep> step_of(const navdata::Snapshot& world, const ProcedureReport& report,
                                         const ReportedLeg& leg);

/// What guides along a leg, what ends it, and its altitudes at the end, in the card's words.
std::string guidance_text(const navdata::Snapshot& world, const ProcedureReport& report,
                          const ReportedLeg& leg);
std::string ending_text(const navdata::Snapshot& world, const ProcedureReport& report,
                        const ReportedLeg& leg);
std::string altitude_text(const ReportedLeg& leg);

/// What else is written down for a leg: entry and circuit of a hold, courses, headings and times of a procedure turn.
std::vector<std::string> paper_text(const navdata::Snapshot& world, const ProcedureReport& report,
                                    const ReportedLeg& leg);
/// The final segment: angle, gradient, glideslope at the final fix, step-downs, times to the missed approach point.
std::vector<std::string> final_text(const procedure::FinalSegment& final);

}  // namespace omniway::plan
