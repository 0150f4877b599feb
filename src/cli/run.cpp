#include "cli/run.hpp"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <optional>

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include "app/answer_json.hpp"
#include "app/card_page.hpp"
#include "app/decimal_year.hpp"
#include "app/import.hpp"
#include "app/plan_flight.hpp"
#include "app/rehearse_flight.hpp"
#include "app/show.hpp"
#include "app/station_losses.hpp"
#include "app/telling.hpp"
#include "cli/detail/debrief_command.hpp"
#include "cli/detail/divert_command.hpp"
#include "cli/detail/find_command.hpp"
#include "cli/detail/flight_words.hpp"
#include "cli/detail/hear_command.hpp"
#include "cli/detail/judge_command.hpp"
#include "cli/detail/losses_command.hpp"
#include "cli/detail/nav_log_command.hpp"
#include "cli/detail/procedure_command.hpp"
#include "cli/detail/rehearse_command.hpp"
#include "cli/detail/serve_command.hpp"
#include "cli/detail/why_command.hpp"
#include "service/page_file.hpp"
#include "store/atlas.hpp"
#include "store/atlas_place.hpp"
#include "wire/plan_json.hpp"
#include "wire/telling_json.hpp"
#include "writers/card_text.hpp"
#include "writers/telling_text.hpp"

namespace omniway::cli {

namespace {

using Json = nlohmann::ordered_json;
using Faults = std::vector<base::Error>;

constexpr int done = 0;
constexpr int not_flyable = 1;
constexpr int bad_input = 2;
constexpr int cancelled = 3;

std::optional<std::string> variable(const char* name) {
    const char* value = std::getenv(name);
    return value == nullptr ? std::nullopt : std::optional<std::string>(value);
}

store::Environment environment() {
    return {variable("OMNIWAY_ATLAS"), variable("XDG_DATA_HOME"), variable("HOME")};
}

// The words of docs/atlas.md.
std::string_view point_kind_word(navdata::PointKind kind) {
    switch (kind) {
        case navdata::PointKind::fix:
            break;
        case navdata::PointKind::terminal_fix:
            return "terminal_fix";
        case navdata::PointKind::vhf_station:
            return "vhf_station";
        case navdata::PointKind::ndb:
            return "ndb";
        case navdata::PointKind::terminal_ndb:
            return "terminal_ndb";
        case navdata::PointKind::localizer:
            return "localizer";
        case navdata::PointKind::airport:
            return "airport";
        case navdata::PointKind::runway:
            return "runway";
    }
    return "fix";
}

class Commands {
public:
    explicit Commands(const Surroundings& surroundings)
        : around_(surroundings),
          shipped_{surroundings.share_folder, surroundings.raster_program},
          hear_(host()),
          judge_(host()),
          why_way_(host()),
          procedure_(host()),
          nav_log_(host(), question_, date_),
          losses_(host(), question_),
          divert_(host()),
          rehearse_(host()),
          debrief_(host()),
          find_(host()),
          serve_(host()) {}

    int run(std::vector<std::string> arguments) {
        CLI::App app{
            "Plans instrument flights that ground-based radio aids alone can guide: VOR, DME, NDB, ILS and "
            "conventional airways.\nFor simulation and training, not for real-world navigation.",
            "omniway"};
        app.set_version_flag("--version", version_text());
        app.require_subcommand(1);
        declare_import(app);
        declare_plan(app);
        declare_nav_log(app);
        declare_losses(app);
        add_common(*divert_.declare(app, date_), true);
        add_common(*rehearse_.declare(app, date_, arguments), true);
        add_common(*debrief_.declare(app), true);
        add_common(*find_.declare(app, date_), true);
        declare_show(app);
        CLI::App* const serve = serve_.declare(app, OMNIWAY_VERSION);
        serve->add_option("--atlas", atlas_, "Atlas file (else OMNIWAY_ATLAS, else the XDG data folder)");
        add_common(*hear_.declare(app, date_), true);
        add_common(*judge_.declare(app, date_), true);
        add_common(*why_way_.declare(app, date_), true);
        declare_atlas(app);
        declare_aircraft(app);
        // Asked for even where the rest of the line cannot be understood: an error is JSON then too.
        json_ = std::find(arguments.begin(), arguments.end(), "--json") != arguments.end();
        arguments = detail::FindCommand::joined(arguments);
        std::reverse(arguments.begin(), arguments.end());
        try {
            app.parse(arguments);
        } catch (const CLI::CallForVersion&) {
            around_.out << version_text() << "\n";
            return done;
        } catch (const CLI::ParseError& stop) {
            if (stop.get_exit_code() == 0) {
                return app.exit(stop, around_.out, around_.err);
            }
            return refuse({{"cli.arguments",
                            stop.what() + std::string(": omniway --help says what is understood"), ""}});
        }
        return status_;
    }

private:
    detail::CommandHost host() {
        return {around_,
                shipped_,
                json_,
                status_,
                [this] { return atlas_path(); },
                [this] { return day(); },
                [this](const Faults& faults) { refuse(faults); },
                [this](const app::World& world) { tell_troubles(world); }};
    }

