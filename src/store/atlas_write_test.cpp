#include <sched.h>
#include <signal.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <filesystem>
#include <functional>
#include <iostream>
#include <random>
#include <stop_token>
#include <thread>

#include <gtest/gtest.h>

#include "store/atlas.hpp"
#include "store/detail/random_records.hpp"
#include "store/detail/test_folder.hpp"

namespace omniway::store {

namespace {

namespace fs = std::filesystem;
using detail::bytes_of;
using detail::difference;
using detail::Folder;
using detail::RandomRecords;
using detail::write_bytes;
using Names = std::vector<std::string>;

std::string code_of(const base::Result<WriteReport>& written) {
    return written ? "written" : written.error().code;
}

// Which of the given records an atlas holds: its place in the list, or -1 if none or the atlas cannot be read.
int which(const std::string& path, const std::vector<const navdata::Records*>& candidates) {
    const auto read = Atlas::open(path).and_then(
        [](const Atlas& atlas) { return atlas.records({.everything = true, .airports = {}}); });
    for (std::size_t i = 0; read && i < candidates.size(); ++i) {
        if (difference(*candidates[i], *read).empty()) {
            return static_cast<int>(i);
        }
    }
    return -1;
}

navdata::Records many(std::uint64_t seed, std::size_t fixes) {
    navdata::Records records = RandomRecords(seed).make(20);
    for (std::size_t i = 0; i < fixes; ++i) {
        records.fixes.push_back({detail::numbered("X", static_cast<std::int64_t>(i)),
                                 "XX",
                                 "",
                                 "",
                                 "W",
                                 earth::Position::degrees(40.0, -170.0 + 1e-4 * static_cast<double>(i)),
                                 {}});
    }
    return records;
}

// Runs `work` in a process of its own; its number.
pid_t in_a_process(const std::function<int()>& work) {
    const pid_t child = fork();
    if (child == 0) {
        _exit(work());
    }
    return child;
}

int exit_status_of(pid_t child) {
    int status = 0;
    waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

}  // namespace

TEST(LawImport, StoppedAtAnyMomentItLeavesTheOldAtlasAndNothingElse) {
    const Folder folder;
    const std::string path = folder / "atlas";
    const navdata::Records old = RandomRecords(1).make(10);
    const navdata::Records fresh = many(2, 5000);
    ASSERT_EQ(code_of(write_atlas(old, path, {})), "written");
    const std::string before = bytes_of(path);
    int stops = 0;
    for (int allowed = 0;; ++allowed) {
        std::stop_source source;
        int reports = 0;
        base::Progress progress;
        progress.stop = source.get_token();
        progress.report = [&](std::string_view, double share) {
            EXPECT_GE(share, 0.0);
            EXPECT_LE(share, 1.0);
            if (reports++ == allowed) {
                source.request_stop();
            }
        };
        const auto written = write_atlas(fresh, path, progress);
        if (written) {
            break;
        }
        ++stops;
        ASSERT_EQ(written.error().code, "atlas.cancelled");
        ASSERT_EQ(bytes_of(path), before);
        ASSERT_EQ(folder.names(), Names{"atlas"});
    }
    EXPECT_GE(stops, 9);  // nine times a thousand rows and the stages after them
    EXPECT_EQ(which(path, {&fresh}), 0);
}

TEST(LawImport, KilledAtAnyMomentItLeavesAWholeAtlas) {
    const Folder folder;
    const std::string path = folder / "atlas";
    const navdata::Records old = RandomRecords(1).make(10);
    const navdata::Records fresh = many(2, 20'000);
    ASSERT_EQ(code_of(write_atlas(old, path, {})), "written");
    const auto begin = std::chrono::steady_clock::now();
    ASSERT_EQ(code_of(write_atlas(fresh, folder / "timing", {})), "written");
    const auto whole_import = std::chrono::steady_clock::now() - begin;
    fs::remove(folder / "timing");

    std::mt19937_64 random(3);
    int killed = 0;
    int left_over = 0;
    for (int i = 0; i < 20; ++i) {
        const pid_t child = in_a_process([&] { return write_atlas(fresh, path, {}) ? 0 : 1; });
        std::this_thread::sleep_for(std::uniform_real_distribution<double>(0.0, 1.1)(random) * whole_import);
        kill(child, SIGKILL);
        const bool ended_itself = exit_status_of(child) == 0;
        killed += ended_itself ? 0 : 1;
        left_over += folder.names().size() > 1 ? 1 : 0;
        const int holds = which(path, {&old, &fresh});
        ASSERT_NE(holds, -1) << "after kill " << i;
        if (holds == 1) {  // so that the next one has an old atlas again
            ASSERT_EQ(code_of(write_atlas(old, path, {})), "written");
        }
    }
    std::cout << "20 imports, killed " << killed << ", of which left a temporary file " << left_over << "\n";
    EXPECT_GT(killed, 0);
    EXPECT_GT(left_over, 0);
    const auto written = write_atlas(fresh, path, {});
    ASSERT_TRUE(written);
    EXPECT_EQ(folder.names(), Names{"atlas"});
}

TEST(LawImport, TwoAtOnceBothSucceedAndTheLastOneStands) {
    const Folder folder;
    const std::string path = folder / "atlas";
    const navdata::Records one = many(1, 2000);
    const navdata::Records other = many(2, 2000);
    ASSERT_EQ(code_of(write_atlas(one, path, {})), "written");
    const auto ten_times = [&path](const navdata::Records& records) {
        for (int i = 0; i < 10; ++i) {
            if (!write_atlas(records, path, {})) {
                return 1;
            }
        }
        return 0;
    };
    const pid_t first = in_a_process([&] { return ten_times(one); });
    const pid_t second = in_a_process([&] { return ten_times(other); });
    for (int i = 0; i < 40; ++i) {
        EXPECT_NE(which(path, {&one, &other}), -1) << "opened while both were importing";
    }
    EXPECT_EQ(exit_status_of(first), 0);
    EXPECT_EQ(exit_status_of(second), 0);
    EXPECT_NE(which(path, {&one, &other}), -1);
    EXPECT_EQ(folder.names(), Names{"atlas"});
}

TEST(CaseImport, OneThatIsStillRunningIsNoLeftover) {
    const Folder folder;
    const std::string path = folder / "atlas";
    const navdata::Records outer = RandomRecords(1).make(10);
    const navdata::Records inner = RandomRecords(2).make(10);
    std::string inner_code;
    base::Progress progress;
    progress.report = [&](std::string_view, double) {
        if (inner_code.empty()) {
            const auto written = write_atlas(inner, path, {});
            inner_code = code_of(written);
            EXPECT_TRUE(written && written->removed_temporaries.empty());
            EXPECT_EQ(which(path, {&inner}), 0);
        }
    };
    EXPECT_EQ(code_of(write_atlas(outer, path, progress)), "written");
    EXPECT_EQ(inner_code, "written");
    EXPECT_EQ(which(path, {&outer}), 0);
    EXPECT_EQ(folder.names(), Names{"atlas"});
}

TEST(CaseImport, RemovesWhatAKilledImportOfTheSameAtlasLeftAndNothingElse) {
    const Folder folder;
    const Names others = {".atlas.12-0.importing.txt", ".atlas.twelve-0.importing", ".atlas2.12-0.importing",
                          "atlas.12-0.importing"};
    for (const std::string& name : others) {
        write_bytes(folder / name, "mine");
    }
    write_bytes(folder / ".atlas.12-0.importing", "half an atlas");
    write_bytes(folder / ".atlas.4194304-17.importing", "");
    const auto written = write_atlas({}, folder / "atlas", {});
    ASSERT_TRUE(written);
    EXPECT_EQ(written->removed_temporaries,
              (Names{folder / ".atlas.12-0.importing", folder / ".atlas.4194304-17.importing"}));
    Names expected = others;
    expected.push_back("atlas");
    std::sort(expected.begin(), expected.end());
    EXPECT_EQ(folder.names(), expected);
}

TEST(CaseImport, ALinkStaysALinkAndTheFileBehindItIsReplaced) {
    const Folder folder;
    fs::create_directory(folder / "elsewhere");
    fs::create_symlink("elsewhere/real", folder / "atlas");  // to nothing yet
    fs::create_symlink(folder / "atlas", folder / "link-to-link");
    const navdata::Records first = RandomRecords(1).make(10);
    const navdata::Records second = RandomRecords(2).make(10);
    const auto written = write_atlas(first, folder / "atlas", {});
    ASSERT_TRUE(written);
    EXPECT_EQ(fs::path(written->path), fs::path(folder / "elsewhere/real"));
    EXPECT_EQ(which(folder / "atlas", {&first}), 0);
    ASSERT_EQ(code_of(write_atlas(second, folder / "link-to-link", {})), "written");
    EXPECT_TRUE(fs::is_symlink(folder / "atlas"));
    EXPECT_TRUE(fs::is_symlink(folder / "link-to-link"));
    EXPECT_EQ(which(folder / "elsewhere/real", {&second}), 0);
    EXPECT_EQ(folder.names(), (Names{"atlas", "elsewhere", "link-to-link"}));
}

TEST(CaseImport, APlaceThatCannotBeWrittenToIsNamed) {
    const Folder folder;
    fs::create_directory(folder / "folder");
    write_bytes(folder / "file", "text");
    ASSERT_EQ(mkfifo((folder / "pipe").c_str(), 0600), 0);
    fs::create_symlink("loop", folder / "loop");
    const std::vector<std::pair<std::string, std::string>> expected = {
        {folder / "folder", "atlas.not_a_file"},
        {folder / "folder/", "atlas.not_a_file"},
        {folder / "pipe", "atlas.not_a_file"},
        {folder / "missing/atlas", "atlas.folder_missing"},
        {folder / "missing/", "atlas.folder_missing"},
        {folder / "file/atlas", "atlas.folder_missing"},
        {folder / "loop", "atlas.write_failed"},
        {"", "atlas.no_place"},
        {folder / std::string(255, 'x'), "atlas.write_failed"},
    };
    for (const auto& [path, code] : expected) {
        const auto written = write_atlas({}, path, {});
        EXPECT_EQ(code_of(written), code) << path;
        EXPECT_NE(written.error().message.find("name "), std::string::npos) << written.error().message;
    }
    EXPECT_EQ(folder.names(), (Names{"file", "folder", "loop", "pipe"}));
}

TEST(CaseImport, AFileThatIsNoAtlasIsNeverOverwritten) {
    const Folder folder;
    write_bytes(folder / "notes", "HDR01FAACIFP18      001P01432\n");
    EXPECT_EQ(code_of(write_atlas({}, folder / "notes", {})), "atlas.not_replaced");
    EXPECT_EQ(bytes_of(folder / "notes"), "HDR01FAACIFP18      001P01432\n");
    write_bytes(folder / "empty", "");
    EXPECT_EQ(code_of(write_atlas({}, folder / "empty", {})), "written");
    // A damaged atlas is what one imports again for.
    write_bytes(folder / "cut", bytes_of(folder / "empty").substr(0, 5000));
    EXPECT_EQ(code_of(write_atlas({}, folder / "cut", {})), "written");
}

// In a process of its own because it gives up its rights: root may write anywhere.
TEST(CaseImport, AFolderOrFileThatIsReadOnlyIsNamed) {
    const Folder folder;
    const std::string path = folder / "atlas";
    const navdata::Records old = RandomRecords(1).make(10);
    ASSERT_EQ(code_of(write_atlas(old, path, {})), "written");
    const auto as_somebody_else = [&path] {
        return exit_status_of(in_a_process([&path] {
            if (geteuid() == 0 && seteuid(65534) != 0) {
                return 2;
            }
            const auto written = write_atlas({}, path, {});
            return !written && written.error().code == "atlas.not_writable" ? 0 : 1;
        }));
    };
    ASSERT_EQ(chmod(folder.path().c_str(), 0555), 0);
    ASSERT_EQ(chmod(path.c_str(), 0666), 0);
    EXPECT_EQ(as_somebody_else(), 0);
    ASSERT_EQ(chmod(folder.path().c_str(), 0777), 0);
    ASSERT_EQ(chmod(path.c_str(), 0444), 0);
    EXPECT_EQ(as_somebody_else(), 0);
    EXPECT_EQ(which(path, {&old}), 0);
    EXPECT_EQ(folder.names(), Names{"atlas"});
}

// A limit on the size of files stands in for a full disk where none can be made: to the import both are a write that the
// system refuses for want of room, here at 20 places between the first and the last page.
TEST(LawImport, WhereNoRoomIsLeftTheOldAtlasStays) {
    const Folder folder;
    const std::string path = folder / "atlas";
    const navdata::Records old = RandomRecords(1).make(10);
    const navdata::Records fresh = many(2, 20'000);
    const auto size = write_atlas(fresh, path, {}).value().size_bytes;
    ASSERT_EQ(code_of(write_atlas(old, path, {})), "written");
    for (std::uint64_t limit = 0; limit < size; limit += size / 20) {
        const int status = exit_status_of(in_a_process([&] {
            signal(SIGXFSZ, SIG_IGN);
            const rlimit room = {limit, limit};
            setrlimit(RLIMIT_FSIZE, &room);
            return code_of(write_atlas(fresh, path, {})) == "atlas.disk_full" ? 0 : 1;
        }));
        EXPECT_EQ(status, 0) << "with room for " << limit << " of " << size << " bytes";
        ASSERT_EQ(which(path, {&old}), 0);
        ASSERT_EQ(folder.names(), Names{"atlas"});
    }
}

// A real full disk, and a real read-only one: a small file system in memory, mounted where only this process sees it.
TEST(CaseImport, AFullDiskAndAReadOnlyDiskAreNamed) {
    const Folder folder;
    enum Outcome {
        good = 0,
        cannot_mount = 77,
        wrong_code = 1,
        old_atlas_lost = 2,
        litter = 3,
        wrong_code_read_only = 4
    };
    const int status = exit_status_of(in_a_process([&]() -> int {
        const bool alone = unshare(CLONE_NEWNS) == 0 || unshare(CLONE_NEWUSER | CLONE_NEWNS) == 0;
        if (!alone || mount(nullptr, "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0 ||
            mount("tmpfs", folder.path().c_str(), "tmpfs", 0, "size=600k") != 0) {
            return cannot_mount;
        }
        const std::string path = folder / "atlas";
        const navdata::Records old = RandomRecords(1).make(5);
        if (!write_atlas(old, path, {})) {
            return wrong_code;
        }
        if (code_of(write_atlas(many(2, 20'000), path, {})) != "atlas.disk_full") {
            return wrong_code;
        }
        if (which(path, {&old}) != 0) {
            return old_atlas_lost;
        }
        if (folder.names() != Names{"atlas"}) {
            return litter;
        }
        mount(nullptr, folder.path().c_str(), nullptr, MS_REMOUNT | MS_RDONLY, nullptr);
        const bool refused = code_of(write_atlas(old, path, {})) == "atlas.not_writable";
        return refused && which(path, {&old}) == 0 ? good : wrong_code_read_only;
    }));
    if (status == cannot_mount) {
        GTEST_SKIP()
            << "NOT CHECKED on a real full disk: this process may not mount a file system of its own";
    }
    EXPECT_EQ(status, good);
}

}  // namespace omniway::store
