#include "store/atlas_place.hpp"

#include <sys/stat.h>

#include <filesystem>

#include <gtest/gtest.h>

#include "store/detail/test_folder.hpp"

namespace omniway::store {

namespace {

std::string place(const Environment& environment) {
    const auto path = default_atlas_path(environment);
    return path ? *path : path.error().code;
}

}  // namespace

// XDG Base Directory Specification 0.8, sections 2 and 3: "$XDG_DATA_HOME defines the base directory relative to which user-specific
// data files should be stored. If $XDG_DATA_HOME is either not set or empty, a default equal to $HOME/.local/share should
// be used." "All paths set in these environment variables must be absolute. If an implementation encounters a relative path in
// any of these variables it should consider the path invalid and ignore it."
TEST(TruthAtlasPlace, FollowsTheXdgBaseDirectorySpecification) {
    EXPECT_EQ(place({{}, "/data", "/home/me"}), "/data/omniway/atlas");
    EXPECT_EQ(place({{}, "/data/", "/home/me"}), "/data/omniway/atlas");
    EXPECT_EQ(place({{}, "", "/home/me"}), "/home/me/.local/share/omniway/atlas");
    EXPECT_EQ(place({{}, {}, "/home/me"}), "/home/me/.local/share/omniway/atlas");
    EXPECT_EQ(place({{}, "relative/data", "/home/me"}), "/home/me/.local/share/omniway/atlas");
}

TEST(CaseAtlasPlace, TheCommandLineGoesBeforeOurVariableAndThatBeforeXdg) {
    const Environment all = {"/ours", "/data", "/home/me"};
    EXPECT_EQ(atlas_path("given", all).value(), "given");
    EXPECT_EQ(atlas_path({}, all).value(), "/ours");
    EXPECT_EQ(place({"here.atlas", "/data", "/home/me"}), "here.atlas");
    EXPECT_EQ(place({"", "/data", "/home/me"}), "/data/omniway/atlas");
}

TEST(CaseAtlasPlace, NoPlaceAtAllIsSaid) {
    EXPECT_EQ(place({}), "atlas.no_place");
    EXPECT_EQ(place({"", "", ""}), "atlas.no_place");
    EXPECT_EQ(place({{}, "relative", {}}), "atlas.no_place");
    EXPECT_EQ(atlas_path("", {"/ours", {}, {}}).error().code, "atlas.no_place");
}

// The same specification, section 4: "If, when attempting to write a file, the destination directory is non-existent an attempt should be
// made to create it with permission 0700."
TEST(TruthAtlasPlace, TheFoldersOfTheDefaultPlaceAreMadeForTheirOwnerOnly) {
    const detail::Folder folder;
    const std::string path = folder / ".local/share/omniway/atlas";
    ASSERT_TRUE(make_folder_for(path));
    ASSERT_TRUE(make_folder_for(path));
    struct stat status = {};
    for (const std::string name : {".local", ".local/share", ".local/share/omniway"}) {
        ASSERT_EQ(stat((folder / name).c_str(), &status), 0);
        EXPECT_EQ(status.st_mode & 0777U, 0700U) << name;
    }
    EXPECT_FALSE(std::filesystem::exists(path));
    detail::write_bytes(folder / "file", "");
    EXPECT_EQ(make_folder_for(folder / "file/omniway/atlas").error().code, "atlas.folder_missing");
}

}  // namespace omniway::store
