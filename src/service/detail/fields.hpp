#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <nlohmann/json.hpp>

#include "base/result.hpp"

namespace omniway::service::detail {

using Json = nlohmann::ordered_json;

/// In bytes: of a word that is typed, of a route, of all that is sent.
constexpr std::size_t longest_text = 256;
constexpr std::size_t longest_route = 16384;
constexpr std::size_t longest_body = std::size_t{4} << 20U;
constexpr std::size_t most_texts = 200;

/// The JSON object of a body, or service.body_form: no JSON, no object, nested deeper than 64, a name given twice,
/// more than 200 names in one object.
base::Result<Json> parse_body(const std::string& body);

/// Reads the fields of an object strictly: what is of another type is a fault, and so is what nobody asked for.
///   Model     each field has the option of the command that it stands for, so that a fault at the option is told at the field, and so that
///             the command can be told again.
///   Domain    one object.
///   Accuracy  exact.
///   Cost      linear.
///   Fails     faults(): service.unknown_field, service.field_type, service.field_length, service.field_missing; the first 20.
///   Source    RFC 6901 (pointers).
class Fields {
public:
    /// `object` has to outlive it.
    explicit Fields(const Json& object) : object_(object) {}

    void text(const char* name, const char* option, std::string& value, std::size_t longest = longest_text);
    void text(const char* name, const char* option, std::optional<std::string>& value);
    void number(const char* name, const char* option, double& value);
    void number(const char* name, const char* option, std::optional<double>& value);
    void whole(const char* name, const char* option, std::uint64_t& value);
    void flag(const char* name, const char* option, bool& value);
    void texts(const char* name, const char* option, std::vector<std::string>& value);
    /// The document of a field that holds an object.
    void document(const char* name, const char* option, std::optional<std::string>& text);
    /// A text that stands for a file: kept in `texts` under `as`, which is what the question then names.
    void file(const char* name, const char* option, const std::string& as, std::optional<std::string>& named);

    /// Whether it is there and not null.
    bool has(const char* name) const;
    /// Whether it is the text of a file rather than a word: it has a line's end in it.
    bool is_of_lines(const char* name) const;
    void missing(const char* name, const std::string& why);
    /// Refuses what was not read; after all were. `why`: what is to be said of a field that is known elsewhere.
    void refuse_others(const std::string& why = {});

    const std::vector<base::Error>& faults() const { return faults_; }
    std::vector<std::pair<std::string, std::string>>& files() { return files_; }
    /// Faults as the command tells them, each at the field that its option stands for.
    std::vector<base::Error> at_fields(std::vector<base::Error> faults) const;
    /// The words of the command that asks the same, in the order of the fields.
    std::vector<std::string> words() const;

private:
    const Json* read(const char* name, const char* option);
    void wrong_type(const char* name, const char* expected);
    bool is_text(const Json& value, std::size_t longest, const std::string& where);
    void fault(const char* code, std::string message, std::string where);

    const Json& object_;
    std::vector<base::Error> faults_;
    std::vector<std::pair<std::string, std::string>> known_;  // field, option
    std::vector<std::pair<std::string, std::string>> files_;  // name, text
};

}  // namespace omniway::service::detail
