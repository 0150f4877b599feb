#include "app/find_batch.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"

namespace omniway::app {

using base::Error;
using Faults = std::vector<Error>;

namespace {

constexpr std::size_t longest_line = 4096;

struct Token {
    std::string text;
    std::size_t column = 0;
    bool quoted = false;  // its beginning
};

bool is_blank(char c) {
    return c == ' ' || c == '\t' || c == '\r';
}

class LineReader {
public:
    LineReader(std::string_view line, std::string place) : line_(line), place_(std::move(place)) {}

    tl::expected<std::vector<FindWord>, Faults> words() {
        if (line_.size() > longest_line) {
            fault("app.find_batch_form",
                  fmt::format("the line has {} bytes, and {} are allowed: write one case a line",
                              line_.size(), longest_line),
                  longest_line + 1);
            return tl::unexpected(std::move(faults_));
        }
        part();
        for (std::size_t i = 0; i < tokens_.size() && faults_.empty(); ++i) {
            take(i);
        }
        if (!faults_.empty()) {
            return tl::unexpected(std::move(faults_));
        }
        return std::move(words_);
    }

private:
    std::string at(std::size_t column) const { return fmt::format("{}:{}", place_, column); }
    void fault(const char* code, std::string message, std::size_t column) {
        faults_.push_back({code, std::move(message), at(column)});
    }

    void part() {
        std::size_t i = 0;
        while (i < line_.size()) {
            if (is_blank(line_[i])) {
                ++i;
                continue;
            }
            if (line_[i] == '#') {
                return;
            }
            Token token{"", i + 1, line_[i] == '"' || line_[i] == '\''};
            while (i < line_.size() && !is_blank(line_[i])) {
                const char c = line_[i];
                if (c != '"' && c != '\'') {
                    token.text += c;
                    ++i;
                    continue;
                }
                const std::size_t end = line_.find(c, i + 1);
                if (end == std::string_view::npos) {
                    fault("app.find_batch_form",
                          fmt::format("a quote is opened here and not closed in this line: close it with {}",
                                      c),
                          i + 1);
                    return;
                }
                token.text += line_.substr(i + 1, end - i - 1);
                i = end + 1;
            }
            tokens_.push_back(std::move(token));
        }
    }

    // An option with its word, in this token or in the next.
    void take(std::size_t& i) {
        const Token& token = tokens_[i];
        const std::size_t equals = token.text.find('=');
        const std::string name = token.text.substr(0, equals);
        if (token.quoted || !name.starts_with("--")) {
            fault("app.find_batch_form",
                  fmt::format(
                      "{} stands where an option is expected, as --vor XAB=123 --altitude 6000; words with "
                      "blanks in them go in quotes",
                      base::in_quotes(token.text)),
                  token.column);
            return;
        }
        const FindOption* const option = option_of(name, token.column);
        if (option == nullptr) {
            return;
        }
        if (equals != std::string::npos) {
            add(*option, token.text.substr(equals + 1), token.column + equals + 1);
        } else if (i + 1 < tokens_.size() && !is_option(tokens_[i + 1])) {
            ++i;
            add(*option, tokens_[i].text, tokens_[i].column);
        } else {
            fault("app.find_batch_form", fmt::format("{} has no word behind it: {}", name, option->help),
                  token.column);
        }
    }

    static bool is_option(const Token& token) {
        return !token.quoted && token.text.starts_with("--") && token.text.size() > 2 &&
               token.text[2] >= 'a' && token.text[2] <= 'z';
    }

    const FindOption* option_of(const std::string& name, std::size_t column) {
        std::vector<std::string> known;
        for (const FindOption& option : find_options()) {
            if (option.name == name && option.of_a_case) {
                return &option;
            }
            if (option.of_a_case) {
                known.emplace_back(option.name);
            }
        }
        const auto all = find_options();
        const bool of_all = std::any_of(all.begin(), all.end(),
                                        [&](const FindOption& option) { return option.name == name; });
        const std::string near = base::did_you_mean(base::near_matches(name, known));
        fault("app.find_option",
              of_all ? name + " holds for the whole batch: give it on the command line"
                     : fmt::format("{} is no option of a case{}", base::in_quotes(name),
                                   near.empty() ? ": omniway find --help lists them" : ": " + near),
              column);
        return nullptr;
    }

    void add(const FindOption& option, std::string text, std::size_t column) {
        const bool twice = !option.repeatable &&
                           std::any_of(words_.begin(), words_.end(),
                                       [&](const FindWord& word) { return word.option == option.name; });
        if (twice) {
            fault("app.find_twice", fmt::format("{} is given twice in this line: leave one out", option.name),
                  column);
            return;
        }
        words_.push_back({std::string(option.name), std::move(text), at(column)});
    }

    std::string_view line_;
    std::string place_;
    std::vector<Token> tokens_;
    std::vector<FindWord> words_;
    Faults faults_;
};

}  // namespace

std::vector<BatchLine> batch_lines(std::string_view text, const std::string& name) {
    std::vector<BatchLine> lines;
    std::size_t number = 0;
    while (!text.empty()) {
        const std::string_view line = text.substr(0, text.find('\n'));
        text.remove_prefix(std::min(text.size(), line.size() + 1));
        ++number;
        auto words = LineReader(line, fmt::format("{}:{}", name, number)).words();
        if (!words || !words->empty()) {
            lines.push_back({number, std::move(words)});
        }
    }
    return lines;
}

BatchDone find_batch(const Finder& finder, const FindQuestion& question, const std::vector<BatchLine>& lines,
                     const TellAnswer& tell, const base::Progress& progress) {
    BatchDone done;
    base::Progress inside;
    inside.stop = progress.stop;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        progress.at("cases", static_cast<double>(i) / static_cast<double>(lines.size()));
        if (progress.cancelled()) {
            done.cancelled = true;
            return done;
        }
        const BatchLine& line = lines[i];
        if (!line.words) {
            ++done.bad;
            tell(line.number, tl::unexpected(line.words.error()));
            continue;
        }
        FindQuestion asked = question;
        asked.words.insert(asked.words.end(), line.words->begin(), line.words->end());
        auto answer = finder.find(asked, inside);
        if (!answer && progress.cancelled()) {
            done.cancelled = true;
            return done;
        }
        ++(!answer                                                                ? done.bad
           : std::holds_alternative<fixing::Contradiction>(answer->report.belief) ? done.cannot
                                                                                  : done.good);
        if (!answer) {
            for (Error& fault : answer.error()) {
                const std::string line_start = fmt::format(
                    "{}:1", line.words->front().where.substr(0, line.words->front().where.rfind(':')));
                fault.where = fault.where.empty() || fault.where.starts_with("--") ? line_start : fault.where;
            }
        }
        tell(line.number, std::move(answer));
    }
    return done;
}

}  // namespace omniway::app
