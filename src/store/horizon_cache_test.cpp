#include "store/horizon_cache.hpp"

#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>

#include <gtest/gtest.h>

#include "store/detail/test_folder.hpp"

namespace omniway::store {
namespace {

std::vector<std::byte> bytes_like(int seed, std::size_t size = 5000) {
    std::vector<std::byte> bytes(size);
    for (std::size_t k = 0; k < size; ++k) {
        bytes[k] = static_cast<std::byte>((k * 31 + static_cast<std::size_t>(seed) * 17) % 251);
    }
    return bytes;
}

TEST(LawHorizonCache, WhatOneProcessKeepsTheNextFinds) {
    const detail::Folder folder;
    HorizonCache(folder / "atlas").save("a", bytes_like(1));
    HorizonCache next(folder / "atlas");
    EXPECT_EQ(next.load("a"), bytes_like(1));
    EXPECT_EQ(next.load("b"), std::nullopt);
    EXPECT_TRUE(next.diagnostics().empty());
    EXPECT_EQ(folder.names(), std::vector<std::string>{"atlas.horizons"});
}

TEST(LawHorizonCache, ATruncatedOrGarbledFileIsMadeAnew) {
    const detail::Folder folder;
    {
        HorizonCache cache(folder / "atlas");
        for (int k = 0; k < 20; ++k) {
            cache.save(std::to_string(k), bytes_like(k));
        }
    }
    const std::string whole = detail::bytes_of(folder / "atlas.horizons");
    for (const std::size_t size :
         {std::size_t{1}, std::size_t{99}, std::size_t{4096}, whole.size() / 2, whole.size() - 1}) {
        detail::write_bytes(folder / "atlas.horizons", whole.substr(0, size));
        HorizonCache cache(folder / "atlas");
        for (int k = 0; k < 20; ++k) {
            const auto found = cache.load(std::to_string(k));
            EXPECT_TRUE(!found || *found == bytes_like(k)) << size;
        }
        cache.save("new", bytes_like(99));
        EXPECT_EQ(HorizonCache(folder / "atlas").load("new"), bytes_like(99)) << size;
        EXPECT_TRUE(cache.diagnostics().empty()) << size;
    }
    for (std::size_t at = 0; at < whole.size(); at += 1 + whole.size() / 60) {
        std::string garbled = whole;
        garbled[at] = static_cast<char>(garbled[at] ^ 0x5A);
        detail::write_bytes(folder / "atlas.horizons", garbled);
        HorizonCache cache(folder / "atlas");
        for (int k = 0; k < 20; ++k) {
            const auto found = cache.load(std::to_string(k));
            EXPECT_TRUE(!found || *found == bytes_like(k)) << at;
        }
    }
}

TEST(LawHorizonCache, WhereNothingCanBeWrittenTheWorkGoesOnAndItIsSaidOnce) {
    const detail::Folder folder;
    std::filesystem::create_directory(folder / "atlas.horizons");  // no file can be made here, whoever asks
    HorizonCache cache(folder / "atlas");
    EXPECT_EQ(cache.load("a"), std::nullopt);
    cache.save("a", bytes_like(1));
    cache.save("b", bytes_like(2));
    EXPECT_EQ(cache.load("a"), std::nullopt);
    ASSERT_EQ(cache.diagnostics().size(), 1U);
    EXPECT_EQ(cache.diagnostics()[0].code, "cache.not_kept");
}

TEST(LawHorizonCache, AFolderThatMayOnlyBeReadStillGivesWhatWasKept) {
    if (geteuid() == 0) {
        GTEST_SKIP() << "root may write everywhere";
    }
    const detail::Folder folder;
    HorizonCache(folder / "atlas").save("a", bytes_like(1));
    std::filesystem::permissions(folder / "atlas.horizons", std::filesystem::perms::owner_read);
    std::filesystem::permissions(folder.path(),
                                 std::filesystem::perms::owner_read | std::filesystem::perms::owner_exec);
    {
        HorizonCache cache(folder / "atlas");
        EXPECT_EQ(cache.load("a"), bytes_like(1));
        cache.save("b", bytes_like(2));
        EXPECT_EQ(cache.diagnostics().size(), 1U);
    }
    std::filesystem::permissions(folder.path(), std::filesystem::perms::owner_all);
}

TEST(LawHorizonCache, TwoProcessesAtOnceLoseNothing) {
    const detail::Folder folder;
    const auto keep = [&](int from) {
        HorizonCache cache(folder / "atlas");
        for (int k = from; k < from + 40; ++k) {
            cache.save(std::to_string(k), bytes_like(k));
        }
        return cache.diagnostics().empty();
    };
    const pid_t child = fork();
    if (child == 0) {
        _exit(keep(1000) ? 0 : 1);
    }
    EXPECT_TRUE(keep(0));
    int status = -1;
    waitpid(child, &status, 0);
    EXPECT_EQ(status, 0);
    HorizonCache cache(folder / "atlas");
    for (int k = 0; k < 40; ++k) {
        EXPECT_EQ(cache.load(std::to_string(k)), bytes_like(k));
        EXPECT_EQ(cache.load(std::to_string(1000 + k)), bytes_like(1000 + k));
    }
}

TEST(LawHorizonCache, PastItsBoundTheLongestUnusedGo) {
    const detail::Folder folder;
    HorizonCache cache(folder / "atlas", 50000);
    for (int k = 0; k < 10; ++k) {
        cache.save(std::to_string(k), bytes_like(k));
    }
    EXPECT_TRUE(cache.load("0"));
    cache.save("10", bytes_like(10));
    EXPECT_TRUE(cache.load("0"));
    EXPECT_FALSE(cache.load("1"));
    EXPECT_TRUE(cache.load("10"));
    EXPECT_LT(std::filesystem::file_size(folder / "atlas.horizons"), 150000U);
}

}  // namespace
}  // namespace omniway::store
