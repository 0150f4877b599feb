#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include <tl/expected.hpp>

#include "base/result.hpp"

namespace omniway::service::detail {

/// A request as the questions see it: no bytes of HTTP are left in it.
using Query = std::vector<std::pair<std::string, std::string>>;

struct Asked {
    std::string method;
    std::string path;
    Query query;
    std::string body;
};

/// Why a request has no answer: its status in HTTP, what that is about, and each fault.
struct Refusal {
    unsigned status = 400;
    std::string detail;
    std::vector<base::Error> errors;
};

/// The document of an answer, or why there is none.
using Answer = tl::expected<std::string, Refusal>;

/// What is sent back whole.
struct Reply {
    unsigned status = 200;
    std::string type = "application/json";
    std::string body;
    std::vector<std::pair<std::string, std::string>> fields = {};
};

/// The refusal that these faults make: its status by the first of their codes.
Refusal refusal_of(std::vector<base::Error> errors);

/// As application/problem+json (RFC 9457), with the faults in the form of api/errors.schema.json.
Reply problem(const Refusal& refusal, const std::string& instance);
std::string problem_json(const Refusal& refusal, const std::string& instance);

/// Text that came in a URL, percent-decoded; a fault where it is no UTF-8 or badly escaped.
base::Result<std::vector<std::pair<std::string, std::string>>> parse_query(std::string_view query);

}  // namespace omniway::service::detail
