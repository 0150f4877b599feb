#pragma once

#include <string>
#include <vector>

#include "app/chart_area.hpp"
#include "app/chart_raster.hpp"
#include "app/debrief_flight.hpp"
#include "app/find_position.hpp"
#include "app/flight_views.hpp"
#include "app/hear.hpp"
#include "app/judge_flight.hpp"
#include "app/next_on_route.hpp"
#include "app/rehearse_flight.hpp"
#include "app/search.hpp"
#include "service/detail/fields.hpp"
#include "service/detail/message.hpp"

namespace omniway::service::detail {

/// What a body asks, in the questions that the commands fill; every fault in its fields is found before anything is asked.
///   Model     api/openapi.yaml. What a command reads from a file is sent as text, and no name reaches a file.
///   Domain    JSON objects.
///   Accuracy  exact.
///   Cost      linear.
///   Fails     as Fields, and cli.date.
///   Source    api/openapi.yaml.
template <class Question>
using Read = tl::expected<Question, std::vector<base::Error>>;

struct PlanBody {
    app::PlanQuestion question;
    bool survive_any = false;
    std::optional<double> prove;
};
Read<PlanBody> plan_body(Fields& fields);
/// What a card is asked for: a flight to be planned, or a route by hand to be judged.
struct CardQuestion {
    PlanBody plan;
    std::optional<app::JudgeQuestion> by_hand;
};
Read<CardQuestion> card_question(Fields& fields);
Read<app::JudgeQuestion> judge_body(Fields& fields);
Read<app::JudgeQuestion> why_body(Fields& fields);
struct HearBody {
    app::HearAlongQuestion along;
    app::HearPointsQuestion points;
    bool at_points = false;
};
Read<HearBody> hear_body(Fields& fields);
Read<app::FindQuestion> find_body(Fields& fields);
/// `again`: as app/again.hpp.
struct RehearseBody {
    app::RehearseQuestion question;
    std::string again;
};
Read<RehearseBody> rehearse_body(Fields& fields);
/// The same of one of its flights, which must be named.
Read<RehearseBody> replay_body(Fields& fields);
Read<app::DebriefQuestion> debrief_body(Fields& fields);
/// The text of a card, and nothing beside it.
Read<std::string> card_body(Fields& fields);
/// The text of a card, and its aircraft where that is not a shipped one.
Read<app::CardViewed> card_viewed_body(Fields& fields);
Read<app::NextQuestion> next_body(Fields& fields);

/// What stands behind the question mark: each name once, none that is not known (service.query).
/// Nothing behind the question mark.
Read<bool> no_query(const Query& query);
Read<plan::ChartArea> chart_query(const Query& query);
/// Of a raster that is of an altitude, that too.
Read<app::RasterQuestion> raster_query(const Query& query, plan::RasterKind kind);
Read<app::SearchQuestion> search_query(const Query& query);
Read<std::string> ident_query(const Query& query);

}  // namespace omniway::service::detail
