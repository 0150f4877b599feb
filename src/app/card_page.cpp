#include "app/card_page.hpp"

#include "base/contract.hpp"
#include "flight/groundspeed_check.hpp"
#include "wire/card_json.hpp"
#include "wire/groundspeed_check_json.hpp"

namespace omniway::app {

using base::Error;
using Faults = std::vector<Error>;

namespace {

// "</script" or "<!--" would end the data; a "<" of JSON stands in a text, where it may be escaped.
std::string as_data(std::string_view json) {
    std::string data;
    data.reserve(json.size());
    for (const char c : json) {
        if (c == '<') {
            data += "\\u003c";
        } else {
            data += c;
        }
    }
    return data;
}

// The page as it is built has an empty element for each document.
void put(std::string& page, std::string_view id, std::string_view json) {
    const std::string begins = "<script type=\"application/json\" id=\"" + std::string(id) + "\">";
    const std::size_t at = page.find(begins);
    OMNIWAY_EXPECTS(at != std::string::npos);
    page.insert(at + begins.size(), as_data(json));
}

}  // namespace

tl::expected<std::string, Faults> groundspeed_check_of_card(const std::string& card_text) {
    const auto document = wire::parse_card(card_text, "card");
    if (!document) {
        return tl::unexpected(document.error());
    }
    return wire::groundspeed_check_json(flight::groundspeed_checks(document->card));
}

tl::expected<std::string, Faults> card_page(std::string_view page, const std::string& card_text) {
    if (page.empty()) {
        return tl::unexpected(Faults{{"app.page_not_built",
                                      "this program was built without the page: build web/ and then the "
                                      "program again",
                                      ""}});
    }
    const auto check = groundspeed_check_of_card(card_text);
    if (!check) {
        return tl::unexpected(check.error());
    }
    std::string whole(page);
    put(whole, "card", card_text);
    put(whole, "groundspeed-check", *check);
    return whole;
}

}  // namespace omniway::app