    std::string version_text() const {
        if (!json_) {
            return "omniway " OMNIWAY_VERSION;
        }
        return Json{
            {"schema_version", wire::schema_version}, {"kind", "version"}, {"version", OMNIWAY_VERSION}}
            .dump(2);
    }

    int refuse(const Faults& faults) {
        if (json_) {
            around_.out << wire::errors_json(faults) << "\n";
        }
        for (const base::Error& fault : faults) {
            around_.err << "omniway: " << base::to_text(fault) << "\n";
        }
        return status_ = bad_input;
    }

    void add_common(CLI::App& command, bool with_atlas) {
        command.add_flag("--json", json_, "Print JSON (api/) instead of text");
        if (with_atlas) {
            command.add_option("--atlas", atlas_,
                               "Atlas file (else OMNIWAY_ATLAS, else the XDG data folder)");
        }
    }

    std::optional<std::string> atlas_path() {
        const auto path = store::atlas_path(atlas_, environment());
        if (!path) {
            refuse({path.error()});
            return std::nullopt;
        }
        return *path;
    }

    void declare_import(CLI::App& app) {
        CLI::App* command = app.add_subcommand("import", "Read navigation data and terrain into an atlas");
        command->footer(
            "Examples: omniway import FAACIFP18 navaids.csv airports.csv runways.csv --out world.atlas; "
            "omniway import FAACIFP18 N44W072.hgt alps.tif --out world.atlas");
        command
            ->add_option("FILE", files_,
                         "ARINC 424-18 text, OurAirports CSV, or elevations as GeoTIFF or .hgt")
            ->required();
        command->add_option("--out", out_, "Atlas to write (else the default place)");
        command->add_flag("--list", list_, "List every record not used, with its line and reason");
        add_common(*command, false);
        command->callback([this] { import(); });
    }

    void import() {
        const auto path = store::atlas_path(out_, environment());
        if (!path) {
            refuse({path.error()});
            return;
        }
        if (!out_) {
            if (const auto made = store::make_folder_for(*path); !made) {
                refuse({made.error()});
                return;
            }
        }
        base::Progress progress;
        if (around_.err_is_terminal) {
            progress.report = [this](std::string_view stage, double share) {
                around_.err << fmt::format("\r{:<40} {:3.0f} %", stage, share * 100.0) << std::flush;
            };
        }
        progress.stop = around_.stop;
        const auto today = std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now());
        const auto imported = app::import_files(files_, *path, shipped_, today, progress);
        if (around_.err_is_terminal) {
            around_.err << "\r" << std::string(48, ' ') << "\r";
        }
        if (!imported) {
            refuse({imported.error()});
            if (imported.error().code.ends_with(".cancelled")) {
                status_ = cancelled;
            }
            return;
        }
        json_ ? print_json(*imported) : print_text(*imported);
    }

