#pragma once

#include <filesystem>
#include <optional>
#include <string_view>

#include <gtest/gtest.h>

namespace omniway::testing {

/// The root of the checkout: the nearest folder upwards from the working directory that holds CMakePresets.json.
std::filesystem::path source_folder();

/// The folder of published data that is never committed: OMNIWAY_REAL_DATA if set, else ../shared/navdata beside the
/// checkout; nothing where that folder does not exist.
std::optional<std::filesystem::path> real_data_folder();

/// True where OMNIWAY_REQUIRE_REAL_DATA=1: a test that would be skipped for want of real data must fail instead.
bool real_data_required();

}  // namespace omniway::testing

/// First line of a test on real data: `folder` becomes the folder, or the test is skipped loudly (fails, where required).
/// The suite's name must contain RealData, so that the test is counted.
#define OMNIWAY_NEEDS_REAL_DATA(folder)                                                                \
    static_assert(std::string_view(__PRETTY_FUNCTION__).find("RealData") != std::string_view::npos,    \
                  "a test on real data stands in a suite with RealData in its name");                  \
    const auto folder##_if_present = ::omniway::testing::real_data_folder();                           \
    if (!folder##_if_present) {                                                                        \
        if (::omniway::testing::real_data_required()) {                                                \
            FAIL() << "real data is required (OMNIWAY_REQUIRE_REAL_DATA=1) and its folder is missing"; \
        }                                                                                              \
        GTEST_SKIP()                                                                                   \
            << "NOT CHECKED against real data: set OMNIWAY_REAL_DATA to its folder, or put it beside"  \
            << " the checkout as " << OMNIWAY_REAL_DATA_DEFAULT;                                       \
    }                                                                                                  \
    const std::filesystem::path& folder = *folder##_if_present
