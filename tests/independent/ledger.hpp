#pragma once

// What a checker has looked at: each check by name with the value printed, the one expected and the tolerance between them.

#include <cmath>
#include <cstddef>
#include <iostream>
#include <map>
#include <set>
#include <sstream>
#include <string>

#include "lines_on_earth.hpp"

namespace independent {

class Ledger {
public:
    explicit Ledger(bool prints_all) : prints_all_(prints_all) {}

    void at(const std::string& where) { where_ = where; }

    void near(const std::string& check, double value, double expected, double tolerance,
              const std::string& what) {
        std::ostringstream text;
        text << what << " is " << value << ", expected " << expected << ", tolerance " << tolerance;
        enter(check, std::abs(value - expected) <= tolerance, text.str());
    }
    void near_angle(const std::string& check, double value, double expected, double tolerance,
                    const std::string& what) {
        std::ostringstream text;
        text << what << " is " << around(value) << ", expected " << around(expected) << ", tolerance "
             << tolerance << " degrees";
        enter(check, std::abs(apart(value, expected)) <= tolerance, text.str());
    }
    void at_least(const std::string& check, double value, double least, const std::string& what) {
        std::ostringstream text;
        text << what << " is " << value << ", expected at least " << least << ", tolerance 0";
        enter(check, value >= least, text.str());
    }
    void at_most(const std::string& check, double value, double most, const std::string& what) {
        std::ostringstream text;
        text << what << " is " << value << ", expected at most " << most << ", tolerance 0";
        enter(check, value <= most, text.str());
    }
    void same(const std::string& check, const std::string& value, const std::string& expected,
              const std::string& what) {
        enter(check, value == expected,
              what + " is \"" + value + "\", expected \"" + expected + "\", tolerance none");
    }
    void holds(const std::string& check, bool right, const std::string& what) {
        enter(check, right, what + (right ? "" : ": it does not hold"));
    }
    void skip(const std::string& reason) { ++skipped_[reason]; }
    void count(const std::string& what) { ++counted_[what]; }

    std::size_t checked() const { return checked_; }
    std::size_t wrong() const { return wrong_; }
    const std::map<std::string, std::size_t>& by_check() const { return by_check_; }
    const std::map<std::string, std::size_t>& skipped() const { return skipped_; }
    const std::map<std::string, std::size_t>& counted() const { return counted_; }

private:
    void enter(const std::string& check, bool right, const std::string& text) {
        ++checked_;
        ++by_check_[check];
        if (!right) {
            ++wrong_;
        }
        if (!right || prints_all_) {
            std::cout << (right ? "right " : "WRONG ") << check << ", " << where_ << ": " << text << "\n";
        }
    }

    bool prints_all_;
    std::string where_;
    std::size_t checked_{}, wrong_{};
    std::map<std::string, std::size_t> by_check_, skipped_, counted_;
};

}  // namespace independent