    void print_json(const app::Imported& imported) {
        Json json{{"schema_version", wire::schema_version},
                  {"kind", "import"},
                  {"atlas", imported.written.path},
                  {"size_bytes", imported.written.size_bytes},
                  {"checksum", imported.written.checksum},
                  {"rows", imported.rows},
                  {"rows_used", imported.used},
                  {"rows_not_used", Json::object()},
                  {"counts", Json::object()},
                  {"terrain", terrain_json(imported.written.terrain)},
                  {"coastlines", imported.written.coastline_rings},
                  {"merged", Json::array()},
                  {"diagnostics", Json::array()}};
        for (const auto& [reason, number] : imported.not_used) {
            json["rows_not_used"][reason] = number;
        }
        for (const store::KindCount& count : imported.written.counts) {
            json["counts"][count.kind] = count.number;
        }
        for (const readers::MergeChoice& choice : imported.merged) {
            json["merged"].push_back({{"what", choice.what},
                                      {"used", choice.chosen},
                                      {"not_used", choice.dropped},
                                      {"why", choice.why}});
        }
        for (const base::Error& each : imported.diagnostics) {
            json["diagnostics"].push_back(
                {{"code", each.code}, {"message", each.message}, {"where", each.where}});
        }
        around_.out << json.dump(2) << "\n";
    }

    static Json terrain_json(const store::TerrainSummary& terrain) {
        Json json{{"tiles", terrain.tiles},
                  {"nodes", terrain.nodes},
                  {"unknown_nodes", terrain.unknown_nodes},
                  {"spacings", Json::array()},
                  {"checksum", terrain.checksum},
                  {"sources", Json::array()}};
        for (const store::SpacingCount& each : terrain.spacings) {
            json["spacings"].push_back(
                {{"spacing_arc_seconds", each.spacing_arc_seconds}, {"tiles", each.tiles}});
        }
        for (const store::TerrainSource& each : terrain.sources) {
            json["sources"].push_back({{"file", each.file},
                                       {"format", each.format},
                                       {"projection", each.projection},
                                       {"spacing_arc_seconds", each.spacing_arc_seconds}});
        }
        return json;
    }

    static std::string terrain_text(const store::TerrainSummary& terrain, std::size_t coastline_rings) {
        std::string text;
        for (const store::SpacingCount& each : terrain.spacings) {
            text += fmt::format("  {:>7} terrain tiles of {} arc-second{}\n", each.tiles,
                                each.spacing_arc_seconds, each.spacing_arc_seconds == 1 ? "" : "s");
        }
        if (terrain.unknown_nodes > 0) {
            text +=
                fmt::format("  {:>7} of {} terrain nodes unknown\n", terrain.unknown_nodes, terrain.nodes);
        }
        if (coastline_rings > 0) {
            text += fmt::format("  {:>7} coastlines\n", coastline_rings);
        }
        return text;
    }

    static std::string sources_text(const store::TerrainSummary& terrain) {
        std::string text;
        for (const store::TerrainSource& each : terrain.sources) {
            text += fmt::format("terrain from {} ({}, {}, {} arc-second{})\n", each.file, each.format,
                                each.projection, each.spacing_arc_seconds,
                                each.spacing_arc_seconds == 1 ? "" : "s");
        }
        return text;
    }

    void print_text(const app::Imported& imported) {
        around_.out << fmt::format("{}: {} bytes\n", imported.written.path, imported.written.size_bytes);
        for (const store::KindCount& count : imported.written.counts) {
            if (count.number > 0) {
                around_.out << fmt::format("  {:>7} {}\n", count.number, count.kind);
            }
        }
        around_.out << terrain_text(imported.written.terrain, imported.written.coastline_rings);
        around_.out << fmt::format("{} rows, {} used\n", imported.rows, imported.used);
        for (const auto& [reason, number] : imported.not_used) {
            around_.out << fmt::format("  {:>7} not used: {}\n", number, reason);
        }
        if (list_) {
            around_.out << sources_text(imported.written.terrain);
            for (const base::Error& each : imported.diagnostics) {
                around_.out << base::to_text(each) << "\n";
            }
            for (const readers::MergeChoice& choice : imported.merged) {
                around_.out << readers::to_text(choice) << "\n";
            }
        } else if (!imported.diagnostics.empty() || !imported.merged.empty()) {
            around_.out << "--list names each with its line\n";
        }
    }

