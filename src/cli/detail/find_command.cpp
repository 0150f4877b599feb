#include "cli/detail/find_command.hpp"

#include <algorithm>
#include <iostream>
#include <iterator>

#include "app/answer_json.hpp"
#include "cli/detail/losses_command.hpp"
#include "readers/file_bytes.hpp"
#include "wire/find_json.hpp"
#include "writers/find_text.hpp"

namespace omniway::cli::detail {

namespace {

constexpr int cannot_be = 1;
constexpr int some_bad = 1;
constexpr int none_good = 2;
constexpr int cancelled = 3;
constexpr std::uintmax_t largest_batch = std::uintmax_t{16} << 20U;

wire::PositionTold told_of(const app::PositionFound& found) {
    return {found.question, found.setting, found.report, found.now ? &found.now->what : nullptr,
            found.now ? found.now->world.snapshot.get() : nullptr};
}

writers::NowPage now_page_of(const app::PositionFound& found) {
    return found.now ? writers::NowPage{&found.now->what, found.now->world.snapshot.get()}
                     : writers::NowPage{};
}

}  // namespace

std::vector<std::string> FindCommand::joined(const std::vector<std::string>& typed) {
    const auto all = app::find_options();
    const auto takes_a_word = [&](const std::string& word) {
        return std::any_of(all.begin(), all.end(),
                           [&](const app::FindOption& option) { return option.name == word; });
    };
    const auto is_an_option = [](const std::string& word) {
        return word.size() > 2 && word.starts_with("--") && word[2] >= 'a' && word[2] <= 'z';
    };
    std::vector<std::string> words;
    const bool of_find = !typed.empty() && typed.front() == "find";
    for (std::size_t i = 0; i < typed.size(); ++i) {
        if (of_find && takes_a_word(typed[i]) && i + 1 < typed.size() && typed[i + 1].starts_with('-') &&
            !is_an_option(typed[i + 1])) {
            words.push_back(typed[i] + "=" + typed[i + 1]);
            ++i;
        } else {
            words.push_back(typed[i]);
        }
    }
    return words;
}

CLI::App* FindCommand::declare(CLI::App& app, std::optional<std::string>& date) {
    CLI::App* command = app.add_subcommand(
        "find", "Where the aircraft is by what was read, how sure that is, and what to tune next");
    command->footer(
        "Examples: omniway find --vor XKE=084 --dme XHU=21.5 --altitude 6000;\n"
        "omniway find --vor XKE=084@14:07 --vor XHU=310 --now 14:12 --heading 090 --wind 270/20 --altitude "
        "6000;\n"
        "omniway find --batch cases.txt --altitude 6000\n"
        "Each reading may have the time at which it was read behind it: @14:07 UTC, or @-6, minutes before "
        "now.\n"
        "A station is an ident (XKE), a frequency (111.40, 365) or Morse as heard ('-..- -.- .').");
    for (const app::FindOption& option : app::find_options()) {
        CLI::Option* added =
            command->add_option(std::string(option.name), words_[std::string(option.name)],
                                std::string(option.help) + (option.repeatable ? "; may be repeated" : ""));
        added->allow_extra_args(false)->expected(1);
        if (!option.repeatable) {
            added->multi_option_policy(CLI::MultiOptionPolicy::Throw);
        } else {
            added->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
        }
    }
    command->add_option("--without", question_.without, "Station out of service, by ident; may be repeated")
        ->allow_extra_args(false);
    command->add_option("--batch", batch_,
                        "Many cases: a file (- for standard input) with one in each line, in these words; "
                        "what stands beside it holds for all");
    command->add_option("--date", date, "Date for magnetic directions, YYYY-MM-DD (else today)");
    command->callback([this] { run(); });
    return command;
}

void FindCommand::run() {
    const auto path = host_.atlas_on(question_.today);
    if (!path) {
        return;
    }
    for (const app::FindOption& option : app::find_options()) {
        const std::string name(option.name);
        for (const std::string& word : words_[name]) {
            question_.words.push_back({name, word, name});
        }
    }
    const auto finder = app::Finder::open(*path, host_.shipped, question_);
    if (!finder) {
        host_.refuse(finder.error());
        return;
    }
    if (batch_) {
        run_batch(*finder);
        return;
    }
    const auto found = finder->find_and_go_on(question_, progress_of(host_.around));
    end_progress(host_.around);
    if (!found) {
        refuse_or_cancelled(host_, found.error());
        return;
    }
    answer(*found);
    host_.tell_troubles(found->world);
    if (found->now) {
        host_.tell_troubles(found->now->world);
    }
}

void FindCommand::answer(const app::PositionFound& found) {
    host_.around.out << (host_.json ? app::answer_json(found) + "\n"
                                    : writers::find_text(found.question, found.setting, found.report,
                                                         now_page_of(found)));
    host_.status = std::holds_alternative<fixing::Contradiction>(found.report.belief) ? cannot_be : 0;
}

std::optional<std::string> FindCommand::batch_text() {
    if (*batch_ == "-") {
        return std::string(std::istreambuf_iterator<char>(std::cin), {});
    }
    auto bytes = readers::file_bytes(*batch_, largest_batch, "a batch of cases");
    if (!bytes) {
        host_.refuse({bytes.error()});
        return std::nullopt;
    }
    return std::move(*bytes);
}

void FindCommand::run_batch(const app::Finder& finder) {
    const auto text = batch_text();
    if (!text) {
        return;
    }
    const auto lines = app::batch_lines(*text, *batch_);
    if (lines.empty()) {
        host_.refuse({{"app.find_batch_form",
                       "no line of the batch asks for anything: write a case in each, as --vor XAB=123 "
                       "--altitude 6000",
                       *batch_}});
        return;
    }
    const auto tell = [&](std::size_t line,
                          const tl::expected<app::PositionFound, std::vector<base::Error>>& answer) {
        host_.around.out << (answer ? wire::find_line_json(line, told_of(*answer))
                                    : wire::errors_line_json(line, answer.error()))
                         << "\n"
                         << std::flush;
    };
    const app::BatchDone done = app::find_batch(finder, question_, lines, tell, progress_of(host_.around));
    end_progress(host_.around);
    host_.tell_troubles(finder.world());
    if (done.cancelled) {
        host_.around.err << "omniway: cancelled: the lines printed are answered, the others are not "
                            "[app.cancelled]\n";
    }
    host_.status = done.cancelled                 ? cancelled
                   : done.good + done.cannot == 0 ? none_good
                   : done.bad + done.cannot > 0   ? some_bad
                                                  : 0;
}

}  // namespace omniway::cli::detail
