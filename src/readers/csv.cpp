#include "readers/csv.hpp"

namespace omniway::readers {

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

}  // namespace

CsvReader::CsvReader(std::string_view bytes) : bytes_(bytes) {
    if (bytes_.starts_with(byte_order_mark)) {
        at_ = byte_order_mark.size();
        line_start_ = at_;
    }
}

bool CsvReader::next(Record& record) {
    record.fields.clear();
    record.fault = Fault::none;
    // Lines without any character.
    while (at_ < bytes_.size() && (bytes_[at_] == '\n' || bytes_[at_] == '\r')) {
        skip_line();
    }
    if (at_ >= bytes_.size()) {
        return false;
    }
    record.line = line_;
    for (;;) {
        if (at_ < bytes_.size() && bytes_[at_] == '"') {
            read_quoted(record);
            if (record.fault != Fault::none) {
                return true;
            }
        } else {
            read_plain(record);
        }
        if (at_ < bytes_.size() && bytes_[at_] == ',') {
            ++at_;
            continue;
        }
        skip_line();
        return true;
    }
}

void CsvReader::read_plain(Record& record) {
    const std::size_t first = at_;
    while (at_ < bytes_.size() && bytes_[at_] != ',' && bytes_[at_] != '\n') {
        ++at_;
    }
    std::size_t last = at_;
    if (last > first && bytes_[last - 1] == '\r' && (at_ == bytes_.size() || bytes_[at_] == '\n')) {
        --last;
    }
    record.fields.push_back(
        {bytes_.substr(first, last - first), line_, static_cast<std::uint32_t>(first - line_start_ + 1)});
}

void CsvReader::read_quoted(Record& record) {
    const std::uint32_t open_line = line_;
    const std::uint32_t open_column = column();
    const std::size_t open = at_;
    const std::size_t open_line_start = line_start_;
    const std::size_t first = ++at_;
    std::string* copy = nullptr;
    std::size_t copied_to = first;
    const auto back_to_opening = [&] {
        at_ = open;
        line_ = open_line;
        line_start_ = open_line_start;
    };
    for (;;) {
        const std::size_t quote = bytes_.find('"', at_);
        if (quote == std::string_view::npos) {
            back_to_opening();
            return refuse(record, Fault::quote_not_closed, open_line, open_column);
        }
        for (std::size_t i = bytes_.find('\n', at_); i < quote; i = bytes_.find('\n', i + 1)) {
            ++line_;
            line_start_ = i + 1;
        }
        at_ = quote + 1;
        if (at_ < bytes_.size() && bytes_[at_] == '"') {
            if (copy == nullptr) {
                copy = &copies_.emplace_back();
            }
            copy->append(bytes_.substr(copied_to, at_ - copied_to));
            copied_to = ++at_;
            continue;
        }
        std::string_view text = bytes_.substr(first, quote - first);
        if (copy != nullptr) {
            copy->append(bytes_.substr(copied_to, quote - copied_to));
            text = *copy;
        }
        record.fields.push_back({text, open_line, open_column});
        break;
    }
    const bool at_end = at_ == bytes_.size() || bytes_[at_] == ',' || bytes_[at_] == '\n' ||
                        (bytes_[at_] == '\r' && (at_ + 1 == bytes_.size() || bytes_[at_ + 1] == '\n'));
    if (!at_end) {
        const std::uint32_t fault_line = line_;
        const std::uint32_t fault_column = column();
        back_to_opening();
        if (fault_line != open_line) {
            // What closed it was the opening of a quote in a later row, which is read by itself: the slip is here.
            return refuse(record, Fault::quote_not_closed, open_line, open_column);
        }
        refuse(record, Fault::text_after_quote, fault_line, fault_column);
    }
}

void CsvReader::refuse(Record& record, Fault fault, std::uint32_t line, std::uint32_t at_column) {
    record.fault = fault;
    record.fault_line = line;
    record.fault_column = at_column;
    skip_line();
}

void CsvReader::skip_line() {
    const std::size_t end = bytes_.find('\n', at_);
    at_ = end == std::string_view::npos ? bytes_.size() : end + 1;
    ++line_;
    line_start_ = at_;
}

}  // namespace omniway::readers