    void declare_plan(CLI::App& app) {
        CLI::App* command = app.add_subcommand("plan", "Plan a flight that the radios aboard can fly");
        command->footer("Example: omniway plan XDOV XMRA --aircraft single --wind 270/15");
        add_plan_words(command);
        command->add_option("--card", card_,
                            "Write the card as JSON (api/card.schema.json) to a file, - for here");
        command->add_option(
            "--card-page", card_page_,
            "Write the card as one page of HTML that needs no program to be flown from, - for here");
        command->add_flag("--why", why_, "List all findings, and what was refused with the reason");
        command
            ->add_flag("--survive-any", survive_any_,
                       "Only a flight that no single station's failure strands (docs/station-loss.md)")
            ->excludes("--card")
            ->excludes("--card-page");
        command->add_option("-n,--choices", question_.choices,
                            "How many flights to offer, 1 to 9: each with what it costs and how it differs");
        command->add_option("--choose", question_.choose, "Which of them to answer with (else the first)");
        command
            ->add_option(
                "--prove", prove_,
                "Rehearse each flight offered so many times with nominal errors: its chance to arrive "
                "(docs/rehearse.md)")
            ->check(CLI::Range(1, 1000000));
        add_common(*command, true);
        command->callback([this] { plan(); });
    }

    void declare_nav_log(CLI::App& app) {
        CLI::App* command = nav_log_.declare(app);
        add_plan_words(command);
        add_common(*command, true);
    }

    void declare_losses(CLI::App& app) {
        CLI::App* command = losses_.declare(app);
        add_plan_words(command);
        add_common(*command, true);
    }

    // What plans a flight, for every command that begins with a plan.
    void add_plan_words(CLI::App* command) {
        command->add_option("FROM", question_.from, "Departure airport")->required();
        command->add_option("TO", question_.to, "Destination airport")->required();
        detail::add_flight_words(*command, question_);
        detail::add_way_words(*command, question_);
        command->add_option("--altitude", question_.altitude_ft, "Cruising altitude in feet (else chosen)");
        command->add_option("--departure", question_.departure,
                            "SID to fly, by ident, or own for an own departure (else chosen)");
        command->add_option("--arrival", question_.arrival, "STAR to fly, by ident, or none (else chosen)");
        command->add_option("--date", date_, "Date of the flight, YYYY-MM-DD (else today)");
    }

    std::optional<earth::DecimalYear> day() {
        if (!date_) {
            return app::decimal_year(std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now()));
        }
        const auto read = app::day_of(*date_, "--date");
        if (!read) {
            refuse({read.error()});
            return std::nullopt;
        }
        return *read;
    }

    void plan() {
        if (printed_twice()) {
            return;
        }
        const auto path = atlas_path();
        const auto today = path ? day() : std::nullopt;
        if (!today) {
            return;
        }
        question_.today = *today;
        question_.what_mattered = why_;
        const auto planned =
            survive_any_ ? app::plan_to_survive_any(*path, shipped_, question_, detail::progress_of(around_))
                         : app::plan_flight(*path, shipped_, question_);
        if (survive_any_) {
            detail::end_progress(around_);
        }
        if (!planned) {
            detail::refuse_or_cancelled(host(), planned.error());
            return;
        }
        const navdata::Snapshot& world = *planned->world.snapshot;
        if ((card_ || card_page_) && !write_card(*planned)) {
            return;
        }
        const auto proved = prove_ ? app::prove(*planned, *prove_, detail::progress_of(around_))
                                   : std::vector<rehearsal::Chance>();
        if (prove_) {
            detail::end_progress(around_);
        }
        if (card_ == "-" || card_page_ == "-") {
            // The card stands there in place of the plan.
        } else if (json_) {
            around_.out << app::answer_json(*planned, proved) << "\n";
        } else {
            around_.out << writers::card_text(world, planned->request, planned->answer, why_, proved);
            if (why_) {
                around_.out << "\n" << writers::refused_text(world, planned->answer);
            }
        }
        tell_troubles(planned->world);
        const bool flyable = planned->answer.verdict != base::Verdict::not_flyable;
        status_ = !flyable                                                      ? not_flyable
                  : prove_ && proved.size() < planned->answer.others.size() + 1 ? cancelled
                                                                                : done;
    }

    bool printed_twice() {
        const std::string_view card = card_ == "-" ? "--card" : "--card-page";
        const int printed = (json_ ? 1 : 0) + (card_ == "-" ? 1 : 0) + (card_page_ == "-" ? 1 : 0);
        if (printed > 1) {
            refuse({{"cli.arguments",
                     fmt::format("{} and {} - both print a document: give the card a file of its own",
                                 json_ ? "--json" : "--card-page", card),
                     std::string(card)}});
        }
        return printed > 1;
    }

