// Writes one of the documents that the page asks for.
//
//   write_view ATLAS SHARE_FOLDER ribbon | panel CARD_FILE
//   write_view ATLAS SHARE_FOLDER chart WEST SOUTH EAST NORTH
//   write_view ATLAS SHARE_FOLDER search WORDS MOST
//   write_view ATLAS SHARE_FOLDER about
//
// Exit status 2, and what is wrong as JSON, where it is refused.

#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "app/answer_json.hpp"
#include "wire/plan_json.hpp"

namespace {

using namespace omniway;
using Answer = tl::expected<std::string, std::vector<base::Error>>;

app::CardViewed card_in(const std::string& file) {
    app::CardViewed question;
    question.card = file;
    return question;
}

Answer answer(const std::string& atlas, const app::Shipped& shipped, const std::vector<std::string>& words) {
    const std::string& kind = words.at(0);
    if (kind == "ribbon") {
        return app::ribbon_of_card(atlas, shipped, card_in(words.at(1))).transform([](const auto& viewed) {
            return app::ribbon_json(viewed);
        });
    }
    if (kind == "panel") {
        return app::panel_of_card(atlas, shipped, card_in(words.at(1))).transform([](const auto& viewed) {
            return app::panel_json(viewed);
        });
    }
    if (kind == "chart") {
        const plan::ChartArea area{std::stod(words.at(1)), std::stod(words.at(2)), std::stod(words.at(3)),
                                   std::stod(words.at(4))};
        return app::chart_of_area(atlas, shipped, area).transform([](const auto& charted) {
            return app::answer_json(charted);
        });
    }
    if (kind == "search") {
        return app::search(atlas, shipped, {words.at(1), std::stod(words.at(2))})
            .transform([&](const auto& searched) { return app::answer_json(searched, words.at(1)); });
    }
    return app::about(atlas, shipped).transform([](const auto& about) {
        return app::answer_json(about, OMNIWAY_VERSION);
    });
}

}  // namespace

int main(int count, char** arguments) {
    const std::vector<std::string> words(arguments + 1, arguments + count);
    const Answer told = answer(words.at(0), {words.at(1)}, {words.begin() + 2, words.end()});
    std::puts(told ? told->c_str() : wire::errors_json(told.error()).c_str());
    return told ? 0 : 2;
}
