#pragma once

#include <string>
#include <utility>
#include <vector>

#include <tl/expected.hpp>

namespace omniway::base {

/// What is wrong with something that came from outside, and where it stands.
///   Model     code is stable and listed in docs/errors.md; message gives the value, its unit, the allowed range
///             and what to do; where is file:line:column, a field or an argument.
///   Domain    bad input only: "no" as an answer and broken preconditions have forms of their own.
///   Accuracy  exact.
///   Cost      three strings, made on failure only.
///   Fails     it is the failure.
///   Source    docs/errors.md.
struct Error {
    std::string code;
    std::string message;
    std::string where;

    friend bool operator==(const Error&, const Error&) = default;
};

/// "where: message [code]", as a person reads it.
std::string to_text(const Error& error);

template <class T>
using Result = tl::expected<T, Error>;

inline tl::unexpected<Error> failure(std::string code, std::string message, std::string where = {}) {
    return tl::unexpected<Error>(Error{std::move(code), std::move(message), std::move(where)});
}

/// A value read from outside together with everything that was not used and why: readers never stop at the first fault.
template <class T>
struct Loaded {
    T value;
    std::vector<Error> diagnostics;
};

}  // namespace omniway::base