    bool write_card(const app::Planned& planned) {
        const auto card = app::card_json(planned);
        if (!card) {
            around_.err
                << "omniway: no card is written, for there is no flight: omniway plan without --card - "
                   "says why\n";
            return true;
        }
        if (card_ && !host().give(*card_, *card)) {
            return false;
        }
        if (!card_page_) {
            return true;
        }
        const auto page = app::card_page(service::card_page_file(), *card);
        if (!page) {
            refuse(page.error());
            return false;
        }
        return host().give(*card_page_, *page);
    }

    void tell_troubles(const app::World& world) {
        for (const base::Error& each : app::troubles(world)) {
            around_.err << "omniway: " << base::to_text(each) << "\n";
        }
    }

    void declare_show(CLI::App& app) {
        CLI::App* command = app.add_subcommand(
            "show", "Show a station, fix, airway, airport, runway or procedure with its figures");
        command->footer(
            "Examples: omniway show KJFK; omniway show KJFK/I22L; omniway show KJFK/RW22L; omniway show "
            "V16;\n"
            "omniway show MERIT --telling --altitude 5000 --aircraft twin;\n"
            "omniway show KJFK I22L --aircraft twin --wind 240/20 --svg i22l.svg; omniway show KJFK "
            "--procedures");
        command->add_option("IDENT", ident_, "Ident; a procedure or runway, as recorded, as AIRPORT/IDENT")
            ->required();
        procedure_.declare(*command);
        CLI::Option* telling = command->add_flag("--telling", telling_,
                                                 "Show every way in which a fix can be told, and how well");
        command
            ->add_option("--altitude", asked_fix_.altitude_ft,
                         "Altitude over the fix in feet (else the airway's minimum, else 5000)")
            ->needs(telling);
        command->add_option(
            "--aircraft", asked_fix_.aircraft,
            "Who flies it, or tells the fix: an aircraft file, or trainer, single (the default), twin, jet");
        command
            ->add_option("--track", asked_fix_.track_deg,
                         "Magnetic track on arriving, degrees (else the airways through the fix)")
            ->needs(telling);
        command->add_option("--criteria", show_criteria_,
                            "Whose tolerances: terps (the default) or pans-ops");
        command
            ->add_option("--use", asked_fix_.use,
                         "What the fix is used for: en-route (the default), terminal or holding")
            ->needs(telling);
        command->add_option("--reception", asked_fix_.reception,
                            "What stands between stations and aircraft: volume, horizon or terrain");
        command->add_option("--date", date_, "Date for magnetic tracks, YYYY-MM-DD (else today)")
            ->needs(telling);
        add_common(*command, true);
        command->callback([this] { show_what_is_asked(); });
    }

    void show_what_is_asked() {
        const std::string stray = procedure_.is_asked()         ? ""
                                  : !procedure_.stray().empty() ? procedure_.stray()
                                  : telling_                    ? ""
                                  : asked_fix_.aircraft         ? "--aircraft"
                                  : show_criteria_              ? "--criteria"
                                  : asked_fix_.reception        ? "--reception"
                                                                : "";
        if (!stray.empty() || (telling_ && procedure_.is_asked())) {
            refuse({{"cli.arguments",
                     (stray.empty() ? std::string("--telling is of a fix, not of a procedure")
                                    : stray + " is of a procedure: name one after its airport") +
                         ": omniway show --help says what is understood",
                     ""}});
            return;
        }
        const std::string criteria = show_criteria_.value_or("terps");
        if (procedure_.is_asked()) {
            procedure_.show(ident_, asked_fix_.aircraft, criteria, asked_fix_.reception);
            return;
        }
        asked_fix_.criteria = criteria;
        telling_ ? tell() : show();
    }

    void tell() {
        const auto path = atlas_path();
        const auto today = path ? day() : std::nullopt;
        if (!today) {
            return;
        }
        asked_fix_.ident = ident_;
        asked_fix_.today = *today;
        const auto told = app::tell_fix(*path, shipped_, asked_fix_);
        if (!told) {
            refuse(told.error());
            return;
        }
        const navdata::Snapshot& world = *told->world.snapshot;
        tell_troubles(told->world);
        if (json_) {
            around_.out << wire::telling_json(world, told->reports) << "\n";
            return;
        }
        for (const plan::FixReport& report : told->reports) {
            around_.out << (&report == told->reports.data() ? "" : "\n")
                        << writers::telling_text(world, report);
        }
    }

