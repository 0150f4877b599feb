#include "service/detail/routes.hpp"

#include <array>
#include <chrono>
#include <cmath>
#include <exception>

#include <fmt/format.h>

#include "app/answer_json.hpp"
#include "app/card_page.hpp"
#include "app/station_losses.hpp"
#include "base/contract.hpp"
#include "service/detail/answer_memo.hpp"
#include "service/detail/fields.hpp"
#include "service/detail/questions.hpp"
#include "service/page_file.hpp"

namespace omniway::service::detail {

namespace {

using Faults = std::vector<base::Error>;

Answer refused(Faults faults) {
    return tl::unexpected(refusal_of(std::move(faults)));
}

// Reads a body by `read`, and answers the question in it by `answer`, whose faults are told at the fields.
template <class Reading, class Answering>
Answer of_body(const Asked& asked, const Reading& read, const Answering& answer) {
    const auto body = parse_body(asked.body);
    if (!body) {
        return refused({body.error()});
    }
    Fields fields(*body);
    auto question = read(fields);
    if (!question) {
        return refused(std::move(question.error()));
    }
    tl::expected<std::string, Faults> text = answer(*question);
    if (!text) {
        return refused(fields.at_fields(std::move(text.error())));
    }
    return std::move(*text) + "\n";
}

template <class Found>
tl::expected<std::string, Faults> told(const tl::expected<Found, Faults>& found) {
    if (!found) {
        return tl::unexpected(found.error());
    }
    return app::answer_json(*found);
}

using Planned = tl::expected<app::Planned, Faults>;

std::shared_ptr<const Planned> planned(const Library& library, const PlanBody& body, const std::string& text,
                                       const base::Progress& progress) {
    constexpr double most_proofs = 1000000;
    if (body.prove &&
        !(*body.prove >= 1 && *body.prove <= most_proofs && *body.prove == std::floor(*body.prove))) {
        return std::make_shared<const Planned>(tl::unexpected(Faults{
            {"app.out_of_range",
             fmt::format("{:g} is no whole number from 1 to {:.0f}", *body.prove, most_proofs), "--prove"}}));
    }
    if (body.survive_any) {  // which may be given up, and then is no answer for another
        return std::make_shared<const Planned>(
            app::plan_to_survive_any(library.atlas, library.shipped, body.question, progress));
    }
    const auto make = [&] { return app::plan_flight(library.atlas, library.shipped, body.question); };
    const auto key = AnswerMemo::key_of(text, library.atlas, std::chrono::system_clock::now());
    return key ? library.planned->of(*key, make, [](const Planned& each) { return each.has_value(); })
               : std::make_shared<const Planned>(make());
}

Answer plan(const Library& library, const Asked& asked, const base::Progress& progress) {
    return of_body(asked, plan_body, [&](const PlanBody& body) -> tl::expected<std::string, Faults> {
        const auto lately = planned(library, body, asked.body, progress);
        const Planned& found = *lately;
        if (!found) {
            return tl::unexpected(found.error());
        }
        const auto proved = body.prove ? app::prove(*found, static_cast<std::size_t>(*body.prove), progress)
                                       : std::vector<rehearsal::Chance>();
        return app::answer_json(*found, proved);
    });
}

template <class Found>
tl::expected<std::string, Faults> card_of(const tl::expected<Found, Faults>& found, const char* says_why) {
    if (!found) {
        return tl::unexpected(found.error());
    }
    auto text = app::card_json(*found);
    if (!text) {
        return tl::unexpected(
            Faults{{"service.no_flight",
                    fmt::format("no card is written, for there is no flight: {} says why", says_why), ""}});
    }
    return *text;
}

Answer card(const Library& library, const Asked& asked, const base::Progress& progress) {
    return of_body(asked, card_question, [&](const CardQuestion& of) -> tl::expected<std::string, Faults> {
        if (of.by_hand) {
            return card_of(app::judge_flight(library.atlas, library.shipped, *of.by_hand), "/v1/judge");
        }
        return card_of(*planned(library, of.plan, asked.body, progress), "/v1/plan");
    });
}

Answer judge(const Library& library, const Asked& asked, const base::Progress&) {
    return of_body(asked, judge_body, [&](const app::JudgeQuestion& question) {
        return told(app::judge_flight(library.atlas, library.shipped, question));
    });
}

Answer why(const Library& library, const Asked& asked, const base::Progress&) {
    return of_body(asked, why_body, [&](const app::JudgeQuestion& question) {
        return told(app::why_route(library.atlas, library.shipped, question));
    });
}

Answer hear(const Library& library, const Asked& asked, const base::Progress&) {
    return of_body(asked, hear_body, [&](const HearBody& body) {
        return body.at_points ? told(app::hear_at(library.atlas, library.shipped, body.points))
                              : told(app::hear_along(library.atlas, library.shipped, body.along));
    });
}

Answer find(const Library& library, const Asked& asked, const base::Progress& progress) {
    return of_body(asked, find_body,
                   [&](const app::FindQuestion& question) -> tl::expected<std::string, Faults> {
                       const auto finder = app::Finder::open(library.atlas, library.shipped, question);
                       if (!finder) {
                           return tl::unexpected(finder.error());
                       }
                       return told(finder->find_and_go_on(question, progress));
                   });
}

Answer rehearse(const Library& library, const Asked& asked, const base::Progress& progress) {
    return of_body(asked, rehearse_body, [&](const RehearseBody& body) -> tl::expected<std::string, Faults> {
        const auto found = app::rehearse_flight(library.atlas, library.shipped, body.question, progress);
        if (!found) {
            return tl::unexpected(found.error());
        }
        return app::answer_json(*found, body.question, body.again);
    });
}

Answer next(const Library& library, const Asked& asked, const base::Progress&) {
    return of_body(asked, next_body, [&](const app::NextQuestion& question) {
        return told(app::next_on_route(library.atlas, library.shipped, question));
    });
}

Answer debrief(const Library& library, const Asked& asked, const base::Progress&) {
    return of_body(asked, debrief_body,
                   [&](const app::DebriefQuestion& question) -> tl::expected<std::string, Faults> {
                       const auto found = app::debrief_flight(library.atlas, library.shipped, question);
                       if (!found) {
                           return tl::unexpected(found.error());
                       }
                       return app::answer_json(*found, question);
                   });
}

// As of_body(), of what stands behind the question mark.
template <class Question, class Answering>
Answer of_query(const Read<Question>& question, const Answering& answer) {
    if (!question) {
        return refused(question.error());
    }
    tl::expected<std::string, Faults> text = answer(*question);
    if (!text) {
        return refused(std::move(text.error()));
    }
    return std::move(*text) + "\n";
}

Answer show(const Library& library, const Asked& asked, const base::Progress&) {
    return of_query(ident_query(asked.query),
                    [&](const std::string& ident) -> tl::expected<std::string, Faults> {
                        const auto found = app::show(library.atlas, library.shipped, ident);
                        if (!found) {
                            return tl::unexpected(Faults{found.error()});
                        }
                        return app::answer_json(*found, ident);
                    });
}

Answer about(const Library& library, const Asked& asked, const base::Progress&) {
    return of_query(no_query(asked.query), [&](const auto&) -> tl::expected<std::string, Faults> {
        const auto found = app::about(library.atlas, library.shipped);
        if (!found) {
            return tl::unexpected(found.error());
        }
        return app::answer_json(*found, library.version);
    });
}

Answer chart(const Library& library, const Asked& asked, const base::Progress&) {
    return of_query(chart_query(asked.query), [&](const plan::ChartArea& area) {
        return told(app::chart_of_area(library.atlas, library.shipped, area));
    });
}

template <plan::RasterKind Kind>
Answer raster(const Library& library, const Asked& asked, const base::Progress& progress) {
    return of_query(raster_query(asked.query, Kind), [&](const app::RasterQuestion& question) {
        return told(app::chart_raster(library.atlas, library.shipped, question, progress));
    });
}

Answer search(const Library& library, const Asked& asked, const base::Progress&) {
    return of_query(search_query(asked.query),
                    [&](const app::SearchQuestion& question) -> tl::expected<std::string, Faults> {
                        const auto found = app::search(library.atlas, library.shipped, question);
                        if (!found) {
                            return tl::unexpected(found.error());
                        }
                        return app::answer_json(*found, question.words);
                    });
}

Answer ribbon(const Library& library, const Asked& asked, const base::Progress&) {
    return of_body(
        asked, card_viewed_body, [&](const app::CardViewed& question) -> tl::expected<std::string, Faults> {
            return app::ribbon_of_card(library.atlas, library.shipped, question).transform(app::ribbon_json);
        });
}

Answer panel(const Library& library, const Asked& asked, const base::Progress&) {
    return of_body(
        asked, card_viewed_body, [&](const app::CardViewed& question) -> tl::expected<std::string, Faults> {
            return app::panel_of_card(library.atlas, library.shipped, question).transform(app::panel_json);
        });
}

Answer replay(const Library& library, const Asked& asked, const base::Progress&) {
    return of_body(asked, replay_body, [&](const RehearseBody& body) -> tl::expected<std::string, Faults> {
        return app::replay_flight(library.atlas, library.shipped, body.question).transform(app::replay_json);
    });
}

Answer groundspeed_check(const Library&, const Asked& asked, const base::Progress&) {
    return of_body(asked, card_body, app::groundspeed_check_of_card);
}

Answer card_page(const Library&, const Asked& asked, const base::Progress&) {
    return of_body(asked, card_body,
                   [](const std::string& card) { return app::card_page(card_page_file(), card); });
}

constexpr std::array<Route, 21> all_routes{{
    {"POST", "/v1/plan", false, plan},
    {"POST", "/v1/card", false, card},
    {"POST", "/v1/judge", false, judge},
    {"POST", "/v1/why", false, why},
    {"POST", "/v1/hear", false, hear},
    {"POST", "/v1/find", false, find},
    {"POST", "/v1/rehearse", true, rehearse},
    {"POST", "/v1/debrief", false, debrief},
    {"GET", "/v1/show", false, show},
    {"POST", "/v1/next", false, next},
    {"GET", "/v1/about", false, about},
    {"GET", "/v1/search", false, search},
    {"GET", "/v1/chart", false, chart},
    {"GET", "/v1/terrain", false, raster<plan::RasterKind::terrain>},
    {"GET", "/v1/coverage", false, raster<plan::RasterKind::coverage>},
    {"GET", "/v1/fix-accuracy", false, raster<plan::RasterKind::fix_accuracy>},
    {"POST", "/v1/ribbon", false, ribbon},
    {"POST", "/v1/panel", false, panel},
    {"POST", "/v1/replay", false, replay},
    {"POST", "/v1/groundspeed-check", false, groundspeed_check},
    {"POST", "/v1/card-page", false, card_page, "text/html; charset=utf-8", "omniway-card.html"},
}};

}  // namespace

std::span<const Route> routes() {
    return all_routes;
}

Answer answer_of(const Route& route, const Library& library, const Asked& asked,
                 const base::Progress& progress) {
    try {
        return route.answer(library, asked, progress);
    } catch (const base::ContractViolation& bug) {
        return refused(
            {{"service.fault", fmt::format("a fault of ours, not of your data: {}", bug.what()), ""}});
    } catch (const std::exception& broken) {
        return refused({{"service.fault", broken.what(), ""}});
    }
}

}  // namespace omniway::service::detail