    void show() {
        const auto path = atlas_path();
        if (!path) {
            return;
        }
        const auto found = app::show(*path, shipped_, ident_);
        if (!found) {
            refuse({found.error()});
            return;
        }
        const navdata::Snapshot& world = *found->world.snapshot;
        if (json_) {
            around_.out << app::answer_json(*found, ident_) << "\n";
            return;
        }
        for (const navdata::RecordId& record : found->records) {
            const app::Shown shown = app::shown(world, record);
            around_.out << shown.title << "\n";
            for (const auto& [label, value] : shown.figures) {
                around_.out << fmt::format("  {:<22} {}\n", label, value);
            }
        }
    }

    void declare_atlas(CLI::App& app) {
        CLI::App* command = app.add_subcommand("atlas", "Look into an atlas file");
        command->require_subcommand(1);
        for (const bool verifying : {false, true}) {
            CLI::App* part = verifying ? command->add_subcommand("verify", "Examine an atlas whole")
                                       : command->add_subcommand("info", "Say what an atlas holds");
            part->footer(verifying ? "Example: omniway atlas verify world.atlas"
                                   : "Example: omniway atlas info world.atlas");
            part->add_option("ATLAS", atlas_, "Atlas file (else the default place)");
            part->add_flag("--json", json_, "Print JSON (api/) instead of text");
            part->callback([this, verifying] { verifying ? atlas_verify() : atlas_info(); });
        }
    }

    std::optional<store::Atlas> opened_atlas() {
        const auto path = atlas_path();
        if (!path) {
            return std::nullopt;
        }
        auto opened = store::Atlas::open(*path);
        if (!opened) {
            refuse({opened.error()});
            return std::nullopt;
        }
        return std::move(*opened);
    }

    void atlas_info() {
        const auto atlas = opened_atlas();
        if (!atlas) {
            return;
        }
        const auto info = atlas->info();
        if (!info) {
            refuse({info.error()});
            return;
        }
        Json json{{"schema_version", wire::schema_version},
                  {"kind", "atlas_info"},
                  {"atlas", info->path},
                  {"atlas_schema_version", info->schema_version},
                  {"checksum", info->checksum},
                  {"size_bytes", info->size_bytes},
                  {"counts", Json::object()},
                  {"sources", Json::array()}};
        std::string text = fmt::format("{}: schema {}, {} bytes, checksum {}\n", info->path,
                                       info->schema_version, info->size_bytes, info->checksum);
        for (const store::KindCount& count : info->counts) {
            json["counts"][count.kind] = count.number;
            if (count.number > 0) {
                text += fmt::format("  {:>7} {}\n", count.number, count.kind);
            }
        }
        json["terrain"] = terrain_json(info->terrain);
        json["coastlines"] = info->coastline_rings;
        text += terrain_text(info->terrain, info->coastline_rings) + sources_text(info->terrain);
        for (const navdata::Source& source : info->sources) {
            json["sources"].push_back({{"file", source.file},
                                       {"format", source.format},
                                       {"cycle", source.cycle},
                                       {"validity", source.validity},
                                       {"checksum", source.checksum}});
            text += fmt::format("from {} ({}{}{})\n", source.file, source.format,
                                source.cycle.empty() ? "" : ", cycle " + source.cycle,
                                source.validity.empty() ? "" : ", " + source.validity);
        }
        around_.out << (json_ ? json.dump(2) + "\n" : text);
    }

    void atlas_verify() {
        const auto atlas = opened_atlas();
        if (!atlas) {
            return;
        }
        const auto report = atlas->verify();
        const auto info = atlas->info();
        if (!report || !info) {
            refuse({report ? info.error() : report.error()});
            return;
        }
        Json json{{"schema_version", wire::schema_version},
                  {"kind", "atlas_verify"},
                  {"atlas", info->path},
                  {"checksum", info->checksum},
                  {"whole", report->whole()},
                  {"problems", report->problems},
                  {"names_checked", report->names_checked},
                  {"tiles_read", report->tiles_read},
                  {"tiles_damaged", report->tiles_damaged},
                  {"terrain", terrain_json(info->terrain)},
                  {"unresolved", Json::array()}};
        std::string text = report->whole() ? "whole\n" : "not whole\n";
        for (const std::string& problem : report->problems) {
            text += "  " + problem + "\n";
        }
        if (report->tiles_read > 0) {
            text +=
                fmt::format("{} terrain tiles read, {} damaged\n", report->tiles_read, report->tiles_damaged);
        }
        text += fmt::format("{} names checked, {} lead to no record here\n", report->names_checked,
                            report->unresolved.size());
        for (const store::UnresolvedName& each : report->unresolved) {
            json["unresolved"].push_back({{"from", each.from},
                                          {"kind", point_kind_word(each.name.kind)},
                                          {"ident", each.name.ident},
                                          {"region", each.name.region},
                                          {"airport", each.name.airport},
                                          {"records", each.records}});
        }
        around_.out << (json_ ? json.dump(2) + "\n" : text);
        status_ = report->whole() ? done : not_flyable;
    }

    void declare_aircraft(CLI::App& app) {
        CLI::App* command = app.add_subcommand("aircraft", "Check an aircraft file");
        command->require_subcommand(1);
        CLI::App* check = command->add_subcommand("check", "Read an aircraft file and name all its faults");
        check->footer("Example: omniway aircraft check mine.toml");
        check->add_option("FILE", question_.aircraft, "Aircraft file, or the name of a shipped one")
            ->required();
        check->add_flag("--json", json_, "Print JSON (api/) instead of text");
        check->callback([this] { aircraft_check(); });
    }

    void aircraft_check() {
        const auto aircraft = app::find_aircraft(shipped_, question_.aircraft);
        if (!aircraft) {
            refuse(aircraft.error());
            return;
        }
        const cockpit::Equipment& aboard = aircraft->equipment;
        Json json{{"schema_version", wire::schema_version},
                  {"kind", "aircraft_check"},
                  {"aircraft", aircraft->name},
                  {"navigation_receivers", aboard.receivers.size()},
                  {"localizer", aboard.has_localizer()},
                  {"glideslope", aboard.has_glideslope()},
                  {"dme", aboard.dme.has_value()},
                  {"adf", aboard.adf.has_value()},
                  {"marker_receiver", aboard.marker_receiver},
                  {"service_ceiling_msl_ft", aircraft->performance.service_ceiling.feet()},
                  {"fuel_usable_lb", aircraft->fuel.usable.pounds()}};
        const std::string text =
            fmt::format("{}: {} navigation receiver{}{}{}{}{}{}, ceiling {:.0f} ft, {:.0f} lb usable fuel\n",
                        aircraft->name, aboard.receivers.size(), aboard.receivers.size() == 1 ? "" : "s",
                        aboard.has_localizer() ? ", localizer" : "",
                        aboard.has_glideslope() ? ", glideslope" : "", aboard.dme ? ", DME" : ", no DME",
                        aboard.adf ? ", ADF" : ", no ADF", aboard.marker_receiver ? ", markers" : "",
                        aircraft->performance.service_ceiling.feet(), aircraft->fuel.usable.pounds());
        around_.out << (json_ ? json.dump(2) + "\n" : text);
    }

    const Surroundings& around_;
    app::Shipped shipped_;
    int status_ = done;
    bool json_ = false;
    std::optional<std::string> atlas_;
    std::vector<std::string> files_;
    std::optional<std::string> out_;
    bool list_ = false;
    app::PlanQuestion question_;
    std::optional<std::string> date_;
    std::optional<std::string> card_;
    std::optional<std::string> card_page_;
    bool why_ = false;
    std::string ident_;
    bool telling_ = false;
    app::TellingQuestion asked_fix_;
    std::optional<std::string> show_criteria_;
    detail::HearCommand hear_;
    detail::JudgeCommand judge_;
    detail::WhyCommand why_way_;
    detail::ProcedureCommand procedure_;
    detail::NavLogCommand nav_log_;
    detail::LossesCommand losses_;
    detail::DivertCommand divert_;
    detail::RehearseCommand rehearse_;
    detail::DebriefCommand debrief_;
    detail::FindCommand find_;
    detail::ServeCommand serve_;
    bool survive_any_ = false;
    std::optional<std::size_t> prove_;
};

}  // namespace

int run(const std::vector<std::string>& arguments, const Surroundings& surroundings) {
    return Commands(surroundings).run(arguments);
}

}  // namespace omniway::cli
